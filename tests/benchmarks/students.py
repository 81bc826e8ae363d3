"""What planning is worth: made-up students in five published worlds, by our plan and by peers.

Run by hand: `python tests/benchmarks/students.py [--students 24] [--minutes 15 5.5]
[--worlds A B C D E] [--ways ours "round robin"] [--days 70] [--jobs 2] [--calibration]
[--clocks 0.06] [--siblings 0.1] [--out rows.jsonl] [--from rows.jsonl]`. Prints tables of plain
text with each world as a column, each figure with its standard error over students.
`--calibration` adds predictions on common streams of answers; `--out` keeps every student's row as
a line of JSON, `--from` prints such again.

The worlds are in `simulated/worlds.py`, each with its source; all students are invented. Round
robin and chance begin the whole course at once, which J rewards and few students would bear. At
lessons, compare "ours" with "ours, lessons untold": a lesson is about skills already begun, and
other ways have begun others.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.benchmarks.simulated import jobs
from tests.benchmarks.simulated.measures import CALIBRATED_FROM_DAY
from tests.benchmarks.simulated.practice import Terms
from tests.benchmarks.simulated.tables import calibration_tables, practice_tables
from tests.benchmarks.simulated.worlds import WORLDS

LIBRARIES = ("fsrs", "ebisu")


def main() -> None:
    asked = _arguments()
    rows = _read(asked.rows) if asked.rows else _run(asked)
    present = {row["way"] for row in rows}
    ways = [way for way in asked.ways if way in present]
    libraries = [way for way in ways if way.startswith(LIBRARIES)]
    for minutes in sorted({row["minutes"] for row in rows}, reverse=True):
        of_budget = [row for row in rows if row["minutes"] == minutes]
        for what, table in (("practice", practice_tables), ("calibration", calibration_tables)):
            of_what = [row for row in of_budget if row["what"] == what]
            if of_what:
                students = len({row["student"] for row in of_what})
                print(f"\n== {what}, {minutes:g} minutes a day, {students} students ==\n")
                more = (libraries,) if what == "practice" else ()
                print(table(of_what, ways, *more))


def _arguments() -> argparse.Namespace:
    names = jobs.names()
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--students", type=int, default=24)
    parser.add_argument("--first", type=int, default=0, help="number of the first student")
    parser.add_argument("--minutes", type=float, nargs="+", default=[15.0, 5.5])
    parser.add_argument("--worlds", nargs="+", default=list(WORLDS), choices=list(WORLDS))
    parser.add_argument("--ways", nargs="+", default=names, choices=names, metavar="WAY")
    parser.add_argument("--days", type=int, default=70)
    parser.add_argument("--jobs", type=int, default=2, help="processes")
    parser.add_argument("--calibration", action="store_true", help="predictions, too")
    parser.add_argument("--only-calibration", action="store_true", help="nothing but predictions")
    parser.add_argument("--clocks", type=float, default=0.0, help="share of days the clock is off")
    parser.add_argument("--siblings", type=float, default=0.0, help="share of days shared")
    parser.add_argument("--out", type=Path, help="file for rows of results, JSON lines")
    parser.add_argument("--from", type=Path, dest="rows", help="print the rows of this file")
    asked = parser.parse_args()
    if (asked.calibration or asked.only_calibration) and asked.days <= CALIBRATED_FROM_DAY:
        parser.error(f"predictions count from day {CALIBRATED_FROM_DAY} on: give more --days")
    return asked


def _run(asked: argparse.Namespace) -> list[dict[str, Any]]:
    whats = [] if asked.only_calibration else ["practice"]
    if asked.calibration or asked.only_calibration:
        whats.append("calibration")
    work = [
        jobs.Job(
            what, way, world, student, Terms(minutes, asked.days, asked.clocks, asked.siblings)
        )
        for what in whats
        for minutes in asked.minutes
        for student in range(asked.first, asked.first + asked.students)
        for world in asked.worlds
        for way in asked.ways
    ]
    rows: list[dict[str, Any]] = []
    began = time.monotonic()
    out = asked.out.open("w", encoding="utf-8") if asked.out else None
    for number, row in enumerate(jobs.all_done(work, asked.jobs), start=1):
        if row is not None:
            rows.append(row)
            if out:
                print(json.dumps(row), file=out, flush=True)
        spent = time.monotonic() - began
        left = spent / number * (len(work) - number)
        if sys.stderr.isatty() or number * 20 // len(work) > (number - 1) * 20 // len(work):
            end = "\r" if sys.stderr.isatty() else "\n"
            told = f"{number} of {len(work)}, {spent:.0f} s, {left:.0f} s left   "
            print(told, end=end, file=sys.stderr, flush=True)
    print(file=sys.stderr)
    if out:
        out.close()
    return rows


def _read(path: Path) -> list[dict[str, Any]]:
    return [json.loads(line) for line in path.read_text("utf-8").splitlines()]


if __name__ == "__main__":
    main()
