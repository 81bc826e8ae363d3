"""Damages files of logs in every way that comes to mind, and looks at what becomes of them.

    python -m tests.practice.all_damaged_logs --count 100000

Each is made from a seed: bytes changed, cut, doubled, exchanged or put in, and files made anew of
which about.json tells truly, but whose lines, values or names are others. Whatever it is, it is
either refused by an error of our own, with all as it was, to the byte; or, where the damage touches
nothing that is told, taken as the whole file would have been. The tests try a sample.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import random
import shutil
import sqlite3
import tempfile
import time
import zipfile
from collections import Counter
from collections.abc import Callable, Sequence
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from practice.log_files import hand_over_log, look_at_log, take_log
from practice.settings import Settings, save_settings
from scheduler import Answer, Log, LogError, Note
from scheduler.carrying import read_log_file
from scheduler.errors import LogFileError, RowConflictError
from tests.scheduler.conftest import START, make_answer, make_note

NOW = datetime(2026, 11, 29, 17, 30, tzinfo=UTC)
STUDENT = "student-mira"
ANEW = ("line", "value", "name", "about")
KINDS = ("bytes", "cut", "doubled", "exchanged", "put in") * 3 + ANEW
VALUES = (
    None, True, False, 0, -1, 1, 2, 7.5, -0.0, 1e308, 2**63, -(2**63) - 1, 10**40, float("nan"),
    float("inf"), "", "\0", "x", "\ud800", "é" * 300, "../..", [], [1], ["a"], {}, {"a": 1}, [[]],
    "student-ravi", "2026-11-29", "0001-01-01T00:00:00+00:00", "0" * 64,
)  # fmt: skip


class Damaging:
    """Makes damaged files by their seeds, beside a home that knows half of what the whole holds."""

    def __init__(self, root: Path) -> None:
        self._root, self.home, self.path = root, root / "home", root / "damaged.zip"
        self.count: Counter[str] = Counter()

    def __enter__(self) -> Damaging:
        source = self._root / "source"
        save_settings(Settings(student_id=STUDENT, student_name="Mira"), source)
        with Log(source / "log.sqlite") as log:
            log.append_all([*self._answers(4), *self._notes(2)])
            whole = self._root / "whole.zip"
            take_log(hand_over_log(source, whole, NOW).path, self.home, NOW)
            log.append_all([*self._answers(4, first=4), *self._notes(2, first=2)])
            log.leave_out("day 1", student=STUDENT, device="tablet", utc=START)
        self._whole = hand_over_log(source, whole, NOW).path.read_bytes()
        self._folder = self.home / "students" / STUDENT
        self._kept = self._root / "kept"
        shutil.copytree(self._folder, self._kept)
        self._held = dump_of(self._folder)
        self.path.write_bytes(self._whole)
        take_log(self.path, self.home, NOW)
        self._after = dump_of(self._folder)
        self._restore()
        return self

    def __exit__(self, *_: object) -> None:
        pass

    def _answers(self, count: int, first: int = 0) -> list[Answer]:
        return [
            make_answer("ab"[day % 2], day=day, student=STUDENT, uuid=f"uuid {day}")
            for day in range(first, first + count)
        ]

    def _notes(self, count: int, first: int = 0) -> list[Note]:
        return [
            make_note(
                "palta", 7 * n, student=STUDENT, uuid=f"note {n}", key=f"three {n}", tempo=60.0
            )
            for n in range(first, first + count)
        ]

    def _restore(self) -> None:
        shutil.rmtree(self._folder)
        shutil.copytree(self._kept, self._folder)
        self._before = _files_in(self._folder)

    def judge(self, seed: int, kinds: Sequence[str] = KINDS) -> None:
        """Bring one in. Raises AssertionError where it does what it may not."""
        rng = random.Random(seed)
        kind = rng.choice(kinds)
        self.path.write_bytes(_CHANGES[kind](self._whole, rng))
        seen = self._error(look_at_log, self.home) if seed % 10 == 0 else None
        error = self._error(take_log, self.home, NOW)
        assert seen is None or type(seen) is type(error), f"{kind}, seed {seed}"
        if error is None:
            self.count["taken"] += 1
            self._judge_taken(is_anew=kind in ANEW)
        else:
            self.count["refused"] += 1
            assert str(self.path) in str(error), error
            assert error.wrong, error
            assert error.remedy, error
            assert len(str(error)) < 900, error
        if isinstance(error, LogFileError):  # found before anything was opened to be written
            assert _files_in(self._folder) == self._before, f"{kind}, seed {seed}"
        elif error is not None:
            assert dump_of(self._folder) == self._held, f"{kind}, seed {seed}"
            self._restore()
        others = {each.name for each in (self.home / "students").iterdir()} - {STUDENT}
        assert not others or kind == "about", f"{kind}, seed {seed}: {others}"
        for name in others:
            shutil.rmtree(self.home / "students" / name)

    def _error(self, work: Callable[..., object], *given: object) -> LogError | None:
        try:
            work(self.path, *given)
        except (LogFileError, RowConflictError) as error:
            return error
        return None

    def _judge_taken(self, *, is_anew: bool) -> None:
        """What was taken is what the whole file would have brought; or, where a file was made anew
        with other answers that could be, just added, and fit to be handed over again."""
        dump = dump_of(self._folder)
        if is_anew:
            assert set(self._held) <= set(dump)
            again = hand_over_log(self._folder, self._root / "again.zip", NOW)
            carried = read_log_file(again.path)
            assert [each.utc.astimezone() for each in carried.answers()]
        else:
            assert dump == self._after
        self._restore()


def dump_of(folder: Path) -> list[str]:
    """All that the log of a folder holds, as SQLite writes it out."""
    with closing(sqlite3.connect(f"file:{folder / 'log.sqlite'}?mode=ro", uri=True)) as conn:
        return sorted(conn.iterdump())


def _files_in(folder: Path) -> dict[str, bytes]:
    """All that lies there and holds something, but for what SQLite makes anew with every
    connection."""
    found = {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*.*")}
    return {name: held for name, held in found.items() if held and not name.endswith("-shm")}


def _some_bytes(data: bytes, rng: random.Random) -> bytes:
    changed = bytearray(data)
    for _ in range(rng.choice([1, 1, 2, 9])):
        at = rng.randrange(len(changed))
        changed[at] = (
            changed[at] ^ 1 << rng.randrange(8) if rng.random() < 0.5 else rng.choice(b"\0\xffPK7")
        )
    return bytes(changed)


def _cut(data: bytes, rng: random.Random) -> bytes:
    at = rng.randrange(len(data))
    return rng.choice([data[:at], data[at:], data[:at] + b"\0" * (len(data) - at)])


def _doubled(data: bytes, rng: random.Random) -> bytes:
    at, end = sorted(rng.randrange(len(data) + 1) for _ in range(2))
    return rng.choice([data[:end] + data[at:]] * 9 + [data * 2, data + data[at:end]])


def _exchanged(data: bytes, rng: random.Random) -> bytes:
    a, b, c = sorted(rng.randrange(len(data) + 1) for _ in range(3))
    return data[:a] + data[b:c] + data[a:b] + data[c:]


def _put_in(data: bytes, rng: random.Random) -> bytes:
    at = rng.randrange(len(data) + 1)
    return data[:at] + rng.randbytes(rng.choice([1, 4, 100])) + data[at:]


def _anew(data: bytes, change, rng: random.Random) -> bytes:
    """The file made anew of changed content, of which about.json tells truly."""
    with tempfile.TemporaryFile() as file:
        file.write(data)
        with zipfile.ZipFile(file) as archive:
            entries = {name: archive.read(name) for name in archive.namelist()}
    about = json.loads(entries.pop("about.json"))
    name = rng.choice(["answers.jsonl"] * 3 + ["left_out.jsonl"] + ["notes.jsonl"] * 2)
    lines = entries[name].splitlines(keepends=True)
    change(lines, about, rng)
    entries[name] = b"".join(lines)
    told = about.get("entries") if isinstance(about, dict) else None
    if change is not _change_about:
        for each, content in entries.items():
            told[each] = {
                "rows": content.count(b"\n"),
                "bytes": len(content),
                "sha256": hashlib.sha256(content).hexdigest(),
            }
    with tempfile.TemporaryFile() as file:
        with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
            archive.writestr("about.json", json.dumps(about))
            for each, content in entries.items():
                archive.writestr(each, content)
        file.seek(0)
        return file.read()


def _change_line(lines: list[bytes], about: dict, rng: random.Random) -> None:
    at = rng.randrange(len(lines))
    changes = [
        lambda: lines.pop(at),
        lambda: lines.insert(at, lines[at]),
        lambda: lines.insert(at, rng.choice([b"\n", b"{}\n", b"[]\n", b"null\n", b"\xff\n", b"x"])),
        lambda: lines.__setitem__(at, lines[at][: rng.randrange(len(lines[at]))]),
        lambda: lines.__setitem__(at, _some_bytes(lines[at][:-1], rng).replace(b"\n", b"") + b"\n"),
    ]
    rng.choice(changes)()


def _change_value(lines: list[bytes], about: dict, rng: random.Random) -> None:
    at = rng.randrange(len(lines))
    row = json.loads(lines[at])
    row[rng.choice([*(set(row) - {"uuid"})])] = rng.choice(VALUES)
    lines[at] = json.dumps(row).encode() + b"\n"


def _change_name(lines: list[bytes], about: dict, rng: random.Random) -> None:
    at = rng.randrange(len(lines))
    row = json.loads(lines[at])
    name = rng.choice(sorted(row))
    value = row.pop(name)
    if rng.random() < 0.5:
        row[name.upper()] = value
    lines[at] = json.dumps(row).encode() + b"\n"


def _change_about(lines: list[bytes], about: dict, rng: random.Random) -> None:
    within = rng.choice([about, about["about"], *about["entries"].values()])
    name = rng.choice(sorted(within))
    if rng.random() < 0.2:
        del within[name]
    else:
        within[name] = rng.choice(VALUES)


_CHANGES = {
    "bytes": _some_bytes,
    "cut": _cut,
    "doubled": _doubled,
    "exchanged": _exchanged,
    "put in": _put_in,
    "line": lambda data, rng: _anew(data, _change_line, rng),
    "value": lambda data, rng: _anew(data, _change_value, rng),
    "name": lambda data, rng: _anew(data, _change_name, rng),
    "about": lambda data, rng: _anew(data, _change_about, rng),
}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--count", type=int, default=10_000)
    parser.add_argument("--first", type=int, default=0, help="the first seed")
    options = parser.parse_args()
    began = time.perf_counter()
    with tempfile.TemporaryDirectory() as root, Damaging(Path(root)) as damaging:
        for seed in range(options.first, options.first + options.count):
            damaging.judge(seed)
        print(dict(damaging.count), f"{time.perf_counter() - began:.0f} s")


if __name__ == "__main__":
    main()
