"""The listening check rises from silence in even steps and sets a volume that is never loud."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from audio import render
from audio.format import SAMPLE_RATE
from practice.listening import (
    LEAD_S,
    NOTE_S,
    STEP_DB,
    STEPS,
    check_score,
    is_over,
    volume_at,
    volume_for,
)
from practice.settings import LOWEST_VOLUME_DB, Settings


def test_it_begins_at_the_least_volume_and_rises_by_even_steps_to_the_most():
    steps = [volume_at(LEAD_S + (step + 0.5) * NOTE_S) for step in range(STEPS)]
    assert volume_at(0.0) == steps[0] == LOWEST_VOLUME_DB
    assert steps[-1] == 0.0
    assert set(np.diff(steps[:-1])) == {STEP_DB}
    assert 0.0 <= steps[-1] - steps[-2] <= STEP_DB
    assert is_over(LEAD_S + STEPS * NOTE_S)
    assert not is_over(LEAD_S + (STEPS - 0.5) * NOTE_S)


@given(st.floats(0.0, 60.0), st.floats(0.0, 60.0))
def test_it_never_falls_and_is_never_above_full_level(one, other):
    sooner, later = sorted((one, other))
    assert LOWEST_VOLUME_DB <= volume_at(sooner) <= volume_at(later) <= 0.0


@given(st.floats(LOWEST_VOLUME_DB, 0.0))
def test_the_volume_set_lies_above_what_was_heard_but_not_above_full_level(heard_db):
    assert min(0.0, heard_db + 10.0) <= volume_for(heard_db) <= min(0.0, heard_db + 20.0)


def test_all_its_notes_are_as_loud_as_each_other_before_the_volume_is_set():
    # So that only the volume decides when a note is heard. RMS of each note by numpy.
    samples = np.concatenate(list(render.blocks(check_score(Settings()))))
    first = round(LEAD_S * SAMPLE_RATE)
    length = round(NOTE_S * SAMPLE_RATE)
    notes = [samples[first + n * length : first + (n + 1) * length] for n in range(STEPS)]
    levels = [20 * np.log10(np.sqrt(np.mean(np.square(note, dtype=float)))) for note in notes]
    assert max(levels) - min(levels) < 0.5
    assert levels[0] == pytest.approx(levels[-1], abs=0.5)
