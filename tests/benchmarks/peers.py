"""Other ways to make a plucked note, to measure ours beside: each gives a note as samples."""

from __future__ import annotations

import shutil
import struct
import subprocess
import tempfile
import time
from pathlib import Path

import numpy as np
import scipy.signal

from audio.format import SAMPLE_RATE

SOUND_FONT = Path("/usr/share/sounds/sf2/FluidR3_GM.sf2")
SITAR_PROGRAM = 104
"""General MIDI level 1, program 105 counted from 1."""


def _excitation(hz: float) -> np.ndarray:
    return np.random.RandomState(0).uniform(-1, 1, int(SAMPLE_RATE / hz - 0.5))


def python_string(hz: float, duration_s: float) -> np.ndarray:
    """Karplus & Strong 1983 with the tuning all-pass of Jaffe & Smith 1983, sample by sample."""
    period = SAMPLE_RATE / hz
    line = list(_excitation(hz))
    length = len(line)
    rest = period - 0.5 - length
    slope = (1 - rest) / (1 + rest)
    out = [0.0] * round(duration_s * SAMPLE_RATE)
    before = mean_before = tuned = 0.0
    place = 0
    for n in range(len(out)):
        now = line[place]
        out[n] = now
        mean = 0.4985 * (now + before)
        tuned = slope * (mean - tuned) + mean_before
        before, mean_before = now, mean
        line[place] = tuned
        place = place + 1 if place + 1 < length else 0
    return np.array(out, np.float32)


def lfilter_string(hz: float, duration_s: float) -> np.ndarray:
    """The same loop as one recursive filter of scipy, tuned by a straight-line delay."""
    delay = SAMPLE_RATE / hz - 0.5
    whole = int(delay)
    rest = delay - whole
    loop = 0.4985 * np.convolve([1.0, 1.0], [1 - rest, rest])
    denominator = np.zeros(whole + 4)
    denominator[0] = 1.0
    denominator[whole : whole + 3] -= loop
    source = np.zeros(round(duration_s * SAMPLE_RATE))
    burst = _excitation(hz)
    source[: len(burst)] = burst
    return scipy.signal.lfilter([1.0], denominator, source).astype(np.float32)


def fluidsynth_factor(midi: int) -> float | None:
    """Times faster than real time of FluidSynth without effects, or None where it is not there.

    Notes of 3 s one after the other; the time for loading the sound font is taken out by the
    difference between a long and a short file.
    """
    if shutil.which("fluidsynth") is None or not SOUND_FONT.exists():
        return None
    with tempfile.TemporaryDirectory() as folder:
        took = [
            min(_fluidsynth_s(Path(folder), midi, notes) for _ in range(2)) for notes in (1, 81)
        ]
    return 240.0 / (took[1] - took[0])


def _fluidsynth_s(folder: Path, midi: int, notes: int) -> float:
    file = folder / "notes.mid"
    file.write_bytes(_midi_file(midi, notes))
    command = ["fluidsynth", "-ni", "-R", "0", "-C", "0", "-r", str(SAMPLE_RATE)]
    command += ["-F", str(folder / "out.wav"), str(SOUND_FONT), str(file)]
    start = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    return time.perf_counter() - start


def _midi_file(midi: int, notes: int) -> bytes:
    """Format 0, 500 ticks a beat at 120 beats a minute: 3000 ticks are 3 s."""
    long_wait = bytes([0x97, 0x38])  # 3000 as a variable-length quantity
    events = bytes([0, 0xC0, SITAR_PROGRAM])
    events += (bytes([0, 0x90, midi, 100]) + long_wait + bytes([0x80, midi, 0])) * notes
    events += bytes([0, 0xFF, 0x2F, 0])
    header = struct.pack(">4sIHHH", b"MThd", 6, 0, 1, 500)
    return header + struct.pack(">4sI", b"MTrk", len(events)) + events
