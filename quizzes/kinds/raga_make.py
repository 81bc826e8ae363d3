"""`raga-make`: make a phrase of a raga under a wish, and hear what the raga says of it.

The wishes, in the order in which they are met: from the swara that sounds to a rest; with a meend;
down into mandra or up to tar; an answer to a phrase; a phrase in a graver mood; and one in which it
can be heard that it is not of a raga near to this one.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from functools import lru_cache

from audio.sargam import parse, write
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.making.keeping import Kept, kept_parts
from quizzes.making.luck import luck_in_raga
from quizzes.making.marking import PLACES, credit_of, explained, keys
from quizzes.making.of_ragas import SORTS, is_asked, wished
from quizzes.making.opinion import opinion
from quizzes.making.phrases import Heard
from quizzes.making.plainly import plainly
from quizzes.making.trying import Tried, is_made_by, tried
from quizzes.making.wish import Wish
from quizzes.making.wished_words import HOW_TO_MAKE, WHY_GRAVER, in_words
from quizzes.names import counted
from quizzes.question import Mark, Question, Setting, Skill
from quizzes.ragas.asking import NearKind, as_shipped, raga_skill, ragas_in, skill_id, split
from quizzes.ragas.choosing import beside
from quizzes.ragas.raga import Raga
from quizzes.ragas.said import raga_name
from quizzes.ragas.sounding import TEMPOS, cue_of
from quizzes.ragas.tradition import ragas
from words import say, to_say

NAMES = {
    "ends": to_say("a phrase of {raga} to a rest"),
    "meend": to_say("a phrase of {raga} with a meend"),
    "reaches": to_say("a phrase of {raga} into mandra or tar"),
    "answer": to_say("an answer to a phrase of {raga}"),
    "graver": to_say("a phrase of {raga} in a graver mood"),
    "apart": to_say("a phrase of {raga} that no near raga is"),
}
CHANCES = {
    "ends": 0.007,
    "meend": 0.007,
    "reaches": 0.003,
    "answer": 0.02,
    "graver": 0.24,
    "apart": 0.002,
}
"""The mean of what questions on all ragas say, which is measured (`quizzes/making/luck.py`)."""
SECONDS = 45.0
ABOUT = {"ends": HOW_TO_MAKE, "graver": WHY_GRAVER}
"""What is told before a sort of wish is first met."""


class RagaMakeKind(NearKind):
    name = "raga-make"
    title = to_say("A wish and a raga: which phrase of yours keeps both?")
    sorts = SORTS

    @staticmethod
    def called(sort: str, raga: Raga) -> str:
        return say(NAMES[sort], raga=raga_name(raga))

    def several(self, count: int) -> str:
        return counted(count, "{number} phrase to make", "{number} phrases to make")

    def skills_of_some(self, known: Mapping[str, Raga], some: Collection[str]) -> tuple[Skill, ...]:
        return tuple(
            _skill(sort, raga)
            for sort in SORTS
            for raga in map(known.__getitem__, some)
            if is_asked(sort, raga, known)
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        sort, raga = _asked(skill, setting)
        fresh, known = Fresh(skill, seed), ragas(setting.tradition)
        found = wished(fresh, sort, raga, known, ragas_in(setting.met, setting.tradition))
        tempo = round(fresh.between(*TEMPOS[fresh.one_of(raga.gait.value)]), 2)
        wish = found.wish
        fewest = int(wish.value("count").partition("-")[0] or len(list(found.sounding.notes())))
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=in_words(wish, raga, known),
            choices=keys(),
            right=(write(found.example),),
            cue=cue_of(
                fresh,
                found.sounding,
                sa_hz=setting.sa_hz,
                tuning=setting.tuning,
                drone=raga.drone,
                tempo=(tempo, tempo),
                raga=raga,
            ),
            sargam=write(found.sounding),
            answer_on="sargam",
            detail={"tempo": tempo, "wish": wish.as_json()},
            luck=luck_in_raga(wish, raga, known),
            places=PLACES,
            fewest=fewest,
            signs=("saptaks", "lengths", "hands"),
            told=wish.given if sort == "graver" else "",
        )

    def mark(self, question: Question, given: str) -> Mark:
        raga, heard, kept, found = _tried(question, given)
        credit = credit_of(kept, found)
        return Mark(credit, heard=_heard_for(question, raga, heard) if credit < 1.0 else None)

    def explain(self, question: Question, given: str) -> Explanation:
        raga, heard, kept, found = _tried(question, given)
        ended = any(each.part.what == "ends" and each.kept for each in kept)
        known = ragas(question.setting.tradition)
        apart = _wish(question).value("apart")
        said = opinion(raga, heard, found, known, end_is_told=ended, apart=apart)
        return explained(question, given, kept, said, raga=raga)

    def introduce(self, question: Question) -> str:
        sort, _ = _asked(question.skill, question.setting)
        example = plainly(parse(question.right[0]))
        sentences = [
            question.prompt,
            *([say(ABOUT[sort])] if sort in ABOUT else []),
            say("One that keeps this wish is {example}.", example=example),
        ]
        return " ".join(sentences)


def _tried(question: Question, given: str) -> tuple[Raga, Heard, list[Kept], Tried]:
    """The raga, the line as it hears it, and what is kept of the wish and of the raga."""
    _, raga = _asked(question.skill, question.setting)
    heard = Heard(question.line_given(given))
    known = ragas(question.setting.tradition)
    return raga, heard, kept_parts(_wish(question), heard.line, raga, known), tried(raga, heard)


def _wish(question: Question) -> Wish:
    return Wish.from_json(question.detail["wish"])


def _heard_for(question: Question, raga: Raga, heard: Heard) -> str | None:
    """The same skill of a near raga that makes this line where the one asked surely does not."""
    if not tried(raga, heard).surely_broken:
        return None
    sort, known = question.skill.split(":")[1], ragas(question.setting.tradition)
    for one in beside(raga.id, known):
        if is_made_by(known[one], heard) and is_asked(sort, known[one], known):
            return skill_id(RagaMakeKind.name, one, sort)
    return None


def _skill(sort: str, raga: Raga) -> Skill:
    return raga_skill(
        RagaMakeKind.name,
        raga,
        RagaMakeKind.called(sort, raga),
        sort=sort,
        family="facts",
        chance=CHANCES[sort],
        seconds=SECONDS,
    )


@lru_cache(maxsize=256)
def _asked(skill: str, setting: Setting) -> tuple[str, Raga]:
    """The sort and the raga of a skill, as the teacher has it where this can be wished of it in
    that teaching. Raises UnknownSkill."""
    sort, raga = split(skill, RagaMakeKind.name, setting, SORTS)
    can_be = is_asked(sort, raga, ragas(setting.tradition))
    return sort, raga if can_be else as_shipped(raga, skill)
