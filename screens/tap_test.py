"""The tap test: measures how late this device answers, and keeps that only where it is told to."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from kivy.clock import Clock
from kivy.properties import OptionProperty, StringProperty
from kivy.uix.widget import Widget

from audio import render
from audio.format import SAMPLE_RATE
from audio.speakers import Playing
from practice import Practice, PracticeError
from practice.latency import COUNTED, COUNTED_IN, Latency, measured, tap_test_score
from screens.keys import KaanScreen, focus_on
from screens.look import load_kv
from screens.tapping import SETTLE_S, taps_told
from screens.widgets import BrassPlate, Plate
from words import say, to_say

SAID = {
    "ready": to_say(
        "Kaan plays a steady stroke, one a second. Tap along with one finger, as you would on a "
        "beat. From how your taps lie Kaan learns how late sound and touch are on this device, so "
        "that your answers in time are counted fairly. Keep the volume low: just loud enough to "
        "hear each stroke."
    ),
    "tapping": to_say("Listen to {first} strokes, then tap with each of the {count} that follow."),
}
"""What is said before anything is measured, by stage; to be said."""
UNEVEN = to_say(
    "The way to hear that is set begins each sound up to {ms} ms sooner or later, so nothing "
    "finer than that can be measured or counted. Where your device has a steadier one, choose it "
    "first."
)


def latency_words(latency_ms: float) -> str:
    """What the settings say of a latency that is kept."""
    whole = round(latency_ms)
    if whole == 0:
        return say("Nothing is measured: taps are counted as if your device answered at once.")
    if whole > 0:
        return say("Your device answers {ms} ms late; taps are counted so.", ms=whole)
    return say("Your device answers {ms} ms early; taps are counted so.", ms=-whole)


class TapTestScreen(KaanScreen):
    """`on_close` is called to go back to the settings."""

    stage = OptionProperty("ready", options=("ready", "tapping", "measured", "refused"))
    said = StringProperty("")
    count = StringProperty("")
    """How many taps there are, while they are made."""
    uneven = StringProperty("")
    """What the way to hear keeps from being measured."""
    trouble = StringProperty("")

    def __init__(self, practice: Practice, *, on_close: Callable[[], None], **kwargs: Any) -> None:
        self.practice, self.on_close = practice, on_close
        self._playing: Playing | None = None
        self._length_s = 0.0
        self._taps: list[float] = []
        self._measured: Latency | None = None
        self._minding: Any = None
        super().__init__(**kwargs)
        self.fbind("stage", self._show)
        self._show()

    def on_pre_enter(self, *_: Any) -> None:
        """Begin anew."""
        self.stage, self.said = "ready", say(SAID["ready"])
        uneven_ms = self.practice.speaker.uneven_s * 1000
        self.uneven = say(UNEVEN, ms=f"{uneven_ms:.0f}") if uneven_ms else ""
        self.trouble = self.practice.sound_trouble or ""

    # Measuring.

    def begin(self) -> None:
        """Play the strokes and gather taps, from the beginning."""
        score = tap_test_score(self.practice.settings.sa_hz)
        frames = render.frames_of(score)
        self._length_s, self._measured = frames / SAMPLE_RATE, None
        self._taps.clear()
        self.count = ""
        self._playing = self.practice.speaker.play(render.blocks(score), frames=frames)
        self.trouble = self.practice.sound_trouble or ""
        self.stage = "tapping"
        self.said = say(SAID["tapping"], first=COUNTED_IN, count=COUNTED)
        self._minding = Clock.schedule_interval(self._mind, 0)

    def take(self, moment: float) -> None:
        """One tap, at a `time.monotonic()` moment."""
        if self._playing is not None:
            self._taps.append((moment - self._playing.ends_at + self._length_s) * 1000.0)
            many = len(self._taps)
            taps = taps_told(many)
            self.count = taps
            if many <= COUNTED:
                self.count = say("{taps} of {count}", taps=taps, count=COUNTED)

    def _mind(self, *_: Any) -> None:
        """Look whether the strokes are over."""
        if self._playing is not None and time.monotonic() > self._playing.ends_at + SETTLE_S:
            self._measure()

    def _measure(self) -> None:
        self._fall_silent()
        try:
            self._measured = measured(self._taps)
        except PracticeError as error:
            self.stage, self.said = "refused", str(error)
            return
        self.stage = "measured"
        self.said = say(
            "{measured} Keep this for your answers in time?", measured=self._measured.in_words
        )

    def keep(self) -> None:
        """Count taps by what was measured from now on."""
        if self._measured is None:
            return
        kept = replace(self.practice.settings, tap_latency_ms=self._measured.offset_ms)
        try:
            self.practice.save(kept)
        except PracticeError as error:
            self.trouble = str(error)
            return
        self.on_close()

    def _fall_silent(self) -> None:
        if self._playing is not None:
            self._playing = None
            self._minding.cancel()
            self.practice.speaker.stop()

    def on_leave(self, *_: Any) -> None:
        """Nothing sounds or is measured on."""
        self._fall_silent()
        self.stage = "ready"

    # Showing.

    def _show(self, *_: Any) -> None:
        actions = self.ids.actions
        actions.clear_widgets()
        acts = {
            "ready": ((say("Begin"), self.begin), (say("Back"), self.on_close)),
            "tapping": ((say("Back"), self.on_close),),
            "measured": (
                (say("Keep"), self.keep),
                (say("Again"), self.begin),
                (say("Back"), self.on_close),
            ),
            "refused": ((say("Again"), self.begin), (say("Back"), self.on_close)),
        }[self.stage]
        for number, (text, act) in enumerate(acts):
            leads_on = number == 0 and self.stage != "tapping"
            plate = (BrassPlate if leads_on else Plate)(text=text)
            plate.bind(on_release=lambda _, act=act: act())
            actions.add_widget(plate)
        self.ids.plate.live = self.stage == "tapping"
        focus_on(self, None)

    def back(self) -> None:
        self.on_close()

    def take_key(self, name: str) -> bool:
        return bool(self.ids.plate.take_key(name))

    def main_thing(self) -> Widget | None:
        """What leads on; while the strokes sound, nothing does."""
        return None if self.stage == "tapping" else self.ids.actions.children[-1]


load_kv("tap_test")
