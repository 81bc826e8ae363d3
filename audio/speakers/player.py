"""The player that comes with the app's toolkit: it plays on every device that shows the app.

This is the one module of `audio` that imports Kivy, and only when a speaker is opened. Kivy's
sounds fire nothing after a manual stop, and tell of their end on a thread of their own: neither is
used. Where it plays through SDL, a change of volume is heard in steps of about 90 ms.
"""

from __future__ import annotations

import logging
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from audio.errors import SpeakerError
from audio.speakers.clips import Clip, ClipSpeaker
from audio.speakers.hush import hush_alsa
from words import to_say

NOT_STARTED = to_say("The app's player cannot be started; choose another speaker.")
CANNOT = to_say(
    "The app's player finds no sound device. Connect headphones or a loudspeaker and see that the "
    "computer itself has sound, then try again."
)


@contextmanager
def _guest_manners() -> Iterator[None]:
    """Where no window has loaded Kivy before, keep it from reading our arguments and printing."""
    if "kivy" in sys.modules:
        yield
        return
    manners = {"KIVY_NO_ARGS": "1", "KIVY_NO_FILELOG": "1", "KIVY_LOG_MODE": "PYTHON"}
    before = {name: os.environ.get(name) for name in manners}
    os.environ.update(manners)
    logging.getLogger("kivy").addHandler(logging.NullHandler())
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value


def _loader() -> Any:
    hush_alsa()
    try:
        with _guest_manners():
            from kivy.core.audio import SoundLoader
    except Exception as error:  # Kivy's parts raise errors of many kinds on machines they dislike
        raise SpeakerError(NOT_STARTED) from error
    return SoundLoader


class _PlayerClip(Clip):
    def __init__(self, sound: Any) -> None:
        self._sound = sound

    def play(self, gain: float) -> None:
        self._sound.volume = gain
        self._sound.play()

    def set_gain(self, gain: float) -> None:
        self._sound.volume = gain

    def stop(self) -> None:
        self._sound.stop()
        self._sound.unload()


class PlayerSpeaker(ClipSpeaker):
    """Plays through Kivy's SoundLoader."""

    name = "player"
    latency_s = 0.11
    uneven_s = 0.07
    """Where it plays through SDL, a sound waits for the next of its long blocks, and where it is
    cannot be asked: from 79 to 152 ms were measured, and over 66 ms in another run."""

    def __init__(self) -> None:
        self._sounds = _loader()
        super().__init__()

    def load(self, path: Path) -> Clip:
        try:
            sound = self._sounds.load(str(path))
        except Exception as error:
            raise SpeakerError(CANNOT) from error
        # A sound that could not be loaded is given all the same, with no length.
        if sound is None or not sound.length:
            raise SpeakerError(CANNOT)
        return _PlayerClip(sound)
