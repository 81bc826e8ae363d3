"""`theka:order:jhaptal`: put the vibhags of a theka in order, from sam on.

Vibhags that sound alike may change places, and an order that any known theka of the tala has is
right. Less is worth the pairs that keep their order, above the half that any order keeps.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import combinations
from math import factorial, prod

from audio.theka import BAR
from quizzes.bols import tabla_bols
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.theka_way import (
    ThekaWay,
    cycle_again,
    cycles_of,
    played,
    turning_wheel,
)
from quizzes.names import counted, number_word, ordinal
from quizzes.question import KEYS_APART, Choice, Mark, Question, Setting, Skill
from quizzes.stages.order import nearest
from quizzes.talas.hearing import drawn_theka, kept
from quizzes.talas.sounds import Sound, sounds, vibhags_of
from quizzes.talas.tala import Tala, ThekaText
from quizzes.talas.wording import bols_told
from words import say, to_say

FEWEST_ORDERS = 10
"""Different ones that the vibhags can be put in."""
MOST_VIBHAGS = 8
MOST_RIGHT = 12
SECONDS = 10.0, 4.0
"""What an order takes, and what each vibhag takes besides."""

Vibhag = tuple[Sound, ...]


class Ordering(ThekaWay):
    way = "order"
    asks = to_say("{tala}: its vibhags in order")

    def skill_of(self, tala: Tala) -> Skill | None:
        usable = self.usable(tala)
        if not usable:
            return None
        orders = [_orders(_vibhags(each.bols)) for each in usable]
        count = len(tala.vibhags)
        return self.skill(
            tala,
            chance=1 / min(orders),
            seconds=SECONDS[0] + SECONDS[1] * count,
        )

    def can_use(self, theka: ThekaText) -> bool:
        vibhags = _vibhags(theka.bols)
        return (
            len(vibhags) <= MOST_VIBHAGS
            and _orders(vibhags) >= FEWEST_ORDERS
            and factorial(len(vibhags)) // _orders(vibhags) <= MOST_RIGHT
        )

    def make_of(self, tala: Tala, skill: str, *, seed: int, setting: Setting) -> Question:
        fresh = Fresh(skill, seed)
        theka = drawn_theka(fresh, self.usable(tala), met=skill in setting.met)
        # From sam until it has been met; then, from some other vibhag, sam has to be found as well.
        later = [start - 1 for start in tala.form.starts[1:]]
        begins = fresh.one_of(later) if skill in setting.met else 0
        cue = self.heard(fresh, setting, tala, theka, from_place=begins)
        vibhags = _shuffled(fresh, tala, theka)
        choices, right = _offered(vibhags, tala, theka)
        number = len(choices)
        return Question(
            kind="theka",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=_prompt(tala, begins, twice=any("(" in each.label for each in choices)),
            choices=choices,
            right=right,
            cue=cue.score,
            sargam=cue.written,
            answer_on="order",
            detail={**kept(cue), "vibhags": vibhags},
            places=number,
            fewest=number,
            lines=factorial(number) - 1,  # all but the one in which they are offered
        )

    def mark(self, question: Question, given: str) -> Mark:
        put = _put(question, given)
        rights = [question.written(right) for right in question.right]
        share = max(_share_kept(right, put) for right in rights)
        return Mark(float(max(Fraction(0), 2 * share - 1)))

    def explain(self, question: Question, given: str) -> Explanation:
        tala, put = self.tala_of(question), _put(question, given)
        rights = [question.written(right) for right in question.right]
        right, is_right = nearest(put, rights), put in rights
        cue = cycle_again(question, tala)
        theka = tala.theka_of(cue.theka.bols)
        mine, given_bols = _struck(question, right), _struck(question, put)
        return Explanation(
            right_label=_label(theka, mine),
            given_label=_label(theka, given_bols),
            why=_why(theka, tala, mine, given_bols),
            right_cue=cue.score,
            given_cue=None if is_right else played(question, f" {BAR} ".join(given_bols)),
            given_plays="" if is_right else say("the vibhags in your order"),
            wheel=turning_wheel(cue),
        )

    def introduce(self, question: Question) -> str:
        tala = self.tala_of(question)
        theka = tala.theka_of(question.detail["theka"])
        return say(
            "A theka has its vibhags in one order, from sam on. {tala} has {vibhags}: {bols}.",
            tala=tala.called,
            vibhags=counted(len(tala.vibhags), "{number} vibhag", "{number} vibhags"),
            bols=bols_told(theka),
        )


def _prompt(tala: Tala, begins: int, *, twice: bool) -> str:
    put = say("Put the vibhags of {tala} in order, from sam on.", tala=tala.called)
    alike = " " + say("Those that are alike may change places.") if twice else ""
    return f"{put} {_heard(cycles_of(tala), from_sam=not begins)}{alike}"


def _heard(cycles: int, *, from_sam: bool) -> str:
    if cycles > 1 and from_sam:
        return say("You hear its theka twice, from sam.")
    if cycles > 1:
        return say("You hear its theka twice, not from sam, but from another vibhag.")
    if from_sam:
        return say("You hear its theka once, from sam.")
    return say("You hear its theka once, not from sam, but from another vibhag.")


def _shuffled(fresh: Fresh, tala: Tala, theka: ThekaText) -> list[str]:
    """The bols of the vibhags, as they are struck, in an order that is not right."""
    texts = [" ".join(vibhag) for vibhag in vibhags_of(theka.bols)]
    offered = fresh.shuffled(texts)
    while _vibhags_in(offered) in _right_orders(tala, theka):
        offered = fresh.shuffled(texts)
    return list(offered)


def _offered(
    offered: Sequence[str], tala: Tala, theka: ThekaText
) -> tuple[tuple[Choice, ...], tuple[str, ...]]:
    """The vibhags in the order in which they are offered, and all lines that are right."""
    said = _said_by_struck(theka)
    often, seen, choices = Counter(offered), Counter[str](), []
    for number, text in enumerate(offered, 1):
        seen[text] += 1
        bols = tabla_bols(said[text])
        label = f"{bols} ({seen[text]})" if often[text] > 1 else bols
        choices.append(Choice(str(number), label))
    heard = dict(zip((each.id for each in choices), _vibhags_in(offered), strict=True))
    lines = [
        KEYS_APART.join(line)
        for order in _right_orders(tala, theka)
        for line in _lines_of(order, heard)
    ]
    return tuple(choices), tuple(lines)


def _said_by_struck(theka: ThekaText) -> dict[str, str]:
    """How the bols of each vibhag are said and printed, by what is struck."""
    said, struck = (map(" ".join, vibhags_of(bols)) for bols in (theka.words, theka.bols))
    return dict(zip(struck, said, strict=True))


def _right_orders(tala: Tala, theka: ThekaText) -> tuple[tuple[Vibhag, ...], ...]:
    """That of the theka heard, and of any other known that has the same vibhags."""
    mine = _vibhags(theka.bols)
    others = (_vibhags(bols) for bols in tala.written())
    same = [each for each in others if Counter(each) == Counter(mine)]
    return tuple(dict.fromkeys([mine, *same]))


def _lines_of(order: Sequence[Vibhag], heard: dict[str, Vibhag]) -> Iterator[tuple[str, ...]]:
    """Every way to lay the choices so that they sound in this order."""
    if not order:
        yield ()
        return
    for key, vibhag in heard.items():
        if vibhag == order[0]:
            rest = {other: each for other, each in heard.items() if other != key}
            yield from ((key, *line) for line in _lines_of(order[1:], rest))


def _vibhags(bols: str) -> tuple[Vibhag, ...]:
    return tuple(sounds(vibhag) for vibhag in vibhags_of(bols))


def _vibhags_in(texts: Sequence[str]) -> tuple[Vibhag, ...]:
    return tuple(sounds(text.split()) for text in texts)


def _orders(vibhags: Sequence[Vibhag]) -> int:
    """In how many ways that sound differently they can be put."""
    return factorial(len(vibhags)) // prod(map(factorial, Counter(vibhags).values()))


def _put(question: Question, given: str) -> tuple[str, ...]:
    """The vibhags as they were put, each once; a log may hold a line without some of them."""
    return tuple(dict.fromkeys(question.written(given)))


def _share_kept(right: Sequence[str], put: Sequence[str]) -> Fraction:
    at = {key: place for place, key in enumerate(put)}
    pairs = list(combinations(right, 2))
    kept_ones = [one in at and other in at and at[one] < at[other] for one, other in pairs]
    return Fraction(sum(kept_ones), len(pairs))


def _struck(question: Question, line: Sequence[str]) -> list[str]:
    """What is struck in each of the vibhags that were put."""
    vibhags = question.detail["vibhags"]
    return [vibhags[int(key) - 1] for key in line]


def _label(theka: ThekaText, struck: Sequence[str]) -> str:
    said = _said_by_struck(theka)
    return tabla_bols(f" {BAR} ".join(said[text] for text in struck))


def _why(theka: ThekaText, tala: Tala, right: Sequence[str], put: Sequence[str]) -> str:
    told = say("{tala}: {bols}.", tala=tala.called, bols=bols_told(theka))
    wrong = [
        (place, was) for place, was in enumerate(right) if place >= len(put) or was != put[place]
    ]
    if not wrong:
        return told
    place, was = wrong[0]
    first = say("The {place} vibhag is {bols}", place=ordinal(place), bols=_label(theka, [was]))
    if len(wrong) == 1:
        return say("{told} {first}.", told=told, first=first)
    number = number_word(len(wrong))
    return say("{told} {first}; {number} places differ.", told=told, first=first, number=number)
