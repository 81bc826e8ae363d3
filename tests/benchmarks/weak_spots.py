"""What it costs to see weak spots in a long log: time and memory, beside counting in SQLite.

Run by hand: `python tests/benchmarks/weak_spots.py [--rows 1000000] [--window]`. A student of many
years is written to a log, in which some things are known to be taken for others. Then, each in a
process of its own, a practice is opened and all that the screen and the lesson page show is worked
out, as often as is said; the peer is SQLite grouping the same answers by skill and week. Memory is
that of the whole process, and of one that has opened an empty log. With `--window` the real window
is opened too (offscreen), and timed until the picture stands.
"""

from __future__ import annotations

import argparse
import json
import os
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

TIMES = 5
A_DAY = 90
"""Answers a day."""
STUDENT = "asha"
COUNTING = """
SELECT skill, (utc_ms / 86400000 - 4) / 7 AS week, count(*), sum(credit = 1.0), sum(chance)
FROM answers WHERE student = ? AND chance < 1.0 GROUP BY skill, week
"""


def write(folder: Path, rows: int) -> None:
    """The log of so many answers, and settings beside it."""
    from practice.settings import Settings, save_settings
    from practice.standing import LOG_NAME
    from quizzes.courses import load_course
    from scheduler import Log
    from scheduler.schema import INSERT, row_of
    from tests import taken

    save_settings(Settings(student_id=STUDENT, cautions_seen=True), folder)
    asked = {"swara", "gap", "raga-from-phrase", "ornament", "tala", "which-stage"}
    skills = [skill.id for skill in load_course().skills if skill.kind in asked]
    made = taken.rows(
        skills, rows, until=datetime.now(UTC), days=max(1, rows // A_DAY), student=STUDENT
    )
    with Log(folder / LOG_NAME) as log, log._db.atomic():
        log._db.conn.executemany(INSERT, map(row_of, made))


def open_and_work_out(folder: Path) -> dict[str, float]:
    """Opens a practice and works out what is shown; seconds and megabytes."""
    from practice import Practice
    from practice.gaps import gaps_of
    from practice.pairs import matrix, worst_pairs
    from practice.progress import changed, days_done, threshold_series
    from practice.things import SUBJECTS

    begun = time.perf_counter()
    practice = Practice(folder, speaker="silence")
    opened = time.perf_counter()
    standing = practice.standing()
    gaps_of(standing)
    for subject in SUBJECTS:
        matrix(standing, subject)
    worst_pairs(standing)
    days_done(standing)
    threshold_series(standing)
    changed(standing)
    shown = time.perf_counter()
    practice.close()
    return {"opening": opened - begun, "working out": shown - opened, "MB": _used_mb()}


def show_in_window(folder: Path) -> dict[str, float]:
    """From a touch on the way there until the picture stands, in the real window."""
    os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
    from screens.start import prepare

    prepare(folder)
    from kivy.base import EventLoop

    from practice import Practice
    from screens.app import KaanApp

    practice = Practice(folder, speaker="silence")
    app = KaanApp(practice)
    app._run_prepare()
    for _ in range(5):
        EventLoop.idle()
    begun = time.perf_counter()
    app.go("weak")
    screen = app.manager.current_screen
    while screen.waiting:
        EventLoop.idle()
    EventLoop.idle()
    shown = time.perf_counter()
    used = _used_mb()
    app.stop()
    practice.close()
    return {"shown": shown - begun, "MB": used}


def _used_mb() -> float:
    """The most memory that this process has held; getrusage would count its parent's in."""
    status = Path("/proc/self/status").read_text("ascii")
    (line,) = (line for line in status.splitlines() if line.startswith("VmHWM:"))
    return int(line.split()[1]) / 1024


def apart(work: str, folder: Path) -> dict[str, float]:
    """The same in a process of its own."""
    command = [sys.executable, __file__, "--work", work, str(folder)]
    told = subprocess.run(command, stdout=subprocess.PIPE, text=True, check=True, cwd=ROOT)
    return dict(json.loads(told.stdout.splitlines()[-1]))


def median_of(work: str, folder: Path) -> dict[str, float]:
    found = [apart(work, folder) for _ in range(TIMES)]
    return {name: statistics.median(each[name] for each in found) for name in found[0]}


def counting(folder: Path) -> float:
    """Seconds in which SQLite counts the same answers by skill and week."""
    from practice.standing import LOG_NAME

    with closing(sqlite3.connect(folder / LOG_NAME)) as conn:
        spent = []
        for _ in range(3):
            before = time.perf_counter()
            conn.execute(COUNTING, (STUDENT,)).fetchall()
            spent.append(time.perf_counter() - before)
    return statistics.median(spent)


def measure(rows: int, *, window: bool) -> None:
    works = ["open_and_work_out", *(["show_in_window"] if window else [])]
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "student"
        write(folder, rows)
        first = apart("open_and_work_out", folder)  # nothing is kept yet
        peer = counting(folder)
        print(f"\n{rows} answers; SQLite counts them by skill and week in {peer:.2f} s")
        print(f"  the first time, from all rows: opening {first['opening']:.2f} s")
        for work in works:
            found = median_of(work, folder)
            told = ", ".join(
                f"{what} {value:.2f} s" for what, value in found.items() if what != "MB"
            )
            spent = sum(value for what, value in found.items() if what != "MB")
            print(f"  {work}: {told}; {spent / peer:.2f} of counting; {found['MB']:.0f} MB")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rows", type=int, default=1_000_000)
    parser.add_argument("--window", action="store_true")
    parser.add_argument("--work", nargs=2, metavar=("WORK", "FOLDER"), help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.work:
        work, folder = asked.work
        print(json.dumps(globals()[work](Path(folder))))
        return
    for rows in (0, asked.rows):
        measure(rows, window=asked.window)


if __name__ == "__main__":
    main()
