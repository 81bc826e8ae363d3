"""Scores as sound: blocks and whole alike, at the right places, the drone soft at both ends."""

from __future__ import annotations

import tracemalloc

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from audio.errors import AudioError
from audio.format import BLOCK_FRAMES, SAMPLE_RATE
from audio.render import FADE_IN_S, blocks, drone_loop, frames_of, render, warm_up
from audio.score import Drone, Score, Stroke, TablaStroke
from audio.voices.pluck import GROUP_FRAMES, RELEASE_FRAMES
from audio.voices.tabla import BOLS, RING_FRAMES
from tests.audio.meters import bol_sound, high_band, midi_hz, one_note


@st.composite
def strokes(draw):
    turns = draw(st.lists(st.floats(0.005, 1.2), max_size=4, unique=True))
    cents = st.floats(-1200.0, 2400.0)
    path = ((0.0, draw(cents)), *((at_s, draw(cents)) for at_s in sorted(turns)))
    return Stroke(
        draw(st.floats(0.0, 1.0)),
        draw(st.floats(0.001, 1.2)),
        path,
        level_db=draw(st.floats(-2.0, 2.0)),
        brightness=draw(st.floats(-1.0, 1.0)),
    )


drummed = st.builds(
    TablaStroke,
    st.one_of(st.floats(0.0, 1.5), st.sampled_from([0.0, 0.001, 0.002])),
    st.sampled_from(BOLS),
    st.floats(-3.0, 3.0),
)
scores = st.builds(
    Score,
    sa_hz=st.floats(98.0, 330.0),
    strokes=st.lists(strokes(), max_size=4).map(tuple),
    lead_s=st.floats(0.0, 0.3),
    tabla=st.lists(drummed, max_size=5).map(tuple),
)


@settings(max_examples=40)  # each makes a whole score twice
@given(score=scores, block_frames=st.integers(50, 50_000), droned=st.booleans())
@example(one_note(60, 1.6), GROUP_FRAMES, False)
@example(one_note(43, 0.76), GROUP_FRAMES + 1, False)
def test_blocks_joined_are_the_whole_bit_for_bit(score, block_frames, droned):
    if droned:
        score = Score(138.6, score.strokes, Drone(), score.lead_s, score.tabla)
    whole = render(score)
    pieces = list(blocks(score, block_frames=block_frames))
    assert len(whole) == frames_of(score)
    assert whole.dtype == np.float32
    assert np.all(np.isfinite(whole))
    assert all(len(piece) == block_frames for piece in pieces[:-1])
    joined = np.concatenate([np.zeros(0, np.float32), *pieces])
    assert np.array_equal(joined.view(np.uint32), whole.view(np.uint32))


@pytest.mark.parametrize("block_frames", [1, 3, 64])
def test_the_smallest_blocks_are_bit_identical_too(block_frames):
    path = ((0.0, 0.0), (0.02, 300.0))
    tabla = (TablaStroke(0.0007, "ti"), TablaStroke(0.009, "ra"))
    score = Score(200.0, (Stroke(0.0, 0.03, path), Stroke(0.0111, 0.02, path)), tabla=tabla)
    joined = np.concatenate(list(blocks(score, block_frames=block_frames)))
    assert np.array_equal(joined, render(score))


def test_a_block_without_a_frame_is_refused_at_once():
    with pytest.raises(ValueError, match="at least 1: given 0"):
        blocks(one_note(60), block_frames=0)


def test_a_voice_that_is_not_there_is_refused_at_once():
    score = one_note(60, voice="sarod")
    with pytest.raises(AudioError, match="sarod"):
        blocks(score)
    with pytest.raises(AudioError, match="sarod"):
        render(score)


def test_a_bol_that_is_not_there_is_refused_at_once():
    score = Score(200.0, (), tabla=(TablaStroke(5.0, "dum"),))
    with pytest.raises(AudioError, match="'dum'; there are: da"):
        blocks(score)
    with pytest.raises(AudioError, match="dum"):
        render(score)


