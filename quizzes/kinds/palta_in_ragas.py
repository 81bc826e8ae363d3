"""Two paltas in two ragas, so that of their four runs each can be the answer and tells nothing.

All ragas are parted into twos by a draw that does not know which is asked, as `ragas.choosing` does
with choices of ragas: whichever of the two is asked, the same four runs are offered.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import islice, product

from audio.tuning import Swara
from quizzes.fresh import Fresh
from quizzes.kinds.palta_spoilt import heights
from quizzes.kinds.palta_way import pairs_alike
from quizzes.paltas import Group, Palta, paltas, run_in_raga
from quizzes.ragas.movement import Swaras, surely_breaks
from quizzes.ragas.raga import Raga
from quizzes.ragas.tradition import ragas
from quizzes.ragas.ways import is_agreed

GROUPS = 3
FEWEST, MOST = 3, 4
"""Swaras of a group."""
WAYS = ("up", "down")
STARTS = 4
"""A run is heard from its first group on, or from one of those after it, so many in all."""
FEWEST_ASKED = 10
"""A raga of which fewer runs can be asked would soon be known by heart."""
TRIED = 3
"""Of so many ragas that can stand beside one, that which shares most swaras with it does."""

Groups = tuple[Group, ...]


@dataclass(frozen=True, slots=True)
class Pattern:
    """A palta that is heard, on its way up or down, and another one that is offered beside it."""

    way: str
    first: int
    """With which group of the run it begins, from 0."""
    palta: Palta
    other: Palta

    def runs(self, raga: Raga) -> tuple[Groups, Groups]:
        own, other = (begun(each, raga, self.way, self.first) for each in (self.palta, self.other))
        return own, other


def drawn(
    raga: Raga, ids: Collection[str], known: Mapping[str, Raga], seed: int
) -> tuple[Pattern, Raga]:
    """What is asked of this raga with this seed, and the other raga. `ids` are those that may be
    asked. Raises ValueError where nothing can be."""
    fresh = Fresh("paltas in ragas", seed)
    rest = [known[each] for each in fresh.shuffled(sorted({*ids, raga.id} & known.keys()))]
    patterns = _patterns(fresh)
    return _parted(raga, rest, patterns) or _besides(raga, rest, patterns)


def _parted(
    raga: Raga, rest: Sequence[Raga], patterns: Sequence[Pattern]
) -> tuple[Pattern, Raga] | None:
    """The pattern with which it finds another, and that; who has found one is out of the rest."""
    for pattern in patterns:
        left = [each for each in rest if fits(pattern, each)]
        while left:
            one = left.pop(0)
            other = _beside(one, left, pattern)
            if other is None:
                continue
            if raga in (one, other):
                return pattern, other if one is raga else one
            left.remove(other)
            rest = [each for each in rest if each not in (one, other)]
    return None


def _besides(raga: Raga, rest: Sequence[Raga], patterns: Sequence[Pattern]) -> tuple[Pattern, Raga]:
    """The same of a raga that was left over: beside any."""
    for pattern in patterns:
        if fits(pattern, raga):
            other = _beside(raga, [each for each in rest if fits(pattern, each)], pattern)
            if other is not None:
                return pattern, other
    raise ValueError(f"{raga.id}: no run of a palta can be asked")


def _beside(one: Raga, left: Sequence[Raga], pattern: Pattern) -> Raga | None:
    found = islice((each for each in left if apart(pattern, one, each)), TRIED)
    return max(found, key=lambda each: len(each.own & one.own), default=None)


def _patterns(fresh: Fresh) -> list[Pattern]:
    return [
        Pattern(way, first, *fresh.shuffled(pair)) for way, first, pair in fresh.shuffled(_every())
    ]


@cache
def _every() -> tuple[tuple[str, int, tuple[Palta, Palta]], ...]:
    return tuple(product(WAYS, range(STARTS), _pairs()))


@cache
def _pairs() -> tuple[tuple[Palta, Palta], ...]:
    few = [palta for palta in paltas().values() if FEWEST <= palta.swaras <= MOST]
    return tuple(pairs_alike(few))


@cache
def can_be_asked(raga: Raga) -> bool:
    """Whether enough can be asked of a raga, beside those that are shipped."""
    if not (raga.scale.sure and raga.notes.sure):
        return False
    patterns = (Pattern(way, first, *pair) for way, first, pair in _every())
    fitting = (
        pattern
        for pattern in patterns
        if fits(pattern, raga)
        and any(
            each.id != raga.id and fits(pattern, each) and apart(pattern, raga, each)
            for each in ragas().values()
        )
    )
    return len(list(islice(fitting, FEWEST_ASKED))) == FEWEST_ASKED


@cache
def begun(palta: Palta, raga: Raga, way: str, first: int) -> Groups:
    """Groups of its run along the raga's own ways, from this one on; nothing where there are not so
    many, or where a group is left out between them."""
    line = raga.scale.value
    along = line.aroha if way == "up" else line.avaroha
    groups = _whole(palta, raga, way)[first : first + GROUPS]
    starts = tuple(group[0] for group in groups)
    places = range(len(along) - GROUPS + 1)
    return groups if any(along[place : place + GROUPS] == starts for place in places) else ()


def _whole(palta: Palta, raga: Raga, way: str) -> Groups:
    run = run_in_raga(palta, raga)
    if run is None or run.straight is not None:
        return ()
    return run.up if way == "up" else run.down


def fits(pattern: Pattern, raga: Raga) -> bool:
    """Whether both run in the raga so that their swaras lie above each other as in the pattern:
    where the ways differ, two of a group may fall together, and then it is hardly the pattern."""
    return all(
        run and _lies_as(palta, run, pattern.way)
        for palta, run in zip((pattern.palta, pattern.other), pattern.runs(raga), strict=True)
    )


def _lies_as(palta: Palta, run: Groups, way: str) -> bool:
    shape = tuple(-degree for degree in palta.shape) if way == "down" else palta.shape
    return all(heights(_steps(group)) == heights(shape) for group in run)


def apart(pattern: Pattern, one: Raga, other: Raga) -> bool:
    """Whether the four runs differ and begin on one degree, where the pattern that is heard begins,
    too; and each raga's are surely none of the other's."""
    theirs = [(raga, pattern.runs(raga)) for raga in (one, other)]
    (_, first), (_, second) = theirs
    runs = {*first, *second}
    if len(runs) < len(first) + len(second) or len({degree_of(run[0][0]) for run in runs}) > 1:
        return False
    return all(
        _is_out(raga, run, pattern)
        for (raga, _), (_, runs) in zip(theirs, theirs[::-1], strict=True)
        for run in runs
    )


def _is_out(raga: Raga, run: Groups, pattern: Pattern) -> bool:
    """Whether a run surely breaks the raga; or, where all agree on its ways and these do not turn,
    takes other degrees than the palta does in it, there or further on."""
    if surely_breaks(raga, joined(run)) is not None:
        return True
    if not is_agreed(raga) or raga.vakra_up or raga.vakra_down:
        return False
    own = {_degrees(group) for group in _whole(pattern.palta, raga, pattern.way)}
    return not any(_degrees(group) in own for group in run[1:])


def joined(groups: Groups) -> Swaras:
    """All swaras of a run."""
    return [swara for group in groups for swara in group]


def _steps(group: Group) -> tuple[int, ...]:
    return tuple(swara.steps for swara in group)


def _degrees(group: Group) -> tuple[tuple[str, int], ...]:
    return tuple(map(degree_of, group))


def degree_of(swara: Swara) -> tuple[str, int]:
    """Komal and shuddha forms are of one degree."""
    return swara.letter.upper(), swara.octave
