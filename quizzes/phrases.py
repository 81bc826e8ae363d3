"""Short fresh phrases in which one stroke is ornamented and the others are plain.

Nothing of a phrase but that one stroke depends on what is asked: its swaras, its length, and the
level and brightness of its strokes are drawn beforehand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from audio.line import Beat, Line, Tone
from audio.ornaments import Hand
from audio.playing import RING_S, score_of
from audio.sargam import write
from audio.score import Breakpoint, Drone, Score
from audio.tuning import Swara, Tuning
from quizzes.fresh import LEVEL_SPREAD_DB, Fresh

MATRAS = Fraction(2)
"""The ornamented stroke takes twice the time of a plain one."""

TEMPO = 64.0, 82.0
"""From least to most, in matras a minute."""
PLAIN_RING_S = 0.2
"""How long a plain note rings on at the end: less than would make it long beside the one asked."""
SLOWER = 0.75
"""An explanation plays the phrase at so much of its tempo."""

BRIGHTNESS_OF_PHRASE, BRIGHTNESS_OF_STROKE = 0.6, 0.4
LEVEL_OF_PHRASE_DB = 1.0
"""How bright and how loud a phrase is, and each stroke beside it, varies at random by up to this.
An ornament changes both a little (a gamak is struck low and pulled), and this hides it."""

SA_MOVES_SEMITONES = 3.0
LOWEST_STEPS, HIGHEST_STEPS = -7, 19
"""From mandra Ma, the open string, to tar Pa."""

WIDEST_STEPS = 7
"""A phrase leaps no further, however few swaras its scale has."""

Way = Sequence[Breakpoint]


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase without its ornament: plain swaras, and the place at which that stands."""

    sa_hz: float
    around: tuple[Swara, ...]
    place: int
    matras_per_min: float
    lead_s: float
    strengths: tuple[tuple[float, float], ...]
    """Level in decibels and brightness of each stroke."""

    @property
    def length_s(self) -> float:
        """How long the ornamented stroke lasts, without what rings on at the end of the phrase."""
        return float(MATRAS) * 60.0 / self.matras_per_min

    def line(self, ornamented: Beat) -> Line:
        plain = [Beat((Tone(swara),)) for swara in self.around]
        return Line((*plain[: self.place], ornamented, *plain[self.place :]))

    def written(self, ornamented: Beat) -> str:
        return write(self.line(ornamented))

    def cue(
        self, ornamented: Beat, tuning: Tuning, hand: Hand, *, path: Way | None = None
    ) -> Score:
        """As it is asked; `path` is the ornamented stroke's where a line cannot write it."""
        score = score_of(
            self.line(ornamented),
            tuning,
            sa_hz=self.sa_hz,
            matras_per_min=self.matras_per_min,
            drone=Drone(),
            lead_s=self.lead_s,
            hand=hand,
            ring_s=RING_S if self.place == len(self.around) else PLAIN_RING_S,
        )
        strokes = [
            replace(stroke, level_db=level_db, brightness=brightness)
            for stroke, (level_db, brightness) in zip(score.strokes, self.strengths, strict=True)
        ]
        if path is not None:
            strokes[self.place] = replace(strokes[self.place], path=tuple(path))
        return replace(score, strokes=tuple(strokes))

    def explained(self) -> Phrase:
        """The same phrase as an explanation plays it: a little slower, and evenly."""
        return replace(
            self,
            matras_per_min=self.matras_per_min * SLOWER,
            lead_s=0.0,
            strengths=((0.0, 0.0),) * len(self.strengths),
        )


def ladder_of(scale: Sequence[str]) -> tuple[Swara, ...]:
    """The swaras of a scale over the reach of the string, from low to high."""
    return _ladder_of(frozenset(scale))


@lru_cache(maxsize=256)
def _ladder_of(letters: frozenset[str]) -> tuple[Swara, ...]:
    steps = range(LOWEST_STEPS, HIGHEST_STEPS + 1)
    return tuple(swara for swara in map(Swara.at, steps) if swara.letter in letters)


def fresh_phrase(
    fresh: Fresh,
    sa_hz: float,
    ladder: Sequence[Swara],
    target: Swara,
    *,
    count: int,
    may_end: bool = True,
    tempo: tuple[float, float] = TEMPO,
) -> Phrase:
    """`count` plain swaras that walk to and from `target` by small steps of the ladder.

    `may_end` allows the ornamented stroke to be the last one, which rings on.
    """
    place = fresh.one_of(range(count + 1 if may_end else count))
    before = _walk(fresh, ladder, target, place)[::-1]
    around = (*before, *_walk(fresh, ladder, target, count - place))
    return phrase_around(fresh, sa_hz, around, place, tempo=tempo)


def phrase_around(
    fresh: Fresh,
    sa_hz: float,
    around: Sequence[Swara],
    place: int,
    *,
    tempo: tuple[float, float] = TEMPO,
) -> Phrase:
    """The phrase of these plain swaras, with tempo and strengths drawn afresh."""
    brightness = fresh.between(-BRIGHTNESS_OF_PHRASE, BRIGHTNESS_OF_PHRASE)
    level_db = fresh.between(-LEVEL_OF_PHRASE_DB, LEVEL_OF_PHRASE_DB)
    spread, spread_db = BRIGHTNESS_OF_STROKE, LEVEL_SPREAD_DB
    return Phrase(
        sa_hz=fresh.moved_sa(sa_hz, semitones=SA_MOVES_SEMITONES),
        around=tuple(around),
        place=place,
        matras_per_min=round(fresh.between(*tempo), 2),
        lead_s=round(fresh.between(0.1, 0.4), 3),
        strengths=tuple(
            (
                round(level_db + fresh.between(-spread_db, spread_db), 2),
                round(brightness + fresh.between(-spread, spread), 2),
            )
            for _ in range(len(around) + 1)
        ),
    )


def _walk(fresh: Fresh, ladder: Sequence[Swara], target: Swara, count: int) -> list[Swara]:
    """Swaras away from the target, each one or two steps and no more than a fifth from the one
    before, and never the target in any saptak: it would be heard there without its ornament."""
    at, walked = ladder.index(target), []
    for _ in range(count):
        near = [at + step for step in (-2, -1, 1, 2) if 0 <= at + step < len(ladder)]
        at = fresh.one_of(
            [
                index
                for index in near
                if ladder[index].letter != target.letter
                and abs(ladder[index].steps - ladder[at].steps) <= WIDEST_STEPS
            ]
        )
        walked.append(ladder[at])
    return walked
