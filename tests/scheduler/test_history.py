"""The history counts what a plain count of the log's rows counts, however it was come by."""

import json
import math
import random
from collections import Counter
from dataclasses import fields
from datetime import UTC, date, datetime, timedelta, timezone
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binomtest

from scheduler import History, Log, Memory, Proportion, Tally, keep, recalled
from scheduler.history import (
    EARLIER,
    LONGEST_PAUSE_S,
    STATES_KEPT,
    WEEKS_KEPT,
    before,
    bin_of,
    date_of,
    day_of,
    first_day,
    lately,
    longest_ms,
    week_of,
)
from tests.scheduler.conftest import START, make_answer

SORTING = {"families": {}, "kin": {}}


def week_at(day):
    """The week of so many days after START."""
    return week_of(day_of(START + timedelta(days=day)))


def some_answers(answer_to, count, *, seed, days_apart=2.0):
    """Answers of several devices, some shown, some in part right, over many weeks."""
    rng = random.Random(seed)
    return [
        answer_to(
            rng.choice("abc"),
            day=days_apart * number + rng.random(),
            credit=rng.choice([0.0, 0.4, 1.0, 1.0]),
            chance=rng.choice([0.25, 0.5, 1.0]),
            right=rng.choice([("x",), ("y",), ("x", "y")]),
            given=rng.choice(["x", "y", "x y"]),
            response_ms=rng.randrange(-400, 9000),
            monotonic_s=7.0 * number,
            device=rng.choice(["tablet", "tablet", "desk"]),
            session=f"s{number // 4}",
            offset_min=rng.choice([0, 330, -480]),
        )
        for number in range(count)
    ]


def counted(answers):
    """A plain count: skill and week → asked, right; and by pair of ids; by local date."""
    asked, pairs, days = Counter(), Counter(), Counter()
    for one in answers:
        local = one.utc.astimezone(timezone(timedelta(minutes=one.offset_min)))
        monday = local.date() - timedelta(days=local.weekday())
        days[local.date(), one.chance < 1.0] += 1
        if one.chance < 1.0:
            asked[one.skill, monday, one.credit == 1.0] += 1
            if len(one.right) == 1 and " " not in one.given:
                pairs[one.skill, one.right[0], one.given, monday] += 1
    return asked, pairs, days


def counted_in(history):
    """The same of a history without earlier weeks."""
    asked, pairs, days = Counter(), Counter(), Counter()
    for skill, weeks in history.weeks.items():
        for week, tally in weeks.items():
            monday = date_of(first_day(week))
            asked[skill, monday, True] += tally.right
            asked[skill, monday, False] += tally.asked - tally.right
    for skill, by_pair in history.given.items():
        for pair, weeks in by_pair.items():
            for week, count in weeks.items():
                pairs[skill, *pair.split(" "), date_of(first_day(week))] += count
    for day, found in history.days.items():
        days[date_of(day), True] += found.asked
        days[date_of(day), False] += found.shown
    return +asked, pairs, +days


@pytest.mark.parametrize("seed", range(4))
def test_it_counts_what_a_plain_count_does(tmp_path, answer_to, seed):
    answers = some_answers(answer_to, 60, seed=seed)
    with Log(tmp_path / "log.db") as log:
        log.append_all(answers)
        history = recalled(log, "Mira", **SORTING).history
        assert counted_in(history) == counted(answers)
        shown = [one for one in answers if one.chance == 1.0]
        assert sum(day.shown for day in history.days.values()) == len(shown)
        every = [one for one in answers if one.chance < 1.0]
        assert sum(history.tally(s).luck for s in "abc") == pytest.approx(
            math.fsum(one.chance for one in every)
        )
        of_kind = history.bins(every[0].kind)
        assert sum(tally.asked for tally in of_kind.values()) == len(every)
        log.leave_out("s0", student="Mira", device="tablet", utc=START)
        left = [one for one in answers if one.session != "s0"]
        assert counted_in(recalled(log, "Mira", **SORTING).history) == counted(left)


