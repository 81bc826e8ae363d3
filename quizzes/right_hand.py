"""Lines of bols as cues: on a few swaras, at one tempo, by one hand on one day.

da and ra differ a little in loudness and brightness (`audio.mizrab`), and that is to be heard: from
stroke to stroke little else varies. From question to question the whole does.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from audio.mizrab import CHIKARI, matras_of, read_bols, strokes_of
from audio.score import Drone, Score, Stroke, TablaStroke
from audio.theka import read_theka, theka_strokes
from audio.tuning import Swara, load_tuning
from quizzes.bols import mizrab_bols
from quizzes.contours import fresh_contour
from quizzes.fresh import LEVEL_SPREAD_DB, Fresh
from quizzes.question import Setting
from quizzes.talas import load_tala
from words import in_script

STROKE_SPREAD_DB, STROKE_BRIGHTNESS_SPREAD = 0.3, 0.05
"""From matra to matra: an eighth of what tells ra from da."""
WHOLE_BRIGHTNESS_SPREAD = 0.25
SA_MOVES_SEMITONES = 3.0
MATRAS_TO_A_SWARA = 4
WOBBLES = 31
FALL_S = 0.36
"""In which the power of a stroke falls to 1/e: about 12 dB a second (measured)."""
CUE_DB = -3.0
"""The level of a cue with one stroke of 0 dB a second: low enough that room for peaks
(`audio.headroom`) never turns a cue down, which would tell how many strings ring at once."""
THEKA_DB = -4.0
"""Under its usual level: the strokes of the string are what is asked, and nothing masks them."""
EXPLAINED_SHARE = 0.85


@dataclass(frozen=True, slots=True)
class Hand:
    """How one question is played, whatever is struck."""

    sa_hz: float
    matras_per_min: float
    lead_s: float
    swaras: tuple[Swara, ...]
    """One for every four matras, the last one on and on."""
    cents: tuple[float, ...]
    level_db: float
    brightness: float
    wobble: tuple[tuple[float, float], ...]
    """What is added to level and brightness in each matra, over and over."""
    chikari_db: float = 0.0
    """What is added to the level of the chikari alone."""

    def strokes(self, bols: Sequence[str], *, onset_s: float = 0.0) -> tuple[Stroke, ...]:
        """The strokes of a line of bols and rests."""
        line = read_bols(" ".join(bols))
        cents, at = [], Fraction(0)
        for bol in line:
            if not isinstance(bol, str) and bol.name != CHIKARI:
                cents.append(self.cents[min(int(at) // MATRAS_TO_A_SWARA, len(self.cents) - 1)])
            at += matras_of([bol])
        struck = strokes_of(
            line,
            cents,
            sa_hz=self.sa_hz,
            matras_per_min=self.matras_per_min,
            onset_s=onset_s,
        )
        return tuple(self._varied(stroke, stroke.onset_s - onset_s) for stroke in struck)

    def _varied(self, stroke: Stroke, since_s: float) -> Stroke:
        """As it falls out on this day, in the matra in which it is struck."""
        matra = int(since_s * self.matras_per_min / 60.0 + 1e-6)
        level_db, brightness = self.wobble[matra % len(self.wobble)]
        if stroke.voice == "chikari":
            level_db += self.chikari_db
        return replace(
            stroke,
            level_db=round(stroke.level_db + level_db, 3),
            brightness=round(stroke.brightness + self.brightness + brightness, 3),
        )

    def score(
        self,
        *lines: Sequence[str],
        rest_matras: int = 2,
        waits_matras: int = 0,
        tabla: tuple[TablaStroke, ...] = (),
    ) -> Score:
        """Lines one after the other, with matras of rest between them.

        The first waits for so many matras, which the tabla has for itself.
        """
        strokes: list[Stroke] = []
        onset_s = waits_matras * 60.0 / self.matras_per_min
        for line in lines:
            strokes += self.strokes(line, onset_s=onset_s)
            matras = matras_of(read_bols(" ".join(line)))
            onset_s += float(matras + rest_matras) * 60.0 / self.matras_per_min
        return Score(
            self.sa_hz, levelled(strokes, onset_s, self.level_db), Drone(), self.lead_s, tabla
        )

    def theka(self, tala: str, *, matras: int, from_matra: int = 1) -> tuple[TablaStroke, ...]:
        """So many matras of the usual theka of a tala, from a matra of its cycle."""
        return theka_strokes(
            read_theka(load_tala(tala).theka),
            matras_per_min=self.matras_per_min,
            matras=matras,
            from_matra=from_matra - 1,
            level_db=THEKA_DB,
        )

    def explained(self, *, share: float = EXPLAINED_SHARE) -> Hand:
        """The same, evenly and at a share of its tempo."""
        return replace(
            self,
            matras_per_min=self.matras_per_min * share,
            lead_s=0.0,
            level_db=0.0,
            brightness=0.0,
            wobble=((0.0, 0.0),),
            chikari_db=0.0,
        )


def levelled(strokes: Sequence[Stroke], length_s: float, level_db: float) -> tuple[Stroke, ...]:
    """All turned up or down as one, so that a cue is as loud whatever is struck in it.

    A stroke gives the power of its level, falling by FALL_S until the string is struck again.
    """
    given = sum(
        10 ** (stroke.level_db / 10) * (1 - math.exp(-stroke.duration_s / FALL_S))
        for stroke in strokes
    )
    turned_db = CUE_DB - 10 * math.log10(given / length_s) + level_db
    return tuple(
        replace(stroke, level_db=round(stroke.level_db + turned_db, 3)) for stroke in strokes
    )


def fresh_hand(fresh: Fresh, setting: Setting, *, tempo: tuple[float, float], swaras: int) -> Hand:
    """A hand for one question: 1 to 5 swaras, a tempo between two in matras a minute."""
    phrase = fresh_contour(fresh, max(3, swaras))[:swaras]
    tuning = load_tuning(setting.tuning)
    return Hand(
        sa_hz=fresh.moved_sa(setting.sa_hz, semitones=SA_MOVES_SEMITONES),
        matras_per_min=round(fresh.between(*tempo), 2),
        lead_s=round(fresh.between(0.1, 0.4), 3),
        swaras=phrase,
        cents=tuple(tuning.cents_of(swara) for swara in phrase),
        level_db=round(fresh.between(-LEVEL_SPREAD_DB, LEVEL_SPREAD_DB), 2),
        brightness=round(fresh.between(-WHOLE_BRIGHTNESS_SPREAD, WHOLE_BRIGHTNESS_SPREAD), 2),
        wobble=tuple(
            (
                round(fresh.between(-STROKE_SPREAD_DB, STROKE_SPREAD_DB), 3),
                round(fresh.between(-STROKE_BRIGHTNESS_SPREAD, STROKE_BRIGHTNESS_SPREAD), 3),
            )
            for _ in range(WOBBLES)
        ),
    )


def written(line: Sequence[str], hand: Hand) -> str:
    """Bols with the swaras that they are played on, for logs: `da dir | da ra (S R)`."""
    return f"{' '.join(line)} ({' '.join(map(str, hand.swaras))})"


def for_readers(written: str) -> str:
    """The same in the letters in use; of several lines only the last one has swaras."""
    bols, _, swaras = written.partition(" (")
    return f"{mizrab_bols(bols)} ({in_script(swaras)}" if swaras else mizrab_bols(bols)
