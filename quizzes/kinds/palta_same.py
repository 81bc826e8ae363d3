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
    told,
)
from quizzes.kinds.palta_spoilt import spoilt
from quizzes.kinds.palta_way import PaltaWay, called, called_in, layout_in, palta_in, question_of
from quizzes.names import capital, in_letters, swara_name
from quizzes.paltas import Group, Layout, lay
from quizzes.question import Choice, Question, Setting
from quizzes.ragas.several import one_after_another

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
    "first": "Only the first of them",
    "second": "Only the second of them",
    "both": "Both of them",
    "neither": "Neither of them",
}


class Same(PaltaWay):
    way = "same"
    called = "{}: the same from another swara"
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
            prompt="A pattern, then two from other swaras. Which of the two go as the first did?",
            choices=[Choice(answer, label) for answer, label in LABELS.items()],
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
            given_plays="how that would sound",
        )

    def introduce(self, question: Question) -> str:
        (model, *_), same = (read_groups(question.detail[each]) for each in ("heard", "same"))
        return (
            f"The pattern is {called_in(question)}: {in_letters(model)}. From other swaras of the "
            f"scale it is {told(same)}; a group that goes otherwise is another pattern."
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
    told_of = []
    for which, was, own in zip(("first", "second"), heard[1:], same, strict=True):
        if was == own:
            told_of.append(f"the {which} ({in_letters(was)}) is the same")
        else:
            from_there = f"from {swara_name(own[0])} it would be {in_letters(own)}"
            told_of.append(f"the {which} ({in_letters(was)}) is not: {from_there}")
    return f"The pattern is {name} ({in_letters(heard[0])}). {capital('; '.join(told_of))}."
