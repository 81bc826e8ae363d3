"""A tan: many swaras to a matra, over the theka, so that its last one falls on sam."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from audio.line import HOLD, REST, Part, Tone
from audio.ornaments import Hand
from audio.tuning import Swara
from quizzes.fresh import Fresh
from quizzes.ragas.movement import admits
from quizzes.ragas.pieces import Steps, steps_of, swaras_at, within_reach
from quizzes.ragas.raga import Raga
from quizzes.stages.adorning import may_be_shaken
from quizzes.stages.joining import WIDEST_STEPS, joins
from quizzes.stages.measured import SHAKEN_HAND, drawn_in
from quizzes.stages.phrasing import exactly
from quizzes.stages.played import Played, alternating, bars_of, laid_out
from quizzes.stages.runs import rests_of, run_of
from quizzes.stages.stage import Heard
from quizzes.talas import Tala

PARTS = (2, 3, 4, 6, 8)
"""Swaras to a matra."""
BEFORE_S = 1.4
"""About how long slow swaras are heard before a tan sets out, at most where it can be."""
RUN_SHARE = 0.8
"""About how much of a passage is run: so much denser is the run than the whole."""
TEMPOS = 12
"""How many tempos are tried until swaras so dense divide the matra."""
SHAKEN = "gamak"
LAST_TRIES = 4
"""How often a short one is tried that begins and ends anyhow."""
TRIED = 3
"""How often each length is tried before it is said that a raga bears a tan."""
LENGTHS = 8, 24
"""So many swaras at least, and about: a tan may always be made shorter."""


def tan_of(fresh: Fresh, heard: Heard, raga: Raga, *, lasts_s: float, tala: Tala) -> Played:
    """A slow swara or two, the tan, and sam. Raises ValueError where the raga bears none
    (`bears_run`)."""
    tempo, parts = _pace(fresh, heard)
    matras = max(2, int(lasts_s * tempo / 60.0))
    most = matras - 1
    least = max(1, most - max(1, round(BEFORE_S * tempo / 60.0)))
    for shortest, anyhow in (
        (least, False),
        ((most + 1) // 2, False),
        ((most + 1) // 2, True),
        (1, False),
        *[(1, True)] * LAST_TRIES,
    ):
        counts = [each * parts + 1 for each in range(shortest, most + 1)]
        if steps := _row(fresh, heard, raga, counts, anyhow=anyhow):
            break
    else:
        raise ValueError(f"{raga.id} bears no {heard.run} tan through {heard.register}")
    before = most - (len(steps) - 1) // parts
    sway = "gamak" if heard.run == SHAKEN else ""
    line = _leading(fresh, heard, raga, swaras_at(steps), before, parts)
    *run, last = swaras_at(steps)
    line += [Tone(swara, sway=sway if may_be_shaken(swara) else "") for swara in run]
    line += [Tone(last), *[HOLD] * (parts - 1)]
    from_matra = -most % tala.matras + 1
    return Played(
        laid_out(line, parts, bars=bars_of(tala, from_matra, matras)),
        tempo,
        SHAKEN_HAND if sway else Hand(),
        alternating(len(line), parts),
        tala,
        from_matra,
    )


def _leading(
    fresh: Fresh, heard: Heard, raga: Raga, swaras: Sequence[Swara], matras: int, parts: int
) -> list[Part]:
    """So many matras, a swara to each, from which these swaras may set out; where none of those
    tried may, a rest of the raga or nothing rings for as long."""
    if not matras:
        return []
    for _ in range(TRIED):
        found = exactly(fresh, raga, matras, register=heard.register, gait="medium")
        if joins(raga, found, swaras):
            slow: list[Part] = []
            for swara in found:
                slow += [Tone(swara), *[HOLD] * (parts - 1)]
            return slow
    near = (swaras[0].steps + away for away in range(-WIDEST_STEPS, WIDEST_STEPS + 1))
    rests = [
        swara
        for swara in swaras_at(step for step in near if step % 12 in rests_of(raga))
        if within_reach((swara,)) and admits(raga, (swara, *swaras))
    ]
    return [Tone(fresh.one_of(rests)) if rests else REST, *[HOLD] * (matras * parts - 1)]


def _row(fresh: Fresh, heard: Heard, raga: Raga, counts: Sequence[int], *, anyhow: bool) -> Steps:
    if heard.run != SHAKEN:
        return run_of(fresh, raga, heard.run, counts, heard.register, anyhow=anyhow)
    count = fresh.one_of(counts)
    return steps_of(exactly(fresh, raga, count, register=heard.register, gait="fast"))


def _pace(fresh: Fresh, heard: Heard) -> tuple[float, int]:
    """A tempo, and into how many a matra is divided, at which swaras are as dense as described."""
    assert heard.tempo is not None
    low, high = heard.strokes
    for _ in range(TEMPOS):
        tempo = round(drawn_in(fresh, heard.tempo), 2)
        found = [parts for parts in PARTS if low <= RUN_SHARE * parts * tempo / 60.0 <= high]
        if found:
            return tempo, fresh.one_of(found)
    wished = (low + high) / 2 / RUN_SHARE * 60.0 / tempo
    return tempo, min(PARTS, key=lambda parts: abs(parts - wished))


@cache
def bears_run(raga: Raga, sort: str, register: tuple[str, ...]) -> bool:
    """Whether a row of this sort can be made in the raga, short or long."""
    if sort == SHAKEN:
        return True
    fresh = Fresh(f"{sort} {raga.id}", len(register))
    return all(
        run_of(fresh, raga, sort, [length + 1, length + 5], register)
        for length in LENGTHS
        for _ in range(TRIED)
    )
