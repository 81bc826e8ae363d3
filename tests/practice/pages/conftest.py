"""Standings of students whose answers are made up."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from practice import Practice
from tests.practice.answering import Made, answers

KINDS = ("swara", "gap")
CONFUSED = Made(
    known=0.9,
    taken={("swara:", "G"): ("g", 0.6), ("gap:", "S-m"): ("S-P", 0.5)},
    hurried={"gap": 0.3},
    days=tuple(range(1, 22)),
)


def some_items(practice, most=24):
    """The first skills of the course of which questions are soon made."""
    return tuple(item for item in practice.standing().items if item.kind in KINDS)[:most]


NOW = datetime(2026, 3, 2, 18, 0, tzinfo=UTC)
"""A Monday."""


def standing_of(practice, count, made=None, **settings):
    """After so many answers."""
    practice.save(replace(practice.settings, **{"student_name": "Mira"} | settings))
    given = {"student": practice.settings.student_id, "now": NOW}
    practice._log.append_all(answers(some_items(practice), count, made=made, **given))
    practice.refresh()
    return practice.standing()


@pytest.fixture
def standing_after(tmp_path):
    """`standing_after(50, Made(…), **settings)`."""
    practice = Practice(tmp_path / "student", speaker="silence", now=lambda: NOW)
    yield lambda count, made=None, **settings: standing_of(practice, count, made, **settings)
    practice.close()


@pytest.fixture(scope="session")
def confused(tmp_path_factory):
    """Takes Ga for komal Ga and the fourth for the fifth, and answers gaps in haste."""
    folder = tmp_path_factory.mktemp("confused")
    practice = Practice(folder, speaker="silence", now=lambda: NOW)
    yield standing_of(practice, 800, CONFUSED)
    practice.close()
