"""Judges of what is reckoned to reach sam: layakari and tihai."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

import numpy as np

from audio.score import Score
from quizzes import KINDS, Question
from tests.quizzes import tala_oracle as oracle
from tests.quizzes.tala_judging import (
    NEAR_S,
    Judge,
    Struck,
    number,
    spans_faults,
    struck_over,
    the_tala,
    wrong_of,
)
from tests.quizzes.tala_oracle import Told

# Layakari.

RATIOS = {
    "thah": Fraction(1), "dugun": Fraction(2), "tigun": Fraction(3), "chaugun": Fraction(4),
    "ada": Fraction(3, 2), "kuad": Fraction(5, 4), "biad": Fraction(7, 4),
}  # fmt: skip
"""Matras of the theka that go into one, as most printed courses have it (common practice; for kuad
and biad some have other figures, so that a question says them, too)."""


def ratios(question: Question) -> dict[str, Fraction]:
    """Those of the student's teacher."""
    told = tomllib.loads(question.setting.tradition).get("layakari", {})
    return RATIOS | {
        name: Fraction(table["ratio"]) for name, table in told.items() if "ratio" in table
    }


def layakari(question: Question, known: dict[str, Told]) -> Iterator[str]:
    if question.prompt.startswith("The theka keeps thah"):
        yield from _layakari_heard(question)
        return
    found = re.fullmatch(
        r"The theka of .+ is said once in (\w+) \((.+) of its matras in (\w+)\)\. (.+)",
        question.prompt,
    )
    if found is None:
        raise ValueError(f"what is asked? {question.prompt}")
    name, many, into, asked = found.groups()
    tala = the_tala(question.prompt.partition("(")[0], question, known)
    ratio = number(many) / number(into)
    if ratios(question).get(name, ratio) != ratio:
        yield f"{name} is said to be {ratio}"
    takes = sum([1 / ratio] * tala.matras, Fraction(0))
    start = oracle.back_from_sam(tala.matras, tala.matras, 1 / ratio)
    right = takes if "does it take" in asked else start
    answers = {choice.id: _matras(choice.label) for choice in question.choices}
    if {name for name, value in answers.items() if value == right} != set(question.right):
        yield f"right is {right}: {answers}"
    for form in tala.forms():
        others = sum([1 / ratio] * form.matras, Fraction(0))
        if "does it take" not in asked:
            others = oracle.back_from_sam(form.matras, form.matras, 1 / ratio)
        taught = form.matras != tala.matras and question.wheel is None
        if taught and others in {answers[wrong] for wrong in wrong_of(question)}:
            yield f"in {form.matras} matras, as others have it, {others} is right"
    for answer in (question.right[0], *wrong_of(question)[:2]):
        said = KINDS["layakari"].explain(question, answer)
        score = said.right_cue if answer in question.right else said.given_cue
        begins = answers[answer] if "does it take" not in asked else tala.matras - answers[answer]
        if score is None:
            yield f"{answer} cannot be heard"
        elif not _said_in(score, tala, begins, ratio):
            yield f"{answer} is not played as begun after {begins} in {name}"
        if answer in question.right and said.wheel is not None and said.wheel.turning is not None:
            yield from spans_faults(said.wheel, [(start, takes)])
            lights = {
                round(said.wheel.turning.place_at(score.lead_s + s.onset_s, tala.matras) or 0.0, 2)
                % 1
                for s in score.strokes
            }
            if lights != {0.0}:
                yield f"the light stands between matras when the sitar strikes: {lights}"


def _matras(label: str) -> Fraction:
    """`6 2/3 matras`"""
    found = re.fullmatch(r"(.+?) matras?", label)
    return number(found[1] if found else label)


