"""A practice with a real log and a real folder; time and seeds are given, silence plays."""

from datetime import UTC, datetime, timedelta
from itertools import count

import pytest

from practice import Practice, sounding
from tests.no_drone import loop_for


class Clock:
    """A wall clock that a test moves."""

    def __init__(self):
        self.now = datetime(2026, 3, 2, 18, 0, tzinfo=UTC)

    def __call__(self):
        return self.now

    def forward(self, **span):
        self.now += timedelta(**span)


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def open_practice(tmp_path, clock, monkeypatch):
    """Opens the practice of this test's folder, again and again if wished."""
    opened = []

    def open_it(**more):
        for practice in opened:
            practice.close()
        seeds = count(1)
        options = {"speaker": "silence", "seeds": lambda: next(seeds), "now": clock} | more
        monkeypatch.setattr(sounding, "_loop", loop_for(options["speaker"]))
        opened.append(Practice(tmp_path / "student", **options))
        return opened[-1]

    yield open_it
    for practice in opened:
        practice.close()
