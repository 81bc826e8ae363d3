"""A student's run slips once, where it is marked and nowhere else, and the ear can tell.

The judge reads the score alone: when strokes begin, how high their pitch lies, and how many groups
of how many swaras the prompt tells. It knows no palta, no scale and nothing of how slips are made.
"""

import re
from collections import Counter
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import pytest
import scipy.signal

from audio import SAMPLE_RATE, render
from audio.sargam import parse
from quizzes import KINDS, Setting, make_question
from quizzes.contours import THATS
from quizzes.fresh import Fresh
from quizzes.kinds import slip_sound
from quizzes.paltas import run_in_scale
from quizzes.phrases import ladder_of
from tests.quizzes.raga_hearing import heard
from tests.quizzes.raga_oracle import degree, letter

SORTS = ("swara", "timing", "dropped", "stroke")
NUMBERS = {"three": 3, "four": 4, "five": 5}
DEGREES = "SRGMPDN"
EXACT = 0.01
"""Of a note: what is nearer than this to its time is in time."""
FORGIVEN = 0.025
"""Of the time between two tones: less is not noticed in an even row (Friberg & Sundberg 1995,
Journal of the Acoustical Society of America 98, 2524-2531)."""


def questions(sort, count, **setting):
    return [
        make_question(f"slip:{sort}", seed=seed, setting=Setting(sa_hz=138.59, **setting))
        for seed in range(count)
    ]


@dataclass(frozen=True)
class Heard:
    """A note: when it sounds, in notes since the first; its degree; whether it was struck."""

    at: float
    height: int
    struck: bool


def notes_of(cue):
    found = heard(cue)
    struck = [stroke.onset_s for stroke in cue.strokes]
    note_s = float(np.median([after.onset_s - one.onset_s for one, after in pairwise(found)]))
    return [
        Heard(
            (note.onset_s - found[0].onset_s) / note_s,
            height(note.swara),
            any(abs(note.onset_s - at) < 1e-4 for at in struck),
        )
        for note in found
    ]


