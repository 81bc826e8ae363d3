"""Chikari, the playing string without body, and tarab as voices: level, timbre, ring, cost."""

from __future__ import annotations

import tracemalloc

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from audio.format import SAMPLE_RATE
from audio.render import blocks, render
from audio.score import Score, Stroke
from audio.voices.tables import TableMaker
from tests.audio.meters import (
    cents_between,
    fft_pitch,
    k_weighted_lufs,
    midi_hz,
    one_note,
)
from tests.audio.sines import beside_sines

CHIKARI_MIDI = (55, 61, 67, 73, 79)
"""Sa near C#4, from a tritone below to one above, and the octave over it."""


def lufs(score):
    return k_weighted_lufs(np.pad(render(score), (0, SAMPLE_RATE)), 1.2)


def note_centroid_hz(midi, voice):
    """Of the power over a note's window, all of it alike."""
    sound = render(one_note(midi, 1.2, voice=voice))[: round(1.2 * SAMPLE_RATE)]
    power = np.abs(np.fft.rfft(sound)) ** 2
    return np.sum(power * np.fft.rfftfreq(len(sound), 1 / SAMPLE_RATE)) / np.sum(power)


@pytest.mark.parametrize("voice", ["chikari", "string", "tarab"])
@pytest.mark.parametrize("midi", [49, 55, 61.4, 67, 73, 79])
def test_every_voice_is_as_loud_as_a_note_at_every_pitch(voice, midi):
    assert lufs(one_note(midi, 1.5, voice=voice)) == pytest.approx(-23.0, abs=0.1)


@pytest.mark.parametrize("voice", ["chikari", "string", "tarab"])
@pytest.mark.parametrize("midi", [49, 61, 73])
def test_every_voice_is_in_tune(voice, midi):
    sound = render(one_note(midi, voice=voice))[round(0.35 * SAMPLE_RATE) :][:90_000]
    assert abs(cents_between(fft_pitch(sound, midi_hz(midi)), midi_hz(midi))) < 0.05


@pytest.mark.parametrize(
    # A chikari is the brightest of them, and played softer: its images lie nearer to it.
    ("voice", "highest_spur_db"),
    [("chikari", -80), ("string", -90), ("tarab", -90)],
)
@pytest.mark.parametrize("midi", [55, 67])
def test_every_voice_sounds_as_if_every_partial_were_a_sine_of_its_own(
    voice, highest_spur_db, midi
):
    stroke = Stroke(0.0, 1.0, ((0.0, 0.0),), voice=voice)
    signal_to_noise_db, worst_spur_db = beside_sines(stroke, sa_hz=midi_hz(midi))
    assert signal_to_noise_db > 75
    assert worst_spur_db < highest_spur_db


def test_the_bare_string_has_one_centroid_at_every_pitch_and_that_of_the_sitar():
    centroids = [
        note_centroid_hz(midi, voice)
        for midi in (45, 52, 61, 68, 75)
        for voice in ("string", "sitar")
    ]
    assert max(centroids) < 1.04 * min(centroids)


def test_the_bare_string_is_not_the_sitar_over_again():
    with_body, bare = (
        np.abs(np.fft.rfft(render(one_note(57, 1.0, voice=v))[:32768] * np.hanning(32768)))
        for v in ("sitar", "string")
    )
    at = [round(k * midi_hz(57) * 32768 / SAMPLE_RATE) for k in range(1, 20)]
    ratio_db = [
        20 * np.log10(with_body[i - 2 : i + 3].max() / bare[i - 2 : i + 3].max()) for i in at
    ]
    # Both have the same centroids, so only the bumps of the body are left between them.
    assert np.ptp(ratio_db) > 2.5


@pytest.mark.parametrize("midi", CHIKARI_MIDI)
def test_a_chikari_is_brighter_and_rings_longer_than_the_playing_string(midi):
    assert note_centroid_hz(midi, "chikari") > 1.15 * note_centroid_hz(midi, "sitar")
    fallen = []
    for voice in ("chikari", "sitar"):
        sound = render(one_note(midi, 2.0, voice=voice))
        early, late = (sound[round(at_s * SAMPLE_RATE) :][:8192] for at_s in (0.1, 1.6))
        fallen.append(20 * np.log10(np.std(late) / np.std(early)))
    assert fallen[0] > fallen[1] + 3.0


def jhala(sa_hz, count, each_s=0.11):
    return Score(
        sa_hz,
        tuple(
            Stroke(each_s * i, each_s, ((0.0, cents),), level_db=float(i % 3), voice="chikari")
            for i in range(count)
            for cents in (0.0, 1200.0)
        ),
    )


@pytest.fixture
def tables_made(monkeypatch):
    made = []
    fill = TableMaker.fill

    def counted(self, tables, *more):
        made.append(len(tables))
        fill(self, tables, *more)

    monkeypatch.setattr(TableMaker, "fill", counted)
    return made


def test_a_chikari_struck_again_needs_no_new_tables(tables_made):
    render(jhala(271.3, 2))
    first = sum(tables_made)
    assert first > 0
    render(jhala(271.3, 60))
    assert sum(tables_made) == first


def test_a_chikari_sounds_the_same_whether_its_tables_are_kept_or_new():
    new = render(jhala(259.7, 5))
    again = render(jhala(259.7, 5))
    assert np.array_equal(new, again)
    joined = np.concatenate(list(blocks(jhala(259.7, 5), block_frames=777)))
    assert np.array_equal(new, joined)


@settings(max_examples=30)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(["chikari", "string", "tarab", "sitar"]),
            st.floats(0.0, 1.0),
            st.floats(0.005, 1.0),
            st.lists(st.integers(-500, 1200), min_size=1, max_size=3),
        ),
        max_size=6,
    ),
    st.integers(50, 9000),
)
def test_blocks_of_all_strings_joined_are_the_whole_bit_for_bit(rows, block_frames):
    score = Score(
        277.2,
        tuple(
            Stroke(at_s, long_s, tuple((0.05 * i, float(c)) for i, c in enumerate(path)), voice=v)
            for v, at_s, long_s, path in rows
        ),
    )
    pieces = list(blocks(score, block_frames=block_frames))
    joined = np.concatenate([np.zeros(0, np.float32), *pieces])
    assert np.array_equal(joined, render(score))


def test_a_bent_chikari_is_bent():
    path = ((0.0, 0.0), (0.1, 0.0), (0.3, 100.0))
    sound = render(Score(277.2, (Stroke(0.0, 2.0, path, voice="chikari"),)))
    wanted_hz = 277.2 * 2 ** (1 / 12)
    assert abs(cents_between(fft_pitch(sound[20_000:80_000], wanted_hz), wanted_hz)) < 0.1


def test_what_is_kept_of_chikari_strings_does_not_grow():
    tracemalloc.start()
    for semitone in range(10):
        render(jhala(midi_hz(55 + semitone), 3))
    kept, _ = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert kept < 1_500_000


def test_no_mizrab_is_heard_on_what_is_not_struck():
    tarab = render(one_note(61, 0.5, voice="tarab"))
    assert np.abs(tarab[:200]).max() < 0.02 * np.abs(tarab).max()
