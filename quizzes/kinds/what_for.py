"""`what-for`: what is a stage of a performance there for; or which stage is there for this?

Wrong answers are other stages of the same whole, never what may stand for the right one. Only
stages that follow one another are asked: kinds of tan are told by how they go, not by a purpose.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from audio.sargam import write
from audio.score import Score
from quizzes.choice_sets import Pairs
from quizzes.errors import UnknownSkill
from quizzes.fresh import Fresh
from quizzes.names import capital
from quizzes.question import Choice, Explanation, Question, Setting, Skill
from quizzes.ragas.growing import grow
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import cue_of, plain_line
from quizzes.stages.asking import StageKind, stage_name
from quizzes.stages.explaining import played, raga_bearing
from quizzes.stages.offering import drawn, never_beside, offerable
from quizzes.stages.passages import passage
from quizzes.stages.stage import Division, Form, Stage
from quizzes.stages.tradition import form
from quizzes.stages.wording import is_or_are

HEARD, NAMED = SORTS = ("heard", "named")
SECONDS = {HEARD: 26.0, NAMED: 20.0}
LONGEST = 80
"""Letters of a purpose for which a choice has room; what is longer is cut where it pauses."""
TELLING = 4
"""Letters of a word that would give a stage away, were it both in its name and in its purpose."""


class WhatForKind(StageKind):
    name = "what-for"
    title = "A stage of a performance: what is it there for?"
    thing = "purpose"
    after_things = " of stages"

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        return tuple(
            Skill(
                id=_skill_id(sort, stage),
                kind=self.name,
                name=capital(_NAMES[sort].format(stage_name(known, stage))),
                family="facts",
                cluster=f"purposes: {asked.division.name}",
                chance=1 / asked.size,
                seconds=SECONDS[sort],
            )
            for asked in _all_asked(known)
            for sort in SORTS
            for stage in asked.stages
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        known = form(setting.tradition)
        sort, stage, asked = self._asked(skill, known)
        fresh = Fresh(skill, seed)
        raga = raga_bearing(fresh, setting, known, asked.stages)
        met = _stages_in(setting.met, sort)
        offered = drawn(
            fresh,
            stage,
            asked.stages,
            asked.size,
            never=asked.never,
            met=met,
            rivals=_stages_in(setting.rivals, sort),
        )
        if sort == HEARD:
            labels = [capital(text) for text in _purposes(known, offered)]
            sounds = passage(
                fresh, known.stages[stage], raga, sa_hz=setting.sa_hz, tuning=setting.tuning
            )
            cue, sargam = sounds.score, sounds.sargam
        else:
            labels = [known.stages[each].name for each in offered]
            cue, sargam = _of_no_stage(fresh, raga, setting)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=_prompt(sort, known, stage, asked.division),
            choices=tuple(
                Choice(each, label, _skill_id(sort, each))
                for each, label in zip(offered, labels, strict=True)
            ),
            right=(stage,),
            cue=cue,
            sargam=sargam,
            detail={"raga": raga.id},
            possible=tuple(each for each in offered if each in {*met, stage}),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        known = form(question.setting.tradition)
        sort, stage, _ = self._asked(question.skill, known)
        why, given_cue, plays = _is_for(known, stage), None, ""
        if given != stage:
            why += f" {_is_for(known, given)}"
            given_cue = played(question, given).score
            plays = f"{stage_name(known, given)}, in the same raga"
        return Explanation(
            right_label=question.choice(stage).label,
            given_label=question.choice(given).label,
            why=why,
            right_cue=question.cue if sort == HEARD else played(question, stage).score,
            given_cue=given_cue,
            given_plays=plays,
        )

    def introduce(self, question: Question) -> str:
        known = form(question.setting.tradition)
        _, stage, _ = self._asked(question.skill, known)
        return (
            f"{stage_name(known, stage, begins=True)} {is_or_are(known, stage)} "
            f"{known.stages[stage].about}. "
            f"It is there to {known.stages[stage].purpose}."
        )

    def _asked(self, skill: str, known: Form) -> tuple[str, str, _Asked]:
        """The sort and the stage of a skill, and among which it is asked. Raises UnknownSkill."""
        sort, stage = self.parts_of(skill, 2)
        for asked in _all_asked(known):
            if sort in SORTS and stage in asked.stages:
                return sort, stage, asked
        raise UnknownSkill(f"{skill!r} is not asked; `main.py kinds {self.name}` lists what is")


@dataclass(frozen=True, slots=True)
class _Asked:
    """The stages of a division of which this is asked, `size` of them in one question."""

    division: Division
    stages: tuple[str, ...]
    size: int
    never: Pairs


def _all_asked(known: Form) -> tuple[_Asked, ...]:
    found = []
    for division in known.divisions.values():
        if division.ordered:
            parts = tuple(
                part
                for part in division.parts
                if known.whole_of(part) is division and not _is_given_away(known.stages[part])
            )
            never = never_beside(
                parts, lambda one, other: _differ(known.stages[one], known.stages[other])
            )
            found.append(_Asked(division, *offerable(parts, never), never))
    return tuple(found)


def _differ(one: Stage, other: Stage) -> bool:
    """Whether the purpose of the one is surely not that of the other."""
    stands_for = one.id in other.instead_of or other.id in one.instead_of
    return not stands_for and one.purpose != other.purpose


def _is_given_away(stage: Stage) -> bool:
    """Whether its purpose, as it is offered, has a word of its name."""
    words = [
        {word for word in text.casefold().split() if len(word) >= TELLING}
        for text in (stage.name, _short(stage.purpose))
    ]
    return bool(words[0] & words[1])


def _purposes(known: Form, stages: Sequence[str]) -> list[str]:
    """What each is for, in short where that still tells all of them apart."""
    whole = [known.stages[stage].purpose for stage in stages]
    short = [_short(purpose) for purpose in whole]
    return short if len(set(short)) == len(short) else whole


def _short(purpose: str) -> str:
    """As many of its clauses as a choice has room for."""
    ends = [at for at, mark in enumerate(purpose) if mark in ",:;"]
    fitting = [at for at in (*ends, len(purpose)) if at <= LONGEST]
    return purpose[: max(fitting, default=min(ends, default=len(purpose)))]


def _prompt(sort: str, known: Form, stage: str, division: Division) -> str:
    if sort == HEARD:
        name = stage_name(known, stage, begins=True)
        return f"{name}: what is it there for? You hear a passage of it."
    purpose = _purposes(known, division.parts)[division.parts.index(stage)]
    return f"{capital(division.name)}: which stage is there to {purpose}?"


def _is_for(known: Form, stage: str) -> str:
    name = stage_name(known, stage, begins=True)
    return f"{name} {is_or_are(known, stage)} there to {known.stages[stage].purpose}."


def _of_no_stage(fresh: Fresh, raga: Raga, setting: Setting) -> tuple[Score, str]:
    """A phrase of the raga, evenly played: no stage is like that."""
    line = plain_line(grow(fresh, raga))
    cue = cue_of(
        fresh, line, sa_hz=setting.sa_hz, tuning=setting.tuning, drone=raga.drone, raga=raga
    )
    return cue, write(line)


_NAMES = {HEARD: "What {} is there for", NAMED: "{}, by what it is there for"}


def _skill_id(sort: str, stage: str) -> str:
    return f"{WhatForKind.name}:{sort}:{stage}"


def _stages_in(skills: Sequence[str], sort: str) -> tuple[str, ...]:
    """The stages of the skills of this sort."""
    begin = _skill_id(sort, "")
    return tuple(skill.removeprefix(begin) for skill in skills if skill.startswith(begin))