def _said_in(score: Score, tala: Told, begins: Fraction, ratio: Fraction) -> bool:
    """Whether the drums keep the theka, say it once in another speed from a place on, and then
    strike once more; and whether the sitar strikes each matra meanwhile, the high Sa on sam."""
    strings = sorted(score.strokes, key=lambda stroke: stroke.onset_s)
    matra_s = strings[1].onset_s - strings[0].onset_s
    high = [stroke.path[0][1] > 600 for stroke in strings]
    first = -high.index(True) % tala.matras
    for at, stroke in enumerate(strings):
        if abs(stroke.onset_s - at * matra_s) > NEAR_S:
            return False
        if high[at] != ((first + at) % tala.matras == 0):
            return False
    while begins < first:
        begins += tala.matras
    heard = [(first + stroke.onset_s / matra_s, stroke.bol) for stroke in score.tabla]
    for bols in tala.lines():
        one = oracle.strokes_of(bols)
        if oracle.length_of(bols) != tala.matras:
            continue
        kept = [
            (place + turn * tala.matras, bol)
            for turn in range(3)
            for place, bol in one
            if first <= place + turn * tala.matras < begins
        ]
        said = [(begins + place / ratio, bol) for place, bol in one]
        last = [(begins + tala.matras / ratio, one[0][1])] if one[0][0] == 0 else []
        wanted = [*kept, *said, *last]
        if len(heard) == len(wanted) and all(
            abs(at - float(place)) * matra_s < NEAR_S and oracle.sound(bol) == oracle.sound(other)
            for (at, bol), (place, other) in zip(heard, wanted, strict=True)
        ):
            return True
    return False


def _layakari_heard(question: Question) -> Iterator[str]:
    answers = {choice.id: _notes(choice.label) for choice in question.choices}
    for name, ratio in answers.items():
        if ratios(question)[name] != ratio:
            yield f"{name} is said to be {ratio}"
    heard = notes_to_a_matra(question.cue, question)
    right = {name for name, ratio in answers.items() if ratio in heard}
    if right != set(question.right):
        yield f"heard are {sorted(heard)}, right is {question.right}"
    for wrong in wrong_of(question)[:1]:
        said = KINDS["layakari"].explain(question, wrong)
        if answers[question.right[0]] not in notes_to_a_matra(said.right_cue, question):
            yield "what is played as right is not"
        if said.given_cue is None or answers[wrong] not in notes_to_a_matra(
            said.given_cue, question
        ):
            yield f"what is played as {wrong} is not"


def _notes(label: str) -> Fraction:
    """`Ada: three notes in two matras`, `Thah: one note to a matra`"""
    found = re.search(r": (\w+) notes? (?:in|to) (\w+) matras?", label)
    if found is None:
        raise ValueError(f"how many notes? {label}")
    many, into = found.groups()
    return number(many) / (1 if into == "a" else number(into))


def notes_to_a_matra(score: Score, question: Question) -> set[Fraction]:
    """As any theka that fits would have it. Raises ValueError for notes that are not even."""
    onsets = [stroke.onset_s for stroke in score.strokes]
    waits = np.diff(onsets)
    if np.ptp(waits) > NEAR_S:
        raise ValueError(f"the sitar does not play evenly: {waits}")
    return {
        (60 / (Fraction(float(waits.mean())) * each.per_min)).limit_denominator(8)
        for each in oracle.hear(score, tradition=question.setting.tradition)
    }


# Tihai.

PARTS = {"a quarter": Fraction(1, 4), "half": Fraction(1, 2), "three quarters": Fraction(3, 4)}


def place_named(text: str) -> Fraction:
    """`Matra 9`, `On matra 9`, `Half way into matra 6`, `A quarter into matra 6`."""
    found = re.fullmatch(
        r"(?:on |(a quarter|half|three quarters)(?: way| of the way)? into )?matra (\d+)",
        text.strip().casefold(),
    )
    if found is None:
        raise ValueError(f"{text!r} is no place")
    return int(found[2]) - 1 + PARTS.get(found[1], Fraction(0))


def side_of_sam(place: Fraction, matras: int) -> str:
    """Before, on or after sam, stepped to the nearer one."""
    off = place % matras
    if off == 0:
        return "sam"
    if off * 2 == matras:
        raise ValueError(f"{place} is as far from one sam as from the other")
    return "after" if off * 2 < matras else "before"


def tihai(question: Question, known: dict[str, Told]) -> Iterator[str]:
    prompt = question.prompt
    tala = the_tala(re.split(r" from |\. ", prompt)[0], question, known)
    heard = struck_over(question.cue, question, tala)
    from_matra = re.search(r" from (?:matra (\d+)|sam)", prompt)
    if from_matra is not None and heard.begins != int(from_matra[1] or 1) - 1:
        yield f"the theka begins at {heard.begins}: {prompt}"
    if "tihai over it" in prompt:
        yield from _lands(question, tala, heard)
    elif "You hear once a tihai" in prompt:
        yield from _chakradar(question, tala, heard)
    elif "With which gap" in prompt:
        yield from _gap(question, tala, heard)
    elif "From where would it land" in prompt:
        yield from _start(question, tala, heard)
    else:
        raise ValueError(f"what is asked? {prompt}")


