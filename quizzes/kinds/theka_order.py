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
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.theka_way import (
    ThekaWay,
    cycle_again,
    cycles_of,
    played,
    turning_wheel,
)
from quizzes.names import ORDINALS, counted
from quizzes.question import KEYS_APART, Choice, Mark, Question, Setting, Skill
from quizzes.stages.order import nearest
from quizzes.talas.hearing import drawn_theka, kept
from quizzes.talas.sounds import Sound, sounds, vibhags_of
from quizzes.talas.tala import Tala, ThekaText
from quizzes.talas.wording import bols_told

FEWEST_ORDERS = 10
"""Different ones that the vibhags can be put in."""
MOST_VIBHAGS = 8
MOST_RIGHT = 12
SECONDS = 10.0, 4.0
"""What an order takes, and what each vibhag takes besides."""

Vibhag = tuple[Sound, ...]


class Ordering(ThekaWay):
    way = "order"

    def skill_of(self, tala: Tala) -> Skill | None:
        usable = self.usable(tala)
        if not usable:
            return None
        orders = [_orders(_vibhags(each.bols)) for each in usable]
        count = len(tala.vibhags)
        return self.skill(
            tala,
            "its vibhags in order",
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
        choices, right = _offered(fresh, tala, theka)
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
            detail=kept(cue),
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
        struck = _struck_by_said(theka)
        given_bols = f" {BAR} ".join(struck[_bare(question, key)] for key in put)
        return Explanation(
            right_label=_labels(question, right),
            given_label=_labels(question, put),
            why=_why(question, theka, tala, right, put),
            right_cue=cue.score,
            given_cue=None if is_right else played(question, given_bols),
            given_plays="" if is_right else "the vibhags in your order",
            wheel=turning_wheel(cue),
        )

    def introduce(self, question: Question) -> str:
        tala = self.tala_of(question)
        theka = tala.theka_of(question.detail["theka"])
        return (
            f"A theka has its vibhags in one order, from sam on. {tala.name} has "
            f"{counted(len(tala.vibhags), 'vibhag')}: {bols_told(theka)}."
        )


def _prompt(tala: Tala, begins: int, *, twice: bool) -> str:
    heard = "twice" if cycles_of(tala) > 1 else "once"
    where = "from sam" if not begins else "not from sam, but from another vibhag"
    alike = " Those that are alike may change places." if twice else ""
    return (
        f"Put the vibhags of {tala.name} in order, from sam on. You hear its theka {heard}, "
        f"{where}.{alike}"
    )


def _offered(
    fresh: Fresh, tala: Tala, theka: ThekaText
) -> tuple[tuple[Choice, ...], tuple[str, ...]]:
    """The vibhags in an order that is not right, and all lines that are."""
    texts = [" ".join(vibhag) for vibhag in vibhags_of(theka.bols)]
    said = {struck: said for said, struck in _struck_by_said(theka).items()}
    offered = fresh.shuffled(texts)
    while _vibhags_in(offered) in _right_orders(tala, theka):
        offered = fresh.shuffled(texts)
    often, seen, choices = Counter(offered), Counter[str](), []
    for number, text in enumerate(offered, 1):
        seen[text] += 1
        label = f"{said[text]} ({seen[text]})" if often[text] > 1 else said[text]
        choices.append(Choice(str(number), label))
    heard = dict(zip((each.id for each in choices), _vibhags_in(offered), strict=True))
    lines = [
        KEYS_APART.join(line)
        for order in _right_orders(tala, theka)
        for line in _lines_of(order, heard)
    ]
    return tuple(choices), tuple(lines)


def _struck_by_said(theka: ThekaText) -> dict[str, str]:
    """The bols of each vibhag by how they are said and printed."""
    said, struck = (map(" ".join, vibhags_of(bols)) for bols in (theka.words, theka.bols))
    return dict(zip(said, struck, strict=True))


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


def _bare(question: Question, key: str) -> str:
    """The bols of a choice without the number of those that are alike."""
    return question.choice(key).label.partition(" (")[0]


def _labels(question: Question, line: Sequence[str]) -> str:
    return f" {BAR} ".join(_bare(question, key) for key in line)


def _why(
    question: Question, theka: ThekaText, tala: Tala, right: Sequence[str], put: Sequence[str]
) -> str:
    told = f"{tala.name}: {bols_told(theka)}."
    wrong = [
        (place, was)
        for place, was in enumerate(right)
        if place >= len(put) or _bare(question, was) != _bare(question, put[place])
    ]
    if wrong:
        place, was = wrong[0]
        told += f" The {ORDINALS[place]} vibhag is {_bare(question, was)}"
        told += f"; {counted(len(wrong), 'place')} differ." if len(wrong) > 1 else "."
    return told
