"""Where a made phrase comes to rest, and how it could go on to a rest of the raga."""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Mapping, Sequence
from functools import cache
from types import MappingProxyType

from audio.tuning import Swara
from quizzes.ragas.movement import admits, own_steps
from quizzes.ragas.pieces import within_reach
from quizzes.ragas.raga import Raga

FURTHEST = 4
"""So many swaras at most lead on to a rest."""
TRIED = 400


@cache
def rests_in(raga: Raga) -> tuple[str, ...]:
    """Letters on which it rests as its file tells, and Sa, on which every raga may."""
    return tuple(dict.fromkeys((*raga.nyas.value, "S")))


def led_on(
    raga: Raga, swaras: Sequence[Swara], to: Collection[str] | None = None
) -> tuple[Swara, ...]:
    """The fewest swaras by which the raga's own steps lead from the end of a phrase to one of these
    letters, a rest of the raga unless given; () where it ends so already, or none is near or
    admitted."""
    ends = rests_in(raga) if to is None else to
    if swaras[-1].letter in ends:
        return ()
    onward, queue = _onward(raga), deque[tuple[Swara, ...]]([()])
    for _ in range(TRIED):
        if not queue:
            break
        added = queue.popleft()
        here = (swaras[-1], *added)[-1]
        for step in onward.get(here.semitone, ()):
            longer = (*added, Swara.at(here.steps + step))
            whole = (*swaras, *longer)
            if not within_reach(longer[-1:]) or not admits(raga, whole):
                continue
            if longer[-1].letter in ends:
                return longer
            if len(longer) < FURTHEST:
                queue.append(longer)
    return ()


@cache
def _onward(raga: Raga) -> Mapping[int, tuple[int, ...]]:
    """By semitone, how far the raga's own steps lead from it, the smallest first, down before
    up."""
    found: dict[int, set[int]] = {}
    for one, other in own_steps(raga):
        if one != other:
            found.setdefault(one % 12, set()).add(other - one)
    return MappingProxyType(
        {
            here: tuple(sorted(steps, key=lambda step: (abs(step), step)))
            for here, steps in found.items()
        }
    )