def test_a_drum_begins_where_the_score_says_and_rings_out():
    score = Score(200.0, (), lead_s=0.5, tabla=(TablaStroke(0.25, "dha", -6.0),))
    sound, onset = render(score), round(0.75 * SAMPLE_RATE)
    assert len(sound) == onset + RING_FRAMES
    assert not sound[:onset].any()
    alone = bol_sound("dha", sa_hz=200.0)
    factor = sound[onset : onset + 2_000] @ alone[:2_000] / (alone[:2_000] @ alone[:2_000])
    ring = np.pad(factor * alone, (0, RING_FRAMES - len(alone)))
    assert np.allclose(sound[onset:], ring, atol=1e-6)


@pytest.mark.parametrize("bol", BOLS)
def test_the_length_of_a_score_does_not_tell_its_last_bol(bol):
    def length(last):
        return frames_of(Score(200.0, (), tabla=(TablaStroke(0.0, "dha"), TablaStroke(0.5, last))))

    assert length(bol) == length("dha")


def test_the_last_string_may_outlast_the_drums():
    score = Score(200.0, (Stroke(0.0, 4.0, ((0.0, 0.0),)),), tabla=(TablaStroke(0.0, "na"),))
    assert len(render(score)) == 4 * SAMPLE_RATE + RELEASE_FRAMES


def test_strings_under_a_theka_are_the_strings_without_it_but_for_one_gain():
    strings = Score(200.0, (Stroke(0.0, 0.5, ((0.0, 0.0),)), Stroke(0.4, 0.5, ((0.0, 500.0),))))
    tabla = tuple(TablaStroke(0.1 * i, bol) for i, bol in enumerate(("dha", "ge", "ti", "na")))
    both = render(Score(200.0, strings.strokes, tabla=tabla))
    alone = render(strings)
    drums = render(Score(200.0, (), tabla=tabla))
    gains = np.linalg.lstsq(np.c_[alone, drums[: len(alone)]], both[: len(alone)])[0]
    rest = both[: len(alone)] - np.c_[alone, drums[: len(alone)]] @ gains
    assert np.abs(rest).max() < 1e-5
    assert 0.5 < gains[0] < 1.0


def test_strokes_begin_where_the_score_says_after_the_lead():
    score = Score(200.0, (Stroke(0.25, 0.3, ((0.0, 0.0),)),), lead_s=0.5)
    sound = render(score)
    onset = round(0.75 * SAMPLE_RATE)
    assert not sound[:onset].any()
    assert np.abs(sound[onset : onset + 400]).max() > 0.05
    assert len(sound) == round(1.05 * SAMPLE_RATE) + RELEASE_FRAMES


def test_strokes_may_stand_in_any_order():
    early, late = Stroke(0.1, 0.4, ((0.0, 0.0),)), Stroke(0.3, 0.4, ((0.0, 700.0),))
    assert np.array_equal(render(Score(200.0, (early, late))), render(Score(200.0, (late, early))))


def test_two_strokes_at_once_are_two_strings():
    low, high = Stroke(0.0, 0.4, ((0.0, 0.0),)), Stroke(0.0, 0.4, ((0.0, 702.0),), level_db=-3.0)
    both = render(Score(200.0, (low, high)))
    apart = [render(Score(200.0, (stroke,))) for stroke in (low, high)]
    ratio = both / np.where(np.abs(sum(apart)) > 1e-3, sum(apart), np.nan)
    assert np.nanmax(ratio) - np.nanmin(ratio) < 1e-3


def test_an_older_stroke_rings_until_its_own_end():
    older, newer = Stroke(0.0, 1.0, ((0.0, 0.0),)), Stroke(0.5, 0.3, ((0.0, 500.0),), level_db=-9.0)
    both, alone = render(Score(200.0, (older, newer))), render(Score(200.0, (older,)))
    after = round(0.9 * SAMPLE_RATE)
    assert np.allclose(both[after:], alone[after:], atol=1e-6)


