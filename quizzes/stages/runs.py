"""Rows of swaras for tans: straight, straight with octave leaps, zigzag, or a figure that moves on.

All are of the raga: straight ones go by its ways up and down, and what it does not admit is drawn
anew. Some ragas cannot bear some of them: what turns on its way is never run straight. A row is
made longer than is wished, and a stretch of it taken that begins and ends well.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from quizzes.fresh import Fresh
from quizzes.ragas.movement import admits, surely_breaks
from quizzes.ragas.pieces import HIGHEST_STEPS, LOWEST_STEPS, Steps, semitones_of, swaras_at
from quizzes.ragas.raga import Raga

SAPTAK_SPANS = {"mandra": (LOWEST_STEPS, 2), "madhya": (-3, 14), "tar": (9, HIGHEST_STEPS)}
"""From and to where a row runs in each saptak, in semitones above middle Sa."""
FIGURES = ((0, 1, 2), (0, 1, 2, 3), (0, 1, 2, 1), (0, 1, 0, 1, 2), (0, 1, 2, 0, 1), (0, 2, 1))
"""Paltas, in steps of the way along which they are moved."""
TIMES = 3
"""How often a figure is moved on at least before it turns back."""
LEG, LEAPING_LEG = 6, 4
"""Swaras that a straight run has at least, and one between leaps."""
ENDING = 3
"""Swaras that run straight at the beginning and at the end of a row at least."""
FALLS = 0.7
"""How often a run that leaps falls."""
MARGIN = 24
"""By how many swaras a row is longer than what is taken of it."""
ROWS, STRETCHES = 60, 6
"""How many rows are tried, and stretches of each."""
SHORT_RUNS = 2, 3, 4
"""How many swaras a crooked row runs one way."""
WIDEST_TURN = 5
"""Semitones from the end of one such run to the beginning of the next."""
SAME_WAY = 0.25
"""How often the next one goes the same way."""
FORESEEN = 2, 3, 4, 5, 6
"""Moves up and down after so many of which they do not all come again at once."""
STRAIGHT = 5
"""So many moves one way are too many."""
LOOKS_BACK = 3
"""Swaras with which a crooked row's next run must be admitted."""


@dataclass(frozen=True, slots=True)
class Row:
    """A row, the places at which a stretch of it may begin and end, and those of which it must hold
    one; () for none."""

    steps: Steps
    starts: Sequence[int]
    ends: Sequence[int]
    holds: Sequence[int] = ()

    def stretches(self, counts: Sequence[int], *, anyhow: bool) -> list[Steps]:
        """Those of so many swaras; `anyhow` those, too, that begin and end anywhere."""
        every = range(len(self.steps))
        starts, ends = (every, every) if anyhow else (self.starts, self.ends)
        return [
            self.steps[start : start + count]
            for start in starts
            for count in counts
            if start + count - 1 in ends
            and (not self.holds or any(start < at < start + count - 1 for at in self.holds))
        ]


NO_ROW = Row((), (), ())
Maker = Callable[[Fresh, Raga, tuple[int, int], int], Row]


def run_of(
    fresh: Fresh,
    raga: Raga,
    sort: str,
    counts: Sequence[int],
    register: Sequence[str],
    *,
    anyhow: bool = False,
) -> Steps:
    """A row of one of so many swaras that ends on a rest; empty where the raga bears none.

    `anyhow` it may begin and end in the midst of a run, which short ones must.
    """
    if not _ever(raga, sort):
        return ()
    span = span_of(register)
    for _ in range(ROWS):
        row = MAKERS[sort](fresh, raga, span, max(counts) + MARGIN)
        rests = rests_of(raga)
        fitting = [each for each in row.stretches(counts, anyhow=anyhow) if each[-1] % 12 in rests]
        for steps in fresh.weighted(fitting, [1.0] * len(fitting), STRETCHES):
            swaras = swaras_at(steps)
            if admits(raga, swaras) and surely_breaks(raga, swaras) is None:
                return steps
    return ()


