"""What stands on the lesson page is what a plain count of the log gives; few are called few."""

import re
from collections import Counter
from contextlib import ExitStack
from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from practice.mistaken import is_mistaken
from practice.pages.advice import Grounds, suggestions
from practice.pages.class_page import Unread, class_page
from practice.pages.confusions import Confusion
from practice.pages.guessing import Guessed, Guessing
from practice.pages.lesson_page import lesson_page
from practice.pages.lesson_sheet import lesson_paper
from practice.pages.moves import Moves, _named
from practice.pages.practised import _known
from practice.pages.ready import HEADLINES, Ready, ready_in
from practice.pages.said import amid, part_of, some, within
from practice.pages.states import Part, States, all_begun, begun_words, firm_apart, most_wanting
from practice.pages.topic import Topic
from practice.settings import Settings
from quizzes.catalogue import every_skill
from scheduler import Proportion
from scheduler.history import Day, bin_of
from tests import taken
from tests.practice.answering import Made
from tests.practice.pages.conftest import NOW


def rows_of(standing):
    """All answers of the log."""
    skills = {item.skill for item in standing.begun}
    return [answer for skill in skills for answer in standing.latest(skill, 10_000)]


def test_the_page_shows_the_known_confusions_first_with_what_the_log_counts(confused):
    page = lesson_page(confused)
    first = page.confusions[0]
    assert first.words == "Ga heard as komal Ga"
    asked = [row for row in rows_of(confused) if row.kind == "swara" and row.right == ("G",)]
    taken = sum(row.given == "g" for row in asked)
    spread = binomtest(taken, len(asked)).proportion_ci(method="wilson")
    low, high = 100 * spread.low, 100 * spread.high
    assert first.figure == f"{taken} of {len(asked)} ({low:.0f} to {high:.0f} %)"
    assert (first.play_right, first.play_given) == ("S G", "S g")
    play = "Play Ga and komal Ga one after the other, until they sound different."
    assert page.suggestions[0].text == play
    assert page.suggestions[0].figure == f"Ga heard as komal Ga in {first.figure}"
    assert any(re.search("Ma.* heard as .*Pa", one.words) for one in page.confusions)


def test_haste_is_told_with_its_counts_and_counts_agree_with_the_log(confused):
    page = lesson_page(confused)
    (hurried,) = page.guessing.hurried
    assert hurried.kind == "Gaps"
    figure = re.match(r".* of (\d+) \(.*\) right within (.*) s, luck .* later: \d+ of (\d+)",
                      hurried.figure)  # fmt: skip
    end_ms, told, later = 1000 * float(figure[2]), int(figure[1]), int(figure[3])
    gaps = [row for row in rows_of(confused) if row.kind == "gap" and row.chance < 1]
    quick = [row for row in gaps if row.response_ms < end_ms]
    assert told == pytest.approx(len(quick), rel=0.05)  # the time is told to a tenth of a second
    assert told + later == len(gaps)
    assert "gaps" in page.suggestions[1].text


def test_what_was_practised_is_what_the_log_holds(confused):
    practised, rows = lesson_page(confused).practised, rows_of(confused)
    asked = [row for row in rows if row.chance < 1]
    right = sum(row.credit == 1 for row in asked)
    days = {row.utc.date() for row in rows}
    assert f"Practised on {len(days)} of " in practised.words
    assert f": {len(asked)} questions, {right} right." in practised.words
    counts = Counter(row.kind for row in asked)
    (most, many), (less, few) = counts.most_common()
    assert practised.kinds == f"{most.capitalize()}s {many} and {less}s {few}."
    luck = sum(row.chance for row in asked) / len(asked)
    known = (right / len(asked) - luck) / (1 - luck)
    assert f"{100 * known:.0f} % were known" in practised.known
    assert len(practised.minutes) == 28
    assert practised.first.weekday() == 0
    assert practised.come == 22  # it is a Monday


def test_parts_hold_all_that_is_asked_once(confused):
    page = lesson_page(confused)
    assert page.states.total == len(confused.items)
    summed = [sum(column) for column in zip(*(part.states for part in page.parts), strict=True)]
    assert summed == list(page.states)
    assert all_begun(page.parts).begun == page.states.begun


