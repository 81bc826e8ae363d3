"""A student's first ten minutes with Kaan: a timed list of touches and sounds; run by hand.

    .venv/bin/python -m tests.window.first_ten_minutes build/first-ten-minutes.txt [--minutes 10]
        [--size 600x960]

The real app on an empty folder, real touches, real time: each cue is heard out before it is
answered, every fifth answer is wrong, and then both sounds are compared. What was heard is measured
in a recording of the sound device (a null sink's monitor): pitches of plucked notes by their
partials, levels as RMS against full scale.
"""

from __future__ import annotations

import argparse
import itertools
import random
import tempfile
import time
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from tests.window import opened

opened.set_up()

from audio.score import Score  # noqa: E402 - after the window is set up
from practice import Practice  # noqa: E402
from practice.listening import LEAD_S, NOTE_S, STEP_DB  # noqa: E402
from practice.settings import LOWEST_VOLUME_DB  # noqa: E402
from practice.sounding import Sounding  # noqa: E402
from tests.sound_device import RATE, Recording, serving  # noqa: E402
from tests.window import hands  # noqa: E402
from tests.window.practising import give, leave  # noqa: E402
from tests.window.test_main_job import AFTER_PLUCK_S, drone_hz, off_cents, position  # noqa: E402

PIECE_S = 0.4
THINKS_S = (0.8, 2.5)
WRONG_EVERY = 5
JUST_HEARD_STEPS = 5
"""After so many steps of the listening check this student hears the note."""


@dataclass
class Heard:
    """Something that was played: when, and its score."""

    at: float
    what: str
    score: Score
    began_at: float


class Diary:
    """What happened, with the seconds since the app was opened."""

    def __init__(self) -> None:
        self.begun = time.monotonic()
        self.lines: list[tuple[float, str]] = []
        self.heard: list[Heard] = []

    def note(self, text: str, at: float | None = None) -> None:
        self.lines.append((time.monotonic() if at is None else at, text))

    def written(self) -> str:
        rows = sorted(self.lines)
        return "\n".join(
            f"{int((at - self.begun) // 60)}:{(at - self.begun) % 60:04.1f}  {text}"
            for at, text in rows
        )


def words_of(thing: Any) -> str:
    for name in ("text", "label", "word"):
        if getattr(thing, name, ""):
            return str(getattr(thing, name))
    return type(thing).__name__


def listen_in(diary: Diary) -> None:
    """Note whatever a session plays, as it is played."""
    play = Sounding.play

    def noted(self: Any, score: Score, *given: Any, **more: Any) -> Any:
        playing = play(self, score, *given, **more)
        frames = self._instrument.frames_of(score)
        began_at = playing.ends_at - frames / RATE + self.lead_s
        diary.heard.append(Heard(time.monotonic(), "", score, began_at))
        return playing

    Sounding.play = noted  # type: ignore[method-assign]


