"""A gat: its line of bols, composed on the raga's own movement so that a rest falls on sam."""

from __future__ import annotations

import math
from fractions import Fraction

from audio.line import HOLD, Part
from audio.mizrab import CHIKARI, Gat, matras_of, read_bols
from audio.tuning import Swara
from quizzes.fresh import Fresh
from quizzes.ragas.movement import admits
from quizzes.ragas.raga import Raga
from quizzes.stages.adorning import adorned
from quizzes.stages.measured import drawn_in, fill
from quizzes.stages.phrasing import exactly
from quizzes.stages.played import IN, Played, bars_of, hand_for, laid_out
from quizzes.stages.stage import Heard
from quizzes.talas import Tala, load_tala

FINEST = 8
"""Parts of a matra into which blows that come a moment later are put."""
TRIES = 4


def gat_of(
    fresh: Fresh, heard: Heard, raga: Raga, gat: Gat, *, lasts_s: float, tala: Tala
) -> Played:
    """From where the gat begins past the next sam; from as late as it must to hear that sam."""
    assert heard.tempo is not None
    tempo = round(drawn_in(fresh, heard.tempo), 2)
    matras = max(2, int(lasts_s * tempo / 60.0))
    to_sam = (1 - gat.from_matra) % load_tala(gat.tala).matras
    skipped = max(0, to_sam + 1 - matras)
    blows = _blows(gat, skipped, matras)
    parts = math.lcm(*(at.denominator for at, _, _ in blows))
    slots = max(slot for _, _, slot in blows) + 1
    sam_slot = next(slot for at, _, slot in blows if at >= to_sam - skipped)
    swaras = _composed(fresh, raga, heard, slots, sam_slot)
    cells = matras * parts
    line: list[Part] = [HOLD] * cells
    onsets = [int(at * parts) for at, _, _ in blows]
    lengths = [
        (after - at) * 60.0 / tempo / parts
        for at, after in zip(onsets, [*onsets[1:], cells], strict=True)
    ]
    tones = adorned(
        fresh,
        raga,
        [swaras[slot] for _, _, slot in blows],
        lengths,
        drawn_in(fresh, heard.ornaments),
        joined=False,
    )
    for at, tone in zip(onsets, tones, strict=True):
        line[at] = tone
    part = drawn_in(fresh, heard.chikari)
    fill(line, parts, round(len(blows) * part / (1 - part)))
    from_matra = (1 - (to_sam - skipped) - 1) % tala.matras + 1
    return Played(
        laid_out(line, parts, bars=bars_of(tala, from_matra, matras)),
        tempo,
        hand_for(cells * 60.0 / tempo / parts / slots),
        {Fraction(at): way for at, way, _ in blows},
        tala,
        from_matra,
        parts=parts,
    )


def _blows(gat: Gat, skipped: int, matras: int) -> list[tuple[Fraction, str, int]]:
    """When, after what is skipped, the mizrab strikes which way, and the number of its bol."""
    bols, length = read_bols(gat.bols), matras_of(read_bols(gat.bols))
    blows: list[tuple[Fraction, str, int]] = []
    begun, slot = Fraction(-skipped), 0
    while begun < matras:
        at = begun
        for bol in bols:
            if isinstance(bol, str):
                at += 1
                continue
            for hit in bol.hits:
                late = Fraction(1, FINEST) if hit.late_s else Fraction(0)
                if bol.name != CHIKARI and 0 <= at + hit.at + late < matras:
                    blows.append((at + hit.at + late, hit.way, slot))
            slot += bool(blows) and blows[-1][2] == slot
            at += bol.matras
        begun += length
    if blows[0][0] > 0:  # begun within a bol: what is left of it is struck at once
        blows[0] = (Fraction(0), IN, blows[0][2])
    return blows


def _composed(
    fresh: Fresh, raga: Raga, heard: Heard, slots: int, sam_slot: int
) -> tuple[Swara, ...]:
    """A swara for each bol: the mukhra comes to vadi or a rest on sam, the rest goes on from it."""
    vadi, samvadi = raga.vadi.value
    rests = frozenset({vadi, samvadi, *raga.nyas.value})
    best: tuple[Swara, ...] = ()
    for _ in range(TRIES):
        ends = frozenset(vadi) if fresh.between(0, 1) < 0.5 else rests
        mukhra = exactly(
            fresh, raga, sam_slot + 1, register=heard.register[:1], ends_on=ends, gait="medium"
        )
        after = slots - sam_slot - 1
        best = mukhra
        if after:
            best += exactly(
                fresh, raga, after, before=mukhra, register=heard.register, gait="medium"
            )
        if admits(raga, best):
            break
    return best
