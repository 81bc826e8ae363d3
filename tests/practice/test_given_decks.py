"""A teacher's decks in a practice: asked, remembered, confused, changed, taken away."""

import json

import numpy as np
import pytest

from audio.wav import write_wav
from practice import Mode
from practice.given import given_in
from practice.shelf import Shelf
from quizzes.catalogue import make_question
from quizzes.decks.reading import read_deck
from quizzes.question import Setting
from quizzes.signs import script_of
from scheduler import Log
from tests.steps import ask, wrong
from words import use

DECK = """
# Of our own lessons.
deck = "two-rests"
name = "Two rests"

[[question]]
id = "on-ga"
kind = "choose-one"
name = "Rests on Ga"
prompt = "Where does it rest?"
sargam = "S R G:3 R S"

  [[question.choice]]
  text = "Ga"
  right = true

  [[question.choice]]
  text = "Pa"
  why = "Pa is only touched."
  sargam = "S R P:3 R S"

  [[question.choice]]
  text = "Re"

[[question]]
id = "on-pa"
kind = "choose-one"
name = "Rests on Pa"
prompt = "Where does it rest?"
sargam = "S G P:3 G S"

  [[question.choice]]
  text = "Ga"

  [[question.choice]]
  text = "Pa"
  right = true

  [[question.choice]]
  text = "Sa"

[[question]]
id = "down"
kind = "gap"
skills = ["gap:R-P:down"]
"""
OWN = ["deck:two-rests:on-ga", "deck:two-rests:on-pa"]


@pytest.fixture
def shelf(tmp_path):
    return Shelf(tmp_path / "student")


@pytest.fixture
def bring(shelf, tmp_path):
    def bring(text):
        path = tmp_path / "deck.toml"
        path.write_text(text, encoding="utf-8")
        shelf.take(shelf.look(path))

    return bring


@pytest.fixture
def recording(bring, shelf, tmp_path):
    """Where the recording lies that sounds in the first question of the deck."""
    sound = tmp_path / "long-ga.wav"
    write_wav(sound, [0.3 * np.sin(np.arange(44100) / 20).astype(np.float32)])
    name = shelf.bring_in(sound)
    bring(DECK.replace('sargam = "S R G:3 R S"', f'recording = "{name}"'))
    return shelf.recordings / name


def answer_all(practice, how_many, *, right=True):
    """Skills asked, in order; each answered rightly or wrongly where it is the deck's own."""
    session, asked = practice.start(10, Mode("part", "Two rests")), []
    for _ in range(how_many):
        step = ask(session)
        if step is None:
            break
        given = step.question.right[0]
        if not right and step.introduction is None and step.question.kind == "deck":
            given = next(c.id for c in step.question.choices if c.skill)
        asked.append(step.question.skill)
        session.answer(given)
    practice.end()
    return asked


def test_a_deck_that_is_brought_in_is_met_first_and_beside_the_course(open_practice, bring):
    practice = open_practice()
    before = [item.skill for item in practice._items]
    bring(DECK)
    practice.refresh()
    after = [item.skill for item in practice._items]
    assert after[:3] == [*OWN, "gap:R-P:down"]
    assert set(after[3:]) == set(before) - {"gap:R-P:down"}
    assert practice.modes().parts()[0].name == "Two rests"
    assert practice.outlook(5).lines[0] == ("Rests on Ga", "new to you")


def test_what_is_asked_of_a_deck_is_logged_so_that_it_can_be_made_again(open_practice, bring):
    bring(DECK)
    practice = open_practice()
    asked = answer_all(practice, 6)
    assert set(OWN) <= set(asked)
    practice.shelf.remove("two-rests")
    with Log.reading(practice.folder / "log.sqlite") as log:
        rows = [row for row in log.answers() if row.skill in OWN]
    assert rows
    for row in rows:
        again = make_question(row.skill, seed=row.seed, setting=Setting.from_json(row.setting))
        assert (tuple(c.id for c in again.choices), again.right) == (row.choices, row.right)
        assert again.sargam in ("S R G:3 R S", "S G P:3 G S")


def test_the_answer_that_another_question_of_the_deck_has_was_heard_instead(open_practice, bring):
    bring(DECK)
    practice = open_practice()
    answer_all(practice, 12, right=False)
    heard = {skill: practice._memory.confusions(skill, practice._now()) for skill in OWN}
    assert [other for other, _ in heard[OWN[0]]] == [OWN[1]]
    assert [other for other, _ in heard[OWN[1]]] == [OWN[0]]


def test_an_edit_keeps_what_is_known_and_taking_a_deck_away_keeps_the_log(open_practice, bring):
    bring(DECK)
    practice = open_practice()
    answer_all(practice, 9)
    known = {skill: practice._memory.beliefs[skill] for skill in OWN}
    edited = DECK.replace("Where does it rest?", "On which swara does it rest?", 1).replace(
        "Rests on Ga", "A rest on Ga"
    )
    bring(edited)
    practice.refresh()
    assert {skill: practice._memory.beliefs[skill] for skill in OWN} == known
    assert practice.given.name_of(OWN[0]) == "A rest on Ga"

    practice.shelf.remove("two-rests")
    practice.refresh()
    assert not set(OWN) & {item.skill for item in practice._items}
    assert "gap:R-P:down" in {item.skill for item in practice._items}  # the course asks it, too
    reopened = open_practice()
    assert not reopened.troubles
    assert set(OWN) <= set(reopened._memory.beliefs)

    bring(edited)
    reopened.refresh()
    assert {skill: reopened._memory.beliefs[skill] for skill in OWN} == known