def span_of(register: Sequence[str]) -> tuple[int, int]:
    """The lowest and the highest step of a row through these saptaks."""
    lows, highs = zip(*(SAPTAK_SPANS[saptak] for saptak in register), strict=True)
    return min(lows), max(highs)


@cache
def rests_of(raga: Raga) -> frozenset[int]:
    """Semitones above any Sa on which a tan may end."""
    return semitones_of({*raga.nyas.value, *raga.vadi.value, "S"})


@cache
def ways_of(raga: Raga) -> tuple[Steps, Steps]:
    """The way up and the way down through all saptaks, both rising; empty where it turns."""
    scale = raga.scale.value
    return (
        () if raga.vakra_up else _ladder(scale.up),
        () if raga.vakra_down else _ladder(scale.down),
    )


def _ever(raga: Raga, sort: str) -> bool:
    """Whether the raga has ways for this sort at all."""
    up, down = ways_of(raga)
    return bool(up or down) if sort == "chhut" else bool(up and down)


def _ladder(letters: frozenset[str]) -> Steps:
    own = semitones_of(letters)
    return tuple(step for step in range(LOWEST_STEPS, HIGHEST_STEPS + 1) if step % 12 in own)


def _within(way: Steps, span: tuple[int, int]) -> Steps:
    return tuple(step for step in way if span[0] <= step <= span[1])


def _straight(fresh: Fresh, raga: Raga, span: tuple[int, int], count: int) -> Row:
    """Up and down by turns, turning at the ends of the span or a little before."""
    up, down = (_within(way, span) for way in ways_of(raga))
    least = min(LEG, _fewest(raga))
    if len(up) <= least or len(down) <= least:
        return NO_ROW
    rises = fresh.between(0, 1) < 0.5
    steps = [up[0] if rises else down[-1]]
    while len(steps) < count:
        here = steps[-1]
        ahead = [step for step in up if step > here] if rises else []
        ahead = ahead or [step for step in reversed(down) if step < here]
        spare = max(0, min(3, len(ahead) - least))
        steps += ahead[: len(ahead) - int(fresh.between(0, spare + 1))]
        rises = not rises
    if len(ahead) < ENDING:
        return NO_ROW
    return _row(steps)


def _leaping(fresh: Fresh, raga: Raga, span: tuple[int, int], count: int) -> Row:
    """Straight down, and from its end an octave up to go on down; or all of it the other way."""
    up, down = ways_of(raga)
    rises = fresh.between(0, 1) >= FALLS if up and down else bool(up)
    way = up if rises else down[::-1]
    back = -12 if rises else 12
    if not way:
        return NO_ROW
    least, place, run = min(LEAPING_LEG, _fewest(raga)), int(fresh.between(0, 3)), 1
    steps = [way[place]]
    while len(steps) < count:
        ends = place + 1 == len(way) or not span[0] - 2 <= way[place + 1] <= span[1]
        leaps = steps[-1] + back in way and run >= least
        if leaps and (ends or fresh.between(0, 1) < 0.3):
            place, run = way.index(steps[-1] + back), 1
        elif place + 1 < len(way):
            place, run = place + 1, run + 1
        else:
            return NO_ROW
        steps.append(way[place])
    leapt = tuple(at for at, (a, b) in enumerate(pairwise(steps)) if abs(b - a) == 12)
    row = _row(steps)
    return Row(row.steps, row.starts, row.ends, leapt)


def _fewest(raga: Raga) -> int:
    """How many swaras an octave has on the sparser of its ways."""
    return min(len({step % 12 for step in way}) for way in ways_of(raga) if way)


def _row(steps: Sequence[int]) -> Row:
    """A straight row that begins and ends where some swaras run the same way."""
    moves = [b - a for a, b in pairwise(steps)]
    alike = [
        at
        for at in range(len(moves) - ENDING + 2)
        if len({move > 0 for move in moves[at : at + ENDING - 1]}) == 1
        and max(map(abs, moves[at : at + ENDING - 1])) < 12
    ]
    return Row(tuple(steps), alike, [at + ENDING - 1 for at in alike])


