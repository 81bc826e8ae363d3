"""A tihai: a phrase three times with equal gaps, so that its last stroke falls on sam.

How many matras it takes is reckoned in `quizzes.talas.tihai`.
"""

from __future__ import annotations

from fractions import Fraction

from audio.line import HOLD, Part, Tone
from audio.tuning import Swara
from quizzes.fresh import Fresh
from quizzes.ragas.raga import Raga
from quizzes.stages.adorning import adorned
from quizzes.stages.joining import joins
from quizzes.stages.measured import drawn_in, fill, fitted, moving, parts_for, spread
from quizzes.stages.phrasing import exactly
from quizzes.stages.played import Played, alternating, bars_of, hand_for, laid_out
from quizzes.stages.stage import Heard
from quizzes.talas import Tala
from quizzes.talas.tihai import matras_of_tihai

SHORTEST, LONGEST = 3, 9
"""Matras of the phrase."""
GAPS = (0, 1, 2, 3)
TAKES = 0.4, 0.75
"""The share of a passage that is tihai, if possible: what comes before leads up to it."""
AFTER_S = 0.7
"""Silence but for what rings, after sam, at least."""
TRIES = 4


def tihai_of(fresh: Fresh, heard: Heard, raga: Raga, *, lasts_s: float, tala: Tala) -> Played:
    """Phrases of the raga, the phrase of the tihai three times, and after sam nothing more."""
    assert heard.tempo is not None
    tempo = round(drawn_in(fresh, heard.tempo), 2)
    total = max(int(matras_of_tihai(SHORTEST, 0)), int((lasts_s - AFTER_S) * tempo / 60.0) + 1)
    phrase, gap = _shape(fresh, total)
    before = total - int(matras_of_tihai(phrase, gap))
    parts = parts_for(drawn_in(fresh, heard.strokes), tempo)
    once = _phrase(fresh, heard, raga, (phrase - 1) * parts + 1)
    line = _leading(fresh, heard, raga, once, before, parts, tempo)
    for time in range(3):
        line += [Tone(swara) for swara in once]
        line += [HOLD] * (parts - 1 + gap * parts * (time < 2))
    from_matra = (1 - total) % tala.matras + 1
    return Played(
        laid_out(line, parts, bars=bars_of(tala, from_matra, total)),
        tempo,
        hand_for(60.0 / tempo / parts),
        alternating(len(line), parts),
        tala,
        from_matra,
        Fraction(total - 1) + Fraction(1, 1000),  # its stroke on sam, and nothing after it
    )


def _shape(fresh: Fresh, matras: int) -> tuple[int, int]:
    """Matras of phrase and gap that take a good share of so many, or as many as they can."""
    every = [
        (phrase, gap)
        for phrase in range(SHORTEST, LONGEST + 1)
        for gap in GAPS
        if gap < phrase and matras_of_tihai(phrase, gap) <= matras
    ]
    low, high = (share * matras for share in TAKES)
    fitting = [each for each in every if low <= matras_of_tihai(*each) <= high]
    most = max(matras_of_tihai(*each) for each in every)
    return fresh.one_of(fitting or [each for each in every if matras_of_tihai(*each) == most])


def _phrase(fresh: Fresh, heard: Heard, raga: Raga, count: int) -> tuple[Swara, ...]:
    """So many swaras that come to a rest of the raga or to Sa, and may be said again at once."""
    ends = frozenset({"S", *raga.nyas.value, *raga.vadi.value})
    best: tuple[Swara, ...] = ()
    for _ in range(TRIES):
        best = exactly(fresh, raga, count, register=heard.register, ends_on=ends)
        if joins(raga, best, best):
            break
    return best


def _leading(
    fresh: Fresh,
    heard: Heard,
    raga: Raga,
    once: tuple[Swara, ...],
    matras: int,
    parts: int,
    tempo: float,
) -> list[Part]:
    """So many matras that lead up to the phrase: others of the raga, struck as densely."""
    if not matras:
        return []
    matra_s = 60.0 / tempo
    wished = min(round(drawn_in(fresh, heard.strokes) * matras * matra_s), matras * parts - 1)
    best: tuple[tuple[Swara, ...], ...] = ()
    for _ in range(TRIES):
        best = moving(fresh, raga, heard, max(1, wished), lasts_s=matras * matra_s, pulses=matras)
        if joins(raga, [swara for each in best for swara in each], once):
            break
    best = fitted(best, matras, parts)
    onsets = spread(fresh, best, matras, parts)
    cells = matras * parts
    lengths = [after - at for at, after in zip(onsets, [*onsets[1:], cells], strict=True)]
    tones = adorned(
        fresh,
        raga,
        [swara for each in best for swara in each],
        [length * matra_s / parts for length in lengths],
        drawn_in(fresh, heard.ornaments),
        joined=False,
    )
    line: list[Part] = [HOLD] * cells
    for at, tone in zip(onsets, tones, strict=True):
        line[at] = tone
    fill(line, parts, len(tones), drawn_in(fresh, heard.chikari))
    return line
