"""Recordings brought in: of every kind and form the same sound, at one level, or a plain refusal.

Files are made and read by libsndfile (soundfile), loudness is measured by pyloudnorm, peaks and
rates by SciPy: none of them is ours.
"""

from __future__ import annotations

import hashlib
import io
import os
import random
import struct
import wave
from pathlib import Path

import numpy as np
import pyloudnorm
import pytest
import scipy.signal
import soundfile
from hypothesis import given, settings
from hypothesis import strategies as st

from audio import packed
from audio.errors import RecordingError
from audio.format import SAMPLE_RATE
from audio.recorded import RECORDING_PEAK_DBTP
from audio.recordings import (
    LARGEST_BYTES,
    LONGEST_S,
    SHORTEST_S,
    bring_in,
    check_recording,
    seconds_of,
)
from audio.resampling import PASSES_TO, resampled
from tests.audio.made import FORMS, PACKED, pluck, write
from tests.audio.meters import cents_between, fft_pitch, peak_dbtp

RATES = (44_100, 48_000, 22_050, 96_000, 8_000, 44_101)
HARMFUL = Path(__file__).with_name("harmful.ogg")
"""Made by changing bytes of a good file; the decoder that miniaudio has writes where it must not
and is ended by the system (seen with miniaudio 1.71)."""


def heard(path: Path) -> np.ndarray:
    samples, rate_hz = soundfile.read(path, always_2d=True)
    assert rate_hz == SAMPLE_RATE
    return samples.mean(axis=1)


def lufs(samples: np.ndarray) -> float:
    return pyloudnorm.Meter(SAMPLE_RATE, filter_class="DeMan").integrated_loudness(samples)


def refused(path: Path, words: str, folder: Path) -> None:
    with pytest.raises(RecordingError, match=words) as caught:
        bring_in(path, folder)
    assert str(caught.value).startswith(f"{path.name}: ")
    assert not folder.exists() or list(folder.iterdir()) == []


CASES = [
    (form, RATES[(index + shift) % 6 if form != "MPEG_LAYER_III" else shift], channels)
    for index, form in enumerate(FORMS)
    for shift, channels in ((0, 1), (1, 2), (3, 4))
    if not (form in PACKED and channels == 4)
]


@pytest.mark.parametrize(("form", "rate_hz", "channels"), CASES)
def test_pitch_level_and_form_are_right_whatever_it_was(form, rate_hz, channels, tmp_path):
    gains = np.array([1.0, 0.5, 0.8, 0.2])[:channels]
    source = write(tmp_path / "Rāga No 1", np.outer(pluck(rate_hz), gains), rate_hz, form)
    name = bring_in(source, tmp_path / "in")
    kept = tmp_path / "in" / name
    assert name == f"raga-no-1-{hashlib.sha256(kept.read_bytes()).hexdigest()[:16]}.wav"
    told = soundfile.info(kept)
    assert (told.format, told.subtype, told.samplerate) == ("WAV", "PCM_16", 44_100)
    assert told.channels == (channels if channels <= 2 else 1)
    with wave.open(str(kept)) as file:  # the standard library reads it, as a tablet does
        assert file.getnframes() == told.frames
    assert check_recording(kept) == seconds_of(kept) == told.frames / SAMPLE_RATE
    assert kept.stat().st_size == 44 + told.frames * 2 * told.channels
    sound = heard(kept)
    assert lufs(sound) == pytest.approx(-23.0, abs=0.1)
    assert abs(cents_between(fft_pitch(sound, 440.0), 440.0)) < 1.0
    # 8 bits have noise at -50 dB, in which the end is lost.
    assert (1.0 if form == "PCM_U8" else 1.4) < told.frames / SAMPLE_RATE < 1.6


def test_the_two_channels_stay_what_they_were_to_each_other(tmp_path):
    sound = np.c_[pluck(), 0.5 * np.roll(pluck(hz=550.0), 100)]
    name = bring_in(write(tmp_path / "a", sound, 44_100, "FLOAT"), tmp_path / "in")
    left, right = soundfile.read(tmp_path / "in" / name)[0].T
    assert 20 * np.log10(np.std(left) / np.std(right)) == pytest.approx(6.02, abs=0.1)
    assert abs(cents_between(fft_pitch(right, 550.0), 550.0)) < 1.0


