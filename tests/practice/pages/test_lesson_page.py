"""What stands on the lesson page is what a plain count of the log gives; few are called few."""

from collections import Counter
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from practice.pages.advice import suggestions
from practice.pages.confusions import Confusion, is_sure
from practice.pages.guessing import Guessing, Hurried
from practice.pages.lesson_page import lesson_page
from practice.pages.moves import Moves
from practice.pages.ready import ready_in
from practice.pages.said import amid, part_of, some, within
from practice.pages.states import Part, States, parts_in, worst_first
from practice.pairs import Pair
from scheduler.history import bin_of
from tests.practice.answering import Made
from tests.practice.pages.conftest import NOW


def rows_of(standing):
    """All answers of the log."""
    skills = {item.skill for item in standing.begun}
    return [answer for skill in skills for answer in standing.latest(skill, 10_000)]


def test_the_page_shows_the_known_confusions_first_with_what_the_log_counts(confused):
    page = lesson_page(confused)
    first = page.confusions[0]
    assert (first.right, first.given) == ("Ga", "komal Ga")
    asked = [row for row in rows_of(confused) if row.kind == "swara" and row.right == ("G",)]
    taken = sum(row.given == "g" for row in asked)
    spread = binomtest(taken, len(asked)).proportion_ci(method="wilson")
    low, high = 100 * spread.low, 100 * spread.high
    assert first.figure == f"{taken} of {len(asked)} ({low:.0f} to {high:.0f} %)"
    assert (first.play_right, first.play_given) == ("S G", "S g")
    assert page.suggestions[0].text == "Play Ga and komal Ga one after the other, until they part."
    assert page.suggestions[0].figure == f"Ga was heard as komal Ga in {first.figure}"
    named = {(one.right, one.given) for one in page.confusions}
    assert any("Ma" in right and "Pa" in other for right, other in named)


def test_haste_is_told_with_its_counts_and_counts_agree_with_the_log(confused):
    page = lesson_page(confused)
    (hurried,) = page.guessing.found
    assert hurried.kind == "Gaps"
    end_ms = 1000 * float(hurried.when.split()[1])
    gaps = [row for row in rows_of(confused) if row.kind == "gap" and row.chance < 1]
    quick = [row for row in gaps if row.response_ms < end_ms]
    told = int(hurried.quick.split(" of ")[1].split()[0])
    assert told == pytest.approx(len(quick), rel=0.05)  # the time is told to a tenth of a second
    assert told + int(hurried.slower.split(" of ")[1].split()[0]) == len(gaps)
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


def test_parts_hold_all_that_is_asked_once(confused):
    page = lesson_page(confused)
    assert page.states.total == len(confused.items)
    summed = [sum(column) for column in zip(*(part.states for part in page.parts), strict=True)]
    assert summed == list(page.states)
    begun = worst_first(page.parts)
    assert [part.states.shaky for part in begun] == sorted(
        (part.states.shaky for part in begun), reverse=True
    )


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
    ready = ready_in(standing)
    assert ready.state == "away"
    last = (NOW - timedelta(days=9)).date()
    assert ready.figures == f"Practised last on {last.day} {last:%B %Y}."


def test_readiness_goes_by_the_lessons_ragas(standing_after):
    standing = standing_after(80, lesson_day="thursday", lesson_ragas=("yaman",))
    ready = ready_in(standing)
    assert ready.state == "not yet"
    assert ready.figures.endswith("nothing of Yaman is begun.")
    assert parts_in(standing)[0].name == "Sa and Pa"


COUNTS = st.builds(States, *([st.integers(0, 9)] * 4))
NAMES = st.lists(st.sampled_from(["Re", "Ga", "Ma up to Pa"]), max_size=6).map(tuple)
CONFUSIONS = st.lists(
    st.builds(Confusion, *map(st.just, ("Ga", "Re", "3 of 9 (few)", "", "", "")), st.booleans()),
    max_size=4,
)
HURRIED = st.lists(
    st.just(Hurried("Gaps", "within 0.9 s", "3 of 20 (5 to 36 %)", "5", "40 of 50")), max_size=2
)


@given(st.lists(COUNTS, min_size=1, max_size=5), NAMES, NAMES, CONFUSIONS, HURRIED)
def test_there_are_always_three_suggestions_each_with_a_figure(
    confused, counts, shaky, firmer, confusions, hurried
):
    parts = [Part(f"Part {number}", each) for number, each in enumerate(counts)]
    moves = Moves(shaky, shaky[:1], firmer)
    found = suggestions(confused, parts, moves, confusions, Guessing(tuple(hurried), 2))
    assert len(found) == 3
    assert all(one.text.endswith(".") and not one.figure.endswith(".") for one in found)


@pytest.mark.parametrize(
    ("count", "asked", "before", "luck", "sure"),
    [(9, 24, (0, 0), 0.1, True), (5, 6, (5, 6), 0.1, True), (2, 2, (0, 0), 0.1, False),
     (9, 24, (0, 0), 0.25, False)],
)  # fmt: skip
def test_a_confusion_is_sure_where_it_is_oftener_than_luck(count, asked, before, luck, sure):
    """Against scipy's interval, with few questions filled up to twenty."""
    pair = Pair(
        "swaras", "G", "g", "Ga", "Komal Ga", (), (), count, asked, luck, before, is_lately=True
    )
    both = binomtest(count + before[0], max(20, asked + before[1]))
    assert is_sure(pair) == (both.proportion_ci(method="wilson").low > luck) == sure


def test_figures_in_words():
    assert part_of(9, 24, (0.212, 0.573)) == "9 of 24 (21 to 57 %)"
    assert part_of(2, 3, (0.2, 0.9)) == "2 of 3 (few)"
    assert within(bin_of(900)) == "within 1.0 s"
    assert within(bin_of(-300)) == "before the sound had ended"
    assert amid("Komal Ga") == "komal Ga"
    assert amid("Bhupali") == "Bhupali"
    assert amid("Kan from above", "ornaments") == "kan from above"
    assert some(("Re", "Ga"), 2) == "Re and Ga"
    assert some(("Re", "Ga", "Ma", "Pa"), 2) == "Re, Ga and 2 more"
