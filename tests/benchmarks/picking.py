"""What scheduling costs: a pick, the start of a day, rebuilding, appending; each beside a peer.

Run by hand: `python tests/benchmarks/picking.py [--skills 10000] [--rows 1000000]`. Prints the
median and 95th percentile and the ratio to a peer in the same run, and how costs grow with the
number of skills and rows.
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
from datetime import UTC, datetime, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from scheduler import Answer, Item, Log, Meeting, Memory, Plan, families_of, outlook
from scheduler.answer import milliseconds_of
from scheduler.gain import gain
from scheduler.memory import seconds_of
from scheduler.schema import INSERT, row_of

START = datetime(2025, 1, 1, 18, tzinfo=UTC)


def timed(work: Callable[[], object], times: int) -> tuple[float, float]:
    """Median and 95th percentile in ms."""
    spent = []
    for _ in range(times):
        before = time.perf_counter()
        work()
        spent.append(1000 * (time.perf_counter() - before))
    return statistics.median(spent), sorted(spent)[int(0.95 * (len(spent) - 1))]


def show(what: str, ours: tuple[float, float], peer: tuple[float, float], name: str) -> None:
    print(
        f"{what:34} {ours[0]:9.3f} ms  p95 {ours[1]:9.3f}   "
        f"{name}: {peer[0]:9.3f} ms   ratio {ours[0] / peer[0]:.3g}"
    )


def course_of(skills: int) -> list[Item]:
    families = ("perception", "perception", "facts", "orders")
    return [
        Item(f"k{i % 4}:{i}", f"k{i % 4}", families[i % 4], f"c{i // 8}", 0.25, 9.0 + i % 5)
        for i in range(skills)
    ]


def answers_to(items: list[Item], rows: int) -> Iterator[Answer]:
    """Ninety answers a day, each skill in turn with some disorder."""
    rng = random.Random(1)
    for row in range(rows):
        item = items[(row + rng.randrange(40)) % len(items)]
        day, number = divmod(row, 90)
        right = rng.random() < 0.8
        yield Answer(
            uuid=f"{row:032x}",
            student="Mira",
            skill=item.skill,
            kind=item.kind,
            seed=row,
            setting={"sa_hz": 138.59, "met": [], "rivals": [], "level": None},
            choices=("a", "b", "c", "d"),
            right=("a",),
            given="a" if right else "b",
            credit=float(right),
            heard=None if right else rng.choice(items).skill,
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


def meeting_for(plan: Plan, now: datetime, number: int) -> Meeting | None:
    pick = plan.pick(now, seconds_left=600.0)
    if pick is None:
        return None
    item, credit = pick.item, float(number % 5 != 0)
    stamp = milliseconds_of(now)
    return Meeting(
        item.skill, item.kind, credit, None, 0.25, 2500, stamp, number * 10.0, "t", "now"
    )


def picking(items: list[Item], memory: Memory, now: datetime) -> None:
    def scan() -> Item:
        return max(
            (item for item in items if item.skill in memory.beliefs),
            key=lambda item: (
                gain(memory.beliefs[item.skill], seconds_of(now), memory.family(item.skill))
                / item.seconds
            ),
        )

    plan = Plan(items, memory, minutes=15, started=now)
    ours, number = [], 0
    for number in range(90):
        moment = now + timedelta(seconds=10 * number)
        before = time.perf_counter()
        plan.pick(moment, seconds_left=600.0)
        ours.append(1000 * (time.perf_counter() - before))
        meeting = meeting_for(plan, moment, number)
        assert meeting is not None
        plan.answered(meeting)
    one = statistics.median(ours), sorted(ours)[int(0.95 * len(ours))]
    show(f"pick, {len(items)} skills", one, timed(scan, 5), "scan of all skills")
    chance = timed(lambda: random.choice(items), 1000)
    print(f"{'':34} a random choice takes {1000 * chance[0]:.2f} µs")
    day = timed(lambda: Plan(items, memory, minutes=15, started=now), 5)
    show(f"start of a day, {len(items)} skills", day, timed(scan, 5), "scan of all skills")
    ahead = timed(lambda: outlook(Plan(items, memory, minutes=15, started=now)), 3)
    print(f"{'outlook of 15 minutes':34} {ahead[0]:9.3f} ms")


def rebuilding(log: Log, items: list[Item], rows: int) -> Memory:
    families = families_of(items)
    before = time.perf_counter()
    memory = Memory.rebuilt(log.meetings("Mira"), families=families)
    ours = 1000 * (time.perf_counter() - before)
    before = time.perf_counter()
    sum(1 for _ in log._db.conn.execute("SELECT * FROM answers"))
    peer = 1000 * (time.perf_counter() - before)
    show(f"rebuild, {rows} rows", (ours, ours), (peer, peer), "reading every row")
    print(f"{'':34} {1000 * ours / rows:.2f} µs a row")
    return memory


def appending(folder: Path, log: Log, items: list[Item]) -> None:
    fresh = [
        Answer(**{**_fields(answer), "uuid": f"new {number}"})
        for number, answer in enumerate(answers_to(items, 200))
    ]
    todo = iter(fresh)
    ours = timed(lambda: log.append(next(todo)), 100)
    plain = sqlite3.connect(folder / "plain.db", isolation_level=None)
    plain.execute("PRAGMA journal_mode = WAL")
    plain.execute("PRAGMA synchronous = FULL")
    plain.execute("CREATE TABLE answers (" + ", ".join(f"c{i}" for i in range(21)) + ")")
    insert = f"INSERT INTO answers VALUES ({', '.join('?' * 21)})"
    rows = iter([row_of(answer) for answer in fresh])
    peer = timed(lambda: plain.execute(insert, next(rows)), 100)
    plain.close()
    show("append, on disk", ours, peer, "plain sqlite3, WAL and FULL")


def _fields(answer: Answer) -> dict[str, object]:
    return {name: getattr(answer, name) for name in Answer.__dataclass_fields__}


def measure(skills: int, rows: int) -> None:
    print(f"\n{skills} skills, {rows} rows")
    items = course_of(skills)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        log = Log(folder / "log.db")
        fill(log, items, rows)
        log.close()
        before = time.perf_counter()
        log = Log(folder / "log.db")
        print(f"{'open and check':34} {1000 * (time.perf_counter() - before):9.3f} ms")
        memory = rebuilding(log, items, rows)
        now = START + timedelta(days=rows // 90 + 1)
        picking(items, memory, now)
        appending(folder, log, items)
        log.close()
    largest_kb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(f"{'largest memory so far':34} {largest_kb >> 10} MB")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--skills", type=int, default=10_000)
    parser.add_argument("--rows", type=int, default=1_000_000)
    asked = parser.parse_args()
    for share in (100, 10, 1):
        measure(max(asked.skills // share, 50), max(asked.rows // share, 1000))


if __name__ == "__main__":
    main()
