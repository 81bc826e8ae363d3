"""Phrases of a raga that follow one another along a path through the saptaks."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from audio.tuning import Swara
from quizzes.fresh import Fresh
from quizzes.ragas.growing import MOST, grow
from quizzes.ragas.movement import admits
from quizzes.ragas.raga import Raga
from quizzes.stages.played import MIDDLES

Swaras = tuple[Swara, ...]

DRAWN = 6
"""Phrases of which the best is taken, at each place."""
ROUNDS = 3
"""How often so many are drawn while none of them joins what stands before it."""
FEWEST = 3
BESIDE = 2.0
"""What a phrase is marked down by for every semitone by which it lies outside its saptak."""
NEAR_STEPS = 7
"""Semitones from the end of a phrase to the beginning of the next, if possible."""
NEARLY = 1.0
"""Semitones by which the middle of a phrase may lie beside its saptak."""
TRIED = 4
"""Phrases by which it is known whether a raga lives in a saptak."""
FAULT = 20.0
"""What a phrase is marked down by where the raga does not admit it after what stands before it."""


def path_of(register: Sequence[str], count: int) -> tuple[str, ...]:
    """The saptaks of so many phrases that go through a register in order."""
    return tuple(register[number * len(register) // count] for number in range(count))


@cache
def lives_in(raga: Raga, saptak: str) -> bool:
    """Whether phrases of the raga lie in this saptak when they are wished there."""
    low, high = MIDDLES[saptak]
    fresh = Fresh(f"{raga.id} {saptak}", 0)
    for _ in range(TRIED):
        phrase = next_phrase(
            fresh, raga, (), saptak=saptak, fewest=FEWEST, most=2 * FEWEST, gait="grave"
        )
        middle = sorted(swara.steps for swara in phrase)[len(phrase) // 2]
        if not low - NEARLY <= middle <= high + NEARLY:
            return False
    return True


def next_phrase(
    fresh: Fresh,
    raga: Raga,
    before: Sequence[Swara],
    *,
    saptak: str,
    fewest: int,
    most: int,
    ends_on: frozenset[str] | None = None,
    gait: str | None = None,
) -> Swaras:
    """The best of a few grown phrases after what stands before it: the raga admits both together if
    any can be found, it lies in its saptak, is as long as wished and begins near by."""

    def fault(swaras: Swaras) -> float:
        steps = sorted(swara.steps for swara in swaras)
        low, high = MIDDLES[saptak]
        middle = steps[len(steps) // 2]
        far = abs(swaras[0].steps - before[-1].steps) if before else 0
        return (
            BESIDE * max(low - middle, middle - high, 0.0)
            + max(fewest - len(swaras), len(swaras) - most, 0)
            + max(0, far - NEAR_STEPS)
            + (0.0 if admits(raga, (*before, *swaras)) else FAULT)
        )

    best: Swaras = ()
    for _ in range(ROUNDS):
        drawn = [
            grow(fresh, raga, fewest=fewest, most=most, saptak=saptak, ends_on=ends_on, gait=gait)
            for _ in range(DRAWN)
        ]
        best = min([best, *drawn] if best else drawn, key=fault)
        if fault(best) < FAULT:
            break
    return best


def phrases(
    fresh: Fresh,
    raga: Raga,
    path: Sequence[str],
    *,
    swaras: int,
    ends_on: frozenset[str] | None = None,
    gait: str | None = None,
) -> tuple[Swaras, ...]:
    """A phrase in each saptak of the path, or more where one is not enough, of about so many swaras
    in all."""
    found: list[Swaras] = []
    for number, saptak in enumerate(path, 1):
        while len(found) < number or _short(found, swaras * number / len(path)):
            left = swaras * number / len(path) - sum(map(len, found))
            wished = min(max(round(left), FEWEST), MOST)
            found.append(
                next_phrase(
                    fresh,
                    raga,
                    [swara for phrase in found for swara in phrase],
                    saptak=saptak,
                    fewest=max(wished - 1, FEWEST),
                    most=wished,
                    ends_on=ends_on,
                    gait=gait,
                )
            )
    return tuple(found)


def _short(found: Sequence[Swaras], swaras: float) -> bool:
    """Whether another phrase finds room in so many swaras."""
    return swaras - sum(map(len, found)) >= FEWEST - 0.5


def exactly(
    fresh: Fresh,
    raga: Raga,
    count: int,
    *,
    before: Sequence[Swara] = (),
    register: Sequence[str],
    ends_on: frozenset[str] | None = None,
    gait: str | None = None,
) -> Swaras:
    """So many swaras of the raga, phrase after phrase through the register, the last one a rest."""
    best: Swaras = ()
    for _ in range(ROUNDS):
        found: Swaras = ()
        many = max(len(register), -(-count // MOST))
        for number, saptak in enumerate(path_of(register, many)):
            left = -(-(count - len(found)) // (many - number))
            wished = min(max(left, FEWEST), MOST)
            found += next_phrase(
                fresh,
                raga,
                (*before, *found),
                saptak=saptak,
                fewest=wished,
                most=min(wished + 3, MOST),
                ends_on=ends_on,
                gait=gait,
            )
        while len(found) < count:
            found += next_phrase(
                fresh,
                raga,
                (*before, *found),
                saptak=register[-1],
                fewest=FEWEST,
                most=max(FEWEST, count - len(found)),
                ends_on=ends_on,
                gait=gait,
            )
        best = found[-count:]
        if admits(raga, (*before, *best)):
            return best
    return best
