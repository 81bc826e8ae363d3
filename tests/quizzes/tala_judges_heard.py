"""Judges of what is heard of a theka: which tala it is, where in its cycle, and in which laya."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from audio.score import Score
from quizzes import KINDS, Question
from tests.quizzes import tala_oracle as oracle
from tests.quizzes.tala_judging import (
    NEAR_S,
    Judge,
    begins_at,
    in_explained,
    matra_struck,
    number,
    one_beginning,
    same_moments,
    talas_heard,
    the_tala,
    wrong_of,
)
from tests.quizzes.tala_oracle import Told

# Which tala.


def tala(question: Question, known: dict[str, Told]) -> Iterator[str]:
    heard = talas_heard(question.cue, question)
    offered = [choice.id for choice in question.choices]
    if set(offered) & heard != set(question.right):
        yield f"heard are {heard & set(offered)}, right is {question.right}"
    for choice in question.choices:
        if choice.label != known[choice.id].name:
            yield f"{choice.id} is called {choice.label}"
    if "begins on sam" in question.prompt and Fraction(0) not in begins_at(
        question, known, question.right
    ):
        yield "the theka does not begin on sam"
    cycle = known[question.right[0]].matras
    if _matras_heard(question) < cycle:
        yield f"of {cycle} matras only {float(_matras_heard(question)):.2f} are heard"
    for wrong in random.Random(question.seed).sample(wrong_of(question), 1):
        said = KINDS["tala"].explain(question, wrong)
        if question.right[0] not in talas_heard(said.right_cue, question):
            yield "what is played as the right tala is another"
        if said.given_cue is None or wrong not in talas_heard(said.given_cue, question):
            yield f"what is played as {wrong} is another tala"


def _matras_heard(question: Question) -> Fraction:
    """From the first stroke to the last one, by the tempo of the first tala that fits."""
    hearing = oracle.hear(question.cue, among=question.right, tradition=question.setting.tradition)[
        0
    ]
    lasts = question.cue.tabla[-1].onset_s - question.cue.tabla[0].onset_s
    return Fraction(lasts).limit_denominator(10**6) * hearing.per_min / 60 + Fraction(1, 10**4)


# Where in the cycle.


def point_of(place: Fraction, begins: Fraction, matras: int) -> str:
    """The point of a blind wheel at which a place lies, by counting on from the first."""
    point, at = 1, begins
    while at != place:
        at, point = (at + 1) % matras, point + 1
        if point > matras:
            raise ValueError(f"{place} is no point from {begins} on")
    return str(point)


def marks_sounded(
    question: Question,
    tala: Told,
    right: set[int],
    matra_of: Callable[[str], int],
) -> Iterator[str]:
    """Whether the sitar strikes on the right matras in what is played as right, and on the matra
    that was touched in what is played as given."""
    for wrong in random.Random(question.seed).sample(wrong_of(question), 2):
        said = KINDS[question.kind].explain(question, wrong)
        struck = in_explained(said.right_cue, question, tala)
        if not struck or not struck <= right:
            yield f"right are matras {right}, the sitar plays {struck}"
        marked = {matra for matra, _ in said.wheel.marked} if said.wheel else set()
        if said.wheel is None or not right <= marked or said.wheel.form.matras != tala.matras:
            yield f"right are matras {right}, on the wheel are marked {marked}"
        if said.given_cue is None:
            yield f"{wrong} cannot be heard"
            continue
        struck = in_explained(said.given_cue, question, tala)
        if struck != {matra_of(wrong)}:
            yield f"{wrong} is matra {matra_of(wrong)}, the sitar plays {struck}"


def touched(begins: Fraction, matras: int) -> Callable[[str], int]:
    """The matra of a point of a blind wheel."""
    return lambda point: int((begins + int(point) - 1) % matras) + 1


def blind_faults(question: Question, begins: Fraction) -> Iterator[str]:
    """Whether a wheel tells nothing, and turns from where the cue begins."""
    wheel = question.wheel
    if wheel is None or not wheel.blind or wheel.marked or wheel.spans:
        yield "the wheel tells of its form"
    elif wheel.turning is not None and (
        wheel.turning.from_place != begins
        or abs(wheel.turning.begins_s - question.cue.lead_s) > NEAR_S
    ):
        yield "the wheel does not turn from where the cue begins"


def sam(question: Question, known: dict[str, Told]) -> Iterator[str]:
    tala = the_tala(question.prompt, question, known)
    begins = one_beginning(question, known, tala)
    if question.answer_on == "wheel":
        if (point_of(Fraction(0), begins, tala.matras),) != question.right:
            yield f"begun at {begins}, sam is not {question.right}"
        yield from blind_faults(question, begins)
        yield from marks_sounded(question, tala, {1}, touched(begins, tala.matras))
        return
    hearing = oracle.hear(question.cue, among=[tala.id], tradition=question.setting.tradition)[0]
    turn = float(tala.matras * 60 / hearing.per_min)
    sams = [question.cue.lead_s + float((-begins % tala.matras) * 60 / hearing.per_min)]
    end = question.cue.lead_s + question.cue.tabla[-1].onset_s
    while sams[-1] + turn <= end + NEAR_S:
        sams.append(sams[-1] + turn)
    right = [tuple(ms / 1000 for ms in question.tapped(line)) for line in question.right]
    if not any(same_moments(line, sams) for line in right):
        yield f"the sams are {sams}, right are {right}"
    if question.wheel is not None and not question.wheel.blind:
        yield "sam is drawn while it is asked"
    yield from _sams_tapped(question, sams)


def _sams_tapped(question: Question, sams: Sequence[float]) -> Iterator[str]:
    """What taps are worth: on all sams but the first, which nobody can know, all; half of a cycle
    off, nothing; steadily on every other stroke, little."""
    kind, turn = KINDS["sam"], sams[1] - sams[0]

    def credit(taps: Sequence[float]) -> float:
        return kind.mark(question, " ".join(str(round(1000 * tap)) for tap in taps)).credit

    if len(sams) > 2 and credit(sams[1:]) < 1:
        yield f"who meets all sams but the first gets {credit(sams[1:]):.3f}"
    if credit([at + 0.03 for at in sams]) < 1:
        yield f"30 ms late on every sam gets {credit([at + 0.03 for at in sams]):.3f}"
    if credit([at + turn / 2 for at in sams]) > 0.05:
        yield "half of a cycle after every sam gets credit"
    matra = turn / 4
    many = [sams[0] + matra * n for n in range(round((sams[-1] - sams[0]) / matra) + 1)]
    if credit(many) > 0.5:
        yield f"four taps to a cycle, one of them on sam, get {credit(many):.3f}"


def khali(question: Question, known: dict[str, Told]) -> Iterator[str]:
    tala = the_tala(question.prompt, question, known)
    begins = one_beginning(question, known, tala)
    waved = {
        matra
        for form in tala.forms()
        if form.matras == tala.matras
        for matra, gesture in form.claps()
        if gesture == "khali"
    }
    own = {matra for matra, gesture in tala.form.claps() if gesture == "khali"}
    points = {point_of(Fraction(matra - 1), begins, tala.matras) for matra in waved}
    if points != set(question.right):
        yield f"waved are points {points}, right are {question.right}"
    if ("a khali" in question.prompt) != (len(own) > 1):
        yield f"there are {len(own)} khalis: {question.prompt}"
    yield from blind_faults(question, begins)
    said = KINDS["khali"].explain(question, wrong_of(question)[0])
    yield from bass_faults(said.why, question, tala)
    yield from marks_sounded(question, tala, own, touched(begins, tala.matras))


def bass_faults(why: str, question: Question, tala: Told) -> Iterator[str]:
    """Whether the matras that are said to be without bass are, and the next has it again."""
    found = re.search(r"rests on matras? (.+?), and its bass comes back on matra (\d+)", why)
    if found is None:
        return
    said = {int(each) for each in re.findall(r"\d+", found[1])}
    if span := re.fullmatch(r"(\d+) to (\d+)", found[1]):
        first, last = map(int, span.groups())
        said = {first}
        while first != last:
            first = first % tala.matras + 1
            said.add(first)
    heard = oracle.hear(question.cue, among=[tala.id], tradition=question.setting.tradition)
    for bols in {each.bols for each in heard}:
        bass = {
            int(place) + 1
            for place, bol in oracle.strokes_of(bols)
            if oracle.sound(bol)[1] == "bass"
        }
        if not said & bass and int(found[2]) in bass:
            return
    yield f"the bass does not rest so: {found[0]}"


def matra(question: Question, known: dict[str, Told]) -> Iterator[str]:
    tala = the_tala(question.prompt, question, known)
    begins = one_beginning(question, known, tala)
    if ("from sam" in question.prompt) != (begins == 0):
        yield f"the cue begins at {begins}: {question.prompt}"
    hearing = oracle.hear(question.cue, among=[tala.id], tradition=question.setting.tradition)[0]
    struck = matra_struck(question.cue, begins, hearing.per_min, tala.matras)
    if {str(each) for each in struck} != set(question.right) or len(question.cue.strokes) != 1:
        yield f"the sitar strikes on {struck}, right is {question.right}"
    if question.wheel is None or question.wheel.marked or question.wheel.turning is not None:
        yield "the wheel tells the matra"
    yield from marks_sounded(question, tala, struck, int)


# Laya.

CLASSES = (
    {"vilambit": (10, 60), "madhya": (60, 150), "drut": (150, 720)},
    {"vilambit": (10, 40), "madhya": (80, 160), "drut": (160, 320)},
)
"""Matras a minute of each class: CompMusic's Hindustani rhythm set as mirdata describes it, and
another table that is taught. What is asked lies in no other class by any of them."""
LEAST_APART = 1.2
"""An estimate is wrong only if it is off by so large a factor (assumption: trained listeners come
within a tenth or so)."""


def per_min_heard(score: Score, question: Question, among: Sequence[str]) -> Fraction:
    """The tempo of a theka, whichever of its talas' thekas of the usual length it is."""
    hearings = oracle.hear(score, among=among, tradition=question.setting.tradition)
    if not hearings:
        raise ValueError(f"no theka of {among} is heard")
    known = oracle.known(question.setting.tradition)
    whole = [each for each in hearings if oracle.length_of(each.bols) == known[each.tala].matras]
    tempos = {each.per_min for each in whole or hearings}
    if max(tempos) > min(tempos) * Fraction(1001, 1000):
        raise ValueError(f"the tempo may be any of {tempos}")
    return tempos.pop()


