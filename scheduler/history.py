"""What was answered, week by week: counts for pictures and pages, which memory does not keep.

Folded from the rows of the log in the same order as memory, and kept beside it
(`scheduler.kept`). Days and weeks are the student's own: a row's time by the clock on the wall
where it was answered. A week runs from Monday to Sunday and is numbered from that of 5 January
1970. The last `WEEKS_KEPT` weeks in which something was answered are kept apart; all that lies
before them is put together as the week `EARLIER`, so that years of answers take little room.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, fields
from datetime import UTC, date, datetime, timedelta
from typing import Any, NamedTuple

from scheduler.answer import SECONDS_A_DAY, Meeting
from scheduler.memory import Memory
from scheduler.proportion import Proportion

COUNTING = 2
"""Changes whenever the same log would give another history."""
EARLIER = -1_000_000
"""The week into which all earlier ones are put together."""
WEEKS_KEPT, STATES_KEPT = 26, 13
LONGEST_PAUSE_S = 120.0
"""More between two answers is no practice: the student was away."""
_MONDAY = 4
"""5 January 1970, the first Monday, as a day since 1 January 1970."""
_DAY_S = round(SECONDS_A_DAY)


class Tally(NamedTuple):
    """Questions that were asked and not just told, how many were answered wholly right, and the sum
    of their chances of a lucky guess."""

    asked: int = 0
    right: int = 0
    luck: float = 0.0

    def and_also(self, other: Tally) -> Tally:
        """Both together."""
        return Tally(self.asked + other.asked, self.right + other.right, self.luck + other.luck)

    @property
    def proportion(self) -> Proportion:
        return Proportion(self.right, self.asked, self.luck)


class Day(NamedTuple):
    """What was practised in a day: questions asked, how many were right, what was only shown, and
    for how long, pauses taken out."""

    asked: int = 0
    right: int = 0
    shown: int = 0
    seconds: float = 0.0


class Sitting(NamedTuple):
    """The row last counted: its device, session, steady clock and week."""

    device: str
    session: str
    monotonic_s: float
    week: int
    offset_min: int


Weeks = Mapping[int, Tally]
Counts = Mapping[int, int]


@dataclass(frozen=True, slots=True)
class History:
    """The counts of one student's answers; a fresh one has none."""

    weeks: Mapping[str, Weeks] = field(default_factory=dict)
    """Skill → week → its tally."""
    given: Mapping[str, Mapping[str, Counts]] = field(default_factory=dict)
    """Skill → "RIGHT GIVEN" → week → how often; of answers of one id where one id was right."""
    hurried: Mapping[str, Mapping[int, Mapping[int, Tally]]] = field(default_factory=dict)
    """Kind → week → `bin_of` its response times → tally."""
    days: Mapping[int, Day] = field(default_factory=dict)
    """Day since 1 January 1970 → what was practised in it."""
    states: Mapping[int, Mapping[str, str]] = field(default_factory=dict)
    """Week → skill → what it was called when that week had ended: "firm" and so on; of the last
    weeks before that of the last answer. Weeks of a pause are among them unless it was long."""
    sitting: Sitting | None = None

    def tally(self, skill: str, weeks: Collection[int] | None = None) -> Tally:
        """How a skill was answered in these weeks, in all unless given."""
        of_skill = self.weeks.get(skill, {})
        return _sum(tally for week, tally in of_skill.items() if weeks is None or week in weeks)

    def answers(
        self, skill: str, weeks: Collection[int] | None = None
    ) -> dict[tuple[str, str], int]:
        """(right id, given id) → how often in these weeks, in all unless given; right ones too."""
        found: dict[tuple[str, str], int] = {}
        for pair, counts in self.given.get(skill, {}).items():
            count = sum(n for week, n in counts.items() if weeks is None or week in weeks)
            if count:
                right, _, given = pair.partition(" ")
                found[right, given] = count
        return found

    def bins(self, kind: str, weeks: Collection[int] | None = None) -> dict[int, Tally]:
        """The tallies of a kind's answers by `bin_of` their response times, the quickest first."""
        found: dict[int, Tally] = {}
        for week, bins in self.hurried.get(kind, {}).items():
            if weeks is None or week in weeks:
                for number, tally in bins.items():
                    found[number] = found.get(number, Tally()).and_also(tally)
        return dict(sorted(found.items()))

    def states_at(self, week: int, memory: Memory) -> Mapping[str, str] | None:
        """What each skill was called when `week` had ended, `memory` being that of all rows; of
        none where nothing was begun yet, None where it is not known any more."""
        if self.sitting is None:
            return {}
        if week >= self.sitting.week:  # nothing was answered since
            return _states(memory, week, self.sitting.offset_min)
        if week not in self.states and week < min(self.states, default=self.sitting.week):
            return {} if len(self.states) < STATES_KEPT else None
        return self.states.get(week)

    def after(self, memory: Memory, rows: Iterable[Meeting]) -> tuple[Memory, History]:
        """Memory and history after these rows too; `memory` is that of the rows before them."""
        counting, rows = _Counting(self), iter(rows)
        waiting = next(rows, None)
        while waiting is not None:
            if counting.week is not None and week_of(_day(waiting)) > counting.week:
                counting.begin_week(memory, waiting)
            of_week = _Until(waiting, rows, counting)
            memory = memory.after_all(of_week)
            waiting = of_week.next
        return memory, counting.history()

    def as_json(self) -> dict[str, Any]:
        """All of it, for `from_json`."""
        return {each.name: getattr(self, each.name) for each in fields(self)}

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> History:
        """The history of which `data` is the JSON. Raises KeyError, TypeError, ValueError or
        AttributeError for what is none."""
        sitting = data["sitting"]
        return cls(
            weeks={skill: _tallies(weeks) for skill, weeks in data["weeks"].items()},
            given={
                skill: {
                    pair: {int(week): int(n) for week, n in counts.items()}
                    for pair, counts in pairs.items()
                }
                for skill, pairs in data["given"].items()
            },
            hurried={
                kind: {int(week): _tallies(bins) for week, bins in weeks.items()}
                for kind, weeks in data["hurried"].items()
            },
            days={int(day): Day._make(row) for day, row in data["days"].items()},
            states={int(week): dict(states) for week, states in data["states"].items()},
            sitting=None if sitting is None else Sitting._make(sitting),
        )