def _length(places: Sequence[Fraction]) -> Fraction:
    """Of a phrase: its last stroke counts for one matra."""
    return places[-1] - places[0] + 1


def _of_three(heard: Struck) -> tuple[Fraction, Fraction]:
    """Phrase and gap of a tihai. Raises ValueError where the three are not alike."""
    thirds = heard.thirds()
    if len({tuple(place - third[0] for place in third) for third in thirds}) != 1:
        raise ValueError(f"three phrases are not alike: {thirds}")
    gaps = {later[0] - earlier[0] - _length(earlier) for earlier, later in pairwise(thirds)}
    if len(gaps) != 1:
        raise ValueError(f"two gaps are not alike: {gaps}")
    return _length(thirds[0]), gaps.pop()


def _lands(question: Question, tala: Told, heard: Struck) -> Iterator[str]:
    phrase, gap = _of_three(heard)
    side = side_of_sam(heard.places[-1], tala.matras)
    steps = oracle.tihai_steps(phrase, gap)
    stepped = oracle.lands_at(tala.matras, heard.places[0] % tala.matras, steps)
    if stepped != heard.places[-1] % tala.matras:
        yield f"by steps it lands on {stepped}, by ear on {heard.places[-1]}"
    if question.right != (side,):
        yield f"it lands {side} ({heard.places[-1]}), right is {question.right}"
    yield from _played(
        question, tala, lambda answer, place: side_of_sam(place, tala.matras) == answer
    )
    yield from _tihai_drawn(question, heard.places[0], phrase, gap)


def _played(question: Question, tala: Told, fits: Callable[[str, Fraction], bool]) -> Iterator[str]:
    """Whether the last stroke of what is played as right, and as given, falls where it should."""
    for answer in (question.right[0], *wrong_of(question)[:2]):
        said = KINDS[question.kind].explain(question, answer)
        score = said.right_cue if answer in question.right else said.given_cue
        if score is None:
            yield f"{answer} cannot be heard"
            continue
        last = struck_over(score, question, tala).places[-1] % tala.matras
        if not fits(answer, last):
            yield f"what is played as {answer} lands on {last}"
        asked = struck_over(said.right_cue, question, tala).places[-1] % tala.matras
        for place in _falls(said.why, tala.matras):
            if place not in (last, asked):
                yield f"it falls on {asked} or {last}: {said.why}"


WAITS = {"half": Fraction(1, 2), "a half": Fraction(1, 2), "a quarter": Fraction(1, 4)} | {
    f"three quarter{s}": Fraction(3, 4) for s in ("", "s")
}


def _falls(why: str, matras: int) -> Iterator[Fraction]:
    """Where a text has a last stroke fall, told twice: `half way into matra 3, two and a half
    matras after sam`. Raises ValueError where the two are not one place."""
    for found in re.finditer(r"last stroke falls (?:\d+ after the first: )?([^.;]+)", why):
        told, _, off = found[1].partition(", ")
        if told == "on sam":
            yield Fraction(0)
            continue
        place = place_named(told)
        size, side = re.fullmatch(r"(.+?)(?: of a| a)? matras? (before|after) sam", off).groups()
        parts = [WAITS[each] if each in WAITS else number(each) for each in size.split(" and ")]
        away = sum(parts, Fraction(0)) * (1 if side == "after" else -1)
        if away % matras != place:
            raise ValueError(f"{told!r} is not {off!r}")
        yield place


def _tihai_drawn(
    question: Question, start: Fraction, phrase: Fraction, gap: Fraction
) -> Iterator[str]:
    wheel = KINDS[question.kind].explain(question, question.right[0]).wheel
    if wheel is None:
        yield "the tihai is not drawn"
        return
    spans, at = [], start
    for part in (phrase, gap, phrase, gap, phrase):
        if part:
            spans.append((at, part))
        at += part
    yield from spans_faults(wheel, spans)


def _stated(question: Question, pattern: str) -> list[Fraction] | None:
    found = re.search(pattern, question.prompt)
    return [number(each) for each in found.groups()] if found else None


