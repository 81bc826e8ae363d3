"""Phrases of the raga on a steady pulse, with the chikari between: jor, and slow phrases in a tala.

Everything stands on a grid of equal parts of the pulse. A pulse has one note, or is divided into
two, four or as many as there are parts; or the note before it rings on. The chikari fall where
nothing else is struck, first on pulses that would be empty, then where it is emptiest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from audio.line import CHIKARI, HOLD, Part, Tone
from audio.ornaments import Hand
from audio.tuning import Swara
from quizzes.fresh import Fresh
from quizzes.ragas.growing import MOST
from quizzes.ragas.raga import Raga
from quizzes.stages.adorning import adorned
from quizzes.stages.phrasing import FEWEST, path_of, phrases
from quizzes.stages.played import Played, alternating, bars_of, hand_for, laid_out
from quizzes.stages.stage import Heard, Range
from quizzes.talas import Tala

PARTS = (1, 2, 4, 8)
"""Into how many a pulse may be divided."""
PHRASE_PULSES, PHRASE_S = 8, 5.0
"""About how many pulses or seconds a phrase lasts, whichever is longer."""
SHAKEN_HAND = Hand(gamak_hz=6.5, gamak_cents=200.0)
CHAINED_HZ = 3.0
"""From so many strokes a second on they are a chain."""
EDGE = 0.2
"""The share of a range at either end from which nothing is drawn, so that it is kept to."""


def drawn_in(fresh: Fresh, span: Range) -> float:
    """A value from the middle of a range: what is played then keeps within it."""
    low, high = span
    return fresh.between(low + EDGE * (high - low), high - EDGE * (high - low))


def parts_for(blows_hz: float, matras_per_min: float) -> int:
    """The fewest parts of a pulse in which so many blows a second find a place."""
    pulses_hz = matras_per_min / 60.0
    return next((parts for parts in PARTS if parts * pulses_hz >= 0.97 * blows_hz), PARTS[-1])


def on_pulse(
    fresh: Fresh, heard: Heard, raga: Raga, *, lasts_s: float, tala: Tala | None
) -> Played:
    """Whole pulses, no more than fill so many seconds; in a tala the last swara falls on sam."""
    assert heard.tempo is not None
    tempo = round(drawn_in(fresh, heard.tempo), 2)
    struck_hz, part = drawn_in(fresh, heard.strokes), drawn_in(fresh, heard.chikari)
    share = drawn_in(fresh, heard.ornaments)
    pulses = max(2, int(lasts_s * tempo / 60.0))
    struck_hz, parts = _chained(heard, struck_hz, part, tempo)
    cells, part_s = pulses * parts, 60.0 / tempo / parts
    # Some swaras have no stroke of their own, since they are drawn from the one before them.
    drawn = 0.0 if heard.shaken or parts * tempo > 240 else 0.5 * share
    wished = min(round(struck_hz * cells * part_s * (1 + drawn)), cells - 1)
    found = moving(fresh, raga, heard, wished, lasts_s=lasts_s, pulses=pulses)
    on_sam = found[-1][-1:] if tala else ()
    free = pulses - len(on_sam)
    found = fitted(cut_short(found, len(on_sam)), free, parts)
    onsets = [*spread(fresh, found, free, parts), *[free * parts] * len(on_sam)]
    lengths = [after - at for at, after in zip(onsets, [*onsets[1:], cells], strict=True)]
    tones = adorned(
        fresh,
        raga,
        [*(swara for phrase in found for swara in phrase), *on_sam],
        [length * part_s for length in lengths],
        share,
        shaken=heard.shaken,
    )
    if on_sam:
        tones = (*tones[:-1], replace(tones[-1], by=""))
    from_matra = (1 - pulses) % tala.matras + 1 if tala else 1
    line: list[Part] = [HOLD] * cells
    for at, tone in zip(onsets, tones, strict=True):
        line[at] = tone
    fill(line, parts, sum(not tone.by for tone in tones), part)
    return Played(
        laid_out(line, parts, bars=bars_of(tala, from_matra, pulses)),
        tempo,
        SHAKEN_HAND if heard.shaken else hand_for(cells * part_s / len(onsets)),
        alternating(cells, parts),
        tala,
        from_matra,
    )


def _chained(heard: Heard, struck_hz: float, part: float, tempo: float) -> tuple[float, int]:
    """How many strokes there are in a second, and parts in a pulse: many strokes are a chain
    without a gap, with a blow on each part, if the description allows."""
    low, high = heard.strokes
    if struck_hz >= CHAINED_HZ:
        filled = [(parts * tempo / 60.0 * (1 - part), parts) for parts in PARTS]
        filled = [each for each in filled if low <= each[0] <= high]
        if filled:
            return min(filled, key=lambda each: abs(each[0] - struck_hz))
    return struck_hz, parts_for(struck_hz / (1 - part), tempo)


def moving(
    fresh: Fresh, raga: Raga, heard: Heard, wished: int, *, lasts_s: float, pulses: int
) -> tuple[tuple[Swara, ...], ...]:
    """Phrases along the register, of so many swaras in all, or the ends of them where those are too
    few for a phrase."""
    count = max(1, min(round(pulses / PHRASE_PULSES), round(lasts_s / PHRASE_S), wished // FEWEST))
    count = max(count, -(-wished // (MOST - 1)))
    if wished >= FEWEST * len(heard.register):
        count = max(count, len(heard.register))
    found = phrases(fresh, raga, path_of(heard.register, count), swaras=wished)
    return cut(found, wished)


def cut(found: Sequence[Sequence[Swara]], count: int) -> tuple[tuple[Swara, ...], ...]:
    """No more than so many swaras: what is over is left out at the beginning."""
    over = max(0, sum(map(len, found)) - max(1, count))
    kept = []
    for phrase in found:
        left = tuple(phrase[over:])
        over -= len(phrase) - len(left)
        if left:
            kept.append(left)
    return tuple(kept)


def cut_short(found: Sequence[Sequence[Swara]], count: int) -> tuple[tuple[Swara, ...], ...]:
    """Without so many swaras at the end, as long as any are left before them."""
    kept = [tuple(phrase) for phrase in found]
    kept[-1] = kept[-1][: len(kept[-1]) - count]
    return tuple(phrase for phrase in kept if phrase)


def fitted(
    found: Sequence[Sequence[Swara]], pulses: int, parts: int
) -> tuple[tuple[Swara, ...], ...]:
    """As many swaras as find room where each phrase begins on a pulse."""
    count = sum(map(len, found))
    while sum(-(-len(phrase) // parts) for phrase in found) > pulses:
        count -= 1
        found = cut(found, count)
    return tuple(map(tuple, found))


def spread(fresh: Fresh, swaras: Sequence[Sequence[Swara]], pulses: int, parts: int) -> list[int]:
    """The cells in which the swaras begin: each phrase takes whole pulses as it has swaras, and
    its last one is held the longest."""
    least = [-(-len(phrase) // parts) for phrase in swaras]
    onsets: list[int] = []
    begun, left = 0, sum(map(len, swaras))
    for number, phrase in enumerate(swaras):
        length = max(least[number], round((pulses - begun) * len(phrase) / left))
        length = min(length, pulses - begun - sum(least[number + 1 :]))
        onsets += [begun * parts + at for at in within(fresh, len(phrase), length, parts)]
        begun += length
        left -= len(phrase)
    return onsets


def within(fresh: Fresh, swaras: int, pulses: int, parts: int) -> list[int]:
    """The cells of so many pulses in which so many swaras begin."""
    counts = [1] * min(pulses, swaras)
    while sum(counts) < swaras:
        # The last pulse is divided last; no pulse is divided twice before all are once.
        open_to = [place for place, count in enumerate(counts) if count < parts]
        open_to = [place for place in open_to if place < len(counts) - 1] or open_to
        fewest = min(counts[place] for place in open_to)
        place = fresh.one_of([place for place in open_to if counts[place] == fewest])
        counts[place] += min(counts[place], parts - counts[place], swaras - sum(counts))
    held = [0] * len(counts)
    for number in range(pulses - len(counts)):
        # Every other pulse to spare goes to the end, the rest to swaras on the way.
        held[-1 if number % 2 == 0 else int(fresh.between(0, len(held)))] += 1
    onsets, at = [], 0
    for count, more in zip(counts, held, strict=True):
        onsets += [at + number * parts // count for number in range(count)]
        at += parts * (1 + more)
    return onsets


def fill(line: list[Part], parts: int, strokes: int, part: float) -> None:
    """Strike the chikari where the string is left to ring, until this part of all blows is theirs
    beside so many strokes."""
    struck = [at for at, part in enumerate(line) if isinstance(part, Tone)]
    chikari: list[int] = []

    def wish(at: int) -> tuple[bool, int, int, int]:
        apart = min((abs(at - other) for other in chikari), default=len(line))
        return at % parts == 0, apart, min(abs(at - other) for other in struck), -at

    for _ in range(round(strokes * part / (1 - part))):
        if not (empty := [at for at, part in enumerate(line) if part == HOLD]):
            return
        best = max(empty, key=wish)
        line[best] = CHIKARI
        chikari.append(best)
