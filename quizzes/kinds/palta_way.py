"""What all ways of asking about paltas share: skills by grade, and the form of a question."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from audio.line import Line
from audio.sargam import write
from audio.tuning import Swara
from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.palta_run import Walk, cue_for
from quizzes.paltas import Grade, Group, Layout, Palta, grades, group_from, layouts, of_grade
from quizzes.paltas import paltas as known_paltas
from quizzes.paltas.said import grade_name, palta_name
from quizzes.question import Choice, Mark, Question, Setting, Skill
from words import say

KIND = "palta"


class PaltaWay:
    """One way of asking about the paltas of a grade."""

    way: str
    """The second part of its skills' ids."""
    called: str
    """What a skill is called, to be said; {grade} stands for the name of the grade."""
    chance = 1 / 4
    seconds: float

    def skill_of(self, grade: Grade) -> Skill:
        return Skill(
            id=f"{KIND}:{self.way}:{grade.id}",
            kind=KIND,
            name=self.named(grade),
            family="perception",
            cluster=f"{KIND} {self.way}",
            chance=self.chance_of(of_grade(grade.id)),
            seconds=self.seconds,
        )

    def named(self, grade: Grade) -> str:
        """What its skill of a grade is called."""
        return say(self.called, grade=grade_name(grade))

    def chance_of(self, some: Sequence[Palta]) -> float:
        """Of a lucky guess, usually, where these are asked."""
        return self.chance

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        raise NotImplementedError

    def mark(self, question: Question, given: str) -> Mark:
        question.choice(given)
        return Mark(1.0 if given in question.right else 0.0)

    def explain(self, question: Question, given: str) -> Explanation:
        raise NotImplementedError

    def introduce(self, question: Question) -> str:
        raise NotImplementedError

    def name_of(self, skill: str) -> str:
        """What a skill is called. Raises UnknownSkill."""
        return self.named(self.grade_of(skill))

    def some(self, skill: str) -> tuple[Palta, ...]:
        """The paltas of a skill's grade. Raises UnknownSkill."""
        return of_grade(self.grade_of(skill).id)

    def grade_of(self, skill: str) -> Grade:
        """Raises UnknownSkill."""
        for grade in grades():
            if skill == f"{KIND}:{self.way}:{grade.id}":
                return grade
        raise not_asked(skill, KIND)


def palta_in(question: Question) -> Palta:
    """The palta of which a question asks."""
    return known_paltas()[question.detail["palta"]]


def layout_in(question: Question) -> Layout:
    return layouts()[question.detail["layout"]]


def called(palta: Palta, *, falling: bool = False) -> str:
    """Its name as a sentence has it; names say how a pattern goes as it climbs."""
    if falling:
        return say("“{name}”, mirrored on the way down", name=palta_name(palta))
    return say("“{name}”", name=palta_name(palta))


def called_in(question: Question) -> str:
    """What the palta of a question is called, as it was heard."""
    return called(palta_in(question), falling=is_falling(question))


def moving_on(question: Question) -> str:
    """`each group begins one swara higher`."""
    if is_falling(question):
        return say("each group begins one swara lower")
    return say("each group begins one swara higher")


def is_falling(question: Question) -> bool:
    """Whether the run is on its way down."""
    return bool(question.detail["way"] == "down")


def group_in(question: Question, start: Swara, palta: Palta | None = None) -> Group:
    """The group of its palta, or of another, from a swara of the question's scale."""
    shape = (palta or palta_in(question)).shape
    scale = question.detail["scale"].split()
    group = group_from(shape, scale, start, falling=is_falling(question))
    assert group is not None  # what was asked is in hand
    return group


def pairs_alike(some: Sequence[Palta]) -> list[tuple[Palta, Palta]]:
    """Pairs whose groups are of one length, so that it does not tell which of them is heard."""
    return [(one, other) for one, other in combinations(some, 2) if one.swaras == other.swaras]


def alike(palta: Palta, some: Sequence[Palta]) -> list[Palta]:
    """Those of them whose groups are as long as this one's, itself one."""
    return [other for other in some if other.swaras == palta.swaras]


def question_of(
    fresh: Fresh,
    skill: str,
    line: Line,
    palta: Palta,
    layout: Layout,
    walk: Walk,
    *,
    seed: int,
    setting: Setting,
    prompt: str,
    choices: Sequence[Choice],
    right: str,
    detail: dict[str, str],
) -> Question:
    """A question answered by one choice; what else one needs is put in its place by `replace`."""
    return Question(
        kind=KIND,
        skill=skill,
        seed=seed,
        setting=setting,
        prompt=prompt,
        choices=tuple(choices),
        right=(right,),
        cue=cue_for(fresh, setting, line, layout),
        sargam=write(line),
        detail={
            "palta": palta.id,
            "layout": layout.id,
            "scale": " ".join(walk.scale),
            "way": "down" if walk.falling else "up",
            **detail,
        },
    )
