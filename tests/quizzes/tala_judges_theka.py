"""Judges of a theka bol by bol, of taps that go with it, and of a gat that begins over it."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import product

import mir_eval
import numpy as np

from audio.score import Score
from quizzes import KINDS, Question
from tests.quizzes import tala_oracle as oracle
from tests.quizzes.tala_judging import (
    Judge,
    begins_at,
    in_explained,
    label_of,
    number,
    same_moments,
    struck_over,
    the_tala,
    wrong_of,
)
from tests.quizzes.tala_oracle import Told

# Theka.


def sounds(word: str) -> tuple[oracle.Sound, ...]:
    """What is heard of one matra, "" for a part in which nothing is struck."""
    return tuple(map(_sound, oracle.syllables(word)))


def readings(word: str) -> set[tuple[oracle.Sound, ...]]:
    """All that a word may stand for in print, where ta is the open stroke or the closed one, and ti
    the closed one or tin (common practice)."""
    others = {"ta": "tta", "ti": "tin"}
    parts = [{part, others.get(part, part)} for part in oracle.syllables(word)]
    return {tuple(map(_sound, way)) for way in product(*parts)}


def _sound(part: str) -> oracle.Sound:
    return ("", "") if part == "-" else oracle.sound(part)


def lines_heard(question: Question, tala: Told, missing: Sequence[int] = ()) -> list[str]:
    """The thekas of a tala of which the cue is a part, but for so many of its matras."""
    found = []
    for bols in tala.lines():
        if oracle.length_of(bols) != tala.matras:
            continue
        words = bols.replace("|", " ").split()
        kept = ["-" if at + 1 in missing else word for at, word in enumerate(words)]
        if oracle.hearings_of(question.cue, [" ".join(kept)]):
            found.append(bols)
    return found


def bars_of(bols: str) -> list[str]:
    return [" ".join(part.split()) for part in bols.split("|")]


def theka(question: Question, known: dict[str, Told]) -> Iterator[str]:
    prompt = question.prompt
    if prompt.startswith("Put the vibhags of"):
        yield from _vibhags(question, the_tala(prompt.partition(" in order")[0], question, known))
    elif prompt.startswith("Write the theka of"):
        yield from _written(question, the_tala(prompt.partition(" as ")[0], question, known))
    elif "one matra that should be struck is silent" in prompt:
        yield from _filled(question, the_tala(prompt.partition(" from ")[0], question, known))
    elif prompt.startswith("How is"):
        yield from _clapped(question, the_tala(prompt.partition("?")[0], question, known), known)
    else:
        raise ValueError(f"what is asked? {prompt}")


def _vibhags(question: Question, tala: Told) -> Iterator[str]:
    labels = {choice.id: re.sub(r" \(\d+\)$", "", choice.label) for choice in question.choices}
    lines = lines_heard(question, tala)
    if not lines:
        yield "no theka of the tala is heard"
        return
    right = {
        " ".join(order)
        for bols in lines
        for order in _laid(labels, [*zip(bars_of(bols), bars_of(said_of(bols, tala)), strict=True)])
    }
    if right != set(question.right):
        yield f"{len(right)} orders make the theka, right are {question.right}: {lines}"
    if "not from sam" in question.prompt:
        begins = begins_at(question, oracle.known(question.setting.tradition), [tala.id])
        if 0 in begins:
            yield f"the cue begins on sam or somewhere that could be sam: {begins}"
    offered = " ".join(choice.id for choice in question.choices)
    if offered in right:
        yield "it is offered in the right order"
    given = " ".join(reversed(question.right[0].split()))
    credit = KINDS["theka"].mark(question, given).credit
    if given not in right and not 0 <= credit < 1:
        yield f"the wrong order {given} gets {credit}"


def _laid(labels: dict[str, str], wanted: Sequence[tuple[str, str]]) -> Iterator[tuple[str, ...]]:
    """All orders of plates that make these vibhags, given in bols and as they are said."""
    if not wanted:
        yield ()
        return
    bols, said = wanted[0]
    for plate, label in labels.items():
        if label == said or _sounds_of(label) == _sounds_of(bols):
            rest = {other: name for other, name in labels.items() if other != plate}
            for after in _laid(rest, wanted[1:]):
                yield (plate, *after)


def _sounds_of(bar: str) -> list[tuple[oracle.Sound, ...]]:
    return [sounds(word) for word in bar.split()]


def said_of(bols: str, tala: Told) -> str:
    """A theka in the words in which it is said, where they are not its strokes."""
    return dict(tala.said).get(bols, bols)


def _written(question: Question, tala: Told) -> Iterator[str]:
    lines = lines_heard(question, tala)
    keys = {choice.id: readings(choice.id) for choice in question.choices}
    if any(choice.id != choice.label for choice in question.choices):
        yield "a key says something else than it writes"
    right = {
        " ".join(written)
        for bols in lines
        for written in product(
            *(
                [key for key, read in keys.items() if key == word or sounds(stroke) in read]
                for stroke, word in zip(
                    bols.replace("|", " ").split(),
                    said_of(bols, tala).replace("|", " ").split(),
                    strict=True,
                )
            )
        )
    }
    if set(question.right) != right:
        yield f"heard is one of {len(right)} lines {lines}, right are {len(question.right)}"
    if (question.places, question.fewest) != (tala.matras, tala.matras):
        yield f"the pad takes {question.places} keys for {tala.matras} matras"
    said = KINDS["theka"].explain(question, question.right[0])
    if tala.id not in {
        each.tala
        for each in oracle.hear(
            said.right_cue, among=[tala.id], tradition=question.setting.tradition
        )
    }:
        yield "what is played as right is another theka"


def _filled(question: Question, tala: Told) -> Iterator[str]:
    answers = {choice.id: _alike(choice.label) for choice in question.choices}
    if len(set(answers.values())) < len(answers):
        yield f"two bols sound alike: {sorted(answers)}"
    found: dict[int, set[tuple]] = {}
    for bols in tala.lines():
        if oracle.length_of(bols) != tala.matras:
            continue
        words = bols.replace("|", " ").split()
        for matra in _silent(question.cue, bols):
            found.setdefault(matra, set()).add(sounds(words[matra - 1]))
    if len(found) != 1:
        yield f"the silent matra may be any of {sorted(found)}"
        return
    ((matra, fits),) = found.items()
    right = {name for name, sound in answers.items() if sound in fits}
    if right != set(question.right):
        yield f"on matra {matra} stand {fits}, right is {question.right}"
    for answer in (question.right[0], wrong_of(question)[0]):
        said = KINDS["theka"].explain(question, answer)
        score = said.right_cue if answer in question.right else said.given_cue
        word = label_of(question, answer).partition(" / ")[0]
        if score is None or not _has_word(score, matra, word, tala):
            yield f"what is played as {answer} has it not on matra {matra}"
    marked = {at for at, _ in said.wheel.marked} if said.wheel else {matra}
    if marked != {matra}:
        yield f"matra {matra} was silent, marked is {marked}"


def _alike(label: str) -> tuple[oracle.Sound, ...]:
    """`na`, or `na / ta`, two names of one sound. Raises ValueError where they are not."""
    one, *others = [sounds(word) for word in label.split(" / ")]
    if any(other != one for other in others):
        raise ValueError(f"{label} are not one sound")
    return one


def _silent(score: Score, bols: str) -> Iterator[int]:
    """The matras of which every stroke lacks once or always in a cue that begins on sam, where all
    else of a theka is there at one tempo."""
    cycle = oracle.length_of(bols)
    one = oracle.strokes_of(bols)
    heard = [(stroke.onset_s, oracle.sound(stroke.bol)) for stroke in score.tabla]
    turns = range(1, 4)
    for turn in turns:
        line = [(place + at * cycle, bol) for at in range(turn) for place, bol in one]
        for matra in range(1, cycle + 1):
            for gone in [*[{at} for at in range(turn)], set(range(turn))]:
                kept = [
                    (place, oracle.sound(bol))
                    for place, bol in line
                    if not (int(place % cycle) + 1 == matra and int(place // cycle) in gone)
                ]
                for lasts in (kept, [*kept, (Fraction(turn * cycle), oracle.sound(one[0][1]))]):
                    if len(lasts) < len(line) + (lasts is not kept) and _goes_with(heard, lasts):
                        yield matra


def _goes_with(
    heard: Sequence[tuple[float, oracle.Sound]], line: Sequence[tuple[Fraction, oracle.Sound]]
) -> bool:
    if [sound for _, sound in heard] != [sound for _, sound in line]:
        return False
    rate = (heard[-1][0] - heard[0][0]) / float(line[-1][0] - line[0][0])
    return all(
        abs(at - heard[0][0] - float(place - line[0][0]) * rate) < oracle.OFF_S
        for (at, _), (place, _) in zip(heard, line, strict=True)
    )


def _has_word(score: Score, matra: int, word: str, tala: Told) -> bool:
    """Whether a theka of the tala is heard from sam on, but for a matra on which this word is."""
    heard = [(stroke.onset_s, oracle.sound(stroke.bol)) for stroke in score.tabla]
    for bols in tala.lines():
        words = bols.replace("|", " ").split()
        if len(words) != tala.matras:
            continue
        one = oracle.strokes_of(" ".join([*words[: matra - 1], word, *words[matra:]]))
        for turns in (1, 2, 3):
            line = [
                (place + at * tala.matras, oracle.sound(bol))
                for at in range(turns)
                for place, bol in one
            ]
            more = [*line, (Fraction(turns * tala.matras), line[0][1])]
            if any(len(some) == len(heard) and _goes_with(heard, some) for some in (line, more)):
                return True
    return False


def _clapped(question: Question, tala: Told, known: dict[str, Told]) -> Iterator[str]:
    hands = {choice.id: _hand(choice.label) for choice in question.choices}
    if len(set(hands.values())) < len(hands):
        yield f"two answers are one: {hands}"
    forms = {
        (form.vibhags, tuple(gesture == "tali" for _, gesture in form.claps()))
        for form in tala.forms()
        if form.matras == tala.matras
    }
    right = {name for name, hand in hands.items() if hand in forms}
    if right != set(question.right):
        yield f"right are {right}: {question.right}"
    for answer in (question.right[0], wrong_of(question)[0]):
        said = KINDS["theka"].explain(question, answer)
        score = said.right_cue if answer in question.right else said.given_cue
        if score is None:
            yield f"{answer} cannot be heard"
            continue
        vibhags, claps = hands[answer]
        # A hand of another length is played in a tala of as many matras.
        as_long = [each for each in known.values() if each.matras == sum(vibhags)]
        played = [each for each in as_long if oracle.hearings_of(score, each.lines())]
        struck = [in_explained(score, question, each) for each in played]
        starts = {1 + sum(vibhags[:at]) for at, clap in enumerate(claps) if clap}
        if starts not in struck:
            yield f"{answer} claps on {starts}, the string on {struck}"


def _hand(label: str) -> tuple[tuple[int, ...], tuple[bool, ...]]:
    """`X 2 0 3 over 3 4 3 4`. Raises ValueError where signs and vibhags are not as many, or the
    claps are not counted on."""
    signs, _, vibhags = label.partition(" over ")
    marks, lengths = signs.split(), tuple(map(int, vibhags.split()))
    claps = [mark for mark in marks if mark != "0"]
    first = 1 if marks[0] == "0" else 2
    counted = ["X"] * (marks[0] == "X") + [
        str(first + at) for at in range(len(claps) - (marks[0] == "X"))
    ]
    if len(marks) != len(lengths) or claps != counted:
        raise ValueError(f"{label!r} is no way to count on the hand")
    return lengths, tuple(mark != "0" for mark in marks)


# Taps.

MET_S = 0.07
"""A beat is met by a tap so near to it, as in the evaluation of beat tracking (mir_eval.beat)."""


def tap(question: Question, known: dict[str, Told]) -> Iterator[str]:
    tala = the_tala(question.prompt.partition(":")[0], question, known)
    found = re.search(r"Hear (\w+) cycles?, then tap along with (\w+) cycles?", question.prompt)
    if found is None or "begins on sam" not in question.prompt:
        raise ValueError(f"what is asked? {question.prompt}")
    heard, tapped = (int(number(each)) for each in found.groups())
    hearings = oracle.hear(question.cue, among=[tala.id], tradition=question.setting.tradition)
    begins = {each.first_s - float(each.place * 60 / each.per_min) for each in hearings}
    if not any(abs(at - question.cue.lead_s) < oracle.OFF_S for at in begins):
        yield f"the theka does not begin on sam with the cue: {hearings}"
        return
    hearing = hearings[0]
    matra_s = 60 / float(hearing.per_min)
    wanted = set()
    for form in tala.forms():
        if form.matras != oracle.length_of(hearing.bols):
            continue
        claps = [matra for matra, gesture in form.claps() if gesture == "tali"]
        seconds = [
            question.cue.lead_s + ((heard + turn) * form.matras + clap - 1) * matra_s
            for turn in range(tapped)
            for clap in claps
        ]
        wanted.add(tuple(seconds))
    right = [tuple(ms / 1000 for ms in question.tapped(line)) for line in question.right]
    for line in wanted:
        if not any(same_moments(line, other) for other in right):
            yield f"claps of some teaching are not right: {line}"
    for line in right:
        if not any(same_moments(line, other) for other in wanted):
            yield f"right are claps of no teaching: {line}"
    last = question.cue.lead_s + question.cue.tabla[-1].onset_s
    if max(map(max, right)) > last + matra_s:
        yield "a clap lies after the last stroke"
    if question.wheel is not None and not question.wheel.blind:
        yield "the claps are drawn while they are asked"
    yield from _credits(question, right)


NEARLY, LEAST_FOR_NEARLY = 0.9, 0.25
"""So high an F-measure is worth so much at least."""


def _credits(question: Question, right: Sequence[tuple[float, ...]]) -> Iterator[str]:
    """Whether credit follows the measures of mir_eval.beat over taps that are off, left out or too
    many, and whether each beat is told with the time by which a tap was late."""
    luck, kind = random.Random(question.seed), KINDS[question.kind]
    for _ in range(4):
        beats = right[0]
        early_s, spread_s = luck.uniform(-0.06, 0.06), luck.choice((0.0, 0.02, 0.08))
        taps = [beat + early_s + luck.uniform(-spread_s, spread_s) for beat in beats]
        taps = [tap for tap in taps if luck.random() < 0.9] or taps
        if luck.random() < 0.5:
            taps.append(luck.uniform(beats[0], beats[-1]))
        ms = sorted({round(1000 * tap) for tap in taps})
        given, taps_s = " ".join(map(str, ms)), np.array(ms) / 1000
        measured = [
            (mir_eval.beat.f_measure(line, taps_s, MET_S), mir_eval.beat.cemgil(line, taps_s)[0])
            for line in map(np.array, right)
        ]
        apart = [abs(tap - beat) for line in right for beat in line for tap in taps_s]
        if any(abs(each - MET_S) < 0.001 for each in apart):
            continue  # whether so late a tap is just in time or not is rounding
        most_met = max(met for met, _ in measured)
        nearest = max(near for _, near in measured)
        credit = kind.mark(question, given).credit
        if (credit == 1) != (most_met > 0.999):
            yield f"an F-measure of {most_met:.3f} gets {credit:.3f}: {given}"
        elif credit < 1 and credit > max(most_met, nearest, _if_moved(right, taps_s) / 2) + 1e-6:
            yield f"F-measure {most_met:.3f}, Cemgil {nearest:.3f} get {credit:.3f}: {given}"
        elif most_met > NEARLY and credit < LEAST_FOR_NEARLY:
            yield f"an F-measure of {most_met:.3f} gets but {credit:.3f}: {given}"
        for met in kind.explain(question, given).met:
            off = [1000 * (tap - beat) for line in right for beat in line for tap in taps_s]
            if met.off_ms is not None and min(abs(met.off_ms - each) for each in off) > 1:
                yield f"a tap is told to be {met.off_ms} ms late, which none is: {given}"


def _if_moved(right: Sequence[tuple[float, ...]], taps_s: np.ndarray) -> float:
    """The F-measure of these taps were they all earlier or later alike, by a fifth of a second at
    most: as much as a device may be late, of which half is worth a credit."""
    return max(
        mir_eval.beat.f_measure(np.array(line), taps_s - moved_ms / 1000, MET_S)
        for moved_ms in range(-200, 201, 10)
        for line in right
    )


# Where a gat begins.

STROKES_OF = {"da": 1, "ra": 1, "dir": 2, "dar": 2}
"""Strokes of a bol of the mizrab, as handbooks have it."""
ORDINALS = (
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth",
)  # fmt: skip


def gat_start(question: Question, known: dict[str, Told]) -> Iterator[str]:
    tala = the_tala(question.prompt, question, known)
    heard = struck_over(question.cue, question, tala)
    if "from sam" in question.prompt and heard.begins != 0:
        yield f"the theka begins at {heard.begins}"
    stroke = _stroke_asked(question.prompt)
    place = heard.places[stroke]
    if question.right != (str(int(place % tala.matras) + 1),):
        yield f"it falls {place} after sam, right is {question.right}"
    if place.denominator != 1:
        yield f"it falls between matras: {place}"
    if question.wheel is None or question.wheel.turning or question.wheel.marked:
        yield "the wheel tells the matra"
    for answer in (question.right[0], *wrong_of(question)[:2]):
        said = KINDS["gat-start"].explain(question, answer)
        score = said.right_cue if answer in question.right else said.given_cue
        if score is None:
            yield f"{answer} cannot be heard"
            continue
        played = struck_over(score, question, tala).places[stroke] % tala.matras
        if played != int(answer) - 1:
            yield f"what is played as {answer} has it on {played}"
        if answer in question.right and said.wheel is not None:
            spans = [span.start for span in said.wheel.spans[:1]]
            if spans and spans != [heard.places[0] % tala.matras]:
                yield f"the gat begins at {heard.places[0]}, drawn is {spans}"


def _stroke_asked(prompt: str) -> int:
    """The number, from 0, of the sitar's stroke that is asked for."""
    if "does the gat begin" in prompt:
        return 0
    found = re.search(r": ([a-z ]+)\. On which matra does the (\w+) bol, (\w+), first fall", prompt)
    if found is None:
        raise ValueError(f"what is asked? {prompt}")
    bols, at = found[1].split(), ORDINALS.index(found[2])
    if bols[at] != found[3]:
        raise ValueError(f"the {found[2]} bol is {bols[at]}: {prompt}")
    return sum(STROKES_OF[bol] for bol in bols[:at])


JUDGES: dict[str, Judge] = {
    "theka": theka,
    "tap": tap,
    "gat-start": gat_start,
}
