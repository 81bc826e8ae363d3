"""What the ways of asking about tihais share: skills, words, and numbers to choose among."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import cache
from itertools import combinations

from quizzes.errors import not_asked
from quizzes.names import ORDINALS, counted, number_word
from quizzes.question import Choice, Skill
from quizzes.talas.cycle import in_figures, mixed
from quizzes.talas.tihai import Tihai
from quizzes.talas.wording import at_place
from quizzes.ways import Way

ABOUT = (
    "A tihai is a phrase three times over with equal gaps, so that its last stroke falls on sam; "
    "with gaps it is called damdar, without them bedam. The last stroke of a phrase counts for one "
    "matra."
)
CHOICES = 4
WIDTH = 6
"""So many values that follow one another are near."""


class TihaiWay(Way):
    """One way of asking; its skills are few and go by level."""

    way: str

    def skills(self) -> tuple[Skill, ...]:
        raise NotImplementedError

    def level_of(self, skill: str) -> str:
        """The last part of a skill's id. Raises UnknownSkill."""
        if skill not in {each.id for each in self.skills()}:
            raise not_asked(skill, "tihai")
        return skill.rpartition(":")[2]


def tihai_skill(
    way: str, level: str, name: str, *, chance: float, seconds: float, family: str = "perception"
) -> Skill:
    return Skill(
        id=f"tihai:{way}:{level}",
        kind="tihai",
        name=name,
        family=family,
        cluster=f"tihai {way}",
        chance=chance,
        seconds=seconds,
    )


_PARTS = {Fraction(1, 4): "a quarter", Fraction(1, 2): "half", Fraction(3, 4): "three quarters"}
_MORE = {Fraction(1, 4): "a quarter", Fraction(1, 2): "a half", Fraction(3, 4): "three quarter"}


def in_words(matras: Fraction) -> str:
    """`one matra`, `two and a half matras`, `three quarters of a matra`, `no matras`."""
    whole, part = divmod(matras, 1)
    if not part:
        return counted(int(whole), "matra")
    if not whole:
        return "half a matra" if part == Fraction(1, 2) else f"{_PARTS[part]} of a matra"
    return f"{number_word(int(whole))} and {_MORE[part]} matras"


def with_gaps(gap: Fraction) -> str:
    """`without a gap` or `with gaps of 1 1/2 matras`."""
    return f"with gaps of {in_figures(gap)}" if gap else "without a gap"


def gap_label(gap: Fraction) -> str:
    """`0: no gap`, `1 1/2: one and a half matras`."""
    return f"{mixed(gap)}: {in_words(gap) if gap else 'no gap'}"


def fallen(tihai: Tihai, start: Fraction, cycle: int) -> str:
    """Where its last stroke falls: `on sam`, `half way into matra 16, half a matra before sam`."""
    off = tihai.after_sam(start, cycle)
    if off == 0:
        return "on sam"
    side = "after" if off > 0 else "before"
    return f"{at_place(tihai.falls(start, cycle))}, {in_words(abs(off))} {side} sam"


def sam_reached(tihai: Tihai, start: Fraction, cycle: int) -> str:
    """To which sam a tihai that lands comes: `sam`, `the next sam`, `the third sam after it`."""
    number = int((start + tihai.ends[-1]) // cycle)
    if number == 1:
        return "sam" if start else "the next sam"
    return f"the {ORDINALS[number - 1]} sam after it" if number <= len(ORDINALS) else "a later sam"


def reckoned(tihai: Tihai) -> str:
    """`3 x 5 + 2 x 1 = 17`."""
    phrases = f"3 x {mixed(tihai.phrase)}"
    gaps = "" if tihai.is_bedam else f" + 2 x {mixed(tihai.gap)}"
    return f"{phrases}{gaps} = {mixed(tihai.matras)}"


def counted_on(tihai: Tihai, start: Fraction, cycle: int) -> str:
    """Where its last stroke falls, as a sum that can be followed: so many matras on from its
    beginning, less the cycles gone by."""
    begun = start + 1
    last = begun + tihai.ends[-1]
    cycles = int((last - 1) // cycle)
    times = f"{cycles} x " if cycles > 1 else ""
    less = f", less {times}{cycle} is {mixed(last - cycles * cycle)}" if cycles else ""
    return (
        f"Begun {at_place(start)}, it takes {reckoned(tihai)} matras, the last one for its last "
        f"stroke. {mixed(begun)} + {mixed(tihai.matras)} - 1 = {mixed(last)}{less}: its last "
        f"stroke falls {fallen(tihai, start, cycle)}."
    )


@cache
def near_sets(
    values: tuple[Fraction, ...], period: Fraction | None = None
) -> tuple[tuple[Fraction, ...], ...]:
    """Sets of values to choose among, near one another, in their order.

    Any of a set may be right: it is drawn first and then, alike, which of it is. So the set tells
    nothing. No two differ by whole periods, since both would be right.
    """
    for size in range(CHOICES, 1, -1):
        found = {
            some: None
            for first in range(len(values))
            for some in combinations(values[first : first + WIDTH], size)
            if period is None or len({value % period for value in some}) == size
        }
        if found:
            return tuple(found)
    raise ValueError(f"of {values} no two differ")


def as_choices(numbers: Sequence[Fraction], labels: Sequence[str]) -> tuple[Choice, ...]:
    """Choices whose ids are the numbers: `3/2`."""
    return tuple(Choice(str(number), label) for number, label in zip(numbers, labels, strict=True))
