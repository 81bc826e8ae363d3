"""Both sides of a confusion come from the student's own mistake, or from a fresh question."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import count

import pytest

from practice.both import both_sides
from practice.given import Given, tuning_of
from practice.made_again import made_again
from practice.pairs import matrix
from quizzes.catalogue import kind_of, make_question
from quizzes.decks.asking import entry_text
from quizzes.decks.deck import Asked, Cue, Deck, Offered
from quizzes.question import Setting
from tests import taken

NOW = datetime(2026, 11, 29, 18, tzinfo=UTC)
REAL = {
    "swaras": ("swara:r", "R", {"met": ("swara:R", "swara:S")}),
    "gaps": ("gap:R-P:up", "R-m", {"met": ("gap:R-m:up", "gap:S-P:up")}),
    "ragas": ("raga-from-phrase:rest:bhupali-deshkar", "deshkar", {}),
    "ornaments": ("ornament:kan", "sparsh", {"met": ("ornament:sparsh", "ornament:meend")}),
    "talas": ("tala:ektal", "chautal", {"met": ("tala:chautal", "tala:tintal")}),
    "stages": ("which-stage:jor", "alap", {"met": ("which-stage:alap",), "ragas": ("yaman",)}),
}
"""A mistake of each subject: the skill, what is answered, and how it is asked."""


def seeds():
    drawn = count(1)
    return lambda: next(drawn)


def cell_of(answer, subject):
    """The cell of a matrix in which an answer is counted."""
    shown = {"gaps": lambda thing: f"{thing}:{answer.skill.rpartition(':')[2]}"}
    thing = shown.get(subject, str)
    return thing(answer.right[0]), thing(answer.given)


@pytest.mark.parametrize("subject", REAL)
def test_a_mistake_is_made_again_from_its_row(tmp_path, subject):
    skill, given, setting = REAL[subject]
    row = taken.mistaken(skill, given, at=NOW - timedelta(days=2), **setting)
    older = taken.row(skill, row.right[0], given, at=NOW - timedelta(days=3), seed=5)
    with taken.standing_of(tmp_path / "log", [older, row], now=NOW, skills=[skill]) as standing:
        both = both_sides(standing, matrix(standing, subject).pair(*cell_of(row, subject)))
    asked = Setting.from_json(row.setting)
    question = make_question(skill, seed=row.seed, setting=asked)
    told = kind_of(skill).explain(question, given)
    assert both.at == row.utc
    assert (both.was.label, both.was.score) == (told.right_label, told.right_cue)
    assert (both.heard.label, both.heard.score) == (told.given_label, told.given_cue)
    assert both.why == told.why
    assert both.was.sargam
    assert both.heard.sargam
    assert both.was.sargam != both.heard.sargam
    assert both.was.score != both.heard.score


@pytest.mark.parametrize("subject", REAL)
def test_where_nothing_was_mistaken_it_comes_from_a_fresh_question(tmp_path, subject):
    skill, given, setting = REAL[subject]
    row = taken.mistaken(skill, given, at=NOW, **setting)
    right, heard = cell_of(row, subject)
    skills = [skill, *{"gaps": ["gap:R-m:up"], "swaras": ["swara:R"]}.get(subject, [])]
    with taken.standing_of(tmp_path / "log", [], now=NOW, skills=skills) as standing:
        shown = matrix(standing, subject)
        both = both_sides(standing, shown.pair(right, heard), seeds=seeds())
        itself = both_sides(standing, shown.pair(right, right), seeds=seeds())
    assert both.at is None
    assert both.was.score.sa_hz == both.heard.score.sa_hz or subject in ("talas", "ragas")
    assert both.was.score != both.heard.score
    assert both.was.label != both.heard.label
    assert (itself.was.label, itself.heard) == (both.was.label, None)


BROKEN = {
    "a setting that is empty": {},
    "a setting of another program": {"sa_hz": "high", "tuning": 7},
    "a tuning that is gone": {"sa_hz": 140.0, "tuning": "/gone.scl"},
    "a tradition that is none": {"sa_hz": 140.0, "tradition": "[["},
    "skills that are none": {"sa_hz": 140.0, "met": ["swara:x", "no"], "rivals": ["gap:x"]},
}


@pytest.mark.parametrize("setting", BROKEN.values(), ids=BROKEN)
@pytest.mark.parametrize("subject", REAL)
def test_a_row_that_cannot_be_made_again_harms_nothing(tmp_path, subject, setting):
    skill, given, _ = REAL[subject]
    right = taken.answers_to(skill)[0]
    row = taken.row(skill, right, given, at=NOW, setting=setting)
    with taken.standing_of(tmp_path / "log", [row], now=NOW, skills=[skill]) as standing:
        both = both_sides(
            standing, matrix(standing, subject).pair(*cell_of(row, subject)), seeds=seeds()
        )
    assert both.was.score is not None
    assert both.heard.score is not None


@pytest.mark.parametrize("skill", ["swara:x", "swara", "gap:P-R:up", "flute:S", "deck:gone:q"])
def test_a_skill_that_is_asked_no_more_is_not_made_again(tmp_path, skill):
    row = taken.row(skill, "R", "r", at=NOW)
    with taken.standing_of(tmp_path / "log", [row], now=NOW) as standing:
        assert made_again(row, standing) is None
        if skill.startswith("deck"):
            assert both_sides(standing, matrix(standing, "decks").worst(1)[0]) is None


def test_another_question_than_was_answered_is_not_taken_for_it(tmp_path):
    """A teacher's word that has changed may let a row make another question than it did."""
    row = taken.mistaken("raga-from-phrase:rest:bhupali-deshkar", "deshkar", at=NOW)
    other = taken.row(row.skill, "yaman", "deshkar", at=NOW, seed=row.seed, setting=row.setting)
    with taken.standing_of(tmp_path / "log", [row, other], now=NOW) as standing:
        assert made_again(row, standing) is not None
        assert made_again(other, standing) is None


