"""Phrases of the raga on a steady pulse, with the chikari between: jor, and slow phrases in a tala.

Everything stands on a grid of equal parts of the pulse. Notes take one part or more; the chikari
fall where nothing else is struck, first on pulses that would be empty, then where it is emptiest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from audio.line import CHIKARI, HOLD, Part, Tone
from audio.ornaments import Hand
from audio.tuning import Swara
from quizzes.fresh import Fresh
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import MANNERS, lengths_of
from quizzes.stages.adorning import adorned
from quizzes.stages.phrasing import FEWEST, path_of, phrases
from quizzes.stages.played import Played, alternating, bars_of, hand_for, laid_out
from quizzes.stages.stage import Heard, Range
from quizzes.talas import Tala

PARTS = (1, 2, 4, 8)
"""Into how many a pulse may be divided."""
PHRASE_PULSES = 8
"""About how long a phrase lasts."""
SHAKEN_HAND = Hand(gamak_hz=6.5, gamak_cents=200.0)
SHAKEN_S = 0.28
"""A swara that is shaken lasts so long at least: nearly two turns."""


def drawn_in(fresh: Fresh, span: Range) -> float:
    """A value from the middle of a range: what is played then keeps within it."""
    low, high = span
    return fresh.between(low + 0.2 * (high - low), high - 0.2 * (high - low))


def parts_for(blows_hz: float, matras_per_min: float) -> int:
    """The fewest parts of a pulse in which so many blows a second find a place."""
    pulses_hz = matras_per_min / 60.0
    return next((parts for parts in PARTS if parts * pulses_hz >= blows_hz), PARTS[-1])


def on_pulse(
    fresh: Fresh, heard: Heard, raga: Raga, *, lasts_s: float, tala: Tala | None, shaken: bool
) -> Played:
    """Whole pulses, no more than fill so many seconds; from sam in a tala."""
    assert heard.tempo is not None
    tempo = round(drawn_in(fresh, heard.tempo), 2)
    struck_hz, part = drawn_in(fresh, heard.strokes), drawn_in(fresh, heard.chikari)
    share = 0.0 if shaken else drawn_in(fresh, heard.ornaments)
    pulses = max(1, int(lasts_s * tempo / 60.0))
    parts = parts_for(struck_hz / (1 - part), tempo)
    part_s = 60.0 / tempo / parts
    cells = pulses * parts
    struck = max(FEWEST, round(struck_hz * cells * part_s))
    # Some swaras have no stroke of their own, since they are drawn from the one before them.
    wished = min(cells, round(struck * (1 + 0.4 * share)))
    count = max(1, min(round(pulses / PHRASE_PULSES), wished // FEWEST))
    if wished >= FEWEST * len(heard.register):
        count = max(count, len(heard.register))
    found = phrases(fresh, raga, path_of(heard.register, count), swaras=wished)
    swaras = tuple(swara for phrase in found for swara in phrase)[:cells]
    lengths = cells_of(fresh, raga, found, cells)
    if shaken:
        tones: Sequence[Tone] = [
            Tone(swara, sway="gamak" if length * part_s >= SHAKEN_S else "")
            for swara, length in zip(swaras, lengths, strict=True)
        ]
    else:
        tones = adorned(fresh, raga, swaras, [length * part_s for length in lengths], share)
    line: list[Part] = []
    for tone, length in zip(tones, lengths, strict=True):
        line += [tone, *[HOLD] * (length - 1)]
    blows = sum(not tone.by for tone in tones)
    fill(line, parts, round(blows * part / (1 - part)))
    return Played(
        laid_out(line, parts, bars=bars_of(tala, 1, pulses)),
        tempo,
        SHAKEN_HAND if shaken else hand_for(cells * part_s / len(swaras)),
        alternating(cells, parts),
        tala,
        parts=parts,
    )


def cells_of(fresh: Fresh, raga: Raga, found: Sequence[Sequence[Swara]], cells: int) -> list[int]:
    """How many cells each swara takes, at least one: as the raga dwells on them, and so that
    together they fill all."""
    swaras = sum(map(len, found))
    wished: list[float] = []
    for phrase in found:
        gait = MANNERS[fresh.one_of(raga.gait.value)]
        wished += map(float, lengths_of(raga, phrase, gait))
    wished = wished[:cells]
    pace = cells / sum(wished)
    lengths = [max(1, int(pace * length)) for length in wished]
    while sum(lengths) > cells:
        lengths[max(range(len(lengths)), key=lambda place: lengths[place])] -= 1
    order = sorted(range(len(lengths)), key=lambda place: lengths[place] - pace * wished[place])
    for number in range(cells - sum(lengths)):
        lengths[order[number % len(order)]] += 1
    assert len(lengths) <= swaras
    return lengths


def fill(line: list[Part], parts: int, blows: int) -> None:
    """Strike the chikari so often, where the string is left to ring."""
    struck = [at for at, part in enumerate(line) if part == CHIKARI or isinstance(part, Tone)]
    for _ in range(blows):
        empty = [at for at, part in enumerate(line) if part == HOLD]
        if not empty:
            return

        def wish(at: int) -> tuple[bool, int, int]:
            return at % parts == 0, min(abs(at - other) for other in struck), -at

        best = max(empty, key=wish)
        line[best] = CHIKARI
        struck.append(best)


def shaken_tones(tones: Sequence[Tone]) -> list[Tone]:
    """Every swara pulled up from below again and again."""
    return [replace(tone, sway="gamak") for tone in tones]
