"""Speakers, heard: what they play is recorded at the monitor of a sound server's null sink."""

from __future__ import annotations

import itertools
import os
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest

from audio.errors import SpeakerError
from audio.format import SAMPLE_RATE
from audio.mixer import DRONE_CHANGE_FRAMES
from audio.speakers import choices, open_speaker
from audio.speakers.clips import DRONE_FADE_S, drone_turn
from audio.speakers.stream import StreamSpeaker
from audio.speakers.timeline import Timeline
from audio.wav import read_wav

if TYPE_CHECKING:  # pytest loads it as a plug-in, and warns if it was imported before
    from tests.sound_device import NullSink

pytest_plugins = ("tests.sound_device",)

NAMES = ["stream", "player", "simpleaudio", "wav", "silence"]
LIBRARY_WORDS = ("MA_", "miniaudio", "SDL", "SoundLoader", "ALSA", "backend", "Traceback", "-401")


def tone(hz: float, duration_s: float, peak: float = 0.3) -> np.ndarray:
    """A sine with 10 ms of rise and fall."""
    places = np.arange(int(duration_s * SAMPLE_RATE))
    edge = np.minimum(1.0, np.minimum(places, places[::-1]) / 441)
    return (peak * edge * np.sin(2 * np.pi * hz * places / SAMPLE_RATE)).astype(np.float32)


def blocks(samples: np.ndarray, size: int = 4096) -> Iterator[np.ndarray]:
    for at in range(0, len(samples), size):
        yield samples[at : at + size]


def pitch_hz(samples: np.ndarray) -> float:
    """Frequency of the strongest line: parabola through the log of a Gaussian-windowed spectrum.

    Exact for a sine but for the noise, as the log of a Gaussian's transform is a parabola.
    """
    places = np.arange(len(samples)) / len(samples) - 0.5
    spectrum = np.abs(np.fft.rfft(samples * np.exp(-0.5 * (places / 0.1) ** 2)))
    at = int(spectrum.argmax())
    left, middle, right = np.log(spectrum[at - 1 : at + 2])
    offset = 0.5 * (left - right) / (left - 2 * middle + right)
    return float((at + offset) * SAMPLE_RATE / len(samples))


def off_the_sine(samples: np.ndarray, hz: float) -> float:
    """The most by which a sample differs from what its two neighbours say for a sine of `hz`."""
    turn = 2 * np.cos(2 * np.pi * hz / SAMPLE_RATE)
    return float(np.abs(samples[2:] - turn * samples[1:-1] + samples[:-2]).max())


def sounding(samples: np.ndarray, above: float = 0.01) -> tuple[int, int]:
    """First and last place where the sound is above a level."""
    places = np.flatnonzero(np.abs(samples) > above)
    assert len(places), "nothing was heard"
    return int(places[0]), int(places[-1])


def until(true: Callable[[], object], timeout_s: float = 8.0) -> None:
    end = time.monotonic() + timeout_s
    while not true():
        assert time.monotonic() < end, "it did not happen in time"
        time.sleep(0.005)


def our_threads() -> list[str]:
    return [thread.name for thread in threading.enumerate() if thread.name.startswith("kaan")]


@pytest.fixture
def stream(null_sink: NullSink) -> Iterator[StreamSpeaker]:
    # Twice the usual buffer: these machines run other tests beside.
    speaker = StreamSpeaker(buffer_ms=40)
    yield speaker
    speaker.close()


def unhurried(speaker: StreamSpeaker, act: Callable[[], None]) -> None:
    """Do `act`, and once more if this machine was too busy to keep the beat of the device.

    Such a gap says nothing about the speaker. It gets three tries.
    """
    for _ in range(3):
        before = (speaker.late_fetches, speaker.underruns)
        act()
        if before == (speaker.late_fetches, speaker.underruns):
            return


@dataclass
class Heard:
    """A recording of one cue, when it ended by the speaker's word, and when it really did."""

    samples: np.ndarray
    said_end: float
    real_end: float