@given(seed=st.integers(0, 10_000), cut=st.lists(st.integers(0, 90), max_size=4))
@settings(max_examples=15, deadline=None)
def test_row_by_row_or_at_once_or_kept_between_it_is_the_same(tmp_path_factory, seed, cut):
    answers = some_answers(make_answer, 90, seed=seed, days_apart=4.0)
    memory, history = History().after(Memory(), (one.meeting for one in answers))
    assert memory == Memory().after_all(answers)
    stepwise = Memory(), History()
    borders = [0, *sorted(cut), len(answers)]
    for start, end in pairwise(borders):
        old_memory, old = stepwise
        old = History.from_json(json.loads(json.dumps(old.as_json())))
        stepwise = old.after(old_memory, (one.meeting for one in answers[start:end]))
    assert stepwise == (memory, history)
    one_by_one = Memory(), History()
    for one in answers[:30]:
        one_by_one = one_by_one[1].after(one_by_one[0], [one.meeting])
    assert one_by_one == History().after(Memory(), (one.meeting for one in answers[:30]))


def test_what_is_kept_beside_the_log_gives_the_same(tmp_path, answer_to):
    with Log(tmp_path / "log.db") as log:
        for part in range(5):
            log.append_all(
                [
                    answer_to("a", day=9.0 * part + n, credit=float(n % 2), given="x", right=("x",))
                    for n in range(6)
                ]
            )
            found = keep(recalled(log, "Mira", **SORTING), log)
            assert part == 0 or found.doubt is None
        rows = log.meetings("Mira")
        assert (found.memory, found.history) == History().after(Memory(), rows)


def test_weeks_long_ago_are_put_together_and_none_is_lost(answer_to):
    answers = [answer_to("a", day=7 * n, right=("x",), given="x") for n in range(40)]
    _, history = History().after(Memory(), (one.meeting for one in answers))
    weeks = history.weeks["a"]
    assert weeks[EARLIER].asked == 40 - WEEKS_KEPT
    assert sorted(weeks)[1:] == [week_at(7 * n) for n in range(40 - WEEKS_KEPT, 40)]
    assert history.tally("a").asked == history.answers("a")["x", "x"] == 40
    assert sum(tally.asked for tally in history.bins(answers[0].kind).values()) == 40
    late = answer_to("a", day=3, right=("x",), given="x").meeting
    _, history = history.after(Memory(), [late])
    assert history.weeks["a"][EARLIER].asked == 41 - WEEKS_KEPT


def test_a_clock_far_ahead_takes_one_place_and_does_not_push_the_others_out(answer_to):
    rows = [answer_to("a", day=n).meeting for n in range(8)]
    rows.insert(4, answer_to("a", day=30_000).meeting)
    _, history = History().after(Memory(), rows)
    now = (START + timedelta(days=8)).astimezone(UTC)
    assert history.tally("a", lately(now)).asked == 8
    assert history.tally("a").asked == 9


def test_a_week_keeps_what_each_skill_was_called_at_its_end(answer_to):
    answers = [answer_to("a", day=n, credit=1.0) for n in range(0, 21, 2)]
    memory = Memory()
    history = History()
    for one in answers:
        memory, history = history.after(memory, [one.meeting])
    week = week_at(6)
    end = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(days=first_day(week + 1))
    known = Memory().after_all(one for one in answers if one.utc < end)
    assert history.states_at(week, memory) == {"a": known.state("a", end)}
    assert history.states_at(week_at(0) - 1, memory) == {}
    assert History().states_at(week, Memory()) == {}
    long = [answer_to("a", day=7 * n).meeting for n in range(30)]
    assert len(History().after(Memory(), long)[1].states) == STATES_KEPT


def test_in_a_pause_skills_fade_and_are_called_so(answer_to):
    """Five days on, then nothing for nine weeks, then another skill; and so it was in between."""

    def end_of(week):
        return datetime(1970, 1, 1, tzinfo=UTC) + timedelta(days=first_day(week + 1))

    rows = [answer_to("a", day=n, offset_min=0).meeting for n in range(5)]
    known, history = History().after(Memory(), rows)
    weeks = range(week_at(4), week_at(4) + 8)
    faded = [known.state("a", end_of(week)) for week in weeks]
    assert len(set(faded)) > 1
    assert [history.states_at(week, known)["a"] for week in weeks] == faded
    later = answer_to("b", day=70, offset_min=0).meeting
    memory, history = history.after(known, [later])
    assert [history.states_at(week, memory)["a"] for week in weeks] == faded
    long_after = answer_to("b", day=400, offset_min=0).meeting
    memory, history = history.after(memory, [long_after])
    assert history.states_at(week_at(300), memory) is None


