"""What all questions on prastara share: a few swaras, their orders, and how these sound.

Swaras stand from low to high in the first order, so that who hears them knows with which the
succession begins. Which orders are offered is drawn before it is drawn which of them is right, so
that the offer tells nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import islice

from audio.line import Beat, Line, Tone
from audio.sargam import parse
from audio.tuning import Swara
from quizzes.contours import THATS
from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.met import scales_met
from quizzes.names import in_letters, in_sargam
from quizzes.paltas.prastara import index_of, order_at, orders
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import explanation_of
from quizzes.ragas.evidence import swaras_of
from quizzes.ragas.several import one_after_another, written_apart
from quizzes.ragas.sounding import cue_of
from words import say

KIND = "prastara"
OFFERED = 4
SWARA_MATRAS = Fraction(1, 2)
PAUSE_MATRAS = Fraction(1)
TEMPO = 54.0, 66.0
"""In matras a minute; two swaras to a matra."""
SHOWN = 7
"""So many of the orders of four swaras are written out."""
MOST_LEFT_OUT = 1
"""Between the lowest and the highest of the swaras at most so many of the scale are left out."""

Order = tuple[Swara, ...]


class PrastaraWay:
    """One way of asking about the orders of so many swaras."""

    way: str
    sizes: tuple[int, ...]
    """Of how many swaras."""
    seconds: float

    def skills(self) -> tuple[Skill, ...]:
        return tuple(
            Skill(
                id=f"{KIND}:{self.way}:{size}",
                kind=KIND,
                name=self.named(size),
                family="facts",
                cluster=f"{KIND} {self.way}",
                chance=1 / OFFERED,
                seconds=self.seconds,
            )
            for size in self.sizes
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        size = self.size_of(skill)
        fresh = Fresh(skill, seed)
        swaras = fresh_swaras(fresh, size, setting, met=skill in setting.met)
        offered = self.offered(fresh, size)
        at = fresh.one_of(offered)
        lines = [sounding(order) for order in self.heard(swaras, at)]
        return Question(
            kind=KIND,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=self.prompt(size),
            choices=tuple(self.choice(order_at(swaras, n), n) for n in offered),
            right=(self.choice(order_at(swaras, at), at).id,),
            cue=cue_of(
                fresh,
                one_after_another(lines, PAUSE_MATRAS),
                sa_hz=setting.sa_hz,
                tuning=setting.tuning,
                drone="P",
                tempo=TEMPO,
            ),
            sargam=written_apart(lines),
            detail={"swaras": in_sargam(swaras)},
        )

    def size_of(self, skill: str) -> int:
        """How many swaras a skill asks of. Raises UnknownSkill."""
        for size in self.sizes:
            if skill == f"{KIND}:{self.way}:{size}":
                return size
        raise not_asked(skill, KIND)

    def name_of(self, skill: str) -> str:
        """What a skill is called. Raises UnknownSkill."""
        return self.named(self.size_of(skill))

    def named(self, size: int) -> str:
        """What the skill of so many swaras is called. Overridden by each."""
        raise NotImplementedError

    def prompt(self, size: int) -> str:
        """Overridden by each."""
        raise NotImplementedError

    def offered(self, fresh: Fresh, size: int) -> list[int]:
        """Places in the succession, from 0, any of which may be right. Overridden by each."""
        raise NotImplementedError

    def heard(self, swaras: Order, at: int) -> list[Order]:
        """What sounds where the order at this place is right. Overridden by each."""
        raise NotImplementedError

    def choice(self, order: Order, at: int) -> Choice:
        """The order at a place, from 0; its number is no part of it, or it would be its key."""
        return Choice("".join(map(str, order)), in_letters(order))

    def place_of(self, question: Question, given: str) -> int:
        """Where in the succession the order of a choice stands, from 0."""
        return index_of(swaras_in(question), swaras_of(parse(given)))

    def explain(self, question: Question, given: str) -> Explanation:
        raise NotImplementedError

    def introduce(self, question: Question) -> str:
        raise NotImplementedError

    def told(
        self,
        question: Question,
        given: str,
        *,
        why: str,
        orders: Sequence[Order],
        deciding: Sequence[int],
        given_orders: Sequence[Order],
        given_plays: str,
    ) -> Explanation:
        """The explanation that plays these orders one after the other."""
        return explanation_of(
            question,
            given,
            why=why,
            line=one_after_another([*map(sounding, orders)], PAUSE_MATRAS),
            deciding=deciding,
            given_line=one_after_another([*map(sounding, given_orders)], PAUSE_MATRAS),
            given_plays=given_plays,
        )


def fresh_swaras(fresh: Fresh, size: int, setting: Setting, *, met: bool) -> Order:
    """So many swaras of a scale that is met, near together in the middle saptak, from low to high;
    from Sa up in Bilawal where this was not asked before."""
    if not met:
        return scale_of(THATS[0])[:size]
    scale = scale_of(fresh.one_of(scales_met(setting)))
    span = size + fresh.one_of(range(MOST_LEFT_OUT + 1))
    start = fresh.one_of(range(len(scale) - span + 1))
    inner = fresh.shuffled(range(1, span - 1))[: size - 2]
    return tuple(scale[start + place] for place in (0, *sorted(inner), span - 1))


def scale_of(letters: str) -> Order:
    """The swaras of a that in the middle saptak, from low to high."""
    return tuple(map(Swara.read, letters.split()))


def swaras_in(question: Question) -> Order:
    """The swaras of a question from low to high."""
    return swaras_of(parse(question.detail["swaras"]))


def all_orders(swaras: Order) -> str:
    """`S R G, R S G, S G R` and on to the last; of more than three swaras the first seven, which
    show how the last one changes."""
    if len(swaras) <= 3:
        return ", ".join(map(in_letters, orders(swaras)))
    some = ", ".join(map(in_letters, islice(orders(swaras), SHOWN)))
    return say("{some} and so on", some=some)


def sounding(order: Sequence[Swara]) -> Line:
    """An order, evenly."""
    return Line((Beat(tuple(map(Tone, order)), SWARA_MATRAS * len(order)),))