def test_of_more_parts_than_rows_those_that_are_firm_stand_in_one():
    parts = [Part("a", States(4)), Part("b", States(3, 1)), Part("c", States(2))]
    together, others = firm_apart(parts, 2)
    assert together == Part("2 parts, all firm", States(6))
    assert others == (parts[1],)
    assert firm_apart(parts, 3) == (None, tuple(parts))


def test_of_many_parts_the_newest_and_the_shakiest_are_shown_in_the_order_of_the_course():
    shaky = (1, 5, 0, 3, 0)
    parts = [Part(f"{number}", States(4, 0, each)) for number, each in enumerate(shaky)]
    shown, left = most_wanting([*parts, Part("ahead", States(0, 0, 0, 9))], 3)
    assert [part.name for part in shown] == ["1", "3", "4"]
    assert [part.name for part in left] == ["0", "2"]


@pytest.mark.parametrize(("count", "state"), [(0, "none"), (5, "few"), (60, "ready")])
def test_few_answers_say_that_they_are_few(standing_after, count, state):
    page = lesson_page(standing_after(count, Made(known=0.97, days=(1, 2, 3, 5))))
    assert page.ready.state == state
    assert len(page.suggestions) == 3
    assert len({one.text for one in page.suggestions}) == 3
    assert all(any(map(str.isdigit, one.figure)) for one in page.suggestions[:1])
    if count < 20:
        assert page.no_confusions == "Too few answers to say."
        assert page.guessing.words.startswith("Too few answers")
    if count == 0:
        assert page.practised.words == "Nothing was practised."
        assert page.suggestions[1].text == "Begin with “Sa and Pa”, together."


def test_who_has_not_practised_is_not_ready(standing_after):
    standing = standing_after(80, Made(days=(9, 10, 11)))
    ready = ready_in(standing, Topic())
    assert ready.state == "away"
    last = (NOW - timedelta(days=9)).date()
    assert ready.figures.startswith(f"Practised last on {last.day} {last:%B %Y}; ")


COUNTS = st.builds(States, *([st.integers(0, 9)] * 4))
NAMES = st.lists(st.sampled_from(["Re", "Ga", "Ma up to Pa"]), max_size=6).map(tuple)
PLAYED = "Ga heard as Re", "Play Ga and Re.", "3 of 9 (12 to 65 %, few)", "", "", ""
CONFUSIONS = st.lists(st.builds(Confusion, *map(st.just, PLAYED), st.booleans()), max_size=4)
GUESSED = st.lists(st.just(Guessed("Gaps", "3 of 20 (5 to 36 %) right within 0.9 s")), max_size=2)
READY = st.sampled_from(sorted(HEADLINES)).map(lambda state: Ready(state, ""))


def grounds_of(standing, counts, **others):
    """What suggestions are made from; of parts with these counts."""
    parts = tuple(Part(f"Part {number}", each) for number, each in enumerate(counts))
    found = {
        "topic": Topic(),
        "ready": Ready("ready", ""),
        "moves": Moves((), (), ()),
        "confusions": (),
        "guessing": Guessing((), (), 2),
    }
    return Grounds(standing, parts=parts, **(found | others))


@given(st.lists(COUNTS, min_size=1, max_size=5), NAMES, NAMES, CONFUSIONS, GUESSED, READY)
def test_there_are_always_three_suggestions_each_with_a_figure(
    confused, counts, shaky, firmer, confusions, guessed, ready
):
    moves = Moves(shaky, shaky[:1], firmer)
    guessing = Guessing(tuple(guessed[1:]), tuple(guessed[:1]), 2)
    grounds = grounds_of(
        confused, counts, moves=moves, confusions=confusions, guessing=guessing, ready=ready
    )
    found = suggestions(grounds)
    assert len(found) == 3
    assert all(one.text.endswith(".") and not one.figure.endswith(".") for one in found)
    figures = " ".join(one.figure for one in found)
    # "1 of its 2 skills is firm" is right.
    assert not re.search(r"\b1 \w+s are|(?<!of its )\b[02-9] \w+ is\b", figures)


FIRM, WEAK, HALF, AHEAD = States(9), States(0, 1, 2), States(2, 3, 0, 1), States(0, 0, 0, 4)


