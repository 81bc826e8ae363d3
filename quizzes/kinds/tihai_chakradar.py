"""`tihai:chakradar:lands`: a whole tihai three times over; where does it come out, and what gap
between the three brings it to sam?

The tihai is heard once over the theka; how long it is, and from where, is told.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.tihai_gap import Gap, drawn_gap, explained_gap
from quizzes.kinds.tihai_sound import (
    EXPLAINED_TAIL,
    MOST_S,
    drawn_tala,
    lead_to,
    least_lead,
    over_theka,
    phrase_span,
    played_out,
    shapes,
    tala_of,
)
from quizzes.kinds.tihai_way import (
    CHOICES,
    TihaiWay,
    as_choices,
    counted_on,
    fallen,
    gap_label,
    reckoned,
    tihai_skill,
    with_gaps,
)
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import label_of
from quizzes.talas import Tala
from quizzes.talas.cycle import in_figures
from quizzes.talas.tihai import Tihai
from quizzes.talas.wording import at_place
from quizzes.wheel import Wheel
from words import say, to_say

ABOUT = to_say(
    "A chakradar is a whole tihai three times over, so that the very last stroke falls on sam. "
    "Reckon with the tihai as with one long phrase."
)
PHRASES = tuple(map(Fraction, (2, 3, 4, 5, 7, 9)))
GAPS = tuple(map(Fraction, (0, 1, 2, 3)))
BETWEEN = Gap(to_say("the gap of a chakradar"), (), Fraction(0), Fraction(1, 2), Fraction(3))
"""Gaps between the three tihais."""
FASTEST = 260
"""Matras a minute: no chakradar is so long that an explanation would have to play it faster."""
LONGEST = Fraction(int(MOST_S * FASTEST / 60))
EXPLAINED_LEAD = 1
"""Matras of theka before it."""
TAILS = (4, 5, 6)


class ChakradarWay(TihaiWay):
    way = "chakradar"

    def names(self) -> Mapping[str, str]:
        return {"lands": to_say("where a chakradar comes out"), "gap": BETWEEN.name}

    def skills(self) -> tuple[Skill, ...]:
        return tuple(
            tihai_skill(self.way, level, name, chance=1 / CHOICES, seconds=45.0)
            for level, name in self.names().items()
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        level, fresh = self.level_of(skill), Fresh(skill, seed)
        tala = drawn_tala(fresh, setting, one_length=True)
        inner = fresh.one_of(_inner(tala))
        if level == "gap":
            whole, offered = drawn_gap(fresh, tala, BETWEEN, [inner.matras])
            start = whole.start_for(0, tala.matras)
            prompt = say(
                "{tala} from sam. You hear once a tihai of {matras} with its last stroke. It is to "
                "come three times over, begun {place}. With which gap does it come to sam?",
                **_told(tala, inner, start),
            )
            choices = as_choices(offered, [gap_label(gap) for gap in offered])
            right = str(whole.gap)
        else:
            whole = inner.thrice(fresh.one_of((0, 1, 2)))
            comes_out = _comes_out(tala)
            right = fresh.one_of(tuple(comes_out))
            falls, _ = comes_out[right]
            start = whole.start_for(falls, tala.matras)
            prompt = say(
                "{tala} from sam. You hear once a tihai of {matras} with its last stroke. It is to "
                "come three times over {gaps}, begun {place}. Where does the last stroke fall?",
                **_told(tala, inner, start),
                gaps=with_gaps(whole.gap),
            )
            choices = tuple(Choice(name, label) for name, (_, label) in comes_out.items())
        lead = lead_to(start, 0, tala.matras, least=least_lead(tala))
        over = over_theka(
            fresh,
            setting,
            tala,
            inner.phrase,
            begins=[lead + begin for begin in inner.begins],
            from_place=0,
            matras=lead + inner.ends[-1] + fresh.one_of(TAILS),
            evenly=True,
        )
        return Question(
            kind="tihai",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=prompt,
            choices=choices,
            right=(right,),
            cue=over.score,
            sargam=over.sargam,
            detail={
                **over.as_json(),
                "start": str(start),
                "phrase": str(inner.matras),
                "gap": str(whole.gap),
                "inner_gap": str(inner.gap),
            },
            wheel=Wheel(tala.form, spans=(phrase_span(start, inner.matras),)),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        if self.level_of(question.skill) == "gap":
            return explained_gap(question, given, lead=EXPLAINED_LEAD, of_tihais=True)
        tala, whole, start = _asked(question)
        score, wheel = played_out(question, whole, start, lead=EXPLAINED_LEAD)
        why = counted_on(whole, start, tala.matras)
        heard = None
        if given not in question.right:
            other = whole.start_for(_comes_out(tala)[given][0], tala.matras)
            heard, _ = played_out(question, whole, other, lead=EXPLAINED_LEAD)
            why += " " + say(
                "Begun {place} it would fall {fallen}.",
                place=at_place(other),
                fallen=fallen(whole, other, tala.matras),
            )
        return Explanation(
            right_label=label_of(question, question.right[0]),
            given_label=label_of(question, given),
            why=why,
            right_cue=score,
            given_cue=heard,
            given_plays=""
            if heard is None
            else say("the same, begun {place}", place=at_place(other)),
            wheel=wheel,
        )

    def introduce(self, question: Question) -> str:
        tala, whole, start = _asked(question)
        here = say(
            "Here it takes {sum} matras, begun {place}: the last stroke falls {fallen}.",
            sum=reckoned(whole),
            place=at_place(start),
            fallen=fallen(whole, start, tala.matras),
        )
        return f"{say(ABOUT)} {here}"


def _told(tala: Tala, inner: Tihai, start: Fraction) -> dict[str, str]:
    """Parts of what is asked of a chakradar."""
    return {
        "tala": tala.called,
        "matras": in_figures(inner.matras),
        "place": at_place(start),
    }


def _inner(tala: Tala) -> list[Tihai]:
    """Tihais that can be heard once in a cue and, made a chakradar, in an explanation."""
    longest_gaps = 2 * BETWEEN.most
    tail = EXPLAINED_LEAD + longest_gaps + tala.matras // 2 + EXPLAINED_TAIL
    fitting = shapes(PHRASES, GAPS, besides=least_lead(tala) + tala.matras + TAILS[-1])
    return [tihai for tihai in fitting if tihai.thrice(0).matras + tail <= LONGEST]


def _comes_out(tala: Tala) -> dict[str, tuple[Fraction, str]]:
    """Where a last stroke may fall: by id the place and its label. On a khali only where that is
    not beside sam, or sam itself."""
    found = {
        "before": (Fraction(tala.matras - 1), say("A matra before sam")),
        "sam": (Fraction(0), say("On sam")),
        "after": (Fraction(1), say("A matra after sam")),
    }
    apart = [matra for matra in tala.khali if 2 < matra < tala.matras]
    if apart:
        found["khali"] = (Fraction(apart[0] - 1), say("On khali, matra {matra}", matra=apart[0]))
    return found


def _asked(question: Question) -> tuple[Tala, Tihai, Fraction]:
    detail = question.detail
    gap = question.right[0] if question.skill.endswith(":gap") else detail["gap"]
    whole = Tihai(Fraction(detail["phrase"]), Fraction(gap))
    return tala_of(question), whole, Fraction(detail["start"])
