"""A palta run up and down: through a scale, or through a raga by the raga's own ways.

In a scale the groups climb from Sa until one touches tar Sa, and the run down is their mirror.

In a raga a step up goes along its way up, a step down along its way down, wherever in the run it is
taken. So gaps are stepped over, and what one way leaves out is touched where the other leads
through it (the turn back of S R m G R in Desh). Each group is tried by all that the raga's file
tells; from one group to the next nothing is moved: each begins anew, as after a breath, and one may
stop where a turn would go on. Where a way turns on itself, or the two differ, so that the swaras of
a group no longer lie above each other as in the pattern, or where the raga speaks against a group,
there is no such run. Some ragas of which a way turns are run straight in fast passages; there the
palta goes along that. The others go by their phrases.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from itertools import pairwise, product

from audio.tuning import SWARAS, Swara
from quizzes.paltas.palta import Palta, Shape, Straight
from quizzes.paltas.reading import straights
from quizzes.phrases import HIGHEST_STEPS, LOWEST_STEPS, ladder_of
from quizzes.ragas.movement import admits_steps, surely_breaks
from quizzes.ragas.raga import Raga

Group = tuple[Swara, ...]
Steps = tuple[int, ...]
"""Swaras as semitones above middle Sa."""

FEWEST_GROUPS = 3
"""A run of fewer shows no pattern."""
RUNS_KEPT = 4096

_SA, _TAR_SA = Swara(0), Swara(0, 1)


@dataclass(frozen=True, slots=True)
class Run:
    """The groups of a palta on its way up, and on its way down."""

    up: tuple[Group, ...]
    down: tuple[Group, ...]
    straight: Straight | None = None
    """What it goes along where that is not the raga's own ways."""

    @property
    def groups(self) -> tuple[Group, ...]:
        return (*self.up, *self.down)

    @property
    def home(self) -> Group:
        """Sa, for a run that does not end on it by itself."""
        return () if self.groups[-1][-1].letter == "S" else (_SA,)

    @property
    def swaras(self) -> tuple[Swara, ...]:
        """All of them joined."""
        return tuple(swara for group in self.groups for swara in group)


def group_from(
    shape: Shape, scale: Sequence[str], start: Swara, *, falling: bool = False
) -> Group | None:
    """One group on a scale of letters, from `start`; mirrored where the run falls. None where it
    leaves the string, or the scale has no such swara."""
    ladder = ladder_of(scale)
    if start not in ladder:
        return None
    places = [ladder.index(start) + (-degree if falling else degree) for degree in shape]
    if min(places) < 0 or max(places) >= len(ladder):
        return None
    return tuple(ladder[place] for place in places)


def run_in_scale(
    palta: Palta | Shape, scale: Sequence[str], *, fewest: int = FEWEST_GROUPS
) -> Run | None:
    """The palta from Sa to tar Sa and back in a scale of letters such as "SRGmPDN". None where
    fewer than `fewest` groups fit each way."""
    shape = palta.shape if isinstance(palta, Palta) else palta
    ladder = tuple(s for s in ladder_of(scale) if _SA.steps <= s.steps <= _TAR_SA.steps)
    if _SA not in ladder:
        return None
    up = _groups(shape, ladder, ladder[::-1])
    down = _groups(shape, ladder[::-1], ladder)
    return Run(up, down) if len(up) >= fewest else None


@lru_cache(maxsize=RUNS_KEPT)
def run_in_raga(palta: Palta | Shape, raga: Raga) -> Run | None:
    """The palta along the raga's ways, or straight where it is run so; None where it cannot run
    there without a break."""
    shape = palta.shape if isinstance(palta, Palta) else palta
    scale, straight = raga.scale.value, straights().get(raga.id)
    run = _along(shape, scale.aroha, scale.avaroha, partial(_takes, raga))
    if run is None and straight is not None:
        run = _along(shape, straight.up, straight.down, partial(_may_take, raga))
        return run and replace(run, straight=straight)
    return run


Takes = Callable[[Group], bool | None]
"""Whether a raga takes a group; None where it does not, but goes on without it."""


def _along(shape: Shape, up: Group, down: Group, takes: Takes) -> Run | None:
    mirrored = tuple(-degree for degree in shape)
    run = Run(
        _taken(_groups(shape, up, down), shape, takes),
        _taken(_groups(shape, down, up), mirrored, takes),
    )
    return run if min(len(run.up), len(run.down)) >= FEWEST_GROUPS else None


