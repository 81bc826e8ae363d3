"""`raga-palta`: a palta is heard in a plain scale: how does it run in this raga?

Of the four runs offered two are of the pattern heard and two of another one, and two are the raga's
and two another raga's: neither the ear alone nor knowing the raga answers, and nothing about the
four says which it is.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from functools import cache
from itertools import pairwise

from audio.sargam import write
from audio.score import Drone
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.palta_in_ragas import GROUPS, WAYS, Groups, Pattern, can_be_asked, drawn, joined
from quizzes.kinds.palta_run import cue_for, explained, fresh_layout, read_groups, said, told
from quizzes.kinds.palta_way import called, layout_in, palta_in
from quizzes.names import capital, listed
from quizzes.paltas import Palta, lay, paltas, run_in_scale
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import NearKind, as_shipped, raga_in, raga_skill, split
from quizzes.ragas.movement import break_of
from quizzes.ragas.raga import Raga
from quizzes.ragas.shipped import shipped_skills
from quizzes.ragas.tradition import ragas
from quizzes.ragas.ways import NATURAL, gaps_of
from quizzes.ragas.words import full_name, letter_name

PLAIN = "SRGmPDN"
"""The scale in which the pattern is heard."""


class RagaPaltaKind(NearKind):
    name = "raga-palta"
    title = "A palta in a plain scale: how does it run in this raga?"
    thing = "palta"
    after_things = " in a raga"

    def skills_of_some(self, known: Mapping[str, Raga], some: Collection[str]) -> tuple[Skill, ...]:
        return tuple(_skill(raga) for raga in map(known.__getitem__, some) if can_be_asked(raga))

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        raga = _raga_of(skill, setting)
        fresh, known = Fresh(skill, seed), ragas(setting.tradition)
        asked, beside = drawn(raga, _asked_ids(), known, seed)
        runs = [*asked.runs(raga), *asked.runs(beside)]
        layout = fresh_layout(fresh, [asked.palta, asked.other], met=skill in setting.met)
        line = lay(_plainly(asked), layout)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=(
                f"A pattern in shuddha swaras, going {asked.way}. "
                f"How does it go {asked.way} in {raga.name}?"
            ),
            choices=tuple(Choice(_id(run), told(run)) for run in fresh.shuffled(runs)),
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
        right, answered = (
            read_groups(question.choice(each).label) for each in (question.right[0], given)
        )
        cue = replace(question.cue, drone=Drone(raga.drone))
        return explained(
            replace(question, cue=cue),
            given,
            why=_why(question, raga, given, answered),
            layout=layout,
            line=lay(right, layout),
            deciding=_parting(right, answered),
            given_line=lay(answered, layout),
            given_plays="the run that you chose",
        )

    def introduce(self, question: Question) -> str:
        raga = _raga_of(question.skill, question.setting)
        palta, way = palta_in(question), question.detail["way"]
        heard = read_groups(question.choice(question.right[0]).label)
        return (
            "A pattern goes through a raga by the raga's own ways: its steps up take the way up, "
            "which may leave out a swara or turn, and its steps down the way down. "
            f"{called(palta, falling=way == 'down')} goes {way} in {raga.name} so: {told(heard)}."
        )


def _parting(right: Groups, other: Groups) -> list[int]:
    """The places at which one run is not as the other; all where they are one."""
    pairs = zip(joined(right), joined(other), strict=False)
    places = [place for place, (one, another) in enumerate(pairs) if one != another]
    return places or list(range(len(joined(right))))


def _why(question: Question, raga: Raga, given: str, answered: Groups) -> str:
    """What the raga does with the pattern, and what is wrong with the run that was chosen."""
    way, palta = question.detail["way"], palta_in(question)
    sentences = [_how_it_goes(raga, palta, way)]
    broken = break_of(raga, joined(answered))
    if broken is not None:
        letter = joined(answered)[broken.of].letter
        does = {"note": "is foreign to it", "run": "is not passed so"}
        sentences.append(f"{capital(full_name(letter))} {does.get(broken.by, 'is not taken so')}.")
    if given in question.detail["of_other"]:
        chosen = paltas()[question.detail["other"]]
        sentences.append(f"You chose {called(chosen)}; it was {called(palta)}.")
    return " ".join(sentences)


def _how_it_goes(raga: Raga, palta: Palta, way: str) -> str:
    if all(before <= after for before, after in pairwise(palta.shape)):
        return f"{raga.name} goes {way} {_line(raga, way)}; the pattern takes its steps so."
    (back,) = (each for each in WAYS if each != way)
    return (
        f"In {raga.name} steps {way} take the way {way}, {_line(raga, way)}; steps {back} take the "
        f"way {back}, {_line(raga, back)}."
    )


def _line(raga: Raga, way: str) -> str:
    """`N, R G M D N S', without Pa`."""
    told_so = said({"up": raga.scale.value.aroha, "down": raga.scale.value.avaroha}[way])
    if {"up": raga.vakra_up, "down": raga.vakra_down}[way]:
        return f"{told_so}, in turns"
    gaps = listed([letter_name(NATURAL[each]) for each in gaps_of(raga)[way]])
    return f"{told_so}, without {gaps}" if gaps else told_so


def _id(groups: Groups) -> str:
    """`SRG-RGP-GPD`."""
    return "-".join("".join(map(str, group)) for group in groups)


def _plainly(asked: Pattern) -> Groups:
    """How the pattern is heard; where it has fewer groups than in the raga, its last ones."""
    run = run_in_scale(asked.palta, PLAIN)
    assert run is not None  # groups of so few swaras run in any scale of seven
    groups = run.up if asked.way == "up" else run.down
    first = min(asked.first, len(groups) - GROUPS)
    return groups[first : first + GROUPS]


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
        f"how paltas run in {raga.name}",
        chance=1 / 4,
        seconds=22.0,
    )


def _raga_of(skill: str, setting: Setting) -> Raga:
    """The raga of a skill, as the teacher has it where it can be asked so in that teaching. Raises
    UnknownSkill."""
    _, raga = split(skill, "raga-palta", setting)
    return raga if can_be_asked(raga) else as_shipped(raga, skill)
