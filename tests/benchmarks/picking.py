"""What scheduling costs: opening a log, a pick, the start of a day, appending; each beside a peer.

Run by hand: `python tests/benchmarks/picking.py [--rows 1000000] [--skills 10000]`. Prints the
median and 95th percentile and the ratio to a peer in the same run, at a hundredth, a tenth and all
of the rows and skills, so that growth shows. Peers are SQLite itself, reading every row or checking
the file, and the simplest ways to pick. At a million rows it takes some minutes: most of it is one
rebuilding of memory from all of them.
"""

from __future__ import annotations

import argparse
import random
import resource
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from functools import partial
from itertools import islice
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from practice.thresholds import Thresholds
from scheduler import (
    Answer,
    Item,
    Log,
    Meeting,
    Memory,
    Plan,
    Recalled,
    families_of,
    keep,
    kin_of,
    outlook,
    recalled,
)
from scheduler.answer import milliseconds_of
from scheduler.kept import kept_path
from scheduler.schema import INSERT, row_of

START = datetime(2025, 1, 1, 18, tzinfo=UTC)
SKILLS_WITH_ROWS = 1000
"""Skills of the course by which the answers of a log are made."""
MEETINGS = 10
"""Answers to each skill, where a pick is measured."""
FINE = "tune:P"
"""A skill whose differences grow finer with the ear."""

Times = tuple[float, float]
"""Median and 95th percentile in ms."""


def timed(work: Callable[[], object], times: int) -> Times:
    spent = []
    for _ in range(times):
        before = time.perf_counter()
        work()
        spent.append(1000 * (time.perf_counter() - before))
    return spread(spent)


def spread(spent: list[float]) -> Times:
    return statistics.median(spent), sorted(spent)[int(0.95 * (len(spent) - 1))]


def show(what: str, ours: Times, peer: Times, name: str) -> None:
    print(
        f"{what:44} {ours[0]:9.3f} ms  p95 {ours[1]:9.3f}   "
        f"{name}: {peer[0]:9.3f} ms   ratio {ours[0] / peer[0]:.3g}"
    )


def course_of(skills: int) -> list[Item]:
    """Four kinds, clusters of eight, kin of four; the first is one with a threshold."""
    families = ("perception", "perception", "facts", "orders")
    return [Item(FINE, "tune", "perception", "c0", 1 / 3, 9.0)] + [
        Item(
            f"k{i % 4}:{i}",
            f"k{i % 4}",
            families[i % 4],
            f"c{i // 8}",
            0.25,
            9.0 + i % 5,
            f"{i % (skills // 4)}",
        )
        for i in range(1, skills)
    ]


