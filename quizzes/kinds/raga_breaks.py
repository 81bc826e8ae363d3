"""`raga-breaks`: three or four quick runs of a raga, one of which breaks it: which one?"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from fractions import Fraction
from functools import cache
from itertools import islice

from audio.line import HOLD, Beat, Line, Tone
from audio.sargam import parse, write
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import counted
from quizzes.question import Question, Setting, Skill
from quizzes.ragas.asking import NearKind, as_shipped, drone_for, explanation_of, raga_skill, split
from quizzes.ragas.evidence import swaras_of
from quizzes.ragas.raga import Raga
from quizzes.ragas.said import and_about, raga_name
from quizzes.ragas.several import (
    one_after_another,
    place_of,
    read_apart,
    run_ordinal,
    run_places,
    written_apart,
)
from quizzes.ragas.sounding import cue_of, plain_line
from quizzes.ragas.spoiling import SPOILINGS, Spoiled, can_be_spoiled, how_it_goes, spoilings
from quizzes.ragas.stock import Swaras, tans, tans_in_turn
from quizzes.ragas.words import letter_name
from words import say, to_say

COUNT = 8
"""Of the swaras of every run."""
OFFERED = (3, 4)
TEMPO = 58.0, 66.0
"""In matras a minute."""
TO_A_MATRA = 4
PAUSE_MATRAS = Fraction(5, 4)
LEAST_RUNS = max(OFFERED) + 2
"""A raga is asked of which so many runs are known."""

NAMES = {
    "note": to_say("the quick run of {raga} with a foreign swara"),
    "run": to_say("the quick run of {raga} through a swara left out"),
}
ABOUT = {
    "note": to_say("Quick runs of {raga}; in one of them a swara is foreign to it."),
    "run": to_say(
        "Quick runs of {raga}; one of them passes a swara that {raga} leaves out on that way."
    ),
}


class RagaBreaksKind(NearKind):
    name = "raga-breaks"
    title = to_say("Quick runs of a raga: which one breaks it?")
    sorts = SPOILINGS

    @staticmethod
    def called(sort: str, raga: Raga) -> str:
        return say(NAMES[sort], raga=raga_name(raga))

    def several(self, count: int) -> str:
        return counted(count, "{number} broken run", "{number} broken runs")

    def skills_of_some(self, known: Mapping[str, Raga], some: Collection[str]) -> tuple[Skill, ...]:
        return tuple(
            _skill(sort, raga)
            for sort in SPOILINGS
            for raga in map(known.__getitem__, some)
            if _is_asked(sort, raga)
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        sort, raga = _asked(skill, setting)
        fresh = Fresh(skill, seed)
        count = fresh.one_of(OFFERED)
        spoiled = _spoiled(fresh, sort, raga)
        others = [tan for tan in tans(raga, COUNT) if tan != spoiled.mended]
        runs = fresh.shuffled(others)[: count - 1]
        at = fresh.one_of(range(count))
        lines = [_quick(run) for run in (*runs[:at], spoiled.swaras, *runs[at:])]
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("Which of these runs breaks {raga}?", raga=raga_name(raga)),
            choices=run_places(count),
            right=(str(at + 1),),
            cue=cue_of(
                fresh,
                one_after_another(lines, PAUSE_MATRAS),
                sa_hz=setting.sa_hz,
                tuning=setting.tuning,
                drone=drone_for([raga]),
                tempo=TEMPO,
            ),
            sargam=written_apart(lines),
            detail={"place": spoiled.place, "mended": write(plain_line(spoiled.mended))},
        )

    def explain(self, question: Question, given: str) -> Explanation:
        sort, raga = _asked(question.skill, question.setting)
        lines = [plain_line(swaras_of(line)) for line in read_apart(question.sargam)]
        at = place_of(question.right[0])
        place, mended = question.detail["place"], swaras_of(parse(question.detail["mended"]))
        spoiled = Spoiled(swaras_of(lines[at]), place, mended)
        wrong = letter_name(spoiled.swaras[place].letter)
        return explanation_of(
            question,
            given,
            why=say(
                "The {place} run broke it with {swara}: {instead}.",
                place=run_ordinal(at),
                swara=wrong,
                instead=how_it_goes(sort, spoiled, raga),
            ),
            line=lines[at],
            deciding=(place - 1, place, place + 1) if spoiled.slipped_in else (place,),
            given_line=lines[place_of(given)],
            given_plays=say(
                "the {place} run, as {raga} has it",
                place=run_ordinal(place_of(given)),
                raga=raga_name(raga),
            ),
            intro_cue=question.cue,
        )

    def introduce(self, question: Question) -> str:
        sort, raga = _asked(question.skill, question.setting)
        return and_about(say(ABOUT[sort], raga=raga_name(raga)), raga)


def _quick(swaras: Swaras) -> Line:
    """Four swaras to a matra, the last held as long as two."""
    tones = tuple(map(Tone, swaras))
    beats = [Beat(tones[at : at + TO_A_MATRA]) for at in range(0, COUNT, TO_A_MATRA)]
    return Line((*beats, Beat((HOLD,), Fraction(1, TO_A_MATRA))))


def _spoiled(fresh: Fresh, sort: str, raga: Raga) -> Spoiled:
    """A run that breaks the raga; as often one with a swara slipped in as with one changed, where
    both can be."""
    for count in fresh.shuffled((COUNT, COUNT - 1)):
        for tan in fresh.shuffled(tans(raga, count)):
            if found := _broken(sort, raga, tan):
                return fresh.one_of(found)
    raise ValueError(f"{raga.id}: no run of it can be broken by a {sort}")


def _broken(sort: str, raga: Raga, tan: Swaras) -> list[Spoiled]:
    return [each for each in spoilings(sort, raga, tan) if len(each.swaras) == COUNT]


def _is_asked(sort: str, raga: Raga) -> bool:
    if raga.glide.value or not can_be_spoiled(sort, raga):
        return False
    if len(_first_tans(raga)) < LEAST_RUNS:
        return False
    return any(
        _broken(sort, raga, tan)
        for count in (COUNT, COUNT - 1)
        for tan in tans_in_turn(raga, count)
    )


@cache
def _first_tans(raga: Raga) -> tuple[Swaras, ...]:
    return tuple(islice(tans_in_turn(raga, COUNT), LEAST_RUNS))


def _skill(sort: str, raga: Raga) -> Skill:
    return raga_skill(
        RagaBreaksKind.name,
        raga,
        RagaBreaksKind.called(sort, raga),
        sort=sort,
        chance=sum(1 / count for count in OFFERED) / len(OFFERED),
        seconds=24.0,
    )


def _asked(skill: str, setting: Setting) -> tuple[str, Raga]:
    """The sort and the raga of a skill, as the teacher has it where it can be broken so in that
    teaching. Raises UnknownSkill."""
    sort, raga = split(skill, "raga-breaks", setting, NAMES)
    return sort, raga if _is_asked(sort, raga) else as_shipped(raga, skill)
