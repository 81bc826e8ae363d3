"""A tan: many swaras to a matra, over the theka, so that its last one falls on sam."""

from __future__ import annotations

from functools import cache

from audio.line import HOLD, REST, Part, Tone
from audio.ornaments import Hand
from quizzes.fresh import Fresh
from quizzes.ragas.pieces import steps_of, swaras_at
from quizzes.ragas.raga import Raga
from quizzes.stages.measured import SHAKEN_HAND, drawn_in
from quizzes.stages.phrasing import exactly
from quizzes.stages.played import Played, alternating, bars_of, laid_out
from quizzes.stages.runs import RUNS, rests_of, run_of
from quizzes.stages.stage import Heard
from quizzes.talas import Tala

PARTS = (2, 3, 4, 6, 8)
"""Swaras to a matra."""
BEFORE_S = 1.5
"""About how long the theka is heard alone before a tan begins."""
TEMPOS = 12
"""How many tempos are tried until swaras so dense divide the matra."""
SHAKEN = "gamak"
TRIED = 12
"""Fresh sources with which it is found out whether a raga bears a run."""


def tan_of(fresh: Fresh, heard: Heard, raga: Raga, *, lasts_s: float, tala: Tala) -> Played:
    """The theka alone for a little, the tan, and sam. Raises ValueError where the raga bears none
    (`bears_run`)."""
    tempo, parts = _pace(fresh, heard)
    matras = max(2, int(lasts_s * tempo / 60.0))
    most = max(1, matras - 1 - round(BEFORE_S * tempo / 60.0))
    lengths = [length for length in range(max(1, most - 3), most + 1) if length >= 1]
    counts = [length * parts + 1 for length in lengths]
    if heard.run == SHAKEN:
        swaras = exactly(fresh, raga, fresh.one_of(counts), register=heard.register, gait="fast")
        steps = steps_of(swaras)
    else:
        steps = run_of(fresh, raga, heard.run, counts, heard.register)
    if not steps:
        raise ValueError(f"{raga.id} bears no {heard.run} tan through {heard.register}")
    sway = "gamak" if heard.run == SHAKEN else ""
    length = (len(steps) - 1) // parts
    before = matras - 1 - length
    line: list[Part] = [*[REST] * (before * parts)]
    line += [Tone(swara, sway=sway) for swara in swaras_at(steps)]
    line += [HOLD] * (parts - 1)
    from_matra = (-before - length) % tala.matras + 1
    return Played(
        laid_out(line, parts, bars=bars_of(tala, from_matra, matras)),
        tempo,
        SHAKEN_HAND if sway else Hand(),
        alternating(len(line), parts),
        tala,
        from_matra,
        parts=parts,
    )


def _pace(fresh: Fresh, heard: Heard) -> tuple[float, int]:
    """A tempo, and into how many a matra is divided, at which swaras are as dense as described."""
    assert heard.tempo is not None
    low, high = heard.strokes
    for _ in range(TEMPOS):
        tempo = round(drawn_in(fresh, heard.tempo), 2)
        found = [parts for parts in PARTS if low <= parts * tempo / 60.0 <= high]
        if found:
            return tempo, fresh.one_of(found)
    return tempo, min(PARTS, key=lambda parts: abs(parts * tempo / 60.0 - (low + high) / 2))


@cache
def bears_run(raga: Raga, sort: str, register: tuple[str, ...]) -> bool:
    """Whether a row of this sort can be made in the raga, short or long."""
    if sort == SHAKEN:
        return True
    return (
        all(
            run_of(Fresh(f"{sort} {raga.id}", number), raga, sort, counts, register)
            for number in range(TRIED)
            for counts in ((13, 17), (25, 29, 31, 33, 37, 41))
        )
        and bool(rests_of(raga))
        and sort in RUNS
    )
