"""Playing what a form holds: a cue of a deck by its fields, as a student would hear it."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from typing import Any

from audio import render
from audio.errors import AudioError
from audio.recorded import seconds_of
from audio.resonance import resounding
from practice import Practice
from practice.given import tuning_of
from quizzes.decks.cues import sounded
from quizzes.decks.deck import Cue
from quizzes.fresh import Fresh
from quizzes.question import Setting

WORDS = ("sargam", "recording", "theka", "tuning", "voice", "drone")
NUMBERS = ("cycles", "tempo")


def cue_of(values: Mapping[str, Any], practice: Practice) -> Cue:
    """The cue that these fields of a deck's file make; what cannot be is left as usual."""
    fields: dict[str, Any] = {name: values[name] for name in WORDS if values.get(name)}
    fields |= {name: values[name] for name in NUMBERS if values.get(name)}
    if "recording" in fields:
        fields["seconds"] = seconds_of(practice.shelf.recordings / fields["recording"])
    return Cue(**fields)


def hear(practice: Practice, values: Mapping[str, Any]) -> str:
    """Play a cue, given by its fields; what kept it from being heard, "" where nothing did."""
    settings, speaker = practice.settings, practice.speaker
    tuning, _ = tuning_of(settings.tuning)
    setting = Setting(settings.sa_hz, tuning, tradition=practice.given.tradition)
    try:
        score = sounded(Fresh("", secrets.randbits(32)), cue_of(values, practice), setting).score
        score = resounding(score, body=settings.body, tarab=settings.tarab)
        blocks = render.blocks(score, recordings=practice.shelf.recordings)
        speaker.play(blocks, frames=render.frames_of(score))
    except (AudioError, KeyError) as error:
        return str(error)
    return speaker.trouble or ""
