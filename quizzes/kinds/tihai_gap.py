"""`tihai:gap:whole`: with which gap does a phrase from a matra land on sam?

The phrase is heard once over the theka. It is told how long it is and where it begins, but for
`tihai:gap:heard`, where both are to be heard, too.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.tihai_sound import (
    EXPLAINED_LEAD,
    drawn_tala,
    lead_to,
    least_lead,
    over_theka,
    phrase_span,
    played_out,
    tala_of,
)
from quizzes.kinds.tihai_way import (
    ABOUT,
    CHOICES,
    TihaiWay,
    as_choices,
    fallen,
    gap_label,
    near_sets,
    reckoned,
    sam_reached,
    tihai_skill,
    with_gaps,
)
from quizzes.names import capital
from quizzes.question import Question, Setting, Skill
from quizzes.ragas.asking import label_of
from quizzes.talas import Tala
from quizzes.talas.cycle import in_figures, matra_at, mixed
from quizzes.talas.tihai import Tihai
from quizzes.talas.wording import at_place
from quizzes.wheel import Wheel
from words import say, say_many, to_say

HALF = Fraction(1, 2)
TAILS = (4, 5, 6, 7, 8)
"""Matras of theka from the last stroke of the phrase on."""


@dataclass(frozen=True, slots=True)
class Gap:
    """One level: of what the tihai is made. All gaps offered are of one sort, from the least by
    steps to the most, and any of them may be right."""

    name: str
    phrases: tuple[Fraction, ...]
    least: Fraction
    step: Fraction
    most: Fraction
    told: bool = True

    @property
    def gaps(self) -> tuple[Fraction, ...]:
        count = int((self.most - self.least) / self.step) + 1
        return tuple(self.least + number * self.step for number in range(count))


WHOLE_PHRASES = tuple(map(Fraction, (2, 3, 4, 5)))
LEVELS = {
    "whole": Gap(
        to_say("the gap of a tihai in whole matras"),
        WHOLE_PHRASES,
        Fraction(0),
        Fraction(1),
        Fraction(4),
    ),
    "half": Gap(
        to_say("the gap of a tihai in halves"), WHOLE_PHRASES, Fraction(0), HALF, Fraction(4)
    ),
    "quarter": Gap(
        to_say("the gap of a tihai in quarters"),
        (2 + HALF, 3 + HALF, 4 + HALF),
        Fraction(1, 4),
        HALF,
        Fraction(15, 4),
    ),
    "heard": Gap(
        to_say("the gap of a tihai of which the phrase is heard"),
        WHOLE_PHRASES,
        Fraction(0),
        HALF,
        Fraction(4),
        told=False,
    ),
}


class GapWay(TihaiWay):
    way = "gap"

    def names(self) -> Mapping[str, str]:
        return {level: each.name for level, each in LEVELS.items()}

    def skills(self) -> tuple[Skill, ...]:
        return tuple(
            tihai_skill(self.way, level, each.name, chance=1 / CHOICES, seconds=32.0)
            for level, each in LEVELS.items()
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        level, fresh = LEVELS[self.level_of(skill)], Fresh(skill, seed)
        tala = drawn_tala(fresh, setting, one_length=True)
        tihai, offered = drawn_gap(fresh, tala, level, level.phrases)
        start = tihai.start_for(0, tala.matras)
        lead = lead_to(start, 0, tala.matras, least=least_lead(tala))
        over = over_theka(
            fresh,
            setting,
            tala,
            tihai.phrase,
            begins=[lead],
            from_place=0,
            matras=lead + tihai.ends[0] + fresh.one_of(TAILS),
        )
        return Question(
            kind="tihai",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=_prompt(tala, tihai, start if level.told else None),
            choices=as_choices(offered, [gap_label(gap) for gap in offered]),
            right=(str(tihai.gap),),
            cue=over.score,
            sargam=over.sargam,
            detail={**over.as_json(), "start": str(start), "phrase": str(tihai.phrase)},
            wheel=Wheel(tala.form, spans=(phrase_span(start, tihai.phrase),) if level.told else ()),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        return explained_gap(question, given)

    def introduce(self, question: Question) -> str:
        right, start = _asked(question, question.right[0])
        told = {"place": at_place(start), "sum": reckoned(right)}
        if right.is_bedam:
            here = say(
                "Three phrases and two gaps bring it to sam, its last matra. Here, begun {place}, "
                "it takes {sum} matras: no gap, the phrases follow one another.",
                **told,
            )
        else:
            here = say(
                "Three phrases and two gaps bring it to sam, its last matra. Here, begun {place}, "
                "it takes {sum} matras: the gap is {gap}.",
                **told,
                gap=in_figures(right.gap),
            )
        return f"{say(ABOUT)} {here}"


def _prompt(tala: Tala, tihai: Tihai, start: Fraction | None) -> str:
    """`start` is told, and how long the phrase is, but where both are to be heard."""
    if start is None:
        return say(
            "{tala} from sam, and once the phrase of a tihai. Count where it begins, and how long "
            "it is with its last stroke. With which gap does the tihai land on sam?",
            tala=tala.called,
        )
    return say(
        "{tala} from sam, and once the phrase of a tihai: {matras} with its last stroke, begun "
        "{place}. With which gap does the tihai land on sam?",
        tala=tala.called,
        matras=in_figures(tihai.phrase),
        place=at_place(start),
    )


def drawn_gap(
    fresh: Fresh, tala: Tala, level: Gap, phrases: Sequence[Fraction]
) -> tuple[Tihai, tuple[Fraction, ...]]:
    """A tihai that comes from a whole matra to sam, and the gaps offered, its own among them."""
    offered = fresh.one_of(near_sets(level.gaps, Fraction(tala.matras, 2)))
    return Tihai(fresh.one_of(phrases), fresh.one_of(offered)), offered


def _asked(question: Question, gap: str) -> tuple[Tihai, Fraction]:
    """The tihai with this gap, and the place where it begins."""
    detail = question.detail
    return Tihai(Fraction(detail["phrase"]), Fraction(gap)), Fraction(detail["start"])


def explained_gap(
    question: Question, given: str, *, lead: int = EXPLAINED_LEAD, of_tihais: bool = False
) -> Explanation:
    """The tihai with the right gap and with the one that was answered, over the theka."""
    (right, start), (other, _) = _asked(question, question.right[0]), _asked(question, given)
    cycle, is_right = tala_of(question).matras, given in question.right
    score, wheel = played_out(question, right, start, lead=lead)
    why = say(
        "From matra {matra} to {sam} there are {matras} matras, sam counted.",
        matra=matra_at(start),
        sam=sam_reached(right, start, cycle),
        matras=mixed(right.matras),
    )
    why += " " + _shared(right, of_tihais=of_tihais)
    if not is_right:
        why += " " + say(
            "{gaps} its last stroke falls {fallen}.",
            gaps=capital(with_gaps(other.gap)),
            fallen=fallen(other, start, cycle),
        )
    return Explanation(
        right_label=label_of(question, question.right[0]),
        given_label=label_of(question, given),
        why=why,
        right_cue=score,
        given_cue=None if is_right else played_out(question, other, start, lead=lead)[0],
        given_plays="" if is_right else say("the same {gaps}", gaps=with_gaps(other.gap)),
        wheel=wheel,
    )


def _shared(tihai: Tihai, *, of_tihais: bool) -> str:
    """How its matras are shared out among phrases, or the tihais of a chakradar, and gaps."""
    told = {"phrase": mixed(tihai.phrase), "takes": mixed(3 * tihai.phrase)}
    if tihai.is_bedam and of_tihais:
        return say(
            "Three tihais of {phrase} take {takes}, and nothing is left: no gap (bedam), the "
            "tihais follow one another.",
            **told,
        )
    if tihai.is_bedam:
        return say(
            "Three phrases of {phrase} take {takes}, and nothing is left: no gap (bedam), the "
            "phrases follow one another.",
            **told,
        )
    left = 2 * tihai.gap
    told |= {"left": mixed(left), "gap": mixed(tihai.gap)}
    if of_tihais:
        return say_many(
            "Three tihais of {phrase} take {takes}, so {left} is left for two gaps: {gap} each.",
            "Three tihais of {phrase} take {takes}, so {left} are left for two gaps: {gap} each.",
            1 if left <= 1 else 2,
            **told,
        )
    return say_many(
        "Three phrases of {phrase} take {takes}, so {left} is left for two gaps: {gap} each.",
        "Three phrases of {phrase} take {takes}, so {left} are left for two gaps: {gap} each.",
        1 if left <= 1 else 2,
        **told,
    )
