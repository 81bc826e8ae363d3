"""How long each way through the app holds its window up, for a student of many answers.

    .venv/bin/python tests/benchmarks/ways.py [--rows 20000] [--over 100]

Opens the app as `main.py` does, without a display (SDL's offscreen driver), on a student with so
many answers beside another with as many, and shows every screen for the first time, opens the other
student and looks at a log that was brought. Of each way it prints the longest frame, on the wall
and computed by the main thread, and when the last of the frames that took over 20 ms had ended:
what holds the window up for more than 300 ms shows no sign of life.
"""

from __future__ import annotations

import argparse
import gc
import os
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))
gc.disable()  # as main.py does until the first screen has been seen

from screens.start import prepare  # noqa: E402
from tests.benchmarks.frames import Watch, for_seconds, frames  # noqa: E402
from tests.benchmarks.weak_spots import write  # noqa: E402

AFTER_S = 1.5
LONG_MS = 20.0
OTHER = "Bina"


def ways(app: Any, folder: Path) -> Iterator[tuple[str, Callable[[], None]]]:
    """Each way by a name, and what a touch there does."""
    from practice.log_files import hand_over_log
    from practice.students import Students

    carried = folder / "carried"
    carried.mkdir()
    first, practice = app.manager.current_screen, app.practice
    yield "what the first screen holds, anew", first.ask_again
    for name in sorted(app._later | app.desk.makers()):
        if name not in ("preview", "question", "course step"):  # come with something to show
            yield f"the screen {name}", lambda name=name: app.go(name)
            yield "back to the first", lambda: app.go("practice")
    path = carried / "answers.zip"
    hand_over_log(practice, path, datetime.now(UTC))
    frames(1)
    yield "a log that was brought", lambda: app.desk.logs.bring(path, tell=lambda said: None)
    yield "back to the first", lambda: app.go("practice")
    other = next(known for known in Students(folder).all() if known.folder != folder)
    yield "another student", lambda: app.practise_as(other)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rows", type=int, default=20_000)
    parser.add_argument("--over", type=float, default=100.0, metavar="MS")
    options = parser.parse_args()
    os.environ["SDL_VIDEODRIVER"] = "offscreen"
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        prepare(folder)
        from kivy.base import EventLoop

        from practice import Practice
        from practice.students import Students
        from screens.app import KaanApp

        write(folder, options.rows)
        write(Students(folder).ready(Students(folder).add(OTHER)), options.rows)
        app = KaanApp(Practice(folder, speaker="silence"))
        app._run_prepare()
        if EventLoop.status != "started":
            EventLoop.start()
        for_seconds(3.0)
        watch = Watch()
        for way, act in ways(app, folder):
            frames(1)
            watch.frames.clear()
            begun = time.perf_counter()
            act()
            ended = begun
            while time.perf_counter() < begun + AFTER_S:
                EventLoop.idle()
                if watch.frames[-1].work_ms > LONG_MS:
                    ended = time.perf_counter()
            longest = max(watch.frames, key=lambda frame: frame.computed_ms)
            told = "  <<" if longest.computed_ms > options.over else ""
            print(
                f"{way:32} {longest.work_ms:7.0f} ms on the wall, {longest.computed_ms:5.0f} "
                f"computed; the last long one after {1000 * (ended - begun):5.0f} ms{told}"
            )
            if told:
                for stack, count in longest.stacks.most_common(4):
                    print(f"      {count:3d} x {stack}")
        app.stop()
        app.practice.close()


if __name__ == "__main__":
    main()