def test_a_choice_without_a_line_of_its_own_has_no_sound(tmp_path):
    offered = (Offered("On Ga", True), Offered("On Re", sargam="N G R:3"), Offered("On Ni"))
    cue = Cue(sargam="N R G:3")
    deck = Deck("d", "D", (Asked("q", "choose-one", "Where?", "Where", cue, offered=offered),))
    setting = {"sa_hz": 140.0, "deck": entry_text(deck, "deck:d:q")}
    rows = [
        taken.row("deck:d:q", "on-ga", given, at=NOW, setting=setting)
        for given in ("on-re", "on-ni")
    ]
    known = Given(decks={"d": deck})
    with taken.standing_of(tmp_path / "log", rows, now=NOW, given=known) as standing:
        shown = matrix(standing, "decks")
        lined = both_sides(standing, shown.pair("d:q on-ga", "d:q on-re"))
        bare = both_sides(standing, shown.pair("d:q on-ga", "d:q on-ni"))
    assert (lined.heard.label, lined.heard.score is not None) == ("On Re", True)
    assert (bare.heard.label, bare.heard.score) == ("On Ni", None)
    assert bare.was.sargam == "N R G:3"


def test_a_fresh_question_is_asked_as_the_student_is_asked(tmp_path, monkeypatch):
    asked = {}

    def noted(skill, *, seed, setting):
        asked.setdefault(skill, setting)
        return make_question(skill, seed=seed, setting=setting)

    monkeypatch.setattr("practice.both.make_question", noted)
    known = {"now": NOW, "given": Given(tradition='[durga]\nvadi = "D R"\n')}
    skills = ["gap:R-P:up", "gap:R-m:up", "raga-from-phrase:note:durga"]
    with taken.standing_of(tmp_path / "log", [], skills=skills, **known) as standing:
        chosen = replace(standing.settings, tuning="equal", gap_names="size", sa_hz=150.0)
        standing = replace(standing, settings=chosen)
        both_sides(standing, matrix(standing, "gaps").pair("R-P:up", "R-m:up"), seeds=seeds())
        both_sides(standing, matrix(standing, "ragas").pair("durga", "durga"), seeds=seeds())
    gap, raga = asked["gap:R-P:up"], asked["raga-from-phrase:note:durga"]
    assert (gap.sa_hz, gap.names) == (150.0, "size")
    assert gap.tuning == tuning_of("equal")[0] != tuning_of("just")[0]
    assert gap.rivals == ("gap:R-m:up",)
    assert (gap.tradition, raga.tradition) == ("", known["given"].tradition)
