"""`raga-that`: which of the ten thats holds all the swaras that are heard, or does none?

Asked of swaras, not of custom: some ragas are counted in a that which does not hold them. Where
several thats hold a raga, the one in which it is counted is right and no other of them is offered.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from itertools import combinations

from audio.line import Line
from audio.sargam import write
from audio.tuning import SWARAS, Swara
from quizzes.choice_sets import wrong_weights
from quizzes.contours import THATS_BY_NAME
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import capital, counted, listed
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import RagaKind, explanation_of, raga_skill, split
from quizzes.ragas.growing import grow
from quizzes.ragas.raga import Raga
from quizzes.ragas.resting import name_beside
from quizzes.ragas.said import raga_name, that_name
from quizzes.ragas.sounding import cue_of, plain_line
from quizzes.ragas.tradition import ragas
from quizzes.ragas.ways import ways_line, ways_of
from words import say, to_say

NONE = "none"
WRONG = 3
PHRASE_SHARE = 0.7
LONGEST = 15
"""Of the swaras of a phrase."""
LIKENESS = 1.1
"""A that is so many times as likely to be offered for each swara more that it shares."""


class RagaThatKind(RagaKind):
    name = "raga-that"
    title = to_say("All swaras of a raga: which that holds them, or none?")

    @staticmethod
    def called(sort: str, raga: Raga) -> str:
        return say("Which that holds the swaras of {raga}", raga=raga_name(raga))

    def several(self, count: int) -> str:
        return counted(count, "{number} that", "{number} thats")

    def skills_among(self, known: Mapping[str, Raga]) -> tuple[Skill, ...]:
        return tuple(_skill(raga) for raga in known.values() if _is_asked(raga))

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        raga = _asked(skill, setting)
        fresh = Fresh(skill, seed)
        right, line = right_that(raga), _heard(fresh, raga)
        wrong = _wrong(fresh, raga, WRONG + (right == NONE))
        ids = dict.fromkeys((right, *wrong, NONE))
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("Of the ten thats, which holds all these swaras?"),
            choices=tuple(Choice(one, _label(one)) for one in fresh.shuffled(list(ids))),
            right=(right,),
            cue=cue_of(fresh, line, sa_hz=setting.sa_hz, tuning=setting.tuning, drone=raga.drone),
            sargam=write(line),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        raga = _asked(question.skill, question.setting)
        right = question.right[0]
        shown = right if given == NONE else given
        return explanation_of(
            question,
            given,
            why=_why(raga, right, given),
            given_line=None if given == right else _that_line(shown),
            given_plays="" if shown == NONE else say("the swaras of {that}", that=that_name(shown)),
        )

    def introduce(self, question: Question) -> str:
        return say(
            "Each of the ten thats has seven swaras, each in one form. It holds a raga when it has "
            "every swara of the raga; some ragas are held by none of the ten."
        )


def _label(that: str) -> str:
    return say("None of the ten") if that == NONE else that_name(that)


def _heard(fresh: Fresh, raga: Raga) -> Line:
    """All its swaras: mostly in a phrase, if there is one that is not too long, else in
    its way up and down."""
    if fresh.between(0, 1) < PHRASE_SHARE:
        try:
            phrase = grow(fresh, raga, fewest=len(raga.own), most=LONGEST, touching=raga.own)
        except ValueError:  # no phrase of it holds them all
            return ways_of(raga)
        if len(phrase) <= LONGEST:
            return plain_line(phrase)
    return ways_of(raga)


def holders(raga: Raga) -> tuple[str, ...]:
    """The thats that hold all swaras of the raga."""
    return tuple(that for that in THATS_BY_NAME if not _beyond(raga.own, that))


def right_that(raga: Raga) -> str:
    """The that to be named, or NONE."""
    found = holders(raga)
    counted_in = raga.that.value
    return counted_in if counted_in in found else next(iter(found), NONE)


def _beyond(letters: frozenset[str], that: str) -> list[str]:
    """What a that has not, in the order of the scale."""
    held = THATS_BY_NAME[that].split()
    return [letter for letter in SWARAS if letter in letters and letter not in held]


def _why(raga: Raga, right: str, given: str) -> str:
    that, holds = raga.that.value, _holds(raga, right)
    shown = given if given not in (NONE, right) else that if right == NONE else ""
    if shown not in THATS_BY_NAME:
        return say("{what}.", what=capital(holds))
    held = THATS_BY_NAME[shown].split()
    lacking = listed([name_beside(one, held) for one in _beyond(raga.own, shown)], "or")
    return say("{that} has no {swaras}; {what}.", that=that_name(shown), swaras=lacking, what=holds)


def _holds(raga: Raga, right: str) -> str:
    """Which that holds it, or why none does, and in which it is counted if in another one."""
    name, that = raga_name(raga), raga.that.value
    counted_in = that_name(that) if raga.that.sure and that and that != right else ""
    if right == NONE:
        never = _never_joined(raga)
        if counted_in:
            return say(
                "no that has {swaras} together, so none holds {raga}, which is counted in {that} "
                "nevertheless",
                swaras=never,
                raga=name,
                that=counted_in,
            )
        return say("no that has {swaras} together, so none holds {raga}", swaras=never, raga=name)
    if right == raga.name:
        return say("the raga heard is {raga} itself, after which the that is named", raga=name)
    if counted_in:
        return say(
            "{that} holds all swaras of {raga}, which is counted in {counted_in} nevertheless",
            that=that_name(right),
            raga=name,
            counted_in=counted_in,
        )
    return say("{that} holds all swaras of {raga}", that=that_name(right), raga=name)


def _never_joined(raga: Raga) -> str:
    """The fewest of its swaras that stand together in no that."""
    letters = [letter for letter in SWARAS if letter in raga.own]
    few = next(
        some
        for count in range(2, len(letters) + 1)
        for some in combinations(letters, count)
        if all(_beyond(frozenset(some), that) for that in THATS_BY_NAME)
    )
    return listed([name_beside(one, SWARAS) for one in few])


def _that_line(that: str) -> Line:
    up = [*map(Swara.read, THATS_BY_NAME[that].split()), Swara.read("S'")]
    return ways_line(up, up[::-1])


def _wrong(fresh: Fresh, raga: Raga, count: int) -> list[str]:
    """Thats that do not hold the raga, those most like it oftenest."""
    letters, held = raga.own, holders(raga)
    others = [that for that in THATS_BY_NAME if that not in held]
    weights = [_weights()[that] * LIKENESS ** -len(_beyond(letters, that)) for that in others]
    return fresh.weighted(others, weights, count)


@cache
def _weights() -> Mapping[str, float]:
    """Thats that hold many ragas are often offered wrongly, too."""
    found = [(right_that(raga), holders(raga)) for raga in ragas().values() if _is_asked(raga)]
    cases = [
        (frozenset((right,)), frozenset(THATS_BY_NAME) - set(held))
        for right, held in found
        if right != NONE
    ]
    return wrong_weights(cases, WRONG)


def _is_asked(raga: Raga) -> bool:
    """Whether its swaras are known, each in one form: what has two forms of one lies in no that,
    and nobody would ask."""
    return (
        raga.notes.sure
        and raga.scale.sure
        and raga.scale.value.up | raga.scale.value.down == raga.own
        and len(raga.own) == len({letter.upper() for letter in raga.own})
        and (raga.that.sure or len(holders(raga)) < 2)
    )


def _skill(raga: Raga) -> Skill:
    return raga_skill(
        RagaThatKind.name,
        raga,
        RagaThatKind.called("", raga),
        cluster=f"that {right_that(raga)}",
        chance=1 / (2 + WRONG),
        seconds=22.0,
    )


def _asked(skill: str, setting: Setting) -> Raga:
    """The raga of a skill. Raises UnknownSkill."""
    return split(skill, "raga-that", setting)[1]
