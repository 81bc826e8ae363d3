"""`raga-mend`: a student plays a phrase of a raga with one swara that breaks it: which swara?

The first and the last swara are always right. Places have no names, so that a foreign swara must
be heard and cannot be read.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from functools import cache
from itertools import chain

from audio.sargam import parse, write
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import counted, ordinal
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import NearKind, as_shipped, drone_for, explanation_of, raga_skill, split
from quizzes.ragas.evidence import swaras_of
from quizzes.ragas.raga import Raga
from quizzes.ragas.said import raga_name
from quizzes.ragas.several import one_after_another
from quizzes.ragas.sounding import cue_of, plain_line
from quizzes.ragas.spoiling import SPOILINGS, Spoiled, can_be_spoiled, how_it_goes, spoilings
from quizzes.ragas.stock import Swaras, fresh_line, lines_in_stock, stock
from quizzes.ragas.words import letter_name
from words import say, to_say

COUNT = 7
PLACES = tuple(range(1, COUNT - 1))
"""Where the swara that breaks it may stand, counted from 0."""
LEAST_PLACES = len(PLACES) - 1
"""A raga is asked where it can be broken at so many of them, so that its place is not known."""

NAMES = {
    "note": to_say("the foreign swara in a student's {raga}"),
    "run": to_say("the swara that must not be passed in a student's {raga}"),
}
ABOUT = {
    "note": to_say(
        "A phrase of {raga} with one mistake. One swara is foreign to it. "
        "The first and the last swara are right."
    ),
    "run": to_say(
        "A phrase of {raga} with one mistake. All swaras are its own, but one is passed on a way "
        "on which {raga} leaves it out. The first and the last swara are right."
    ),
}


class RagaMendKind(NearKind):
    name = "raga-mend"
    title = to_say("A student's phrase of a raga: which swara breaks it?")
    sorts = SPOILINGS

    @staticmethod
    def called(sort: str, raga: Raga) -> str:
        return say(NAMES[sort], raga=raga_name(raga))

    def several(self, count: int) -> str:
        return counted(count, "{number} student's phrase", "{number} student's phrases")

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
        spoiled = _drawn(fresh, sort, raga)
        line = plain_line(spoiled.swaras)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("A student plays {raga}. Which swara breaks it?", raga=raga_name(raga)),
            choices=tuple(
                Choice(str(n + 1), say("The {place} swara", place=ordinal(n))) for n in PLACES
            ),
            right=(str(spoiled.place + 1),),
            cue=cue_of(
                fresh,
                line,
                sa_hz=setting.sa_hz,
                tuning=setting.tuning,
                drone=drone_for([raga]),
            ),
            sargam=write(line),
            detail={"mended": write(plain_line(spoiled.mended))},
        )

    def explain(self, question: Question, given: str) -> Explanation:
        sort, raga = _asked(question.skill, question.setting)
        mended = parse(question.detail["mended"])
        spoiled = Spoiled(
            swaras_of(parse(question.sargam)), int(question.right[0]) - 1, swaras_of(mended)
        )
        place = spoiled.place
        wrong = letter_name(spoiled.swaras[place].letter)
        why = say(
            "The {place} swara, {swara}, was wrong: {instead}. "
            "The phrase as it was played is followed by the same one mended.",
            place=ordinal(place),
            swara=wrong,
            instead=how_it_goes(sort, spoiled, raga),
        )
        if given not in question.right:
            answered = int(given) - 1
            its_own = letter_name(spoiled.swaras[answered].letter)
            was_right = say(
                "The {place} swara, {swara}, was right.", place=ordinal(answered), swara=its_own
            )
            why = f"{was_right} {why}"
        return explanation_of(
            question,
            given,
            why=why,
            line=one_after_another([parse(question.sargam), mended]),
            deciding=(place,),
            given_line=parse(question.sargam),
            given_plays=say("as the student played it"),
            intro_cue=question.cue,
        )

    def introduce(self, question: Question) -> str:
        sort, raga = _asked(question.skill, question.setting)
        return say(ABOUT[sort], raga=raga_name(raga))


def _drawn(fresh: Fresh, sort: str, raga: Raga) -> Spoiled:
    found = _counts(sort, raga)
    place = fresh.one_of(sorted(found))
    count = fresh.one_of(found[place])

    def at_place(line: Swaras) -> list[Spoiled]:
        return [
            spoiled
            for spoiled in spoilings(sort, raga, line)
            if spoiled.place == place and len(spoiled.swaras) == COUNT
        ]

    line = fresh_line(fresh, raga, count, lambda line: bool(at_place(line)))
    return fresh.one_of(at_place(line))


def _is_asked(sort: str, raga: Raga) -> bool:
    if not can_be_spoiled(sort, raga):
        return False
    found: set[int] = set()
    for line in chain.from_iterable(lines_in_stock(raga, count) for count in (COUNT, COUNT - 1)):
        found |= {each.place for each in spoilings(sort, raga, line) if len(each.swaras) == COUNT}
        if len(found) >= LEAST_PLACES:
            return True
    return False


@cache
def _counts(sort: str, raga: Raga) -> Mapping[int, tuple[int, ...]]:
    """Where it can be broken, and how many swaras the phrase has that is broken there."""
    found: dict[int, set[int]] = {}
    for count in (COUNT, COUNT - 1):
        for line in stock(raga, count):
            for spoiled in spoilings(sort, raga, line):
                if len(spoiled.swaras) == COUNT:
                    found.setdefault(spoiled.place, set()).add(count)
    return {place: tuple(sorted(counts)) for place, counts in found.items()}


def _skill(sort: str, raga: Raga) -> Skill:
    return raga_skill(
        RagaMendKind.name,
        raga,
        RagaMendKind.called(sort, raga),
        sort=sort,
        chance=1 / len(PLACES),
        seconds=20.0,
    )


def _asked(skill: str, setting: Setting) -> tuple[str, Raga]:
    """The sort and the raga of a skill, as the teacher has it where it can be broken so in that
    teaching. Raises UnknownSkill."""
    sort, raga = split(skill, "raga-mend", setting, NAMES)
    return sort, raga if _counts(sort, raga) else as_shipped(raga, skill)
