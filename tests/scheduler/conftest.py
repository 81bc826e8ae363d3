"""Answers and courses for the scheduler's tests."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import fields
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from scheduler import Answer, Item, Log, Note
from scheduler.answer import milliseconds_of

START = datetime(2026, 1, 5, 18, 0, tzinfo=UTC)


@pytest.fixture
def start() -> datetime:
    return START


def make_answer(skill: str = "a", *, day: float = 0.0, **changes: object) -> Answer:
    """One answer, `day` days after START, plausible in all that is not given."""
    values: dict[str, object] = {
        "student": "Mira",
        "skill": skill,
        "kind": "swara",
        "seed": 7,
        "setting": {"sa_hz": 138.59, "met": ["a", "b"], "level": None},
        "choices": ("a", "b", "c", "d"),
        "right": ("a",),
        "given": "a",
        "credit": 1.0,
        "heard": None,
        "chance": 0.25,
        "predicted": 0.5,
        "reason": "new",
        "response_ms": 1800,
        "utc": START + timedelta(days=day),
        "offset_min": 330,
        "monotonic_s": 86_400.0 * day + 50.0,
        "device": "tablet",
        "session": f"day {int(day)}",
    }
    return Answer(**{**values, **changes})  # type: ignore[arg-type]


def make_note(what: str = "palta", minute: float = 0.0, **told: object) -> Note:
    """One note, `minute` minutes after START; what is no field of it is told as its data."""
    names = {field.name for field in fields(Note)}
    values: dict[str, object] = {
        "student": "Mira",
        "what": what,
        "data": {name: value for name, value in told.items() if name not in names},
        "utc_ms": milliseconds_of(START + timedelta(minutes=minute)),
        "offset_min": 330,
        "device": "tablet",
    }
    changes = {name: value for name, value in told.items() if name in names}
    return Note(**{**values, **changes})  # type: ignore[arg-type]


def whole_copy(log: Log, path: Path) -> None:
    """A copy of an open log in one file, by SQLite's own backup."""
    with closing(sqlite3.connect(log.path)) as whole, closing(sqlite3.connect(path)) as copy:
        whole.backup(copy)


@pytest.fixture
def answer_to() -> Callable[..., Answer]:
    """answer_to("a", credit=0.0, day=2, ...): see `make_answer`."""
    return make_answer


@pytest.fixture
def course() -> tuple[Item, ...]:
    """Three kinds in turn, forty-two skills."""
    swaras = [
        Item(f"swara:{i}", "swara", "perception", f"s{i // 4}", 1 / 7, 9.0) for i in range(14)
    ]
    gaps = [Item(f"gap:{i}", "gap", "perception", f"g{i // 2}", 0.25, 11.0) for i in range(14)]
    stages = [Item(f"stage:{i}", "stage", "orders", "stages", 0.25, 14.0) for i in range(14)]
    return tuple(item for three in zip(swaras, gaps, stages, strict=True) for item in three)