def classes_of(per_min: Fraction) -> set[str]:
    return {
        name for table in CLASSES for name, (low, high) in table.items() if low <= per_min < high
    }


def laya(question: Question, known: dict[str, Told]) -> Iterator[str]:
    tala = the_tala(question.prompt, question, known)
    if "which laya" in question.prompt:
        per_min = per_min_heard(question.cue, question, [tala.id])
        if classes_of(per_min) != set(question.right):
            yield f"{float(per_min):.1f} a minute are {classes_of(per_min)} by some table"
    elif "matras a minute" in question.prompt:
        per_min = per_min_heard(question.cue, question, [tala.id])
        labels = {choice.id: number(choice.label) for choice in question.choices}
        off = {name: max(at / per_min, per_min / at) for name, at in labels.items()}
        if min(off, key=off.__getitem__) not in question.right:
            yield f"{float(per_min):.1f} a minute are nearest to another: {labels}"
        for wrong in wrong_of(question):
            if off[wrong] < LEAST_APART:
                yield f"{labels[wrong]} is wrong, but near to {float(per_min):.1f}"
    elif "which is faster" in question.prompt:
        first, second = _two_thekas(question, tala)
        right = "first" if first > second else "second"
        if question.right != (right,):
            yield f"{float(first):.2f} and {float(second):.2f}: {question.right} is not faster"
        if question.setting.level is not None:
            level = 100 * float(max(first, second) / min(first, second) - 1)
            if abs(level - question.setting.level) > 0.02 * question.setting.level:
                yield f"asked is {question.setting.level} %, played {level:.3f} %"
    else:
        yield f"what is asked? {question.prompt}"
    for answer in (question.right[0], wrong_of(question)[0]):
        yield from _laya_told(question, tala, answer)


