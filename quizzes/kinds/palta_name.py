"""`palta:name:three`: three groups of a palta are heard: which pattern is it?

Four patterns are offered that have groups of one length and move on alike; where the grade has
fewer of them, others are from the nearest grades. Any of the four may be the one that is heard, so
that who only reads them learns nothing. The run climbs, since the names say how a pattern goes as
it climbs.
"""

from __future__ import annotations

from collections.abc import Sequence

from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.palta_run import (
    explained,
    fresh_layout,
    fresh_walk,
    read_groups,
    shown,
    told,
    usual_group,
)
from quizzes.kinds.palta_way import (
    PaltaWay,
    alike,
    called,
    called_in,
    group_in,
    layout_in,
    palta_in,
    question_of,
)
from quizzes.names import capital, in_letters
from quizzes.paltas import Group, Palta, grades, lay, paltas
from quizzes.paltas.said import palta_name
from quizzes.question import Choice, Question, Setting
from words import in_script, say, to_say

GROUPS = 3
OFFERED = 4


class Name(PaltaWay):
    way = "name"
    called = to_say("{grade}: by name")
    chance = 1 / OFFERED
    seconds = 16.0

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        some, fresh = self.some(skill), Fresh(skill, seed)
        met = skill in setting.met
        offered = _offered(fresh, some)
        palta = fresh.one_of(offered)
        # Every one of them would be in hand, so that what is played does not favour narrow ones.
        shapes = [each.shape for each in offered]
        walk = fresh_walk(fresh, shapes, GROUPS, met=met, setting=setting, rising=True)
        layout = fresh_layout(fresh, offered, met=met)
        groups = walk.groups(palta.shape, range(GROUPS))
        return question_of(
            fresh,
            skill,
            lay(groups, layout),
            palta,
            layout,
            walk,
            seed=seed,
            setting=setting,
            prompt=say("Three groups of a pattern that climbs. Which pattern is it?"),
            choices=[Choice(each.id, _label(each)) for each in offered],
            right=palta.id,
            detail={"heard": told(groups)},
        )

    def explain(self, question: Question, given: str) -> Explanation:
        palta, layout, chosen = palta_in(question), layout_in(question), paltas()[given]
        groups = read_groups(question.detail["heard"])
        right, answered = _groups_of(question, palta), _groups_of(question, chosen)
        place = next(
            (at for at, (one, other) in enumerate(zip(right[0], answered[0], strict=True))
             if one != other),
            0,
        )  # fmt: skip
        size = palta.swaras
        deciding = (
            range(size) if chosen == palta else [number * size + place for number in range(GROUPS)]
        )
        return explained(
            question,
            given,
            why=_why(palta, groups, chosen, answered),
            layout=layout,
            line=lay(groups, layout),
            deciding=deciding,
            given_line=lay(answered, layout),
            given_plays=say("the pattern that you chose"),
        )

    def introduce(self, question: Question) -> str:
        return say(
            "This pattern is {name}: {groups}.",
            name=called_in(question),
            groups=in_script(question.detail["heard"]),
        )


def _why(palta: Palta, groups: Sequence[Group], chosen: Palta, answered: Sequence[Group]) -> str:
    was = say("It was {name}: {groups}.", name=called(palta), groups=shown(groups))
    if chosen == palta:
        return was
    other = say(
        "From the same swaras {name} would be {groups}.",
        name=called(chosen),
        groups=shown(answered),
    )
    return f"{was} {other}"


def _groups_of(question: Question, palta: Palta) -> tuple[Group, ...]:
    """What would have been heard, had it been this palta."""
    starts = [group[0] for group in read_groups(question.detail["heard"])]
    return tuple(group_in(question, start, palta) for start in starts)


def _offered(fresh: Fresh, some: Sequence[Palta]) -> list[Palta]:
    """Four that are alike, one of a grade and those nearest to it by grade."""
    one = fresh.one_of(_askable(some))
    places = {grade.id: place for place, grade in enumerate(grades())}
    others = [each for each in fresh.shuffled(alike(one, _every())) if each != one]
    others.sort(key=lambda each: abs(places[each.grade] - places[one.grade]))
    return fresh.shuffled([one, *others[: OFFERED - 1]])


def _askable(some: Sequence[Palta]) -> list[Palta]:
    """Those of a grade beside which others can be offered, one of the grade among them."""
    return [
        each
        for each in some
        if len(alike(each, some)) > 1 and len(alike(each, _every())) >= OFFERED
    ]


def _every() -> list[Palta]:
    return list(paltas().values())


def _label(palta: Palta) -> str:
    return f"{capital(palta_name(palta))}: {in_letters(usual_group(palta))}"
