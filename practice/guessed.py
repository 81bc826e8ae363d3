"""How often a blind guess takes one thing for another: as often as that is offered, by the chance.

Which choices a question offers stands in its row of the log, not among the counts of history. So
the last questions on a thing are looked through, of the weeks in which a pair is counted. Of the
worst of many pairs one will stand out by luck alone: so that a pair is called surely no guess, the
binomial chance of so many, times the number of pairs that it was picked from, must lie below one in
forty (C. E. Bonferroni's inequality, 1936).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import timedelta, timezone

from practice.pairs import Pair
from practice.standing import Standing
from practice.things import SUBJECTS
from scheduler import Answer
from scheduler.history import before, day_of, lately, week_of

SURE = 0.025
"""The chance of a pair by guessing must lie below this: as above a two-sided interval at 95 %."""
LEAST_ASKED = 8
"""Of fewer questions nothing is sure: few of the pairs that might have been were then given at all,
and among so few one stands out by luck."""
LOOKED_THROUGH = 200
"""So many of the last questions on a thing, of each skill that asks it, are looked through."""


@dataclass(frozen=True, slots=True)
class Guessed:
    """What blind guesses would have given, of some of the questions in which a pair is counted."""

    questions: int
    """How many were looked through."""
    offered: int
    """In how many of them the answer was among the choices."""
    share: float
    """The share of them in which a blind guess gives it, 0 to 1; 0 where there are none."""


def guessed(standing: Standing, pair: Pair, *, and_before: bool = False) -> Guessed:
    """How often guessing alone would give this pair, in the weeks in which it is counted, or in the
    four before too. Raises LogError."""
    given = SUBJECTS[pair.subject].answer_of(pair.given)
    rows = _questions(standing, pair, and_before=and_before)
    chances = [row.chance for row in rows if given in row.choices]
    share = sum(chances) / len(rows) if rows else 0.0
    return Guessed(len(rows), len(chances), share)


def is_surely_no_guess(standing: Standing, pair: Pair) -> bool:
    """Whether a pair, picked as one of the worst, happened surely oftener than guessing alone gives
    it, in the weeks in which it is counted and the four before. Raises LogError."""
    count, asked = pair.count + pair.before[0], pair.asked + pair.before[1]
    by_guessing = guessed(standing, pair, and_before=True)
    if asked < LEAST_ASKED or not by_guessing.offered:
        return False
    chance = at_least(count, asked, by_guessing.share)
    return chance * pair.among < SURE


def at_least(count: int, asked: int, share: float) -> float:
    """The chance of `count` or more in `asked` independent cases of which each has this share."""
    if share <= 0.0 or share >= 1.0:
        return float(count == 0 or share >= 1.0)
    log_odds, log_none = math.log(share / (1.0 - share)), asked * math.log1p(-share)
    ways = math.lgamma(asked + 1)
    return math.fsum(
        math.exp(ways - math.lgamma(k + 1) - math.lgamma(asked - k + 1) + k * log_odds + log_none)
        for k in range(count, asked + 1)
    )


def _questions(standing: Standing, pair: Pair, *, and_before: bool) -> list[Answer]:
    """The last answers to questions to which the first of the pair was right."""
    subject = SUBJECTS[pair.subject]
    answer, weeks = subject.answer_of(pair.right), set(lately(standing.now))
    if and_before:
        weeks |= set(before(standing.now))
    return [
        row
        for skill in standing.history.given
        if skill.startswith(f"{subject.kind}:")
        and subject.thing_of(skill, answer) == pair.right
        and any(text.startswith(f"{answer} ") for text in standing.history.given[skill])
        for row in standing.latest(skill, LOOKED_THROUGH, right=answer)
        if row.chance < 1.0 and (not pair.is_lately or _week(row) in weeks)
    ]


def _week(row: Answer) -> int:
    """The student's own week in which it was answered."""
    return week_of(day_of(row.utc.astimezone(timezone(timedelta(minutes=row.offset_min)))))
