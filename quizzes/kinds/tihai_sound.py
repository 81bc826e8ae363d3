"""A tihai, or its phrase, over a theka: in which talas, how fast, and on the wheel."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from audio.score import Drone, Score
from audio.theka import theka_strokes
from quizzes.fresh import Fresh
from quizzes.kinds.tihai_phrase import Phrase, fresh_phrase
from quizzes.question import Question, Setting
from quizzes.talas import Tala, talas
from quizzes.talas.asking import asked_talas, tala_for
from quizzes.talas.cues import drawn_tempo, theka_cue
from quizzes.talas.cycle import mixed
from quizzes.talas.steady import is_counted_one_way
from quizzes.talas.tihai import Tihai
from quizzes.wheel import Span, Turning, Wheel

LAYAS = ("madhya", "drut")
SHORTEST, LONGEST = 5, 16
"""Matras of a cycle that is heard again while a tihai goes on."""
MOST_S = 24.0
"""A cue, or an explanation, lasts no longer, but for its lead and what rings on."""
SLOW, SWIFT = (60, 110), (80, 150)
"""Matras a minute, for a beginner who counts and for who has met more skills of tihais; a cue that
would last too long is played faster."""
FEW_MET = 4
FASTEST, SPREAD = 150, 10
"""No cue is so long that it would have to be faster, and by so much at least tempos differ."""
LEAD_MATRAS = 6
"""So many matras of theka are heard before the string, at least, and at least half a cycle."""
EXPLAINED_LEAD, EXPLAINED_TAIL = 4, 3
EXPLAINED_LEAD_S = 0.3


def drawn_tala(fresh: Fresh, setting: Setting, *, one_length: bool = False) -> Tala:
    """A tala that is heard at middle or fast tempo, one that the student has begun if possible;
    with `one_length` one that nobody counts in another length."""
    suiting = [
        name
        for name, tala in asked_talas(talas(setting.tradition)).items()
        if SHORTEST <= tala.matras <= LONGEST
        and is_heard(tala)
        and (is_counted_one_way(tala) or not one_length)
    ]
    return tala_for(fresh, setting, of=suiting)


def is_heard(tala: Tala) -> bool:
    """Whether it is usual at middle or fast tempo."""
    return any(laya in tala.laya for laya in LAYAS)


def least_lead(tala: Tala) -> int:
    """How many matras of its theka are heard before the string at least."""
    return max(LEAD_MATRAS, (tala.matras + 1) // 2)


def shapes(
    phrases: Sequence[Fraction],
    gaps: Sequence[Fraction],
    *,
    besides: Fraction | int,
) -> list[Tihai]:
    """All tihais of these phrases and gaps that are short enough to be heard in one cue with so
    many other matras besides."""
    most = int(MOST_S * FASTEST / 60) - besides
    every = [Tihai(phrase, gap) for phrase in phrases for gap in gaps]
    return [tihai for tihai in every if tihai.ends[-1] <= most]


def _pace(fresh: Fresh, setting: Setting, matras: Fraction | int) -> Fraction:
    """A tempo at which one counts, and at which so many matras are heard."""
    slowest, fastest = SLOW if len(setting.met) <= FEW_MET else SWIFT
    low = max(slowest, float(matras) * 60 / MOST_S)
    return drawn_tempo(fresh, low, max(fastest, low + SPREAD))


def _laya(tala: Tala) -> str:
    """The class whose theka is played: the middle one where it is usual."""
    return next(laya for laya in LAYAS if laya in tala.laya)


def lead_to(
    start: Fraction, from_place: Fraction | int, cycle: int, *, least: Fraction | int
) -> Fraction:
    """How many matras of a theka from a place are heard until it comes to `start`, at least so
    many."""
    lead = (start - from_place) % cycle
    while lead < least:
        lead += cycle
    return lead


@dataclass(frozen=True, slots=True)
class Over:
    """A phrase over a theka, as a cue plays it."""

    tala: Tala
    laya: str
    matras_per_min: Fraction
    phrase: Phrase
    score: Score
    sargam: str

    def as_json(self) -> dict[str, Any]:
        """What is needed to play it otherwise."""
        return {
            "tala": self.tala.id,
            "laya": self.laya,
            "tempo": str(self.matras_per_min),
            "played": self.phrase.as_json(),
        }


def over_theka(
    fresh: Fresh,
    setting: Setting,
    tala: Tala,
    phrase: Fraction,
    *,
    begins: Sequence[Fraction],
    from_place: Fraction | int,
    matras: Fraction | int,
    evenly: bool = False,
) -> Over:
    """A fresh phrase of so many matras, begun at these moments over `matras` of theka from a
    place; `evenly` has one stroke a matra."""
    laya, tempo = _laya(tala), _pace(fresh, setting, matras)
    once = fresh_phrase(fresh, setting, phrase, tempo, evenly=evenly)
    cue = theka_cue(
        fresh,
        setting,
        tala,
        matras=matras,
        matras_per_min=tempo,
        from_place=from_place,
        theka=tala.thekas_for(laya)[0],
    )
    strokes = once.strokes(begins, matras_per_min=tempo, tuning=setting.tuning, fresh=fresh)
    score = replace(cue.with_strokes(strokes), drone=Drone(once.drone))
    return Over(tala, laya, tempo, once, score, f"{cue.written} / {once.written}")


def played_out(
    question: Question, tihai: Tihai, start: Fraction, *, lead: int = EXPLAINED_LEAD
) -> tuple[Score, Wheel]:
    """The whole of a tihai from a place, over the theka from a little before it to beyond sam, and
    the wheel that turns with it.

    Its phrase is the cue's; where it is long it is played as much faster as it must be.
    """
    detail, tala = question.detail, tala_of(question)
    once = Phrase.from_json(detail["played"])
    begins = [lead + begin for begin in _heard_begins(tihai, once, detail)]
    to_sam = max(Fraction(0), -tihai.after_sam(start, tala.matras))
    matras = lead + tihai.ends[-1] + to_sam + EXPLAINED_TAIL
    tempo = max(Fraction(detail["tempo"]), Fraction(int(matras * 60 / Fraction(MOST_S)) + 1))
    from_place = (start - lead) % tala.matras
    tabla = theka_strokes(
        tala.thekas_for(detail["laya"])[0].theka,
        matras_per_min=tempo,
        matras=matras,
        from_matra=from_place,
    )
    strokes = once.strokes(begins, matras_per_min=tempo, tuning=question.setting.tuning)
    score = Score(question.cue.sa_hz, strokes, question.cue.drone, EXPLAINED_LEAD_S, tabla)
    turning = Turning(EXPLAINED_LEAD_S, from_place, matras, tempo)
    return score, Wheel(tala.form, turning=turning, spans=spans_of(tihai, start, tala.matras))


def _heard_begins(tihai: Tihai, once: Phrase, detail: Mapping[str, Any]) -> tuple[Fraction, ...]:
    """Where each phrase begins that is heard: of a chakradar nine."""
    if "inner_gap" not in detail:
        return tihai.begins
    inner = Tihai(once.matras, Fraction(detail["inner_gap"]))
    return tuple(whole + begin for whole in tihai.begins for begin in inner.begins)


def spans_of(tihai: Tihai, start: Fraction, cycle: int) -> tuple[Span, ...]:
    """Phrase, gap, phrase, gap, phrase around the wheel."""
    spans: list[Span] = []
    for begin in tihai.begins:
        if spans and tihai.gap:
            at = (start + begin - tihai.gap) % cycle
            spans.append(Span(at, tihai.gap, "gap", mixed(tihai.gap)))
        spans.append(phrase_span((start + begin) % cycle, tihai.phrase))
    return tuple(spans)


def phrase_span(start: Fraction, matras: Fraction) -> Span:
    return Span(start, matras, "phrase", mixed(matras))


def tala_of(question: Question) -> Tala:
    """The tala of a question on a tihai, as the student's teacher has it."""
    return talas(question.setting.tradition)[question.detail["tala"]]