def test_a_week_ends_at_midnight_where_the_student_is(answer_to):
    """What is fresh until some hour of the night and faded after it tells when a week ended."""
    rows = [answer_to("a", day=n).meeting for n in range(3)]
    known, _ = History().after(Memory(), rows)
    asked = []

    class Watched(Memory):
        def state(self, skill, now):
            asked.append(now)
            return "coming"

    for offset_min in (-480, 0, 330):
        watched = Watched(**{field.name: getattr(known, field.name) for field in fields(known)})
        before = History().after(Memory(), [rows[0]._replace(offset_min=offset_min)])[1]
        before.after(watched, [answer_to("b", day=8, offset_min=offset_min).meeting])
        here = timezone(timedelta(minutes=offset_min))
        ended = asked.pop().astimezone(here)
        assert (ended.isoweekday(), ended.hour, ended.minute) == (1, 0, 0)
        assert ended.date() == date(2026, 1, 12)


def test_time_practised_is_that_of_each_device_and_never_runs_back(answer_to):
    said = [("tablet", 0.0), ("desk", 50.0), ("tablet", 60.0), ("tablet", 20.0)]
    rows = [
        answer_to("a", device=device, session="s", monotonic_s=at, response_ms=2000).meeting
        for device, at in said
    ]
    _, history = History().after(Memory(), rows)
    assert next(iter(history.days.values())).seconds == pytest.approx(2.0 + 2.0 + 2.0 + 0.0)


def test_lately_holds_the_running_week_and_one_ahead_for_a_clock_a_little_fast():
    now = datetime(2026, 3, 4, tzinfo=UTC)
    running = week_of(day_of(now))
    assert list(lately(now, 2)) == [running - 1, running, running + 1]
    assert list(before(now, 2)) == [running - 3, running - 2]


def test_time_practised_leaves_pauses_out(answer_to):
    times = [0.0, 10.0, 25.0, 900.0, 905.0]
    rows = [
        answer_to("a", day=0, monotonic_s=t, response_ms=3000, session="one").meeting for t in times
    ]
    _, history = History().after(Memory(), rows)
    (day,) = history.days.values()
    assert day.seconds == pytest.approx(3.0 + 10.0 + 15.0 + LONGEST_PAUSE_S + 5.0)


def test_weeks_begin_on_monday():
    for day in range(-30, 30_000, 13):
        monday = date_of(first_day(week_of(day)))
        assert monday.isoweekday() == 1
        assert 0 <= (date_of(day) - monday).days < 7
        assert day_of(datetime.combine(date_of(day), datetime.min.time(), UTC)) == day
    assert date_of(first_day(0)) == date(1970, 1, 5)
    now = datetime(2026, 3, 4, tzinfo=UTC)
    assert list(before(now)) + list(lately(now))[:4] == list(
        range(week_of(day_of(now)) - 7, week_of(day_of(now)) + 1)
    )


def test_bins_are_quarters_of_a_doubling():
    for ms in (-5, 0, 1, 2, 3, 700, 1414, 1415, 60_000):
        number = bin_of(ms)
        assert max(ms, 1) < longest_ms(number)
        assert number == 1 or max(ms, 1) >= longest_ms(number - 1) * (1 - 1e-12)


# Wilson's interval by scipy.stats.binomtest, and guessing taken out as Guilford (1936) has it.
@pytest.mark.parametrize(
    ("right", "asked", "luck"), [(0, 3, 0.75), (7, 20, 5.0), (60, 61, 12.2), (9, 9, 0.0), (2, 4, 2)]
)
def test_a_proportion_is_wilsons_with_guessing_taken_out(right, asked, luck):
    found = Proportion(right, asked, luck)
    by_scipy = binomtest(right, asked).proportion_ci(method="wilson")
    assert found.interval == pytest.approx((by_scipy.low, by_scipy.high), abs=1e-9)
    g = luck / asked
    low, high = (max(0.0, (p - g) / (1 - g)) for p in by_scipy)
    assert found.known_interval == pytest.approx((low, high), abs=1e-9)
    assert low <= found.known <= high
    assert found.is_few == (asked < 20)


def test_nothing_asked_says_nothing():
    assert Tally().proportion.known_interval == (0.0, 1.0)
    assert Proportion(4, 4, 4.0).known == 0.0
