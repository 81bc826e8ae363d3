"""`raga-when`: a phrase comes swara by swara: after which was it sure which raga it is?

The ragas that it may be are named; sure it is with the first swara by which every other one is
ruled out, and sometimes not even at the end. Of every raga and its rivals phrases are known that
are told at each place offered, so that the ragas named say nothing of the place.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from audio.sargam import parse, write
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import counted, listed, ordinal
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import (
    NearKind,
    as_shipped,
    drone_for,
    evenly,
    explanation_of,
    raga_in,
    raga_skill,
    ragas_in,
    split,
)
from quizzes.ragas.evidence import Evidence, swaras_of
from quizzes.ragas.moments import (
    MOST_OTHERS,
    Asking,
    beside_it,
    can_be_asked,
    last_break,
    moment_of,
)
from quizzes.ragas.movement import Swaras, makes
from quizzes.ragas.raga import Raga
from quizzes.ragas.said import as_it_turns, raga_name
from quizzes.ragas.several import within_sentence
from quizzes.ragas.shipped import shipped_skills
from quizzes.ragas.sounding import cue_of, plain_line
from quizzes.ragas.stock import fresh_line
from quizzes.ragas.telling import NOT_YET
from quizzes.ragas.tradition import ragas
from quizzes.ragas.words import as_other, why
from words import say, to_say

PLACES = (2, 3, 4)
"""Where a phrase may be told, counted from 0: a run is told by its third swara at the earliest."""
ASKING = Asking(count=6, places=PLACES)
SORTS = ("note", "run")
TEMPO = 56.0, 64.0
"""In matras a minute: about one swara a second."""
BEGUN_SHARE = 0.7
"""How often ragas that have been begun are named, where they fit."""

NAMES = {
    "note": to_say("when {raga} is sure, by a swara"),
    "run": to_say("when {raga} is sure, by its way up and down"),
    NOT_YET: to_say("whether {raga} is sure at all by the end"),
}
ABOUT = {
    "note": to_say(
        "A phrase of {raga} comes swara by swara: "
        "it is sure with the swara that the other ragas named have not."
    ),
    "run": to_say(
        "A phrase of {raga} comes swara by swara: "
        "it is sure with the swara after the one that the others do not pass."
    ),
    NOT_YET: to_say(
        "A phrase of {raga} comes swara by swara: "
        "some phrases belong to two ragas to their end, and to say so is right."
    ),
}


class RagaWhenKind(NearKind):
    name = "raga-when"
    title = to_say("A phrase swara by swara: after which was it sure which raga it is?")
    sorts = tuple(NAMES)

    @staticmethod
    def called(sort: str, raga: Raga) -> str:
        return say(NAMES[sort], raga=raga_name(raga))

    def several(self, count: int) -> str:
        return counted(count, "{number} telling moment", "{number} telling moments")

    def skills_of_some(self, known: Mapping[str, Raga], some: Collection[str]) -> tuple[Skill, ...]:
        told = _told(known, some)
        left_open = _left_open(known, some, told)
        return tuple(_skill(sort, raga) for sort, raga in (*told, *left_open))

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        sort, right, known = _asked(skill, setting)
        fresh = Fresh(skill, seed)
        others = _named(fresh, sort, right, known, setting)
        place = None if sort == NOT_YET else fresh.one_of(PLACES)
        line = plain_line(
            fresh_line(
                fresh, right, ASKING.count, lambda line: moment_of(others, line) == (sort, place)
            )
        )
        named = _names([right, *others])
        may_be_later = sort == NOT_YET or any(f":{NOT_YET}:" in met for met in setting.met)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("{ragas}? After which swara is it sure?", ragas=listed(named, "or")),
            choices=_choices(),
            right=(NOT_YET if place is None else str(place + 1),),
            cue=cue_of(
                fresh,
                line,
                sa_hz=setting.sa_hz,
                tuning=setting.tuning,
                drone=drone_for([right, *others]),
                tempo=TEMPO,
            ),
            sargam=write(line),
            detail={"others": [other.id for other in others]},
            possible=None if may_be_later else tuple(str(n + 1) for n in PLACES),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        sort, right, known = _asked(question.skill, question.setting)
        others = [known[one] for one in question.detail["others"]]
        line = parse(question.sargam)
        swaras = swaras_of(line)
        until = ASKING.count if given == NOT_YET else int(given)
        as_asked = plain_line(swaras[:until])
        plays = say("the phrase up to the {place} swara", place=ordinal(until - 1))
        if sort == NOT_YET:
            able = _able(others, swaras)
            return explanation_of(
                question,
                given,
                why=say(
                    "{ragas} make this phrase alike, to its end.",
                    ragas=listed(_names([right, *able])),
                ),
                given_line=as_asked,
                given_plays=plays,
                intro_cue=question.cue,
            )
        broken, other = last_break(others, swaras)
        evidence = Evidence(broken.by, other.id, broken.of, broken.at)
        text = say(
            "It was {raga} from the {place} swara on: {why}",
            raga=raga_name(right),
            place=ordinal(broken.at),
            why=within_sentence(why(evidence, line, right, other)),
        )
        if until <= broken.at:
            able = _able(others, swaras[: broken.at])
            could = say(
                "Up to the {place} {ragas} could have gone the same way.",
                place=ordinal(broken.at - 1),
                ragas=listed(_names(able)),
            )
            text = f"{text} {could}"
        if given == NOT_YET:
            as_asked, plays = as_other(evidence, line, other), as_it_turns(other)
        return explanation_of(
            question,
            given,
            why=text,
            deciding=range(broken.of - (broken.by == "run"), broken.at + 1),
            given_line=as_asked,
            given_plays=plays,
            intro_cue=question.cue,
        )

    def introduce(self, question: Question) -> str:
        sort, right, _ = _asked(question.skill, question.setting)
        return say(ABOUT[sort], raga=raga_name(right))


def _choices() -> tuple[Choice, ...]:
    return (
        *(Choice(str(at + 1), say("After the {place} swara", place=ordinal(at))) for at in PLACES),
        Choice(NOT_YET, say("Not even at the end")),
    )


def _able(others: Sequence[Raga], swaras: Swaras) -> list[Raga]:
    """Those that are known to go this way."""
    return [other for other in others if makes(other, swaras)]


def _names(some: Sequence[Raga]) -> list[str]:
    """In the order of the alphabet."""
    return sorted(map(raga_name, some))


def _named(
    fresh: Fresh, sort: str, right: Raga, known: Mapping[str, Raga], setting: Setting
) -> tuple[Raga, ...]:
    """The ragas named beside the right one, two as often as one where both can be; often such as
    have been begun."""
    begun = {
        *ragas_in(setting.rivals, setting.tradition),
        *ragas_in(setting.met, setting.tradition),
    }
    wished = fresh.between(0, 1) < BEGUN_SHARE
    for size in fresh.shuffled(range(1, MOST_OTHERS + 1)):
        found = fresh.shuffled(beside_it(right, known, size))
        if wished:
            found.sort(key=lambda others: any(other.id not in begun for other in others))
        for others in found:
            if can_be_asked(sort, right, others, ASKING):
                return others
    raise ValueError(f"{right.id}: nothing near to it can be asked by {sort}")


Skills = list[tuple[str, Raga]]
"""By sort and raga."""


def _told(known: Mapping[str, Raga], some: Collection[str]) -> Skills:
    of_some = [known[raga] for raga in some]
    return [(sort, raga) for sort in SORTS for raga in of_some if _has(sort, raga, known)]


def _left_open(known: Mapping[str, Raga], some: Collection[str], told: Skills) -> Skills:
    """One of them for each place offered, so that "not even at the end" is not right more often;
    where a teacher has said something, the same as before and what that brings."""
    shipped = ragas()
    able = [known[raga] for raga in some if _has(NOT_YET, known[raga], known)]
    if known is shipped:
        chosen = evenly(able, min(len(told) // len(PLACES), len(able)))
        return [(NOT_YET, raga) for raga in chosen]
    before = _left_open_as_shipped()
    brought = sum(raga is not shipped.get(raga.id) for _, raga in told)
    new = [r for r in able if r is not shipped.get(r.id) and r.id not in before]
    kept = [raga for raga in able if raga.id in before]
    return [(NOT_YET, raga) for raga in (*kept, *new[: brought // len(PLACES)])]


def _left_open_as_shipped() -> frozenset[str]:
    kept = shipped_skills().get(RagaWhenKind.name)
    if kept is None:
        shipped = ragas()
        found = _left_open(shipped, shipped.keys(), _told(shipped, shipped.keys()))
        return frozenset(raga.id for _, raga in found)
    return frozenset(raga_in(skill.id) for skill in kept if f":{NOT_YET}:" in skill.id)


def _has(sort: str, raga: Raga, known: Mapping[str, Raga]) -> bool:
    alone = beside_it(raga, known, 1)
    return any(can_be_asked(sort, raga, others, ASKING) for others in alone)


def _skill(sort: str, raga: Raga) -> Skill:
    return raga_skill(
        RagaWhenKind.name,
        raga,
        RagaWhenKind.called(sort, raga),
        sort=sort,
        chance=1 / (len(PLACES) + 1),
        seconds=22.0,
    )


def _asked(skill: str, setting: Setting) -> tuple[str, Raga, Mapping[str, Raga]]:
    """The sort, the raga and all ragas, as the teacher has them where that can be asked of them.
    Raises UnknownSkill."""
    sort, raga = split(skill, "raga-when", setting, NAMES)
    known = ragas(setting.tradition)
    if _has(sort, raga, known):
        return sort, raga, known
    return sort, as_shipped(raga, skill), ragas()
