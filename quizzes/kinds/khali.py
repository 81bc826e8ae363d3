"""`khali:ID`: a theka begins anywhere in its cycle: where is the hand waved?

Right is what any teaching known of the tala waves: khali is a gesture, and the bayan need not rest
on the very matra.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import capital, counted, listed, number_word
from quizzes.question import Question, Setting, Skill
from quizzes.talas.asking import TalaKind, shipped_tala
from quizzes.talas.cycle import matra_at, place_of
from quizzes.talas.hearing import (
    askable,
    begun_anywhere,
    counting,
    cue_again,
    kept,
    longest_heard,
    luck_of,
    matra_of,
    once_round,
    plucked,
    point_of,
    point_told,
    points,
    times_of,
)
from quizzes.talas.tala import Tala
from quizzes.talas.waves import waves_told
from quizzes.talas.wording import matras_told, touched_told
from quizzes.wheel import Wheel
from words import say, say_many, to_say

CYCLES = 2
SECONDS = 22.0


class KhaliKind(TalaKind):
    name = "khali"
    title = to_say("A theka begins anywhere: where is khali?")
    by_ear = True

    def skills_of(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        return tuple(
            _skill(tala)
            for tala in known.values()
            if tala.khali and askable(tala, longest_heard(tala, CYCLES), sam=True)
        )

    def name_of(self, skill: str) -> str:
        return _name(shipped_tala(self.parts_of(skill, 1)[0], skill))

    def several(self, count: int) -> str:
        return counted(count, "{number} khali by ear", "{number} khalis by ear")

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        tala = self.tala_of(skill, setting)
        matras, waved = longest_heard(tala, CYCLES), waved_in(tala)
        cue, starts = begun_anywhere(
            Fresh(skill, seed), setting, tala, matras, how=counting(skill, setting), sam=True
        )
        begun = int(cue.from_place)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=_prompt(tala),
            choices=points(tala.matras),
            right=tuple(str(point_of(matra, begun, tala.matras)) for matra in waved),
            cue=cue.score,
            sargam=cue.written,
            answer_on="wheel",
            detail=kept(cue),
            luck=luck_of(starts, waved, tala.matras),
            wheel=Wheel(tala.form, blind=True, turning=cue.turning),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        tala = self.tala_of(question.skill, question.setting)
        turn, right = once_round(question, tala), given in question.right
        begun = int(turn.from_place)
        touched = matra_of(int(given), begun, tala.matras)
        khali = touched if touched in tala.khali else tala.khali[0]
        marked = [(matra, say("khali")) for matra in tala.khali]
        if touched not in tala.khali:
            marked.append((touched, say("khali for some") if right else say("touched")))
        return Explanation(
            right_label=_points_told(question, begun, tala),
            given_label=point_told(int(given), begun, tala),
            why=_why(tala, touched, question),
            right_cue=plucked(turn, times_of(turn, khali)),
            given_cue=None if right else plucked(turn, times_of(turn, touched)),
            given_plays="" if right else say("the sitar on the point you touched"),
            wheel=Wheel(tala.form, turning=turn.turning, marked=tuple(marked)),
        )

    def introduce(self, question: Question) -> str:
        tala = self.tala_of(question.skill, question.setting)
        told = say(
            "On khali the hand waves instead of clapping: in {tala} on {matras}.",
            tala=tala.called,
            matras=matras_told(tala.khali),
        )
        strikes = say("The sitar strikes on khali.")
        if len(tala.khali) > 1:
            strikes = say(
                "The sitar strikes on the first of them, matra {matra}.", matra=tala.khali[0]
            )
        return f"{told} {waves_told(tala, cue_again(question, tala).theka)} {strikes}"


def waved_in(tala: Tala) -> tuple[int, ...]:
    """The matras that are waved in any form known of the tala, its own first; those of a form of
    other length stand where they fall in the cycle."""
    found: dict[int, None] = {}
    for form in tala.forms:
        for khali in form.khali:
            place = Fraction(place_of(khali) * tala.matras, form.matras)
            if place.denominator == 1:
                found[matra_at(place)] = None
    return tuple(found)


def _points_told(question: Question, begun: int, tala: Tala) -> str:
    """`Point 5, matra 9`; `Point 10 (matra 5) or point 4 (matra 13)`."""
    if len(question.right) == 1:
        return point_told(int(question.right[0]), begun, tala)
    some = [
        say(
            "point {point} (matra {matra})",
            point=one,
            matra=matra_of(int(one), begun, tala.matras),
        )
        for one in question.right
    ]
    return capital(listed(some, "or"))


def _prompt(tala: Tala) -> str:
    count = len(tala.khali)
    begun = say("The theka of {tala}, begun anywhere; it begins at point 1.", tala=tala.called)
    asked = say("Touch the khali.") if count == 1 else say("Touch a khali.")
    if all(form.khali for form in tala.forms):
        return f"{begun} {asked}"
    some = say_many(
        "(Some teachers wave none; here {number} is waved.)",
        "(Some teachers wave none; here {number} are waved.)",
        count,
        number=number_word(count),
    )
    return f"{begun} {asked} {some}"


def _why(tala: Tala, touched: int, question: Question) -> str:
    theka = cue_again(question, tala).theka
    told = say("The hand waves on {matras}.", matras=matras_told(tala.khali))
    told += " " + waves_told(tala, theka)
    if touched in tala.khali:
        return told
    if touched in waved_in(tala):
        return told + " " + say("Some wave on matra {matra}, too.", matra=touched)
    return f"{told} {touched_told(theka, touched)}"


def _name(tala: Tala) -> str:
    return say("Khali of {tala} by ear", tala=tala.called)


def _skill(tala: Tala) -> Skill:
    return Skill(
        id=f"{KhaliKind.name}:{tala.id}",
        kind=KhaliKind.name,
        name=_name(tala),
        family="perception",
        cluster=f"khali of {tala.matras} matras",
        chance=len(waved_in(tala)) / tala.matras,
        seconds=SECONDS,
    )
