"""`raga-palta`: a palta is heard in a plain scale: how does it run in this raga?

Of the four runs offered two are of the pattern heard and two of another one, and two are the raga's
and two another raga's: neither the ear alone nor knowing the raga answers, and nothing about the
four says which it is.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from functools import cache
from itertools import pairwise

from audio.sargam import parse, write
from audio.score import Drone
from audio.tuning import Swara
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.palta_in_ragas import (
    GROUPS,
    WAYS,
    Groups,
    Pattern,
    can_be_asked,
    degree_of,
    drawn,
    joined,
)
from quizzes.kinds.palta_run import cue_for, explained, fresh_layout, shown
from quizzes.kinds.palta_way import called, layout_in, palta_in
from quizzes.names import capital, counted, in_letters, listed
from quizzes.paltas import Palta, group_from, lay, paltas
from quizzes.phrases import ladder_of
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import NearKind, as_shipped, raga_in, raga_skill, split
from quizzes.ragas.evidence import swaras_of
from quizzes.ragas.movement import break_of
from quizzes.ragas.raga import Raga
from quizzes.ragas.said import raga_name
from quizzes.ragas.shipped import shipped_skills
from quizzes.ragas.tradition import ragas
from quizzes.ragas.ways import NATURAL, gaps_of
from quizzes.ragas.words import full_name, letter_name
from words import say, to_say

PLAIN = "SRGmPDN"
"""The scale in which the pattern is heard."""
PROMPTS = {
    "up": to_say("A pattern in shuddha swaras, going up. How does it go up in {raga}?"),
    "down": to_say("A pattern in shuddha swaras, going down. How does it go down in {raga}?"),
}
GOES = {
    "up": to_say("In {raga} {palta} goes up so: {groups}."),
    "down": to_say("In {raga} {palta} goes down so: {groups}."),
}
STEADY = {
    "up": to_say("{raga} climbs {up}; so does the pattern."),
    "down": to_say("{raga} comes down {down}; so does the pattern."),
}
TURNING = {
    "up": to_say(
        "{raga} climbs {up}, and comes down {down}: where the pattern rises it goes by the first, "
        "where it falls by the second."
    ),
    "down": to_say(
        "{raga} comes down {down}, and climbs {up}: where the pattern falls it goes by the first, "
        "where it rises by the second."
    ),
}
"""By the way that the pattern goes: how the raga goes, and the pattern with it, which steps one way
only or turns back within a group."""


class RagaPaltaKind(NearKind):
    name = "raga-palta"
    title = to_say("A palta in a plain scale: how does it run in this raga?")

    def skills_of_some(self, known: Mapping[str, Raga], some: Collection[str]) -> tuple[Skill, ...]:
        return tuple(_skill(raga) for raga in map(known.__getitem__, some) if can_be_asked(raga))

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        raga = _raga_of(skill, setting)
        fresh, known = Fresh(skill, seed), ragas(setting.tradition)
        asked, beside = drawn(raga, _asked_ids(), known, seed)
        runs = [*asked.runs(raga), *asked.runs(beside)]
        layout = fresh_layout(fresh, [asked.palta, asked.other], met=skill in setting.met)
        line = lay(_plainly(asked, runs[0][0][0]), layout)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say(PROMPTS[asked.way], raga=raga_name(raga)),
            choices=tuple(Choice(_id(run), shown(run)) for run in fresh.shuffled(runs)),
            right=(_id(runs[0]),),
            cue=cue_for(fresh, setting, line, layout),
            sargam=write(line),
            detail={
                "palta": asked.palta.id,
                "layout": layout.id,
                "way": asked.way,
                "other": asked.other.id,
                "of_other": [_id(run) for run in runs[1::2]],
            },
        )

    def explain(self, question: Question, given: str) -> Explanation:
        raga, layout = _raga_of(question.skill, question.setting), layout_in(question)
        right, answered = map(_read_id, (question.right[0], given))
        cue = replace(question.cue, drone=Drone(raga.drone))
        return explained(
            replace(question, cue=cue),
            given,
            why=_why(question, raga, given, answered),
            layout=layout,
            line=lay(right, layout),
            deciding=_parting(right, answered),
            given_line=lay(answered, layout),
            given_plays=say("the run that you chose"),
        )

    def introduce(self, question: Question) -> str:
        raga = _raga_of(question.skill, question.setting)
        palta, way = palta_in(question), question.detail["way"]
        return say(
            "A pattern goes through a raga as the raga climbs and comes down: what the raga leaves "
            "out, the pattern leaves out. {so}",
            so=say(
                GOES[way],
                raga=raga_name(raga),
                palta=called(palta, falling=way == "down"),
                groups=shown(_read_id(question.right[0])),
            ),
        )

    @staticmethod
    def called(sort: str, raga: Raga) -> str:
        return say("how paltas run in {raga}", raga=raga_name(raga))

    def several(self, count: int) -> str:
        return counted(count, "{number} palta in a raga", "{number} paltas in a raga")


def _parting(right: Groups, other: Groups) -> list[int]:
    """The places at which one run is not as the other; all where they are one."""
    pairs = zip(joined(right), joined(other), strict=False)
    places = [place for place, (one, another) in enumerate(pairs) if one != another]
    return places or list(range(len(joined(right))))


def _why(question: Question, raga: Raga, given: str, answered: Groups) -> str:
    """What the raga does with the pattern, and what is wrong with the run that was chosen."""
    way, palta = question.detail["way"], palta_in(question)
    sentences = [_how_it_goes(raga, palta, way)]
    if (wrong := _wrong(raga, joined(answered))) is not None:
        sentences.append(wrong)
    if given in question.detail["of_other"]:
        chosen = paltas()[question.detail["other"]]
        sentences.append(
            say("You chose {chosen}; it was {palta}.", chosen=called(chosen), palta=called(palta))
        )
    return " ".join(sentences)


def _wrong(raga: Raga, swaras: Sequence[Swara]) -> str | None:
    """What the raga does not do with the swaras of a run."""
    broken = break_of(raga, swaras)
    if broken is None:
        return None
    name = capital(full_name(swaras[broken.of].letter))
    if broken.by == "note":
        return say("{swara} is foreign to it.", swara=name)
    if broken.by == "run":
        if swaras[broken.of + 1].steps > swaras[broken.of].steps:
            return say("{swara} is not touched going up.", swara=name)
        return say("{swara} is not touched coming down.", swara=name)
    return say("{swara} is not taken so.", swara=name)


def _how_it_goes(raga: Raga, palta: Palta, way: str) -> str:
    turns = any(before > after for before, after in pairwise(palta.shape))
    text = (TURNING if turns else STEADY)[way]
    lines = {each: _line(raga, each) for each in (WAYS if turns else (way,))}
    return say(text, raga=raga_name(raga), **lines)


def _line(raga: Raga, way: str) -> str:
    """`N, R G M D N S', leaving out Pa`."""
    told_so = in_letters({"up": raga.scale.value.aroha, "down": raga.scale.value.avaroha}[way])
    gaps = listed([letter_name(NATURAL[each]) for each in gaps_of(raga)[way]])
    return say("{line}, leaving out {swaras}", line=told_so, swaras=gaps) if gaps else told_so


def _id(groups: Groups) -> str:
    """`SRG-RGP-GPD`."""
    return "-".join("".join(map(str, group)) for group in groups)


def _read_id(text: str) -> Groups:
    """The groups of an id."""
    return tuple(swaras_of(parse(group)) for group in text.split("-"))


def _plainly(asked: Pattern, start: Swara) -> Groups:
    """How the pattern is heard, from the degree of this swara on."""
    ladder = ladder_of(PLAIN)
    (begun,) = (at for at, each in enumerate(ladder) if degree_of(each) == degree_of(start))
    falling = asked.way == "down"
    places = [begun - at if falling else begun + at for at in range(GROUPS)]
    groups = [group_from(asked.palta.shape, PLAIN, ladder[at], falling=falling) for at in places]
    return tuple(group for group in groups if group is not None)


@cache
def _asked_ids() -> frozenset[str]:
    """Ids of the ragas of which this is asked as shipped."""
    kept = shipped_skills().get(RagaPaltaKind.name)
    if kept is None:
        return frozenset(raga.id for raga in ragas().values() if can_be_asked(raga))
    return frozenset(raga_in(skill.id) for skill in kept)


def _skill(raga: Raga) -> Skill:
    return raga_skill(
        RagaPaltaKind.name,
        raga,
        RagaPaltaKind.called("", raga),
        chance=1 / 4,
        seconds=22.0,
    )


def _raga_of(skill: str, setting: Setting) -> Raga:
    """The raga of a skill, as the teacher has it where it can be asked so in that teaching. Raises
    UnknownSkill."""
    _, raga = split(skill, "raga-palta", setting)
    if raga is ragas().get(raga.id):  # without a teacher's word there is nothing else to ask of
        return raga
    return raga if can_be_asked(raga) else as_shipped(raga, skill)
