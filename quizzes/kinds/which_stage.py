"""`which-stage`: a passage is heard in a raga: which stage is it, which tuk, which kind of tan?

The choices are of one division, and only such are offered together as surely differ in what is
heard. A stage that stands for others and sounds like them is not asked.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from quizzes.choice_sets import Pairs
from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import counted
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.stages.asking import StageKind, stage_name, title_of
from quizzes.stages.describing import described, known_by, otherwise
from quizzes.stages.explaining import played, played_in_turn, raga_bearing
from quizzes.stages.offering import drawn, never_beside, offerable
from quizzes.stages.passages import for_readers, passage
from quizzes.stages.stage import Division, Form
from quizzes.stages.telling import apart_by, may_be_told, nearness
from quizzes.stages.tradition import form
from quizzes.stages.wholes import which_part
from quizzes.stages.wording import about_in_words
from words import say, to_say

INTRODUCED_S = (5.0, 8.0)
"""How long each of the two passages of an introduction lasts."""
COUNTED = ("strokes", "ornaments")
"""To these features an introduction draws the ear only where nothing else tells."""
SECONDS = 24.0


class WhichStageKind(StageKind):
    name = "which-stage"
    title = to_say("A passage of a performance: which stage is it?")
    by_ear = True

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        return tuple(
            Skill(
                id=_skill_id(stage),
                kind=self.name,
                name=_name(known, stage),
                family="perception",
                cluster=f"by ear: {asked.division.name}",
                chance=1 / asked.size,
                seconds=SECONDS,
            )
            for asked in _all_asked(known)
            for stage in asked.stages
        )

    def name_of(self, skill: str) -> str:
        known = form()
        stage, _ = self._asked(skill, known)
        return _name(known, stage)

    def several(self, count: int) -> str:
        return counted(count, "{number} stage by ear", "{number} stages by ear")

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        known = form(setting.tradition)
        stage, asked = self._asked(skill, known)
        fresh = Fresh(skill, seed)
        raga = raga_bearing(fresh, setting, known, asked.stages)
        met = _stages_in(setting.met)
        offered = drawn(
            fresh,
            stage,
            asked.stages,
            asked.size,
            near=asked.near,
            never=asked.never,
            met=met,
            rivals=_stages_in(setting.rivals),
        )
        sounds = passage(
            fresh,
            known.stages[stage],
            raga,
            sa_hz=setting.sa_hz,
            tuning=setting.tuning,
            tradition=setting.tradition,
        )
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=which_part(known, asked.division),
            choices=tuple(Choice(each, title_of(known, each), _skill_id(each)) for each in offered),
            right=(stage,),
            cue=sounds.score,
            sargam=sounds.sargam,
            detail={"raga": raga.id},
            possible=tuple(each for each in offered if each in {*met, stage}),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        known = form(question.setting.tradition)
        stage, asked = self._asked(question.skill, known)
        why, right_label = known_by(known, stage, asked.stages), question.choice(stage).label
        if given == stage:
            both = (stage, _nearest(known, stage, asked.stages))
            introduced = played_in_turn(question, both, lasts_s=INTRODUCED_S, turn="introduced")
            return Explanation(
                right_label, right_label, why, question.cue, None, intro_cue=introduced
            )
        other = played(question, given)
        return Explanation(
            right_label,
            question.choice(given).label,
            f"{why} {_otherwise(known, given, stage)}",
            question.cue,
            other.score,
            right_written=for_readers(question.sargam),
            given_written=for_readers(other.sargam),
        )

    def introduce(self, question: Question) -> str:
        known = form(question.setting.tradition)
        stage, asked = self._asked(question.skill, known)
        nearest = _nearest(known, stage, asked.stages)
        first, second = known.stages[stage].heard, known.stages[nearest].heard
        plainest, *more = apart_by(first, second)
        by = [plainest, *(each for each in more[:1] if each not in COUNTED)]
        its, others = described(first, by, [second]), described(second, by, [first])
        then = say(
            "Then you hear {stage}, which {heard}.", stage=stage_name(known, nearest), heard=others
        )
        return " ".join(
            [about_in_words(known, stage), say("You hear it first: it {heard}.", heard=its), then]
        )

    def _asked(self, skill: str, known: Form) -> tuple[str, _Asked]:
        """The stage of a skill, and among which it is asked. Raises UnknownSkill."""
        (stage,) = self.parts_of(skill, 1)
        for asked in _all_asked(known):
            if stage in asked.stages:
                return stage, asked
        raise not_asked(skill, self.name)


@dataclass(frozen=True, slots=True)
class _Asked:
    """The stages of a division that are asked by ear, `size` of them in one question."""

    division: Division
    stages: tuple[str, ...]
    size: int
    near: Pairs
    never: Pairs


def _all_asked(known: Form) -> tuple[_Asked, ...]:
    return tuple(_asked_of(known, division) for division in known.divisions.values())


def _asked_of(known: Form, division: Division) -> _Asked:
    parts = tuple(
        part
        for part in division.parts
        if known.whole_of(part) is division and not known.stages[part].instead_of
    )
    never = never_beside(
        parts, lambda one, other: may_be_told(known.stages[one], known.stages[other])
    )
    stages, size = offerable(parts, never)
    near = (frozenset((stage, _nearest(known, stage, stages))) for stage in stages)
    return _Asked(division, stages, size, tuple(dict.fromkeys(near)), never)


def _nearest(known: Form, stage: str, among: Sequence[str]) -> str:
    """Of these the stage that is most easily taken for it."""
    heard = known.stages[stage].heard
    others = [each for each in among if each != stage]
    return max(others, key=lambda each: nearness(heard, known.stages[each].heard))


def _otherwise(known: Form, given: str, right: str) -> str:
    """`Jor has a steady pulse.`"""
    name = stage_name(known, given, begins=True)
    return say("{stage} {heard}.", stage=name, heard=otherwise(known, given, right))


def _name(known: Form, stage: str) -> str:
    return say("{stage} by ear", stage=stage_name(known, stage, begins=True))


def _skill_id(stage: str) -> str:
    return f"{WhichStageKind.name}:{stage}"


def _stages_in(skills: Sequence[str]) -> tuple[str, ...]:
    """The stages of the skills of this kind."""
    parts = (skill.partition(":") for skill in skills)
    return tuple(stage for name, _, stage in parts if name == WhichStageKind.name)
