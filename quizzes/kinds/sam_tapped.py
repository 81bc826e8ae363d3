"""How taps on sam are asked for, marked and explained.

Three cycles are heard from anywhere in the first, so that sam comes three times. Where it is can
only be known once the theka has gone round, so that the first is not asked for: who meets two of
the three, and taps nowhere else, is right. A tap is for the matra to which it is nearest.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from audio.score import Score, Stroke
from quizzes.explanation import Explanation, Met
from quizzes.names import capital, counted, listed, number_word
from quizzes.question import Mark, Question
from quizzes.talas.cues import MINUTE_MS, ThekaCue
from quizzes.talas.cycle import matra_at, place_in
from quizzes.talas.hearing import (
    PLUCK_S,
    UPPER_SA_CENTS,
    cue_again,
    once_round,
    plucked,
    times_of,
)
from quizzes.talas.tala import Tala
from quizzes.wheel import Wheel
from words import say, say_many, to_say

CYCLES = 3
NEEDED = 2
"""Of the three sams so many must be met."""
MOST_SHOWN = 3
"""Of matras that were tapped and are not sam so many are named."""


def right_taps(cue: ThekaCue) -> str:
    """Each sam in whole milliseconds of the score, as an answer is written."""
    return " ".join(str(round(cue.ms_of(at))) for at in times_of(cue, 1))


class Tapped:
    """The taps of an answer, each laid on the nearest matra of its question's cue."""

    def __init__(self, question: Question, tala: Tala, given: str) -> None:
        """Raises KeyError for an answer that could not be given."""
        self.taps_ms = question.tapped(given)
        self.cue = cue_again(question, tala)
        self._nearest = [_nearest_matra(self.cue, tap) for tap in self.taps_ms]

    @property
    def met(self) -> dict[int, int]:
        """The sams that were met, as matras after the beginning, each with its nearest tap."""
        found: dict[int, int] = {}
        for at in map(int, times_of(self.cue, 1)):
            near = [tap for tap, on in zip(self.taps_ms, self._nearest, strict=True) if on == at]
            if near:
                meant = self.cue.ms_of(at)
                found[at] = min(near, key=lambda tap: abs(tap - meant))
        return found

    @property
    def astray(self) -> list[int]:
        """The matra, from 1, of each tap that is nearest to no sam, in their order, 0 before the
        theka. A sam that would have come after the end is one as well."""
        cycle, begun = self.cue.tala.matras, self.cue.from_place
        matras = [matra_at(place_in(begun + on, cycle)) if on >= 0 else 0 for on in self._nearest]
        return [matra for matra in matras if matra != 1]

    @property
    def credit(self) -> float:
        """1 where two sams are met and nothing else is tapped; else the share that sams met, two at
        most, have of the two asked for and the taps that went astray."""
        return min(len(self.met), NEEDED) / (NEEDED + len(self.astray))


def _nearest_matra(cue: ThekaCue, tap_ms: int) -> int:
    """The matra to which a tap is nearest, counted from 0 at the beginning; below 0 before it."""
    since = (tap_ms - cue.ms_of(0)) * cue.matras_per_min / MINUTE_MS
    return int((since + Fraction(1, 2)) // 1)


def mark(question: Question, tala: Tala, given: str) -> Mark:
    return Mark(Tapped(question, tala, given).credit)


def explain(question: Question, tala: Tala, given: str) -> Explanation:
    tapped = Tapped(question, tala, given)
    turn = once_round(question, tala)
    sams = [int(at) for at in times_of(tapped.cue, 1)]
    right = tapped.credit == 1.0
    return Explanation(
        right_label=say("Sam each time"),
        given_label=say(
            "{taps}, {number} on sam",
            taps=counted(len(tapped.taps_ms), "{number} tap", "{number} taps"),
            number=_so_many(len(tapped.met)),
        ),
        why=_why(tapped),
        right_cue=plucked(turn, times_of(turn, 1)),
        given_cue=None if right else _with_taps(tapped),
        given_plays="" if right else say("the sitar where you tapped"),
        wheel=Wheel(tala.form, turning=turn.turning, marked=((1, say("sam")),)),
        met=tuple(
            Met(say(label), _off_ms(tapped, at)) for label, at in zip(_LABELS, sams, strict=True)
        ),
    )


_LABELS = (to_say("first sam"), to_say("second sam"), to_say("third sam"))


def _off_ms(tapped: Tapped, at: int) -> float | None:
    tap = tapped.met.get(at)
    return None if tap is None else float(tap - tapped.cue.ms_of(at))


def _so_many(count: int) -> str:
    return number_word(count) if count else say("none")


def _why(tapped: Tapped) -> str:
    met = len(tapped.met)
    told = say("You met all three sams.")
    if met < CYCLES:
        told = say(
            "You met {number} of three sams; the first could not be known yet.",
            number=_so_many(met),
        )
    if not tapped.astray:
        return told
    fell = say_many(
        "{number} tap fell {where}.",
        "{number} taps fell {where}.",
        len(tapped.astray),
        number=capital(number_word(len(tapped.astray))),
        where=_where(list(dict.fromkeys(tapped.astray))),
    )
    return f"{told} {fell}"


def _where(matras: Sequence[int]) -> str:
    """`on matra 4`, `before the theka and on matras 4 and 8`, `on matras 2, 4, 5 and elsewhere`."""
    seen = [str(matra) for matra in matras if matra][:MOST_SHOWN]
    if len(seen) < sum(map(bool, matras)):
        seen.append(say("elsewhere"))
    if not seen:
        return say("before the theka")
    on = say_many("on matra {matras}", "on matras {matras}", len(seen), matras=listed(seen))
    return listed([say("before the theka"), on]) if 0 in matras else on


def _with_taps(tapped: Tapped) -> Score:
    """The cue as it was, and the sitar's Sa at each tap that came while it sounded."""
    cue = tapped.cue
    ends_s = cue.score.duration_s - cue.score.lead_s
    times = [tap / 1000 - cue.score.lead_s for tap in tapped.taps_ms]
    return cue.with_strokes(
        [Stroke(time, PLUCK_S, ((0.0, UPPER_SA_CENTS),)) for time in times if 0.0 <= time <= ends_s]
    )
