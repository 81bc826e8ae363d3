"""Recordings in a score: streamed from a folder, as loud as a pluck, coloured by nothing."""

from __future__ import annotations

import math
from itertools import islice
from pathlib import Path

import numpy as np
import pyloudnorm
import pytest
import soundfile
from hypothesis import given, settings
from hypothesis import strategies as st

from audio.errors import RecordingError
from audio.format import BLOCK_FRAMES, SAMPLE_RATE
from audio.headroom import safe_gain
from audio.playing import score_of
from audio.recorded import RECORDING_PEAK_DBTP
from audio.recordings import bring_in, seconds_of
from audio.render import blocks, drone_loop, frames_of, render
from audio.sargam import parse
from audio.score import Clip, Drone, Score, Stroke, TablaStroke
from audio.speakers import open_speaker
from audio.tuning import JUST
from audio.wav import read_wav
from practice.sounding import Instrument, Sounding
from tests.audio.made import pluck, write
from tests.audio.meters import peak_dbtp

SA_HZ = 138.6


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("recordings")


@pytest.fixture(scope="module")
def mono(folder):
    return brought_in(folder, "mono", pluck())


@pytest.fixture(scope="module")
def stereo(folder):
    return brought_in(folder, "stereo", np.c_[pluck(), 0.5 * pluck(hz=550.0)])


def brought_in(folder: Path, stem: str, samples: np.ndarray) -> Clip:
    name = bring_in(write(folder / stem, samples, SAMPLE_RATE, "PCM_24"), folder)
    return Clip(name, seconds_of(folder / name))


def alone(*clips: Clip, **more) -> Score:
    return Score(SA_HZ, (), clips=clips, **more)


@pytest.mark.parametrize("name", ["", ".", "..", "../a.wav", "/a.wav", "a\\b.wav", "C:a.wav"])
def test_a_clip_is_no_path(name):
    with pytest.raises(ValueError, match="names a file without its folder: given"):
        Clip(name, 1.0)


@pytest.mark.parametrize(
    ("seconds", "onset_s", "level_db"),
    [(0.0, 0.0, 0.0), (math.nan, 0.0, 0.0), (math.inf, 0.0, 0.0), (1, -0.1, 0), (1, 0, math.nan)],
)
def test_a_clip_has_times_and_a_level(seconds, onset_s, level_db):
    with pytest.raises(ValueError, match="a clip"):
        Clip("a.wav", seconds, onset_s, level_db)


def test_a_score_lasts_as_long_as_its_recordings():
    score = alone(Clip("a.wav", 3.0, 1.0), Clip("b.wav", 1.0), lead_s=0.5)
    assert score.duration_s == 4.5
    assert frames_of(score) == round(4.5 * SAMPLE_RATE)


def test_what_sounds_is_what_the_file_holds(folder, mono):
    whole = render(alone(Clip(mono.name, mono.seconds, 0.25), lead_s=0.5), recordings=folder)
    onset = round(0.75 * SAMPLE_RATE)
    assert not whole[:onset].any()
    assert np.array_equal(whole[onset:], read_wav(folder / mono.name))


def test_of_two_channels_the_mean_sounds(folder, stereo):
    both, _ = soundfile.read(folder / stereo.name)
    whole = render(alone(stereo), recordings=folder)
    assert np.abs(whole - both.mean(axis=1)).max() < 1e-4


def test_levels_add_up(folder, mono):
    at_0 = render(alone(mono), recordings=folder)
    softer = render(alone(Clip(mono.name, mono.seconds, 0.0, -6.0)), recordings=folder)
    assert np.allclose(softer, at_0 * 10 ** (-6 / 20), atol=1e-7)


def test_a_clip_ends_when_it_says_and_the_rest_of_a_short_file_is_silence(folder, mono):
    assert len(render(alone(Clip(mono.name, 0.1)), recordings=folder)) == SAMPLE_RATE // 10
    longer = render(alone(Clip(mono.name, mono.seconds + 1)), recordings=folder)
    assert not longer[-SAMPLE_RATE + 1 :].any()
    assert np.array_equal(longer[:-SAMPLE_RATE], read_wav(folder / mono.name))