@pytest.mark.parametrize("rate_hz", [96_000, 48_000, 192_000, 44_101])
def test_what_lies_above_does_not_come_back_and_what_lies_below_does_not_change(rate_hz):
    t = np.arange(rate_hz) / rate_hz
    soft = scipy.signal.windows.tukey(rate_hz, 0.2)

    def level_db(hz):
        found = resampled((soft * np.sin(2 * np.pi * hz * t))[:, None], rate_hz)[:, 0]
        return 10 * np.log10(np.mean(found**2) / (0.5 * np.mean(soft**2)))

    below = [level_db(hz) for hz in (20.0, 1_000.0, 10_000.0, 19_900.0)]
    assert np.abs(below).max() < 0.01
    above = [hz for hz in (22_150.0, 23_500.0, 30_000.0, 47_000.0) if hz < rate_hz / 2]
    assert all(level_db(hz) < -120 for hz in above)  # -80 dB is asked for


@pytest.mark.parametrize("rate_hz", [8_000, 22_050])
def test_a_lower_rate_gets_no_images_above_what_it_held(rate_hz):
    t = np.arange(rate_hz) / rate_hz
    sound = scipy.signal.windows.tukey(rate_hz, 0.2) * np.sin(2 * np.pi * 0.4 * rate_hz * t)
    found = resampled(sound[:, None], rate_hz)[:, 0]
    power = np.abs(np.fft.rfft(found * np.blackman(len(found)))) ** 2
    hz = np.fft.rfftfreq(len(found), 1 / SAMPLE_RATE)
    assert power[hz > 0.55 * rate_hz].sum() < 1e-10 * power.sum()


def test_rates_change_as_scipy_changes_them():
    sound = np.random.default_rng(3).normal(0, 0.1, 48_000)
    band = scipy.signal.firwin(401, 15_000, fs=48_000)
    sound = scipy.signal.fftconvolve(sound * scipy.signal.windows.tukey(48_000), band, "same")
    ours = resampled(sound[:, None], 48_000)[:, 0]
    theirs = scipy.signal.resample_poly(sound, 147, 160, window=("kaiser", 14.0))
    assert PASSES_TO > 15_000 / 22_050
    assert len(ours) == len(theirs)
    assert np.abs(ours - theirs).max() < 1e-3 * np.abs(theirs).max()


@pytest.mark.parametrize("room_db", [None, -55.0, -46.0])
@pytest.mark.parametrize("rate_hz", [44_100, 48_000])
def test_silence_goes_and_the_attack_stays(room_db, rate_hz, tmp_path):
    sound = pluck(rate_hz, silent_s=1.0)
    t = np.arange(len(sound)) / rate_hz - 1.0
    sound[t > 0] = 0.3 * (np.exp(-2 * t) * np.cos(2 * np.pi * 440 * t))[t > 0]
    sound[t > 1.5] = 0.0
    if room_db is not None:
        noise = np.random.default_rng(2).normal(0, 1, len(sound))
        sound += noise * 0.15 * 10 ** (room_db / 20)
    name = bring_in(write(tmp_path / "a", sound, rate_hz, "PCM_24"), tmp_path / "in")
    found = heard(tmp_path / "in" / name)
    peak = np.abs(found).max()
    onset_s = np.argmax(np.abs(found) > 0.5 * peak) / SAMPLE_RATE
    assert 0.002 < onset_s < 0.006
    # The first quarter of a wave is as high as it was: the fade is over before it.
    first = np.abs(found[round(onset_s * SAMPLE_RATE) :][:40]).max()
    assert first > 0.93 * peak
    # What there was at the beginning is soft now, and the edges meet silence.
    assert np.abs(found[:10]).max() < 0.002 * peak
    assert np.abs(found[-5:]).max() < 0.01 * peak
    assert len(found) / SAMPLE_RATE < 1.55


