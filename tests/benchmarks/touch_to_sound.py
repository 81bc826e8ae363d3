"""From play() to the first sample at the device, for every speaker of this machine and two peers.

Run by hand: `python tests/benchmarks/touch_to_sound.py [TIMES]`

The device is a private sound server's null sink; the recorder's own few milliseconds are in every
figure alike. Times vary between machines and runs: compare the ratios. Peers, in the same run: a
miniaudio device that is opened anew for each sound, and Kivy's SoundLoader with a sound that is
loaded already, both without a drone, fades or files.
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from audio.errors import SpeakerError
from audio.format import SAMPLE_RATE
from audio.speakers import choices, open_speaker
from audio.speakers.device import Device
from audio.wav import write_wav
from tests.sound_device import NullSink, missing_part, serving

CUE = (0.3 * np.sin(2 * np.pi * 441 * np.arange(SAMPLE_RATE // 5) / SAMPLE_RATE + 1)).astype("f4")
SOUNDING = ("stream", "player", "simpleaudio")

Play = Callable[[], object]


def delays_ms(sink: NullSink, play: Play, times: int) -> list[float]:
    """Milliseconds from the call to the first sample at the monitor; the first warms up."""
    delays = []
    for _ in range(times + 1):
        with sink.recording() as recording:
            time.sleep(0.05 + 0.02 * np.random.default_rng().random())
            start = time.monotonic()
            play()
            time.sleep(0.6)
            place = int(np.argmax(np.abs(recording.samples) > 0.01))
            first = next(moment for moment, count in recording.arrivals if count > place)
        if place:
            delays.append(1000 * (first - start))
    return delays[1:]


@contextmanager
def ours(name: str) -> Iterator[Play]:
    with open_speaker(name) as speaker:
        yield lambda: speaker.play([CUE], frames=len(CUE))


@contextmanager
def opened_per_sound() -> Iterator[Play]:
    opened: list[Device] = []

    def play() -> None:
        place = 0

        def fetch(frames: int) -> np.ndarray:
            nonlocal place
            block = np.zeros(frames, np.float32)
            part = CUE[place : place + frames]
            block[: len(part)] = part
            place += frames
            return block

        while opened:
            opened.pop().close()
        opened.append(Device(fetch, buffer_ms=20))

    yield play
    while opened:
        opened.pop().close()


@contextmanager
def preloaded_sound() -> Iterator[Play]:
    os.environ.update(KIVY_NO_ARGS="1", KIVY_LOG_MODE="PYTHON", KIVY_NO_FILELOG="1")
    from kivy.core.audio import SoundLoader

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "cue.wav"
        write_wav(path, [CUE])
        sound = SoundLoader.load(str(path))
        yield sound.play
        sound.unload()


def main(times: int) -> None:
    missing = missing_part()
    if missing:
        sys.exit(missing)
    with serving() as sink:
        offered = {choice.name: choice for choice in choices()}
        runs = {name: ours(name) for name in SOUNDING if offered[name].available}
        runs["peer: device opened per sound"] = opened_per_sound()
        runs["peer: SoundLoader, preloaded"] = preloaded_sound()
        results: dict[str, list[float]] = {}
        for name, run in runs.items():
            try:
                with run as play:
                    results[name] = delays_ms(sink, play, times)
            except SpeakerError as error:
                print(f"{name}: {error}")
    report(results)
    for name in SOUNDING:
        if not offered[name].available:
            print(f"{name}: {offered[name].why_not}")


def report(results: dict[str, list[float]]) -> None:
    against = statistics.median(results["peer: SoundLoader, preloaded"])
    print(f"{'':32}{'median ms':>10}{'p95 ms':>8}{'heard':>7}{'SoundLoader / this':>20}")
    for name, delays in results.items():
        median, p95 = statistics.median(delays), float(np.percentile(delays, 95))
        print(f"{name:32}{median:10.1f}{p95:8.1f}{len(delays):7}{against / median:20.1f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 20)