@settings(max_examples=15)
@given(
    block_frames=st.integers(1_000, 60_000),
    onsets_s=st.tuples(st.floats(0, 1), st.floats(0, 1)),
    droned=st.booleans(),
)
def test_blocks_joined_are_the_whole_bit_for_bit(
    folder, mono, stereo, block_frames, onsets_s, droned
):
    clips = tuple(
        Clip(clip.name, clip.seconds, onset_s, -3.3)
        for clip, onset_s in zip((mono, stereo), onsets_s, strict=True)
    )
    score = Score(
        SA_HZ,
        (Stroke(0.1, 0.3, ((0.0, 0.0),)),),
        Drone() if droned else None,
        0.1,
        (TablaStroke(0.2, "dha"),),
        clips,
    )
    whole = render(score, recordings=folder)
    pieces = list(blocks(score, block_frames=block_frames, recordings=folder))
    assert np.array_equal(np.concatenate(pieces), whole)


def test_a_long_recording_is_read_only_as_far_as_it_has_sounded(folder, mono, monkeypatch):
    read = []
    honest = np.frombuffer
    monkeypatch.setattr(np, "frombuffer", lambda *a, **k: read.append(len(a[0])) or honest(*a, **k))
    list(islice(blocks(alone(mono), recordings=folder), 3))
    assert read == [2 * BLOCK_FRAMES] * 3


def test_it_is_as_loud_as_a_line_of_sargam_with_a_drone_and_without(folder):
    """Loudness by pyloudnorm, as BS.1770-4 has it."""
    meter = pyloudnorm.Meter(SAMPLE_RATE, filter_class="DeMan")
    line = score_of(parse("N, R G m P - G R S"), JUST, sa_hz=SA_HZ, drone=Drone())
    plucked = render(line, drone=False)
    clip = brought_in(folder, "line", 0.2 * plucked)
    for drone in (None, Drone()):
        played = render(alone(clip, drone=drone), recordings=folder, drone=False)
        assert meter.integrated_loudness(played) == pytest.approx(-23.0, abs=0.1)
        assert meter.integrated_loudness(plucked) == pytest.approx(-23.0, abs=1.0)
    drone = meter.integrated_loudness(np.tile(drone_loop(Drone(), sa_hz=SA_HZ), 2))
    assert drone == pytest.approx(-35.0, abs=1.5)


def test_the_highest_peaks_leave_room_for_the_drone(folder):
    clicks = np.zeros(SAMPLE_RATE)
    clicks[2_000::9_000] = 0.9
    clip = brought_in(folder, "clicks", clicks)
    score = alone(clip, drone=Drone())
    assert safe_gain(score) == 1.0
    whole = render(score, recordings=folder)
    assert RECORDING_PEAK_DBTP - 1 < peak_dbtp(whole) < -1.0
    louder = alone(Clip(clip.name, clip.seconds, 0.0, 6.0), clip, drone=Drone())
    assert peak_dbtp(render(louder, recordings=folder)) < -1.0


def test_neither_body_nor_tarab_colours_it(folder, stereo):
    score = alone(stereo, drone=Drone())
    plain = np.concatenate(list(Instrument(recordings=folder).blocks(score)))
    for body, tarab in ((False, True), (True, True)):
        instrument = Instrument(body=body, tarab=tarab, recordings=folder)
        assert np.array_equal(np.concatenate(list(instrument.blocks(score))), plain)
        assert instrument.frames_of(score) == len(plain)
    assert np.array_equal(plain, render(alone(stereo), recordings=folder))


def test_a_recording_that_is_gone_is_told_after_the_first_block(folder, mono):
    score = alone(Clip("gone-0123456789abcdef.wav", 2.0), mono)
    sound = blocks(score, recordings=folder)
    first = next(sound)  # made before anybody listens
    assert len(first) == BLOCK_FRAMES
    with pytest.raises(RecordingError, match=r"^gone-.*: cannot be read .*: see that it is there"):
        next(sound)
    with pytest.raises(RecordingError, match="there is no folder of recordings"):
        render(alone(mono))


@pytest.mark.parametrize("spoil", [Path.unlink, lambda path: path.write_bytes(b"RIFF"), None])
def test_a_practice_goes_on_without_a_recording(spoil, mono, folder, tmp_path):
    path = tmp_path / mono.name
    path.write_bytes((folder / mono.name).read_bytes())
    instrument = Instrument(recordings=tmp_path if spoil else None)
    speaker = open_speaker("wav", wav_folder=tmp_path / "cues")
    sounding = Sounding(speaker, instrument)
    if spoil:
        assert sounding.play(alone(mono), None).path
        assert speaker.trouble is None
        spoil(path)
    assert sounding.play(alone(mono), None).ended
    assert "could not be made" in speaker.trouble
    sounding.play(Score(SA_HZ, (Stroke(0.0, 0.1, ((0.0, 0.0),)),)), None)
    assert speaker.trouble is None