def test_a_sound_that_begins_at_once_keeps_its_beginning(tmp_path):
    sound = pluck(silent_s=0.0, seconds=0.5)
    name = bring_in(write(tmp_path / "a", sound, 44_100, "PCM_16"), tmp_path / "in")
    found = heard(tmp_path / "in" / name)
    scale = found[100:5000] @ sound[100:5000] / (sound[100:5000] @ sound[100:5000])
    assert np.abs(found[45:5000] - scale * sound[45:5000]).max() < 1e-3
    assert np.abs(found[:3]).max() < 1e-3


def test_what_was_offset_is_level_again(tmp_path):
    name = bring_in(write(tmp_path / "a", pluck() + 0.4, 44_100, "PCM_16"), tmp_path / "in")
    found = heard(tmp_path / "in" / name)
    assert abs(found.mean()) < 1e-3
    assert len(found) / SAMPLE_RATE < 1.6
    assert lufs(found) == pytest.approx(-23.0, abs=0.1)


def test_high_peaks_make_it_softer_and_are_never_clipped(tmp_path):
    sound = np.zeros(3 * 44_100)
    sound[4_410::8_820] = 0.9
    sound[4_411::8_820] = -0.9
    name = bring_in(write(tmp_path / "a", sound, 44_100, "FLOAT"), tmp_path / "in")
    found = heard(tmp_path / "in" / name)
    assert peak_dbtp(found) == pytest.approx(RECORDING_PEAK_DBTP, abs=0.2)
    assert lufs(found) < -24


def test_the_same_recording_again_changes_nothing(tmp_path):
    folder = tmp_path / "in"
    source = write(tmp_path / "a", pluck(), 48_000, "FLAC")
    name = bring_in(source, folder)
    kept = folder / name
    os.utime(kept, (1, 1))
    assert bring_in(source, folder) == name
    assert bring_in(kept, folder) == name
    assert kept.stat().st_mtime == 1
    assert bring_in(kept, tmp_path / "other") == name
    assert (tmp_path / "other" / name).read_bytes() == kept.read_bytes()
    assert [path.name for path in folder.iterdir()] == [name]
    # A kept file that was damaged is made whole; one that was worked on gets a name of its own.
    whole = kept.read_bytes()
    kept.write_bytes(whole[:-100])
    assert bring_in(source, folder) == name
    assert kept.read_bytes() == whole
    changed = tmp_path / name
    soundfile.write(changed, 0.5 * heard(kept)[::-1], 44_100)
    again = bring_in(changed, folder)
    assert again != name
    assert again.startswith("a-")
    assert len(again) == len(name)


@pytest.mark.parametrize(
    ("name", "stem"),
    [
        ("Tīn tāl, 2nd.WAV", "tin-tal-2nd"),
        ("CON.wav", "con"),
        ("आलाप.wav", "recording"),
        ("आलाप", "recording"),
        ("a" * 90 + ".wav", "a" * 40),
        (".wav", "wav"),
        ("--.a b--.wav", "a-b"),
    ],
)
def test_names_are_plain(name, stem, tmp_path):
    made = write(tmp_path / "made", pluck(seconds=0.2), 8_000, "PCM_16")
    source = tmp_path / "from" / name
    source.parent.mkdir()
    made.rename(source)
    assert bring_in(source, tmp_path / "in")[:-21] == stem


def wav(fmt: bytes, data: bytes, *, declared: int | None = None, before: bytes = b"") -> bytes:
    size = len(data) if declared is None else declared
    body = b"WAVE" + before + b"fmt " + struct.pack("<I", len(fmt)) + fmt
    body += b"data" + struct.pack("<I", size & 0xFFFF_FFFF) + data
    return b"RIFF" + struct.pack("<I", (len(body) + size) & 0xFFFF_FFFF) + body


