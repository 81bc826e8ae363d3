"""`raga-finish`: a phrase breaks off before its last swara; which one finishes it as the raga does?

The levels: among swaras with which the raga surely breaks there, and among some on which it only
does not rest.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache

from audio.sargam import parse, write
from audio.tuning import SWARAS, Swara
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import capital, counted, in_saptak
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import RagaKind, explanation_of, raga_skill, split
from quizzes.ragas.evidence import swaras_of
from quizzes.ragas.growing import within_reach
from quizzes.ragas.movement import Swaras, surely_breaks
from quizzes.ragas.raga import Raga
from quizzes.ragas.resting import (
    WRONG,
    drawn_rest,
    drawn_wrong,
    foreign,
    foreign_weights,
    full_name,
    has_natural_wrong,
    known_ends,
    name_with_standing,
    nearest_to,
    never_rests,
    phrase_to,
    resting_line,
    unfinished_line,
    why_no_rest,
)
from quizzes.ragas.said import raga_name
from quizzes.ragas.sounding import cue_of
from words import say, to_say

SORTS = ("note", "rest")
FEWEST_WRONG = 2
"""So many wrong ones at least; where a rest is asked so many of the raga's own."""
TRIES = 6
PASSING_WEIGHT = 60.0
RUN_WEIGHT = 6.0
"""A swara of the raga that breaks it only there is so many times as likely to be offered as a
foreign one at most: it can be known by listening alone."""
NAMES = {
    "note": to_say("the ending of a phrase of {raga}"),
    "rest": to_say("the ending of a phrase of {raga}, a rest or not"),
}