def _taken(groups: Sequence[Group], shape: Shape, takes: Takes) -> tuple[Group, ...]:
    """The groups that are taken; nothing where one is not, or another pattern would be heard."""
    found: list[Group] = []
    for group in groups:
        taken = takes(group) if _lies_as(group, shape) else False
        if taken:
            found.append(group)
        elif taken is False:
            return ()
    return tuple(found)


def _takes(raga: Raga, group: Group) -> bool | None:
    """By all that its file tells. One that would begin within a turn that it requires is left
    out."""
    if any(_is_own(each, raga) for each in (group, *_to_ends_of_turns(group, raga))):
        return True
    return None if any(group[0].letter == each.letter for each in raga.required) else False


def _may_take(raga: Raga, group: Group) -> bool:
    """By what every teaching of it agrees on."""
    return _is_within_reach(group) and surely_breaks(raga, group) is None


def _lies_as(group: Group, shape: Shape) -> bool:
    """Whether a swara is higher than another wherever it is so in the pattern."""
    rows = list(zip(shape, group, strict=True))
    return all(
        one.steps < other.steps for (low, one), (high, other) in product(rows, rows) if low < high
    )


def _to_ends_of_turns(group: Group, raga: Raga) -> Iterator[Group]:
    """The group with what is left of a turn in the midst of which it stops."""
    for required in raga.required:
        for turn in required.turns:
            for begun in range(len(turn) - 1, 0, -1):
                saptaks = group[-1].octave - turn[begun - 1].octave
                moved = tuple(Swara(each.semitone, each.octave + saptaks) for each in turn)
                if group[-begun:] == moved[:begun]:
                    yield (*group, *moved[begun:])


def _is_own(swaras: Group, raga: Raga) -> bool:
    """Whether it stays on the string, and nothing known of the raga speaks against it, struck as it
    is or with each swara that repeats the one before left out."""
    if not _is_within_reach(swaras):
        return False
    steps = [swara.steps for swara in swaras]
    once = [*steps[:1], *(here for before, here in pairwise(steps) if here != before)]
    return admits_steps(raga, steps) and (len(once) == len(steps) or admits_steps(raga, once))


def _is_within_reach(swaras: Group) -> bool:
    return all(LOWEST_STEPS <= swara.steps <= HIGHEST_STEPS for swara in swaras)


def _groups(shape: Shape, onward: Group, back: Group) -> tuple[Group, ...]:
    """From the first place of the way onward at which the shape fits, to the last."""
    ways = _steps(onward), _steps(back)
    found: list[Group] = []
    begun = next((at for at in range(len(onward)) if _group(shape, at, *ways)), len(onward))
    for place in range(begun, len(onward)):
        group = _group(shape, place, *ways)
        if group is None:
            break
        found.append(tuple(map(Swara.at, group)))
    return tuple(found)


def _steps(way: Group) -> Steps:
    return tuple(swara.steps for swara in way)


def _group(shape: Shape, place: int, onward: Steps, back: Steps) -> Steps | None:
    """The group that starts at a place of the way onward."""
    steps = [onward[place]]
    for before, after in pairwise(shape):
        way = onward if after > before else back
        expected = place + before if after > before else len(back) - 1 - place - before
        to = _moved(steps[-1], abs(after - before), way, expected)
        if to is None:
            return None
        steps.append(to)
    return tuple(steps)


def _moved(here: int, by: int, way: Steps, expected: int) -> int | None:
    """So many steps along a way; None beyond its end.

    Where the way passes a swara more than once, it is taken as near as can be to the place at which
    it is expected; where it does not have it, it is joined at the first of another degree beyond.
    """
    if by == 0:
        return here
    places = [at for at, step in enumerate(way) if step == here] or [_joined(here, way) - 1]
    at = min(places, key=lambda place: abs(place - expected))
    return way[at + by] if at + by < len(way) else None


def _joined(here: int, way: Steps) -> int:
    onward = 1 if way[-1] > way[0] else -1
    for place, step in enumerate(way):
        beyond = (step - here) * onward > 0
        if beyond and _degree(step) != _degree(here):
            return place
    return len(way)


def _degree(step: int) -> str:
    return SWARAS[step % 12].upper()
