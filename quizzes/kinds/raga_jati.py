"""`raga-jati`: the way up and down of a raga: what is its jati, and which swara does it leave out?

Asked only where all that is known of a raga agrees: in every teaching as many degrees and the same
ones left out, each degree in one form a way, and no occasional swara that would fill a gap.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache

from audio.sargam import write
from quizzes.choice_sets import wrong_weights
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import capital, counted, listed, number_word, swaras_counted
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import RagaKind, explanation_of, raga_skill, split
from quizzes.ragas.raga import DEGREES, JATIS, Raga
from quizzes.ragas.said import jati_name, raga_name
from quizzes.ragas.sounding import cue_of
from quizzes.ragas.ways import (
    NATURAL,
    agreed_ragas,
    changed_ways,
    gaps_of,
    is_agreed,
    jati_of,
    ways_of,
)
from quizzes.ragas.words import letter_name
from words import say, say_as, to_say

SORTS = ("jati", "out")
NAMES = {"jati": to_say("the jati of {raga}"), "out": to_say("what {raga} leaves out")}
OFFERED = 4
PROMPTS = {
    "up": to_say("Which swara does {raga} leave out on its way up?"),
    "down": to_say("Which swara does {raga} leave out on its way down?"),
    "both": to_say("Which swara does {raga} leave out altogether?"),
}
LEAVES = {
    "up": to_say("{raga} leaves out {swaras} on its way up"),
    "down": to_say("{raga} leaves out {swaras} on its way down"),
    "both": to_say("{raga} leaves out {swaras} altogether"),
}
LEAVES_NOTHING = {
    "up": to_say("{raga} leaves out nothing on its way up"),
    "down": to_say("{raga} leaves out nothing on its way down"),
    "both": to_say("{raga} leaves out nothing altogether"),
}
PLAYED_WITH = {
    "up": to_say("its way up with {swara}"),
    "down": to_say("its way down with {swara}"),
    "both": to_say("its way up and down with {swara}"),
}
PLAYED_WITHOUT = {
    "up": to_say("its way up without {swara}"),
    "down": to_say("its way down without {swara}"),
    "both": to_say("its way up and down without {swara}"),
}
WAYS = tuple(PROMPTS)
NONE = "none"
NONE_SHARE = 0.5
"""How often a way is asked on which nothing is left out."""


class RagaJatiKind(RagaKind):
    name = "raga-jati"
    title = to_say("The way up and down of a raga: its jati, and what it leaves out")
    sorts = SORTS

    @staticmethod
    def called(sort: str, raga: Raga) -> str:
        return say(NAMES[sort], raga=raga_name(raga))

    def several(self, count: int) -> str:
        return counted(count, "{number} jati", "{number} jatis")

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
            prompt = to_say("The way up and down of {raga}: what is its jati?")
        else:
            way, right, ids = _left_out(fresh, raga)
            prompt = PROMPTS[way]
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say(prompt, raga=raga_name(raga)),
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
                given_plays=say(
                    "the way up and down of {raga}: {jati}",
                    raga=raga_name(shown),
                    jati=_both_jatis(given),
                ),
            )
        way, right = question.detail["way"], question.right[0]
        why = _why_out(raga, way, given)
        if given == right:
            return explanation_of(question, given, why=why)
        added = given == NONE
        degree = right if added else given
        return explanation_of(
            question,
            given,
            why=why,
            given_line=changed_ways(raga, way, degree, added=added),
            given_plays=say((PLAYED_WITH if added else PLAYED_WITHOUT)[way], swara=_name(degree)),
        )

    def introduce(self, question: Question) -> str:
        sort, raga = _asked(question.skill, question.setting)
        if sort == "jati":
            return say(
                "A way of five swaras is audav, of six shadav, of all seven sampurna; up and down "
                "together make the jati. Here is {raga}.",
                raga=raga_name(raga),
            )
        return say(
            "A raga may leave out swaras on its way up, down or altogether. Here is {raga}.",
            raga=raga_name(raga),
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
    of_jati = {jati: count for count, jati in JATIS.items()}
    swaras, gaps = swaras_counted(of_jati[up]), gaps_of(raga)
    if gaps["up"] == gaps["down"]:
        told = {"raga": raga_name(raga), "swaras": swaras, "jati": jati_name(up)}
        if not gaps["up"]:
            return say("{raga} leaves out nothing both ways: {swaras}, {jati}.", **told)
        out = _listed(gaps["up"])
        return say("{raga} leaves out {out} both ways: {swaras}, {jati}.", out=out, **told)
    if up == down:
        makes = say("{swaras} both ways, {jati}", swaras=swaras, jati=jati_name(up))
    else:
        makes = say(
            "{swaras} up, {jati}, and {fewer} down, {jati_down}",
            swaras=swaras,
            jati=jati_name(up),
            fewer=number_word(of_jati[down]),
            jati_down=jati_name(down),
        )
    return say("{out}: {makes}.", out=_left_out_each_way(raga), makes=makes)


def _left_out_each_way(raga: Raga) -> str:
    """Where it leaves out other swaras on the one way than on the other."""
    gaps = gaps_of(raga)
    out = {"raga": raga_name(raga), "up": _listed(gaps["up"]), "down": _listed(gaps["down"])}
    if not gaps["up"]:
        return say("{raga} leaves out nothing going up and {down} coming down", **out)
    if not gaps["down"]:
        return say("{raga} leaves out {up} going up and nothing coming down", **out)
    return say("{raga} leaves out {up} going up and {down} coming down", **out)


def _why_out(raga: Raga, way: str, given: str) -> str:
    gaps = gaps_of(raga)[way]
    if gaps:
        what = say(LEAVES[way], raga=raga_name(raga), swaras=_listed(gaps))
    else:
        what = say(LEAVES_NOTHING[way], raga=raga_name(raga))
    if given == NONE or given in gaps:
        return say("{what}.", what=what)
    return say("{what}; {swara} is there.", what=what, swara=_name(given))


def _listed(degrees: Sequence[str]) -> str:
    return listed(list(map(_name, degrees)))


def _name(degree: str) -> str:
    """What a degree is called, in whichever form: `Ga`."""
    return letter_name(NATURAL[degree])


def _example(seed: int, jati: str, raga: Raga) -> Raga:
    """Another raga of this jati."""
    others = [one for one in agreed_ragas() if jati_of(one) == jati and one.id != raga.id]
    return Fresh(f"a raga that is {jati}", seed).one_of(others or [raga])


def _skill(sort: str, raga: Raga) -> Skill:
    return raga_skill(
        RagaJatiKind.name,
        raga,
        RagaJatiKind.called(sort, raga),
        sort=sort,
        cluster="jati" if sort == "jati" else "left out",
        chance=1 / OFFERED if sort == "jati" else 1 / (OFFERED + 1),
        seconds=22.0,
    )


def _label(choice: str) -> str:
    if choice == NONE:
        return say_as("a swara", "None")
    return _name(choice) if choice in NATURAL else capital(_both_jatis(choice))


def _both_jatis(choice: str) -> str:
    """`audav up, sampurna down` of `audav-sampurna`."""
    up, down = choice.split("-")
    if up == down:
        return say("{jati} both ways", jati=jati_name(up))
    return say("{jati} up, {jati_down} down", jati=jati_name(up), jati_down=jati_name(down))


def _asked(skill: str, setting: Setting) -> tuple[str, Raga]:
    """The sort and the raga of a skill. Raises UnknownSkill."""
    return split(skill, "raga-jati", setting, SORTS)