def _gap(question: Question, tala: Told, heard: Struck) -> Iterator[str]:
    phrase, start = _length(heard.places), heard.places[0] % tala.matras
    stated = _stated(question, r"phrase of a tihai: (.+?) matras? .*begun on matra (\d+)")
    if stated is not None and stated != [phrase, start + 1]:
        yield f"heard is a phrase of {phrase} on {start + 1}, said is {stated}"
    answers = {choice.id: number(choice.label.partition(":")[0]) for choice in question.choices}
    right = {
        name
        for name, gap in answers.items()
        if oracle.lands_at(tala.matras, start, oracle.tihai_steps(phrase, gap)) == 0
    }
    if right != set(question.right):
        yield f"phrase {phrase} from {start}: {right} land, right is {question.right}"

    def fits(answer: str, place: Fraction) -> bool:
        steps = oracle.tihai_steps(phrase, answers[answer])
        return oracle.lands_at(tala.matras, start, steps) == place

    yield from _played(question, tala, fits)
    yield from _tihai_drawn(question, start, phrase, answers[question.right[0]])


def _start(question: Question, tala: Told, heard: Struck) -> Iterator[str]:
    phrase, gap = _of_three(heard)
    stated = _stated(question, r"phrase of (.+?) matras? .* begun on matra (\d+)")
    if stated != [phrase, heard.places[0] % tala.matras + 1]:
        yield f"heard is a phrase of {phrase} from {heard.places[0]}, said is {stated}"
    said_gap = _stated(question, r"with gaps of (.+?) matras?\b") or [Fraction(0)]
    if said_gap != [gap]:
        yield f"heard is a gap of {gap}, said is {said_gap}"
    steps = oracle.tihai_steps(phrase, gap)
    land = oracle.starts_that_land(tala.matras, steps, tick=Fraction(1, 12))
    answers = {choice.id: place_named(choice.label) for choice in question.choices}
    right = {name for name, place in answers.items() if place in land}
    if right != set(question.right):
        yield f"it lands from {land}, right is {question.right}"
    if heard.places[0] % tala.matras in land:
        yield "it is heard to land as it is asked from where it would"

    def fits(answer: str, place: Fraction) -> bool:
        return oracle.lands_at(tala.matras, answers[answer], steps) == place

    yield from _played(question, tala, fits)
    yield from _tihai_drawn(question, answers[question.right[0]], phrase, gap)


def _chakradar(question: Question, tala: Told, heard: Struck) -> Iterator[str]:
    phrase, inner = _of_three(heard)
    whole = sum(oracle.tihai_steps(phrase, inner, Fraction(0)), Fraction(0))
    start = heard.places[0] % tala.matras
    stated = _stated(question, r"a tihai of (.+?) matras? .*begun on matra (\d+)")
    if stated != [whole, start + 1]:
        yield f"heard is a tihai of {whole} on {start + 1}, said is {stated}"

    def lands(gap: Fraction) -> Fraction:
        steps = oracle.chakradar_steps(phrase, inner, gap)
        return oracle.lands_at(tala.matras, start, steps)

    if "With which gap" in question.prompt:
        answers = {choice.id: number(choice.label.partition(":")[0]) for choice in question.choices}
        right = {name for name, gap in answers.items() if lands(gap) == 0}
        gap = answers[question.right[0]]
        yield from _played(question, tala, lambda answer, place: lands(answers[answer]) == place)
    else:
        gap = (_stated(question, r"with gaps of (.+?) matras?\b") or [Fraction(0)])[0]
        places = {
            choice.id: {
                "A matra before sam": Fraction(tala.matras - 1),
                "On sam": Fraction(0),
                "A matra after sam": Fraction(1),
            }.get(choice.label)
            for choice in question.choices
        }
        for choice in question.choices:
            if places[choice.id] is None:
                places[choice.id] = place_named(choice.label.rpartition(", ")[2])
                waved = {m for m, gesture in tala.form.claps() if gesture == "khali"}
                if int(places[choice.id] or 0) + 1 not in waved:
                    yield f"{choice.label} is no khali of {tala.id}"
        right = {name for name, place in places.items() if place == lands(gap)}
        yield from _played(question, tala, lambda answer, place: places[answer] == place)
    if right != set(question.right):
        yield f"{whole} three times from {start}: {right}, right is {question.right}"
    yield from _tihai_drawn(question, start, whole, gap)


JUDGES: dict[str, Judge] = {
    "layakari": layakari,
    "tihai": tihai,
}
