"""The first start, in four short steps: who, how loud, where Sa is, what to learn; then it begins.

What is chosen is kept at once, so that nothing is lost where the app is closed in between; the
steps come again until the last one is done.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import (
    BooleanProperty,
    ListProperty,
    NumericProperty,
    ObjectProperty,
    OptionProperty,
    StringProperty,
)
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from audio import render
from audio.format import SAMPLE_RATE
from audio.speakers import Playing
from audio.tuning import SA_HZ_HIGHEST, SA_HZ_LOWEST
from practice import CAUTIONS, Practice, PracticeError
from practice.called import LONGEST_NAME, cleaned
from practice.listening import check_score, is_over, sa_score, volume_at, volume_for
from practice.settings import USUAL_VOLUME_DB
from screens import theme
from screens.cautions import Caution
from screens.keys import KaanScreen, focus_on
from screens.look import load_kv
from screens.look_words import CONTRAST_WORDS, TEXT_SIZE_WORDS, said
from screens.notes import SA_NOTES, hz_of_note, note_of, sa_words, volume_words
from screens.widgets import Column
from words import LANGUAGES, language, say, to_say

START_DB = -24.0
"""Before anything was checked, nothing sounds louder than this (assumption)."""
STEPS = ("who", "loud", "sa", "course")
TITLES = {
    "who": to_say("Who are you?"),
    "loud": to_say("How loud?"),
    "sa": to_say("Where is your Sa?"),
    "course": to_say("What do you want to learn?"),
}
ONWARD = {
    "who": to_say("Next"),
    "loud": to_say("I have read this: next"),
    "sa": to_say("Next"),
    "course": to_say("To the first question"),
}
READ_ON = to_say("Read on")
"""Where cautions lie below what is on view."""
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


class Beside(BoxLayout):
    """Two parts of a step side by side where there is room, else one below the other."""


class StepPart(Column):
    """What a step holds, on the screen whose step it is."""

    screen = ObjectProperty()


class WhoStep(StepPart):
    """Language and name."""


class LoudStep(StepPart):
    """The listening check, and the cautions."""


class SaStep(StepPart):
    """Sa from a list, by ear along a slide, or typed in hertz."""


class CourseStep(StepPart):
    """The courses that there are."""


PARTS = {"who": WhoStep, "loud": LoudStep, "sa": SaStep, "course": CourseStep}


class WelcomeScreen(KaanScreen):
    """`on_begin` is called when all is chosen and practice is to begin, `on_close` where it is not
    to begin yet; `on_look` when type of another size was chosen; `on_words` when another language
    or contrast was, as all screens are then made anew."""

    step = OptionProperty("who", options=STEPS)
    count = StringProperty("")
    title = StringProperty("")
    onward = StringProperty("")
    check = OptionProperty("ready", options=tuple(CHECKS))
    check_words = StringProperty("")
    check_label = StringProperty("")
    volume = NumericProperty(-20.0)
    volume_words = StringProperty("")
    sa_hz = NumericProperty(0.0)
    sa_words = StringProperty("")
    sa_fault = StringProperty("")
    course_words = StringProperty("")
    trouble = StringProperty("")
    has_before = BooleanProperty(False)
    language_options = ListProperty([(code, each.name) for code, each in LANGUAGES.items()])
    note_options = ListProperty(list(enumerate(SA_NOTES)))
    course_options = ListProperty()
    text_size_options = ListProperty()
    contrast_options = ListProperty()
    broad = NumericProperty(0.0)
    """What is left free on either side, in pixels."""
    sa_least, sa_most = NumericProperty(SA_HZ_LOWEST), NumericProperty(SA_HZ_HIGHEST)

    def __init__(
        self,
        practice: Practice,
        *,
        on_begin: Callable[[], None],
        on_close: Callable[[], None],
        on_look: Callable[[], None],
        on_words: Callable[[], None],
        **kwargs: Any,
    ) -> None:
        self.practice, self.on_begin, self.on_close = practice, on_begin, on_close
        self.on_look, self.on_words = on_look, on_words
        self._sounding: Playing | None = None
        self._lasts_s = 0.0
        self._rising: Any = None
        self._part: Any = None
        super().__init__(
            text_size_options=said(TEXT_SIZE_WORDS),
            contrast_options=said(CONTRAST_WORDS),
            **kwargs,
        )
        self.fbind("check", self._say_check)
        self.ids.roll.fbind("hidden", self._say_onward)

    def on_pre_enter(self, *_: Any) -> None:
        """From the first step."""
        self.show("who")

    def show(self, step: str) -> None:
        """Put one step on view."""
        self._fall_silent()
        self.step, at = step, STEPS.index(step)
        self.count = say("{step} of {steps}", step=at + 1, steps=len(STEPS))
        self.title = say(TITLES[step])
        self.has_before, self.trouble = at > 0, ""
        self.ids.place.clear_widgets()
        getattr(self, f"_ready_{step}")()
        self._part = PARTS[step](screen=self)
        self.ids.place.add_widget(self._part)
        getattr(self, f"_fill_{step}")(self._part.ids)
        self.ids.roll.to_top()
        self._say_onward()
        focus_on(self, None)

    @property
    def _is_unread(self) -> bool:
        """Whether cautions lie below what is on view."""
        return self.step == "loud" and bool(self.ids.roll.hidden > dp(theme.GAP))

    def _say_onward(self, *_: Any) -> None:
        self.onward = say(READ_ON if self._is_unread else ONWARD[self.step])

    def next(self) -> None:
        """To the next step; from the last one to the first question. Cautions are read first."""
        if self._is_unread:
            self.ids.roll.read_on()
            return
        at = STEPS.index(self.step)
        if not self._keep_typed():
            return
        if at + 1 < len(STEPS):
            self.show(STEPS[at + 1])
        elif self._done():
            self.on_begin()

    def back(self) -> None:
        """To the step before."""
        at = STEPS.index(self.step)
        if at:
            self._keep_typed()
            self.show(STEPS[at - 1])

    def later(self) -> None:
        """All is chosen; practice is not to begin yet."""
        if self._done():
            self.on_close()

    def _done(self) -> bool:
        self._fall_silent()
        return self._keep(cautions_seen=True)

    def _keep(self, **values: Any) -> bool:
        """Keep what was chosen; False, and said why, where that cannot be."""
        try:
            self.practice.save(replace(self.practice.settings, **values))
        except PracticeError as error:
            self.trouble = str(error)
            return False
        self.trouble = ""
        return True

    def _keep_typed(self) -> bool:
        """Keep what still stands in a field; False where it cannot be used."""
        if self.step == "who":
            return self.set_name(self._part.ids.name.text)
        return self.step != "sa" or self.set_typed(self._part.ids.typed.text)

    # Who.

    def _ready_who(self) -> None:
        pass

    def _fill_who(self, ids: Any) -> None:
        ids.language.value = language()
        ids.name.text = self.practice.settings.student_name
        ids.size.value = self.practice.settings.text_size
        ids.contrast.value = self.practice.settings.high_contrast

    def set_text_size(self, size: str) -> None:
        """Show larger or smaller type."""
        if self._keep(text_size=size):
            self.on_look()

    def set_contrast(self, high: bool) -> None:
        """Set ink and edges off more strongly, or as usual."""
        self.set_name(self._part.ids.name.text)
        if self._keep(high_contrast=high):
            self.on_words()

    def set_language(self, code: str) -> None:
        """Say everything in this language from now on."""
        self.set_name(self._part.ids.name.text)
        if code != language() and self._keep(language=code, letters=""):
            self.on_words()

    def set_name(self, name: str) -> bool:
        """What the student is called; nothing, too."""
        return self._keep(student_name=cleaned(name)[:LONGEST_NAME])

    # How loud.

    def _ready_loud(self) -> None:
        self.check = "ready"
        self._say_check()
        settings = self.practice.settings
        if not settings.cautions_seen and settings.volume_db == USUAL_VOLUME_DB:
            self.set_volume(START_DB)
        self._set_volume(self.practice.settings.volume_db)

    def _fill_loud(self, ids: Any) -> None:
        for text in CAUTIONS:
            ids.cautions.add_widget(Caution(text=say(text)))

    def _say_check(self, *_: Any) -> None:
        self.check_words = say(CHECKS[self.check])
        labels = {"ready": CHECK_BEGINS, "rising": CHECK_HEARD}
        self.check_label = say(labels.get(self.check, CHECK_AGAIN))

    def touch_check(self) -> None:
        """Begin to rise from silence, or, while it rises, say that it is heard."""
        if self.check == "rising":
            self._heard()
            return
        self.check = "rising"
        speaker, score = self.practice.speaker, check_score(self.practice.settings)
        speaker.volume_db = volume_at(0.0)
        frames = render.frames_of(score)
        self._sounding = speaker.play(render.blocks(score), frames=frames)
        self._lasts_s = frames / SAMPLE_RATE
        self.trouble = self.practice.sound_trouble or ""
        self._rising = Clock.schedule_interval(self._rise, 1 / 30)

    def _since(self) -> float:
        """Seconds since the first note was heard: a player may make all of them first."""
        assert self._sounding is not None
        return time.monotonic() - (self._sounding.ends_at - self._lasts_s)

    def _rise(self, *_: Any) -> None:
        seconds = self._since()
        self.practice.speaker.volume_db = volume_at(seconds)
        if is_over(seconds):
            self._fall_silent()
            self.check = "unheard"

    def _heard(self) -> None:
        heard_db = volume_at(self._since())
        self._fall_silent()
        self.set_volume(volume_for(heard_db))
        self.check = "set"
        self.hear()

    def set_volume(self, volume_db: float) -> None:
        """How far below full level."""
        if self._keep(volume_db=float(volume_db)):
            self._set_volume(volume_db)

    def _set_volume(self, volume_db: float) -> None:
        self.volume, self.volume_words = volume_db, volume_words(volume_db)

    # Where Sa is.

    def _ready_sa(self) -> None:
        self._show_sa(self.practice.settings.sa_hz)
        self.sa_fault = ""

    def _fill_sa(self, ids: Any) -> None:
        ids.typed.text = ""

    def _show_sa(self, sa_hz: float) -> None:
        self.sa_hz, self.sa_words = sa_hz, sa_words(sa_hz)
        if self._part is not None and "note" in self._part.ids:
            self._part.ids.note.value = self.note_at(sa_hz)

    @staticmethod
    def note_at(sa_hz: float) -> int | None:
        """The note of the list that Sa is on; None where it lies between two."""
        number, cents = note_of(sa_hz)
        return number if abs(cents) < 1.0 else None

    def set_note(self, number: int) -> None:
        """Sa on a note of the list."""
        self.set_sa(hz_of_note(number))

    def set_sa(self, sa_hz: float) -> None:
        """Sa at so many hertz; it is heard at once."""
        sa_hz = min(SA_HZ_HIGHEST, max(SA_HZ_LOWEST, round(sa_hz, 2)))
        if self._keep(sa_hz=sa_hz):
            self.sa_fault = ""
            self._part.ids.typed.text = ""
            self._show_sa(sa_hz)
            self.hear()

    def set_typed(self, text: str) -> bool:
        """Sa as it was typed, in hertz; False, and said why, where that cannot be. Nothing typed
        changes nothing."""
        if not text.strip():
            return True
        try:
            sa_hz = float(text.strip().lower().removesuffix("hz").replace(",", "."))
        except ValueError:
            sa_hz = 0.0
        if not SA_HZ_LOWEST <= sa_hz <= SA_HZ_HIGHEST:
            self.sa_fault = say(
                "Give a number of hertz from {least} to {most}, such as 277.2.",
                least=f"{SA_HZ_LOWEST:g}",
                most=f"{SA_HZ_HIGHEST:g}",
            )
            return False
        self.set_sa(sa_hz)
        return True

    def hear(self) -> None:
        """Sa and Pa over the drone, as they are set."""
        settings = self.practice.settings
        self.practice.speaker.volume_db = settings.volume_db
        score = sa_score(settings)
        self.practice.speaker.play(render.blocks(score), frames=render.frames_of(score))
        self.trouble = self.practice.sound_trouble or ""

    def _fall_silent(self) -> None:
        if self._rising is not None:
            self._rising.cancel()
            self._rising = None
        self.practice.speaker.stop()
        self.practice.speaker.volume_db = self.practice.settings.volume_db

    # What to learn.

    def _ready_course(self) -> None:
        self._courses = {course.id: course for course in self.practice.courses()}
        self.course_options = [(c.id, c.name) for c in self._courses.values() if not c.why_not]

    def _fill_course(self, ids: Any) -> None:
        self._show_course(ids)

    def choose_course(self, course: str) -> None:
        """Take this course."""
        if self._keep(course=course):
            self._show_course(self._part.ids)

    def _show_course(self, ids: Any) -> None:
        taken = self.practice.course.id
        ids.course.value = taken
        self.course_words = self._courses[taken].about if taken in self._courses else ""

    # Keys, and being left.

    def main_thing(self) -> Widget | None:
        checks = self.step == "loud" and self.check in ("ready", "rising")
        return self._part.ids.check if checks else self.ids.onward

    def put_away(self) -> None:
        """Fall silent; what stands in a field is kept."""
        self._keep_typed()
        if self.check == "rising":
            self.check = "ready"
        self._fall_silent()

    def on_leave(self, *_: Any) -> None:
        """Fall silent."""
        self._fall_silent()

    def let_go(self) -> None:
        self._fall_silent()


load_kv("welcome")
