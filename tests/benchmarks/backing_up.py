"""What a log's backup and journal cost: an answer with its journal and without, a backup in time
and size, and putting a damaged log together; beside SQLite's copying and the program gzip.

Run by hand: `python tests/benchmarks/backing_up.py [--rows 1000000]`, at a hundredth, a tenth and
all of the rows.
"""

from __future__ import annotations

import argparse
import os
import resource
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from datetime import date
from itertools import islice
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from scheduler import Log
from scheduler.backups import backups_of
from scheduler.journal import PACKED, PLAIN, files_of, pack
from tests.benchmarks.picking import answers_to, course_of, fill, show, spread

MB = 1e6


def once(what: str, work: Callable[[], object]) -> None:
    before, worked = time.perf_counter(), time.process_time()
    work()
    spent, worked = time.perf_counter() - before, time.process_time() - worked
    print(f"{what:52} {spent:8.2f} s, {worked:.2f} s of a core by this process")


def appending(count: int = 300) -> None:
    """In turn with and without a journal, so that both meet the same disk."""
    items = course_of(1000)
    with (
        tempfile.TemporaryDirectory() as name,
        Log(Path(name) / "a.db") as ours,
        Log(Path(name) / "b.db", keeps_journal=False) as peer,
    ):
        spent: dict[Log, list[float]] = {ours: [], peer: []}
        for answer in answers_to(items, count):
            for log, times in spent.items():
                before = time.perf_counter()
                log.append(answer)
                times.append(1000 * (time.perf_counter() - before))
        show("an answer, with its journal", spread(spent[ours]), spread(spent[peer]), "without")


def backing_up(rows: int) -> None:
    print(f"\n{rows} rows")
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "log.sqlite"
        with Log(path, keeps_journal=False) as log:
            fill(log, course_of(1000), rows)
            once("a backup: copied, checked, packed, read again", lambda: log.back_up(date.today()))
            once("  peer: SQLite's copying alone", lambda: copied(path, Path(name) / "copy"))
            size, (backup,) = Path(name, "copy").stat().st_size, backups_of(path)
            packed = backup.path.stat().st_size
            print(f"{'its size, of so much':52} {packed / MB:8.1f} of {size / MB:.1f} MB")
            once(
                "  peer: gzip -6",
                lambda: subprocess.run(["gzip", "-k6", name + "/copy"], check=True),
            )
        with Log(path) as log:
            more = rows + min(rows, 20_000)
            answers = list(islice(answers_to(course_of(1000), more), rows, None))
            once(
                f"a union of {len(answers)} more, with their journal",
                lambda: log.append_all(answers),
            )
        (journal,) = files_of(path, PLAIN)
        size = journal.path.stat().st_size
        old = time.time() - 10 * 86_400
        yesterday = journal.path.with_name(journal.path.name.replace(journal.day, "2026-01-01"))
        journal.path.rename(yesterday)
        os.utime(yesterday, (old, old))
        once("packing their journal", lambda: pack(path))
        (journal,) = files_of(path, PACKED)
        packed = journal.path.stat().st_size
        print(f"{'its size, of so much':52} {packed / MB:8.1f} of {size / MB:.1f} MB")
        with path.open("r+b") as file:
            file.seek(path.stat().st_size // 2)
            file.write(b"\xff" * 20_000)

        def mended() -> None:
            with Log(path) as log:
                print(log.trouble)

        once("putting it together, torn in the middle", mended)
        most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000
        print(f"{'largest memory of this process so far':52} {most:8.0f} MB")


def copied(path: Path, copy: Path) -> None:
    with closing(sqlite3.connect(path)) as source, closing(sqlite3.connect(copy)) as target:
        source.backup(target)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rows", type=int, default=1_000_000)
    rows = parser.parse_args().rows
    appending()
    for part in (100, 10, 1):
        backing_up(rows // part)
