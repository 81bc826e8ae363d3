"""What a student hears and reads of a slip besides where it lies: even notes, the place in the
drawing, the slow example, and nothing that a student without an ear could go by."""

from functools import cache
from itertools import pairwise
from statistics import mean, median

import pytest

from audio.sargam import parse
from quizzes import KINDS, Setting, make_question
from tests.quizzes.raga_hearing import heard

SA_HZ = 138.59
SORTS = ("swara", "timing", "dropped", "stroke")


@cache
def asked(sort, count=24):
    """Questions, each with its explanation."""
    found = [make_question(f"slip:{sort}", seed=n, setting=Setting(SA_HZ)) for n in range(count)]
    return [(each, KINDS["slip"].explain(each, each.right[0])) for each in found]


def fault_in(told):
    (at,) = (n for n, marked in enumerate(told.drawn) if marked.deciding)
    return at


def test_notes_of_a_group_are_even_and_a_group_begins_with_a_matra():
    for question, _ in asked("swara"):
        onsets = [note.onset for note in parse(question.sargam).notes()]
        size = len(onsets) // 5
        groups = [onsets[at : at + size] for at in range(0, len(onsets), size)]
        assert all(group[0].denominator == 1 for group in groups)
        assert len({after - one for group in groups for one, after in pairwise(group)}) == 1


@pytest.mark.parametrize("sort", ["swara", "timing"])
def test_in_the_drawing_the_fault_follows_on_what_is_before_it(sort):
    for _, told in asked(sort):
        at = fault_in(told)
        before, fault, *after = told.drawn[at - 1 : at + 2]
        assert before.end_s == pytest.approx(fault.start_s, abs=1e-6)
        later = [marked.start_s for marked in told.drawn[at + 1 :]]
        assert all(fault.start_s < each for each in later)
        others = [one.end_s - one.start_s for one in told.drawn if one not in (before, fault)]
        for one in after:
            assert one.end_s - one.start_s >= min(others) - 1e-6
        assert all(one.end_s <= next_.start_s + 1e-6 for one, next_ in pairwise(told.drawn[:at]))


@pytest.mark.parametrize("sort", ["swara", "stroke"])
def test_slowly_the_group_is_heard_after_the_one_before_it(sort):
    for question, told in asked(sort, 12):
        size = len(told.drawn) // 5
        at = fault_in(told)
        first = max(0, at // size - 1) * size
        last = (at // size + 1) * size
        slow, quick = heard(told.slow_cue), heard(told.right_cue)
        assert len(slow) == 2 * (last - first)  # as it was played, then clean
        played = [note.swara for note in slow[: last - first]]
        assert played == [note.swara for note in quick[first:last]]
        pace = [notes[1].onset_s - notes[0].onset_s for notes in (slow, quick)]
        assert pace[0] > 1.3 * pace[1], question.seed


def test_how_loud_and_how_bright_a_run_is_hides_that_a_stroke_is_missing():
    # One stroke of fifteen or more that is missing takes less than a third of a decibel from the
    # whole (10 log10 of 14 in 15); runs differ by more than that among themselves.
    for trait in ("level_db", "brightness"):
        whole = [
            mean(getattr(stroke, trait) for stroke in question.cue.strokes)
            for question, _ in asked("swara")
        ]
        middle = median(whole)
        assert mean(abs(each - middle) for each in whole) > (0.3 if trait == "level_db" else 0.1)
        assert all(
            len({getattr(stroke, trait) for stroke in question.cue.strokes}) > 5
            for question, _ in asked("swara")
        )


@pytest.mark.parametrize("level", [5.0, 40.0])
def test_what_went_wrong_is_asked_at_one_level_however_fine_the_ear_is(level):
    # At 5 % who asks "which" would not be asked what it was, but whether it is heard at all.
    for seed in range(24):
        plain, at_level = (
            make_question("slip:which", seed=seed, setting=Setting(SA_HZ, level=each))
            for each in (None, level)
        )
        assert plain.cue == at_level.cue
    timing = [question for question, _ in asked("which") if question.right == ("timing",)]
    off = []
    for question in timing:
        gaps = [b.onset_s - a.onset_s for a, b in pairwise(question.cue.strokes)]
        even = min(gaps, key=lambda gap: abs(gap - median(gaps)))
        off.append(max(abs(gap - even) / even for gap in gaps if gap < 1.5 * even))
    assert len(off) >= 3
    assert min(off) > 0.2