def _crooked(fresh: Fresh, raga: Raga, span: tuple[int, int], count: int) -> Row:
    """Short runs up and down by its ways, of now so many swaras and now so many, each from a swara
    near the end of the last: no figure comes again at once."""
    up, down = (_within(way, span) for way in ways_of(raga))
    if min(len(up), len(down)) <= max(SHORT_RUNS) + 1:
        return NO_ROW
    steps = [fresh.one_of(up)]
    rises = fresh.between(0, 1) < 0.5
    while len(steps) < count:
        for rising in (rises, not rises):
            if run := _next_run(fresh, raga, steps, up if rising else down[::-1]):
                break
        else:
            return NO_ROW
        steps += run
        rises = rising if fresh.between(0, 1) < SAME_WAY else not rising
    every = range(len(steps))
    return Row(tuple(steps), every, every)


def _next_run(fresh: Fresh, raga: Raga, steps: Sequence[int], way: Steps) -> Steps:
    """A short run along a way that begins near by; () where none is unforeseen."""
    scale = sorted(set(ways_of(raga)[0]) | set(ways_of(raga)[1]))
    for size in fresh.shuffled(SHORT_RUNS):
        runs = [
            run
            for place, begin in enumerate(way[: len(way) - size + 1])
            if 0 < abs(begin - steps[-1]) <= WIDEST_TURN
            and not _is_foreseen(scale, (*steps, *(run := way[place : place + size])))
            and admits(raga, swaras_at((*steps[-LOOKS_BACK:], *run)))
        ]
        if runs:
            return fresh.one_of(runs)
    return ()


def _is_foreseen(scale: Sequence[int], steps: Sequence[int]) -> bool:
    """Whether the last moves by steps of the scale are those before them, at any of the last
    swaras, or go the same way for too long."""
    places = [scale.index(step) for step in steps[-3 * max(FORESEEN) :]]
    moves = [b - a for a, b in pairwise(places)]
    return any(
        moves[at - size : at] == moves[at - 2 * size : at - size]
        for at in range(max(0, len(moves) - max(SHORT_RUNS)) + 1, len(moves) + 1)
        for size in FORESEEN
        if at >= 2 * size and len(set(moves[at - size : at])) > 1
    ) or any(
        all(move > 0 for move in moves[at : at + STRAIGHT])
        or all(move < 0 for move in moves[at : at + STRAIGHT])
        for at in range(len(moves) - STRAIGHT + 1)
    )


def _figured(fresh: Fresh, raga: Raga, span: tuple[int, int], count: int) -> Row:
    """A palta, moved up from swara to swara and down again, and so on."""
    up, down = (_within(way, span) for way in ways_of(raga))
    figure = fresh.one_of(FIGURES)
    widest = max(figure)
    if min(len(up), len(down)) < widest + TIMES:
        return NO_ROW
    way, at, steps = up, int(fresh.between(0, 2)), list[int]()
    since = 0
    while len(steps) < count:
        if at + widest >= len(way):
            if since < TIMES:
                return NO_ROW
            way = down[::-1] if way is up else up
            turned = way is not up
            last = steps[-len(figure) + figure.index(widest)]
            at = next(
                (
                    place
                    for place, step in enumerate(way)
                    if (step <= last if turned else step >= last)
                ),
                len(way),
            )
            since = 0
            continue
        steps += [way[at + step] for step in figure]
        at, since = at + 1, since + 1
    starts = range(0, len(steps), len(figure))
    return Row(tuple(steps), starts, starts)


MAKERS: dict[str, Maker] = {
    "sapat": _straight,
    "kut": _crooked,
    "alankarik": _figured,
    "chhut": _leaping,
}
"""By the name that a stage has for them; gamak is phrases of the raga, shaken."""
