"""`order`: the stages of a performance, or of one of its parts: put them into their order.

Every order that the partial order allows is right; an order that breaks some of the pairs that are
fixed or usual gets credit for those that it keeps. The levels are how many stages there are. Many
are taken from a whole performance with some of its stages divided into their own parts.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from itertools import combinations, islice
from math import factorial

from quizzes.errors import UnknownSkill
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import counted, number_word
from quizzes.question import KEYS_APART, Choice, Mark, Question, Setting, Skill
from quizzes.ragas.asking import label_of
from quizzes.ragas.said import raga_name
from quizzes.stages.asking import StageKind, named, raga_suiting, stage_name, title_of
from quizzes.stages.frames import (
    Frame,
    frames_of,
    from_memory,
    opened,
    ordered_divisions,
    ordered_share,
    told_apart,
)
from quizzes.stages.glimpses import MOST_HEARD, RAGA_HEARD, in_orders, opening
from quizzes.stages.order import nearest
from quizzes.stages.stage import Division, Form
from quizzes.stages.tradition import form
from quizzes.stages.wholes import division_title
from quizzes.stages.wording import broken_in_words, kept_in_words
from words import say, say_many, to_say

FEWEST, MOST = 3, 9
WHOLE = 4
"""A part of a performance is asked with so many of its stages or more, where it has as many."""
DIVIDED_FROM = 7
"""From so many on, stages of a performance come divided."""
LEAST_ORDERED = 2 / 3
"""The share of pairs of which one comes first: were it less, most orders would be right."""
MOST_RIGHT = 12
"""How many orders are right at most."""
SECONDS = 8.0, 7.0
"""What an order takes, and what each stage of it takes besides."""


class OrderKind(StageKind):
    name = "order"
    title = to_say("Stages of a performance: put them into their order")

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        return tuple(
            self._skill(division, size)
            for division in ordered_divisions(known)
            for size in _sizes(known, division)
        )

    def name_of(self, skill: str) -> str:
        return _name(*self._asked(skill, form()))

    def several(self, count: int) -> str:
        return counted(count, "{number} order of stages", "{number} orders of stages")

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        known = form(setting.tradition)
        division, size = self._asked(skill, known)
        fresh = Fresh(skill, seed)
        stages = _drawn(fresh, known, division, size, setting.stages)
        right = list(known.order.orders(stages))
        offered = fresh.shuffled(stages)
        while known.order.allows(offered):
            offered = fresh.shuffled(stages)
        raga = raga_suiting(fresh, setting, known, stages)
        cue, sargam = opening(skill, seed, setting, raga, offered)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=_prompt(division, size, raga_name(raga)),
            choices=tuple(Choice(stage, title_of(known, stage)) for stage in offered),
            right=tuple(KEYS_APART.join(each) for each in right),
            cue=cue,
            sargam=sargam,
            answer_on="order",
            detail={"raga": raga.id},
            places=size,
            fewest=size,
            lines=factorial(size) - 1,  # all but the one in which they are offered
        )

    def mark(self, question: Question, given: str) -> Mark:
        order, put = form(question.setting.tradition).order, _put(question, given)
        stages = [choice.id for choice in question.choices]
        if len(put) == len(stages):
            return Mark(float(order.share_kept(put)))
        pairs, kept = order.pairs(stages), len(order.pairs(put)) - len(order.broken(put))
        return Mark(kept / len(pairs) * len(put) / len(stages))

    def explain(self, question: Question, given: str) -> Explanation:
        known, answered = form(question.setting.tradition), _put(question, given)
        rights = [question.written(each) for each in question.right]
        right = nearest(answered, rights)
        is_right = answered in rights
        if is_right:
            why = [kept_in_words(Fresh("why", question.seed), known, answered)]
        else:
            left_out = [stage for stage in right if stage not in answered]
            why = [
                *broken_in_words(known, answered),
                *(_left_out(known, stage) for stage in left_out),
            ]
        right_cue, given_cue = in_orders(question, right, answered)
        return Explanation(
            right_label=label_of(question, KEYS_APART.join(right)),
            given_label=label_of(question, given),
            why="\n".join(why),
            right_cue=right_cue,
            given_cue=None if is_right else given_cue,
            given_plays="" if is_right else say("the same stages in your order"),
        )

    def introduce(self, question: Question) -> str:
        known = form(question.setting.tradition)
        right = question.written(question.right[0])
        told = kept_in_words(Fresh("told", question.seed), known, right)
        order = named(known, right)
        if len(question.right) == 1:
            return f"{say('The order is {order}.', order=order)} {told}"
        return f"{say('One right order is {order}.', order=order)} {told}"

    def _skill(self, division: Division, size: int) -> Skill:
        return Skill(
            id=f"{self.name}:{division.id}:{size}",
            kind=self.name,
            name=_name(division, size),
            family="orders",
            cluster=f"order of {division.id}",
            chance=1 / (factorial(size) - 1),
            seconds=SECONDS[0] + SECONDS[1] * size,
        )

    def _asked(self, skill: str, known: Form) -> tuple[Division, int]:
        name, size = self.parts_of(skill, 2)
        division = known.divisions.get(name)
        if division is None or not size.isdecimal() or int(size) not in _sizes(known, division):
            raise UnknownSkill(f"{skill!r} is not asked in this order of stages")
        return division, int(size)


def _name(division: Division, size: int) -> str:
    return say_many(
        "{whole}: {number} stage in order",
        "{whole}: {number} stages in order",
        size,
        whole=division_title(division),
        number=number_word(size),
    )


def _left_out(known: Form, stage: str) -> str:
    return say("{stage} was left out.", stage=stage_name(known, stage, begins=True))


def _put(question: Question, given: str) -> tuple[str, ...]:
    """The stages as they were put, each once; a log may hold a line without some of them."""
    return tuple(dict.fromkeys(question.written(given)))


def _prompt(division: Division, size: int, raga: str) -> str:
    put = say("{whole}: put these stages into their order.", whole=division_title(division))
    if size > MOST_HEARD:
        return f"{put} {say(RAGA_HEARD, raga=raga)}"
    heard = say("You hear a moment of each in {raga}, in the order of the list.", raga=raga)
    return f"{put} {heard}"


def _sizes(known: Form, division: Division) -> list[int]:
    """With how many stages a division is asked."""
    if not division.ordered:
        return []
    found = [size for size in range(FEWEST, MOST + 1) if _can_be_asked(known, division, size)]
    return found if not division.of else [size for size in found if size >= WHOLE] or found


def _can_be_asked(known: Form, division: Division, size: int) -> bool:
    return any(
        _is_asked(known, stages)
        for frame in _frames(known, division, size)
        for stages in combinations(frame, size)
    )


def _frames(known: Form, division: Division, size: int) -> Iterator[Frame]:
    for frame in frames_of(known, division):
        if division.of or size < DIVIDED_FROM:
            yield frame
        else:
            yield from opened(known, frame)


def _drawn(
    fresh: Fresh, known: Form, division: Division, size: int, begun: Collection[str]
) -> tuple[str, ...]:
    """So many stages, if possible all of which the student has been asked before."""
    frames = fresh.shuffled(list(_frames(known, division, size)))
    begun_of = [tuple(stage for stage in frame if stage in begun) for frame in frames]
    return next(
        stages
        for frame in (*begun_of, *frames)
        for stages in _in_some_order(fresh, combinations(frame, size))
        if _is_asked(known, stages)
    )


def _in_some_order(fresh: Fresh, sets: Iterable[Frame]) -> Iterator[Frame]:
    """Each of them once, as `Fresh.shuffled` would; most are never come to."""
    rest = list(sets)
    while rest:
        at = int(fresh.between(0, len(rest)))
        rest[at], rest[-1] = rest[-1], rest[at]
        yield rest.pop()


def _is_asked(known: Form, stages: Frame) -> bool:
    return (
        ordered_share(known, stages) >= LEAST_ORDERED
        and not from_memory(known, stages)
        and told_apart(known, stages)
        and len(list(islice(known.order.orders(stages), MOST_RIGHT + 1))) <= MOST_RIGHT
    )
