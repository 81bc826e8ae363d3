"""A gat: a line composed on the raga's own movement, so that a rest falls on sam, over its theka.

Its strokes are a named line of bols, or where none is named some of the gat's own. A line fills a
cycle and comes round with the next.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from audio.line import HOLD, Part, Tone
from audio.mizrab import CHIKARI, Gat, matras_of, read_bols
from audio.ornaments import MEEND_DOWN, MEEND_UP, ornaments
from audio.tuning import Swara
from quizzes.fresh import Fresh
from quizzes.ragas.raga import Raga
from quizzes.stages.adorning import adorned
from quizzes.stages.measured import drawn_in, fill, parts_for, within
from quizzes.stages.phrasing import exactly, returning
from quizzes.stages.played import IN, OUT, Played, bars_of, hand_for, laid_out
from quizzes.stages.stage import Heard
from quizzes.talas import Tala

FINEST = 8
"""Parts of a matra into which blows that come a moment later are put."""
GLIDES_S = 0.8
"""A stroke lasts so long at least if the string is drawn on it."""
GLIDING = 0.5
"""The share of ornaments that are such glides, where strokes are long."""
SHORTER, LONGER = 0.78, 1.12
"""By how much a gat may be shorter or longer than is wished, to end on sam."""
OFTEN_VADI = 0.5
"""How often the mukhra comes to the vadi, and not to any rest of the raga."""


@dataclass(frozen=True, slots=True)
class Blow:
    """When in matras the mizrab strikes which way, and which bol of the line it is, from 0."""

    at: Fraction
    way: str
    bol: int


def gat_of(
    fresh: Fresh, heard: Heard, raga: Raga, gat: Gat, *, lasts_s: float, tala: Tala
) -> Played:
    """A gat of named bols: from where it begins to a sam, or where a cycle is too long past the
    first; from as late as it must to hear that."""
    line = _line(gat, tala.matras)
    to_sam = (1 - gat.from_matra) % tala.matras
    tempo = _tempo(fresh, heard)
    matras = _ending(lasts_s * tempo / 60.0, to_sam, tala)
    return _composed(fresh, heard, raga, line, tempo, matras, to_sam, tala)


def own_gat_of(fresh: Fresh, heard: Heard, raga: Raga, *, lasts_s: float, tala: Tala) -> Played:
    """A gat whose strokes are its own; it begins with the last vibhag or two before sam."""
    tempo = _tempo(fresh, heard)
    struck_hz, part = drawn_in(fresh, heard.strokes), drawn_in(fresh, heard.chikari)
    parts = parts_for(struck_hz / (1 - part), tempo)
    count = min(max(2, round(struck_hz * 60.0 / tempo * tala.matras)), tala.matras * parts)
    to_sam = sum(tala.vibhags[-fresh.one_of((1, 2)) :])
    matras = _ending(lasts_s * tempo / 60.0, to_sam, tala)
    before = min(max(1, round(count * to_sam / tala.matras)), to_sam * parts)
    after = min(max(1, count - before), (tala.matras - to_sam) * parts)
    cells = within(fresh, before, to_sam, parts)
    cells += [to_sam * parts + at for at in within(fresh, after, tala.matras - to_sam, parts)]
    line = [
        Blow(Fraction(at, parts), OUT if at % parts % 2 else IN, bol)
        for bol, at in enumerate(cells)
    ]
    return _composed(fresh, heard, raga, line, tempo, matras, to_sam, tala)


def _tempo(fresh: Fresh, heard: Heard) -> float:
    assert heard.tempo is not None
    return round(drawn_in(fresh, heard.tempo), 2)


def _ending(wished: float, to_sam: int, tala: Tala) -> int:
    """About so many matras, the last of them a sam, if there is one near enough."""
    sams = [
        matras
        for matras in range(to_sam + 1, int(LONGER * wished) + 1, tala.matras)
        if matras >= SHORTER * wished
    ]
    return min(sams, key=lambda matras: abs(matras - wished)) if sams else max(2, int(wished))


def _line(gat: Gat, matras: int) -> list[Blow]:
    """The line said as often as it goes into a cycle."""
    bols, blows, at, number = read_bols(gat.bols), [], Fraction(0), 0
    while at < matras:
        for bol in bols:
            if not isinstance(bol, str) and bol.name != CHIKARI:
                for hit in bol.hits:
                    late = Fraction(1, FINEST) if hit.late_s else Fraction(0)
                    blows.append(Blow(at + hit.at + late, hit.way, number))
                number += 1
            at += matras_of([bol])
    return [blow for blow in blows if blow.at < matras]


def _composed(
    fresh: Fresh,
    heard: Heard,
    raga: Raga,
    line: list[Blow],
    tempo: float,
    matras: int,
    to_sam: int,
    tala: Tala,
) -> Played:
    """The line of one cycle with swaras to its bols, for so many matras, with sam among them."""
    skipped = max(0, to_sam + 1 - matras)
    bols = line[-1].bol + 1
    blows = [
        Blow(blow.at + cycle * tala.matras - skipped, blow.way, blow.bol + cycle * bols)
        for cycle in range((skipped + matras) // tala.matras + 1)
        for blow in line
    ]
    blows = [blow for blow in blows if 0 <= blow.at < matras]
    if blows[0].at > 0:  # begun within a bol: what is left of it is struck at once
        blows[0] = Blow(Fraction(0), IN, blows[0].bol)
    parts = math.lcm(*(blow.at.denominator for blow in blows))
    first = blows[0].bol
    on_sam = next(blow.bol for blow in blows if blow.at >= to_sam - skipped) - first
    swaras = _swaras(fresh, raga, heard, min(bols, blows[-1].bol - first + 1), on_sam)
    onsets = [int(blow.at * parts) for blow in blows]
    cells, part_s = matras * parts, 60.0 / tempo / parts
    struck = [swaras[(blow.bol - first) % bols] for blow in blows]
    lengths = [after - at for at, after in zip(onsets, [*onsets[1:], cells], strict=True)]
    share, laid = drawn_in(fresh, heard.ornaments), list[Part]([HOLD] * cells)
    glides = _glides(fresh, struck, lengths, part_s, share)
    touched = max(0.0, share - len(glides) / len(blows))
    tones = adorned(
        fresh, raga, struck, [length * part_s for length in lengths], touched, joined=False
    )
    for place, (at, tone) in enumerate(zip(onsets, tones, strict=True)):
        laid[at] = tone
        if place in glides and not tone.sway:
            after = struck[place + 1]
            by = MEEND_UP if after.steps > tone.swara.steps else MEEND_DOWN
            laid[at + lengths[place] // 2] = Tone(after, by)
    fill(laid, parts, len(blows), drawn_in(fresh, heard.chikari))
    from_matra = (skipped - to_sam) % tala.matras + 1
    return Played(
        laid_out(laid, parts, bars=bars_of(tala, from_matra, matras)),
        tempo,
        hand_for(cells * part_s / len(blows)),
        {blow.at: blow.way for blow in blows},
        tala,
        from_matra,
    )


def _glides(
    fresh: Fresh, swaras: list[Swara], lengths: list[int], part_s: float, share: float
) -> list[int]:
    """The places of long strokes on which the string is drawn on to the swara that is struck next:
    as a share of all, half of the ornaments or what of these can be."""
    widest = ornaments()["meend"].parameters["span"].most
    fitting = [
        place
        for place, length in enumerate(lengths[:-1])
        if length > 1
        and length * part_s >= GLIDES_S
        and 0 < abs(swaras[place + 1].steps - swaras[place].steps) <= widest
    ]
    return fresh.shuffled(fitting)[: round(GLIDING * share * len(swaras))]


def _swaras(fresh: Fresh, raga: Raga, heard: Heard, bols: int, on_sam: int) -> tuple[Swara, ...]:
    """A swara for each bol of a cycle: the mukhra comes to vadi or a rest on sam, the rest goes on
    from it, and leads back to where the line begins."""
    vadi, samvadi = raga.vadi.value
    rests = frozenset({vadi, samvadi, *raga.nyas.value})
    ends = frozenset(vadi) if fresh.between(0, 1) < OFTEN_VADI else rests
    mukhra = exactly(fresh, raga, on_sam + 1, register=heard.register, ends_on=ends, gait="medium")
    after = bols - on_sam - 1
    if not after:
        return mukhra
    return mukhra + returning(
        fresh,
        raga,
        after,
        before=mukhra,
        to=mukhra,
        register=heard.register[-1:],
        gait="medium",
    )