class Student:
    """Hands, and an ear that waits until a sound is over."""

    def __init__(self, app: Any, diary: Diary, until_s: float) -> None:
        self.app, self.diary, self.until_s = app, diary, until_s
        self.chance = random.Random(7)

    @property
    def over(self) -> bool:
        return time.monotonic() - self.diary.begun > self.until_s

    def wait(self, seconds: float) -> None:
        end = time.monotonic() + seconds
        hands.wait_for(lambda: time.monotonic() > end, what="the time", patience_s=seconds + 30)

    def think(self) -> None:
        self.wait(self.chance.uniform(*THINKS_S))

    def touch(self, thing: Any) -> None:
        self.diary.note(f"touches  {words_of(thing)}")
        hands.touch(thing)
        hands.frames(2)

    def hear_out(self) -> None:
        last = self.diary.heard[-1]
        length_s = max((stroke.end_s for stroke in last.score.strokes), default=0.5)
        rest_s = min(last.began_at + length_s, last.at + 12.0) - time.monotonic()
        if rest_s > 0.0:
            self.wait(rest_s)

    def onward(self, screen: Any) -> None:
        """To the next step, or to the end of the cautions first."""
        step = screen.step
        while self.app.manager.current_screen is screen and screen.step == step:
            self.touch(screen.ids.onward)
            self.think()

    def first_steps(self) -> None:
        screen = self.app.manager.current_screen
        self.think()
        screen.part.ids.name.text = "Mira"
        self.diary.note("writes   Mira")
        self.onward(screen)
        self.touch(screen.part.ids.check)
        self.wait(LEAD_S + (JUST_HEARD_STEPS + 0.5) * NOTE_S)
        self.touch(screen.part.ids.check)
        heard_db = LOWEST_VOLUME_DB + JUST_HEARD_STEPS * STEP_DB
        volume_db = self.app.practice.settings.volume_db
        self.diary.note(f"volume   heard at {heard_db:.0f} dB, set to {volume_db:.0f} dB")
        self.wait(4.0)
        self.onward(screen)
        self.touch(screen.part.ids.note.children[3])
        self.diary.note(f"Sa       {screen.part.sa_words}")
        self.wait(4.0)
        self.onward(screen)
        self.onward(screen)

    def drill(self) -> None:
        drill = self.app.manager.get_screen("drill")
        for number in itertools.count(1):
            hands.wait_for(lambda: drill.stage in ("new", "asking"), what="a question")
            hands.frames(2)
            if self.over or self.app.manager.current != "drill":
                return
            step = drill._step
            if drill.stage == "new":
                self.diary.note(f"reads    {drill.introduction}")
                self.diary.heard[-1].what = "what is new"
                self.hear_out()
                self.think()
                self.touch(drill.main_thing())
            self.diary.note(f"asked    {step.question.prompt} ({step.question.skill})")
            self.diary.heard[-1].what = "the cue"
            self.hear_out()
            self.think()
            self.answer(drill, wrong=number % WRONG_EVERY == 0)
            self.diary.note(f"told     {drill.verdict}. {drill.explained}")
            if drill.given_plays:
                for plate in [
                    p for p in drill.walk() if hasattr(p, "kind") and hasattr(p, "played")
                ]:
                    self.touch(plate)
                    self.diary.heard[-1].what = f"{plate.word}: {plate.label}"
                    self.hear_out()
            self.think()
            self.touch(drill.main_thing())

    def answer(self, drill: Any, *, wrong: bool) -> None:
        question = drill._step.question
        others = [c.id for c in question.choices if c.id not in question.right]
        wrong = wrong and bool(others) and question.answer_on in ("string", "choices")
        given = others[0] if wrong else question.right[0]
        labels = {choice.id: choice.label for choice in question.choices}
        self.diary.note(f"answers  {labels.get(given, given)}")
        give(drill, given)
        hands.wait_for(lambda: drill.stage == "answered", what="the verdict")
        hands.frames(2)

    def leave(self) -> None:
        self.diary.note("touches  Leave, and ends it")
        summary = leave(self.app, self.app.manager.get_screen("drill"))
        for words in (w for w in summary.walk() if hasattr(w, "role") and w.text):
            self.diary.note(f"told     {words.text}")


def measured(heard: Heard, samples: np.ndarray, recording: Recording) -> str:
    """The pitches and levels of what was played, as the recording has them."""
    told = []
    for stroke in heard.score.strokes[:8]:
        start = position(recording, heard.began_at + stroke.onset_s + AFTER_PLUCK_S)
        part = samples[start : start + round(PIECE_S * RATE)].astype(np.float64)
        if len(part) < PIECE_S * RATE or stroke.duration_s < AFTER_PLUCK_S + PIECE_S:
            continue
        cents = stroke.path[0][1]
        is_steady = all(c == cents for _, c in stroke.path)
        level = 20 * np.log10(np.sqrt(np.mean(np.square(part))) + 1e-9)
        hz = heard.score.sa_hz * 2 ** (cents / 1200)
        if not is_steady or heard.score.drone is None:
            told.append(f"{hz:.1f} Hz moving, {level:.0f} dBFS")
            continue
        off = off_cents(part, cents, heard.score.sa_hz, drone_hz(heard.score))
        told.append(f"{hz:.1f} Hz ({off:+.1f} cents), {level:.0f} dBFS")
    after_ms = (heard.began_at - heard.at) * 1000.0
    return (
        f"{'; '.join(told) or 'no steady note'}; its score begins {after_ms:+.0f} ms from the call"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--size", default="600x960")
    options = parser.parse_args()
    width, height = map(int, options.size.split("x"))
    with tempfile.TemporaryDirectory() as folder, ExitStack() as stack:
        sink = stack.enter_context(serving())
        recording = stack.enter_context(sink.recording())
        diary = Diary()
        listen_in(diary)
        practice = Practice(
            Path(folder) / "student", speaker="stream", seeds=itertools.count(1).__next__
        )
        with opened.app_on(practice, (width, height)) as app:
            diary.note(f"opens    Kaan, on {app.manager.current!r}")
            student = Student(app, diary, options.minutes * 60.0)
            student.first_steps()
            student.drill()
            student.leave()
        trouble = practice.speaker.trouble
        practice.close()
        samples = recording.samples
    for one in diary.heard:
        diary.note(f"hears    {one.what or 'a sound'}: {measured(one, samples, recording)}", one.at)
    options.out.parent.mkdir(parents=True, exist_ok=True)
    options.out.write_text(diary.written() + "\n", encoding="utf-8")
    print(f"{len(diary.lines)} lines are in {options.out}; speaker: {trouble or 'no trouble'}")


if __name__ == "__main__":
    main()
