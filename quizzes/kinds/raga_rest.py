"""`raga-rest`: on which of these swaras may this raga rest?

A phrase of it is heard short of its end and evenly, so that it rests nowhere yet. The levels: among
swaras of which it has most not, and among swaras of its own alone, the others of which it only
passes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache

from audio.line import Line
from audio.sargam import parse, write
from audio.tuning import Swara
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import capital, counted
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import RagaKind, explanation_of, raga_skill, split
from quizzes.ragas.evidence import swaras_of
from quizzes.ragas.raga import Raga
from quizzes.ragas.resting import (
    WRONG,
    drawn_rest,
    drawn_wrong,
    foreign,
    foreign_weights,
    full_name,
    has_natural_wrong,
    name_with_standing,
    nearest_to,
    never_rests,
    phrase_to,
    resting_line,
    sure_rests,
    told_rests,
    unfinished_line,
    why_no_rest,
)
from quizzes.ragas.said import raga_name
from quizzes.ragas.sounding import cue_of
from quizzes.ragas.tradition import ragas
from words import say, to_say

SORTS = ("note", "own")
FEWEST_WRONG = 2
NAMES = {
    "note": to_say("where {raga} may rest"),
    "own": to_say("where {raga} may rest, and what it only passes"),
}


class RagaRestKind(RagaKind):
    name = "raga-rest"
    title = to_say("A phrase of a raga, broken off: on which of these swaras may it rest?")
    sorts = SORTS

    @staticmethod
    def called(sort: str, raga: Raga) -> str:
        return say(NAMES[sort], raga=raga_name(raga))

    def several(self, count: int) -> str:
        return counted(count, "{number} resting place", "{number} resting places")

    def skills_among(self, known: Mapping[str, Raga]) -> tuple[Skill, ...]:
        return tuple(
            _skill(sort, raga) for sort in SORTS for raga in known.values() if _is_asked(sort, raga)
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        sort, raga = _asked(skill, setting)
        fresh = Fresh(skill, seed)
        right = drawn_rest(fresh, _rests(sort, raga))
        letters = fresh.shuffled([right, *_wrong(fresh, sort, raga)])
        *begun, last = phrase_to(fresh, raga, right)
        line = unfinished_line(begun)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("On which of these swaras may {raga} rest?", raga=raga_name(raga)),
            choices=tuple(Choice(letter, capital(full_name(letter))) for letter in letters),
            right=(right,),
            cue=cue_of(fresh, line, sa_hz=setting.sa_hz, tuning=setting.tuning, drone=raga.drone),
            sargam=write(line),
            detail={"rests_on": str(last)},
            possible=tuple(
                one for one in letters if one in {right, *_ever_right(sort, setting.tradition)}
            ),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        _, raga = _asked(question.skill, question.setting)
        begun = swaras_of(parse(question.sargam))
        right = Swara.read(question.detail["rests_on"])
        others = [choice.id for choice in question.choices if choice.id != right.letter]
        wrong = others[0] if given in question.right else given
        return explanation_of(
            question,
            given,
            why=_why(raga, right.letter, wrong),
            line=resting_line((*begun, right)),
            deciding=(len(begun),),
            given_line=_resting_on(begun, given),
            given_plays=say("the same phrase, resting on {swara}", swara=full_name(given)),
            intro_cue=question.cue,
        )

    def introduce(self, question: Question) -> str:
        _, raga = _asked(question.skill, question.setting)
        return say(
            "A raga rests on a few of its swaras only, and is known by them. Here is {raga}; "
            "the phrase breaks off before its rest.",
            raga=raga_name(raga),
        )


def _why(raga: Raga, right: str, wrong: str) -> str:
    rest, why_not = name_with_standing(raga, right, full_name(right)), why_no_rest(raga, wrong)
    return say(
        "{raga} may rest on {rest}; it {why_not}.", raga=raga_name(raga), rest=rest, why_not=why_not
    )


def _resting_on(begun: Sequence[Swara], letter: str) -> Line:
    last = begun[-1]
    return resting_line(begun if last.letter == letter else (*begun, nearest_to(letter, last)))


def _rests(sort: str, raga: Raga) -> tuple[str, ...]:
    """Where it may rest: anywhere that is told where the wrong ones are foreign to it, surely where
    they are its own; the vadi, where a teacher's word leaves nothing else."""
    rests = told_rests(raga) if sort == "note" else sure_rests(raga)
    return rests or raga.vadi.value[:1]


def _wrong(fresh: Fresh, sort: str, raga: Raga) -> list[str]:
    """What is offered beside the right one: of its own where that is asked; else two of its own at
    most, and foreign swaras."""
    own = fresh.shuffled(never_rests(raga))[: WRONG if sort == "own" else FEWEST_WRONG]
    if sort == "own" and len(own) >= FEWEST_WRONG:
        return own
    weights, others = foreign_weights(), foreign(raga)
    return own + drawn_wrong(fresh, others, [weights[one] for one in others], WRONG - len(own))


@lru_cache(maxsize=16)
def _ever_right(sort: str, tradition: str) -> frozenset[str]:
    """Letters that are right for some raga; the others can be ruled out by who remembers."""
    able = [raga for raga in ragas(tradition).values() if _is_asked(sort, raga)]
    return frozenset(letter for raga in able for letter in _rests(sort, raga))


def _is_asked(sort: str, raga: Raga) -> bool:
    if not sure_rests(raga):
        return False
    if sort == "own":
        return len(never_rests(raga)) >= FEWEST_WRONG
    return len(foreign(raga)) >= WRONG and has_natural_wrong(raga)


def _skill(sort: str, raga: Raga) -> Skill:
    return raga_skill(
        RagaRestKind.name,
        raga,
        RagaRestKind.called(sort, raga),
        sort=sort,
        cluster="rests {}",
        family="facts",
        chance=1 / (1 + WRONG) if sort == "note" else 1 / (1 + FEWEST_WRONG),
        seconds=14.0,
    )


def _asked(skill: str, setting: Setting) -> tuple[str, Raga]:
    """The sort and the raga of a skill. Raises UnknownSkill."""
    return split(skill, "raga-rest", setting, SORTS)
