"""How loud: the listening check of the first start, with the cautions beside it."""

from __future__ import annotations

import time
from typing import Any

from kivy.clock import Clock
from kivy.properties import NumericProperty, OptionProperty, StringProperty
from kivy.uix.widget import Widget

from audio import render
from audio.format import SAMPLE_RATE
from audio.speakers import Playing
from practice import CAUTIONS
from practice.listening import check_score, is_over, volume_at, volume_for
from practice.settings import USUAL_VOLUME_DB
from screens.cautions import Caution
from screens.notes import volume_words
from screens.welcome_parts import StepPart
from words import say, to_say

START_DB = -24.0
"""Before anything was checked, nothing sounds louder than this (assumption)."""
CHECKS = {
    "ready": to_say(
        "Turn your device down. Kaan plays one note again and again, from very soft to louder. "
        "Touch as soon as you hear it; Kaan then plays clearly louder than that, and no more."
    ),
    "rising": to_say("Listen. Touch as soon as you hear a note."),
    "set": to_say("This is enough. Make it louder only if notes get lost."),
    "unheard": to_say(
        "Nothing heard? Turn your device up a little, look where its sound goes, and try again."
    ),
}
"""What is said of the listening check, by where it stands."""
CHECK_AGAIN = to_say("Check again")
CHECK_BEGINS = to_say("Begin the check")
CHECK_HEARD = to_say("I hear it")


class LoudStep(StepPart):
    """The listening check, the volume that is set, and the cautions."""

    check = OptionProperty("ready", options=tuple(CHECKS))
    check_words = StringProperty("")
    check_label = StringProperty("")
    volume = NumericProperty(-20.0)
    volume_words = StringProperty("")

    def __init__(self, **kwargs: Any) -> None:
        self._sounding: Playing | None = None
        self._lasts_s = 0.0
        self._rising: Any = None
        super().__init__(**kwargs)
        self.fbind("check", self._say_check)

    def fill(self) -> None:
        settings = self.screen.practice.settings
        if not settings.cautions_seen and settings.volume_db == USUAL_VOLUME_DB:
            self.set_volume(START_DB)
        for text in CAUTIONS:
            self.ids.cautions.add_widget(Caution(text=say(text)))
        self._say_check()
        self._show(self.screen.practice.settings.volume_db)

    def main_thing(self) -> Widget | None:
        return self.ids.check if self.check in ("ready", "rising") else None

    def _say_check(self, *_: Any) -> None:
        self.check_words = say(CHECKS[self.check])
        labels = {"ready": CHECK_BEGINS, "rising": CHECK_HEARD}
        self.check_label = say(labels.get(self.check, CHECK_AGAIN))
        self.screen.busy = self.check == "rising"

    def touch_check(self) -> None:
        """Begin to rise from silence, or, while it rises, say that it is heard."""
        if self.check == "rising":
            self._heard()
            return
        self.check = "rising"
        practice = self.screen.practice
        speaker, score = practice.speaker, check_score(practice.settings)
        speaker.volume_db = volume_at(0.0)
        frames = render.frames_of(score)
        self._sounding = speaker.play(render.blocks(score), frames=frames)
        self._lasts_s = frames / SAMPLE_RATE
        self.screen.tell_of_sound()
        self._rising = Clock.schedule_interval(self._rise, 1 / 30)

    def _since(self) -> float:
        """Seconds since the first note was heard: a player may make all of them first."""
        assert self._sounding is not None
        return time.monotonic() - (self._sounding.ends_at - self._lasts_s)

    def _rise(self, *_: Any) -> None:
        seconds = self._since()
        self.screen.practice.speaker.volume_db = volume_at(seconds)
        if is_over(seconds):
            self._end("unheard")

    def _heard(self) -> None:
        heard_db = volume_at(self._since())
        self._end("set")
        self.set_volume(volume_for(heard_db))
        self.screen.hear()

    def _end(self, check: str) -> None:
        self._rising.cancel()
        self._rising = None
        super().fall_silent()
        practice = self.screen.practice
        practice.speaker.volume_db = practice.settings.volume_db
        self.check = check

    def fall_silent(self) -> None:
        """A check that is going on is to begin anew."""
        if self._rising is not None:
            self._end("ready")
        super().fall_silent()

    def set_volume(self, volume_db: float) -> None:
        """How far below full level."""
        if self.screen.change(volume_db=float(volume_db)):
            self._show(volume_db)

    def _show(self, volume_db: float) -> None:
        self.volume, self.volume_words = volume_db, volume_words(volume_db)
