"""Which stages can be asked side by side, and what may surely not come next to what.

A frame is stages that can all come in one performance, in the order in which the files have them:
no stage stands in it beside its own parts, nor beside what is played instead of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations, product

from quizzes.stages.order import FROM_MEMORY, Pair
from quizzes.stages.stage import Division, Form

Frame = tuple[str, ...]


def frames_of(known: Form, division: Division) -> tuple[Frame, ...]:
    """The parts of a division without those that stand instead of others; and, for each of these,
    the parts with it instead of what it stands for. What no source tells of is left out."""
    parts = [p for p in division.parts if known.stages[p].confidence != FROM_MEMORY]
    instead = [part for part in parts if known.stages[part].instead_of]
    plain = tuple(part for part in parts if part not in instead)
    taken = (
        tuple(p for p in parts if p == one or (p in plain and not _stands_for(known, one, p)))
        for one in instead
    )
    return (plain, *taken)


def _stands_for(known: Form, one: str, stage: str) -> bool:
    return stage in known.stages[one].instead_of


def frame_around(known: Form, stage: str) -> Frame:
    """A whole performance in which this stage stands, with what it is a part of divided so; () for
    a stage of which no source tells."""
    division = known.whole_of(stage)
    frame = next((each for each in frames_of(known, division) if stage in each), ())
    if not frame or not division.of:
        return frame
    return tuple(
        part
        for one in frame_around(known, division.of)
        for part in (frame if one == division.of else (one,))
    )


def opened(known: Form, frame: Frame) -> Iterator[Frame]:
    """The frame with its stages divided in every way in which at least one of them is."""
    ways: dict[str, list[Frame]] = {stage: [(stage,)] for stage in frame}
    for division in ordered_divisions(known):
        parts = frames_of(known, division)[0]
        if division.of in ways and len(parts) > 1:
            ways[division.of].append(parts)
    for way in product(*ways.values()):
        divided = tuple(part for parts in way for part in parts)
        if divided != frame:
            yield divided


def ordered_divisions(known: Form) -> tuple[Division, ...]:
    return tuple(each for each in known.divisions.values() if each.ordered)


def told_apart(known: Form, stages: Sequence[str]) -> bool:
    """Whether they all have names of their own."""
    names = {known.stages[stage].name.casefold() for stage in stages}
    return len(names) == len(stages)


def from_memory(known: Form, stages: Sequence[str]) -> bool:
    """Whether some of these are set in order by what no source tells."""
    return any(pair.confidence == FROM_MEMORY for pair in known.order.pairs(stages))


def sure_pair(known: Form, first: str, then: str) -> Pair | None:
    """How the one comes before the other, usually at least; None where only memory says so."""
    pair = known.order.pair(first, then)
    return None if pair is None or pair.confidence == FROM_MEMORY else pair


def pool(known: Form) -> Frame:
    """All stages that can be choices beside each other, but for what is played instead of others
    and what no source tells."""
    parts = [one for division in ordered_divisions(known) for one in frames_of(known, division)[0]]
    return tuple(dict.fromkeys(parts))


def can_be_offered(known: Form, stages: Sequence[str]) -> bool:
    """Whether they can be read side by side: none is a part of another, and all have names of their
    own."""
    kin = any(known.order.are_kin(*two) for two in combinations(stages, 2))
    return not kin and told_apart(known, stages)


def between_surely(known: Form, first: str, then: str) -> tuple[str, ...]:
    """The stages that surely come between these two wherever both are played: what may not lack,
    and what one of them needs."""
    played = (*frame_around(known, first), *frame_around(known, then))
    needed = known.needed_by((first, then))
    return tuple(
        one
        for one in dict.fromkeys(played)
        if (one in needed or not known.stages[one].may_lack)
        and known.order.surely(first, one)
        and known.order.surely(one, then)
    )


def may_follow(known: Form, first: str, then: str) -> bool:
    """Whether `then` may come directly after `first` in some performance in some tradition known:
    only what is fixed forbids it, or a stage that surely lies between and cannot be left out."""
    return not known.order.surely(then, first) and not between_surely(known, first, then)


def next_after(known: Form, frame: Frame, stage: str) -> tuple[str, ...]:
    """The stages that come next where all of the frame is played."""
    order = known.order
    return tuple(
        then
        for then in frame
        if sure_pair(known, stage, then)
        and not any(order.pair(stage, one) and order.pair(one, then) for one in frame)
    )


def next_before(known: Form, frame: Frame, stage: str) -> tuple[str, ...]:
    """The stages that come just before where all of the frame is played."""
    return tuple(one for one in frame if stage in next_after(known, frame, one))


def ordered_share(known: Form, stages: Sequence[str]) -> float:
    """The share of pairs of which one comes first."""
    pairs = len(list(combinations(stages, 2)))
    return len(known.order.pairs(stages)) / pairs if pairs else 0.0
