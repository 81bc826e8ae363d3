"""A tihai: a phrase three times with equal gaps, so that its last stroke falls on sam.

A phrase of p matras, the last of them its last stroke, and gaps of g matras take 3p + 2g matras
from where it begins to the matra of sam, that included.
"""

from __future__ import annotations

from fractions import Fraction

from audio.line import HOLD, REST, Part, Tone
from quizzes.fresh import Fresh
from quizzes.ragas.raga import Raga
from quizzes.stages.measured import drawn_in, parts_for
from quizzes.stages.phrasing import exactly
from quizzes.stages.played import Played, alternating, bars_of, hand_for, laid_out
from quizzes.stages.stage import Heard
from quizzes.talas import Tala

SHORTEST, LONGEST = 2, 12
"""Matras of the phrase."""
GAPS = (0, 1, 2, 3)
BEFORE = 2
"""Matras of the theka alone before it, where there is room."""


def matras_of_tihai(phrase: Fraction | int, gap: Fraction | int) -> Fraction:
    """How many matras it takes, that of sam included."""
    return Fraction(3 * phrase + 2 * gap)


def tihai_of(fresh: Fresh, heard: Heard, raga: Raga, *, lasts_s: float, tala: Tala) -> Played:
    """The theka alone for a little, the phrase three times, and silence after sam."""
    assert heard.tempo is not None
    tempo = round(drawn_in(fresh, heard.tempo), 2)
    matras = max(7, int(lasts_s * tempo / 60.0))
    phrase, gap = _shape(fresh, matras)
    length = int(matras_of_tihai(phrase, gap))
    before = max(0, matras - length)
    parts = parts_for(drawn_in(fresh, heard.strokes) * length / (length - 2 * gap), tempo)
    parts = max(parts, 1)
    ends = frozenset({"S", *raga.nyas.value, *raga.vadi.value})
    struck = (phrase - 1) * parts + 1
    count = min(struck, 9)
    while True:
        swaras = exactly(fresh, raga, count, register=heard.register, ends_on=ends)
        break
    once: list[Part] = [HOLD] * (phrase * parts)
    for number, swara in enumerate(swaras):
        once[number * (struck - 1) // max(1, count - 1)] = Tone(swara)
    line: list[Part] = [REST] * (before * parts)
    for time in range(3):
        line += once
        line += [HOLD] * (gap * parts if time < 2 else 0)
    total = before + length
    from_matra = (1 - total) % tala.matras + 1
    return Played(
        laid_out(line, parts, bars=bars_of(tala, from_matra, total)),
        tempo,
        hand_for(60.0 / tempo / parts),
        alternating(len(line), parts),
        tala,
        from_matra,
        Fraction(total - 1) + Fraction(1, 1000),
        parts,
    )


def _shape(fresh: Fresh, matras: int) -> tuple[int, int]:
    """Phrase and gap that fill so many matras, or leave a little of the theka before them."""
    fitting = [
        (phrase, gap)
        for phrase in range(SHORTEST, LONGEST + 1)
        for gap in GAPS
        if matras - BEFORE - 5 <= matras_of_tihai(phrase, gap) <= matras - BEFORE
    ]
    if not fitting:
        fitting = [
            (phrase, gap)
            for phrase in range(SHORTEST, LONGEST + 1)
            for gap in GAPS
            if matras_of_tihai(phrase, gap) <= matras
        ]
        most = max(matras_of_tihai(*each) for each in fitting)
        fitting = [each for each in fitting if matras_of_tihai(*each) == most]
    return fresh.one_of(fitting)
