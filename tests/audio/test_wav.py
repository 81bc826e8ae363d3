"""WAV files: what is read back is what was written, to 16 bits, and never half a file."""

from __future__ import annotations

import wave
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from audio.format import SAMPLE_RATE
from audio.wav import FULL_SCALE, Rounder, read_wav, write_wav


def noise(frames: int, peak: float = 0.9) -> np.ndarray:
    return np.random.default_rng(1).uniform(-peak, peak, frames).astype(np.float32)


def test_the_file_is_mono_16_bits_at_our_rate(tmp_path: Path):
    assert write_wav(tmp_path / "a.wav", [noise(1000), noise(234)]) == 1234
    with wave.open(str(tmp_path / "a.wav")) as file:
        assert file.getparams()[:4] == (1, 2, SAMPLE_RATE, 1234)


def test_what_is_read_back_differs_by_two_steps_at_most(tmp_path: Path):
    samples = noise(50_000)
    write_wav(tmp_path / "a.wav", [samples])
    # One step of dither and half a step of rounding.
    assert np.abs(read_wav(tmp_path / "a.wav") - samples).max() < 1.6 / FULL_SCALE


def test_full_scale_and_beyond_is_held_at_full_scale():
    rounded = Rounder().rounded(np.array([1.0, 9.0, -9.0, -1.0] * 50, np.float32))
    assert np.abs(rounded.astype(int)).max() == FULL_SCALE
    assert rounded.astype(int)[1::4].min() == FULL_SCALE
    assert rounded.astype(int)[2::4].max() == -FULL_SCALE


@given(cuts=st.lists(st.integers(0, 200), min_size=1, max_size=8))
def test_the_same_sound_is_the_same_file_however_it_is_cut(cuts):
    samples = noise(sum(cuts))
    whole = Rounder().rounded(samples)
    rounder = Rounder()
    places = np.cumsum(cuts)[:-1]
    assert np.array_equal(
        np.concatenate([rounder.rounded(part) for part in np.split(samples, places)]), whole
    )


def test_a_tone_below_one_step_survives_as_a_tone_and_not_as_its_harmonics():
    frames = 1 << 17
    hz = 1000 / frames * SAMPLE_RATE
    quiet = 0.4 / FULL_SCALE * np.sin(2 * np.pi * hz * np.arange(frames) / SAMPLE_RATE)
    lines = np.abs(np.fft.rfft(Rounder().rounded(quiet.astype(np.float32)).astype(float)))
    floor = np.median(lines)
    # Plain rounding would give nothing at all here.
    assert lines[1000] == pytest.approx(0.4 * frames / 2, rel=0.05)
    assert max(lines[3000], lines[5000], lines[7000]) < 5 * floor


def test_a_failure_leaves_what_stood_there_and_no_scraps(tmp_path: Path):
    path = tmp_path / "a.wav"
    write_wav(path, [noise(100)])
    before = path.read_bytes()

    def failing():
        yield noise(5000)
        raise RuntimeError("no string")

    with pytest.raises(RuntimeError, match="no string"):
        write_wav(path, failing())
    assert path.read_bytes() == before
    assert [child.name for child in tmp_path.iterdir()] == ["a.wav"]


def test_another_form_of_wav_is_refused_with_what_to_do(tmp_path: Path):
    write_wav(tmp_path / "a.wav", [noise(100)], sample_rate_hz=48_000)
    with pytest.raises(ValueError, match="48000 Hz; save it as mono, 16 bits, 44100 Hz"):
        read_wav(tmp_path / "a.wav")