def day_of(moment: datetime) -> int:
    """Days since 1 January 1970 of an aware datetime, by its own clock."""
    return (moment.date() - date(1970, 1, 1)).days


def date_of(day: int) -> date:
    return date(1970, 1, 1) + timedelta(days=day)


def week_of(day: int) -> int:
    """The week of a day since 1 January 1970."""
    return (day - _MONDAY) // 7


def first_day(week: int) -> int:
    """The Monday of a week, in days since 1 January 1970."""
    return 7 * week + _MONDAY


def lately(now: datetime, weeks: int = 4) -> range:
    """The last so many weeks at `now`, by its own clock, the running one the last of them; and the
    week after, for a clock that was a little ahead."""
    running = week_of(day_of(now))
    return range(running - weeks + 1, running + 2)


def before(now: datetime, weeks: int = 4) -> range:
    """As many weeks before those of `lately`."""
    first = lately(now, weeks).start
    return range(first - weeks, first)


def bin_of(response_ms: int) -> int:
    """Four bins to each doubling of the time, in whole numbers so that all machines agree; what
    came before the cue had ended is in bin 1."""
    return int((max(response_ms, 1) ** 4).bit_length())


def longest_ms(number: int) -> float:
    """Below so many milliseconds lie the response times of a bin, and of those before it."""
    return float(2.0 ** (number / 4))


