"""`raga-odd`: of three or four short phrases all but one are of one raga: which one is not?"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from functools import cache
from itertools import islice

from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import counted, ordinal
from quizzes.question import Question, Setting, Skill
from quizzes.ragas.asking import (
    NearKind,
    as_shipped,
    drone_for,
    explanation_of,
    raga_skill,
    ragas_in,
    split,
)
from quizzes.ragas.choosing import beside, shared_strings
from quizzes.ragas.evidence import Evidence, swaras_of
from quizzes.ragas.movement import Break, surely_breaks
from quizzes.ragas.raga import Raga
from quizzes.ragas.said import raga_name
from quizzes.ragas.several import (
    one_after_another,
    place_of,
    places,
    read_apart,
    within_sentence,
    written_apart,
)
from quizzes.ragas.sounding import cue_of, plain_line
from quizzes.ragas.spoiling import can_be_spoiled
from quizzes.ragas.stock import Swaras, fresh_line, lines_in_stock, stock
from quizzes.ragas.tradition import ragas
from quizzes.ragas.words import why
from words import say, to_say

SORTS = ("note", "run")
SHAPES = ((3, 5), (4, 4))
"""How many phrases, of how many swaras each."""
TEMPO = 96.0, 108.0
SAPTAK = "madhya"
"""Of all the phrases, so that none is odd by where it lies."""
MET_SHARE = 0.7
"""How often the odd phrase is of a raga that has been begun, where one fits."""
TRIES = 6

NAMES = {
    "note": to_say("the phrase that is not {raga}, by its swaras"),
    "run": to_say("the phrase that is not {raga}, by its way up and down"),
}
ABOUT = {
    "note": to_say(
        "Short phrases of {raga}, and one of a raga near to it: "
        "a swara is heard in it that {raga} has not."
    ),
    "run": to_say(
        "Short phrases of {raga}, and one of a raga near to it: "
        "it runs through a swara that {raga} leaves out on that way."
    ),
}


class RagaOddKind(NearKind):
    name = "raga-odd"
    title = to_say("A few phrases of one raga: which one is not of it?")
    sorts = SORTS

    @staticmethod
    def called(sort: str, raga: Raga) -> str:
        return say(NAMES[sort], raga=raga_name(raga))

    def several(self, count: int) -> str:
        return counted(count, "{number} odd phrase", "{number} odd phrases")

    def skills_of_some(self, known: Mapping[str, Raga], some: Collection[str]) -> tuple[Skill, ...]:
        return tuple(
            _skill(sort, raga)
            for sort in SORTS
            for raga in map(known.__getitem__, some)
            if _is_asked(sort, raga, known)
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        sort, raga, known = _asked(skill, setting)
        fresh = Fresh(skill, seed)
        count, swaras = fresh.one_of(SHAPES)
        other = known[_other(fresh, _others(sort, raga, known), setting)]
        odd = fresh_line(
            fresh, other, swaras, lambda line: _is_odd(sort, raga, line), saptak=SAPTAK
        )
        phrases = _phrases(fresh, raga, other, count - 1, swaras)
        at = fresh.one_of(range(count))
        lines = [plain_line(phrase) for phrase in (*phrases[:at], odd, *phrases[at:])]
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("Which of these phrases is not of {raga}?", raga=raga_name(raga)),
            choices=places(count),
            right=(str(at + 1),),
            cue=cue_of(
                fresh,
                one_after_another(lines),
                sa_hz=setting.sa_hz,
                tuning=setting.tuning,
                drone=drone_for([raga, other]),
                tempo=TEMPO,
            ),
            sargam=written_apart(lines),
            detail={"other": other.id},
        )

    def explain(self, question: Question, given: str) -> Explanation:
        sort, raga, known = _asked(question.skill, question.setting)
        lines = read_apart(question.sargam)
        at, other = place_of(question.right[0]), known[question.detail["other"]]
        odd = lines[at]
        found = surely_breaks(raga, swaras_of(odd)) or Break(sort, 0, 0)
        evidence = Evidence(found.by, raga.id, found.of, found.at)
        reason = why(evidence, odd, other, raga)
        return explanation_of(
            question,
            given,
            why=say(
                "The {place} is of {raga}: {why}",
                place=ordinal(at),
                raga=raga_name(other),
                why=within_sentence(reason),
            ),
            line=odd,
            deciding=range(found.of - (found.by == "run"), found.at + 1),
            given_line=lines[place_of(given)],
            given_plays=say(
                "the {place} phrase, which {raga} has",
                place=ordinal(place_of(given)),
                raga=raga_name(raga),
            ),
            intro_cue=question.cue,
        )

    def introduce(self, question: Question) -> str:
        sort, raga, _ = _asked(question.skill, question.setting)
        return say(ABOUT[sort], raga=raga_name(raga))


def _is_odd(sort: str, raga: Raga, line: Swaras) -> bool:
    """Whether this surely breaks the raga: by a foreign swara, or by a run of its own ones."""
    broken = surely_breaks(raga, line)
    if broken is None or broken.by != sort:
        return False
    return sort == "note" or all(swara.letter in raga.ever for swara in line)


def _phrases(fresh: Fresh, raga: Raga, other: Raga, count: int, swaras: int) -> list[Swaras]:
    """Different phrases of the raga, those first that the other raga might have as well: so the
    odd one is known by the raga named and not by being alone of its own."""
    found: dict[Swaras, bool] = {}
    for _ in range(TRIES):
        line = fresh_line(fresh, raga, swaras, lambda line: True, saptak=SAPTAK)
        found[line] = surely_breaks(other, line) is None
    for line in fresh.shuffled(stock(raga, swaras)):
        found.setdefault(line, False)
    shared = [line for line, both in found.items() if both][: count - 1]
    rest = [line for line in found if line not in shared]
    return fresh.shuffled([*shared, *rest[: count - len(shared)]])


def _other(fresh: Fresh, others: Sequence[str], setting: Setting) -> str:
    """The raga of the odd phrase: often one that is taken for the raga asked, or begun."""
    begun = [
        one
        for one in (
            *ragas_in(setting.rivals, setting.tradition),
            *ragas_in(setting.met, setting.tradition),
        )
        if one in others
    ]
    if begun and fresh.between(0, 1) < MET_SHARE:
        return fresh.one_of(begun)
    return fresh.one_of(others)


def _others(sort: str, raga: Raga, known: Mapping[str, Raga]) -> tuple[str, ...]:
    """The near ragas with phrases that surely break this one by the sort."""
    return tuple(one for one in beside(raga.id, known) if _tells(sort, raga, known[one]))


@cache
def _tells(sort: str, raga: Raga, other: Raga) -> bool:
    """Whether the other raga has an odd phrase of each length, and one tanpura suits both."""
    if not shared_strings((raga, other)) or not can_be_spoiled(sort, raga):
        return False
    if sort == "note" and other.own <= raga.ever:
        return False
    return all(
        any(_is_odd(sort, raga, line) for line in lines_in_stock(other, swaras))
        for _, swaras in SHAPES
    )


def _is_asked(sort: str, raga: Raga, known: Mapping[str, Raga]) -> bool:
    return any(_tells(sort, raga, known[one]) for one in beside(raga.id, known)) and all(
        len(list(islice(lines_in_stock(raga, swaras), count))) == count for count, swaras in SHAPES
    )


def _skill(sort: str, raga: Raga) -> Skill:
    return raga_skill(
        RagaOddKind.name,
        raga,
        RagaOddKind.called(sort, raga),
        sort=sort,
        chance=sum(1 / count for count, _ in SHAPES) / len(SHAPES),
        seconds=28.0,
    )


def _asked(skill: str, setting: Setting) -> tuple[str, Raga, Mapping[str, Raga]]:
    """The sort, the raga and all ragas, as the teacher has them where there is an odd phrase to
    the raga in that teaching. Raises UnknownSkill."""
    sort, raga = split(skill, "raga-odd", setting, SORTS)
    known = ragas(setting.tradition)
    if _is_asked(sort, raga, known):
        return sort, raga, known
    return sort, as_shipped(raga, skill), ragas()
