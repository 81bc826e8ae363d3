"""A ladder of tempo for playing on the instrument: up while it is clean, and a rest for the hands.

Tempos are in matras a minute, whole numbers. Nothing here is a mark: what the student says of
playing is believed, and only moves the tempo.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from audio.theka import FASTEST, SLOWEST
from practice.instrument import AGAIN, CLEAN, GIVEN, SLOWER, PaltaNoted
from practice.summary import REST_AFTER_MIN
from quizzes.paltas import layouts
from words import to_say

STEP = 1.04
"""From one rung to the next: hardly more than the least change of tempo that listeners notice in an
even sequence, about 3 % (Drake and Botte 1993, "Tempo sensitivity in auditory sequences"); the hand
follows before it braces itself (our choice)."""
RUNGS_DOWN = 2
"""From where it was too fast, down past the rung before it (our choice)."""

EASIER = 0.9
"""A day begins at so much of the tempo at which it was last clean (our choice: hands are cold), but
no lower than at what was clean first on that day: else who says clean once a day would sink."""
MOST_SWARAS = 7
"""In a group: there are no more in a saptak."""
EASIER_WIDER = 0.85
"""Times so much for each swara that a group has more than it had then (our choice)."""
FIRST_RATE = 120.0
"""Swaras a minute of the first palta ever: two a second, which beginners manage (our choice)."""

REST_AFTER_HANDS_MIN = REST_AFTER_MIN / 2
"""One movement over and over, ever faster, tires hands sooner than listening tires ears; advice to
musicians is five minutes of rest after 25 of playing, and more often where it is strenuous (such as
lib.msu.edu, ergonomics for the musician: short sessions, few repetitions)."""

HANDS = to_say(
    "Stop before it hurts. Shake your hands out and let your shoulders sink; if it pulls or "
    "tingles, that was enough for today."
)
REST = to_say("Rest your hands now, for five minutes at least, before you play on.")
"""Both to be said."""


@dataclass(frozen=True, slots=True)
class Ladder:
    """Where a student stands on it."""

    tempo: float = SLOWEST
    slowest: float = SLOWEST
    fastest: float = FASTEST

    def after(self, said: str) -> Ladder:
        """Where it goes from here: up after CLEAN, down after SLOWER, and nowhere after AGAIN.
        Raises ValueError for anything else."""
        if said == AGAIN:
            return self
        if said == CLEAN:
            return self.at(max(self.tempo * STEP, self.tempo + 1))
        if said == SLOWER:
            return self.at(min(self.tempo / STEP**RUNGS_DOWN, self.tempo - 1))
        raise ValueError(f"said={said!r}: give {CLEAN}, {AGAIN} or {SLOWER}")

    @property
    def is_at_top(self) -> bool:
        """Whether no theka goes faster."""
        return self.tempo >= self.fastest

    def at(self, tempo: float) -> Ladder:
        """It at this tempo, or as near as a theka can be played."""
        return replace(self, tempo=float(round(min(max(tempo, self.slowest), self.fastest))))


def is_to_rest(minutes: float) -> bool:
    """Whether the ladder rests after so many minutes in one go."""
    return minutes >= REST_AFTER_HANDS_MIN


def ladder_for(noted: Iterable[PaltaNoted], *, swaras: int, layout: str) -> Ladder:
    """Where a ladder begins for a palta of so many swaras to a group in a layout, by its id: a
    little below where one was last clean; where none ever was, where the last one was left.

    What is kept is how many swaras a minute were played, so that another layout begins no faster.
    """
    said = [each for each in noted if each.said != GIVEN and each.tempo > 0.0]
    clean = [each for each in said if each.said == CLEAN]
    rate = FIRST_RATE
    if clean:
        last = clean[-1]
        first = next(each for each in clean if each.at.date() == last.at.date())
        more = max(0, swaras - _swaras_of(last, swaras))
        rate = max(_rate_of(last) * EASIER, min(_rate_of(first), _rate_of(last)))
        rate *= EASIER_WIDER**more
    elif said:
        rate = _rate_of(said[-1])
        rate *= Ladder(said[-1].tempo).after(said[-1].said).tempo / said[-1].tempo
    return Ladder().at(rate / layouts()[layout].swaras_to_matra)


def _swaras_of(noted: PaltaNoted, usual: int) -> int:
    """As many as a group has; as usual where that is not told, or cannot be."""
    swaras = noted.whole("n")
    return swaras if swaras is not None and 0 < swaras <= MOST_SWARAS else usual


def _rate_of(noted: PaltaNoted) -> float:
    """Swaras a minute; as two to a matra where the layout is not told or not known any more."""
    layout = layouts().get(str(noted.detail.get("layout")))
    return noted.tempo * (layout.swaras_to_matra if layout else 2)