def _two_thekas(question: Question, tala: Told, score: Score | None = None) -> list[Fraction]:
    """The tempos of two stretches of theka with a pause between: the longest wait parts them, if on
    both sides of it a theka of this tala is heard."""
    score = score or question.cue
    strokes = score.tabla
    waits = [later.onset_s - earlier.onset_s for earlier, later in pairwise(strokes)]
    for at in sorted(range(len(waits)), key=lambda at: -waits[at]):
        parts = strokes[: at + 1], strokes[at + 1 :]
        tempos = []
        for part in parts:
            hearings = oracle.hearings(
                part, score.lead_s, among=[tala.id], tradition=question.setting.tradition
            )
            rates = {
                each.per_min for each in hearings if oracle.length_of(each.bols) == tala.matras
            }
            tempos.append(rates)
        if all(len(rates) >= 1 for rates in tempos) and min(map(len, parts)) > 2:
            if any(max(rates) > min(rates) * Fraction(1001, 1000) for rates in tempos):
                raise ValueError(f"tempos are not sure: {tempos}")
            return [rates.pop() for rates in tempos]
    raise ValueError("there are not two stretches of theka")


def _laya_told(question: Question, tala: Told, answer: str) -> Iterator[str]:
    """Whether what is played as right and as given is so fast."""
    said = KINDS["laya"].explain(question, answer)
    for score, name in ((said.right_cue, question.right[0]), (said.given_cue, answer)):
        if score is None:
            continue
        if "which is faster" in question.prompt:
            first, second = _two_thekas(question, tala, score)
            if name != ("first" if first > second else "second"):
                yield f"what is played as {name} is not"
            continue
        per_min = per_min_heard(score, question, [tala.id])
        if "which laya" in question.prompt and classes_of(per_min) != {name}:
            yield f"what is played as {name} goes at {float(per_min):.1f}"
        if "matras a minute" in question.prompt and abs(per_min / number(name) - 1) > 0.06:
            yield f"what is played as {name} a minute goes at {float(per_min):.1f}"


JUDGES: dict[str, Judge] = {
    "tala": tala,
    "sam": sam,
    "khali": khali,
    "matra": matra,
    "laya": laya,
}
