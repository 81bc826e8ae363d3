"""A pace is kept over all practices of a day, by the clock where the student is."""

import time
from collections import Counter
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler import DayPace, Lesson, Log, Memory, Plan, PlanError, families_of, outlook
from scheduler import begun_lately as begun_in
from tests.scheduler.conftest import START

ZONE = ZoneInfo("Asia/Kolkata")
"""The IANA time zone data base: five hours and a half before UTC all year, so that a day there
ends at 18:30 in UTC."""


@pytest.fixture
def at_home(monkeypatch):
    monkeypatch.setenv("TZ", ZONE.key)
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


def practise(log, plan, answer_to, right):
    """Play the plan through into the log."""
    now, answers = plan.started, []
    while pick := plan.pick(now):
        now += timedelta(seconds=pick.item.seconds)
        answer = answer_to(
            pick.skill,
            kind=pick.item.kind,
            credit=float(right(pick)),
            utc=now,
            monotonic_s=now.timestamp(),
            session=plan.started.isoformat(),
            chance=1.0 if pick.is_new else pick.item.chance,
        )
        answers.append(answer)
        plan.answered(answer)
    log.append_all(answers)


def first_met_by_day(log):
    """How many skills were first asked on each day at home."""
    first = {}
    for answer in log.answers():
        first.setdefault(answer.skill, answer.utc.astimezone(ZONE).date())
    return Counter(first.values())


@settings(
    max_examples=16,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(
    pace=st.integers(1, 7),
    sittings=st.lists(
        st.tuples(st.integers(10, 900), st.sampled_from([1, 4]), st.booleans()),
        min_size=2,
        max_size=4,
    ),
)
def test_no_day_holds_more_new_skills_than_the_pace_nor_is_more_foretold(
    at_home, tmp_path_factory, course, answer_to, pace, sittings
):
    own = frozenset(item.skill for item in course if item.kind == "gap")
    families = families_of(course)
    with Log(tmp_path_factory.mktemp("log") / "log.db") as log:
        now = START
        for pause_min, minutes, by_lesson in sittings:
            now += timedelta(minutes=pause_min)
            memory = Memory.rebuilt(log.meetings("Mira"), families=families)
            begun_at = begun_in(log, memory, "Mira", now)
            plan = Plan(
                course,
                memory,
                minutes=minutes,
                started=now,
                lesson=Lesson(now + timedelta(days=1), own) if by_lesson else None,
                new_a_day=pace,
                begun_at=begun_at,
            )
            days = {(now + timedelta(minutes=m)).astimezone().date() for m in (0, minutes)}
            left = DayPace(pace, begun_at).left(now)
            assert len(outlook(plan).new) <= left + pace * (len(days) - 1)
            practise(log, plan, answer_to, lambda pick: pick.is_new or pick.predicted > 0.4)
            assert begun_in(log, plan.memory, "Mira", now) == plan.begun_at
        assert max(first_met_by_day(log).values()) <= pace


def test_a_practice_over_midnight_begins_the_next_day_s_skills_after_it(at_home, course):
    midnight = datetime(2026, 1, 5, 18, 30, tzinfo=UTC)
    pace = DayPace(2)
    for minutes, left in ((-3, 2), (-2, 1), (-1, 0)):
        at = midnight + timedelta(minutes=minutes)
        assert pace.left(at) == left
        assert pace.is_full(at) == (left == 0)
        if left:
            pace.begin(at)
    assert pace.left(midnight) == 2
    assert pace.copy().begun_at == pace.begun_at
    assert DayPace(None, pace.begun_at).left(midnight) is None


def test_a_pace_holds_back_and_never_hurries(course, start):
    """With a pace that it never reaches a plan picks what it picks without one."""

    def new_ones(new_a_day):
        memory = Memory(families=families_of(course))
        plan = Plan(course, memory, minutes=8, started=start, new_a_day=new_a_day)
        return outlook(plan)

    assert new_ones(500) == new_ones(None)
    assert len(new_ones(3).new) == 3 < len(new_ones(None).new)
    with pytest.raises(PlanError, match="new_a_day=0 must be 1 or more"):
        new_ones(0)


def test_what_is_left_out_was_not_met_today(tmp_path, answer_to):
    with Log(tmp_path / "log.db") as log:
        log.append_all(answer_to(skill, day=day) for day, skill in ((0, "a"), (3, "b"), (3, "a")))
        now = START + timedelta(days=3, hours=1)
        memory = Memory.rebuilt(log.meetings("Mira"), families={})
        assert begun_in(log, memory, "Mira", now) == (START + timedelta(days=3),)
        log.leave_out("day 3", student="Mira", device="tablet", utc=now)
        assert begun_in(log, memory, "Mira", now) == ()
