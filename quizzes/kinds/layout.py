"""`layout:60:grave`: an hour for a grave raga, shared out among the stages of its performance.

The answer is so many whole minutes for each stage. It is marked against the ranges of
`assets/stages/layout.toml`, or of the student's teacher (`quizzes.stages.layouts`); a stage that is
somewhat too long or too short loses little (`quizzes.stages.sharing`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

from audio.sargam import write
from audio.score import Score
from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.raga_gait import gait_of, is_clear
from quizzes.names import capital, counted, listed
from quizzes.question import KEYS_APART, Choice, Mark, Question, Setting, Skill
from quizzes.ragas.growing import grow
from quizzes.ragas.raga import Raga
from quizzes.ragas.said import raga_name
from quizzes.ragas.sounding import TEMPOS, cue_of, hand_of, raga_line
from quizzes.ragas.tradition import ragas
from quizzes.stages.asking import StageKind, raga_for, stage_name, title_of
from quizzes.stages.explaining import played
from quizzes.stages.layouts import layouts
from quizzes.stages.passages import Passage, bears, in_turn
from quizzes.stages.sharing import Layout, Part
from quizzes.stages.stage import Form
from quizzes.stages.tradition import form
from words import say, to_say

SECONDS = 45.0
FEWEST, MOST = 5, 7
"""How many swaras the phrase has."""
ALAP = "grave"
"""The gait in which an alap begins, whatever the raga's own."""
PLAYED_S = 22.0
"""All glimpses of an explanation together, without what parts them."""
APART_S = 0.35
CUT_FROM_S = 5.0, 8.0
"""A glimpse is the beginning of a passage so long at least."""
RINGS_S = 0.15
"""How long the last stroke of a glimpse sounds at least."""
GAITS = {
    "grave": to_say("a grave raga"),
    "medium": to_say("a raga between grave and light"),
    "light": to_say("a light raga"),
}
"""To be said."""


class LayoutKind(StageKind):
    name = "layout"
    title = to_say("So many minutes for a raga: how are they shared out among the stages?")

    def skills(self) -> tuple[Skill, ...]:
        return tuple(_skill(layout) for layout in layouts().values() if layout.is_asked)

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        """How a performance unfolds puts the stages in order and takes no layout away."""
        return self.skills()

    def asked(self, skill: str, tradition: str) -> bool:
        return skill in _ids(tradition)

    def name_of(self, skill: str) -> str:
        return _name(*_key(skill))

    def several(self, count: int) -> str:
        return counted(
            count, "{number} layout of a performance", "{number} layouts of a performance"
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        layout, known = _layout(skill, setting.tradition), form(setting.tradition)
        fresh = Fresh(skill, seed)
        raga = _raga(fresh, layout.gait, setting, known)
        line = raga_line(fresh, raga, grow(fresh, raga, fewest=FEWEST, most=MOST), gait=ALAP)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say(
                "You have {minutes} minutes for {raga}, {gait}. "
                "Share them out among these stages. You hear a phrase of its alap.",
                minutes=layout.minutes,
                raga=raga_name(raga),
                gait=say(GAITS[layout.gait]),
            ),
            choices=tuple(Choice(part.stage, title_of(known, part.stage)) for part in layout.parts),
            right=(_written(layout.sensible),),
            cue=cue_of(
                fresh,
                line,
                sa_hz=setting.sa_hz,
                tuning=setting.tuning,
                drone=raga.drone,
                tempo=TEMPOS[ALAP],
                hand=hand_of(ALAP),
                raga=raga,
            ),
            sargam=write(line),
            answer_on="shares",
            detail={"raga": raga.id},
            lines=max(1, round(1 / layout.chance)),
            whole=layout.minutes,
        )

    def mark(self, question: Question, given: str) -> Mark:
        return Mark(_of(question).credit(question.shared(given)))

    def explain(self, question: Question, given: str) -> Explanation:
        layout, shares = _of(question), question.shared(given)
        missed = layout.missed(shares)
        return Explanation(
            right_label=_told(question, layout.sensible),
            given_label=_told(question, shares),
            why=_amiss(question, missed) if missed else _praise(question),
            right_cue=_played(question, layout.sensible if missed else shares),
            given_cue=_played(question, shares) if missed else None,
            given_plays=say("a glimpse of each stage, as long as you gave it") if missed else "",
        )

    def introduce(self, question: Question) -> str:
        layout = _of(question)
        raga = ragas(question.setting.tradition)[question.detail["raga"]]
        spans = [f"{_stage(question, part)} {part.span}" for part in layout.parts]
        return say(
            "{raga} is {gait}. Of {minutes} minutes its stages usually have: {spans}.",
            raga=raga_name(raga),
            gait=say(GAITS[layout.gait]),
            minutes=layout.minutes,
            spans=listed(spans),
        )


def _skill(layout: Layout) -> Skill:
    return Skill(
        id=f"layout:{layout.minutes}:{layout.gait}",
        kind=LayoutKind.name,
        name=_name(layout.minutes, layout.gait),
        family="facts",
        cluster=f"layout, {layout.gait}",
        chance=layout.chance,
        seconds=SECONDS,
    )


