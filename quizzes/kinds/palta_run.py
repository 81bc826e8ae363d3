"""Part of a palta's run: its groups on a scale, where hands are at ease, and how they sound."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import product

from audio.line import Line
from audio.sargam import parse, write
from audio.score import Score
from audio.tuning import Swara
from quizzes.contours import HIGHEST, LOWEST, THATS
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.met import scales_met
from quizzes.names import in_sargam
from quizzes.paltas import Group, Layout, Palta, Shape, group_from, layouts
from quizzes.phrases import ladder_of
from quizzes.question import KEYS_APART, Question, Setting
from quizzes.ragas.asking import drawn_in, played_line
from quizzes.ragas.evidence import swaras_of
from quizzes.ragas.sounding import SLOWER, cue_of
from words import in_script

RATE = 2.4, 3.1
"""Swaras a second, from and to, in a matra without holds."""
EXPLAINED_RATE = 2.6
GROUPS_APART = " | "
PAUSE_MATRAS = Fraction(1)
"""Between groups that are heard apart."""
GROUPS_KEPT = 8192
"""Walks are sought among many, by the same groups again and again."""

Numbers = Iterable[int]


@dataclass(frozen=True, slots=True)
class Walk:
    """Where the groups of a run start: on the swaras of a scale that are in hand, from the
    `first` of them on, upward or downward; groups are numbered from 0."""

    scale: tuple[str, ...]
    first: int
    falling: bool

    def group(self, shape: Shape, number: int) -> Group | None:
        """The group of this number; None where it leaves what is in hand."""
        return _group(self, shape, number)

    def groups(self, shape: Shape, numbers: Numbers) -> tuple[Group, ...]:
        """Those groups of these numbers that are in hand."""
        found = (self.group(shape, number) for number in numbers)
        return tuple(group for group in found if group is not None)


@lru_cache(maxsize=GROUPS_KEPT)
def _group(walk: Walk, shape: Shape, number: int) -> Group | None:
    ladder = in_hand(walk.scale)
    at = walk.first + (-number if walk.falling else number)
    if not 0 <= at < len(ladder):
        return None
    group = group_from(shape, walk.scale, ladder[at], falling=walk.falling)
    return group if group is not None and set(group) <= set(ladder) else None


def in_hand(scale: Sequence[str]) -> Group:
    """The swaras of a scale where hands are at ease, from low to high."""
    return _in_hand(ladder_of(scale))


@lru_cache(maxsize=256)
def _in_hand(ladder: Group) -> Group:
    return tuple(s for s in ladder if LOWEST.steps <= s.steps <= HIGHEST.steps)


def fresh_walk(
    fresh: Fresh,
    shapes: Sequence[Shape],
    count: int,
    *,
    met: bool,
    setting: Setting,
    rising: bool = False,
) -> Walk:
    """A walk of so many groups that are in hand for each of these shapes, in a scale of swaras that
    are met; of what was not asked before, upward in Bilawal and near to Sa."""
    scale = tuple((fresh.one_of(scales_met(setting)) if met else THATS[0]).split())
    falling = met and not rising and fresh.one_of((False, True))
    fitting = walks(scale, shapes, count, falling=falling)
    if met:
        return fresh.one_of(fitting)
    home = in_hand(scale).index(Swara(0))
    return min(fitting, key=lambda walk: abs(walk.first - home))


def walks(
    scale: tuple[str, ...], shapes: Sequence[Shape], count: int, *, falling: bool
) -> list[Walk]:
    """All walks of so many groups on a scale, one way."""
    every = (Walk(scale, first, falling) for first in range(len(in_hand(scale))))
    return [
        walk
        for walk in every
        if all(walk.group(shape, n) for shape, n in product(shapes, range(count)))
    ]


def fresh_layout(fresh: Fresh, some: Sequence[Palta], *, met: bool) -> Layout:
    """A layout that all of these paltas take; of what was not asked before, the usual one."""
    shared = [each for each in some[0].layouts if all(each in other.layouts for other in some)]
    return layouts()[fresh.one_of(shared) if met else shared[0]]


def tempo_of(layout: Layout, rate: float) -> float:
    """Matras a minute at so many swaras a second."""
    return 60.0 * rate / layout.swaras_to_matra


def cue_for(fresh: Fresh, setting: Setting, line: Line, layout: Layout) -> Score:
    """The line as it is asked."""
    low, high = (tempo_of(layout, rate) for rate in RATE)
    return cue_of(
        fresh,
        line,
        sa_hz=setting.sa_hz,
        tuning=setting.tuning,
        drone="P",
        tempo=(low, high),
    )


def explained(
    question: Question,
    given: str,
    *,
    why: str,
    layout: Layout,
    line: Line,
    deciding: Iterable[int],
    given_line: Line | None,
    given_plays: str,
) -> Explanation:
    """The line drawn as it was asked, evenly, and what was answered, at the pace of a palta."""
    right = given in question.right
    tempo = tempo_of(layout, EXPLAINED_RATE)
    played = played_line(question, line, tempo=tempo)
    return Explanation(
        right_label=_label(question, question.right[0]),
        given_label=_label(question, given),
        why=why,
        right_cue=played,
        given_cue=None
        if right or given_line is None
        else played_line(question, given_line, tempo=tempo),
        given_plays="" if right else given_plays,
        slow_cue=played_line(question, line, tempo=tempo * SLOWER),
        drawn=drawn_in(line, played, tuple(deciding), tempo=tempo),
        right_written=in_script(write(line)),
        given_written="" if right or given_line is None else in_script(write(given_line)),
    )


def _label(question: Question, given: str) -> str:
    """The label of a choice; a line that was written, as it is."""
    if question.is_line:
        return in_script(KEYS_APART.join(question.written(given)))
    return question.choice(given).label


def told(groups: Iterable[Group]) -> str:
    """`S R G | R G m`, in Latin letters, for logs."""
    return GROUPS_APART.join(map(in_sargam, groups))


def shown(groups: Iterable[Group]) -> str:
    """The same in the letters in use, for readers only."""
    return in_script(told(groups))


def read_groups(text: str) -> tuple[Group, ...]:
    """The groups of what `told` has written."""
    return tuple(swaras_of(parse(group)) for group in text.split(GROUPS_APART))


def usual_group(palta: Palta) -> Group:
    """Its group in Bilawal, Sa the lowest swara."""
    scale = THATS[0].split()
    start = ladder_of(scale)[ladder_of(scale).index(Swara(0)) - min(palta.shape)]
    group = group_from(palta.shape, scale, start)
    assert group is not None  # no palta spans more than a saptak
    return group