class _Counting:
    """A history, being changed, so that a million answers need not be a million copies: what is a
    tally or a day there is a list here."""

    def __init__(self, history: History) -> None:
        self._weeks = {skill: _opened(weeks) for skill, weeks in history.weeks.items()}
        self._given = {
            skill: {pair: dict(counts) for pair, counts in pairs.items()}
            for skill, pairs in history.given.items()
        }
        self._hurried = {
            kind: {week: _opened(bins) for week, bins in weeks.items()}
            for kind, weeks in history.hurried.items()
        }
        self._days = {day: list(done) for day, done in history.days.items()}
        self._states = dict(history.states)
        self._ended: dict[int, tuple[Memory, int]] = {}
        """Week → what was known at its end and the clock's offset then: most are passed over."""
        self._last: Meeting | None = None
        self._before = history.sitting
        self.week: int | None = history.sitting and history.sitting.week
        """Of the row last counted."""
        found = {week for weeks in history.weeks.values() for week in weeks}
        self._kept = sorted(found - {EARLIER})

    def history(self) -> History:
        for week, (memory, offset_min) in self._ended.items():
            self._states[week] = _states(memory, week, offset_min)
        return History(
            {skill: _closed(weeks) for skill, weeks in self._weeks.items()},
            self._given,
            {
                kind: {week: _closed(bins) for week, bins in weeks.items()}
                for kind, weeks in self._hurried.items()
            },
            {day: Day._make(done) for day, done in self._days.items()},
            self._states,
            self._sitting(),
        )

    def _sitting(self) -> Sitting | None:
        row, week = self._last, self.week
        if row is None or week is None:
            return self._before
        return Sitting(row.device, row.session, row.monotonic_s, week, row.offset_min)

    def begin_week(self, memory: Memory, row: Meeting) -> None:
        """`row` is the next, and `memory` that of all before it: what a week has left is noted when
        a later one begins, and so are the weeks between where they are few."""
        last = self._sitting()
        if last is None:
            return
        begins = week_of(_day(row))
        ended = range(last.week, begins if begins - last.week <= STATES_KEPT else last.week + 1)
        for week in ended:
            self._ended[week] = memory, last.offset_min
        for week in sorted({*self._states, *self._ended})[:-STATES_KEPT]:
            self._states.pop(week, None)
            self._ended.pop(week, None)

    def count(self, row: Meeting, day: int, week: int) -> None:
        """Count one row, of this day and week."""
        done = self._days.get(day)
        if done is None:
            done = self._days[day] = [0, 0, 0, 0.0]
        done[3] += self._seconds(row)
        self._last, self.week = row, week
        if row.chance >= 1.0:
            done[2] += 1
            return
        right = row.credit >= 1.0
        done[0] += 1
        done[1] += right
        if week not in self._kept:
            week = self._place(week)
        weeks = self._weeks.setdefault(row.skill, {})
        _count(weeks, week, right, row.chance)
        bins = self._hurried.setdefault(row.kind, {}).setdefault(week, {})
        _count(bins, bin_of(row.response_ms), right, row.chance)
        pair = _pair(row)
        if pair:
            counts = self._given.setdefault(row.skill, {}).setdefault(pair, {})
            counts[week] = counts.get(week, 0) + 1

    def _seconds(self, row: Meeting) -> float:
        """How long an answer took of the practice: since the one before it in its session, or,
        where it is the first, since its cue had ended."""
        last = self._last or self._before
        if last is not None and last.session == row.session and last.device == row.device:
            passed = row.monotonic_s - last.monotonic_s
        else:
            passed = row.response_ms / 1000.0
        return min(max(passed, 0.0), LONGEST_PAUSE_S)

    def _place(self, week: int) -> int:
        """The week under which a row of a week that is not kept apart is counted; where there is
        then one more than are kept apart, the first of them is put to the earlier ones."""
        kept = self._kept
        if len(kept) == WEEKS_KEPT and week < kept[0]:
            return EARLIER
        self._kept = sorted([*kept, week])
        if len(self._kept) > WEEKS_KEPT:
            self._put_together(self._kept.pop(0))
        return week

    def _put_together(self, week: int) -> None:
        for weeks in self._weeks.values():
            if week in weeks:
                _add(weeks, EARLIER, weeks.pop(week))
        for pairs in self._given.values():
            for counts in pairs.values():
                if week in counts:
                    counts[EARLIER] = counts.get(EARLIER, 0) + counts.pop(week)
        for by_week in self._hurried.values():
            earlier = by_week.setdefault(EARLIER, {}) if week in by_week else {}
            for number, tally in by_week.pop(week, {}).items():
                _add(earlier, number, tally)


class _Until:
    """The rows from a first one until a later week begins, each counted as it is taken; then `next`
    is the row with which that begins, or None at the end of all rows."""

    def __init__(self, first: Meeting, rows: Iterator[Meeting], counting: _Counting) -> None:
        self._first, self._rows, self._counting = first, rows, counting
        self.next: Meeting | None = None

    def __iter__(self) -> Iterator[Meeting]:
        counting, day = self._counting, _day(self._first)
        counting.count(self._first, day, week_of(day))
        yield self._first
        for row in self._rows:
            day = _day(row)
            week = week_of(day)
            if counting.week is not None and week > counting.week:
                self.next = row
                return
            counting.count(row, day, week)
            yield row


def _day(row: Meeting) -> int:
    return (row.utc_ms // 1000 + 60 * row.offset_min) // _DAY_S


def _pair(row: Meeting) -> str:
    """The ids that were right and given, where there is one of each; else nothing."""
    if row.right.count('"') != 2 or "\\" in row.right or " " in row.right or " " in row.given:
        return ""
    return f"{row.right[2:-2]} {row.given}"


def _states(memory: Memory, week: int, offset_min: int) -> dict[str, str]:
    """What each skill of `memory` is called when a week ends."""
    ended_s = first_day(week + 1) * SECONDS_A_DAY - 60.0 * offset_min
    ended = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=ended_s)
    return {skill: memory.state(skill, ended) for skill in memory.beliefs}


def _count(tallies: dict[int, list[Any]], key: int, right: bool, luck: float) -> None:
    tally = tallies.get(key)
    if tally is None:
        tallies[key] = [1, int(right), luck]
    else:
        tally[0] += 1
        tally[1] += right
        tally[2] += luck


def _add(tallies: dict[int, list[Any]], key: int, more: list[Any]) -> None:
    tally = tallies.setdefault(key, [0, 0, 0.0])
    for place, value in enumerate(more):
        tally[place] += value


def _opened(tallies: Mapping[int, Tally]) -> dict[int, list[Any]]:
    return {key: list(tally) for key, tally in tallies.items()}


def _closed(tallies: Mapping[int, list[Any]]) -> dict[int, Tally]:
    return {key: Tally._make(tally) for key, tally in tallies.items()}


def _sum(tallies: Iterable[Tally]) -> Tally:
    total = Tally()
    for tally in tallies:
        total = total.and_also(tally)
    return total


def _tallies(data: Mapping[str, Any]) -> dict[int, Tally]:
    return {int(key): Tally._make(row) for key, row in data.items()}
