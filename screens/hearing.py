"""Playing as a student would hear it: a cue of a deck by its fields, or a score."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from audio import render
from audio.errors import AudioError
from audio.format import SAMPLE_RATE
from audio.recorded import seconds_of
from audio.resonance import resounding
from audio.score import Score
from audio.speakers import Playing
from practice import Practice
from practice.given import tuning_of
from quizzes.decks import heard
from quizzes.decks.collecting import Noted, Part
from quizzes.decks.cues import sounded
from quizzes.fresh import Fresh
from quizzes.places import Places
from quizzes.question import Setting
from quizzes.talas import talas
from screens.fault_words import plain
from words import say

NOTHING: Mapping[str, Any] = MappingProxyType({})


def lasts(practice: Practice, name: str) -> float:
    """How long a recording is, in seconds. Raises KeyError where none has this name, and
    RecordingError where it is damaged."""
    path = practice.shelf.recordings / name
    if not path.is_file():
        raise KeyError(name)
    return seconds_of(path)


def hear(
    practice: Practice, values: Mapping[str, Any], head: Mapping[str, Any] = NOTHING
) -> tuple[str, Playing | None]:
    """Play a cue, given by its fields and those that stand at the head of its deck: what kept it
    from being heard, "" where nothing did, and what plays, if anything does."""
    settings = practice.settings
    tradition, noted = practice.given.tradition, Noted("", Places())
    usual = heard.usual_of(Part(head, (), Noted("", Places())))
    part = Part(values, (), noted)
    cue = heard.cue_of(part, usual, talas(tradition), lambda name: lasts(practice, name))
    if noted.faults:
        return plain(noted.faults[0]), None
    setting = Setting(settings.sa_hz, tuning_of(settings.tuning)[0], tradition=tradition)
    try:
        score = sounded(Fresh("", secrets.randbits(32)), cue, setting).score
    except AudioError as error:
        return str(error), None
    return sound(practice, score)


def sound(practice: Practice, score: Score) -> tuple[str, Playing | None]:
    """Play a score on the student's sitar: what kept it from being heard, "" where nothing did, and
    what plays, if anything does."""
    speaker = practice.speaker
    try:
        score = _resounding(practice, score)
        blocks = render.blocks(score, recordings=practice.shelf.recordings)
        playing = speaker.play(blocks, frames=render.frames_of(score))
    except AudioError as error:
        return str(error), None
    return say(speaker.trouble or ""), playing


def length_s(practice: Practice, score: Score) -> float:
    """How long that sounds, until nothing rings any more."""
    return render.frames_of(_resounding(practice, score)) / SAMPLE_RATE


def _resounding(practice: Practice, score: Score) -> Score:
    settings = practice.settings
    return resounding(score, body=settings.body, tarab=settings.tarab)
