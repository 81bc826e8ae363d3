"""Short lines that a raga's own phrases and ways hold, alone or two of them joined.

They come from its file alone and are always the same, so that what a kind can ask of a raga is
known before it is asked; a question draws a grown phrase where one fits and one of these elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cache
from itertools import pairwise

from audio.tuning import SWARAS, Swara
from quizzes.fresh import Fresh
from quizzes.ragas.growing import SAPTAK_MIDDLES, grow
from quizzes.ragas.movement import admits
from quizzes.ragas.pieces import HIGHEST_STEPS, LOWEST_STEPS
from quizzes.ragas.raga import Raga

Swaras = tuple[Swara, ...]
Steps = tuple[int, ...]
"""A line as semitones above middle Sa."""

SAPTAKS = tuple(SAPTAK_MIDDLES)
TRIES = 40
GROWN_SHARE = 0.4
"""How often a grown phrase is tried for first."""
RECASTS = 400
"""How often it is tried to recast a line of the stock."""
"""How many phrases are grown before one of the stock is taken."""
MOST_MISSED = 8
"""The same where none of this length seems to grow."""


def fresh_line(
    fresh: Fresh,
    raga: Raga,
    count: int,
    fits: Callable[[Swaras], bool],
    *,
    saptak: str | None = None,
) -> Swaras:
    """A phrase of so many swaras that the raga admits and that fits. Raises ValueError where not
    even the stock has one."""
    missed = 0 if fresh.between(0, 1) < GROWN_SHARE else MOST_MISSED
    for turn in range(TRIES):
        if missed >= MOST_MISSED:
            break
        anywhere = fresh.one_of(SAPTAKS) if turn % 2 else None
        grown = grow(fresh, raga, fewest=count, most=count, saptak=saptak or anywhere)
        if len(grown) == count and _moves(_steps(grown)) and fits(grown):
            return grown
        missed += len(grown) != count
    fitting = [line for line in stock(raga, count) if fits(line)]
    if not fitting:
        raise ValueError(f"{raga.id}: no phrase of {count} swaras fits")
    line = _recast(fresh, raga, fresh.one_of(fitting), fits)
    return line if saptak else _in_some_saptak(fresh, line, fits)


def _recast(fresh: Fresh, raga: Raga, line: Swaras, fits: Callable[[Swaras], bool]) -> Swaras:
    """The line with the beginning or the end of another one that meets it in a swara, where some
    such still fits; else the line itself."""
    steps, count = _steps(line), len(line)
    others = [_steps(other) for n in (count, count + 1) for other in stock(raga, n)]
    for _ in range(RECASTS):
        other, joint = fresh.one_of(others), fresh.one_of(range(1, count - 1))
        begins = fresh.between(0, 1) < 0.5
        # Another line's beginning is counted from its first swara, its end from its last.
        meets = joint if begins else joint + len(other) - count
        lift = steps[joint] - other[meets]
        if lift % 12:
            continue
        moved = _lifted(other, lift)
        made = (*moved[:joint], *steps[joint:]) if begins else (*steps[:joint], *moved[meets:])
        swaras = tuple(map(Swara.at, made))
        is_new = made != steps and _moves(made) and _is_free(made)
        if is_new and admits(raga, swaras) and fits(swaras):
            return swaras
    return line


def _is_free(line: Steps) -> bool:
    """Whether it does not go to and fro between the same two swaras."""
    return all(line[at : at + 2] != line[at + 2 : at + 4] for at in range(len(line) - 3))


def _in_some_saptak(fresh: Fresh, line: Swaras, fits: Callable[[Swaras], bool]) -> Swaras:
    """The line as it is, or an octave lower or higher where it is within reach."""
    lifted = (_lifted(_steps(line), lift) for lift in (-12, 0, 12))
    moved = [tuple(map(Swara.at, steps)) for steps in lifted if _moves(steps)]
    return fresh.one_of([each for each in moved if fits(each)])


@cache
def stock(raga: Raga, count: int) -> tuple[Swaras, ...]:
    """All that its phrases and ways hold of so many swaras, ended on a rest or on Sa."""
    return tuple(lines_in_stock(raga, count))


def lines_in_stock(raga: Raga, count: int) -> Iterator[Swaras]:
    """The same one by one, where the first that fits is enough."""
    lines = [*(phrase.swaras for phrase in raga.phrases), *_ways(raga)]
    return _windows(raga, [_steps(line) for line in lines], count)


@cache
def tans(raga: Raga, count: int) -> tuple[Swaras, ...]:
    """Runs of so many swaras along its ways up and down, over two saptaks, so ended."""
    return tuple(tans_in_turn(raga, count))


def tans_in_turn(raga: Raga, count: int) -> Iterator[Swaras]:
    """The same one by one, without those that go to and fro."""
    up, down = map(_steps, _ways(raga))
    ways = [_linked(up, _lifted(up, 12)), _linked(_lifted(down, 12), down)]
    for line in _windows(raga, ways, count):
        if _is_free(_steps(line)):
            yield line


def _ways(raga: Raga) -> tuple[Swaras, Swaras]:
    return raga.scale.value.aroha, raga.scale.value.avaroha


def _steps(line: Swaras) -> Steps:
    return tuple(swara.steps for swara in line)


def _lifted(line: Steps, steps: int) -> Steps:
    return tuple(each + steps for each in line)


def _linked(first: Steps, then: Steps) -> Steps:
    """Two saptaks of a way as one; what overlaps is taken once."""
    overlap = then.index(first[-1]) if first[-1] in then else -1
    return (*first, *then[overlap + 1 :])


def _windows(raga: Raga, lines: Sequence[Steps], count: int) -> Iterator[Swaras]:
    ends = {0, *(SWARAS.index(letter) for letter in raga.nyas.value)}
    met = set()
    for whole in _wholes(lines, count):
        for start in range(len(whole) - count + 1):
            window = whole[start : start + count]
            if window[-1] % 12 in ends and window not in met and _moves(window):
                met.add(window)
                line = tuple(map(Swara.at, window))
                if admits(raga, line):
                    yield line


def _wholes(lines: Sequence[Steps], count: int) -> Iterator[Steps]:
    """The lines, and what surrounds each joint of two of them at a swara of both."""
    yield from lines
    for one in lines:
        for other in lines:
            for place, step in enumerate(one):
                for onward, theirs in enumerate(other):
                    lift = step - theirs
                    if lift % 12 == 0 and place and onward < len(other) - 1:
                        then = _lifted(other[onward + 1 : onward + count], lift)
                        yield (*one[max(0, place + 2 - count) : place + 1], *then)


def _moves(line: Steps) -> bool:
    """Whether it stays in reach and no swara only repeats the one before."""
    reached = min(line) >= LOWEST_STEPS and max(line) <= HIGHEST_STEPS
    return reached and all(a != b for a, b in pairwise(line))
