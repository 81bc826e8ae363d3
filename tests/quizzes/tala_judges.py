"""Is a question about talas sound? Judged by what is asked and heard, kind by kind.

A judge reads the question as the student does (the prompt, the choices, the strokes of the score)
and `tala_oracle` for what is so, and gives the faults in words. It never reads `Question.detail`.
Right is what the tala's own form has, or, where a judge says so, what some teaching has; wrong may
only be what is so in no teaching that the files know.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator, Sequence

import numpy as np

from audio.score import Score
from quizzes import KINDS, Question, make_question
from quizzes.explanation import Explanation
from quizzes.wheel import Wheel
from tests.quizzes import tala_judges_heard, tala_judges_reckoned, tala_judges_theka
from tests.quizzes import tala_oracle as oracle
from tests.quizzes.tala_judging import (
    NEAR_S,
    Judge,
    number,
    wrong_of,
)
from tests.quizzes.tala_oracle import Told

NAMES = ("tala", "sam", "khali", "matra", "laya", "layakari", "tihai", "gat-start", "theka", "tap")
"""All kinds of question about talas."""

JUDGES: dict[str, Judge] = {
    **tala_judges_heard.JUDGES,
    **tala_judges_reckoned.JUDGES,
    **tala_judges_theka.JUDGES,
}


def faults(question: Question, *, told: bool = True) -> list[str]:
    """All that is wrong with a question, each with the question's name; `told` reads what is said
    after the answer, too."""
    known = oracle.known(question.setting.tradition)
    try:
        found = [*_form(question, known), *JUDGES[question.kind](question, known)]
        if told:
            found += _told(question, known)
    except (KeyError, ValueError, IndexError, AssertionError) as error:
        found = [f"cannot be judged: {error!r}"]
    return [f"{question.skill} seed {question.seed}: {fault}" for fault in found]


# What holds of all kinds.


def _form(question: Question, known: dict[str, Told]) -> Iterator[str]:
    labels = [choice.label for choice in question.choices]
    ids = [choice.id for choice in question.choices]
    if len({label.casefold() for label in labels}) < len(labels) or len(set(ids)) < len(ids):
        yield f"two choices are alike: {labels}"
    again = make_question(question.skill, seed=question.seed, setting=question.setting)
    if again != question:
        yield "the same skill, seed and setting make another question"
    for right in question.right:
        if not KINDS[question.kind].mark(question, right).right:
            yield f"right, {right}, is marked wrong"
    points = question.wheel.matras if question.wheel is not None else 0
    if question.answer_on == "wheel" and ids != [str(n + 1) for n in range(points)]:
        yield f"the points of the wheel are not its matras: {ids}"
    if question.answer_on not in ("choices", "wheel"):
        return
    if not question.right or not set(question.right) < set(ids):
        yield f"right, {question.right}, is not some of the choices {ids}"
    if question.possible is not None and not set(question.right) & set(question.possible):
        yield "no right answer is among what is possible"
    for wrong in wrong_of(question):
        if KINDS[question.kind].mark(question, wrong).right:
            yield f"{wrong} is marked right"


def _told(question: Question, known: dict[str, Told]) -> Iterator[str]:
    """Whether what is said after a right and after a wrong answer is drawn as it sounds."""
    kind = KINDS[question.kind]
    given = [question.right[0]]
    if question.answer_on in ("choices", "wheel"):
        given += random.Random(question.seed).sample(wrong_of(question), 1)
    for answer in given:
        said = kind.explain(question, answer)
        if (answer in question.right) != (said.given_cue is None) and answer in question.right:
            yield f"after {answer}, which is right, something else is played"
        yield from turning_faults(said, known, of_theka=question.kind not in OWN_LIGHT)
        yield from text_faults(said.why, question, known)
    yield from text_faults(kind.introduce(question), question, known)
    if question.wheel is not None and question.wheel.turning is not None:
        yield from light_faults(question.wheel, question.cue, known)


def text_faults(text: str, question: Question, known: dict[str, Told]) -> Iterator[str]:
    """Whether what a sentence tells of the one tala that it names is so in some teaching."""
    for sentence in re.split(r"(?<=\.)\s+|\n", text):
        names = oracle.named(sentence, question.setting.tradition)
        if len(names) != 1:
            continue
        said = dict(_facts(sentence))
        forms = [
            {
                "vibhags": form.vibhags,
                "matras": (form.matras,),
                "tali": tuple(matra for matra, gesture in form.claps() if gesture == "tali"),
                "khali": tuple(matra for matra, gesture in form.claps() if gesture == "khali"),
            }
            for form in known[names[0]].forms()
        ]
        if not any(all(form[name] == value for name, value in said.items()) for form in forms):
            yield f"of {names[0]} is told {said}: {sentence}"


def _facts(sentence: str) -> Iterator[tuple[str, tuple[int, ...]]]:
    """What is told of a form: its matras, vibhags, claps and waves."""

    def figures(found: str) -> tuple[int, ...]:
        return tuple(map(int, re.findall(r"\d+", found)))

    if found := re.search(r"(\d+) matras in (\w+) vibhags of (\d+)", sentence):
        yield "matras", (int(found[1]),)
        yield "vibhags", (int(found[3]),) * int(number(found[2]))
    elif found := re.search(r"(\d+) matras in (\d+(?: \+ \d+)*)", sentence):
        yield "matras", (int(found[1]),)
        yield "vibhags", figures(found[2])
    for gesture, words in (("tali", "tali|clap"), ("khali", "khali|wave")):
        if found := re.search(rf"(?:{words}) on ((?:\d+(?:, | and )?)+)", sentence):
            yield gesture, figures(found[1])


OWN_LIGHT = ("layakari",)
"""Kinds that explain by a theka said in two speeds; their judge looks at the light."""


def turning_faults(said: Explanation, known: dict[str, Told], *, of_theka: bool) -> Iterator[str]:
    if said.wheel is None:
        return
    for matra, _ in said.wheel.marked:
        if not 1 <= matra <= said.wheel.matras:
            yield f"matra {matra} of a wheel of {said.wheel.matras} is marked"
    if said.wheel.turning is not None and of_theka:
        yield from light_faults(said.wheel, said.right_cue, known)


def light_faults(wheel: Wheel, score: Score, known: dict[str, Told]) -> Iterator[str]:
    """Whether the light stands on the matra of which the stroke sounds, stroke by stroke, as some
    theka of as many matras has it. The theka need not sound all the time."""
    turning = wheel.turning
    assert turning is not None
    lights = [
        (turning.place_at(score.lead_s + stroke.onset_s + 1e-9, wheel.matras), stroke)
        for stroke in score.tabla
    ]
    lit = [(place, stroke.bol) for place, stroke in lights if place is not None]
    if not lit:
        yield "a wheel turns and no drum sounds with it"
        return
    lands = [stroke for place, stroke in lights if place is None]
    if len(lands) > 1:
        yield f"{len(lands)} strokes sound while the wheel stands still"
    off = NEAR_S * float(turning.matras_per_min) / 60
    for tala in known.values():
        for bols in tala.lines():
            if oracle.length_of(bols) == wheel.matras and _is_lit(lit, bols, off):
                return
    yield f"the light does not go with the strokes: {[(round(p, 3), b) for p, b in lit[:6]]}"


def _is_lit(lit: Sequence[tuple[float, str]], bols: str, off: float) -> bool:
    """Whether every stroke is lit at a place at which these bols have its sound."""
    strokes = oracle.strokes_of(bols)
    cycle = oracle.length_of(bols)
    places = np.array([float(place) for place, _ in strokes])
    for place, bol in lit:
        apart = np.abs((places - place + cycle / 2) % cycle - cycle / 2)
        at = int(apart.argmin())
        if apart[at] > off or oracle.sound(strokes[at][1]) != oracle.sound(bol):
            return False
    return True
