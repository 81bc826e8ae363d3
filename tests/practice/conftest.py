"""A practice with a real log and a real folder; time and seeds are given, silence plays."""

from datetime import UTC, datetime, timedelta
from itertools import count

import pytest

from practice import Practice, sounding
from practice.exercise import Exercise
from tests.no_drone import loop_for
from tests.practice.exercising import Time, Whole


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


@pytest.fixture
def time():
    return Time()


@pytest.fixture
def on(open_practice, time):
    """An exercise on a speaker of this sort, with its palta: (practice, exercise)."""

    def on(sort=Whole):
        practice = open_practice()
        practice.speaker = sort(time)
        exercise = Exercise(practice, clock=time, wall=lambda: 0.0)
        exercise.open()
        return practice, exercise

    return on