@pytest.mark.parametrize(
    ("counts", "ready", "first"),
    [
        ([FIRM, WEAK, States(9, 0, 9)], "not yet", "Go back to “Part 1”."),
        ([FIRM, HALF, AHEAD], "ready", "Stay with “Part 1” until it holds."),
        ([FIRM, AHEAD], "ready", "Go on to “Part 1” (4 skills)."),
        ([AHEAD], "none", "Begin with “Part 0”, together."),
        ([FIRM, AHEAD], "away", None),
    ],
)
def test_of_parts_the_first_weak_one_then_the_one_in_hand_then_the_next(
    standing_after, counts, ready, first
):
    """What comes later stands on what comes first; after a time away nothing new is begun."""
    standing = standing_after(30, Made(known=1.0, days=(1, 2, 3, 4)))
    found = suggestions(grounds_of(standing, counts, ready=Ready(ready, "")))
    of_parts = [one.text for one in found if "Part" in one.text]
    assert of_parts == ([first] if first else [])


@pytest.mark.parametrize(
    ("days", "said"),
    [(range(1, 14), "Keep the daily practice."), (range(1, 14, 2), "Keep practising."),
     ((1, 12, 13), "Agree on a time of the day for practice."), ((40,), None)],
)  # fmt: skip
def test_only_practice_on_most_days_is_called_daily(standing_after, days, said):
    standing = standing_after(60, Made(days=tuple(days)))
    found = suggestions(grounds_of(standing, [States(9)]))
    if said is None:
        assert found[0].figure == f"no practice since {NOW - timedelta(days=40):%-d %B %Y}"
    else:
        assert said in [one.text for one in found]


def test_counts_of_one_and_none_read_as_english():
    assert begun_words(States(0, 0, 1), "Yaman") == "1 skill of Yaman is begun, and it is shaky"
    assert begun_words(States(1)) == "1 skill is begun, and it is not shaky"
    assert begun_words(States(2)) == "2 skills are begun, none of them shaky"
    assert begun_words(States(1, 1, 1)) == "3 skills are begun, 1 of them shaky"


def raga_rows(*answers, days=(1, 2, 3, 4)):
    """Rows of which Yaman is right, and these were given, on these days."""
    skill = "raga-from-phrase:note:yaman"
    rows = [
        taken.row(skill, "yaman", given, at=NOW - timedelta(days=day, seconds=-9 * number))
        for day in days
        for number, given in enumerate(answers)
    ]
    return sorted(rows, key=lambda row: row.utc)


def test_what_the_lesson_is_about_comes_first(tmp_path):
    """Though a gap is taken for another oftener."""
    gaps = [
        taken.row("gap:S-P:up", "S-P", "S-m", at=NOW - timedelta(days=1, seconds=number))
        for number in range(40)
    ]
    rows = sorted(raga_rows(*["yaman"] * 6, *["bhupali"] * 5) + gaps, key=lambda row: row.utc)
    skills = ["gap:S-P:up", "raga-from-phrase:note:yaman"]
    words = {}
    for ragas in ((), ("yaman",)):
        settings = Settings(lesson_day="tuesday", lesson_ragas=ragas)
        log = tmp_path / ("-".join(ragas) or "none")
        with taken.standing_of(log, rows, now=NOW, skills=skills) as standing:
            page = lesson_page(replace(standing, settings=settings))
        words[ragas] = [one.words for one in page.confusions], page.suggestions[0].figure
    assert words[()][0] == ["Sa up to Pa heard as Sa up to Ma", "Yaman heard as Bhupali"]
    assert words[("yaman",)][0] == words[()][0][::-1]
    assert words[("yaman",)][1].startswith("Yaman heard as Bhupali in 20 of 44 (")


def test_a_lesson_on_ragas_that_are_not_begun_begins_with_them(standing_after):
    """Also where the lesson has only a date of its own."""
    for when in ({"lesson_day": "thursday"}, {"lesson_date": "2026-03-05"}):
        page = lesson_page(standing_after(80, lesson_ragas=("yaman",), **when))
        assert page.ready.figures.endswith("nothing of Yaman is begun.")
        assert page.suggestions[0].text == "Begin with Yaman, together."


