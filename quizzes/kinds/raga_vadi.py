"""`raga-vadi`: which pair is taught as vadi and samvadi of this raga?

Of the pairs that are taught for it one is offered, beside pairs that nobody teaches for it. A raga
whose pair is known from memory only is not asked.
"""

from __future__ import annotations

from collections.abc import Mapping

from audio.line import Beat, Line, Tone
from audio.sargam import parse, write
from audio.tuning import SWARAS, Swara
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import capital, counted, listed
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import RagaKind, explanation_of, raga_skill, split
from quizzes.ragas.evidence import REST_MATRAS, swaras_of
from quizzes.ragas.growing import SAPTAK_MIDDLES, grow
from quizzes.ragas.movement import Swaras
from quizzes.ragas.pairs import (
    WRONG,
    Pair,
    id_of,
    offered_pairs,
    pair_of,
    taught_pairs,
    wrong_pairs,
)
from quizzes.ragas.raga import Raga
from quizzes.ragas.said import raga_name
from quizzes.ragas.sounding import cue_of, dwelling_line, plain_line
from quizzes.ragas.words import letter_name
from words import say, to_say


class RagaVadiKind(RagaKind):
    name = "raga-vadi"
    title = to_say("A phrase of a named raga: which are its vadi and samvadi?")

    @staticmethod
    def called(sort: str, raga: Raga) -> str:
        return say("Vadi and samvadi of {raga}", raga=raga_name(raga))

    def several(self, count: int) -> str:
        return counted(
            count, "{number} pair of vadi and samvadi", "{number} pairs of vadi and samvadi"
        )

    def skills_among(self, known: Mapping[str, Raga]) -> tuple[Skill, ...]:
        return tuple(_skill(raga) for raga in known.values() if raga.vadi.sure)

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        raga, fresh = _asked(skill, setting), Fresh(skill, seed)
        right = fresh.one_of(offered_pairs(raga))
        pairs = fresh.shuffled([right, *wrong_pairs(fresh, raga)])
        line = plain_line(_phrase(fresh, raga, right))
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("Which pair is taught as vadi and samvadi of {raga}?", raga=raga_name(raga)),
            choices=tuple(Choice(id_of(pair), capital(_spoken(pair))) for pair in pairs),
            right=(id_of(right),),
            cue=cue_of(fresh, line, sa_hz=setting.sa_hz, tuning=setting.tuning, drone=raga.drone),
            sargam=write(line),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        raga = _asked(question.skill, question.setting)
        right, answered = pair_of(question.right[0]), pair_of(given)
        swaras = swaras_of(parse(question.sargam))
        return explanation_of(
            question,
            given,
            why=_why(raga),
            line=dwelling_line(swaras, frozenset(right)),
            deciding=[place for place, swara in enumerate(swaras) if swara.letter in right],
            given_line=_dwelling_on(swaras, answered),
            given_plays=say("what dwells on {swaras}", swaras=_spoken(answered)),
        )

    def introduce(self, question: Question) -> str:
        raga = _asked(question.skill, question.setting)
        return say(
            "The vadi of a raga is the swara with most weight, the samvadi the one that answers "
            "it. {what}",
            what=_why(raga),
        )


def _why(raga: Raga) -> str:
    """The usual pair, and all others that are taught, whichever of them was offered."""
    usual = raga.vadi.value
    vadi, samvadi = map(letter_name, usual)
    names = {"vadi": capital(vadi), "samvadi": samvadi, "raga": raga_name(raga)}
    others = [_taught_as(pair) for pair in taught_pairs(raga) if pair != usual]
    if not others:
        return say("{vadi} is the vadi of {raga} and {samvadi} its samvadi.", **names)
    pairs = others[0]
    for pair in others[1:]:
        pairs = say("{pairs}, or {pair}", pairs=pairs, pair=pair)
    return say(
        "{vadi} is the vadi of {raga} and {samvadi} its samvadi; others teach {pairs}.",
        pairs=pairs,
        **names,
    )


def _taught_as(pair: Pair) -> str:
    vadi, samvadi = map(letter_name, pair)
    return say("{vadi} as vadi and {samvadi} as samvadi", vadi=vadi, samvadi=samvadi)


def _phrase(fresh: Fresh, raga: Raga, pair: Pair) -> Swaras:
    """A phrase in which both are heard; any, where the raga has none."""
    saptak = fresh.one_of((None, *SAPTAK_MIDDLES))
    try:
        return grow(fresh, raga, saptak=saptak, touching=frozenset(pair))
    except ValueError:
        return grow(fresh, raga, saptak=saptak)


def _dwelling_on(swaras: Swaras, pair: Pair) -> Line:
    """The phrase with weight on these two; where it has not both, these alone."""
    if set(pair) <= {swara.letter for swara in swaras}:
        return dwelling_line(swaras, frozenset(pair))
    return Line(tuple(Beat((Tone(Swara(SWARAS.index(one), 0)),), REST_MATRAS) for one in pair))


def _spoken(pair: Pair) -> str:
    return listed(list(map(letter_name, pair)))


def _skill(raga: Raga) -> Skill:
    return raga_skill(
        RagaVadiKind.name,
        raga,
        RagaVadiKind.called("", raga),
        cluster="vadi {}",
        family="facts",
        chance=1 / (1 + WRONG),
        seconds=14.0,
    )


def _asked(skill: str, setting: Setting) -> Raga:
    """The raga of a skill. Raises UnknownSkill."""
    return split(skill, "raga-vadi", setting)[1]