def test_a_score_without_strokes_is_its_lead():
    assert len(render(Score(200.0, ()))) == 0
    droned = render(Score(138.6, (), Drone(), lead_s=1.0))
    assert len(droned) == SAMPLE_RATE
    assert droned.any()


def test_the_drone_can_be_left_out():
    score = Score(138.6, one_note(60, 0.5).strokes, Drone())
    silent = Score(138.6, score.strokes)
    assert np.array_equal(render(score, drone=False), render(silent))
    assert not np.array_equal(render(score), render(silent))


def test_the_drone_starts_softly_lies_under_the_notes_and_ends_softly():
    score = Score(138.6, (Stroke(0.0, 1.0, ((0.0, 0.0),)),), Drone(), lead_s=2.0)
    under = render(score) - render(score, drone=False)
    loop = drone_loop(Drone(), sa_hz=138.6)
    assert np.abs(under[:100]).max() < 1e-4
    assert np.abs(under[-100:]).max() < 1e-4
    rises = [np.abs(under[int(at * SAMPLE_RATE) :][:4000]).max() for at in (0.05, 0.2, 0.4)]
    assert rises == sorted(rises)
    faded_in = round(FADE_IN_S * SAMPLE_RATE)
    middle = slice(faded_in, round(1.9 * SAMPLE_RATE))
    assert np.allclose(under[middle], loop[middle], atol=1e-6)


def test_the_drone_goes_on_through_the_end_of_its_loop():
    score = Score(138.6, (), Drone(), lead_s=14.0)
    sound = render(score)
    frames = len(drone_loop(Drone(), sa_hz=138.6))
    seam = np.abs(high_band(sound, 14_000.0))[frames - 300 : frames + 300]
    assert seam.max() < 1e-5


def long_phrase(count, each_s=0.2):
    return Score(
        138.6,
        tuple(
            Stroke(each_s * i, each_s, ((0.0, 100.0 * (i % 12)), (0.1, 100.0 * (i % 7))))
            for i in range(count)
        ),
    )


def memory_of(score):
    tracemalloc.start()
    for _ in blocks(score):
        pass
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return peak


def test_memory_does_not_grow_with_the_score():
    warm_up()
    short, long = memory_of(long_phrase(20)), memory_of(long_phrase(120))
    assert long < 1.2 * short + 200_000


def test_memory_does_not_grow_with_a_theka():
    def theka(count):
        bols = ("dha", "dhin", "ti", "tun", "ke", "na")
        strokes = tuple(TablaStroke(0.1 * i, bols[i % 6]) for i in range(count))
        return Score(138.6, (), tabla=strokes)

    render(theka(6))
    short, long = memory_of(theka(40)), memory_of(theka(400))
    assert long < 1.2 * short + 200_000


def test_the_first_block_does_not_wait_for_the_rest():
    score = long_phrase(5, each_s=0.5)
    first = next(blocks(score))
    assert len(first) == BLOCK_FRAMES
    assert np.array_equal(first, render(Score(138.6, score.strokes[:1]))[:BLOCK_FRAMES])


def test_warming_up_changes_no_sound():
    before = render(one_note(61, 0.4, brightness=0.3))
    warm_up()
    assert np.array_equal(before, render(one_note(61, 0.4, brightness=0.3)))


def test_a_quick_run_of_strokes_does_not_click_at_its_joins():
    score = Score(
        midi_hz(50), tuple(Stroke(0.1 * i, 0.1, ((0.0, 100.0 * i),)) for i in range(1, 6))
    )
    sound = render(score)
    clicks = np.abs(high_band(sound, 18_500.0))
    for i in range(2, 6):
        # From the touch of the finger to before the next pluck's own noise there is nothing.
        touched = round((0.1 * i) * SAMPLE_RATE)
        assert clicks[touched - 400 : touched - 40].max() < 1e-4
