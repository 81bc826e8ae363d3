"""What was practised in the last four weeks: minutes by day, questions, of which kinds, and what
was noted beside them."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from practice.instrument import minutes_told
from practice.pages.said import minutes_words, percents, so_many
from practice.phrases import phrases_told
from practice.standing import Standing
from quizzes.course_words import name_of
from quizzes.decks.deck import KIND as DECK
from quizzes.names import listed
from quizzes.ragas import ragas
from scheduler.history import Tally, date_of, day_of, first_day, lately
from scheduler.proportion import Proportion

KINDS_NAMED = 5
PHRASES_NAMED = 3
NOTHING = 0.005
"""A share below this is nothing, in whole percents."""
OF_DECKS = "Questions from decks"
LEAST_SCALE_MIN = 5.0
"""Bars of minutes are drawn to no less than this."""


@dataclass(frozen=True, slots=True)
class Practised:
    """`minutes` are those of each day of four weeks from the Monday `first` on, the running week
    to its end."""

    first: date
    minutes: tuple[float, ...]
    words: str
    known: str
    """How much of it was known, with luck taken out; "" where nothing was asked."""
    kinds: str
    come: int = 28
    """So many of these days have come; the others lie ahead."""
    on_instrument: str = ""
    """Minutes on the instrument; "" where none were noted."""
    phrases: str = ""
    """How many phrases of these weeks are kept, and the newest; "" where none are."""

    @property
    def noted(self) -> str:
        """What was noted beside answers."""
        return " ".join(filter(None, (self.on_instrument, self.phrases)))

    @property
    def heading(self) -> str:
        return f"Since {self.first:%A}, {self.first.day} {self.first:%B}"


def practised_in(standing: Standing) -> Practised:
    """What was practised in the running week and the three before."""
    history, weeks = standing.history, lately(standing.now)
    first, today = first_day(weeks.start), day_of(standing.now)
    span = range(first, first_day(weeks[-1]))
    found = [history.days[day] for day in span if day in history.days]
    kinds = _kinds(standing)
    whole = Tally()
    for tally in kinds.values():
        whole = whole.and_also(tally)
    played = minutes_told(standing.notes)
    on_instrument = _played([played[day] for day in span if day in played])
    words = _words(len(found), today - first + 1, sum(day.seconds for day in found) / 60, whole)
    if on_instrument and not found:
        words = "No question was answered."
    return Practised(
        date_of(first),
        tuple(history.days[day].seconds / 60 if day in history.days else 0.0 for day in span),
        words,
        _known(whole.proportion),
        _kind_words(kinds),
        today - first + 1,
        on_instrument,
        _kept(standing, span),
    )


def last_practised(standing: Standing) -> date | None:
    """The last day with an answer; a clock that was far ahead counts for nothing."""
    until = day_of(standing.now) + 1
    last = max((day for day in standing.history.days if day <= until), default=None)
    return None if last is None else date_of(last)


def kind_words(kind: str) -> str:
    """What a kind asks, in a word or a few: `Gaps`; its id where it is not known any more."""
    return OF_DECKS if kind == DECK else name_of("kinds", kind, {})


def _words(days: int, of_days: int, minutes: float, whole: Tally) -> str:
    if not days:
        return "Nothing was practised."
    spent = f"Practised on {days} of {of_days} days, {minutes_words(minutes)} in all"
    return f"{spent}: {so_many(whole.asked, 'question')}, {whole.right} right."


def _played(minutes: list[float]) -> str:
    """`On the instrument: 35 minutes, on 2 days.`"""
    if not minutes:
        return ""
    return f"On the instrument: {minutes_words(sum(minutes))}, on {so_many(len(minutes), 'day')}."


def _kept(standing: Standing, span: range) -> str:
    """`Phrases kept: 3. The newest: P M G m G (Bihag); N, R G (Yaman).`"""
    kept = [each for each in phrases_told(standing.notes) if day_of(each.made_at) in span]
    if not kept:
        return ""
    known = ragas(standing.given.tradition)
    told = [
        f"{each.sargam} ({known[each.raga].name})" if each.raga in known else each.sargam
        for each in kept[:PHRASES_NAMED]
    ]
    return f"Phrases kept: {len(kept)}. The newest: {'; '.join(told)}."


def _known(answers: Proportion) -> str:
    if not answers.asked:
        return ""
    if answers.is_few:
        return "Too few to say how much is known."
    if answers.known_interval[1] < NOTHING:
        return "No more was known than luck alone gives."
    known, spread = f"{100 * answers.known:.0f} %", percents(answers.known_interval)
    return f"With luck taken out, {known} were known ({spread})."


def _kinds(standing: Standing) -> dict[str, Tally]:
    """The tallies of these weeks by kind."""
    weeks, kinds = lately(standing.now), defaultdict[str, Tally](Tally)
    for skill in standing.history.weeks:
        kind = skill.partition(":")[0]
        kinds[kind] = kinds[kind].and_also(standing.history.tally(skill, weeks))
    return {kind: tally for kind, tally in kinds.items() if tally.asked}


def _kind_words(kinds: dict[str, Tally]) -> str:
    """`Gaps 120, swaras 60 and 30 in 2 other kinds.`"""
    counts = sorted((-tally.asked, kind) for kind, tally in kinds.items())
    named = len(counts) if len(counts) == KINDS_NAMED + 1 else KINDS_NAMED
    words = [f"{kind_words(kind)} {-count}" for count, kind in counts[:named]]
    words[1:] = [word[:1].lower() + word[1:] for word in words[1:]]
    if rest := counts[named:]:
        words.append(f"{-sum(count for count, _ in rest)} in {len(rest)} other kinds")
    return f"{listed(words)}." if words else ""
