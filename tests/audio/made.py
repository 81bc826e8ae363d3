"""Recordings made for tests, as files of any kind, by libsndfile (soundfile), which is not ours."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import soundfile

FORMS = {
    "PCM_U8": "wav",
    "PCM_16": "wav",
    "PCM_24": "wav",
    "PCM_32": "wav",
    "FLOAT": "wav",
    "DOUBLE": "wav",
    "FLAC": "flac",
    "VORBIS": "ogg",
    "MPEG_LAYER_III": "mp3",
}
"""Kinds of samples, by libsndfile's names, and the endings of files that hold them."""
PACKED = ("FLAC", "VORBIS", "MPEG_LAYER_III")


def write(path: Path, samples: np.ndarray, rate_hz: int, form: str) -> Path:
    """Write samples of shape (n, channels) or (n,), and return the path with its ending."""
    path = path.with_suffix(f".{FORMS[form]}")
    subtype = "PCM_16" if form == "FLAC" else form
    soundfile.write(path, samples, rate_hz, subtype=subtype)
    return path


def pluck(
    rate_hz: int = 44_100, *, hz: float = 440.0, seconds: float = 1.5, silent_s: float = 0.4
) -> np.ndarray:
    """A decaying sine between silences, shape (n,)."""
    t = np.arange(round(seconds * rate_hz)) / rate_hz
    silence = np.zeros(round(silent_s * rate_hz))
    return np.concatenate([silence, 0.3 * np.exp(-2 * t) * np.sin(2 * np.pi * hz * t), silence])
