"""`what-for`: what is a stage of a performance there for; or which stage is there for this?

A stage is heard and not named, among the purposes of such as surely sound otherwise; what cannot be
told by ear from the rest of its whole is named. Wrong answers are other stages of the same whole,
never what may stand for the right one. Only stages that follow one another are asked: kinds of tan
are told by how they go, not by a purpose.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from audio.sargam import write
from audio.score import Score
from quizzes.choice_sets import Pairs
from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import capital, counted
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.growing import grow
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import cue_of, plain_line
from quizzes.stages.asking import StageKind, stage_name, title_of
from quizzes.stages.describing import known_by, otherwise
from quizzes.stages.explaining import played, raga_bearing
from quizzes.stages.offering import drawn, never_beside, offerable
from quizzes.stages.passages import passage
from quizzes.stages.stage import Division, Form, Stage
from quizzes.stages.telling import may_be_told, share_a_name
from quizzes.stages.tradition import form
from quizzes.stages.wholes import part_name, whole_name
from quizzes.stages.wording import about_in_words, number_of, purpose_in_words
from words import say, say_many, to_say

HEARD, NAMED = SORTS = ("heard", "named")
SECONDS = {HEARD: 26.0, NAMED: 20.0}
LONGEST = 80
"""Letters of a purpose for which a choice has room; what is longer is cut where it pauses."""
_EMPTY = frozenset({"a", "an", "and", "in", "its", "of", "the", "to", "with"})
"""Words of names that give no stage away, should its purpose have them, too."""


class WhatForKind(StageKind):
    name = "what-for"
    title = to_say("A stage of a performance: what is it there for?")

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        return tuple(
            Skill(
                id=_skill_id(asked.sort, stage),
                kind=self.name,
                name=_name(known, asked.sort, stage),
                family="facts",
                cluster=f"purposes: {asked.division.name}",
                chance=1 / asked.size,
                seconds=SECONDS[asked.sort],
            )
            for asked in _all_asked(known)
            for stage in asked.stages
        )

    def name_of(self, skill: str) -> str:
        known = form()
        sort, stage, _ = self._asked(skill, known)
        return _name(known, sort, stage)

    def several(self, count: int) -> str:
        return counted(count, "{number} purpose of stages", "{number} purposes of stages")

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        known = form(setting.tradition)
        sort, stage, asked = self._asked(skill, known)
        fresh = Fresh(skill, seed)
        raga = raga_bearing(fresh, setting, known, asked.offered)
        met = _stages_in(setting.met, sort)
        offered = drawn(
            fresh,
            stage,
            asked.offered,
            asked.size,
            never=asked.never,
            met=met,
            rivals=_stages_in(setting.rivals, sort),
        )
        if sort == HEARD:
            labels = [capital(text) for text in _purposes(known, offered)]
            sounds = passage(
                fresh,
                known.stages[stage],
                raga,
                sa_hz=setting.sa_hz,
                tuning=setting.tuning,
                tradition=setting.tradition,
            )
            cue, sargam = sounds.score, sounds.sargam
        else:
            labels = [title_of(known, each) for each in offered]
            cue, sargam = _of_no_stage(fresh, raga, setting)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=_prompt(known, stage, asked),
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
        sort, stage, asked = self._asked(question.skill, known)
        why, given_cue, plays = _why(known, question, asked), None, ""
        if given != stage:
            why += f" {_of_the_other(known, given, stage, asked)}"
            given_cue = played(question, given).score
            plays = say("{stage}, in the same raga", stage=stage_name(known, given))
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
        return f"{about_in_words(known, stage)} {_its_purpose(known, stage)}"

    def _asked(self, skill: str, known: Form) -> tuple[str, str, _Asked]:
        """The sort and the stage of a skill, and among which it is asked. Raises UnknownSkill."""
        sort, stage = self.parts_of(skill, 2)
        for asked in _all_asked(known):
            if sort == asked.sort and stage in asked.stages:
                return sort, stage, asked
        raise not_asked(skill, self.name)


@dataclass(frozen=True, slots=True)
class _Asked:
    """Stages of a division of which this is asked in one way, among those `offered`, `size` of them
    in one question."""

    sort: str
    by_ear: bool
    """Whether the stage is to be told by what is heard; else it is named."""
    division: Division
    stages: tuple[str, ...]
    offered: tuple[str, ...]
    size: int
    never: Pairs


def _all_asked(known: Form) -> Iterator[_Asked]:
    for division in known.divisions.values():
        if not division.ordered:
            continue
        parts = tuple(
            part
            for part in division.parts
            if known.whole_of(part) is division and not _is_given_away(known.stages[part])
        )
        never = never_beside(
            parts, lambda one, other: _differ(known.stages[one], known.stages[other])
        )
        offered, size = offerable(parts, never)
        yield _Asked(NAMED, False, division, offered, offered, size, never)
        heard = _by_ear(known, division, parts)
        yield heard
        rest = tuple(each for each in offered if each not in heard.stages)
        yield _Asked(HEARD, False, division, rest, offered, size, never)


def _by_ear(known: Form, division: Division, parts: Sequence[str]) -> _Asked:
    """As `which-stage` asks them: what stands for others and sounds like them is not."""
    some = tuple(part for part in parts if not known.stages[part].instead_of)

    def beside(one: str, other: str) -> bool:
        two = known.stages[one], known.stages[other]
        return _differ(*two) and may_be_told(*two)

    never = never_beside(some, beside)
    offered, size = offerable(some, never)
    return _Asked(HEARD, True, division, offered, offered, size, never)


def _differ(one: Stage, other: Stage) -> bool:
    """Whether the purpose of the one is surely not that of the other, nor a name."""
    stands_for = one.id in other.instead_of or other.id in one.instead_of
    return not (stands_for or one.purpose == other.purpose or share_a_name(one, other))


def _is_given_away(stage: Stage) -> bool:
    """Whether its purpose has a word of one of its names."""
    names, purpose = (
        set(" ".join(texts).casefold().replace(",", " ").split()) - _EMPTY
        for texts in ((stage.name, *stage.also), (stage.purpose,))
    )
    return bool(names & purpose)


def _purposes(known: Form, stages: Sequence[str]) -> list[str]:
    """What each is for, in short where that still tells all of them apart."""
    whole = [say(known.stages[stage].purpose) for stage in stages]
    short = [_short(purpose) for purpose in whole]
    return short if len(set(short)) == len(short) else whole


def _short(purpose: str) -> str:
    """As many of its clauses as a choice has room for."""
    ends = [at for at, mark in enumerate(purpose) if mark in ",:;"]
    fitting = [at for at in (*ends, len(purpose)) if at <= LONGEST]
    return purpose[: max(fitting, default=min(ends, default=len(purpose)))]


def _prompt(known: Form, stage: str, asked: _Asked) -> str:
    if asked.by_ear:
        return say(
            "You hear one {part} of {whole}. What is it there for?",
            part=part_name(asked.division),
            whole=whole_name(known, asked.division),
        )
    if asked.sort == HEARD:
        name = stage_name(known, stage, begins=True)
        return say("{stage}: what is it there for? You hear a passage of it.", stage=name)
    parts = asked.division.parts
    return say(
        "Which {part} of {whole} is there to {purpose}?",
        part=part_name(asked.division),
        whole=whole_name(known, asked.division),
        purpose=_purposes(known, parts)[parts.index(stage)],
    )


def _why(known: Form, question: Question, asked: _Asked) -> str:
    """What tells the stage, what it is, and so much of its purpose as has not been read yet."""
    (stage,) = question.right
    told = known.stages[stage]
    if asked.by_ear:
        why = known_by(known, stage, asked.offered, about=say(told.about))
    else:
        why = about_in_words(known, stage)
    read = (question.prompt, *(choice.label for choice in question.choices))
    if not any(say(told.purpose).casefold() in text.casefold() for text in read):
        why += f" {_its_purpose(known, stage)}"
    return why


def _of_the_other(known: Form, given: str, right: str, asked: _Asked) -> str:
    """What the stage is, or is there for, that was answered."""
    if asked.sort == NAMED:
        return purpose_in_words(known, given)
    if asked.by_ear:
        return say(
            "{stage} {heard}; your answer is what that is there for.",
            stage=stage_name(known, given, begins=True),
            heard=otherwise(known, given, right),
        )
    return say_many(
        "Your answer is what {stage} is there for.",
        "Your answer is what {stage} are there for.",
        number_of(known, given),
        stage=stage_name(known, given),
    )


def _its_purpose(known: Form, stage: str) -> str:
    return say("It is there to {purpose}.", purpose=say(known.stages[stage].purpose))


def _of_no_stage(fresh: Fresh, raga: Raga, setting: Setting) -> tuple[Score, str]:
    """A phrase of the raga, evenly played: no stage is like that."""
    line = plain_line(grow(fresh, raga))
    cue = cue_of(
        fresh, line, sa_hz=setting.sa_hz, tuning=setting.tuning, drone=raga.drone, raga=raga
    )
    return cue, write(line)


_NAMES = {
    HEARD: to_say("What {stage} is there for"),
    NAMED: to_say("{stage}, by what it is there for"),
}


def _name(known: Form, sort: str, stage: str) -> str:
    return capital(say(_NAMES[sort], stage=stage_name(known, stage)))


def _skill_id(sort: str, stage: str) -> str:
    return f"{WhatForKind.name}:{sort}:{stage}"


def _stages_in(skills: Sequence[str], sort: str) -> tuple[str, ...]:
    """The stages of the skills of this sort."""
    begin = _skill_id(sort, "")
    return tuple(skill.removeprefix(begin) for skill in skills if skill.startswith(begin))