def test_after_a_change_of_course_nothing_of_the_new_one_is_begun(standing_after):
    standing = standing_after(80, Made(days=(1, 2, 3, 4)))
    other = replace(standing, items=(replace(standing.items[-1], skill="swara:nothing"),))
    assert ready_in(other, Topic()).figures.endswith("; nothing of the course is begun.")


def test_a_day_with_an_answer_or_two_is_no_day_of_practice(standing_after):
    standing = standing_after(60, Made(known=1.0, days=(1, 2, 9, 10)))
    assert ready_in(standing, Topic()).figures.startswith("Practised on 2 of the last 7 days; ")
    few = {day: Day(asked=2, right=2, seconds=9.0) for day in standing.history.days}
    seldom = replace(standing, history=replace(standing.history, days=few | {0: Day(asked=60)}))
    said = "Practised on 2 of the last 7 days, for 10 answers or 5 minutes on none; "
    assert ready_in(seldom, Topic()).figures.startswith(said)


def test_an_answer_of_a_clock_that_was_far_ahead_is_not_the_last(standing_after):
    standing = standing_after(60, Made(days=(9, 10)))
    ahead = standing.history.days | {2_932_896: Day(asked=1)}  # 31 December 9999
    later = replace(standing, history=replace(standing.history, days=ahead))
    assert ready_in(later, Topic()) == ready_in(standing, Topic())


def test_a_course_that_is_not_here_is_said_and_nothing_of_another_is_suggested(standing_after):
    standing = replace(standing_after(60, Made(known=1.0)), is_course_here=False)
    page = lesson_page(standing)
    assert "is not on this device: bring it in" in page.of_course
    assert not [one for one in page.suggestions if "“" in one.text]
    shown = " ".join(run.text for run in lesson_paper(page).sheets[0].runs)
    assert "is not on this device" in shown
    assert "Next:" not in shown


def test_a_page_without_a_name_has_a_plain_heading(standing_after):
    page = lesson_page(standing_after(5, student_name=""))
    assert (page.student, page.title) == ("", "For the lesson")
    assert "For the lesson" in [run.text for run in lesson_paper(page).sheets[0].runs]


def test_who_only_guesses_is_told_of_luck_and_not_of_confusions(standing_after):
    """Of many wrong answers some stand out by luck alone."""
    standing = standing_after(600, Made(known=0.0, days=tuple(range(1, 20))))
    page = lesson_page(standing)
    assert not any(one.is_sure for one in page.confusions)
    assert all("; may be chance" in one.figures for one in page.confusions)
    assert len(page.confusions) == 3
    assert {one.kind for one in page.guessing.throughout} == {"Swaras", "Gaps"}
    assert "Nothing points to guessing" not in page.guessing.words
    assert page.suggestions[0].text.startswith("Have each sound heard to its end")


def test_only_what_reaches_down_to_luck_may_be_chance(tmp_path):
    """Five of five are few, and yet more than a guess among four gives."""
    found = {}
    for name, said in (("often", ["S-m"] * 5), ("seldom", ["S-m"] * 2 + ["S-P"] * 3)):
        rows = [
            replace(
                taken.row("gap:S-P:up", "S-P", each, at=NOW - timedelta(days=1, seconds=-number)),
                choices=("S-P", "S-m", "S-G", "S-D"),
                chance=0.25,
            )
            for number, each in enumerate(said)
        ]
        skills = ["gap:S-P:up"]
        with taken.standing_of(tmp_path / name, rows, now=NOW, skills=skills) as standing:
            (one,) = lesson_page(standing).confusions
        found[name] = one.figures
    assert found == {
        "often": "5 of 5 (57 to 100 %, few)",
        "seldom": "2 of 5 (12 to 77 %, few); may be chance",
    }


