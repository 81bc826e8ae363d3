"""`palta:continue:three`: three groups of a palta are heard: which group comes next?

Of the four groups offered two are of the pattern heard and two of another one, and two begin on one
swara and two on the next: neither the pattern alone nor the swara alone is the answer, and the four
say nothing of which it is, since any of them might be right.
"""

from __future__ import annotations

from collections.abc import Sequence

from audio.sargam import parse
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.palta_run import explained, fresh_layout, fresh_walk, read_groups, told
from quizzes.kinds.palta_way import (
    PaltaWay,
    called_in,
    group_in,
    layout_in,
    moving_on,
    pairs_alike,
    palta_in,
    question_of,
)
from quizzes.names import capital, in_letters, swara_name
from quizzes.paltas import Group, lay
from quizzes.question import Choice, Question, Setting
from quizzes.ragas.evidence import swaras_of
from words import in_script, say, to_say

HEARD = 3
"""Groups that sound."""


class Continue(PaltaWay):
    way = "continue"
    called = to_say("{grade}: what comes next")
    seconds = 16.0

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        some, fresh = self.some(skill), Fresh(skill, seed)
        met = skill in setting.met
        pair = fresh.one_of(pairs_alike(some))
        # One group more than is needed: the answer begins on either of two swaras.
        walk = fresh_walk(
            fresh,
            [each.shape for each in pair],
            HEARD + 2,
            met=met,
            setting=setting,
        )
        offered = [
            (palta, number, walk.groups(palta.shape, [number])[0])
            for palta in pair
            for number in (HEARD, HEARD + 1)
        ]
        palta, number, group = fresh.one_of(offered)
        heard = walk.groups(palta.shape, range(number - HEARD, number))
        layout = fresh_layout(fresh, pair, met=met)
        return question_of(
            fresh,
            skill,
            lay(heard, layout),
            palta,
            layout,
            walk,
            seed=seed,
            setting=setting,
            prompt=say("Three groups of a pattern. Which group comes next?"),
            choices=[_choice(each) for _, _, each in fresh.shuffled(offered)],
            right=_choice(group).id,
            detail={"heard": told(heard)},
        )

    def explain(self, question: Question, given: str) -> Explanation:
        palta, layout = palta_in(question), layout_in(question)
        heard = read_groups(question.detail["heard"])
        right, answered = (swaras_of(parse(each)) for each in (question.right[0], given))
        return explained(
            question,
            given,
            why=_why(question, heard, right, answered),
            layout=layout,
            line=lay((*heard, right), layout),
            deciding=range(HEARD * palta.swaras, (HEARD + 1) * palta.swaras),
            given_line=lay((*heard, answered), layout),
            given_plays=say("the run with the group that you chose"),
        )

    def introduce(self, question: Question) -> str:
        return say(
            "A pattern is taken through the scale, each group from the next swara. This is "
            "{name}: {groups} and so on.",
            name=called_in(question),
            groups=in_script(question.detail["heard"]),
        )


def _choice(group: Group) -> Choice:
    return Choice("".join(map(str, group)), in_letters(group))


def _why(question: Question, heard: Sequence[Group], right: Group, answered: Group) -> str:
    """Where the pattern goes on, and what of the answer is otherwise."""
    name = called_in(question)
    parts = []
    if answered[0] != right[0]:
        parts.append(
            say(
                "{moving_on}, so the next begins on {right}, not on {given}.",
                moving_on=capital(moving_on(question)),
                right=swara_name(right[0]),
                given=swara_name(answered[0]),
            )
        )
    if answered != group_in(question, answered[0]):
        parts.append(
            say(
                "The pattern is {name}; from {swara} it is {group}.",
                name=name,
                swara=swara_name(right[0]),
                group=in_letters(right),
            )
        )
    if not parts:
        parts.append(
            say(
                "The pattern is {name}; {moving_on}: {before} is followed by {group}.",
                name=name,
                moving_on=moving_on(question),
                before=in_letters(heard[-1]),
                group=in_letters(right),
            )
        )
    return " ".join(parts)