def plain(*, code=1, channels=1, rate=44_100, bits=16) -> bytes:
    width = channels * -(-bits // 8)
    return struct.pack("<HHIIHH", code, channels, rate & 0xFFFF_FFFF, 0, width, bits)


SOUND = (pluck(seconds=0.3, silent_s=0.01) * 32767).astype("<i2").tobytes()
OPPOSED = np.outer(np.frombuffer(SOUND, "<i2"), [1, -1]).astype("<i2").tobytes()
FLOATS = pluck(seconds=0.3).astype("<f4")


def with_value(value: float) -> bytes:
    samples = FLOATS.copy()
    samples[20_000] = value
    return wav(plain(code=3, bits=32), samples.tobytes())


HOUR = 3600 * 44_100
STREAMINFO = bytes(10) + (44_100 << 44 | 15 << 36 | 9 * HOUR).to_bytes(8, "big") + bytes(16)
"""RFC 9639, 8.2: 44.1 kHz, one channel, 16 bits, nine hours."""
FLAC_OF_HOURS = b"fLaC\x80\0\0\x22" + STREAMINFO

REFUSED = {
    "nothing": (b"", "is empty: choose a recording with sound in it"),
    "no sound": (wav(plain(), b""), "is empty"),
    "text": (b"S R G m " * 99, "neither WAV nor FLAC, MP3 or Ogg Vorbis: save it as WAV"),
    "only a header": (wav(plain(), b"")[:36], "WAV file without sound in it: save it as WAV"),
    "silence": (wav(plain(), bytes(88_200)), "is silent: choose"),
    "offset alone": (wav(plain(), b"\x00\x20" * 44_100), "is silent: choose"),
    "hiss": (wav(plain(), b"\0\0\5\0\0\0\xfb\xff" * 9_999), "mostly be hiss: record it nearer"),
    "not a number": (with_value(np.nan), "numbers that are no sound, near 0.00 s: save it as WAV"),
    "infinite": (with_value(-np.inf), "numbers that are no sound"),
    "huge": (with_value(1e30), "numbers that are no sound"),
    "cut short": (wav(plain(), SOUND[:-5_000], declared=len(SOUND)), "11612 of 14112 samples"),
    "hours": (wav(plain(), SOUND, declared=2 * HOUR), "more than 60 s.* at most 30 s: cut out"),
    "hours of FLAC": (FLAC_OF_HOURS, "more than 60 s, and a recording lasts at most 30 s"),
    "too short": (wav(plain(), b"\0\0" * 4_000 + b"\xff\x3f\1\xc0" * 50 + bytes(8_000)), "ms only"),
    "packed WAV": (wav(plain(code=0x55), SOUND), "another kind .*0x0055.*: save it as WAV"),
    "no channel": (wav(plain(channels=0), SOUND), "damaged header: save it"),
    "many channels": (wav(plain(channels=99), SOUND), "99 channels, and 1 to 8 can be read"),
    "a low rate": (wav(plain(rate=50), SOUND), "50 samples a second.*: save it with 44100"),
    "a high rate": (wav(plain(rate=-1), SOUND), "4294967295 samples a second"),
    "cancelling": (wav(plain(channels=2), OPPOSED), "cancel each other.*: save one of them"),
    "endless chunks": (b"RIFF\0\0\0\0WAVE" + b"JUNK\0\0\0\0" * 99_999, "without sound in it"),
    "Opus": (b"OggS\0\2" + bytes(20) + b"\1\x13OpusHead" + bytes(99), "not Vorbis: save it as WAV"),
}  # fmt: skip


@pytest.mark.parametrize("what", REFUSED)
def test_what_cannot_be_used_is_refused_with_what_to_do(what, tmp_path):
    content, words = REFUSED[what]
    path = tmp_path / "mine.wav"
    path.write_bytes(content)
    refused(path, words, tmp_path / "in")


def test_what_is_too_long_is_told_and_never_cut(tmp_path):
    sound = np.tile(pluck(8_000, seconds=1.0, silent_s=0.0), 31)
    path = write(tmp_path / "long", sound, 8_000, "PCM_16")
    refused(path, r"lasts 31.0 s without the silence around it, .* at most 30 s", tmp_path / "in")
    silence = np.zeros(8_000)
    kept = np.concatenate([*[silence] * 9, sound[: 8_000 * 29], *[silence] * 9])
    name = bring_in(write(tmp_path / "fits", kept, 8_000, "PCM_16"), tmp_path / "in")
    assert seconds_of(tmp_path / "in" / name) == pytest.approx(29.0, abs=0.1)


def test_a_file_too_large_is_refused_unread(tmp_path):
    path = tmp_path / "large.wav"
    with path.open("wb") as file:
        file.truncate(LARGEST_BYTES + 1)
    refused(path, "has 64 MB, and 64 are allowed", tmp_path / "in")
    refused(tmp_path, "is no file: choose a recording", tmp_path / "in")
    refused(tmp_path / "gone.wav", "cannot be read .*: see that it is there", tmp_path / "in")


def test_what_a_file_is_its_content_says(tmp_path):
    source = write(tmp_path / "a", pluck(), 44_100, "FLAC").rename(tmp_path / "a.mp3")
    assert seconds_of(tmp_path / "in" / bring_in(source, tmp_path / "in")) > 1.4


def test_hours_in_a_few_bytes_are_unpacked_no_further_than_need_be(tmp_path):
    # An MP3's frames stand for themselves: those of a second, again and again, make an hour.
    second = write(tmp_path / "a", np.tile(pluck(8_000), 2), 8_000, "MPEG_LAYER_III").read_bytes()
    path = tmp_path / "hours.mp3"
    path.write_bytes(second[second.index(b"\xff\xe3", 4) :] * 800)
    header = packed.packed_in(path.read_bytes(), path.name)
    assert header is not None
    assert header.frames is None
    pieces = packed.pieces(path, header, most_frames=480_001)
    assert sum(len(piece) for piece in pieces) == 480_001
    refused(path, "more than 60 s", tmp_path / "in")


def test_a_file_that_harms_the_decoder_harms_nothing_else(tmp_path):
    path = tmp_path / "a.ogg"
    path.write_bytes(HARMFUL.read_bytes())
    refused(path, "is damaged and cannot be read: save it as WAV", tmp_path / "in")


@pytest.mark.parametrize("lacking", ["library", "interpreter", "library there"])
def test_where_nothing_can_be_unpacked_wav_still_can(lacking, tmp_path, monkeypatch):
    if lacking == "library":
        monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    elif lacking == "interpreter":
        monkeypatch.setattr("sys.executable", str(tmp_path / "python"))
    else:
        (tmp_path / "miniaudio.py").write_text("raise ImportError")
        monkeypatch.setenv("PYTHONPATH", str(tmp_path))
    packed_file = write(tmp_path / "a", pluck(), 44_100, "VORBIS")
    words = (
        "is Ogg Vorbis, and this device can take in WAV only: save it as WAV.*or bring it in at a "
        "desk"
    )
    refused(packed_file, words, tmp_path / "in")
    assert bring_in(write(tmp_path / "a", pluck(), 44_100, "PCM_24"), tmp_path / "in")


def test_extensible_headers_and_odd_chunks_are_read(tmp_path):
    guid = struct.pack("<HHIH", 22, 16, 4, 1) + bytes.fromhex("000000001000800000aa00389b71")
    path = tmp_path / "a.wav"
    odd = b"LIST\3\0\0\0abc\0"
    path.write_bytes(wav(plain(code=0xFFFE) + guid, SOUND, before=odd) + odd)
    first = heard(tmp_path / bring_in(path, tmp_path))
    path.write_bytes(wav(plain(), SOUND, declared=-1))  # as a program writes it into a pipe
    assert np.array_equal(first, heard(tmp_path / bring_in(path, tmp_path)))


def test_a_full_disk_is_told(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(RecordingError, match=r"cannot be written to .*: see that there is room"):
        bring_in(write(tmp_path / "a", pluck(), 44_100, "PCM_16"), tmp_path / "file" / "in")


# Recordings that arrive.


@pytest.fixture
def kept(tmp_path):
    source = write(tmp_path / "a", np.c_[pluck(), pluck()], 44_100, "PCM_16")
    return tmp_path / "in" / bring_in(source, tmp_path / "in")


def arriving(path: Path, content: bytes) -> Path:
    digest = hashlib.sha256(content).hexdigest()[:16]
    path = path.with_name(f"b-{digest}.wav")
    path.write_bytes(content)
    return path


def test_what_arrives_is_checked_against_its_name(kept):
    content = kept.read_bytes()
    assert check_recording(arriving(kept, content)) == seconds_of(kept)
    kept.write_bytes(content[:-1] + b"\1")
    with pytest.raises(RecordingError, match=r"other sound than its name says \(it would be a-"):
        check_recording(kept)
    for name in ("A-0123456789abcdef.wav", "alap.wav", f"{'a' * 41}-0123456789abcdef.wav"):
        path = kept.with_name(name)
        path.write_bytes(content)
        with pytest.raises(RecordingError, match="is no name of a recording, such as alap-0123"):
            check_recording(path)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda content: content + b"\0", "not a recording as Kaan keeps them"),
        (lambda content: content[:-4], "not a recording as Kaan keeps them"),
        (lambda content: content[:40], "not a recording as Kaan keeps them"),
        (lambda content: wav(plain(rate=48_000), SOUND), "not a recording as Kaan keeps them"),
        (lambda content: wav_at(np.zeros(int(SHORTEST_S * SAMPLE_RATE) - 9)), "lasts 0.05 s"),
        (lambda content: wav_at(np.zeros(int(LONGEST_S * SAMPLE_RATE) + 1)), "lasts 30.00 s"),
        # Too loud with peaks that may be, and too high though soft.
        (lambda content: wav_at(0.25 * np.sin(np.arange(SAMPLE_RATE) / 20)), "is not levelled"),
        (lambda content: wav_at(np.where(np.arange(SAMPLE_RATE) == 9_000, 0.95, 0.0)), "is not le"),
    ],
)
def test_what_arrives_in_another_form_is_refused(change, words, kept):
    path = arriving(kept, change(kept.read_bytes()))
    with pytest.raises(RecordingError, match=f"{words}.*: bring the original in again"):
        check_recording(path)


