"""How long frames take while cues sound: the app in its window, with its drone, used by a student.

    .venv/bin/python tests/benchmarks/frames.py [--questions 20] [--size 1120x760] [--over 40]

Opens the app as `main.py` does, on a folder of its own, without a display (SDL's offscreen driver,
software GL) and with a private sound server's null sink, begins a practice and touches, rolls,
slides, answers and goes on. A frame's work is the time from the end of the last frame to its own
end, without what it slept for its turn (60 a second), so that what a touch sets off counts too.
Prints a histogram of that on the wall and of what the main thread computed, which a machine that
is busy elsewhere moves less, and of the longest frames what the student did and what ran then; how
long it takes from the touch on Next until what it sets off leaves the device; and where the
recording of the whole is silent, which it is nowhere, as the drone sounds from the first question
to the end.
"""

from __future__ import annotations

import argparse
import collections
import gc
import itertools
import os
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))
gc.disable()  # as main.py does until the first screen has been seen

import numpy as np  # noqa: E402

from screens.start import prepare  # noqa: E402
from tests.sound_device import RATE, Recording, missing_part, serving  # noqa: E402

BINS_MS = (5, 10, 16.7, 25, 33.3, 50, 75, 100, 200)
LOOKED_EVERY_S = 0.004
SILENCE_DB, SILENT_FRAMES = -60.0, RATE * 5 // 1000
"""Below what the drone is at its softest, for at least 5 ms."""
FADING_FRAMES = 2 * RATE
"""For so long the drone comes in, from nothing."""


@dataclass
class Frame:
    """One frame: what was being done, and in ms its work, that of the main thread alone, and the
    garbage collector's pauses in it."""

    doing: str
    work_ms: float
    computed_ms: float
    gc_ms: float
    stacks: collections.Counter[str] = field(default_factory=collections.Counter)


class Watch:
    """Measures each frame between `begin` and the end."""

    def __init__(self) -> None:
        from kivy.base import EventLoop
        from kivy.clock import Clock

        self.frames: list[Frame] = []
        self.doing = ""
        self._slept_s = self._gc_s = self._gc_from = 0.0
        self._last = time.perf_counter(), time.thread_time()
        self._stacks: collections.Counter[str] = collections.Counter()
        self._main = threading.get_ident()
        self._idle, self._sleep = EventLoop.idle, Clock.idle
        EventLoop.idle, Clock.idle = self._frame, self._turn
        gc.callbacks.append(self._swept)
        threading.Thread(target=self._look, daemon=True).start()

    def _turn(self) -> float:
        before = time.perf_counter()
        now = self._sleep()
        self._slept_s += time.perf_counter() - before
        return now

    def _swept(self, phase: str, _: dict[str, int]) -> None:
        if phase == "start":
            self._gc_from = time.perf_counter()
        else:
            self._gc_s += time.perf_counter() - self._gc_from

    def _look(self) -> None:
        """Now and then, on a thread of its own: where is the main thread?"""
        while True:
            time.sleep(LOOKED_EVERY_S)
            frame = sys._current_frames().get(self._main)
            names = []
            while frame is not None and len(names) < 40:
                code = frame.f_code
                if "/kivy/" not in code.co_filename:
                    names.append(f"{Path(code.co_filename).stem}.{code.co_name}")
                frame = frame.f_back
            self._stacks[" < ".join(names[:5])] += 1

    def _frame(self) -> None:
        self._idle()
        now = time.perf_counter(), time.thread_time()
        work_s = now[0] - self._last[0] - self._slept_s
        self.frames.append(
            Frame(
                self.doing,
                1000 * work_s,
                1000 * (now[1] - self._last[1]),
                1000 * self._gc_s,
                self._stacks,
            )
        )
        self._stacks = collections.Counter()
        self._slept_s = self._gc_s = 0.0
        self._last = time.perf_counter(), time.thread_time()

    @contextmanager
    def told(self, doing: str) -> Iterator[None]:
        """What is done in this block, and in the frame after it."""
        self.doing = doing
        yield
        frames(2)
        self.doing = "between"