def heard_whole(null_sink: NullSink, speaker: StreamSpeaker, samples: np.ndarray) -> Heard:
    """Play `samples` to the end and record."""
    heard: list[Heard] = []

    def act() -> None:
        with null_sink.recording() as recording:
            playing = speaker.play(blocks(samples), frames=len(samples))
            assert playing.wait(len(samples) / SAMPLE_RATE + 5)
            time.sleep(0.2)
            recorded = recording.samples
        last = sounding(recorded)[1]
        real_end = next(moment for moment, count in recording.arrivals if count > last)
        heard.append(Heard(recorded, playing.ends_at, real_end))

    unhurried(speaker, act)
    return heard[-1]


@pytest.mark.sound
def test_a_streamed_tone_arrives_whole_and_in_tune(null_sink, stream):
    heard = heard_whole(null_sink, stream, tone(440, 1.2))
    first, last = sounding(heard.samples)
    steady = heard.samples[first + 1000 : last - 1000]
    assert abs(1200 * np.log2(pitch_hz(steady) / 440)) < 0.1
    assert off_the_sine(steady, 440) < 1e-4  # a lost or doubled frame gives 0.01 and more
    assert abs((last - first) / SAMPLE_RATE - 1.2) < 0.02
    assert abs(heard.said_end - heard.real_end) < 0.1


@pytest.mark.sound
def test_stream_starts_and_stops_without_a_click(null_sink, stream):
    recorded: list[np.ndarray] = []

    def act() -> None:
        with null_sink.recording() as recording:
            long = tone(440, 5.0)
            playing = stream.play(blocks(long), frames=len(long))
            time.sleep(0.5)
            stream.stop()
            assert playing.wait(1.0)
            time.sleep(0.2)
            recorded.append(recording.samples)

    unhurried(stream, act)
    heard = recorded[-1]
    first, last = sounding(heard, above=1e-4)
    assert np.abs(np.diff(heard)).max() < 0.3 * 2 * np.pi * 440 / SAMPLE_RATE * 1.1
    assert 0.3 < (last - first) / SAMPLE_RATE < 1.5
    fall = heard[: last + 1][-882:]
    assert np.abs(fall[:300]).max() > 2 * np.abs(fall[-300:]).max() > 0


