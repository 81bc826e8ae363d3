"""What is taken for what is counted as in a plain count of the log, and the worst comes first."""

import random
from collections import Counter
from datetime import UTC, datetime, timedelta
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binomtest

from practice.given import Given
from practice.pair_words import answered_by, count_words, title_words
from practice.pairs import matrix, worst_pairs
from practice.things import SUBJECTS
from quizzes.decks.asking import entry_text
from quizzes.decks.deck import Asked, Cue, Deck, Offered
from quizzes.kept import skills_of as all_skills
from scheduler import Log
from scheduler.history import before, day_of, lately, week_of
from tests import taken

NOW = datetime(2026, 11, 29, 18, tzinfo=UTC)
SWARAS = taken.skills_of("swara", "SrRGmPdDnN")
MIXED = [
    *SWARAS,
    *("gap:R-P:up", "gap:R-m:up", "gap:S-P:up"),
    *taken.skills_of("raga-from-phrase:note", ("bhupali", "deshkar", "yaman", "durga")),
    "raga-from-phrase:rest:bhupali-deshkar",
    *taken.skills_of("ornament", ("kan", "sparsh", "meend", "span:3", "span:4", "span:5")),
    *taken.skills_of("tala", ("ektal", "chautal", "tintal")),
    *taken.skills_of("which-stage", ("alap", "jor", "drut-gat")),
]
KNOWN = {
    ("swaras", "r", "R"),
    ("swaras", "d", "D"),
    ("gaps", "R-P:up", "R-m:up"),
    ("ragas", "bhupali", "deshkar"),
    ("ragas", "yaman", "bhupali"),
    ("ornaments", "kan", "sparsh"),
    ("ornaments", "span:3", "span:4"),
    ("talas", "ektal", "chautal"),
    ("stages", "jor", "alap"),
}
"""What `taken.CONFUSED` confuses two times in five or oftener."""


def test_what_a_made_up_student_confuses_comes_first(tmp_path):
    rows = taken.rows(MIXED, 3000, until=NOW)
    with taken.standing_of(tmp_path / "log", rows, now=NOW, skills=MIXED) as standing:
        worst = worst_pairs(standing, most=len(KNOWN))
        assert {(pair.subject, pair.right, pair.given) for pair in worst} == KNOWN
        assert [pair.badness for pair in worst] == sorted((p.badness for p in worst), reverse=True)
        for subject in ("swaras", "ragas", "ornaments", "talas", "stages"):
            first = matrix(standing, subject).worst(1)[0]
            assert (subject, first.right, first.given) in KNOWN


@pytest.fixture(scope="module")
def log(tmp_path_factory):
    with Log(tmp_path_factory.mktemp("logs") / "log") as opened:
        yield opened


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 2**32), st.integers(1, 60))
def test_counts_are_those_of_the_log(log, seed, count):
    drawn, student = random.Random(seed), f"student {log.count()}"
    rows = []
    for number in range(count):
        right, heard = drawn.choices("rRgG", k=2)
        at = NOW - timedelta(days=drawn.uniform(0, 80))
        chance = drawn.choice((0.25, 0.5, 1.0))
        rows.append(
            taken.row(
                f"swara:{right}",
                right,
                heard,
                at=at,
                number=number,
                chance=chance,
                student=student,
            )
        )
    counted = [row for row in rows if row.chance < 1.0]  # the others were told
    plain = {
        weeks: Counter(
            (row.right[0], row.given) for row in counted if week_of(day_of(row.utc)) in weeks
        )
        for weeks in (lately(NOW), before(NOW))
    }
    now = plain[lately(NOW)] or Counter((row.right[0], row.given) for row in counted)
    log.append_all(rows)
    shown = matrix(taken.standing_on(log, now=NOW, skills=SWARAS, student=student), "swaras")
    assert shown.cells == now
    assert shown.is_lately == bool(plain[lately(NOW)])
    then = plain[before(NOW)] if shown.is_lately else Counter()
    for right, heard in product("rRgG", repeat=2):
        pair = shown.pair(right, heard)
        assert (pair.count, pair.asked) == (now[right, heard], asked_in(now, right))
        assert pair.before == (then[right, heard], asked_in(then, right))


def asked_in(cells, right):
    return sum(count for cell, count in cells.items() if cell[0] == right)


def test_an_interval_is_wilsons_as_scipy_has_it(tmp_path):
    rows = taken.rows(SWARAS, 900, until=NOW)
    with taken.standing_of(tmp_path / "log", rows, now=NOW, skills=SWARAS) as standing:
        pairs = matrix(standing, "swaras").worst(30)
    assert len(pairs) > 5
    for pair in pairs:
        found = binomtest(pair.count, pair.asked).proportion_ci(0.95, method="wilson")
        assert pair.interval == pytest.approx((found.low, found.high), abs=1e-12)


