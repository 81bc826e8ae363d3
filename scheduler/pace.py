"""How quickly this student usually answers a kind of question, and what quickness says.

Log response times of known and guessed answers are taken as two normal distributions of one width,
so that the log of the likelihood ratio is linear in them; held and tempered, since a student may
also be quick by temper or slow by a knock at the door.
"""

from __future__ import annotations

from typing import NamedTuple

from scheduler.portable import exp, log

PUT_DOWN_MS = 60_000
"""Who takes longer has put the tablet down: the time then says nothing."""
_SLOPE, _LIMIT, _POWER = 1.4, log(3.0), 0.7
_KNOWN_AFTER, _WINDOW = 8, 200  # answers
_SHORTEST_MS = 200


class Pace(NamedTuple):
    """The running mean of log response times in one kind of question; `mean` in log ms."""

    answers: int
    mean: float


def paced(pace: Pace | None, response_ms: int) -> tuple[float, Pace | None]:
    """How many times likelier so quick an answer is from knowledge than from a guess; and the pace
    with this answer in it."""
    if response_ms > PUT_DOWN_MS:
        return 1.0, pace
    log_ms = log(max(response_ms, _SHORTEST_MS))
    if pace is None:
        return 1.0, Pace(1, log_ms)
    answers = pace.answers + 1
    after = Pace(answers, pace.mean + (log_ms - pace.mean) / min(answers, _WINDOW))
    if pace.answers < _KNOWN_AFTER:
        return 1.0, after
    ratio = _SLOPE * (pace.mean - log_ms)
    return exp(_POWER * min(max(ratio, -_LIMIT), _LIMIT)), after
