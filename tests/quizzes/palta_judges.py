"""Is a question on paltas or prastara sound? Judged by what sounds and by what is offered.

A judge reads pitches and onsets of the cue and the labels of the choices. It counts by degrees: a
palta moves alike on every scale. Of paltas and of how questions are made it knows nothing; the
succession of orders it lays out as the treatise's commentary words it (Sangitaratnakara 1.4 with
Sudhakara, Adyar edition, volume 1, page 132): the last swara changes last, from the last to the
first, and before each stand the orders of the others.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from math import prod

from quizzes import Question
from quizzes.question import KEYS_APART
from tests.quizzes.raga_hearing import heard, swaras
from tests.quizzes.raga_oracle import degree, letter, line

DEGREES = "SRGMPDN"
EVENLY_S = 0.002
NUMBERS = ("two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven")

Places = tuple[int, ...]
"""Swaras by their degrees above middle Sa."""


def place(swara: int) -> int:
    return 7 * (swara // 12) + DEGREES.index(degree(letter(swara)))


def places(some: Sequence[int]) -> Places:
    return tuple(map(place, some))


def group_in(label: str) -> Places:
    """The group at the end of a label: `Bottom, middle, top: S R G`."""
    return places(line(label.rpartition(": ")[2]))


def shape(group: Places) -> Places:
    return tuple(each - group[0] for each in group)


def cut(played: Sequence[int], size: int) -> list[Places]:
    """The groups of a run. Raises ValueError where the last is not whole."""
    if len(played) % size:
        raise ValueError(f"{len(played)} swaras are no groups of {size}")
    return [places(played[at : at + size]) for at in range(0, len(played), size)]


def run_of(groups: Sequence[Places]) -> tuple[Places, int] | None:
    """The shape of a run and how far its groups move on; None where they do not move alike."""
    shapes = set(map(shape, groups))
    steps = {after[0] - before[0] for before, after in pairwise(groups)}
    return (shapes.pop(), steps.pop()) if len(shapes) == len(steps) == 1 else None


def moved(group: Places, by: int) -> Places:
    return tuple(each + by for each in group)


def right_where(question: Question, holds: Callable[[str, str], bool]) -> Iterator[str]:
    """Faults where a choice, by id and label, holds that is not marked right, or the other way."""
    for choice in question.choices:
        if holds(choice.id, choice.label) != (choice.id in question.right):
            is_right = "is not right" if choice.id in question.right else "is right, too"
            yield f"{choice.label!r} {is_right}"


# Paltas.


def goes_on(question: Question) -> Iterator[str]:
    size = len(group_in(question.choices[0].label))
    groups = cut(swaras(heard(question.cue)), size)
    run = run_of(groups)
    if run is None or len(groups) < 3:
        yield f"{groups} is no run"
        return
    due = moved(groups[-1], run[1])
    yield from right_where(question, lambda _, label: group_in(label) == due)
    yield from _one_scale(question, [line(choice.label) for choice in question.choices])


def left_silent(question: Question) -> Iterator[str]:
    notes = heard(question.cue)
    size = question.places
    first, second, fourth = cut(swaras(notes), size)
    begun = [notes[at * size].onset_s for at in range(3)]
    run = run_of((first, second))
    if run is None or fourth != moved(second, 2 * run[1]):
        yield f"{first}, {second}, {fourth} are not three of four groups"
        return
    if abs((begun[2] - begun[1]) - 2 * (begun[1] - begun[0])) > EVENLY_S:
        yield f"the silence is not as long as a group: {begun}"
    if NUMBERS.index(re.findall("its ([a-z]+) swaras", question.prompt)[0]) + 2 != size:
        yield "the number of swaras that is told is another"
    due = moved(second, run[1])
    keys = {place(line(choice.id)[0]): choice.id for choice in question.choices}
    if len(keys) < len(question.choices):
        yield "two keys are of one degree"
    if question.right != (KEYS_APART.join(keys[each] for each in due),):
        yield f"{due} is left out, {question.right} is marked right"
    yield from _one_scale(question, [line(choice.id) for choice in question.choices])


def called(question: Question) -> Iterator[str]:
    size = len(group_in(question.choices[0].label))
    groups = cut(swaras(heard(question.cue)), size)
    run = run_of(groups)
    if run is None or run[1] <= 0:
        yield f"{groups} does not climb alike"
        return
    yield from right_where(question, lambda _, label: shape(group_in(label)) == run[0])
    if len({len(group_in(choice.label)) for choice in question.choices}) > 1:
        yield "the length of a group tells"


def altered(question: Question) -> Iterator[str]:
    played, many = swaras(heard(question.cue)), len(question.choices)
    groups = cut(played, len(played) // many)
    if run_of(groups):
        yield "nothing is altered"

    def is_odd(answer: str, _: str) -> bool:
        at = int(answer) - 1
        kept = [group for number, group in enumerate(groups) if number != at]
        if len(set(map(shape, kept))) > 1:
            return False
        starts = {n: group[0] for n, group in enumerate(groups) if n != at}
        steps = {(after - one) / (m - n) for (n, one), (m, after) in pairwise(starts.items())}
        return len(steps) == 1

    yield from right_where(question, is_odd)


def same(question: Question) -> Iterator[str]:
    played = swaras(heard(question.cue))
    model, *others = cut(played, len(played) // 3)
    if len({model[0], *(other[0] for other in others)}) == 1:
        yield "all begin on one swara"
    found = tuple(shape(other) == shape(model) for other in others)
    answers = {
        (True, False): "only the first", (False, True): "only the second",
        (True, True): "both", (False, False): "neither",
    }  # fmt: skip
    yield from right_where(question, lambda _, label: label.lower().startswith(answers[found]))
    for other, is_same in zip(others, found, strict=True):
        if not is_same and _heights(other) == _heights(model):
            yield f"{other} differs from {model} in how far it moves alone"


def _heights(group: Places) -> list[int]:
    return [sorted(set(group)).index(each) for each in group]


def _one_scale(question: Question, offered: Sequence[Sequence[int]]) -> Iterator[str]:
    """What is offered is in the scale that is heard: one form of each degree."""
    letters = {letter(each) for each in swaras(heard(question.cue))}
    letters.update(letter(each) for some in offered for each in some)
    if len({degree(each) for each in letters}) < len(letters):
        yield f"{sorted(letters)} are of two scales"


# Prastara.


def succession(things: Sequence[int]) -> list[Places]:
    if not things:
        return [()]
    return [
        (*before, last)
        for last in reversed(things)
        for before in succession([each for each in things if each != last])
    ]


def orders_heard(question: Question) -> tuple[list[Places], list[Places]]:
    """The whole succession, and the orders that are heard."""
    played = swaras(heard(question.cue))
    size = len(set(played))
    return succession(sorted(set(played))), [
        tuple(played[at : at + size]) for at in range(0, len(played), size)
    ]


def follows(question: Question) -> Iterator[str]:
    every, (first, order) = orders_heard(question)
    if first != every[0]:
        yield "the first order is not low to high"
    due = every[every.index(order) + 1]
    yield from right_where(question, lambda _, label: line(label) == due)


def missing(question: Question) -> Iterator[str]:
    every, found = orders_heard(question)
    if found != [order for order in every if order in found] or len(found) != len(every) - 1:
        yield f"{found} is not the succession without one"
    yield from right_where(question, lambda _, label: line(label) not in found)


def how_many(question: Question) -> Iterator[str]:
    played = swaras(heard(question.cue))
    many = prod(range(1, len(set(played)) + 1))
    yield from right_where(question, lambda _, label: int(label) == many)
    if any(one == other for one, other in pairwise(played)):
        yield "a swara is struck twice in a row"
    if len({letter(each) for each in played}) < len(set(played)):
        yield "one swara is heard in two saptaks"


def numbered(question: Question) -> Iterator[str]:
    every, (first, order) = orders_heard(question)
    if first != every[0]:
        yield "the first order is not low to high"
    if f"{len(every)} orders" not in question.prompt:
        yield "the number of orders that is told is another"
    yield from right_where(
        question, lambda _, label: every[int(label.removeprefix("Number ")) - 1] == order
    )


JUDGES: dict[str, Callable[[Question], Iterator[str]]] = {
    "palta:continue": goes_on,
    "palta:third": left_silent,
    "palta:name": called,
    "palta:altered": altered,
    "palta:same": same,
    "prastara:next": follows,
    "prastara:missing": missing,
    "prastara:count": how_many,
    "prastara:number": numbered,
}
"""By kind and way of asking."""


def way_of(question: Question) -> str:
    return ":".join(question.skill.split(":")[:2])


def faults(question: Question) -> list[str]:
    """All that is wrong with a question, each with the question's name."""
    try:
        found = list(JUDGES[way_of(question)](question))
    except (KeyError, ValueError, IndexError) as error:
        found = [f"cannot be judged: {error!r}"]
    return [f"{question.skill} seed {question.seed}: {fault}" for fault in found]
