"""What the judges of questions about talas share: reading a prompt, and what a score plays.

Places are Fractions of matras since sam, running on over the cycles.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from audio.score import Score
from quizzes import Question
from quizzes.wheel import Wheel
from tests.quizzes import tala_oracle as oracle
from tests.quizzes.tala_oracle import Told

Judge = Callable[[Question, dict[str, Told]], Iterator[str]]
"""Of a question and all talas, gives the faults in words."""

NEAR_S = 0.001
"""A light on a wheel and the stroke of its matra are one moment so near to each other."""


# Reading.


def wrong_of(question: Question) -> list[str]:
    return [choice.id for choice in question.choices if choice.id not in question.right]


def label_of(question: Question, answer: str) -> str:
    return next(choice.label for choice in question.choices if choice.id == answer)


def the_tala(text: str, question: Question, known: dict[str, Told]) -> Told:
    """The one tala that a text names. Raises ValueError where it is not one."""
    names = oracle.named(text, question.setting.tradition)
    if len(names) != 1:
        raise ValueError(f"{text!r} names {names}")
    return known[names[0]]


NUMBERS = {
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8,
    "nine": 9, "ten": 10, "eleven": 11, "twelve": 12,
}  # fmt: skip


def number(text: str) -> Fraction:
    """`6 2/3`, `1/2`, `-1 1/4`, `4`, `four`. Raises ValueError for what is none."""
    text = text.strip().casefold()
    if text in NUMBERS:
        return Fraction(NUMBERS[text])
    found = re.fullmatch(r"(-)?(?:(\d+)(?: (\d+/\d+))?|(\d+/\d+))", text)
    if found is None:
        raise ValueError(f"{text!r} is no number")
    sign, whole, part, alone = found.groups()
    value = Fraction(whole or 0) + Fraction(part or 0) + Fraction(alone or 0)
    return -value if sign else value


# Hearing.


def begins_at(question: Question, known: dict[str, Told], among: Sequence[str]) -> set[Fraction]:
    """At which places the cue may begin, the moment after its lead, as some theka of these talas
    has its strokes. Raises ValueError where it is none."""
    found = set()
    for each in oracle.hear(question.cue, among=among, tradition=question.setting.tradition):
        since = Fraction(each.first_s - question.cue.lead_s) * each.per_min / 60
        place = (each.place - since).limit_denominator(48) % oracle.length_of(each.bols)
        # Where others count it in half as many matras, a matra is as long as two.
        found.add(place * Fraction(known[each.tala].matras, oracle.length_of(each.bols)))
    if not found:
        raise ValueError(f"no theka of {among} is heard")
    return found


def talas_heard(score: Score, question: Question) -> set[str]:
    return {each.tala for each in oracle.hear(score, tradition=question.setting.tradition)}


def one_beginning(question: Question, known: dict[str, Told], tala: Told) -> Fraction:
    """Where the cue begins. Raises ValueError where it could be several places."""
    places = begins_at(question, known, [tala.id])
    if len(places) != 1:
        raise ValueError(f"the cue may begin at any of {places}")
    return places.pop()


def matra_struck(score: Score, begins: Fraction, per_min: Fraction, matras: int) -> set[int]:
    """On which matras the sitar strikes, in a score that begins there. Raises ValueError for
    strokes between matras."""
    found = set()
    for stroke in score.strokes:
        at = begins + Fraction(stroke.onset_s) * per_min / 60
        nearest = round(at)
        if abs(float((at - nearest) * 60 / per_min)) > NEAR_S:
            raise ValueError(f"the sitar strikes {float(at):.3f} matras after sam")
        found.add(nearest % matras + 1)
    return found


def in_explained(score: Score, question: Question, tala: Told) -> set[int]:
    """The matras on which the sitar strikes in an explanation."""
    hearings = oracle.hear(score, among=[tala.id], tradition=question.setting.tradition)
    hearings = [each for each in hearings if oracle.length_of(each.bols) == tala.matras]
    if not hearings:
        raise ValueError(f"no theka of {tala.id} is heard in what is explained")
    found = set()
    for each in hearings:
        since = Fraction(each.first_s - score.lead_s) * each.per_min / 60
        begins = (each.place - since).limit_denominator(48)
        found |= matra_struck(score, begins, each.per_min, tala.matras)
    return found


@dataclass(frozen=True)
class Struck:
    """What the sitar plays over a theka: places since sam, running on over the cycles."""

    begins: Fraction
    places: tuple[Fraction, ...]
    per_min: Fraction

    def thirds(self, many: int = 3) -> list[tuple[Fraction, ...]]:
        """Its strokes in so many equal heaps."""
        each, over = divmod(len(self.places), many)
        if over:
            raise ValueError(f"{len(self.places)} strokes are not {many} times the same")
        return [self.places[at * each : (at + 1) * each] for at in range(many)]


def struck_over(score: Score, question: Question, tala: Told) -> Struck:
    """The strokes of the sitar, by the theka that is heard. Raises ValueError where it could be
    several ways, or for strokes that lie on no eighth or third of a matra."""
    found = set()
    for each in oracle.hear(score, among=[tala.id], tradition=question.setting.tradition):
        if oracle.length_of(each.bols) != tala.matras:
            continue
        begins = each.place - Fraction(each.first_s - score.lead_s) * each.per_min / 60
        begins = begins.limit_denominator(48) % tala.matras
        places = []
        for stroke in sorted(score.strokes, key=lambda stroke: stroke.onset_s):
            exact = begins + Fraction(stroke.onset_s) * each.per_min / 60
            place = min(
                (Fraction(round(exact * parts), parts) for parts in (24, 16, 10, 14)),
                key=lambda near: abs(near - exact),
            )
            if abs(float((place - exact) * 60 / each.per_min)) > NEAR_S:
                raise ValueError(f"the sitar strikes at {float(exact):.4f}")
            places.append(place)
        found.add(Struck(begins, tuple(places), each.per_min))
    if len({(each.begins, each.places) for each in found}) != 1:
        raise ValueError(f"the theka of {tala.id} can be taken in {len(found)} ways")
    return found.pop()


def spans_faults(wheel: Wheel, spans: Sequence[tuple[Fraction, Fraction]]) -> Iterator[str]:
    """Whether the arcs along a wheel are these, as place and matras."""
    drawn = [(span.start % wheel.matras, span.matras) for span in wheel.spans]
    if drawn != [(start % wheel.matras, matras) for start, matras in spans]:
        yield f"drawn are the spans {drawn}, they are {spans}"


def same_moments(one: Sequence[float], other: Sequence[float]) -> bool:
    return len(one) == len(other) and max(abs(a - b) for a, b in zip(one, other, strict=True)) < (
        NEAR_S
    )
