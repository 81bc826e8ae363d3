"""What rings along: the body on and off, and sympathetic strings that never answer."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from audio.format import SAMPLE_RATE
from audio.render import render
from audio.resonance import TARAB_BELOW_DB, resounding
from audio.score import Drone, Score, Stroke
from tests.audio.meters import k_weighted_lufs, midi_hz, one_note

MEEND = ((0.0, 0.0), (0.3, 0.0), (0.55, 400.0))


def lufs(score):
    return k_weighted_lufs(np.pad(render(score), (0, SAMPLE_RATE)), 1.2)


def tarab_of(score):
    return [s for s in resounding(score, body=True, tarab=True).strokes if s.voice == "tarab"]


def phrase(*onsets, **more):
    ends = (*onsets[1:], onsets[-1] + 1.0)
    return Score(
        138.6,
        tuple(
            Stroke(start, end - start, ((0.0, 100.0 * i),), **more)
            for i, (start, end) in enumerate(zip(onsets, ends, strict=True))
        ),
    )


def test_with_body_and_without_tarab_a_score_stays_as_it_is():
    score = Score(138.6, one_note(60).strokes, Drone(), lead_s=0.5)
    assert resounding(score, body=True, tarab=False) == score


def test_without_body_only_the_playing_string_changes():
    chikari = Stroke(0.2, 0.5, ((0.0, 1200.0),), voice="chikari")
    note = Stroke(0.0, 0.5, MEEND, 1.0, 0.2, tags=("meend",))
    score = Score(138.6, (note, chikari), Drone(), lead_s=0.5)
    bare = resounding(score, body=False, tarab=False)
    assert [stroke.voice for stroke in bare.strokes] == ["string", "chikari"]
    assert bare.strokes[0].path == MEEND
    assert bare.strokes[0].tags == ("meend",)
    assert (bare.drone, bare.lead_s) == (score.drone, score.lead_s)


@pytest.mark.parametrize("body", [True, False])
def test_tarab_makes_every_pitch_in_tune_or_out_louder_by_the_same_little(body):
    added = []
    for midi in (43.0, 49.0, 52.17, 57.0, 57.13, 63.5, 70.0, 77.31, 83.0):
        for path in (((0.0, 0.0),), MEEND):
            score = Score(midi_hz(midi), (Stroke(0.0, 1.5, path, brightness=0.2),))
            plain, ringing = (resounding(score, body=body, tarab=tarab) for tarab in (False, True))
            added.append(lufs(ringing) - lufs(plain))
    assert min(added) > 0.0
    assert max(added) < 0.1
    assert np.ptp(added) < 0.02


def test_tarab_lies_about_20_db_under_its_stroke_comes_slowly_and_stays_long():
    score = one_note(61, 2.5)
    (ringing,) = tarab_of(score)
    sound = render(Score(score.sa_hz, (ringing,)))
    assert k_weighted_lufs(sound, 1.2) == pytest.approx(-23.0 - TARAB_BELOW_DB, abs=0.2)
    start, risen, later = (
        np.abs(sound[round(at_s * SAMPLE_RATE) :][:2000]).max() for at_s in (0.0, 0.4, 1.6)
    )
    assert start < 0.5 * risen
    played = render(score)
    fallen = [
        20 * np.log10(np.std(s[70_000:74_000]) / np.std(s[17_000:21_000])) for s in (sound, played)
    ]
    assert fallen[0] > fallen[1] + 4.0
    assert later > 0.2 * risen


notes = st.lists(
    st.tuples(
        st.floats(0.0, 3.0),
        st.floats(0.05, 2.0),
        st.lists(st.integers(-500, 500), min_size=1, max_size=4),
        st.sampled_from(["sitar", "string", "chikari"]),
    ),
    max_size=8,
)


def score_of_notes(rows):
    return Score(
        138.6,
        tuple(
            Stroke(onset, length, tuple((0.1 * i, float(c)) for i, c in enumerate(cents)), voice=v)
            for onset, length, cents, v in rows
        ),
    )


@given(notes)
def test_tarab_never_sounds_but_what_the_string_that_wakes_it_does_then(rows):
    score = score_of_notes(rows)
    played = [s for s in score.strokes if s.voice != "chikari"]
    for ringing in tarab_of(score):
        assert ringing.path in {s.path for s in played if s.onset_s == ringing.onset_s}
        later = [s.onset_s for s in played if s.onset_s > ringing.onset_s]
        assert ringing.end_s <= min(later, default=np.inf) + 1e-9


@given(notes)
def test_when_and_how_tarab_rings_knows_nothing_of_pitch(rows):
    flat = [(onset, length, [0] * len(cents), voice) for onset, length, cents, voice in rows]

    def shape(score):
        return [(s.onset_s, s.duration_s, s.level_db, s.brightness) for s in tarab_of(score)]

    assert shape(score_of_notes(rows)) == shape(score_of_notes(flat))


def test_one_string_answers_at_a_time_however_long_the_strokes_ring():
    onsets = [0.3 * i for i in range(20)]
    score = Score(138.6, tuple(Stroke(at, 4.0, ((0.0, 0.0),)) for at in onsets))
    ringing = sorted(tarab_of(score), key=lambda s: s.onset_s)
    assert len(ringing) == 20
    assert all(one.end_s <= other.onset_s + 1e-9 for one, other in pairwise(ringing))


def test_a_run_too_quick_for_an_answer_gets_none():
    assert len(tarab_of(phrase(0.0, 0.1, 0.2, 0.3))) == 1
    assert tarab_of(phrase(0.0, voice="chikari")) == []


def test_the_sound_of_a_stroke_is_the_same_under_its_tarab():
    score = one_note(57, 1.0)
    both = render(resounding(score, body=True, tarab=True))
    apart = render(score)
    tarab = render(Score(score.sa_hz, tuple(tarab_of(score))))
    whole = np.zeros(len(both))
    whole[: len(apart)] += apart
    whole[: len(tarab)] += tarab
    assert np.allclose(both, whole, atol=1e-6)
