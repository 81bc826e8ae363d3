"""A fresh phrase for a tihai: in a raga that the student has begun, else in plain swaras."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from audio.score import Stroke
from audio.tuning import Swara, load_tuning
from quizzes.fresh import Fresh
from quizzes.names import in_sargam
from quizzes.question import Setting
from quizzes.ragas.movement import surely_breaks
from quizzes.ragas.tradition import ragas
from quizzes.stages.phrasing import exactly
from quizzes.talas.cycle import mixed
from quizzes.talas.tihai import LAST

RINGS_MATRAS = Fraction(2)
"""The last stroke of a phrase rings so long, or until the next."""
STROKE_SPREAD_DB, STROKE_BRIGHTNESS_SPREAD = 0.5, 0.2
SPLITS_S = 0.16
"""A matra may be struck twice where half of it is at least so long."""
OFTEN_TWICE = 0.5
LADDER = tuple(swara for swara in map(Swara.at, range(-5, 17)) if swara.letter in "SRGmPDN")
"""From mandra Pa to tar Ga, all shuddha."""
RESTS = frozenset("SGP")
TRIES = 8
"""So many phrases of a raga are drawn while none can follow itself at once."""
OFTEN_TURNS = 0.3
"""How often a plain phrase turns from one swara to the next."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """Swaras with their onsets in matras; the last one falls a matra before the end."""

    matras: Fraction
    onsets: tuple[Fraction, ...]
    swaras: tuple[Swara, ...]
    drone: str
    """The first string of the tanpura."""

    def as_json(self) -> dict[str, Any]:
        return {
            "matras": str(self.matras),
            "onsets": [str(onset) for onset in self.onsets],
            "swaras": [str(swara) for swara in self.swaras],
            "drone": self.drone,
        }

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Phrase:
        return cls(
            Fraction(data["matras"]),
            tuple(map(Fraction, data["onsets"])),
            tuple(map(Swara.read, data["swaras"])),
            data["drone"],
        )

    @property
    def written(self) -> str:
        """`S R G (0, 1, 1 1/2)`: the swaras, and at which matras after the first they fall."""
        swaras = in_sargam(self.swaras)
        return f"{swaras} ({', '.join(map(mixed, self.onsets))})"

    def strokes(
        self,
        begins: Sequence[Fraction],
        *,
        matras_per_min: Fraction,
        tuning: str,
        fresh: Fresh | None = None,
    ) -> tuple[Stroke, ...]:
        """The phrase at each of these moments, in matras after the theka has begun.

        Each onset is rounded once. With `fresh` strokes differ a little, as they do in a hand.
        """
        cents = [load_tuning(tuning).cents_of(swara) for swara in self.swaras]
        struck = [
            (begin + onset, pitch)
            for begin in begins
            for onset, pitch in zip(self.onsets, cents, strict=True)
        ]
        ends = [at for at, _ in struck[1:]] + [struck[-1][0] + RINGS_MATRAS]
        matra_s = 60 / matras_per_min
        return tuple(
            Stroke(
                onset_s=float(at * matra_s),
                duration_s=float(min(end - at, RINGS_MATRAS) * matra_s),
                path=((0.0, pitch),),
                level_db=_spread(fresh, STROKE_SPREAD_DB),
                brightness=_spread(fresh, STROKE_BRIGHTNESS_SPREAD),
            )
            for (at, pitch), end in zip(struck, ends, strict=True)
        )


def _spread(fresh: Fresh | None, by: float) -> float:
    return 0.0 if fresh is None else round(fresh.between(-by, by), 3)


def fresh_phrase(
    fresh: Fresh,
    setting: Setting,
    matras: Fraction,
    matras_per_min: Fraction,
    *,
    evenly: bool = False,
) -> Phrase:
    """A phrase of so many matras at a tempo, with a swara of rest on its last stroke.

    A matra is struck once where it is played `evenly`, else here and there twice.
    """
    splits = not evenly and 30 / float(matras_per_min) >= SPLITS_S
    onsets = _onsets(fresh, matras, splits=splits)
    known = ragas(setting.tradition)
    begun = [raga for raga in setting.ragas if raga in known]
    if not begun:
        return Phrase(matras, onsets, _plain(fresh, len(onsets)), "P")
    raga = known[fresh.one_of(begun)]
    ends = frozenset({"S", *raga.nyas.value, *raga.vadi.value})
    for _ in range(TRIES):
        swaras = exactly(fresh, raga, len(onsets), register=("madhya",), ends_on=ends)
        if surely_breaks(raga, 2 * swaras) is None:
            break
    return Phrase(matras, onsets, swaras, raga.drone)


def _onsets(fresh: Fresh, matras: Fraction, *, splits: bool) -> tuple[Fraction, ...]:
    """A stroke on each matra, some struck twice, and what is left over in quick strokes."""
    whole, part = divmod(matras - LAST, 1)
    steps: list[tuple[Fraction, ...]] = []
    for _ in range(int(whole)):
        twice = fresh.between(0, 1) < OFTEN_TWICE and splits
        steps.append((Fraction(1, 2),) * 2 if twice else (Fraction(1),))
    if part:
        steps.append((Fraction(1, part.denominator),) * part.numerator)
    onsets = [Fraction(0)]
    for step in (step for each in fresh.shuffled(steps) for step in each):
        onsets.append(onsets[-1] + step)
    return tuple(onsets)


def _plain(fresh: Fresh, count: int) -> tuple[Swara, ...]:
    """Steps up and down, worked back from a rest."""
    at = fresh.one_of([place for place, swara in enumerate(LADDER) if swara.letter in RESTS])
    way, found = fresh.one_of((-1, 1)), [LADDER[at]]
    while len(found) < count:
        if not 0 <= at + way < len(LADDER) or fresh.between(0, 1) < OFTEN_TURNS:
            way = -way
        at = min(max(at + way, 0), len(LADDER) - 1)
        found.append(LADDER[at])
    return tuple(reversed(found))