class RagaFinishKind(RagaKind):
    name = "raga-finish"
    title = to_say("A phrase of a raga without its last swara: which one finishes it?")
    sorts = SORTS

    @staticmethod
    def called(sort: str, raga: Raga) -> str:
        return say(NAMES[sort], raga=raga_name(raga))

    def several(self, count: int) -> str:
        return counted(count, "{number} ending", "{number} endings")

    def skills_among(self, known: Mapping[str, Raga]) -> tuple[Skill, ...]:
        return tuple(
            _skill(sort, raga) for sort in SORTS for raga in known.values() if _is_asked(sort, raga)
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        sort, raga = _asked(skill, setting)
        fresh = Fresh(skill, seed)
        begun, last, wrong = _unfinished(fresh, sort, raga)
        line = unfinished_line(begun)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("Which swara comes last, as {raga} ends this phrase?", raga=raga_name(raga)),
            choices=tuple(
                Choice(str(swara), capital(_named(swara)))
                for swara in fresh.shuffled([last, *wrong])
            ),
            right=(str(last),),
            cue=cue_of(fresh, line, sa_hz=setting.sa_hz, tuning=setting.tuning, drone=raga.drone),
            sargam=write(line),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        _, raga = _asked(question.skill, question.setting)
        begun, right = swaras_of(parse(question.sargam)), Swara.read(question.right[0])
        others = [choice.id for choice in question.choices if choice.id != str(right)]
        wrong = Swara.read(others[0] if given in question.right else given)
        return explanation_of(
            question,
            given,
            why=say(
                "{raga} comes to rest on {rest}; it {why_not}.",
                raga=raga_name(raga),
                rest=name_with_standing(raga, right.letter, _named(right)),
                why_not=_why_not(raga, begun, wrong),
            ),
            line=resting_line((*begun, right)),
            deciding=(len(begun),),
            given_line=resting_line((*begun, wrong)),
            given_plays=say("the same phrase, ending on {swara}", swara=_named(wrong)),
            intro_cue=question.cue,
        )

    def introduce(self, question: Question) -> str:
        _, raga = _asked(question.skill, question.setting)
        return say(
            "A phrase is over when it has come to rest. Here is one of {raga} that breaks off just "
            "before.",
            raga=raga_name(raga),
        )


def _named(swara: Swara) -> str:
    """`mandra shuddha Ni`."""
    return in_saptak(full_name(swara.letter), swara.octave)


def _why_not(raga: Raga, begun: Swaras, wrong: Swara) -> str:
    """What speaks against an ending on this swara, to follow the raga's name."""
    broken = surely_breaks(raga, (*begun, wrong))
    if broken is None or wrong.letter not in raga.ever:
        return why_no_rest(raga, wrong.letter)
    names = {"swara": full_name(begun[-1].letter), "to": _named(wrong)}
    if wrong.steps > begun[-1].steps:
        return say("leaves {swara} out on the way up to {to}", **names)
    return say("leaves {swara} out on the way down to {to}", **names)


def _unfinished(fresh: Fresh, sort: str, raga: Raga) -> tuple[Swaras, Swara, Sequence[Swara]]:
    """A phrase without its end, its end, and what cannot be its end; of a few phrases the one that
    leaves most room for wrong endings of this sort, swaras of the raga before foreign ones."""
    best: tuple[float, tuple[Swaras, Swara], list[Swara], list[float]] | None = None
    for _ in range(TRIES):
        *begun, last = phrase_to(fresh, raga, drawn_rest(fresh, _ends(raga)))
        if len(begun) < 2 or last == begun[-1]:
            continue
        wrong, weights = _wrong_ends(sort, raga, tuple(begun), last)
        of_its_own = sum(weight > 1.0 for weight in weights)
        room = sum(weights) if len(wrong) >= FEWEST_WRONG else 0.0
        if best is None or room > best[0]:
            best = room, (tuple(begun), last), wrong, weights
        if of_its_own >= (FEWEST_WRONG if sort == "rest" else 1) and len(wrong) >= WRONG:
            break
    if best is None:
        raise ValueError(f"{raga.id}: no phrase of it has an ending to be asked for")
    _, phrase, wrong, weights = best
    weighed = dict(zip((swara.letter for swara in wrong), weights, strict=True))
    drawn: list[str] = []
    if sort == "rest":
        own = [letter for letter in weighed if letter in raga.own]
        drawn = fresh.weighted(own, [weighed.pop(letter) for letter in own], FEWEST_WRONG)
    drawn += drawn_wrong(fresh, list(weighed), list(weighed.values()), WRONG - len(drawn))
    return *phrase, [swara for swara in wrong if swara.letter in drawn]


def _wrong_ends(
    sort: str, raga: Raga, begun: Swaras, last: Swara
) -> tuple[list[Swara], list[float]]:
    """What surely cannot be the end, each letter in the saptak that lies nearest, and how likely it
    is to be offered."""
    passing = never_rests(raga) if sort == "rest" else ()
    heaviest = max(foreign_weights().values())
    wrong, weights = [], []
    for letter in SWARAS:
        swara = nearest_to(letter, begun[-1])
        if letter == last.letter or swara == begun[-1] or not within_reach((swara,)):
            continue
        if letter in passing:
            weight = PASSING_WEIGHT
        elif surely_breaks(raga, (*begun, swara)) is not None:
            weight = RUN_WEIGHT if letter in raga.ever else foreign_weights()[letter] / heaviest
        else:
            continue
        wrong.append(swara)
        weights.append(weight)
    return wrong, weights


@cache
def _ends(raga: Raga) -> tuple[str, ...]:
    """Where its phrases end that are asked for; on Sa any may."""
    ends = tuple(one for one in raga.nyas.value if one != "S" and known_ends(raga, one))
    return ends or raga.vadi.value[:1]


def _is_asked(sort: str, raga: Raga) -> bool:
    able = len(foreign(raga)) >= WRONG and has_natural_wrong(raga)
    return able and (sort == "note" or len(never_rests(raga)) >= FEWEST_WRONG)


def _skill(sort: str, raga: Raga) -> Skill:
    return raga_skill(
        RagaFinishKind.name,
        raga,
        RagaFinishKind.called(sort, raga),
        sort=sort,
        cluster="endings {}",
        chance=1 / (1 + WRONG),
        seconds=18.0,
    )


def _asked(skill: str, setting: Setting) -> tuple[str, Raga]:
    """The sort and the raga of a skill. Raises UnknownSkill."""
    return split(skill, "raga-finish", setting, SORTS)
