"""Logs, backups and journals torn in every way that it can think of; what can be saved must be.

Run by hand: `python -m tests.scheduler.all_damaged_logs --count 2000`. Each time some files of a
student's folder are torn, and the log is opened. Then every answer and every note must stand in it
that stands in a whole line of a journal, in the newest backup that is whole or in the log as far as
SQLite itself still reads it from the beginning; each as it was, and each device's in order. The
tests do some.
"""

from __future__ import annotations

import argparse
import gzip
import json
import random
import shutil
import sqlite3
import tempfile
import zlib
from contextlib import closing, suppress
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from scheduler import Answer, Log, Note
from scheduler.answer import milliseconds_of
from scheduler.schema import listed
from scheduler.tables import ANSWERS, NOTES

START = datetime(2026, 1, 5, 18, tzinfo=UTC)
NAME = "log.sqlite"


def made(folder: Path, rng: random.Random) -> None:
    """Some days of answers and notes on two devices, with backups and a session left out."""
    with Log(folder / NAME) as log:
        for day in range(6):
            for _ in range(rng.choice([1, 2, 3])):
                number, device = log.count(), rng.choice(["tablet", "desk"])
                more = range(number, number + rng.choice([1, 8, 25]))
                log.append_all(answer_on(device, day, each, rng) for each in more)
                log.append_all(note_on(device, day, each, rng) for each in more[:4])
            if day == 2:
                log.leave_out("tablet 1", student="Mira", device="tablet", utc=START)
            if rng.random() < 0.7:
                log.back_up(date(2026, 1, 5) + timedelta(day))


def answer_on(device: str, day: int, number: int, rng: random.Random) -> Answer:
    return Answer(
        uuid=f"{rng.getrandbits(128):032x}",
        student="Mira",
        skill=f"swara:{number % 50}",
        kind="swara",
        seed=number,
        setting={"sa_hz": 138.59, "met": ["swara:1"] * rng.randrange(60)},
        choices=("a", "b"),
        right=("a",),
        given=rng.choice("ab"),
        credit=rng.choice([0.0, 1.0]),
        heard=None,
        chance=0.5,
        predicted=rng.random(),
        reason="new",
        response_ms=900,
        utc=START + timedelta(days=day + rng.choice([0, 0, -3]), seconds=number),
        offset_min=330,
        monotonic_s=float(number),
        device=device,
        session=f"{device} {day}",
    )


def note_on(device: str, day: int, number: int, rng: random.Random) -> Note:
    return Note(
        uuid=f"{rng.getrandbits(128):032x}",
        student="Mira",
        what=rng.choice(["palta", "phrase"]),
        data={"key": f"three {number}", "sargam": "S R G " * rng.randrange(20)},
        utc_ms=milliseconds_of(
            START + timedelta(days=day + rng.choice([0, 0, -3]), seconds=number)
        ),
        offset_min=330,
        device=device,
    )


def torn(file: Path, rng: random.Random) -> None:
    content = bytearray(file.read_bytes())
    at, length = rng.randrange(len(content) + 1), rng.choice([1, 16, 700, 5000, len(content)])
    match rng.randrange(6):
        case 0:
            content[at : at + length] = b"\xff" * len(content[at : at + length])
        case 1:
            content[at : at + length] = bytes(len(content[at : at + length]))
        case 2:
            content[at : at + length] = rng.randbytes(len(content[at : at + length]))
        case 3:
            del content[at:]
        case 4:
            del content[at : at + length]
        case 5:
            content[at:at] = content[:length]
    file.write_bytes(content)


def told_by_journals(folder: Path) -> set[str]:
    """The uuids in lines of which the checksum is right, read by nothing of ours."""
    found = set()
    for file in (folder / "backups").glob("*.jsonl"):
        for line in file.read_bytes().split(b"\n"):
            with suppress(ValueError, KeyError, TypeError, UnicodeDecodeError):
                read = json.loads(line)
                if int(read["crc"], 16) == zlib.crc32(line.partition(b",")[2]):
                    found.add((read.get("answers") or read["notes"])["uuid"])
    return found


