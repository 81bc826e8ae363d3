"""Ways to be heard, all used alike: a stream, the app's player, simpleaudio, files, silence.

What differs between machines and libraries ends in here. Failures are told in plain words by
`Speaker.trouble` or by SpeakerError; nobody else needs to know which library plays.
"""

from __future__ import annotations

from audio.speakers.base import Playing, Speaker, SpeakerChoice
from audio.speakers.opening import choices, open_speaker

__all__ = ["Playing", "Speaker", "SpeakerChoice", "choices", "open_speaker"]
