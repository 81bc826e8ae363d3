"""`make`: play a phrase again and vary its timing, its loudness or its tone, and nothing else."""

from __future__ import annotations

from audio.sargam import parse, write
from quizzes.by_choice import ByChoice
from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.making.comparing import TREATMENTS_SAID
from quizzes.making.keeping import kept_parts
from quizzes.making.luck import luck_of_varying
from quizzes.making.marking import PLACES, credit_of, explained, keys
from quizzes.making.plainly import plainly
from quizzes.making.to_vary import TREATMENTS, varying
from quizzes.making.wish import Wish
from quizzes.making.wished_words import varying_in_words
from quizzes.names import counted
from quizzes.question import Mark, Question, Setting, Skill
from quizzes.ragas.sounding import PLAIN_TEMPO, cue_of
from quizzes.ragas.tradition import ragas
from words import say, to_say

DRONE = "P"
CHANCE = 0.05
"""The mean of what questions say, which is measured (`quizzes/making/luck.py`)."""
SECONDS = 35.0


class MakeKind(ByChoice):
    name = "make"
    title = to_say("A phrase: can you play it again and vary one thing alone?")
    plays_in_ragas = True

    def skills(self) -> tuple[Skill, ...]:
        return tuple(
            Skill(
                id=f"{self.name}:{treatment}",
                kind=self.name,
                name=_name(treatment),
                family="perception",
                cluster="varying",
                chance=CHANCE,
                seconds=SECONDS,
            )
            for treatment in TREATMENTS
        )

    def name_of(self, skill: str) -> str:
        return _name(_asked(skill))

    def several(self, count: int) -> str:
        return counted(count, "{number} phrase to vary", "{number} phrases to vary")

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        treatment, known = _asked(skill), ragas(setting.tradition)
        fresh, raga = Fresh(skill, seed), None
        begun = [one for one in setting.ragas if one in known]
        if begun:
            raga = known[fresh.one_of(begun)]
        found = varying(fresh, treatment, raga)
        tempo, count = round(fresh.between(*PLAIN_TEMPO), 2), len(list(found.sounding.notes()))
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=varying_in_words(found.wish),
            choices=keys(),
            right=(write(found.example),),
            cue=cue_of(
                fresh,
                found.sounding,
                sa_hz=setting.sa_hz,
                tuning=setting.tuning,
                drone=DRONE if raga is None else raga.drone,
                tempo=(tempo, tempo),
            ),
            sargam=write(found.sounding),
            answer_on="sargam",
            detail={"tempo": tempo, "wish": found.wish.as_json()},
            luck=luck_of_varying(treatment, count),
            places=PLACES,
            fewest=count,
            signs=("saptaks", "lengths", "hands", "shades"),
            told=found.wish.given,
        )

    def mark(self, question: Question, given: str) -> Mark:
        line = question.line_given(given)
        return Mark(credit_of(kept_parts(_wish(question), line), None))

    def explain(self, question: Question, given: str) -> Explanation:
        kept = kept_parts(_wish(question), question.line_given(given))
        return explained(question, given, kept, (), raga=None)

    def introduce(self, question: Question) -> str:
        return say(
            "A musician can hold all of a phrase still and let one thing in it move. {asked} One "
            "way is {example}.",
            asked=question.prompt,
            example=plainly(parse(question.right[0])),
        )


def _name(treatment: str) -> str:
    return say(
        "A phrase with {treatment} varied and nothing else",
        treatment=say(TREATMENTS_SAID[treatment]),
    )


def _wish(question: Question) -> Wish:
    return Wish.from_json(question.detail["wish"])


def _asked(skill: str) -> str:
    """What is to vary. Raises UnknownSkill."""
    kind, _, treatment = skill.partition(":")
    if kind != MakeKind.name or treatment not in TREATMENTS:
        raise not_asked(skill, MakeKind.name)
    return treatment