def test_one_slip_does_not_stand_above_what_happens_again_and_again(tmp_path):
    once = [taken.row("swara:S", "S", "P", at=NOW)]
    often = [taken.row("swara:r", "r", "R" if n % 4 == 0 else "r", at=NOW) for n in range(40)]
    with taken.standing_of(tmp_path / "log", once + often, now=NOW, skills=SWARAS) as standing:
        first, second = worst_pairs(standing)
    assert (first.right, first.count, first.asked, first.is_few) == ("r", 10, 40, False)
    assert (second.right, second.count, second.asked, second.is_few) == ("S", 1, 1, True)
    assert title_words(first) == "Komal Re, heard as Re"
    assert count_words(first) == "10 of 40 times, 14 to 40 %"
    assert count_words(second) == "1 of 1 times: too few to tell"


def test_what_surely_happens_in_less_than_one_case_of_ten_is_rare(tmp_path):
    rows = [taken.row("swara:r", "r", "R" if n < 3 else "r", at=NOW) for n in range(130)]
    rows += [taken.row("swara:S", "S", "P" if n < 2 else "S", at=NOW) for n in range(20)]
    with taken.standing_of(tmp_path / "log", rows, now=NOW, skills=SWARAS) as standing:
        pairs = {pair.right: pair for pair in worst_pairs(standing)}
    for pair in pairs.values():
        upper = binomtest(pair.count, pair.asked).proportion_ci(0.95, method="wilson").high
        assert pair.is_rare == (upper < 0.1)
    assert (pairs["r"].is_rare, pairs["S"].is_rare) == (True, False)
    assert {pair.among for pair in pairs.values()} == {2}


@pytest.mark.parametrize(
    ("right", "given", "title"),
    [
        ("yaman", "not-yet", "Yaman, but “not enough heard yet” was said"),
        ("not-yet", "yaman", "“Not enough heard yet”, but Yaman was said"),
        ("yaman", "kafi", "Yaman, heard as Kafi"),
        ("not-yet", "not-yet", "Not enough heard yet"),
    ],
)
def test_that_it_is_too_early_is_said_and_not_heard(tmp_path, right, given, title):
    rows = [taken.row("raga-from-phrase:not-yet", right, given, at=NOW)]
    with taken.standing_of(tmp_path / "log", rows, now=NOW) as standing:
        pair = matrix(standing, "ragas").pair(right, given)
    assert title_words(pair) == title
    assert answered_by(pair) == ("said" if given == "not-yet" else "heard")


@pytest.mark.parametrize(
    ("skill", "right", "given", "title"),
    [
        ("swara:N", "N", "n", "Ni, heard as komal Ni"),
        ("ornament:kan", "kan", "sparsh", "Kan, heard as sparsh"),
        ("ornament:span:3", "3", "4", "Three semitones, heard as four semitones"),
        ("gap:R-P:up", "R-P", "r-P", "Re up to Pa, heard as komal Re up to Pa"),
        ("tala:ektal", "ektal", "chautal", "Ektal, heard as Chautal"),
    ],
)
def test_no_capital_stands_within_a_title_but_that_of_a_name(tmp_path, skill, right, given, title):
    rows = [taken.row(skill, right, given, at=NOW)]
    with taken.standing_of(tmp_path / "log", rows, now=NOW) as standing:
        assert title_words(worst_or_first(standing, skill)) == title


def worst_or_first(standing, skill):
    subject = next(one.id for one in SUBJECTS.values() if one.kind == skill.partition(":")[0])
    return matrix(standing, subject).worst(1)[0]


def test_what_only_happened_long_ago_is_counted_whole_and_comes_last(tmp_path):
    old = [taken.row("gap:R-P:up", "R-P", "R-m", at=NOW - timedelta(days=90)) for _ in range(30)]
    new = [taken.row("swara:r", "r", "R" if n < 3 else "r", at=NOW) for n in range(30)]
    skills = [*SWARAS, "gap:R-P:up", "gap:R-m:up"]
    with taken.standing_of(tmp_path / "log", old + new, now=NOW, skills=skills) as standing:
        first, last = worst_pairs(standing)
    assert (first.subject, first.is_lately) == ("swaras", True)
    assert (last.subject, last.is_lately, last.count, last.before) == ("gaps", False, 30, (0, 0))


def test_a_cell_in_which_nothing_stands_is_a_pair_too(tmp_path):
    rows = taken.rows(SWARAS, 200, until=NOW)
    with taken.standing_of(tmp_path / "log", rows, now=NOW, skills=SWARAS) as standing:
        pair = matrix(standing, "swaras").pair("S", "G")
        itself = matrix(standing, "swaras").pair("S", "S")
    assert (pair.count, pair.right_label, pair.given_label) == (0, "Sa", "Ga")
    assert pair.skills == ("swara:S", "swara:G")
    assert itself.is_right
    assert count_words(itself).startswith(f"right {itself.count} of {itself.asked} times")
    assert itself.skills == ("swara:S",)
    assert itself.count > 0


