"""What carrying a log costs: handing it over, and taking it in anew, again and with little new.

Run by hand: `python tests/benchmarks/carrying.py [--rows 1000000]`, at a hundredth, a tenth and all
of the rows. Beside handing over stands `zip` on the same lines, beside taking in a plain reading of
the lines by Python's json. Seconds are of processor time, since the disk is shared.
"""

from __future__ import annotations

import argparse
import json
import resource
import shutil
import subprocess
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable
from datetime import UTC, datetime
from itertools import islice
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from practice.log_files import hand_over_log, look_at_log, take_log
from practice.settings import Settings, save_settings
from scheduler import Log
from tests.benchmarks.picking import answers_to, course_of, fill

NOW = datetime(2026, 11, 29, 17, 30, tzinfo=UTC)
A_PRACTICE = 60
"""Answers."""


def once(what: str, work: Callable[[], object]) -> None:
    before = time.process_time()
    work()
    print(f"{what:52} {time.process_time() - before:8.2f} s")


def carrying(rows: int) -> None:
    print(f"\n{rows} rows")
    items = course_of(1000)
    with tempfile.TemporaryDirectory() as name:
        source, home, path = Path(name) / "source", Path(name) / "home", Path(name) / "log.zip"
        source.mkdir()
        with Log(source / "log.sqlite", keeps_journal=False) as log:
            fill(log, items, rows)
            (student,) = log.students()
        save_settings(Settings(student_id=student), source)
        once("handed over", lambda: hand_over_log(source, path, NOW))
        print(f"{'  its size':52} {path.stat().st_size / 1e6:8.2f} MB")
        _peers(path, Path(name))
        once("looked at where it is new", lambda: look_at_log(path, home))
        once("taken in where it is new", lambda: take_log(path, home, NOW))
        once("taken in where it is known", lambda: take_log(path, home, NOW))
        with Log(source / "log.sqlite", keeps_journal=False) as log:
            log.append_all(islice(answers_to(items, rows + A_PRACTICE), rows, None))
        hand_over_log(source, path, NOW)
        once("taken in after one more practice", lambda: take_log(path, home, NOW))


def _peers(path: Path, folder: Path) -> None:
    with zipfile.ZipFile(path) as archive:
        archive.extract("answers.jsonl", folder)
    lines = folder / "answers.jsonl"
    if shutil.which("zip"):
        before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
        subprocess.run(["zip", "-q", folder / "peer.zip", lines], check=True)
        spent = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - before
        print(f"{'  zip, of the same lines':52} {spent:8.2f} s")
    with lines.open("rb") as file:
        once("  json, of the same lines", lambda: sum(1 for line in file if json.loads(line)))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--rows", type=int, default=1_000_000)
    rows = parser.parse_args().rows
    for part in (100, 10, 1):
        carrying(rows // part)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"\nat most {peak:.0f} MB of memory, filling the logs included")


if __name__ == "__main__":
    main()
