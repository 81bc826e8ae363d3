"""Does a palta run in its raga as it is said to? Judged by what sounds and by the raga's file.

The shape of the pattern is read from the cue's pitches, by degrees of Bilawal. Its run is then laid
along the raga's ways: steps up by the way up, steps down by the way down (how paltas are practised
in ragas, common practice). Along a way that turns, a swara that comes twice is the one nearer to
where it is due.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from quizzes import Question
from tests.quizzes.raga_hearing import heard, swaras
from tests.quizzes.raga_judges import asked_of, judges
from tests.quizzes.raga_oracle import DOWN, UP, Line, Raga, degree, letter, line, written

PLAIN = "SRGmPDN"
GROUPS = 3

Groups = tuple[Line, ...]


@judges("raga-palta")
def how_it_runs(question: Question) -> list[str]:
    raga = asked_of(question)
    offered = {
        choice.id: tuple(map(line, choice.label.split(" | "))) for choice in question.choices
    }
    size = len(offered[question.right[0]][0])
    played = swaras(heard(question.cue))
    groups = tuple(played[at : at + size] for at in range(0, len(played), size))
    way, shape = way_of(groups), shape_of(groups)
    found = []
    if shape is None or len(groups) != GROUPS:
        return [f"{groups} is no palta in Bilawal"]
    if ("going up" in question.prompt) != (way == UP):
        found.append("it does not go the way that is asked")
    if any(len(group) != size for run in offered.values() for group in run):
        found.append("the number of swaras tells")
    right = offered[question.right[0]]
    if right not in runs(raga, shape, way, [(raga.aroha, raga.avaroha)]):
        found.append(f"{told(right)} is not how {shape} runs in {raga.name}")
    starts = {degree(letter(run[0][0])) for run in offered.values()}
    if starts != {degree(letter(groups[0][0]))}:
        found.append(f"it begins on {written(groups[0][:1])}, and the runs on {starts}")
    for group in right:  # each begins anew, as after a breath (a teacher's word)
        found += [f"{raga.name} {slip}" for slip in raga.slips(group, goes_on=True)]
        if heights(group) != heights([way * step for step in shape]):
            found.append(f"{written(group)} is not the pattern")
    if not raga.sure("scale"):
        found.append(f"C decides: the ways of {raga.name}")
    for each, run in offered.items():
        if each not in question.right and raga.left(sum(run, ())) is None:
            found += _may_be_right(run, raga, shape, way)
    return found


def _may_be_right(run: Groups, raga: Raga, shape: Line, way: int) -> Iterator[str]:
    """Why a run that no teaching of the raga forbids might be the answer all the same."""
    taught = [(up, down) for up in raga._ways[UP] for down in raga._ways[DOWN]]
    if run in runs(raga, shape, way, taught):
        yield f"{told(run)} may be right in {raga.name} too"
    if all(heights(group) == heights([way * step for step in shape]) for group in run) and (
        raga.is_vakra(UP) or raga.is_vakra(DOWN)
    ):
        yield f"{told(run)} may be the plain form of the pattern"


def told(run: Groups) -> str:
    return " | ".join(map(written, run))


def way_of(groups: Groups) -> int:
    return UP if groups[1][0] > groups[0][0] else DOWN


def shape_of(groups: Groups) -> Line | None:
    """The degrees of a palta in Bilawal as it climbs; None where the groups differ."""
    way, places = way_of(groups), [[place(swara) for swara in group] for group in groups]
    shapes = {tuple(way * (each - group[0]) for each in group) for group in places}
    steps = {way * (after[0] - before[0]) for before, after in pairwise(places)}
    return shapes.pop() if len(shapes) == 1 and steps == {1} else None


def place(swara: int) -> int:
    return 7 * (swara // 12) + PLAIN.index(letter(swara))


def heights(group: Line | list[int]) -> list[int]:
    return [sorted(set(group)).index(each) for each in group]


def runs(raga: Raga, shape: Line, way: int, taught: list[tuple[Line, Line]]) -> set[Groups]:
    """All successions of three groups of its runs, in each of the teachings."""
    found = set()
    for up, down in taught:
        onward, back = (up, down) if way == UP else (down, up)
        groups = [along(shape, at, onward, back) for at in range(len(onward))]
        for at in range(len(groups) - GROUPS + 1):
            found.add(tuple(groups[at : at + GROUPS]))
    return {run for run in found if all(run)}


def along(shape: Line, at: int, onward: Line, back: Line) -> Line:
    """The group that begins at a place of the way onward; () where it leaves the ways."""
    group = [onward[at]]
    for before, after in pairwise(shape):
        way, due = (onward, at + before) if after > before else (back, len(back) - 1 - at - before)
        here = group[-1]
        if after == before:
            group.append(here)
            continue
        places = [n for n, each in enumerate(way) if each == here]
        if places:
            to = min(places, key=lambda n: abs(n - due)) + abs(after - before)
        else:
            to = beyond(here, way) + abs(after - before) - 1
        if to >= len(way):
            return ()
        group.append(way[to])
    return tuple(group)


def beyond(here: int, way: Line) -> int:
    """Where a way goes on from a swara that it has not: at the next of another degree."""
    sign = UP if way[-1] > way[0] else DOWN
    return next(
        (
            n
            for n, each in enumerate(way)
            if sign * (each - here) > 0 and degree(letter(each)) != degree(letter(here))
        ),
        len(way),
    )
