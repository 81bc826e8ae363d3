"""`tihai:start:whole`: from which matra must a tihai start to land on sam?

It is heard from another matra, where it does not land: by how much it misses sam tells the answer.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.tihai_sound import (
    drawn_tala,
    lead_to,
    least_lead,
    over_theka,
    played_out,
    shapes,
    tala_of,
)
from quizzes.kinds.tihai_way import (
    ABOUT,
    CHOICES,
    TihaiWay,
    as_choices,
    fallen,
    near_sets,
    reckoned,
    tihai_skill,
    with_gaps,
)
from quizzes.names import capital
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import label_of
from quizzes.talas import Tala
from quizzes.talas.cycle import in_figures, matra_at, mixed
from quizzes.talas.tihai import Tihai
from quizzes.talas.wording import at_place
from quizzes.wheel import Wheel
from words import say, to_say

HALF, QUARTER = Fraction(1, 2), Fraction(1, 4)
TAILS = (3, 4, 5, 6)


@dataclass(frozen=True, slots=True)
class Start:
    """One level: of what the tihai is made, and whether its start is touched on the wheel."""

    name: str
    phrases: tuple[Fraction, ...]
    gaps: tuple[Fraction, ...]
    seconds: float
    on_wheel: bool = False


LEVELS = {
    "whole": Start(
        to_say("where a tihai starts"),
        tuple(map(Fraction, (2, 3, 4, 5))),
        tuple(map(Fraction, (0, 1, 2, 3, 4))),
        32.0,
        on_wheel=True,
    ),
    "half": Start(
        to_say("where a tihai in halves starts"),
        tuple(n * HALF for n in range(4, 9)),
        tuple(n * HALF for n in range(4)),
        40.0,
    ),
    "quarter": Start(
        to_say("where a tihai in quarters starts"),
        tuple(n * QUARTER for n in range(8, 14)),
        tuple(n * HALF for n in range(4)),
        45.0,
    ),
}


class StartWay(TihaiWay):
    way = "start"

    def names(self) -> Mapping[str, str]:
        return {level: each.name for level, each in LEVELS.items()}

    def skills(self) -> tuple[Skill, ...]:
        return tuple(
            tihai_skill(
                self.way,
                level,
                each.name,
                chance=1 / 15 if each.on_wheel else 1 / CHOICES,  # in tintal, which is usual
                seconds=each.seconds,
            )
            for level, each in LEVELS.items()
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        level, fresh = LEVELS[self.level_of(skill)], Fresh(skill, seed)
        tala = drawn_tala(fresh, setting, one_length=True)
        besides = least_lead(tala) + tala.matras + TAILS[-1]
        every = shapes(level.phrases, level.gaps, besides=besides)
        places = sorted({tihai.start_for(0, tala.matras) for tihai in every})
        offered = places if level.on_wheel else fresh.one_of(_sets_around(tuple(places)))
        right = fresh.one_of(offered)
        tihai = fresh.one_of([each for each in every if each.lands(right, tala.matras)])
        matras = [Fraction(matra) for matra in range(tala.matras)]
        ruled_out = {right} if level.on_wheel else set(offered)
        heard = fresh.one_of([place for place in matras if place not in ruled_out])
        lead = lead_to(heard, 0, tala.matras, least=least_lead(tala))
        over = over_theka(
            fresh,
            setting,
            tala,
            tihai.phrase,
            begins=[lead + begin for begin in tihai.begins],
            from_place=0,
            matras=lead + tihai.ends[-1] + fresh.one_of(TAILS),
        )
        question = Question(
            kind="tihai",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say(
                "{tala} from sam. A phrase of {matras} with its last stroke comes three times "
                "{gaps}, here begun {place}. From where would it land on sam?",
                tala=tala.called,
                matras=in_figures(tihai.phrase),
                gaps=with_gaps(tihai.gap),
                place=at_place(heard),
            ),
            choices=as_choices(offered, [capital(at_place(place)) for place in offered]),
            right=(str(right),),
            cue=over.score,
            sargam=over.sargam,
            detail={
                **over.as_json(),
                "phrase": str(tihai.phrase),
                "gap": str(tihai.gap),
                "heard": str(heard),
            },
            wheel=Wheel(tala.form),
        )
        return _on_wheel(question, tala, right, heard) if level.on_wheel else question

    def explain(self, question: Question, given: str) -> Explanation:
        tihai, cycle = _tihai(question), tala_of(question).matras
        right, other = _place(question, question.right[0]), _place(question, given)
        score, wheel = played_out(question, tihai, right)
        sam = int(right + tihai.ends[-1]) + 1
        why = say(
            "It takes {sum} matras, the last one sam. Counted on, that sam is matra {sam}: {sam} - "
            "{ends} = {starts}, so it starts {place}.",
            sum=reckoned(tihai),
            sam=sam,
            ends=mixed(tihai.ends[-1]),
            starts=mixed(right + 1),
            place=at_place(right),
        )
        if other != right:
            why += " " + say(
                "Begun {place} its last stroke falls {fallen}.",
                place=at_place(other),
                fallen=fallen(tihai, other, cycle),
            )
        return Explanation(
            right_label=label_of(question, question.right[0]),
            given_label=label_of(question, given),
            why=why,
            right_cue=score,
            given_cue=None if other == right else played_out(question, tihai, other)[0],
            given_plays=""
            if other == right
            else say("the same tihai, begun {place}", place=at_place(other)),
            wheel=wheel,
        )

    def introduce(self, question: Question) -> str:
        tihai, right = _tihai(question), _place(question, question.right[0])
        here = say(
            "Here it takes {sum} matras, the last one sam: counted back from sam, it starts "
            "{place}. It is heard from elsewhere, where it misses sam.",
            sum=reckoned(tihai),
            place=at_place(right),
        )
        return f"{say(ABOUT)} {here}"


def _sets_around(places: tuple[Fraction, ...]) -> tuple[tuple[Fraction, ...], ...]:
    """Sets of places that follow one another, past sam, too."""
    return near_sets((*places, *places[: CHOICES - 1]))


def _on_wheel(question: Question, tala: Tala, right: Fraction, heard: Fraction) -> Question:
    """The same, answered on the wheel; where it is heard from is ruled out."""
    matras = [str(matra) for matra in range(1, tala.matras + 1)]
    return replace(
        question,
        answer_on="wheel",
        choices=tuple(Choice(matra, say("Matra {number}", number=matra)) for matra in matras),
        right=(str(matra_at(right)),),
        possible=tuple(matra for matra in matras if matra != str(matra_at(heard))),
    )


def _tihai(question: Question) -> Tihai:
    return Tihai(Fraction(question.detail["phrase"]), Fraction(question.detail["gap"]))


def _place(question: Question, given: str) -> Fraction:
    """The place that an answer means."""
    return Fraction(given) - 1 if question.answer_on == "wheel" else Fraction(given)
