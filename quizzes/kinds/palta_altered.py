"""`palta:altered:three`: four groups of a palta, one of which is altered: which one?"""

from __future__ import annotations

from collections.abc import Sequence

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
from quizzes.kinds.palta_way import PaltaWay, called_in, layout_in, question_of
from quizzes.names import in_letters, ordinal
from quizzes.paltas import Group, lay
from quizzes.question import Choice, Question, Setting
from quizzes.ragas.several import one_after_another
from words import in_script, say, to_say

GROUPS = 4


class Altered(PaltaWay):
    way = "altered"
    called = to_say("{grade}: which is altered")
    chance = 1 / GROUPS
    seconds = 16.0

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        some, fresh = self.some(skill), Fresh(skill, seed)
        met = skill in setting.met
        palta, at = fresh.one_of(some), fresh.one_of(range(GROUPS))
        other = fresh.one_of(spoilt(palta.shape))
        # Each group might have been the altered one, so that the walk does not tell which it is.
        walk = fresh_walk(fresh, [palta.shape, other], GROUPS, met=met, setting=setting)
        groups = list(walk.groups(palta.shape, range(GROUPS)))
        clean = told(groups)
        groups[at : at + 1] = walk.groups(other, [at])
        layout = fresh_layout(fresh, [palta], met=met)
        return question_of(
            fresh,
            skill,
            lay(groups, layout),
            palta,
            layout,
            walk,
            seed=seed,
            setting=setting,
            prompt=say("Four groups of a pattern. Which of them is altered?"),
            choices=[
                Choice(str(n + 1), say("The {which} group", which=ordinal(n)))
                for n in range(GROUPS)
            ],
            right=str(at + 1),
            detail={"heard": told(groups), "clean": clean},
        )

    def explain(self, question: Question, given: str) -> Explanation:
        layout, at, chosen = layout_in(question), int(question.right[0]) - 1, int(given) - 1
        heard, clean = (read_groups(question.detail[each]) for each in ("heard", "clean"))
        # Beside the group before it, of the first the one after it: as it was, then mended.
        near = slice(0, 2) if at == 0 else slice(at - 1, at + 1)
        before = len(heard[0]) * (at > 0)
        return explained(
            question,
            given,
            why=_why(question, heard, clean, chosen),
            layout=layout,
            line=one_after_another(
                [lay(heard[near], layout), lay(clean[near], layout)], PAUSE_MATRAS
            ),
            deciding=[
                before + place
                for place, (was, right) in enumerate(zip(heard[at], clean[at], strict=True))
                if was != right
            ],
            given_line=lay([heard[chosen]], layout),
            given_plays=say("the group that you chose, as the pattern has it"),
        )

    def introduce(self, question: Question) -> str:
        return say(
            "The pattern is {name}: {groups}. In one group a swara is replaced by another, or two "
            "have changed places.",
            name=called_in(question),
            groups=in_script(question.detail["clean"]),
        )


def _why(question: Question, heard: Sequence[Group], clean: Sequence[Group], chosen: int) -> str:
    at = int(question.right[0]) - 1
    why = say(
        "The {which} group was {heard}; the pattern, {name}, makes it {clean}.",
        which=ordinal(at),
        heard=in_letters(heard[at]),
        name=called_in(question),
        clean=in_letters(clean[at]),
    )
    if chosen == at:
        return why
    as_it_is = say(
        "The {which} group ({heard}) was as the pattern has it.",
        which=ordinal(chosen),
        heard=in_letters(heard[chosen]),
    )
    return f"{as_it_is} {why}"
