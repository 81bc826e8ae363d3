"""A practice that was broken off is gone on with at its question, also after a kill."""

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practice import Mode, Practice, broken_off

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


def test_what_was_ended_or_is_too_long_ago_or_unreadable_is_not_gone_on_with(
    tmp_path, practice_in, monkeypatch
):
    practice = practice_in()
    path = tmp_path / broken_off.FILE_NAME
    practice.start(5, Mode()).next()
    assert path.exists()
    practice.end()
    assert not path.exists()
    practice.start(5, Mode()).next()
    practice.close()
    assert broken_off.read(tmp_path) is not None
    whole = json.loads(path.read_text())
    for wrong in (
        "",
        "[]",
        json.dumps({**whole, "skill": "no:such"}),
        json.dumps({**whole, "at": time.time() - 7 * 3600}),
        json.dumps({**whole, "at": time.time() + 60}),
        json.dumps({**whole, "left_s": 10.0}),
        json.dumps({**whole, "mode": "nothing"}),
        json.dumps({name: value for name, value in whole.items() if name != "setting"}),
    ):
        path.write_text(wrong)
        assert broken_off.read(tmp_path) is None


@given(st.binary(max_size=400))
def test_whatever_stands_in_the_file_nothing_breaks(tmp_path_factory, what):
    folder = tmp_path_factory.getbasetemp()
    (folder / broken_off.FILE_NAME).write_bytes(what)
    assert broken_off.read(folder) is None
    os.unlink(folder / broken_off.FILE_NAME)
