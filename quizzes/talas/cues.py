"""A theka as a cue: from anywhere in its cycle, for any number of matras, at an exact tempo."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from audio.score import Drone, Score, Stroke, TablaStroke
from audio.theka import read_theka, theka_strokes
from quizzes.fresh import LEVEL_SPREAD_DB, Fresh
from quizzes.question import Setting
from quizzes.talas.tala import Tala, ThekaText
from quizzes.wheel import Turning

SA_MOVES_SEMITONES = 3.0
STROKE_SPREAD_DB = 0.5
"""Each stroke is louder or softer by up to this at random: no matra is told by its loudness."""
SAME_S = 1e-6
"""Moments no farther apart are one: onsets are rounded once from exact fractions."""
MINUTE_MS = 60_000
TENTHS = 10
"""Tempos are drawn in tenths of a matra a minute."""


@dataclass(frozen=True, slots=True)
class ThekaCue:
    """A score in which the theka begins at `from_place` and goes on for `matras`."""

    tala: Tala
    theka: ThekaText
    from_place: Fraction
    matras: Fraction
    matras_per_min: Fraction
    score: Score

    @property
    def lands(self) -> bool:
        """Whether a stroke is played at its very end, too."""
        end_s = float(self.matras * 60 / self.matras_per_min)
        return any(abs(stroke.onset_s - end_s) < SAME_S for stroke in self.score.tabla)

    @property
    def turning(self) -> Turning:
        """How a wheel turns with it: the matra on which it lands is lit as long as any other."""
        matras = self.matras + 1 if self.lands else self.matras
        return Turning(self.score.lead_s, self.from_place, matras, self.matras_per_min)

    def ms_of(self, at: Fraction | int) -> Fraction:
        """When it is, in ms of the score, so many matras after the theka begins; exact, since the
        lead is in whole milliseconds."""
        return round(self.score.lead_s * 1000) + Fraction(at) * MINUTE_MS / self.matras_per_min

    def with_strokes(self, strokes: Sequence[Stroke]) -> Score:
        """The score with strings over the theka; their onsets count from where it begins."""
        return replace(self.score, strokes=tuple(strokes))

    @property
    def written(self) -> str:
        """For logs: `tintal from matra 5, 16 matras at 92.5: dha dhin dhin dha | …`."""
        return (
            f"{self.tala.id} from matra {float(self.from_place) + 1:g}, {float(self.matras):g} "
            f"matras at {float(self.matras_per_min):g}: {self.theka.bols}"
        )


def drawn_tempo(fresh: Fresh, low: float, high: float) -> Fraction:
    """A tempo between two, exact."""
    return Fraction(round(fresh.between(low, high) * TENTHS), TENTHS)


def middle_laya(tala: Tala) -> str:
    """The class in which a theka is heard that no laya is asked of: the middle one where it is
    usual."""
    return "madhya" if "madhya" in tala.laya else tala.laya[0]


def theka_cue(
    fresh: Fresh,
    setting: Setting,
    tala: Tala,
    *,
    matras: Fraction | int,
    matras_per_min: Fraction,
    from_place: Fraction | int = 0,
    theka: ThekaText | None = None,
    lands: bool = False,
) -> ThekaCue:
    """A cue of so many `matras` of a theka, the usual one unless given, over the drone.

    Sa, the level of the whole and, a little, that of each stroke are drawn afresh. Where it
    `lands`, the stroke at the very end is played, too.
    """
    theka = theka or tala.thekas[0]
    sa_hz = fresh.moved_sa(setting.sa_hz, semitones=SA_MOVES_SEMITONES)
    lead_s = round(fresh.between(0.1, 0.4), 3)
    level_db = fresh.between(-LEVEL_SPREAD_DB, LEVEL_SPREAD_DB)
    strokes = theka_strokes(
        read_theka(theka.bols),
        matras_per_min=matras_per_min,
        matras=matras,
        from_matra=from_place,
        lands=lands,
    )
    score = Score(sa_hz, (), Drone(), lead_s, _varied(fresh, strokes, level_db))
    return ThekaCue(tala, theka, Fraction(from_place), Fraction(matras), matras_per_min, score)


def _varied(
    fresh: Fresh, strokes: Sequence[TablaStroke], level_db: float
) -> tuple[TablaStroke, ...]:
    return tuple(
        replace(
            stroke,
            level_db=round(level_db + fresh.between(-STROKE_SPREAD_DB, STROKE_SPREAD_DB), 2),
        )
        for stroke in strokes
    )