def groups_of(notes, groups, size):
    """The notes by groups that begin evenly, each by as many degrees further. Raises ValueError."""
    for period in range(size, 3 * size):
        parts = [[n for n in notes if (n.at + 0.1) // period == k] for k in range(groups)]
        if (
            sum(map(len, parts)) == len(notes)
            and all(parts)
            and all(abs(part[0].at - k * period) < EXACT for k, part in enumerate(parts))
            and len({after[0].height - one[0].height for one, after in pairwise(parts)}) == 1
        ):
            return parts
    raise ValueError("no even groups")


def slips(cue, groups, size):
    """All that one group does otherwise than most of them: (sort, group from 0)."""
    parts = groups_of(notes_of(cue), groups, size)
    shapes = [tuple(note.height - part[0].height for note in part) for part in parts]
    ((shape, _),) = Counter(shapes).most_common(1)
    assert len(shape) == size
    found = set()
    for group, part in enumerate(parts):
        if len(part) < size:
            found.add(("dropped", group))
        elif shapes[group] != shape:
            found.add(("swara", group))
        for note in part:
            if not note.struck:
                found.add(("stroke", group))
            elif abs(note.at - round(note.at)) > EXACT:
                found.add(("timing", group))
    return found


def height(swara):
    """The degree in its saptak: a komal swara and its shuddha form are one."""
    return DEGREES.index(degree(letter(swara))) + 7 * (swara // 12)


def told(question):
    """How many groups of how many swaras the prompt tells."""
    numbers = re.search(r"(\w+) groups of (\w+)\.", question.prompt).groups()
    return [NUMBERS[number] for number in numbers]


@pytest.mark.parametrize("sort", SORTS)
def test_one_group_falters_and_it_is_the_one_marked_right(sort):
    for question in questions(sort, 40):
        found = slips(question.cue, *told(question))
        assert found == {(sort, int(question.right[0]) - 1)}, question.seed


def test_what_went_wrong_is_what_is_marked_right():
    asked = Counter()
    for question in questions("which", 80):
        ((sort, _),) = slips(question.cue, *told(question))
        assert question.right == (sort,)
        asked[sort] += 1
    assert set(asked) == set(SORTS)


def test_any_group_of_any_palta_that_is_asked_can_slip_in_a_swara():
    drawn = slip_sound.fresh_run(Fresh("", 1), Setting(sa_hz=138.59))
    for palta in {palta.id: palta for palta, _ in slip_sound.paltas_asked()}.values():
        for that in THATS:
            whole, ladder = run_in_scale(palta, that.split()), ladder_of(that.split())
            for way in (whole.up, whole.down):
                groups = way[-slip_sound.GROUPS :]
                run = replace(drawn, palta=palta, groups=groups, ladder=ladder)
                for group in range(slip_sound.GROUPS):
                    slip = slip_sound.slip_in(run, "swara", group, range(1, palta.swaras), 0.0)
                    assert slip.sounded != groups[group][slip.place]


@pytest.mark.parametrize("sort", ["dropped", "stroke", "which"])
def test_what_is_not_struck_lies_within_reach_of_a_finger(sort):
    # One finger reaches to the next but one semitone beside the other (common practice).
    for question in questions(sort, 60):
        if sort == "which" and question.right[0] not in ("dropped", "stroke"):
            continue
        told_of = KINDS["slip"].explain(question, question.right[0])
        clean = parse(told_of.right_written.split(" / ")[1])
        swaras = [note.swara.steps for note in clean.notes()]
        (at,) = (n for n, marked in enumerate(told_of.drawn) if marked.deciding)
        assert 1 <= abs(swaras[at] - swaras[at - 1]) <= 2
        joined = [note.tone.by for note in parse(question.sargam).notes()]
        rises = swaras[at] > swaras[at - 1]
        assert set(joined) - {""} <= {"<" if rises else ">"}


def test_what_is_told_of_a_note_off_its_time_is_what_sounds():
    for question in questions("timing", 16):
        off = max((note.at - round(note.at) for note in notes_of(question.cue)), key=abs)
        why = KINDS["slip"].explain(question, question.right[0]).why
        assert (" late: " in why, " early: " in why) == (off > 0, off < 0)


def test_a_wrong_swara_repeats_neither_of_its_neighbours():
    for question in questions("swara", 60):
        played = [note.height for note in notes_of(question.cue)]
        (at,) = (
            n
            for n, marked in enumerate(KINDS["slip"].explain(question, question.right[0]).drawn)
            if marked.deciding
        )
        assert played[at] not in (played[at - 1], *played[at + 1 : at + 2])


def test_a_run_can_be_kept_in_mind():
    for question in questions("which", 60):
        last = question.cue.strokes[-1]
        assert last.onset_s - question.cue.strokes[0].onset_s < 7.6


def test_a_clean_run_has_no_slip_for_the_judge_to_find():
    for question in questions("swara", 20):
        played = KINDS["slip"].explain(question, question.right[0]).right_cue
        half = [stroke for stroke in played.strokes if stroke.onset_s > played.duration_s / 2]
        clean = replace(played, strokes=tuple(half))
        assert slips(clean, *told(question)) == set()


@pytest.mark.parametrize("level", [5.0, 40.0])
def test_a_note_is_off_by_the_level_and_by_more_than_the_ear_forgives(level):
    sides = Counter()
    for question in questions("timing", 16, level=level):
        off = max((note.at - round(note.at) for note in notes_of(question.cue)), key=abs)
        assert abs(off) == pytest.approx(level / 100, abs=EXACT)
        assert abs(off) > FORGIVEN + EXACT
        sides[off > 0] += 1
    assert min(sides[True], sides[False]) >= 4


def test_a_wrong_answer_is_explained_by_the_slip_that_was_answered():
    for sort in SORTS:
        for question in questions(sort, 3):
            for choice in question.choices:
                if choice.id not in question.right:
                    told_of = KINDS["slip"].explain(question, choice.id)
                    found = slips(told_of.given_cue, *told(question))
                    assert found == {(sort, int(choice.id) - 1)}
    for question in questions("which", 5):
        for choice in question.choices:
            if choice.id not in question.right:
                given_cue = KINDS["slip"].explain(question, choice.id).given_cue
                assert {sort for sort, _ in slips(given_cue, *told(question))} == {choice.id}


def test_the_place_is_drawn_where_the_slip_sounds():
    for sort in SORTS:
        for question in questions(sort, 5):
            told_of = KINDS["slip"].explain(question, question.right[0])
            ((at, drawn),) = [(n, m) for n, m in enumerate(told_of.drawn) if m.deciding]
            _, size = told(question)
            assert at // size == int(question.right[0]) - 1
            onsets = [stroke.onset_s for stroke in told_of.right_cue.strokes]
            begins = any(abs(onset - drawn.start_s) < 1e-4 for onset in onsets)
            assert begins == (sort in ("swara", "timing"))


# What a swallowed stroke, and a note left out, sound like: measured in the rendered sound.


def sound_of(question):
    """The samples of a cue, when each stroke but the first begins, and when the fault does."""
    cue = replace(question.cue, lead_s=0.0)
    samples = render.render(cue, drone=False).astype(np.float64)
    drawn = KINDS["slip"].explain(question, question.right[0]).drawn
    fault_s = next(marked.start_s for marked in drawn if marked.deciding)
    return samples, [stroke.onset_s for stroke in cue.strokes[1:]], fault_s


def clicks(samples):
    """What lies above 12 kHz, where hardly a string is heard but the click of the mizrab is."""
    sos = scipy.signal.butter(4, 12_000, "highpass", fs=SAMPLE_RATE, output="sos")
    return scipy.signal.sosfilt(sos, samples)


def attack(high, at_s):
    """By how many decibels it grows within 5 ms."""
    begun, long = round(at_s * SAMPLE_RATE), 220
    before, after = high[begun - long : begun], high[begun : begun + long]
    return 10 * np.log10(np.mean(after**2) / np.mean(before**2))


def brightness(samples, at_s):
    """The centroid of amplitude in hertz over the 0.2 s from here."""
    part = samples[round(at_s * SAMPLE_RATE) :][: round(0.2 * SAMPLE_RATE)]
    spectrum = np.abs(np.fft.rfft(part * np.hanning(len(part))))
    return np.fft.rfftfreq(len(part), 1 / SAMPLE_RATE) @ spectrum / spectrum.sum()


@pytest.mark.parametrize("sort", SORTS)
def test_what_is_not_struck_has_no_attack_and_is_plainly_duller(sort):
    for question in questions(sort, 2):
        samples, struck, fault_s = sound_of(question)
        high = clicks(samples)
        assert min(attack(high, at_s) for at_s in struck) > 10.0
        bright = np.median([brightness(samples, at_s) for at_s in struck])
        if sort in ("swara", "timing"):
            assert attack(high, fault_s) > 10.0
            assert brightness(samples, fault_s) > 0.92 * bright
        else:
            # Ears tell brightness apart from some per cent on (from memory).
            assert attack(high, fault_s) < 4.0
            assert brightness(samples, fault_s) < 0.88 * bright
