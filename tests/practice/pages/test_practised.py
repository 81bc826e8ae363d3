"""What was practised is told of each day in its place, and drawn in proportion."""

from dataclasses import replace
from datetime import timedelta

import pytest

from practice.pages.lesson_page import lesson_page
from practice.pages.lesson_sheet import lesson_paper
from practice.pages.practised import practised_in
from practice.pages.sheets import Box
from scheduler.history import Day, Tally, lately
from tests.practice.pages.stood import NOW, some_of, stood

DONE = {0: Day(asked=8, seconds=300.0), 1: Day(asked=8, seconds=900.0), 9: Day(seconds=1800.0)}


def counted(standing, right, asked):
    """So many answers on one skill in the running week."""
    week = lately(standing.now)[-2]
    weeks = {"swara:S": {week: Tally(asked, right, asked / 4)}}
    return replace(standing, history=replace(standing.history, weeks=weeks))


@pytest.mark.parametrize(("later", "of_days"), [(0, 28), (1, 22), (5, 26)])
def test_minutes_stand_at_their_days_from_a_monday_on(later, of_days):
    now = NOW + timedelta(days=later)
    practised = practised_in(stood(some_of(firm=1), days={**DONE, of_days: Day(9)}, now=now))
    assert practised.first == now.date() - timedelta(days=of_days - 1)
    assert practised.first.weekday() == 0
    minutes = {of_days - 1 - ago: done.seconds / 60 for ago, done in DONE.items()}
    assert practised.minutes == tuple(minutes.get(at, 0.0) for at in range(28))
    assert practised.words.startswith(f"Practised on 3 of {of_days} days, 50 minutes in all")


def test_of_fewer_than_twenty_answers_no_share_is_told():
    standing = stood(some_of(firm=1), days=DONE)
    assert practised_in(counted(standing, 15, 19)).known == "Too few to say how much is known."
    known = practised_in(counted(standing, 16, 20)).known
    assert "73 % were known" in known  # (0.8 - 1/4) / (1 - 1/4), by J. P. Guilford's formula


def test_bars_on_paper_are_as_high_as_their_minutes():
    """Of 5, 15 and 30 minutes, today, yesterday and nine days ago."""
    (sheet,) = lesson_paper(lesson_page(stood(some_of(firm=1), days=DONE))).sheets
    bars = [part for part in sheet.parts if isinstance(part, Box) and part.width < 2.5]
    long_ago, yesterday, today = sorted(bars, key=lambda bar: bar.x)
    assert yesterday.height == pytest.approx(long_ago.height / 2)
    assert today.height == pytest.approx(long_ago.height / 6)
    assert len({round(bar.y + bar.height, 6) for bar in bars}) == 1  # all stand on one line
    assert yesterday.x - long_ago.x == pytest.approx(8 * (today.x - yesterday.x))


def test_trifles_do_not_look_large_on_paper():
    heights = []
    for minutes in (1, 5):
        standing = stood(some_of(firm=1), days={0: Day(asked=3, seconds=60.0 * minutes)})
        (sheet,) = lesson_paper(lesson_page(standing)).sheets
        heights += [
            part.height for part in sheet.parts if isinstance(part, Box) and part.width < 2.5
        ]
    assert heights[1] == pytest.approx(5 * heights[0])


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ({"gap:S-P:up": 30, "gap:S-m:up": 40, "swara:S": 9}, "Gaps 70 and swaras 9."),
        ({"swara:S": 9}, "Swaras 9."),
        ({}, ""),
    ],
)
def test_kinds_are_told_by_how_much_was_asked_of_each_in_these_weeks(asked, told):
    standing = stood(some_of(firm=1), days=DONE, lately={s: (n, n) for s, n in asked.items()})
    old = {skill: {week - 9: Tally(99, 99) for week in weeks}
           for skill, weeks in standing.history.weeks.items()}  # fmt: skip
    weeks = {skill: of | old[skill] for skill, of in standing.history.weeks.items()}
    standing = replace(standing, history=replace(standing.history, weeks=weeks))
    assert practised_in(standing).kinds == told


@pytest.mark.parametrize(
    ("count", "rest"), [(5, ""), (6, ""), (7, "3 in 2 other kinds."), (8, "6 in 3")]
)
def test_of_many_kinds_five_are_named_and_no_single_one_is_left_out(count, rest):
    kinds = ["swara", "gap", "tala", "ornament", "tune", "raga-vadi", "raga-rest", "raga-when"]
    lately = {f"{kind}:x": (count - at, count - at) for at, kind in enumerate(kinds[:count])}
    told = practised_in(stood(some_of(firm=1), days=DONE, lately=lately)).kinds
    assert (rest in told) if rest else ("other kinds" not in told)
    assert told.count(",") + 2 == min(count, 6)
