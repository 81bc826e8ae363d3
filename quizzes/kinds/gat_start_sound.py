"""A gat over its theka: at which tempo, after how much of the theka, and as it is explained."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate

from audio.mizrab import Gat, matras_of, read_bols
from audio.score import Score
from audio.theka import theka_strokes
from quizzes.right_hand import Hand
from quizzes.talas import Tala
from quizzes.talas.cues import ThekaCue
from quizzes.talas.cycle import matra_at, place_in, place_of, to_sam

COUNTED = 90
"""Matras a minute that are easily counted: of its own tempos a gat has those nearest to it."""
TEMPO_SPREAD = Fraction(6, 5)
FOUND_TEMPO = (104.0, 118.0)
"""Between slow and fast, where the tempo is not to tell which gat it is."""
LEADS = (6.0, 11.0)
"""Matras of theka before a slow gat; twice as many, and as many of all else, with a fast one."""
LEAD_MATRAS = 4
"""At least so many."""
FOUND_LEADS = tuple(range(10, 20))
"""Before a gat that begins anywhere, drawn without regard to where."""
HEARD, HEARD_LONGER = (6, 10), (8, 12)
"""Matras of the gat, from and to; the longer to its last bol at least."""
AFTER_SAM = 2
"""So many matras from sam on, at least, are heard in an explanation."""
GAT_DB = -3.0
"""Its strokes beside their usual level, wherever it begins: so dense a line stands out enough."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What one question plays: a gat from a place, so many matras after the theka has begun."""

    gat: Gat
    tala: Tala
    start: Fraction
    lead: int
    bol: int
    """Which bol of the line is asked, from 0."""
    hand: Hand
    cue: ThekaCue

    @property
    def right(self) -> int:
        """The matra on which that bol falls."""
        return matra_at(place_in(self.start + onsets_of(self.gat)[self.bol], self.tala.matras))

    def played(self, start: Fraction) -> Asked:
        """The same from a place, as it is explained: soon, and on beyond sam."""
        cycle, cue = self.tala.matras, self.cue
        lead = LEAD_MATRAS * times_of(self.hand.matras_per_min)
        line = matras_of(read_bols(self.gat.bols))
        matras = lead + max(line, to_sam(start, cycle) + AFTER_SAM)
        from_place = place_in(start - lead, cycle)
        tabla = theka_strokes(
            cue.theka.theka,
            matras_per_min=cue.matras_per_min,
            matras=matras,
            from_matra=from_place,
        )
        score = replace(cue.score, tabla=tabla)
        shown = replace(cue, from_place=from_place, matras=matras, score=score)
        return replace(self, start=start, lead=lead, cue=shown)

    def start_for(self, matra: int) -> Fraction:
        """From where it would have to begin for the asked bol to fall on a matra."""
        return place_in(place_of(matra) - onsets_of(self.gat)[self.bol], self.tala.matras)

    def score(self, hand: Hand) -> Score:
        """The theka, and the gat over it to its end."""
        bols = _filling(self.gat, self.cue.matras - self.lead)
        onset_s = float(self.lead * 60 / self.cue.matras_per_min)
        strokes = hand.strokes(bols, onset_s=onset_s)
        return self.cue.with_strokes(
            [
                replace(stroke, level_db=round(stroke.level_db + GAT_DB + hand.level_db, 3))
                for stroke in strokes
            ]
        )


def tempo_of(gat: Gat) -> tuple[float, float]:
    """Of its usual tempos those that are counted most easily."""
    slowest, fastest = (Fraction(str(tempo)) for tempo in gat.laya)
    low = max(slowest, min(fastest, Fraction(COUNTED)) / TEMPO_SPREAD)
    high = min(fastest, max(slowest, Fraction(COUNTED)) * TEMPO_SPREAD)
    return float(low), float(high)


def times_of(matras_per_min: float) -> int:
    """How many times as many matras are heard as of a slow gat."""
    return 2 if matras_per_min > FOUND_TEMPO[1] else 1


def lead_to_gat(start: Fraction, tala: Tala, wished: float) -> int:
    """About so many matras from the beginning of some vibhag to the gat."""
    leads = [
        int(start) - int(place_of(matra)) + times * tala.matras
        for matra in tala.form.starts
        for times in range(4)
    ]
    return min((lead for lead in leads if lead >= LEAD_MATRAS), key=lambda lead: abs(lead - wished))


def onsets_of(gat: Gat) -> list[Fraction]:
    """Where the bols of its line begin, in matras."""
    lengths = [matras_of([bol]) for bol in read_bols(gat.bols)]
    return [Fraction(0), *accumulate(lengths[:-1])]


def _filling(gat: Gat, matras: Fraction | int) -> Sequence[str]:
    """As many bols, over and over, as fit whole."""
    line, found, left = gat.bols.split(), list[str](), Fraction(matras)
    while (length := matras_of(read_bols(line[len(found) % len(line)]))) <= left:
        found.append(line[len(found) % len(line)])
        left -= length
    return found
