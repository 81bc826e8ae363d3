"""Which ways to be heard there are on this machine, and opening one of them."""

from __future__ import annotations

import importlib.util
import logging
import sys
from pathlib import Path

from audio.errors import SpeakerError
from audio.speakers.base import CRASHES, Speaker, SpeakerChoice
from audio.speakers.silence import SilentSpeaker
from words import to_say

LOG = logging.getLogger(__name__)

TITLES = {
    "stream": to_say("Straight to the device: answers a touch at once"),
    "player": to_say("By the app's own player: on every device, a little later"),
    "simpleaudio": to_say("Another way (simpleaudio), for older systems"),
    "wav": to_say("Into sound files in a folder"),
    "silence": to_say("No sound"),
}
"""To be said."""
AUTOMATIC = ("stream", "player", "silence")


def open_speaker(choice: str = "auto", *, wav_folder: Path | None = None) -> Speaker:
    """Open a speaker by its name, or by "auto" the best that works here; "auto" never raises.

    `wav_folder` is where "wav" writes. Raises SpeakerError, with what to do about it, when a named
    speaker cannot be opened or the name is none of ours.
    """
    if choice != "auto":
        return _open(choice, wav_folder)
    for name in AUTOMATIC:
        try:
            return _open(name, wav_folder)
        except SpeakerError as error:
            LOG.info("%s: %s", name, error)
        except Exception:
            LOG.info("%s cannot be opened", name, exc_info=True)
    return SilentSpeaker()


def choices() -> tuple[SpeakerChoice, ...]:
    """Every speaker with whether it can be used here; opens the device for a moment to know."""
    return tuple(_choice(name) for name in TITLES)


def _choice(name: str) -> SpeakerChoice:
    why_not = _why_not(name)
    return SpeakerChoice(name, TITLES[name], why_not is None, why_not)


def _why_not(name: str) -> str | None:
    missing = _missing(name)
    if missing is not None or name != "stream":
        return missing
    try:
        _open(name, None).close()
    except SpeakerError as error:
        return str(error)
    return None


def _missing(name: str) -> str | None:
    """What the machine lacks for this speaker, to be said, without touching a device."""
    if name == "stream" and not _installed("miniaudio"):
        return to_say('It needs the package miniaudio; install it with "pip install miniaudio".')
    if name == "player" and not _installed("kivy"):
        return to_say('It needs the package kivy; install it with "pip install kivy==2.3.1".')
    if name == "simpleaudio":
        if sys.version_info >= (3, 12):
            return CRASHES
        if not _installed("simpleaudio"):
            return to_say("simpleaudio is not installed; choose another way.")
    return None


def _installed(package: str) -> bool:
    return importlib.util.find_spec(package) is not None


def _open(name: str, wav_folder: Path | None) -> Speaker:
    if name not in TITLES:
        known = ", ".join(["auto", *TITLES])
        raise SpeakerError(f"there is no speaker named {name!r}; choose one of {known}")
    missing = _missing(name)
    if missing is not None:
        raise SpeakerError(missing)
    try:
        return _opened(name, wav_folder)
    except ImportError as error:
        LOG.info("%s cannot be loaded", name, exc_info=True)
        raise SpeakerError(
            f"the {name} speaker cannot be loaded on this machine; choose another one"
        ) from error


def _opened(name: str, wav_folder: Path | None) -> Speaker:
    """Packages that may be missing are imported only when they are asked for."""
    if name == "stream":
        from audio.speakers.stream import StreamSpeaker

        return StreamSpeaker()
    if name == "player":
        from audio.speakers.player import PlayerSpeaker

        return PlayerSpeaker()
    if name == "simpleaudio":
        from audio.speakers.simple import SimpleSpeaker

        return SimpleSpeaker()
    if name == "wav":
        from audio.speakers.files import FileSpeaker

        if wav_folder is None:
            raise SpeakerError("sound files need a folder to go to; name one")
        return FileSpeaker(wav_folder)
    return SilentSpeaker()
