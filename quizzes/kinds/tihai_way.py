"""What the ways of asking about tihais share: skills, words, and numbers to choose among."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import cache
from itertools import combinations

from quizzes.errors import not_asked
from quizzes.names import counted, number_word
from quizzes.question import Choice, Skill
from quizzes.talas.cycle import in_figures, mixed
from quizzes.talas.tihai import Tihai
from quizzes.talas.wording import at_place
from quizzes.ways import Way
from words import say, to_say

ABOUT = to_say(
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

    def names(self) -> Mapping[str, str]:
        """The names of its skills by level, to be said."""
        raise NotImplementedError

    def name_of(self, skill: str) -> str:
        return say(self.names()[self.level_of(skill)])

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
        name=say(name),
        family=family,
        cluster=f"tihai {way}",
        chance=chance,
        seconds=seconds,
    )


_PARTS = {
    Fraction(1, 4): to_say("a quarter of a matra"),
    Fraction(1, 2): to_say("half a matra"),
    Fraction(3, 4): to_say("three quarters of a matra"),
}
_MORE = {
    Fraction(1, 4): to_say("{number} and a quarter matras"),
    Fraction(1, 2): to_say("{number} and a half matras"),
    Fraction(3, 4): to_say("{number} and three quarter matras"),
}
_OWN_WORDS = {
    Fraction(5, 4): to_say("one and a quarter matras"),
    Fraction(3, 2): to_say("one and a half matras"),
    Fraction(7, 4): to_say("one and three quarter matras"),
    Fraction(5, 2): to_say("two and a half matras"),
    Fraction(11, 4): to_say("two and three quarter matras"),
    Fraction(15, 4): to_say("three and three quarter matras"),
}
"""Numbers that have a word of their own in some languages."""


def in_words(matras: Fraction) -> str:
    """`one matra`, `two and a half matras`, `three quarters of a matra`, `no matras`."""
    whole, part = divmod(matras, 1)
    if not part:
        return counted(int(whole), "{number} matra", "{number} matras")
    if not whole:
        return say(_PARTS[part])
    if matras in _OWN_WORDS:
        return say(_OWN_WORDS[matras])
    return say(_MORE[part], number=number_word(int(whole)))


def with_gaps(gap: Fraction) -> str:
    """`without a gap` or `with gaps of 1 1/2 matras`."""
    return say("with gaps of {matras}", matras=in_figures(gap)) if gap else say("without a gap")


def gap_label(gap: Fraction) -> str:
    """`0: no gap`, `1 1/2: one and a half matras`."""
    return f"{mixed(gap)}: {in_words(gap) if gap else say('no gap')}"


def fallen(tihai: Tihai, start: Fraction, cycle: int) -> str:
    """Where its last stroke falls: `on sam`, `half way into matra 16, half a matra before sam`."""
    off = tihai.after_sam(start, cycle)
    if off == 0:
        return say("on sam")
    told = {"place": at_place(tihai.falls(start, cycle)), "matras": in_words(abs(off))}
    if off > 0:
        return say("{place}, {matras} after sam", **told)
    return say("{place}, {matras} before sam", **told)


def sam_reached(tihai: Tihai, start: Fraction, cycle: int) -> str:
    """To which sam a tihai that lands comes: `sam`, `the next sam`, `the third sam after it`."""
    number = int((start + tihai.ends[-1]) // cycle)
    if number == 1:
        return say("sam") if start else say("the next sam")
    return say(_LATER[number - 2] if number - 2 < len(_LATER) else to_say("a later sam"))


_LATER = (
    to_say("the second sam after it"),
    to_say("the third sam after it"),
    to_say("the fourth sam after it"),
    to_say("the fifth sam after it"),
    to_say("the sixth sam after it"),
    to_say("the seventh sam after it"),
    to_say("the eighth sam after it"),
)


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
    takes = say(
        "Begun {place}, it takes {sum} matras, the last one for its last stroke.",
        place=at_place(start),
        sum=reckoned(tihai),
    )
    told = {
        "begun": mixed(begun),
        "matras": mixed(tihai.matras),
        "last": mixed(last),
        "fallen": fallen(tihai, start, cycle),
    }
    if not cycles:
        falls = say(
            "{begun} + {matras} - 1 = {last}: its last stroke falls {fallen}.",
            **told,
        )
        return f"{takes} {falls}"
    falls = say(
        "{begun} + {matras} - 1 = {last}, less {cycles} is {left}: its last stroke falls {fallen}.",
        **told,
        cycles=f"{cycles} x {cycle}" if cycles > 1 else cycle,
        left=mixed(last - cycles * cycle),
    )
    return f"{takes} {falls}"


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