@pytest.mark.sound
def test_the_streamed_drone_begins_softly_and_goes_on_under_and_after_a_cue(null_sink, stream):
    loop = (0.1 * np.sin(2 * np.pi * 220 * np.arange(SAMPLE_RATE) / SAMPLE_RATE)).astype("f4")
    recorded: list[np.ndarray] = []

    def act() -> None:
        if recorded:  # what sounded before fades
            stream.set_drone(None)
            time.sleep(0.8)
        with null_sink.recording() as recording:
            stream.set_drone(loop)
            time.sleep(1.6)
            assert stream.play(blocks(tone(440, 0.3)), frames=int(0.3 * SAMPLE_RATE)).wait(3)
            time.sleep(0.5)
            recorded.append(recording.samples)

    unhurried(stream, act)
    heard = recorded[-1]
    first = sounding(heard, above=1e-4)[0]
    assert np.abs(heard[first : first + 4410]).max() < 0.02
    assert off_the_sine(heard[-15_000:], 220) < 1e-4
    full = heard[first + int(1.3 * SAMPLE_RATE) :]
    assert min(np.abs(part).max() for part in np.array_split(full, len(full) // 441)) > 0.09


@pytest.mark.sound
def test_stream_outlives_its_sound_server(null_sink, stream):
    long = tone(440, 60.0)
    stream.play(blocks(long), frames=len(long))
    time.sleep(0.3)
    null_sink.kill()
    until(lambda: stream.trouble)
    assert "gone away" in stream.trouble
    short = stream.play(blocks(tone(440, 0.3)), frames=int(0.3 * SAMPLE_RATE))
    assert short.wait(2.0), "a cue without a device must end too"
    null_sink.start()
    until(lambda: stream.trouble is None)
    heard = heard_whole(null_sink, stream, tone(440, 0.6)).samples
    first, last = sounding(heard)
    assert abs(1200 * np.log2(pitch_hz(heard[first + 1000 : last - 1000]) / 440)) < 0.1


@pytest.mark.sound
def test_stream_outlives_a_server_that_hangs(null_sink, stream):
    time.sleep(0.6)
    null_sink.freeze(True)
    try:
        until(lambda: stream.trouble)
        playing = stream.play(blocks(tone(440, 0.3)), frames=int(0.3 * SAMPLE_RATE))
        assert playing.wait(2.0)
    finally:
        null_sink.freeze(False)
    until(lambda: stream.trouble is None)


@pytest.mark.sound
def test_opening_and_closing_streams_leaves_no_thread_and_no_open_file(null_sink):
    StreamSpeaker().close()
    before = len(os.listdir("/proc/self/fd"))
    for _ in range(3):
        speaker = StreamSpeaker()
        speaker.play(itertools.repeat(np.zeros(4096, np.float32)), frames=10**9)
        speaker.close()
        speaker.close()
    assert our_threads() == []
    assert len(os.listdir("/proc/self/fd")) == before


@pytest.mark.sound
def test_a_cue_that_cannot_be_made_is_told_and_ends(null_sink, stream):
    def failing() -> Iterator[np.ndarray]:
        yield tone(440, 0.1)
        raise ZeroDivisionError("inner words")

    playing = stream.play(failing(), frames=SAMPLE_RATE)
    assert playing.wait(2.0)
    assert "could not be made" in stream.trouble
    assert "inner words" not in stream.trouble
    stream.play(blocks(tone(440, 0.1)), frames=4410)
    assert stream.trouble is None


PLAYER_SCRIPT = """
import sys, time
import numpy as np
from audio.speakers import open_speaker
from tests.audio.test_speakers import blocks, tone
speaker = open_speaker("player")
speaker.set_drone(np.tile(tone(220, 1.0, 0.05), 2))
time.sleep(1.6)
cue = tone(440, 1.0)
playing = speaker.play(blocks(cue), frames=len(cue))
assert not playing.ended
assert playing.wait(5.0)
print(time.monotonic(), playing.ends_at, speaker.trouble)
playing = speaker.play(blocks(tone(440, 9.0)), frames=9 * 44100)
time.sleep(0.3)
speaker.stop()
assert playing.wait(0.5)
speaker.close()
speaker.close()
import threading
print([thread.name for thread in threading.enumerate()])
"""


def python(script: str, **variables: str) -> subprocess.CompletedProcess[str]:
    """Run in a new interpreter, for the app's toolkit opens its device once and for all."""
    root = str(Path(__file__).parents[2])
    environment = {**os.environ, "PYTHONPATH": root, "PYTHONWARNINGS": "error", **variables}
    return subprocess.run(
        [sys.executable, "-c", script],
        env=environment,
        cwd=root,
        capture_output=True,
        text=True,
        timeout=60,
    )


@pytest.mark.sound
def test_the_apps_player_is_heard_with_its_drone(null_sink, tmp_path):
    with null_sink.recording() as recording:
        ran = python(PLAYER_SCRIPT, KIVY_HOME=str(tmp_path))
        heard = recording.samples
    assert ran.returncode == 0, ran.stderr
    assert ran.stderr == ""
    said = ran.stdout.splitlines()
    assert said[0].endswith("None")
    assert said[1] == "['MainThread']"
    first, _ = sounding(heard, above=0.15)
    steady = heard[first + 4410 : first + 4410 + 30_000]
    assert abs(1200 * np.log2(pitch_hz(steady) / 440)) < 0.1
    drone_from = sounding(heard, above=1e-3)[0]
    before = heard[drone_from : first - 441]
    assert len(before) > SAMPLE_RATE, "the drone sounds before the cue"
    assert np.abs(before[:4410]).max() < 0.2 * np.abs(before).max(), "from a soft start"
    spectrum = np.abs(np.fft.rfft(steady * np.hanning(len(steady))))
    line = round(220 * len(steady) / SAMPLE_RATE)
    assert spectrum[line - 2 : line + 3].max() > 20 * np.median(spectrum), "and under the cue"


NO_DEVICE = {"PULSE_SERVER": "unix:/nowhere", "SDL_AUDIODRIVER": "pulseaudio"}


def test_without_a_device_named_speakers_say_what_to_do_and_auto_keeps_time(tmp_path):
    ran = python(
        """
from audio.errors import SpeakerError
from audio.speakers import choices, open_speaker
for name in ("stream", "player"):
    try:
        open_speaker(name)
    except SpeakerError as error:
        print(error)
print(open_speaker().name)
print([choice.why_not for choice in choices() if choice.name == "stream"][0])
""",
        KIVY_HOME=str(tmp_path),
        **NO_DEVICE,
    )
    assert ran.returncode == 0, ran.stderr
    assert ran.stderr == ""
    stream, player, auto, why_not = ran.stdout.splitlines()
    assert "Connect headphones" in stream
    assert "Connect headphones" in player
    assert auto == "silence"
    assert why_not == stream
    for message in (stream, player):
        assert not [word for word in LIBRARY_WORDS if word in message]


def test_each_choice_has_a_title_and_a_reason_when_it_is_not_to_be_had():
    offered = choices()
    assert [choice.name for choice in offered] == NAMES
    for choice in offered:
        assert choice.title
        assert choice.available == (choice.why_not is None)
    by_name = {choice.name: choice for choice in offered}
    assert by_name["wav"].available
    assert by_name["silence"].available


@pytest.mark.sound
def test_with_a_device_auto_is_the_stream_and_the_stream_is_offered(null_sink):
    assert {choice.name: choice.available for choice in choices()}["stream"]
    with open_speaker() as speaker:
        assert speaker.name == "stream"


def test_an_unsafe_version_of_python_never_loads_simpleaudio(monkeypatch):
    monkeypatch.setattr(sys, "version_info", (3, 13, 0, "final", 0))
    by_name = {choice.name: choice for choice in choices()}
    assert by_name["simpleaudio"].why_not == (
        "simpleaudio crashes on this version of Python; choose another way."
    )
    with pytest.raises(SpeakerError, match="crashes on this version of Python; choose another way"):
        open_speaker("simpleaudio")
    assert "simpleaudio" not in sys.modules


def test_a_name_that_is_none_of_ours_is_answered_with_those_that_are():
    with pytest.raises(SpeakerError, match="no speaker named 'trumpet'; choose one of auto,"):
        open_speaker("trumpet")


def test_files_are_numbered_and_go_on_after_those_that_are_there(tmp_path):
    for expected in ("cue-0001.wav", "cue-0002.wav"):
        speaker = open_speaker("wav", wav_folder=tmp_path / "new")
        samples = tone(440, 0.5)
        playing = speaker.play(blocks(samples), frames=len(samples))
        assert playing.ended
        assert playing.path == tmp_path / "new" / expected
        assert np.abs(read_wav(playing.path) - samples).max() < 1e-4
        speaker.close()


def test_a_file_holds_the_drone_under_the_cue_faded_at_both_ends(tmp_path):
    speaker = open_speaker("wav", wav_folder=tmp_path)
    loop = (0.1 * np.sin(2 * np.pi * 220 * np.arange(SAMPLE_RATE) / SAMPLE_RATE)).astype(np.float32)
    speaker.set_drone(loop)
    silence = np.zeros(3 * SAMPLE_RATE, np.float32)
    playing = speaker.play(blocks(silence), frames=len(silence))
    heard = read_wav(playing.path)
    assert len(heard) == len(silence) + DRONE_CHANGE_FRAMES
    assert np.abs(heard[:4410]).max() < 0.005
    assert np.abs(heard[-200:]).max() < 0.005
    assert np.abs(heard[2 * SAMPLE_RATE : 3 * SAMPLE_RATE] - loop).max() < 1e-4
    assert np.abs(np.diff(heard)).max() < 0.1 * 2 * np.pi * 220 / SAMPLE_RATE * 1.1


def test_files_follow_the_volume(tmp_path):
    speaker = open_speaker("wav", wav_folder=tmp_path)
    speaker.volume_db = -20
    playing = speaker.play([tone(440, 0.5)], frames=SAMPLE_RATE // 2)
    assert np.abs(read_wav(playing.path) - 0.1 * tone(440, 0.5)).max() < 1e-4


def test_a_folder_that_cannot_be_written_is_told(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(SpeakerError, match="choose another folder"):
        open_speaker("wav", wav_folder=tmp_path / "file" / "in")
    with pytest.raises(SpeakerError, match="need a folder"):
        open_speaker("wav")


def test_a_failed_cue_leaves_no_file_and_a_message(tmp_path):
    def failing() -> Iterator[np.ndarray]:
        yield tone(440, 0.1)
        raise ZeroDivisionError("inner words")

    speaker = open_speaker("wav", wav_folder=tmp_path)
    playing = speaker.play(failing(), frames=SAMPLE_RATE)
    assert playing.ended
    assert playing.path is None
    assert "could not be made" in speaker.trouble
    assert list(tmp_path.iterdir()) == []


def test_silence_takes_the_time_that_the_sound_would_have_taken():
    with open_speaker("silence") as speaker:
        start = time.monotonic()
        playing = speaker.play([], frames=SAMPLE_RATE // 5)
        assert not playing.ended
        assert not playing.wait(0.01)
        assert playing.wait(5)
        assert time.monotonic() - start >= 0.2
        assert playing.ends_at == pytest.approx(start + 0.2, abs=0.05)


def test_a_silent_cue_that_is_stopped_or_replaced_has_ended():
    with open_speaker("silence") as speaker:
        first = speaker.play([], frames=10**7)
        second = speaker.play([], frames=10**7)
        assert first.ended
        speaker.stop()
        assert second.ended


@pytest.mark.parametrize("name", ["wav", "silence"])
def test_no_speaker_goes_above_zero_decibels(name, tmp_path):
    with open_speaker(name, wav_folder=tmp_path) as speaker:
        speaker.volume_db = 12
        assert speaker.volume_db == 0
        speaker.volume_db = -6.5
        assert speaker.volume_db == -6.5
        with pytest.raises(ValueError, match="0 or below: given nan"):
            speaker.volume_db = float("nan")


def test_the_turns_of_a_drones_file_join_without_a_seam():
    loop = (0.1 * np.sin(2 * np.pi * 220 * np.arange(3 * SAMPLE_RATE) / SAMPLE_RATE)).astype("f4")
    sound, step_s = drone_turn(loop)
    step = round(step_s * SAMPLE_RATE)
    assert step % len(loop) == 0
    joined = np.zeros(step + len(sound), np.float32)
    joined[: len(sound)] += sound
    joined[step:] += sound
    fade = round(DRONE_FADE_S * SAMPLE_RATE)
    assert np.abs(joined[fade : step + fade] - np.resize(loop, step + fade)[fade:]).max() < 1e-6


def test_a_timeline_sees_through_late_fetches_and_begins_anew_after_a_gap():
    timeline = Timeline()
    random = np.random.default_rng(3)
    for turn in range(200):
        late_s = float(random.exponential(0.004))
        timeline.note(turn * 882, 100 + turn * 0.02 + late_s, 0.02)
    assert timeline.leaves(SAMPLE_RATE, 0.0) == pytest.approx(101.02, abs=0.004)
    timeline.note(200 * 882, 150.0, 0.02)
    assert timeline.leaves(200 * 882, 0.0) == pytest.approx(150.02)