def test_a_question_is_tried_as_a_student_meets_it_and_nothing_is_kept(open_practice):
    practice = open_practice()
    seen = practice._memory
    session = practice.preview(read_deck(DECK, "deck.toml"), OWN[0])
    first = ask(session)
    assert first.introduction
    session.answer(first.question.right[0])
    second = ask(session)
    assert (second.introduction, second.question.skill) == (None, OWN[0])
    outcome = session.answer(wrong(second))
    assert "Pa is only touched." in outcome.explanation.why
    assert outcome.explanation.given_cue is not None
    session.end()
    assert practice._memory is seen
    with Log.reading(practice.folder / "log.sqlite") as log:
        assert not list(log.answers())


def test_a_gap_that_a_deck_asks_alone_is_really_asked_when_it_is_tried(open_practice):
    session = open_practice().preview(read_deck(DECK, "deck.toml"), "gap:R-P:down")
    first = ask(session)
    assert first.introduction
    session.answer(first.question.right[0])
    second = ask(session)
    assert second.introduction is None
    assert second.question.chance < 1
    session.end()


def test_what_is_wrong_with_a_deck_is_told_and_all_else_goes_on(open_practice, bring, tmp_path):
    bring(DECK)
    path = tmp_path / "student" / "decks" / "two-rests.toml"
    path.write_text(DECK.replace("S R G:3 R S", "S R X:3 R S"), encoding="utf-8")
    practice = open_practice()
    (trouble,) = practice.troubles
    assert "two-rests.toml, line 11: sargam: " in trouble
    assert trouble.endswith("Until then this deck is not asked.")
    assert not set(OWN) & {item.skill for item in practice._items}
    path.write_text(DECK, encoding="utf-8")
    practice.refresh()
    assert not practice.troubles
    assert set(OWN) <= {item.skill for item in practice._items}


def test_a_recording_that_is_gone_takes_its_deck_out_until_it_is_back(open_practice, recording):
    practice = open_practice()
    assert not practice.troubles
    kept = recording.read_bytes()
    recording.unlink()
    practice.refresh()
    (trouble,) = practice.troubles
    assert recording.name in trouble
    assert not set(OWN) & {item.skill for item in practice._items}
    recording.write_bytes(kept)
    practice.refresh()
    assert not practice.troubles
    assert set(OWN) <= {item.skill for item in practice._items}


def test_what_cannot_be_heard_any_more_is_shown_and_counts_for_nothing(open_practice, recording):
    practice = open_practice()
    session, asked = practice.start(15, Mode("part", "Two rests")), []
    while len(asked) < 12 and (step := ask(session)) is not None:
        recording.unlink(missing_ok=True)  # once the first has been made
        asked.append(step)
        session.answer(wrong(step))
    gone = [step for step in asked if step.question.cue.clips]
    assert len(gone) > 2
    assert {step.chance for step in gone} == {1.0}
    assert all(step.introduction for step in gone)
    assert not all(step.introduction for step in asked)


def test_decks_of_one_name_live_side_by_side(open_practice, bring):
    bring(DECK)
    bring(DECK.replace('"two-rests"', '"two-more"'))
    practice = open_practice()
    names = [part.name for part in practice.modes().parts()[:2]]
    assert names == ["Two rests (two-more)", "Two rests (two-rests)"]
    asked = {item.skill for item in practice.modes().asked(Mode("part", names[1])).items}
    assert asked == {*OWN, "gap:R-P:down"}


def test_a_log_of_before_there_were_decks_is_read(open_practice):
    practice = open_practice()
    session = practice.start(5)
    step = ask(session)
    session.answer(step.question.right[0])
    practice.end()
    setting = json.loads(json.dumps(step.question.setting.as_json()))
    del setting["deck"]
    assert Setting.from_json(setting) == step.question.setting


def test_what_keeps_a_change_from_being_finished_is_told_beside_what_is_wrong(shelf):
    shelf.write("bad", "deck = ")
    shelf.trouble = "incoming: no room; make some"
    given, troubles = given_in(shelf)
    assert given.decks == {}
    assert troubles[0].startswith("bad.toml, line 1: deck: is no TOML")
    assert troubles[0].endswith(" Until then this deck is not asked.")
    assert troubles[1:] == [shelf.trouble]


def test_what_a_deck_asks_of_kaans_own_is_called_in_the_language_of_now(bring, shelf):
    bring(DECK)
    given, _ = given_in(shelf)
    names = {skill.id: given.name_of(skill.id) for skill in given.skills("two-rests")}
    assert names["gap:R-P:down"] == "Pa down to Re"
    use("hi")
    try:
        told = {skill: given.name_of(skill) for skill in names}
    finally:
        use()
    assert script_of(told["gap:R-P:down"]) == "Deva"
    assert told["deck:two-rests:on-ga"] == "Rests on Ga"  # as the teacher wrote it
    assert {skill: given.name_of(skill) for skill in names} == names