def wav_at(samples: np.ndarray) -> bytes:
    """A file of the very form, as the standard library writes it."""
    whole = io.BytesIO()
    with wave.open(whole, "wb") as file:
        file.setparams((1, 2, SAMPLE_RATE, 0, "NONE", ""))
        file.writeframes((samples * 32767).astype("<i2").tobytes())
    return whole.getvalue()


# Broken files: read or refused, nothing else.

WAVS = [wav(plain(), SOUND), with_value(0.0), wav(plain(bits=24, channels=2), SOUND[:-2])]


@settings(max_examples=120)
@given(
    which=st.integers(0, 2),
    length=st.integers(0, 60_000),
    flips=st.lists(st.tuples(st.integers(0, 60), st.integers(0, 255)), max_size=4),
)
def test_a_broken_wav_is_read_or_refused(which, length, flips, tmp_path_factory):
    content = bytearray(WAVS[which][:length] if length < 50_000 else WAVS[which])
    for at, value in flips:
        if at < len(content):
            content[at] = value
    folder = tmp_path_factory.mktemp("broken")
    path = folder / "a.wav"
    path.write_bytes(content)
    try:
        name = bring_in(path, folder / "in")
    except RecordingError:
        return
    assert check_recording(folder / "in" / name)


@pytest.mark.parametrize("form", PACKED)
def test_a_broken_packed_file_is_read_or_refused(form, tmp_path):
    content = write(tmp_path / "a", pluck(seconds=0.3), 44_100, form).read_bytes()
    draw = random.Random(5)
    for number in range(5):
        broken = bytearray(content)
        for _ in range(draw.choice((1, 4, 16))):
            broken[draw.randrange(40 if number < 2 else len(broken))] = draw.randrange(256)
        if number == 4:
            del broken[draw.randrange(len(broken)) :]
        path = tmp_path / "broken"
        path.write_bytes(broken)
        try:
            name = bring_in(path, tmp_path / "in")
        except RecordingError:
            continue
        assert check_recording(tmp_path / "in" / name)
