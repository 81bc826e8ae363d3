"""Wheels for the window tests: of real talas, and of a cycle as long as any; still and turning."""

from __future__ import annotations

from fractions import Fraction

from audio.score import Score, TablaStroke
from quizzes.talas import load_tala
from quizzes.talas.tala import Form
from quizzes.wheel import Span, Turning, Wheel

TINTAL = load_tala("tintal").form
RUPAK = load_tala("rupak").form
DHAMAR = Form(14, (5, 2, 3, 4), (1, 6, 11), (8,))
LONGEST = Form(18, (2,) * 9, (1, 5, 9, 11, 15), (3, 7, 13, 17))
PER_MIN = Fraction(120)
LEAD_S = 0.25


def cue(matras, *, per_min=PER_MIN):
    """A stroke of the drums on every matra."""
    step = float(60 / per_min)
    return Score(
        138.59, (), None, LEAD_S, tuple(TablaStroke(n * step, "na") for n in range(matras))
    )


def turning(matras, *, from_place=0, per_min=PER_MIN):
    return Turning(LEAD_S, Fraction(from_place), Fraction(matras), per_min)


def second_of(turning, matras):
    """The second of the score at which something sounds so many matras after the beginning."""
    return turning.begins_s + float(matras * 60 / turning.matras_per_min)


def tihai(start, phrase, gap, *, matras):
    """The spans of a tihai that begins at a place."""
    spans, at = [], Fraction(start)
    for number in range(1, 4):
        spans.append(Span(at % matras, Fraction(phrase), "phrase", f"phrase {number}"))
        at += Fraction(phrase)
        if gap and number < 3:
            spans.append(Span(at % matras, Fraction(gap), "gap", "gap"))
            at += Fraction(gap)
    return tuple(spans)


BLIND = Wheel(TINTAL, blind=True, turning=turning(16, from_place=4))
SPANNED = Wheel(TINTAL, turning=turning(16), spans=tihai(0, 5, Fraction(1, 2), matras=16))
WOUND = Wheel(TINTAL, turning=turning(32), spans=tihai(8, 9, Fraction(13, 4), matras=16))
