"""`palta:same:three`: a group of a palta, then two from other swaras: which are the same?"""

from __future__ import annotations

from collections.abc import Sequence

from audio.line import Line
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.palta_run import (
    PAUSE_MATRAS,
    explained,
    fresh_layout,
    fresh_walk,
    read_groups,
    shown,
    told,
)
from quizzes.kinds.palta_spoilt import spoilt
from quizzes.kinds.palta_way import PaltaWay, called, called_in, layout_in, palta_in, question_of
from quizzes.names import capital, in_letters, ordinal, swara_name
from quizzes.paltas import Group, Layout, lay
from quizzes.question import Choice, Question, Setting
from quizzes.ragas.several import one_after_another
from words import say, to_say

STARTS = 5
"""The groups begin on three of so many swaras in a row."""
ANSWERS = {
    "first": (True, False),
    "second": (False, True),
    "both": (True, True),
    "neither": (False, False),
}
"""Whether the first and the second group are the same pattern."""
LABELS = {
    "first": to_say("Only the first of them"),
    "second": to_say("Only the second of them"),
    "both": to_say("Both of them"),
    "neither": to_say("Neither of them"),
}


class Same(PaltaWay):
    way = "same"
    called = to_say("{grade}: the same from another swara")
    chance = 1 / len(ANSWERS)
    seconds = 18.0

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        some, fresh = self.some(skill), Fresh(skill, seed)
        met = skill in setting.met
        palta = fresh.one_of(some)
        others = [fresh.one_of(spoilt(palta.shape)) for _ in range(2)]
        walk = fresh_walk(
            fresh, [palta.shape, *others], STARTS, met=met, setting=setting, rising=True
        )
        starts = fresh.shuffled(range(STARTS))[:3]
        model, *same = (walk.groups(palta.shape, [start])[0] for start in starts)
        changed = [
            walk.groups(other, [start])[0] for other, start in zip(others, starts[1:], strict=True)
        ]
        right = fresh.one_of(tuple(ANSWERS))
        layout = fresh_layout(fresh, [palta], met=met)
        heard = [model, *_answering(right, same, changed)]
        return question_of(
            fresh,
            skill,
            _line(heard, layout),
            palta,
            layout,
            walk,
            seed=seed,
            setting=setting,
            prompt=say(
                "A pattern, then two from other swaras. Which of the two go as the first did?"
            ),
            choices=[Choice(answer, say(label)) for answer, label in LABELS.items()],
            right=right,
            detail={"heard": told(heard), "same": told(same), "changed": told(changed)},
        )

    def explain(self, question: Question, given: str) -> Explanation:
        palta, layout = palta_in(question), layout_in(question)
        heard, same, changed = (
            read_groups(question.detail[each]) for each in ("heard", "same", "changed")
        )
        size = palta.swaras
        deciding = [
            (number + 1) * size + place
            for number, (was, other) in enumerate(zip(heard[1:], same, strict=True))
            for place in range(size)
            if was[place] != other[place] or question.right == ("both",)
        ]
        return explained(
            question,
            given,
            why=_why(called(palta), heard, same),
            layout=layout,
            line=_line(heard, layout),
            deciding=deciding,
            given_line=_line([heard[0], *_answering(given, same, changed)], layout),
            given_plays=say("how that would sound"),
        )

    def introduce(self, question: Question) -> str:
        (model, *_), same = (read_groups(question.detail[each]) for each in ("heard", "same"))
        return say(
            "The pattern is {name}: {group}. From other swaras of the scale it is {groups}; a "
            "group that goes otherwise is another pattern.",
            name=called_in(question),
            group=in_letters(model),
            groups=shown(same),
        )


def _answering(answer: str, same: Sequence[Group], changed: Sequence[Group]) -> list[Group]:
    """The two groups for which an answer would be right."""
    return [
        own if is_same else other
        for is_same, own, other in zip(ANSWERS[answer], same, changed, strict=True)
    ]


def _line(groups: Sequence[Group], layout: Layout) -> Line:
    return one_after_another([lay([group], layout) for group in groups], PAUSE_MATRAS)


def _why(name: str, heard: Sequence[Group], same: Sequence[Group]) -> str:
    first, second = (
        _is_same(number, was, own)
        for number, (was, own) in enumerate(zip(heard[1:], same, strict=True))
    )
    return say(
        "The pattern is {name} ({group}). {first}; {second}.",
        name=name,
        group=in_letters(heard[0]),
        first=capital(first),
        second=second,
    )


def _is_same(number: int, was: Group, own: Group) -> str:
    """`the first (R G m) is the same`."""
    which, group = ordinal(number), in_letters(was)
    if was == own:
        return say("the {which} ({group}) is the same", which=which, group=group)
    return say(
        "the {which} ({group}) is not: from {swara} it would be {own}",
        which=which,
        group=group,
        swara=swara_name(own[0]),
        own=in_letters(own),
    )
