"""Room for peaks: what a stroke may reach, and that no mix passes the limit."""

from __future__ import annotations

import numpy as np
import pyloudnorm
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from audio.format import SAMPLE_RATE
from audio.headroom import BAYAN_PEAK_DBTP, DAYAN_PEAK_DBTP, DRONE_PEAK_DBTP, safe_gain
from audio.loudness import NOTE_LUFS, PEAK_LIMIT_DBTP
from audio.render import drone_loop, render
from audio.score import Drone, Score, Stroke, TablaStroke
from audio.voices.pluck import VOICES
from audio.voices.tabla import SOUNDS
from tests.audio.meters import bol_sound, midi_hz, one_note, peak_dbtp

LIMIT_DBTP = -1.0  # EBU R 128


RANGE = {"chikari": (55, 79)}
"""MIDI numbers between which a voice is played, where it is not the whole range."""


@pytest.mark.parametrize("name", sorted(VOICES))
@pytest.mark.parametrize("brightness", [-1.0, 0.0, 1.0])
def test_no_stroke_passes_the_peak_assumed_of_its_voice(name, brightness):
    low, high = RANGE.get(name, (40, 88))
    for midi in range(low, high + 1, 4):
        within_its_bound(one_note(midi, 1.0, brightness=brightness, voice=name), name)


@settings(max_examples=40)
@given(
    st.sampled_from(sorted(VOICES)),
    st.floats(0.0, 1.0),
    st.floats(-1.0, 1.0),
    st.lists(
        st.tuples(st.floats(0.02, 0.3), st.floats(0.004, 0.1), st.integers(0, 5)), max_size=12
    ),
)
def test_no_bend_passes_the_peak_assumed_of_its_voice(name, place, brightness, turns):
    low, high = RANGE.get(name, (40, 88))
    midi = low + (high - 5 - low) * place
    path = [(0.0, 0.0)]
    for held_s, moved_s, semitones in turns:
        path.append((path[-1][0] + held_s, path[-1][1]))
        path.append((path[-1][0] + moved_s, 100.0 * semitones))
    stroke = Stroke(0.0, 1.5, tuple(path), brightness=brightness, voice=name)
    within_its_bound(Score(midi_hz(midi), (stroke,)), name)


def within_its_bound(score, name):
    sound, voice = render(score), VOICES[name]
    for age_s in (0.0, 0.1, 0.3, 0.6):
        bound = voice.peak_dbtp - voice.fall_db_per_s * age_s
        assert peak_dbtp(sound[round(age_s * SAMPLE_RATE) :]) < bound, (score, age_s)


@pytest.mark.parametrize("first", ["P", "m", "N"])
@pytest.mark.parametrize("sa_hz", [98.0, 138.6, 330.0])
def test_no_drone_passes_the_peak_assumed_of_it(first, sa_hz):
    assert peak_dbtp(drone_loop(Drone(first), sa_hz=sa_hz)) < DRONE_PEAK_DBTP


@pytest.mark.parametrize("bol", [bol for bol, (dayan, bayan) in SOUNDS.items() if not bayan])
def test_no_stroke_on_the_dayan_passes_the_peak_assumed_of_it(bol):
    for sa_hz in np.geomspace(196.0, 392.0, 25):
        assert peak_dbtp(bol_sound(bol, sa_hz=sa_hz)) < DAYAN_PEAK_DBTP, sa_hz


@pytest.mark.parametrize("bol", [bol for bol, (dayan, bayan) in SOUNDS.items() if not dayan])
def test_no_stroke_on_the_bayan_passes_the_peak_assumed_of_it(bol):
    assert peak_dbtp(bol_sound(bol, sa_hz=200.0)) < BAYAN_PEAK_DBTP


drums = st.builds(
    TablaStroke, st.floats(0.0, 0.5), st.sampled_from(sorted(SOUNDS)), st.floats(-3.0, 6.0)
)


@settings(max_examples=40)
@given(
    st.lists(
        st.tuples(
            st.floats(0.0, 0.4), st.floats(0.1, 0.6), st.integers(-12, 24), st.floats(-3.0, 6.0)
        ),
        min_size=1,
        max_size=6,
    ),
    st.lists(drums, max_size=8),
)
def test_no_mix_passes_the_limit(strokes, tabla):
    score = Score(
        138.6,
        tuple(
            Stroke(onset, length, ((0.0, 100.0 * steps),), level_db=level)
            for onset, length, steps, level in strokes
        ),
        drone=Drone(),
        tabla=tuple(tabla),
    )
    assert peak_dbtp(render(score)) <= LIMIT_DBTP


def test_common_cues_keep_their_level():
    single = one_note(60)
    phrase = Score(
        138.6, tuple(Stroke(0.5 * i, 0.5, ((0.0, 200.0 * i),), level_db=0.5) for i in range(8))
    )
    assert safe_gain(single) == 1.0
    assert safe_gain(phrase) == 1.0


def test_the_gain_knows_nothing_of_pitch_or_brightness():
    def gap(low, high, brightness):
        pitches = (((0.0, low),), ((0.0, high),))
        return Score(
            midi_hz(49), tuple(Stroke(0.0, 1.0, path, 2.0, brightness) for path in pitches)
        )

    gains = {safe_gain(gap(0.0, cents, b)) for cents in (100.0, 702.0) for b in (-1.0, 1.0)}
    assert len(gains) == 1
    assert gains.pop() < 1.0


def test_a_cue_is_equally_loud_with_and_without_its_drone():
    strokes = tuple(Stroke(0.0, 0.5, ((0.0, 100.0 * i),), level_db=3.0) for i in range(4))
    with_drone = render(Score(138.6, strokes, drone=Drone()), drone=False)
    assert np.array_equal(with_drone, render(Score(138.6, strokes)))


def line(count):
    return tuple(Stroke(0.5 * i, 0.5, ((0.0, 200.0 * (i % 5)),)) for i in range(count))


def theka(bols, each_s, level_db=0.0):
    return tuple(TablaStroke(each_s * i, bol, level_db) for i, bol in enumerate(bols.split()))


def test_the_gain_of_a_cue_with_a_theka_knows_neither_the_tala_nor_how_many_notes():
    thekas = [
        theka("dha dhin dhin dha", 0.5),
        theka("tin tin na", 0.37),
        theka("ti ra ki tta dha ge", 0.04),
        theka("ge", 1.0, level_db=-2.0),
    ]
    gains = {safe_gain(Score(138.6, line(n), tabla=t)) for n in (1, 3, 8) for t in thekas}
    assert len(gains) == 1
    assert 0.6 < gains.pop() < 1.0
    assert {safe_gain(Score(138.6, (), tabla=t)) for t in thekas} == {1.0}


def test_a_theka_alone_is_not_far_softer_than_notes_and_keeps_below_the_peaks_limit():
    both = Score(138.6, (), Drone(), tabla=theka("dha dha dha dhin", 0.25, level_db=0.0))
    assert peak_dbtp(render(both)) < PEAK_LIMIT_DBTP
    alone = render(both, drone=False)
    loud = pyloudnorm.Meter(SAMPLE_RATE).integrated_loudness(alone)
    assert NOTE_LUFS - 5.0 < loud < NOTE_LUFS + 1.0


def test_without_a_theka_the_gain_is_as_if_there_were_no_drums():
    assert safe_gain(Score(138.6, line(8))) == 1.0
