"""Rows of swaras for tans: straight, zigzag, in a figure that moves on, straight with octave leaps.

All are of the raga: straight ones go by its ways up and down, and whatever it does not admit is
drawn anew. Some ragas cannot bear some of them: what turns on its way is never run straight.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache
from itertools import pairwise

from audio.tuning import SWARAS
from quizzes.fresh import Fresh
from quizzes.ragas.movement import admits, surely_breaks
from quizzes.ragas.pieces import HIGHEST_STEPS, LOWEST_STEPS, Steps, semitones_of, swaras_at
from quizzes.ragas.raga import Raga

SAPTAK_SPANS = {"mandra": (LOWEST_STEPS, 0), "madhya": (0, 12), "tar": (12, HIGHEST_STEPS)}
FIGURES = ((0, 1, 2), (0, 1, 2, 3), (0, 1, 2, 1), (0, 1, 0, 1, 2), (0, 1, 2, 0, 1), (0, 2, 1))
"""Paltas by steps of the way on which they are moved up, from each swara to the next."""
LEG = 6
"""Swaras that a straight run has at least, fewer only where the raga has but five."""
TRIES = 200
TURNS, LEAPS = 0.85, 0.7
"""How often a zigzag turns at a swara, and how often it leaps over one."""

Run = Callable[[Fresh, Raga, int, tuple[int, int]], Steps]


def run_of(
    fresh: Fresh, raga: Raga, sort: str, counts: Sequence[int], register: Sequence[str]
) -> Steps:
    """A row of one of so many swaras that ends on a rest; empty where the raga bears none."""
    span = span_of(register)
    for _ in range(TRIES):
        steps = RUNS[sort](fresh, raga, fresh.one_of(counts), span)
        if steps and is_borne(raga, steps):
            return steps
    return ()


def span_of(register: Sequence[str]) -> tuple[int, int]:
    lows, highs = zip(*(SAPTAK_SPANS[saptak] for saptak in register), strict=True)
    return min(lows), max(highs)


def is_borne(raga: Raga, steps: Steps) -> bool:
    """Whether the raga admits the row, and it ends on a rest."""
    swaras = swaras_at(steps)
    return (
        steps[-1] % 12 in rests_of(raga)
        and admits(raga, swaras)
        and surely_breaks(raga, swaras) is None
    )


@cache
def rests_of(raga: Raga) -> frozenset[int]:
    return semitones_of({*raga.nyas.value, *raga.vadi.value, "S"})


@cache
def ways_of(raga: Raga) -> tuple[Steps, Steps]:
    """The way up and the way down through all saptaks, both rising; empty where it turns."""
    scale = raga.scale.value
    return (
        () if raga.vakra_up else _ladder(scale.up),
        () if raga.vakra_down else _ladder(scale.down),
    )


def _ladder(letters: frozenset[str]) -> Steps:
    own = {SWARAS.index(letter) for letter in letters}
    return tuple(step for step in range(LOWEST_STEPS, HIGHEST_STEPS + 1) if step % 12 in own)


def _straight(fresh: Fresh, raga: Raga, count: int, span: tuple[int, int]) -> Steps:
    """Up and down by turns, turning at the ends of the span or a little before."""
    up, down = ways_of(raga)
    if not up or not down:
        return ()
    rises = fresh.between(0, 1) < 0.7
    way = _within(up if rises else down, span)
    steps = [way[int(fresh.between(0, 3))] if rises else way[-1 - int(fresh.between(0, 3))]]
    least = leg_of(raga)
    while len(steps) < count:
        ladder = _within(up if rises else down, span)
        ahead = [step for step in ladder if (step > steps[-1] if rises else step < steps[-1])]
        ahead = ahead if rises else ahead[::-1]
        spare = len(ahead) - least
        leg = ahead[: len(ahead) - int(fresh.between(0, min(3, spare + 1)))] if spare > 0 else ahead
        if len(leg) < least - 1:
            return ()
        steps += leg
        rises = not rises
    found = tuple(steps[:count])
    return found if last_leg(found) >= least - 1 else ()


def leg_of(raga: Raga) -> int:
    """How long a straight run of the raga is at least."""
    up, down = ways_of(raga)
    fewest = min(len({step % 12 for step in way}) for way in (up, down) if way)
    return min(LEG, fewest)


def last_leg(steps: Sequence[int]) -> int:
    """How many swaras run straight at the end of a row."""
    count = 2
    while count < len(steps) and (steps[-count] - steps[-count - 1]) * (steps[-1] - steps[-2]) > 0:
        count += 1
    return count


def _leaping(fresh: Fresh, raga: Raga, count: int, span: tuple[int, int]) -> Steps:
    """Straight down, and from its end an octave up to go on down; or all of it the other way."""
    up, down = ways_of(raga)
    rises = fresh.between(0, 1) < 0.35
    way = up if rises else down
    if not way:
        return ()
    way = _within(way, (max(span[0] - 5, LOWEST_STEPS), span[1]))
    order = way if rises else way[::-1]
    place = int(fresh.between(0, max(1, len(order) // 4)))
    steps: list[int] = []
    least = min(5, leg_of(raga))
    run = 0
    while len(steps) < count:
        if place >= len(order):
            return ()
        here = order[place]
        steps.append(here)
        run += 1
        over = here - 12 if rises else here + 12
        can = over in order and run >= least
        if can and (place + 1 >= len(order) or fresh.between(0, 1) < 0.4):
            place = order.index(over)
            run = 0
            steps.append(over)
            run = 1
        place += 1
    found = tuple(steps[:count])
    leaps = sum(abs(b - a) == 12 for a, b in pairwise(found))
    return found if leaps and abs(found[-1] - found[-2]) != 12 else ()


def _zigzag(fresh: Fresh, raga: Raga, count: int, span: tuple[int, int]) -> Steps:
    """Never twice the same way if it can: leaps to and fro without a figure."""
    required = {each.letter for each in raga.required}
    own = semitones_of(raga.own - required - set(raga.glide.value))
    closed = {True: semitones_of(raga.omitted_up), False: semitones_of(raga.omitted_down)}
    scale = [step for step in range(span[0], span[1] + 1) if step % 12 in own]
    steps = [fresh.one_of(scale[: len(scale) // 2])]
    rises, drift = True, True
    while len(steps) < count:
        place = scale.index(steps[-1])
        size = int(fresh.between(2, 5)) if fresh.between(0, 1) < LEAPS else 1
        if rises == drift and size < 3 and fresh.between(0, 1) < 0.5:
            size += 1
        goal = place + size if rises else place - size
        if not 0 <= goal < len(scale):
            drift = not drift
            goal = place - size if rises else place + size
            rises = not rises
            if not 0 <= goal < len(scale):
                return ()
        if scale[goal] % 12 in closed[rises]:
            goal += 1 if rises else -1
            if not 0 <= goal < len(scale) or scale[goal] % 12 in closed[rises]:
                return ()
        steps.append(scale[goal])
        if fresh.between(0, 1) < TURNS:
            rises = not rises
    return tuple(steps)


def _figured(fresh: Fresh, raga: Raga, count: int, span: tuple[int, int]) -> Steps:
    """A palta, moved up from swara to swara and down again."""
    up, down = ways_of(raga)
    if not up or not down:
        return ()
    figures = [figure for figure in FIGURES if count % len(figure) == 1]
    if not figures:
        return ()
    figure = fresh.one_of(figures)
    rising, falling = _within(up, span), _within(down, span)[::-1]
    whole = (count - 1) // len(figure)
    steps: list[int] = []
    way, at = rising, int(fresh.between(0, 3))
    for number in range(whole):
        reach = at + max(figure)
        if reach >= len(way):
            if number < 3 or way is falling:
                return ()
            top = way[at - 1 + max(figure)]
            way = falling
            at = next((place for place, step in enumerate(way) if step <= top), len(way))
            if at + max(figure) >= len(way):
                return ()
        steps += [way[at + step] for step in figure]
        at += 1
    if at >= len(way):
        return ()
    return (*steps, way[at])


def _within(way: Steps, span: tuple[int, int]) -> Steps:
    return tuple(step for step in way if span[0] <= step <= span[1])


RUNS: dict[str, Run] = {
    "sapat": _straight,
    "kut": _zigzag,
    "alankarik": _figured,
    "chhut": _leaping,
}
"""By the name that a stage has for them; gamak is phrases of the raga, shaken."""