def _name(minutes: int, gait: str) -> str:
    return say("{minutes} minutes for {gait}", minutes=minutes, gait=say(GAITS[gait]))


@lru_cache(maxsize=8)
def _ids(tradition: str) -> frozenset[str]:
    """What can be asked: of layouts of which there is something to say, in ragas that there are."""
    taught, of_gait = layouts(tradition), _of_gait(tradition)
    return frozenset(
        skill.id
        for key, layout in layouts().items()
        if (skill := _skill(layout)) and key in taught
        if taught[key].is_asked and of_gait[layout.gait]
    )


def _key(skill: str) -> tuple[int, str]:
    """Minutes and gait of a skill that is asked. Raises UnknownSkill."""
    name, *parts = skill.split(":")
    if name == LayoutKind.name and len(parts) == 2 and parts[0].isdecimal():
        key = int(parts[0]), parts[1]
        if key in layouts() and skill == f"{name}:{key[0]}:{key[1]}":
            return key
    raise not_asked(skill, LayoutKind.name)


def _layout(skill: str, tradition: str) -> Layout:
    """As the student's teacher has it; as shipped where he leaves nothing to ask."""
    key = _key(skill)
    taught = layouts(tradition).get(key)
    return taught if taught is not None and taught.is_asked else layouts()[key]


def _of(question: Question) -> Layout:
    return _layout(question.skill, question.setting.tradition)


def gait_for(raga: Raga) -> str:
    """Grave, light or between; "" for a raga that is played both gravely and lightly."""
    if is_clear(raga):
        return gait_of(raga)
    words = raga.gait.value
    return "medium" if "medium" in words and "light" not in words else ""


@lru_cache(maxsize=8)
def _of_gait(tradition: str) -> Mapping[str, tuple[str, ...]]:
    """The ids of the ragas of each gait."""
    known = ragas(tradition)
    return {gait: tuple(one for one in known if gait_for(known[one]) == gait) for gait in GAITS}


def _raga(fresh: Fresh, gait: str, setting: Setting, known: Form) -> Raga:
    """One of this gait that the student has begun, else a usual one, else any."""
    fitting = _of_gait(setting.tradition)[gait] or _of_gait("")[gait]
    for some in (setting.ragas, known.ragas, fitting):
        if among := tuple(one for one in some if one in fitting):
            return raga_for(fresh, replace(setting, ragas=among), known)
    raise AssertionError(gait)


def _written(shares: Sequence[int]) -> str:
    return KEYS_APART.join(map(str, shares))


def _told(question: Question, shares: Sequence[int]) -> str:
    """`Alap 16, Jor 8 …`, in minutes."""
    named = zip(question.choices, shares, strict=True)
    return ", ".join(f"{choice.label} {minutes}" for choice, minutes in named)


def _stage(question: Question, part: Part) -> str:
    return stage_name(form(question.setting.tradition), part.stage)


def _amiss(question: Question, missed: Sequence[tuple[Part, int]]) -> str:
    """For each stage that was missed what is usual and why; one reason is given once."""
    told: list[str] = []
    whys: set[str] = set()
    for part, minutes in missed:
        span = {"stage": _stage(question, part), "span": part.span, "minutes": minutes}
        if told:
            usual = say("{stage} {span}, not {minutes}", **span)
        else:
            usual = say("{stage} usually has {span} minutes, not {minutes}", **span)
        if part.why not in whys:
            usual = say("{usual}: {why}", usual=usual, why=say(part.why))
        told.append(usual)
        whys.add(part.why)
    return say("{reasons}.", reasons=capital("; ".join(told)))


def _praise(question: Question) -> str:
    """What the longest stage has its time for."""
    longest = max(_of(question).parts, key=lambda part: part.most)
    return say(
        "{stage} usually has {span} minutes: {why}.",
        stage=capital(_stage(question, longest)),
        span=longest.span,
        why=say(longest.why),
    )


def _played(question: Question, shares: Sequence[int]) -> Score:
    """A glimpse of each stage that has any time, as long as its share."""
    stages = form(question.setting.tradition).stages
    raga = ragas(question.setting.tradition)[question.detail["raga"]]
    return in_turn(
        tuple(
            _glimpse(question, part.stage, PLAYED_S * minutes / question.whole)
            for part, minutes in zip(_of(question).parts, shares, strict=True)
            if minutes and bears(stages[part.stage], raga)
        ),
        apart_s=APART_S,
    )


def _glimpse(question: Question, stage: str, lasts_s: float) -> Passage:
    """So much of the beginning of a passage, which is the same for every answer."""
    longest = max(CUT_FROM_S[1], lasts_s)
    found = played(question, stage, lasts_s=(max(CUT_FROM_S[0], lasts_s), longest))
    return replace(found, score=cut(found.score, lasts_s))


def cut(score: Score, lasts_s: float) -> Score:
    """The first seconds of a score; what sounds when they are over is damped."""
    return replace(
        score,
        strokes=tuple(
            replace(stroke, duration_s=min(stroke.duration_s, lasts_s - stroke.onset_s))
            for stroke in score.strokes
            if stroke.onset_s < lasts_s - RINGS_S
        ),
        tabla=tuple(stroke for stroke in score.tabla if stroke.onset_s < lasts_s - RINGS_S),
    )
