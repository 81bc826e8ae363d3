"""The student's speaker: the one chosen or, where it fails, another, and a word about it."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from audio.errors import SpeakerError
from audio.speakers import Speaker, open_speaker
from quizzes.names import capital
from words import to_say

NO_SOUND = to_say(
    "No sound device was found, so nothing can be heard. Connect headphones or a loudspeaker and "
    "open Kaan again, or choose another speaker in the settings."
)
"""To be said."""
OTHER = to_say("Another speaker is in use.")
NO_DEVICE = to_say("No sound device was found.")
CUE_FOLDER = "cues"
"""Where cues are written when the speaker is a folder of sound files."""
CUES_KEPT = 200
"""Older cue files go when practice begins: any cue can be made again from its log row."""


def speaker_of(choice: str, folder: Path, *, without_device: str) -> tuple[Speaker, list[str]]:
    """The speaker of this name, and what there is to be told of it.

    One that fails gives way to whatever works; where that is no device, to `without_device`.
    """
    cues, troubles = folder / CUE_FOLDER, []
    _tidy(cues)
    try:
        found = open_speaker(choice, wav_folder=cues)
    except SpeakerError as error:
        troubles += [_sentence(str(error)), OTHER]
        found = open_speaker("auto", wav_folder=cues)
    if found.name == "silence" and choice != "silence":
        if without_device == "silence":
            troubles.append(NO_SOUND)
        else:
            troubles.append(NO_DEVICE)
            found.close()
            found = open_speaker(without_device, wav_folder=cues)
    return found, troubles


def _sentence(error: str) -> str:
    """Those that can be said are whole sentences and stay as they are."""
    return error if error.endswith(".") else f"{capital(error)}."


def _tidy(cues: Path) -> None:
    """Remove all but the newest cue files; what cannot be removed stays."""
    for path in sorted(cues.glob("cue-*.wav"))[:-CUES_KEPT]:
        with suppress(OSError):
            path.unlink()
