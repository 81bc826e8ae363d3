"""Writing and making, whole: a student writes a dictation and makes a phrase of a raga by touch,
hears both before sending them, and is told what was otherwise and what the raga says.

Real window, real touches, a real sound device whose monitor is recorded, a real log.
"""

import time

import numpy as np
import pytest

from practice.own_line import own_score
from scheduler import Log
from screens.beside import BesidePlace
from screens.findings import FindingRow
from tests.window.hands import frames, touch, wait_for
from tests.window.phrases import make
from tests.window.test_drill import plate
from tests.window.test_main_job import AFTER_PLUCK_S, RATE, drone_hz, off_cents, position

pytestmark = [pytest.mark.window, pytest.mark.sound]
pytest_plugins = ("tests.sound_device",)

DICTATION, WISH = "write:swaras:3", "raga-make:meend:yaman"
BROKEN = "N G m/ P G R"
"""What is made: the Ma of it is not Yaman's, but that of Bilawal and many others."""
COURSE = f"""
name = "Phrases"
about = "To write and to make."
[[step]]
name = "Both"
skills = ["{DICTATION}", "{WISH}"]
"""
PIECE_S = 0.3
"""How much of a steady pitch is measured."""
WITHIN_CENTS = 3.0
"""Of so short a piece, beside a drone that has partials of its own nearly there."""


RATIOS = {"S": 1, "R": 9 / 8, "G": 5 / 4, "m": 4 / 3, "P": 3 / 2, "D": 5 / 3, "N": 15 / 8}
"""Just intonation, as in any textbook of acoustics: swaras above Sa, of Bilawal and so of these."""


class Heard:
    """A line as it was played, and when."""

    def __init__(self, drill, line):
        session = drill._session
        self.score = own_score(drill._step.question, line)
        self.sa_hz = drill._step.question.cue.sa_hz
        before = session.hear_own
        session.hear_own = lambda given: self._note(before(given), given)
        touch(drill.ids.phrase.ids.hear)
        session.hear_own = before
        assert self.given == line
        self.began_at = self._playing.ends_at - session.seconds_of(self.score)

    def _note(self, playing, given):
        self._playing, self.given = playing, given
        return playing

    def wait(self):
        last = (
            max(second for stroke in self.score.strokes for second, _ in steady(stroke)) + PIECE_S
        )
        wait_for(lambda: time.monotonic() > self.began_at + last + 0.1, what="the phrase")


def steady(stroke):
    """(second, cents) of each pitch that a stroke holds for long enough to be measured."""
    path = [*stroke.path, (stroke.duration_s, stroke.path[-1][1])]
    held, begun = [], 0
    for number in range(1, len(path)):
        if path[number][1] != path[begun][1]:
            begun = number
        elif number + 1 == len(path) or path[number + 1][1] != path[begun][1]:
            start = max(path[begun][0], AFTER_PLUCK_S)
            if path[number][0] - start >= PIECE_S:
                held.append((stroke.onset_s + start, path[begun][1]))
    return held


def check_pitches(samples, recording, heard):
    """Every pitch that is held, where the score has it; how many were measured."""
    score = heard.score
    measured = 0
    wished = [round(1200 * np.log2(RATIOS[swara]), 3) for swara in heard.given if swara in RATIOS]
    held = [cents for stroke in score.strokes for _, cents in steady(stroke)]
    assert [round(cents, 3) for cents in held] == wished
    for stroke in score.strokes:
        for second, cents in steady(stroke):
            start = position(recording, heard.began_at + second)
            part = samples[start : start + round(PIECE_S * RATE)].astype(np.float64)
            others = [hz for other in score.strokes if other.end_s < second < other.end_s + 0.2
                      for hz in [heard.sa_hz * 2 ** (other.path[-1][1] / 1200)]]  # fmt: skip
            off = off_cents(part, cents, heard.sa_hz, [*drone_hz(score), *others])
            assert abs(off) < WITHIN_CENTS, (heard.given, second, cents, off)
            measured += 1
    return measured


def see(drill, part):
    """Roll what stands among the words into view, and touch it."""
    drill.ids.roll.scroll_to(part, animate=False)
    frames(2)
    touch(part)


def ask(drill, skill):
    """Go on to the question that asks for this skill, while its cue begins to sound."""
    while True:
        wait_for(lambda: drill.stage in ("new", "asking"), what="a question")
        frames(2)
        if drill.stage == "new":
            touch(plate(drill, "Ask me"))
        question = drill._step.question
        if question.skill == skill:
            return question
        make(drill, " ".join([question.choices[0].id] * question.fewest))
        touch(drill.ids.phrase.ids.answer)
        touch(plate(drill, "Next"))


def test_a_dictation_is_written_and_a_phrase_made_heard_and_told(null_sink, open_app, tmp_path):
    courses = tmp_path / "student" / "courses"
    courses.mkdir(parents=True)
    (courses / "phrases.toml").write_text(COURSE)
    with null_sink.recording() as recording:
        app = open_app((600, 960), speaker="stream", minutes=15, seed=1, course="phrases")
        touch(app.manager.get_screen("practice").ids.begin)
        drill = app._screen("drill")

        question = ask(drill, DICTATION)
        right = question.right[0].split()
        other = next(choice.id for choice in question.choices if choice.id != right[-1])
        line = " ".join([*right[:-1], other])
        make(drill, line)
        written = Heard(drill, line)
        written.wait()
        touch(drill.ids.phrase.ids.answer)
        assert drill.verdict.startswith("Partly right: 2 of 3 swaras")
        places = [part for part in drill.walk() if isinstance(part, BesidePlace)]
        wrong = [place for place in places if place.mark == "otherwise"]
        assert [place.text for place in wrong] == [other]
        see(drill, wrong[0])
        touch(plate(drill, "Next"))

        ask(drill, WISH)
        make(drill, BROKEN)
        made = Heard(drill, BROKEN)
        made.wait()
        touch(drill.ids.phrase.ids.answer)
        frames(3)
        rows = [part for part in drill.walk() if isinstance(part, FindingRow)]
        said = {row.text: row.kind for row in rows}
        assert said["It has one meend."] == "right"
        assert any("not shuddha Ma" in text and kind == "otherwise" for text, kind in said.items())
        see(drill, plate(drill, "Keep this phrase"))
        samples = recording.samples
    assert app.practice.speaker.trouble is None

    assert check_pitches(samples, recording, written) == 3
    assert check_pitches(samples, recording, made) == 6  # both ends of the meend among them
    (kept,) = app.practice.phrases()
    assert (kept.sargam, kept.raga) == (BROKEN, "yaman")
    with Log.reading(app.practice.folder / "log.sqlite") as log:
        given = {row.skill: row.given for row in log.answers()}
    assert given[DICTATION] == line
    assert given[WISH] == BROKEN
