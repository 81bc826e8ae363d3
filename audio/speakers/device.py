"""The system's sound device, opened by miniaudio."""

from __future__ import annotations

import contextlib
import logging
import threading
from collections.abc import Callable, Generator
from typing import Any

import miniaudio

from audio.errors import SpeakerError
from audio.feeder import Samples
from audio.format import SAMPLE_RATE
from audio.speakers.hush import hush_alsa
from words import to_say

LOG = logging.getLogger(__name__)

NO_DEVICE = to_say(
    "No sound device answers. Connect headphones or a loudspeaker and see that the computer "
    "itself has sound, then try again."
)

# A device that plays into nowhere must not pass for one that sounds.
BACKENDS = [
    getattr(miniaudio.Backend, name)
    for name in (
        *("WASAPI", "DSOUND", "WINMM", "COREAUDIO", "PULSEAUDIO", "ALSA", "JACK"),
        *("SNDIO", "AUDIO4", "OSS", "AAUDIO", "OPENSL"),
    )
    if hasattr(miniaudio.Backend, name)
]


class _Playback(miniaudio.PlaybackDevice):  # type: ignore[misc]
    """A device that also frees its connection to the sound server, which the library keeps."""

    _ours: Any = None

    def _make_context(self, *arguments: Any) -> Any:
        self._ours = super()._make_context(*arguments)
        return self._ours

    def close(self) -> None:
        super().close()
        context, self._ours = self._ours, None
        if context is not None:
            miniaudio.lib.ma_context_uninit(context)


class Device:
    """An open device that fetches blocks by `fetch(frames)`, in a thread of the system's.

    `lost` is set when the system says that the device has stopped. Raises SpeakerError if none can
    be opened. Opening and closing can hang if the sound server hangs.
    """

    def __init__(self, fetch: Callable[[int], Samples], *, buffer_ms: int) -> None:
        hush_alsa()
        self.lost = threading.Event()
        self._fetch = fetch
        try:
            self._device = _Playback(
                output_format=miniaudio.SampleFormat.FLOAT32,
                nchannels=1,
                sample_rate=SAMPLE_RATE,
                buffersize_msec=buffer_ms,
                backends=BACKENDS,
                app_name="Kaan",
            )
            self._device.stop_callback = self.lost.set
            feed = self._feed()
            next(feed)
            self._device.start(feed)
        except miniaudio.MiniaudioError as error:
            LOG.info("no device", exc_info=True)
            raise SpeakerError(NO_DEVICE) from error

    def _feed(self) -> Generator[Samples | bytes, int, None]:
        frames = yield b""
        while True:
            frames = yield self._fetch(frames)

    def close(self) -> None:
        """Stop and free the device."""
        with contextlib.suppress(miniaudio.MiniaudioError):
            self._device.close()