def test_things_of_a_group_stand_together_and_in_their_own_order(tmp_path):
    mistaken = [("gap:R-P:up", "R-m")] * 3 + [("gap:S-P:down", "S-m")] * 2
    right = [*taken.skills_of("swara", "PSrRn"), "gap:G-P:up"]
    right += taken.skills_of("which-stage", ("drut-gat", "alap", "jor"))
    given_to = [*mistaken, *((skill, taken.answers_to(skill)[0]) for skill in right)]
    rows = [taken.row(skill, taken.answers_to(skill)[0], it, at=NOW) for skill, it in given_to]
    with taken.standing_of(tmp_path / "log", rows, now=NOW) as standing:
        things = {name: matrix(standing, name).things for name in ("swaras", "stages", "gaps")}
    ids = {name: [thing.id for thing in each] for name, each in things.items()}
    assert ids["swaras"] == list("SrRPn")
    assert ids["stages"] == ["alap", "jor", "drut-gat"]
    assert ids["gaps"] == ["R-P:up", "R-m:up", "G-P:up", "S-P:down", "S-m:down"]


def test_a_question_of_a_third_raga_is_not_drilled_with_two(tmp_path):
    between, other = "register:adana-darbari", "rest:darbari-kaunsi_kanada"
    skills = [f"raga-from-phrase:{of}" for of in (between, other)]
    rows = [
        taken.row(skills[0], "darbari", "adana", at=NOW),
        taken.row(skills[1], "darbari", "darbari", at=NOW),
    ]
    with taken.standing_of(tmp_path / "log", rows, now=NOW, skills=skills) as standing:
        assert worst_pairs(standing)[0].skills == (skills[0],)


def test_only_what_the_course_asks_is_drilled(tmp_path):
    rows = taken.rows(MIXED, 1500, until=NOW)
    asked = [skill for skill in MIXED if skill != "swara:R"]
    with taken.standing_of(tmp_path / "log", rows, now=NOW, skills=asked) as standing:
        worst = worst_pairs(standing, most=50)
        rested = next(pair for pair in worst if (pair.right, pair.given) == ("bhupali", "deshkar"))
    assert all(set(pair.skills) <= set(asked) for pair in worst)
    assert next(pair for pair in worst if pair.right == "r").skills == ("swara:r",)
    assert "raga-from-phrase:rest:bhupali-deshkar" in rested.skills
    assert not any(skill.endswith(("yaman", "durga")) for skill in rested.skills)


@pytest.mark.parametrize("subject", [one for one in SUBJECTS if one != "decks"])
def test_every_thing_that_can_be_asked_has_a_name_and_is_asked_by_its_skills(tmp_path, subject):
    kind = SUBJECTS[subject]
    with taken.standing_of(tmp_path / "log", [], now=NOW) as standing:
        for skill in all_skills(kind.kind):
            right = taken.answers_to(skill.id)[0]
            thing = kind.thing_of(skill.id, right)
            named = kind.thing(thing, standing)
            assert kind.answer_of(thing) == right
            assert not {"_", ":"} & set(named.label)
            if subject != "ragas" or ":note:" in skill.id:  # others ask of several ragas
                assert skill.id in kind.first_skills(thing)


@pytest.mark.parametrize("subject", SUBJECTS)
def test_a_thing_that_is_known_no_more_goes_by_its_id(tmp_path, subject):
    with taken.standing_of(tmp_path / "log", [], now=NOW) as standing:
        thing = "x:y an-old_thing" if subject == "decks" else "an-old_thing"
        assert "old" in SUBJECTS[subject].thing(thing, standing).label.lower()


def test_a_teachers_answers_go_by_their_texts_though_the_deck_is_gone(tmp_path):
    asked = Asked(
        "rest",
        "choose-one",
        "Where does it rest?",
        "Rest",
        Cue(sargam="N R G:3"),
        offered=(Offered("On Ga, for long", True), Offered("On Re"), Offered("On Ni")),
    )
    deck = Deck("gaps", "Gaps", (asked,))
    skill = "deck:gaps:rest"
    setting = {"sa_hz": 140.0, "deck": entry_text(deck, skill)}
    rows = [
        taken.row(skill, "on-ga,-for-long", given, at=NOW, setting=setting)
        for given in ["on-re"] * 5 + ["on-ga,-for-long"] * 5
    ]
    with taken.standing_of(tmp_path / "log", rows, now=NOW) as standing:
        pair = matrix(standing, "decks").worst(1)[0]
        assert (pair.right_label, pair.given_label) == ("On Ga, for long", "On Re")
        assert pair.skills == ()
        assert worst_pairs(standing) == ()  # nothing asks it any more
    given_deck = Given(decks={"gaps": deck})
    with taken.standing_of(tmp_path / "log", rows, now=NOW, given=given_deck) as standing:
        assert worst_pairs(standing)[0].skills == (skill,)