def frames(count: int) -> None:
    from kivy.base import EventLoop

    for _ in range(count):
        EventLoop.idle()


def for_seconds(seconds: float) -> None:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        frames(1)


def until(fact: Callable[[], Any], patience_s: float = 60.0) -> None:
    end = time.monotonic() + patience_s
    while not fact():
        if time.monotonic() > end:
            raise SystemExit("what was waited for did not come")
        frames(1)


def use(app: Any, watch: Watch, sounds: Sounds, questions: int) -> None:
    """Practise as a student does who touches whatever there is before answering."""
    from tests.window.hands import Finger, touch
    from tests.window.practising import give

    with watch.told("begin"):
        touch(app.manager.get_screen("practice").ids.begin)
        drill = app.manager.get_screen("drill")
        until(lambda: drill.stage in ("new", "asking"))
    for number in range(1, questions + 1):
        question = drill._step.question
        way = drill.answers_on
        if drill.stage == "new":
            for_seconds(0.5)
            with watch.told(f"ask me ({question.skill})"):
                touch(drill.main_thing())
        with watch.told(f"listen ({question.skill})"):
            for_seconds(1.0)
        with watch.told(f"listen again ({question.skill})"):
            drill.listen()
            for_seconds(0.3)
        with watch.told(f"roll ({way})"):
            roll = drill.ids.roll
            x, y = roll.to_window(*roll.center)
            held = Finger(x, y).go_down()
            for step in range(12):
                held.slide_to(x, y + 6 * step)
                frames(1)
            held.come_up()
        if way == "string":
            with watch.told("drag the string"):
                slide_over(drill.pad)
        if drill.stage == "asking":
            wrong = next((c.id for c in question.choices if c.id not in question.right), "")
            wrongly = number % 3 == 0 and wrong and way in ("string", "choices")
            with watch.told(f"answer ({question.skill})"):
                give(drill, wrong if wrongly else question.right[0])
                until(lambda: drill.stage == "answered")
        with watch.told(f"hear what it was ({question.skill})"):
            drill.hear_right()
            for_seconds(0.6)
        if number < questions:
            with watch.told(f"next ({question.skill})"):
                sounds.expect()
                touch(drill.main_thing())
                until(lambda: drill.stage in ("new", "asking"))
                sounds.note()
    with watch.told("end"):
        drill.finish()


class Sounds:
    """When what a touch sets off leaves the device, by the speaker's own reckoning."""

    def __init__(self) -> None:
        from kivy.core.window import Window

        from practice.sounding import Sounding

        self.delays_ms: list[float] = []
        self._expected = False
        self._touched_at = 0.0
        real = Sounding.play

        def play(sounding: Any, score: Any, *arguments: Any, **named: Any) -> Any:
            playing = real(sounding, score, *arguments, **named)
            if self._expected:
                self._expected = False
                self._playing = playing
            return playing

        Sounding.play = play  # type: ignore[method-assign]
        Window.fbind("on_touch_up", self._up)

    def expect(self) -> None:
        """The next touch sets off a cue."""
        self._expected, self._playing = True, None

    def _up(self, *_: Any) -> None:
        self._touched_at = time.monotonic()

    def note(self) -> None:
        """The cue that was set off has begun: how long after the touch?"""
        cue = self._playing._cue
        until(lambda: cue.start_frame is not None)
        began_at = self._playing._timeline.leaves(cue.start_frame, time.monotonic())
        self.delays_ms.append(1000 * (began_at - self._touched_at))


def silences(recording: Recording) -> list[tuple[float, float]]:
    """(seconds from the beginning, ms) of each silence once the drone has come in."""
    loud = np.flatnonzero(np.abs(recording.samples) > 10 ** (SILENCE_DB / 20))
    loud = loud[loud > loud[0] + FADING_FRAMES]
    steps = np.diff(loud)
    return [
        (loud[at] / RATE, 1000 * steps[at] / RATE) for at in np.flatnonzero(steps > SILENT_FRAMES)
    ]


