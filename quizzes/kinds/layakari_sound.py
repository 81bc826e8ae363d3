"""A theka said once in a layakari, over the matras of thah that the string counts."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate

from audio.score import Drone, Score, Stroke, TablaStroke
from audio.theka import FASTEST, theka_strokes
from quizzes.fresh import Fresh
from quizzes.talas.layakari import takes
from quizzes.talas.tala import Tala, ThekaText

SA_CENTS, SAM_CENTS = 0.0, 1200.0
"""The string counts on Sa, and sam on the Sa above."""
PULSE_SHARE = 0.6
"""Of a matra each stroke of the string lasts."""
TEMPOS = (66.0, 112.0)
DENSEST_HZ = 16.0
"""Strokes a second on the drums, at most: a filled matra of a very fast theka has as many."""
LONGEST_S = 15.5
FEWEST_IN_THAH = 3


@dataclass(frozen=True, slots=True)
class Said:
    """What is said, and at which tempo of thah, in matras a minute."""

    tala: Tala
    theka: ThekaText
    ratio: Fraction
    matras_per_min: Fraction

    @property
    def takes(self) -> Fraction:
        return takes(self.tala.matras, self.ratio)

    def _second(self, matras: Fraction | int) -> float:
        return float(matras * 60 / self.matras_per_min)

    def in_thah(self, matras: Fraction | int, *, from_place: int = 0) -> tuple[TablaStroke, ...]:
        """The theka as it is from a place, for so many matras."""
        if not matras:
            return ()
        return theka_strokes(
            self.theka.theka,
            matras_per_min=self.matras_per_min,
            matras=matras,
            from_matra=from_place,
        )

    def once(self, *, after: Fraction | int) -> tuple[TablaStroke, ...]:
        """The whole theka in the layakari after so many matras, with the stroke it arrives at."""
        return theka_strokes(
            self.theka.theka,
            matras_per_min=self.matras_per_min * self.ratio,
            matras=self.tala.matras,
            onset_s=self._second(after),
            lands=True,
        )

    def counted(self, matras: int, *, sams: frozenset[int], fresh: Fresh | None) -> list[Stroke]:
        """The string on so many matras and one; higher on `sams`, counted from where it begins."""
        strokes = []
        for at in range(matras + 1):
            cents = SAM_CENTS if at in sams else SA_CENTS
            onset_s, lasts_s = self._second(at), self._second(1) * PULSE_SHARE
            if fresh is None:
                strokes.append(Stroke(onset_s, lasts_s, ((0.0, cents),)))
            else:
                strokes.append(fresh.stroke(cents, onset_s=onset_s, duration_s=lasts_s))
        return strokes


def fastest(theka: ThekaText, ratio: Fraction) -> Fraction:
    """The fastest thah in which this theka can still be said in this ratio."""
    fullest = max(map(len, theka.theka.matras))
    return min(Fraction(int(FASTEST)), Fraction(int(60 * DENSEST_HZ), fullest)) / ratio


def thah_before(tala: Tala) -> int:
    """So many matras of thah are heard before the theka is said: whole vibhags."""
    return next((end for end in accumulate(tala.vibhags) if end >= FEWEST_IN_THAH), tala.matras)


def question_cue(
    fresh: Fresh, said: Said, rest: int, *, sa_hz: float, lead_s: float, level_db: float
) -> Score:
    """Thah from sam on, `rest` matras of the string alone, then the theka once in its layakari.

    It begins where it does not belong, and the string counts on without a sign of sam: how long it
    takes can be heard, whether it arrives cannot.
    """
    before = thah_before(said.tala)
    after = before + rest
    drums = (*said.in_thah(before), *said.once(after=after))
    matras = after + -(-said.takes.numerator // said.takes.denominator)
    return Score(
        sa_hz,
        tuple(said.counted(matras, sams=frozenset(), fresh=fresh)),
        Drone(),
        lead_s,
        tuple(TablaStroke(each.onset_s, each.bol, level_db) for each in drums),
    )


def from_where(said: Said, place: Fraction) -> int:
    """The place from which an explanation plays thah: sam, or a later vibhag where that is long."""
    starts = [start - 1 for start in said.tala.form.starts if start - 1 <= place]
    short = [at for at in starts if said._second(said.tala.matras - at) <= LONGEST_S]
    return short[0] if short else starts[-1]


def placed(said: Said, place: Fraction, *, sa_hz: float, lead_s: float) -> Score:
    """Thah up to a place of the cycle, from there the theka once in its layakari; the string counts
    the matras, and sam on the Sa above."""
    begin, cycle = from_where(said, place), said.tala.matras
    after = place - begin
    ends = after + said.takes
    matras = max(cycle - begin, -(-ends.numerator // ends.denominator))
    sams = frozenset(at for at in range(matras + 1) if (begin + at) % cycle == 0)
    return Score(
        sa_hz,
        tuple(said.counted(matras, sams=sams, fresh=None)),
        Drone(),
        lead_s,
        (*said.in_thah(after, from_place=begin), *said.once(after=after)),
    )