def test_what_is_taken_for_another_again_and_again_is_not_firm(tmp_path):
    """Though it was right when it was asked last, after nights enough."""
    skill = "gap:S-P:down"
    given = ["S-P"] * 8 + ["S-m"] * 5 + ["S-P"] * 5
    rows = [
        replace(
            taken.row(skill, "S-P", each, at=NOW - timedelta(days=18 - number)),
            heard=None if each == "S-P" else "gap:S-m:down",
        )
        for number, each in enumerate(given)
    ]
    with taken.standing_of(tmp_path / "log", rows, now=NOW, skills=[skill]) as standing:
        assert standing.state(skill) == "firm"
        assert is_mistaken(standing, skill)
        page = lesson_page(standing)
    assert (page.states.firm, page.states.shaky) == (0, 1)
    assert page.moves.shaky == ("Pa down to Sa",)
    assert page.moves.firmer == ()


def test_two_students_of_one_name_are_told_apart(standing_after):
    standing = standing_after(30, Made(days=(1, 2)))
    nobody = Unread("student-2", "mira")
    both = class_page([standing, nobody, Unread("student-3", "Noor")], NOW).students
    assert {one.name for one in both} == {
        "Mira (30 answers, last on 1 March 2026)", "mira (no answer)", "Noor"
    }  # fmt: skip


def test_nothing_known_is_said_as_luck():
    assert _known(Proportion(2, 40, 10.0)) == "No more was known than luck alone gives."
    assert _known(Proportion(20, 40, 10.0)).startswith("With luck taken out, 33 % were known (")


def test_a_theka_is_said_and_not_played(tmp_path):
    rows = [
        taken.row("tala:ektal", "ektal", "chautal", at=NOW - timedelta(days=1, seconds=number))
        for number in range(30)
    ]
    with taken.standing_of(tmp_path / "log", rows, now=NOW, skills=["tala:ektal"]) as standing:
        (one,) = lesson_page(standing).confusions
    assert one.how == "Say, with the hand,"
    assert one.advice.startswith("Say the thekas of Ektal and Chautal one after the other")
    assert one.play_right.startswith("dhin dhin | dhage tirakita")


def test_words_within_a_sentence_and_lists_of_names_with_commas(confused):
    skills = ["stage:drut-gat", "which-stage:alap", "raga-from-phrase:note:yaman", "swara:n"]
    of_skills = {skill.id: skill.name for skill in every_skill()}
    named = [skill for skill in of_skills if of_skills[skill].startswith(("The ", "When "))][:3]
    assert all(name[0].islower() for name in _named(confused, named))
    assert _named(confused, skills[2:]) == ("Yaman from a phrase, by its swaras", "komal Ni")
    assert some(("Yaman, by ear", "Re", "Ga"), 2) == "Yaman, by ear; Re; 1 more"


def test_a_class_shares_what_was_confused_lately_and_says_by_whom(tmp_path):
    """What one mistook long ago is not added to what another does now."""
    now, long_ago = (1, 2, 3, 4), (200, 201, 202, 203)
    found = []
    for third in (now, long_ago):
        with ExitStack() as opened:
            standings = []
            for name, days in (("Mira", now), ("Noor", now), ("Zia", third)):
                rows = raga_rows(*["yaman"] * 5, *["bhupali"] * 5, days=days)
                log, skills = tmp_path / f"{name}-{third[0]}", ["raga-from-phrase:note:yaman"]
                one = opened.enter_context(taken.standing_of(log, rows, now=NOW, skills=skills))
                standings.append(replace(one, settings=replace(one.settings, student_name=name)))
            (shared,) = class_page(standings, NOW).confused
        found.append((shared.words, shared.figure, shared.who))
    words = "Yaman heard as Bhupali"
    assert found == [
        (words, "3 students, together 60 of 120 times", "Mira, Noor and Zia"),
        (words, "2 students, together 40 of 80 times", "Mira and Noor"),
    ]


def test_figures_in_words():
    assert part_of(9, 24, (0.212, 0.573)) == "9 of 24 (21 to 57 %)"
    assert part_of(8, 18, (0.246, 0.663)) == "8 of 18 (25 to 66 %, few)"
    assert within(bin_of(900)) == "within 1.0 s"
    assert within(bin_of(-300)) == "before the sound had ended"
    assert amid("Komal Ga") == "komal Ga"
    assert amid("Bhupali") == "Bhupali"
    assert amid("Kan from above", "ornaments") == "kan from above"
    assert some(("Re", "Ga"), 2) == "Re and Ga"
    assert some(("Re", "Ga", "Ma", "Pa"), 2) == "Re, Ga and 2 more"