def slide_over(pad: Any) -> None:
    """Down on one fret, along to others, and off the string, where nothing is answered."""
    from tests.window.hands import Finger

    frets = [pad.to_window(*pad.middle_of(str(fret.swara))) for fret in pad.offered()[:4]]
    held = Finger(*frets[0]).go_down()
    for (x, y), (to_x, to_y) in itertools.pairwise(frets):
        for part in range(1, 9):
            held.slide_to(x + (to_x - x) * part / 8, y + (to_y - y) * part / 8)
            frames(1)
    held.slide_to(0, 0)
    frames(1)
    held.come_up()


def histogram(name: str, values: list[float]) -> None:
    counts = [0] * (len(BINS_MS) + 1)
    for value in values:
        counts[sum(value > edge for edge in BINS_MS)] += 1
    print(f"{name}: {len(values)} frames, longest {max(values):.1f} ms")
    for low, high, count in zip((0, *BINS_MS), (*BINS_MS, float("inf")), counts, strict=True):
        bar = "#" * round(60 * count / len(values))
        print(f"  {low:6g} to {high:6g} ms {count:6d} {100 * count / len(values):6.2f} %  {bar}")


def tell(watch: Watch, over_ms: float) -> None:
    histogram("On the wall", [frame.work_ms for frame in watch.frames])
    histogram("Computed", [frame.computed_ms for frame in watch.frames])
    longest = sorted(watch.frames, key=lambda frame: -frame.computed_ms)
    print(f"\nThe longest, over {over_ms:g} ms computed:")
    for frame in longest[:25]:
        if frame.computed_ms < over_ms:
            break
        print(
            f"{frame.computed_ms:7.1f} ms computed, {frame.work_ms:7.1f} on the wall, "
            f"{frame.gc_ms:5.1f} swept: {frame.doing}"
        )
        for stack, count in frame.stacks.most_common(3):
            print(f"      {count:3d} x {stack}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--questions", type=int, default=20)
    parser.add_argument("--size", default="1120x760")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--over", type=float, default=40.0, metavar="MS")
    options = parser.parse_args()
    if missing := missing_part():
        raise SystemExit(missing)
    os.environ["SDL_VIDEODRIVER"] = "offscreen"
    with tempfile.TemporaryDirectory() as name, serving() as sink:
        folder = Path(name)
        prepare(folder)
        from kivy.config import Config

        width, height = map(int, options.size.split("x"))
        Config.set("graphics", "width", str(width))
        Config.set("graphics", "height", str(height))
        from dataclasses import replace
        from functools import partial
        from itertools import count

        from kivy.base import EventLoop

        from practice import Practice
        from screens.app import KaanApp

        seeds = partial(next, count(options.seed))
        practice = Practice(folder, speaker="stream", seeds=seeds)
        practice.save(replace(practice.settings, cautions_seen=True))
        app = KaanApp(practice)
        app._run_prepare()
        if EventLoop.status != "started":
            EventLoop.start()
        for_seconds(2.0)
        watch, sounds = Watch(), Sounds()
        frames(30)
        with sink.recording() as recording:
            use(app, watch, sounds, options.questions)
            silent = silences(recording)
        speaker = practice.speaker
        print(f"late fetches {speaker.late_fetches}, underruns {speaker.underruns}")
        app.stop()
        practice.close()
        tell(watch, options.over)
        half, most = np.percentile(sounds.delays_ms, (50, 95))
        print(f"From the touch on Next to its sound: {half:.0f} ms, p95 {most:.0f} ms")
        print(
            f"Silences of the drone: {len(silent)}",
            *(f"{at:.1f} s: {ms:.0f} ms" for at, ms in silent),
        )


if __name__ == "__main__":
    main()
