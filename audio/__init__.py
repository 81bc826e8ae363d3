"""What is heard: tuning, score, voices, loudness, speakers. It knows scores, never questions.

`render` is the module that turns a score into sound: `render.render`, `render.blocks`.
"""

from audio import render
from audio.errors import (
    AudioError,
    BolError,
    OrnamentError,
    RecordingError,
    SargamError,
    SpeakerError,
    ThekaError,
    TuningError,
)
from audio.format import BLOCK_FRAMES, SAMPLE_RATE
from audio.score import Breakpoint, Clip, Drone, Score, Stroke, TablaStroke
from audio.tuning import (
    EQUAL,
    JUST,
    SA_HZ_HIGHEST,
    SA_HZ_LOWEST,
    SITAR_SA_HZ,
    SWARAS,
    Swara,
    Tuning,
    hz,
    load_tuning,
    ratio_cents,
)

__all__ = [
    "BLOCK_FRAMES",
    "EQUAL",
    "JUST",
    "SAMPLE_RATE",
    "SA_HZ_HIGHEST",
    "SA_HZ_LOWEST",
    "SITAR_SA_HZ",
    "SWARAS",
    "AudioError",
    "BolError",
    "Breakpoint",
    "Clip",
    "Drone",
    "OrnamentError",
    "RecordingError",
    "SargamError",
    "Score",
    "SpeakerError",
    "Stroke",
    "Swara",
    "TablaStroke",
    "ThekaError",
    "Tuning",
    "TuningError",
    "hz",
    "load_tuning",
    "ratio_cents",
    "render",
]
