"""A practice that was broken off is gone on with at its question, also after a kill."""

import json
import math
import signal
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest

from practice import Mode, Practice, broken_off
from practice.shelf import Shelf
from quizzes.signs import script_of
from scheduler import LogError
from tests.practice.bundling import brought_in, deck_text
from words import use

ROOT = Path(__file__).resolve().parent.parent.parent
KILLED = """
import os, signal, sys
from pathlib import Path
from practice import Practice
practice = Practice(Path(sys.argv[1]), speaker="silence")
session = practice.start(7)
step = session.next()
if step.introduction: session.ask()
session.play()
session.answer(step.question.right[0])
step = session.next()
print(step.question.skill, step.question.seed, flush=True)
os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.fixture
def practice_in(tmp_path):
    opened = []

    def open_it():
        opened.append(Practice(tmp_path, speaker="silence"))
        return opened[-1]

    yield open_it
    for practice in opened:
        practice.close()


def test_after_a_kill_in_mid_question_the_same_question_comes_with_the_time_that_was_left(
    tmp_path, practice_in
):
    killed = subprocess.run(
        [sys.executable, "-c", KILLED, str(tmp_path)], cwd=ROOT, capture_output=True, text=True
    )
    assert killed.returncode == -signal.SIGKILL, killed.stderr
    skill, seed = killed.stdout.split()
    practice = practice_in()
    left = practice.broken_off()
    assert left is not None
    assert 6.0 < left.minutes <= 7.0
    session = practice.start(left.minutes, left.mode, going_on=left)
    step = session.next()
    assert (step.question.skill, step.question.seed) == (skill, int(seed))
    assert step.question == left.step.question
    assert session.seconds_left <= left.left_s
    if step.introduction:
        session.ask()
    session.play()
    assert session.answer(step.question.right[0]).mark.right
    assert session.next().number == 2
    practice.end()
    assert [row.skill for row in practice._log.answers(practice.settings.student_id)][1:] == [skill]


@pytest.fixture
def left(practice_in):
    """A practice, broken off at its first question: the next one, and that question."""
    practice = practice_in()
    step = practice.start(5, Mode()).next()
    practice.close()
    return practice_in(), step


def test_what_was_ended_is_not_gone_on_with(tmp_path, practice_in):
    practice = practice_in()
    practice.start(5, Mode()).next()
    assert (tmp_path / broken_off.FILE_NAME).exists()
    practice.end()
    assert not (tmp_path / broken_off.FILE_NAME).exists()
    assert practice.broken_off() is None


WRONG = (
    None,
    True,
    -1,
    7,
    10**400,
    math.inf,
    math.nan,
    "",
    "no:such",
    "deck:a:b",
    [],
    [3],
    {"a": 1},
)


def test_too_long_ago_damaged_or_of_a_newer_version_nothing_breaks(tmp_path, left):
    practice, _ = left
    path = tmp_path / broken_off.FILE_NAME
    whole = json.loads(path.read_text())
    assert practice.broken_off() is not None

    def broken_off_of(text):
        path.write_text(text)
        return practice.broken_off()

    for wrong in (
        "",
        "[]",
        "[" * 100_000,
        json.dumps({**whole, "at": time.time() - 7 * 3600}),
        json.dumps({**whole, "at": time.time() + 60}),
        json.dumps({**whole, "left_s": 10.0}),
        json.dumps({**whole, "skill": "no:such"}),
        json.dumps({**whole, "reason": "told so"}),
        json.dumps({**whole, "chance": 1.5}),
        json.dumps({**whole, "predicted": -0.1}),
        json.dumps({**whole, "seed": 2**63}),
        json.dumps({**whole, "setting": {**whole["setting"], "tuning": "no such file"}}),
        *(json.dumps({n: v for n, v in whole.items() if n != name}) for name in whole),
    ):
        assert broken_off_of(wrong) is None, wrong[:300]
    for value in WRONG:
        for name in whole:
            found = broken_off_of(json.dumps({**whole, name: value}))
            assert found is None or 0.5 <= found.minutes <= 60.0
        for name in whole["setting"]:
            broken_off_of(json.dumps({**whole, "setting": {**whole["setting"], name: value}}))


def test_what_was_answered_before_the_end_is_not_asked_again_but_the_practice_goes_on(practice_in):
    practice = practice_in()
    session = practice.start(7)
    step = session.next()
    if step.introduction:
        session.ask()
    session.play()
    session.answer(step.question.right[0])
    practice.close()  # while what it was is being read
    practice = practice_in()
    left = practice.broken_off()
    assert (left.step, left.minutes) == (None, 7.0)
    session = practice.start(left.minutes, left.mode, going_on=left)
    session._spent_s = 120.0
    assert session.next().question.seed != step.question.seed
    practice.close()
    assert practice_in().broken_off().minutes == pytest.approx(5.0, abs=0.2)


@pytest.mark.parametrize("values", [{"sa_hz": 150.0}, {"tuning": "equal"}, {"gap_names": "size"}])
def test_a_question_at_another_sa_or_in_another_tuning_is_not_asked_any_more(left, values):
    practice, step = left
    assert practice.broken_off().step == step
    practice.save(replace(practice.settings, **values))
    assert practice.broken_off().step is None


@pytest.mark.parametrize("mode", [Mode(), Mode("kind", "deck")])
@pytest.mark.parametrize("gone", ["deck", "recording"])
def test_what_is_of_a_deck_that_is_gone_is_not_asked_any_more(tmp_path, practice_in, mode, gone):
    shelf, (sound, samples) = Shelf(tmp_path), brought_in()
    shelf.recordings.mkdir(parents=True)
    (shelf.recordings / sound).write_bytes(samples)
    (tmp_path / "gaps.toml").write_text(deck_text("gaps", recording=sound * (gone == "recording")))
    shelf.take(shelf.look(tmp_path / "gaps.toml"))
    practice = practice_in()
    step = practice.start(5, mode).next()
    practice.close()
    practice = practice_in()
    assert practice.broken_off().step == step
    assert step.question.kind == "deck"
    if gone == "deck":
        shelf.remove("gaps")
        practice.refresh()
    else:  # and nobody has noticed it yet
        (shelf.recordings / sound).unlink()
    left = practice.broken_off()
    assert left is None if gone == "deck" and mode != Mode() else left.step is None


def test_a_question_by_another_teachers_word_or_with_no_log_to_look_in_is_not_asked_any_more(
    tmp_path, left, monkeypatch
):
    practice, step = left
    path = tmp_path / broken_off.FILE_NAME
    whole = json.loads(path.read_text())
    path.write_text(json.dumps({**whole, "setting": {**whole["setting"], "tradition": "old"}}))
    assert practice.broken_off().step is None
    path.write_text(json.dumps(whole))
    assert practice.broken_off().step == step

    def held(*_):
        raise LogError("log", wrong="another program holds it", remedy="wait")

    monkeypatch.setattr(practice._log, "latest", held)
    assert practice.broken_off().step is None


def test_it_is_gone_on_with_in_the_language_that_is_spoken_then(left):
    practice, step = left
    use("hi")
    try:
        again = practice.broken_off().step
        assert (again.question.skill, again.question.seed) == (
            step.question.skill,
            step.question.seed,
        )
        assert step.introduction
        for text in (again.why, again.introduction, again.question.prompt):
            assert script_of(text) == "Deva"
    finally:
        use()