def told_by_backup(folder: Path) -> set[str]:
    """Those in the backup that holds most, of those that gzip's own checksum calls whole."""
    told: set[str] = set()
    for file in (folder / "backups").glob("*.gz"):
        with suppress(OSError, EOFError, zlib.error), tempfile.NamedTemporaryFile() as plain:
            plain.write(gzip.decompress(file.read_bytes()))
            plain.flush()
            with closing(sqlite3.connect(plain.name)) as conn:
                found = {
                    row[0]
                    for table in ("answers", "notes")
                    for row in conn.execute(f"SELECT uuid FROM {table} NOT INDEXED")
                }
            told = max(told, found, key=len)
    return told


def told_by_log(folder: Path, true: dict[str, Answer | Note]) -> set[str]:
    """Those that SQLite still reads as they were, from the beginning of each table until it
    fails."""
    found = set()
    for table in (ANSWERS, NOTES):
        query = f"SELECT {listed(table.columns)} FROM {table.name} ORDER BY rowid"
        with tempfile.TemporaryDirectory() as name, suppress(sqlite3.Error, ValueError):
            shutil.copy(folder / NAME, name)
            with closing(sqlite3.connect(Path(name) / NAME)) as conn:
                for row in conn.execute(query):
                    if row[0] in true and row == table.values(true[row[0]]):
                        found.add(row[0])
    return found


def check(rng: random.Random, kinds: list[str]) -> str | None:
    """Tear some files and open the log; returns what a student is told."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        made(folder, rng)
        with Log(folder / NAME) as log:
            true = rows_of(log)
            order, leavings = orders(log), log.leavings()
        torn(folder / NAME, rng)
        for file in (folder / "backups").iterdir():
            if any(file.name.endswith(kind) for kind in kinds) and rng.random() < 0.6:
                torn(file, rng)
        copied = told_by_journals(folder) | told_by_backup(folder)
        told = copied | told_by_log(folder, true)
        with Log(folder / NAME) as log:
            if log.trouble is None:  # where the damage is told by no structure
                return None
            has = rows_of(log)
            assert told <= has.keys(), f"{len(told - has.keys())} were not saved: {log.trouble}"
            altered = [uuid for uuid in copied if has[uuid] != true[uuid]]
            assert not altered, "a row was taken from the torn log though a copy is whole"
            if not kinds:
                assert has == true
                assert orders(log) == order
                assert log.leavings() == leavings
                assert "none is missing" in log.trouble, log.trouble
            # What could be read only from the torn log may be torn itself, its device among it.
            own = {uuid for uuid in true.keys() & has if true[uuid].device == has[uuid].device}
            for device, rows in orders(log).items():
                kept = [uuid for uuid in order.get(device, []) if uuid in own]
                assert [uuid for uuid in rows if uuid in own] == kept, "the order has changed"
            return log.trouble


def rows_of(log: Log) -> dict[str, Answer | Note]:
    """All answers and notes."""
    return {row.uuid: row for row in (*log.answers(), *log.notes())}


def orders(log: Log) -> dict[str, list[str]]:
    """By device and table, its rows in their order."""
    found: dict[str, list[str]] = {}
    for table in ("answers", "notes"):
        for uuid, device in log._db.execute(f"SELECT uuid, device FROM {table} ORDER BY rowid"):
            found.setdefault(f"{device} {table}", []).append(uuid)
    return found


KINDS = [[], [".gz"], [".jsonl"], [".gz", ".jsonl"]]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--seed", type=int, default=0)
    given = parser.parse_args()
    mended = 0
    for number in range(given.seed, given.seed + given.count):
        try:
            mended += check(random.Random(number), KINDS[number % len(KINDS)]) is not None
        except BaseException:
            print(f"--seed {number} --count 1")
            raise
    print(f"{given.count} times torn, {mended} times noticed and put together; nothing was lost")


if __name__ == "__main__":
    main()