def answers_to(items: list[Item], rows: int) -> Iterator[Answer]:
    """Ninety answers a day, each skill in turn with some disorder, mistaken within its cluster."""
    rng = random.Random(1)
    for row in range(rows):
        place = (row + rng.randrange(40)) % len(items)
        item = items[place]
        day, number = divmod(row, 90)
        right = rng.random() < 0.8
        rival = items[min(place // 8 * 8 + rng.randrange(8), len(items) - 1)]
        yield Answer(
            uuid=f"{row:032x}",
            student="Mira",
            skill=item.skill,
            kind=item.kind,
            seed=row,
            setting={"sa_hz": 138.59, "met": [], "rivals": [], "level": 12.0},
            choices=("low", "true", "high"),
            right=("low",),
            given="low" if right else "true",
            credit=float(right),
            heard=None if right else rival.skill,
            chance=0.25,
            predicted=0.8,
            reason="coming 3",
            response_ms=rng.randrange(900, 6000),
            utc=START + timedelta(days=day, seconds=10 * number),
            offset_min=330,
            monotonic_s=10.0 * number,
            device="tablet",
            session=f"day {day}",
        )


def fill(log: Log, items: list[Item], rows: int) -> None:
    """Straight into the table, in one transaction: append would sync each row."""
    with log._db.atomic():
        log._db.conn.executemany(INSERT, map(row_of, answers_to(items, rows)))


# Opening, by rows.


def opening(rows: int) -> None:
    print(f"\n{rows} rows, {SKILLS_WITH_ROWS} skills")
    items = course_of(SKILLS_WITH_ROWS)
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "log.db"
        with Log(path) as log:
            fill(log, items, rows)
        every, check = reading_every_row(path), checking(path)
        before = time.perf_counter()
        found = open_whole(path, items)
        rebuilt = 1000 * (time.perf_counter() - before)
        show("open whole, nothing kept", (rebuilt, rebuilt), every, "sqlite3, every row")
        print(f"{'':44} {1000 * rebuilt / rows:.2f} µs a row; {found.doubt}")
        with Log(path) as log:
            written = timed(lambda: keep(found, log), 5)
            size = kept_path(path, "Mira").stat().st_size
        show(f"keep the memory, {size >> 10} KB", written, every, "sqlite3, every row")
        show(
            "open whole, kept",
            timed(lambda: open_whole(path, items), 9),
            every,
            "sqlite3, every row",
        )
        with Log(path) as log:
            log.append_all(islice(answers_to(items, rows + 90), rows, None))
        a_day = timed(lambda: open_whole(path, items), 9)
        show("open whole, kept, and ninety answers since", a_day, every, "sqlite3, every row")
        damaged = timed(lambda: open_in_doubt(path), 3)
        show("open the log in doubt", damaged, check, "sqlite3, quick_check")
        appending(path, items)


def open_whole(path: Path, items: list[Item]) -> Recalled:
    """As a practice does before its first question: log, memory, and a threshold."""
    with Log(path) as log:
        found = recalled(log, "Mira", families=families_of(items), kin=kin_of(items))
        Thresholds(partial(log.latest, "Mira")).next_level(FINE)
    return found


def open_in_doubt(path: Path) -> None:
    path.touch()
    Log(path).close()


def reading_every_row(path: Path) -> Times:
    with closing(sqlite3.connect(path)) as conn:
        return timed(lambda: sum(1 for _ in conn.execute("SELECT * FROM answers")), 3)


def checking(path: Path) -> Times:
    with closing(sqlite3.connect(path)) as conn:
        return timed(lambda: conn.execute("PRAGMA quick_check").fetchall(), 3)


def appending(path: Path, items: list[Item]) -> None:
    fresh = [
        Answer(**{**_fields(answer), "uuid": f"new {number}"})
        for number, answer in enumerate(answers_to(items, 200))
    ]
    todo = iter(fresh)
    with Log(path) as log:
        ours = timed(lambda: log.append(next(todo)), 100)
    with closing(sqlite3.connect(path.with_name("plain.db"), isolation_level=None)) as plain:
        plain.execute("PRAGMA journal_mode = WAL")
        plain.execute("PRAGMA synchronous = FULL")
        plain.execute("CREATE TABLE answers (" + ", ".join(f"c{i}" for i in range(21)) + ")")
        insert = f"INSERT INTO answers VALUES ({', '.join('?' * 21)})"
        rows = iter([row_of(answer) for answer in fresh])
        peer = timed(lambda: plain.execute(insert, next(rows)), 100)
    show("append, on disk", ours, peer, "plain sqlite3, WAL and FULL")


def _fields(answer: Answer) -> dict[str, object]:
    return {name: getattr(answer, name) for name in Answer.__dataclass_fields__}


# Picking, by skills.


def picking(skills: int) -> None:
    print(f"\n{skills} skills, {MEETINGS} answers to each")
    items = course_of(skills)
    answers = answers_to(items, MEETINGS * skills)
    memory = Memory.rebuilt(answers, families=families_of(items), kin=kin_of(items))
    now = START + timedelta(days=MEETINGS * skills // 90 + 1)

    def scan() -> Item:
        """The simplest way that looks at what is known: the least known of what is begun."""
        begun = (item for item in items if item.skill in memory.beliefs)
        return min(begun, key=lambda item: memory.knowledge(item.skill, now))

    scanned = timed(scan, 3)
    plan, picks, learning = Plan(items, memory, minutes=15, started=now), [], []
    for number in range(90):
        moment = now + timedelta(seconds=10 * number)
        before = time.perf_counter()
        pick = plan.pick(moment, seconds_left=600.0)
        between = time.perf_counter()
        assert pick is not None
        plan.answered(meeting_to(pick.item, moment, number))
        picks.append(1000 * (between - before))
        learning.append(1000 * (time.perf_counter() - between))
    show("pick", spread(picks), scanned, "a scan of all skills")
    show("take an answer", spread(learning), scanned, "a scan of all skills")
    day = timed(lambda: Plan(items, memory, minutes=15, started=now), 5)
    show("start of a day", day, scanned, "a scan of all skills")
    ahead = timed(lambda: outlook(Plan(items, memory, minutes=15, started=now)), 3)
    show("outlook of 15 minutes", ahead, scanned, "a scan of all skills")
    chance = timed(lambda: random.choice(items), 1000)
    print(f"{'':44} a random choice takes {1000 * chance[0]:.2f} µs")


def meeting_to(item: Item, now: datetime, number: int) -> Meeting:
    credit, stamp = float(number % 5 != 0), milliseconds_of(now)
    return Meeting(
        item.skill, item.kind, credit, None, 0.25, 2500, stamp, number * 10.0, "t", "now"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--skills", type=int, default=10_000)
    parser.add_argument("--rows", type=int, default=1_000_000)
    asked = parser.parse_args()
    for share in (100, 10, 1):
        picking(max(asked.skills // share, 50))
    for share in (100, 10, 1):
        opening(max(asked.rows // share, 1000))
    largest_kb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(f"\nlargest memory of the process: {largest_kb >> 10} MB")


if __name__ == "__main__":
    main()
