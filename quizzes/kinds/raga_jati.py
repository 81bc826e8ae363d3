"""`raga-jati`: the way up and down of a raga: what is its jati, and which swara does it leave out?

Asked only where all that is known of a raga agrees: in every teaching as many degrees and the same
ones left out, each degree in one form a way, and no occasional swara that would fill a gap.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from audio.sargam import write
from quizzes.choice_sets import wrong_weights
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import counted, listed
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import RagaKind, explanation_of, raga_skill, split
from quizzes.ragas.raga import DEGREES, JATIS, Raga
from quizzes.ragas.sounding import cue_of
from quizzes.ragas.ways import (
    agreed_ragas,
    changed_ways,
    gaps_of,
    is_agreed,
    jati_of,
    ways_of,
)

SORTS = ("jati", "out")
NAMES = {"jati": "the jati of {}", "out": "what {} leaves out"}
OFFERED = 4
WAYS = {"up": "on its way up", "down": "on its way down", "both": "altogether"}
PLAYED = {"up": "its way up", "down": "its way down", "both": "its way up and down"}
NONE, NONE_LABEL = "none", "None"
NONE_SHARE = 0.5
"""How often a way is asked on which nothing is left out."""
DEGREE_NAMES = dict(zip(DEGREES, ("Sa", "Re", "Ga", "Ma", "Pa", "Dha", "Ni"), strict=True))


class RagaJatiKind(RagaKind):
    name = "raga-jati"
    title = "The way up and down of a raga: its jati, and what it leaves out"
    thing = "jati"

    def skills_among(self, known: Mapping[str, Raga]) -> tuple[Skill, ...]:
        return tuple(
            _skill(sort, raga)
            for sort in SORTS
            for raga in known.values()
            if is_agreed(raga) and (sort == "jati" or any(gaps_of(raga).values()))
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        sort, raga = _asked(skill, setting)
        fresh = Fresh(skill, seed)
        line = ways_of(raga)
        way = ""
        if sort == "jati":
            right = jati_of(raga)
            ids = _offered_jatis(fresh, right)
            prompt = f"The way up and down of {raga.name}: what is its jati?"
        else:
            way, right, ids = _left_out(fresh, raga)
            prompt = f"Which swara does {raga.name} leave out {WAYS[way]}?"
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=prompt,
            choices=tuple(Choice(one, _label(one)) for one in fresh.shuffled(ids)),
            right=(right,),
            cue=cue_of(fresh, line, sa_hz=setting.sa_hz, tuning=setting.tuning, drone=raga.drone),
            sargam=write(line),
            detail={"way": way},
        )

    def explain(self, question: Question, given: str) -> Explanation:
        sort, raga = _asked(question.skill, question.setting)
        if sort == "jati":
            shown = _example(question.seed, given, raga)
            return explanation_of(
                question,
                given,
                why=_why_jati(raga),
                given_line=ways_of(shown),
                given_plays=f"the way up and down of {shown.name}: {_label(given).lower()}",
            )
        way, right = question.detail["way"], question.right[0]
        added = given == NONE
        degree = right if added else given
        joint = "with" if added else "without"
        return explanation_of(
            question,
            given,
            why=_why_out(raga, way, given),
            given_line=None
            if given in question.right
            else changed_ways(raga, way, degree, added=added),
            given_plays=f"{PLAYED[way]} {joint} {DEGREE_NAMES.get(degree, '')}",
        )

    def introduce(self, question: Question) -> str:
        sort, raga = _asked(question.skill, question.setting)
        if sort == "jati":
            return (
                "A way of five swaras is audav, of six shadav, of all seven sampurna; up and down "
                f"together make the jati. Here is {raga.name}."
            )
        return (
            f"A raga may leave out swaras on its way up, down or altogether. Here is {raga.name}."
        )


def _offered_jatis(fresh: Fresh, right: str) -> list[str]:
    """The right one and others that ragas have, common ones oftener."""
    others = sorted({*map(jati_of, agreed_ragas())} - {right})
    weights = [_jati_weights()[one] for one in others]
    return [right, *fresh.weighted(others, weights, OFFERED - 1)]


@cache
def _jati_weights() -> Mapping[str, float]:
    known = frozenset(map(jati_of, agreed_ragas()))
    cases = [(frozenset((jati_of(raga),)), known - {jati_of(raga)}) for raga in agreed_ragas()]
    return wrong_weights(cases, OFFERED - 1)


def _left_out(fresh: Fresh, raga: Raga) -> tuple[str, str, list[str]]:
    """The way that is asked, the right degree or NONE, and all that are offered."""
    gaps = gaps_of(raga)
    asked = {way: found for way in WAYS if (found := _asked_gaps(gaps, way))}
    empty = [way for way, found in gaps.items() if not found]
    if not asked or (empty and fresh.between(0, 1) < NONE_SHARE):
        way, right = fresh.one_of(empty), NONE
    else:
        way = fresh.one_of(list(asked))
        right = fresh.one_of(asked[way])
    wrong = _there(gaps, way)
    weights = _weights()
    count = OFFERED if right == NONE else OFFERED - 1
    drawn = fresh.weighted(wrong, [weights[one] for one in wrong], count)
    return way, right, [*dict.fromkeys((*drawn, right, NONE))]


def _asked_gaps(gaps: Mapping[str, tuple[str, ...]], way: str) -> tuple[str, ...]:
    """What one way leaves out and the other has; or what neither has."""
    return tuple(one for one in gaps[way] if way == "both" or one not in gaps["both"])


def _there(gaps: Mapping[str, tuple[str, ...]], way: str) -> list[str]:
    """What a way does not leave out, but for Sa, which none does."""
    return [one for one in DEGREES[1:] if one not in gaps[way]]


@cache
def _weights() -> Mapping[str, float]:
    """Degrees that are often left out are often offered wrongly, too."""
    found = [(gaps_of(raga), way) for raga in agreed_ragas() for way in WAYS]
    cases = [
        (frozenset(_asked_gaps(gaps, way)), frozenset(_there(gaps, way)))
        for gaps, way in found
        if _asked_gaps(gaps, way)
    ]
    return {**dict.fromkeys(DEGREES, 1.0), **wrong_weights(cases, OFFERED - 1)}


def _why_jati(raga: Raga) -> str:
    """What it leaves out, and how many swaras that makes."""
    up, down = raga.jati
    counts = {jati: counted(count, "swara") for count, jati in JATIS.items()}
    gaps = gaps_of(raga)
    out_up, out_down = (
        listed([DEGREE_NAMES[one] for one in gaps[way]]) or "nothing" for way in ("up", "down")
    )
    if out_up == out_down:
        return f"{raga.name} leaves out {out_up} both ways: {counts[up]}, {up}."
    left = f"{raga.name} leaves out {out_up} going up and {out_down} coming down"
    if up == down:
        return f"{left}: {counts[up]} both ways, {up}."
    fewer = counts[down].partition(" ")[0]
    return f"{left}: {counts[up]} up, {up}, and {fewer} down, {down}."


def _why_out(raga: Raga, way: str, given: str) -> str:
    gaps = gaps_of(raga)[way]
    left = listed([DEGREE_NAMES[one] for one in gaps]) or "nothing"
    there = f"; {DEGREE_NAMES[given]} is there" if given != NONE and given not in gaps else ""
    return f"{raga.name} leaves out {left} {WAYS[way]}{there}."


def _example(seed: int, jati: str, raga: Raga) -> Raga:
    """Another raga of this jati."""
    others = [one for one in agreed_ragas() if jati_of(one) == jati and one.id != raga.id]
    return Fresh(f"a raga that is {jati}", seed).one_of(others or [raga])


def _skill(sort: str, raga: Raga) -> Skill:
    return raga_skill(
        RagaJatiKind.name,
        raga,
        NAMES[sort].format(raga.name),
        sort=sort,
        cluster="jati" if sort == "jati" else "left out",
        chance=1 / OFFERED if sort == "jati" else 1 / (OFFERED + 1),
        seconds=22.0,
    )


def _label(choice: str) -> str:
    if choice in DEGREE_NAMES or choice == NONE:
        return DEGREE_NAMES.get(choice, NONE_LABEL)
    up, down = choice.split("-")
    return f"{up.capitalize()} both ways" if up == down else f"{up.capitalize()} up, {down} down"


def _asked(skill: str, setting: Setting) -> tuple[str, Raga]:
    """The sort and the raga of a skill. Raises UnknownSkill."""
    return split(skill, "raga-jati", setting, SORTS)
