"""Settings: name, students, course, lesson, Sa, tuning, minutes, taps, sound, look, practices.

Every change is kept at once. What cannot be used is said beside it, and the last good value stays.
"""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future
from typing import Any

from kivy.properties import BooleanProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.widget import Widget

from audio import render
from audio.errors import TuningError
from audio.speakers import SpeakerChoice, choices
from audio.tuning import SA_HZ_HIGHEST, SA_HZ_LOWEST, load_tuning
from practice import CourseChoice, Practice
from practice.listening import sa_score
from screens.changing import Changing, sa_within
from screens.keys import KaanScreen
from screens.log_ways import LogWays
from screens.look import load_kv
from screens.look_words import CONTRAST_WORDS, TEXT_SIZE_WORDS, said
from screens.notes import SA_NOTES, hz_of_note, note_of, sa_words, volume_words
from screens.on_thread import OnThread
from screens.students import here_words
from screens.tap_test import latency_words
from screens.widgets import Column
from words import LANGUAGES, language, say, swaras_in, to_say

TUNING_WORDS = (
    ("just", to_say("Just")),
    ("equal", to_say("Equal")),
    ("scl", to_say("A Scala file")),
)
GAP_WORDS = (
    ("swara", to_say("By swara: Re up to Pa")),
    ("size", to_say("By swara and by size")),
)
SWITCH_WORDS = ((True, to_say("On")), (False, to_say("Off")))
HAND_WORDS = ((False, to_say("Right-handed")), (True, to_say("Left-handed")))
MOTION_WORDS = ((False, to_say("Usual")), (True, to_say("Still")))
ANY_SPEAKER = to_say("Whatever works")
USUAL_SPEAKERS = ("auto", "silence")
LANGUAGE_OPTIONS = [(code, language.name) for code, language in LANGUAGES.items()]
LETTER_WORDS = {"latin": "S R G", "devanagari": "सा रे ग", "bengali": "স র গ"}


class Section(Column):
    """A setting with its title and a line on what it does."""

    title = StringProperty("")
    hint = StringProperty("")


class SettingsScreen(Changing, KaanScreen):
    """Shows and changes `practice.settings`; `on_look` is told when the look has changed,
    `on_away` the name of a screen to go to that leads back here."""

    sa_least = NumericProperty(SA_HZ_LOWEST)
    sa_most = NumericProperty(SA_HZ_HIGHEST)
    notes = ListProperty(range(len(SA_NOTES)))
    note_words = StringProperty("")
    tuning_options = ListProperty()
    gap_options = ListProperty()
    text_size_options = ListProperty()
    hand_options = ListProperty()
    language_options = ListProperty(LANGUAGE_OPTIONS)
    contrast_options = ListProperty()
    motion_options = ListProperty()
    letter_options = ListProperty()
    """The language's own letters and Latin ones; in English any."""
    switch_options = ListProperty()
    course_options = ListProperty()
    course_closed = ListProperty()
    course_words = StringProperty("")
    """What the course that is set is about."""
    course_faults = StringProperty("")
    """What is wrong with those that cannot be taken."""
    speaker_options = ListProperty()
    speaker_closed = ListProperty()
    speaker_words = StringProperty("")
    all_speakers = BooleanProperty(False)
    """Whether more than what is usual is shown."""
    volume_words = StringProperty("")
    tuning_words = StringProperty("")
    tuning_refused = BooleanProperty(False)
    """Whether `tuning_words` says what is wrong with a path."""
    lesson_words = StringProperty("")
    students_words = StringProperty("")
    """How many practise on this device."""
    tapping_words = StringProperty("")
    latency_kept = BooleanProperty(False)
    """Whether the tap test has measured something that is taken out of taps."""
    trouble = StringProperty("")

    def __init__(
        self,
        practice: Practice,
        *,
        on_look: Callable[[], None],
        on_words: Callable[[], None],
        on_close: Callable[[], None],
        on_away: Callable[[str], None],
        logs: LogWays,
        **kwargs: Any,
    ) -> None:
        self.logs = logs
        self.practice, self.on_look, self.on_close = practice, on_look, on_close
        self.on_words = on_words
        self._on_away = on_away
        self._away = False  # at a screen that leads back here
        self._courses: tuple[CourseChoice, ...] = ()
        self._told = ""  # the path that was refused when last asked to leave
        self._speakers: tuple[SpeakerChoice, ...] = ()
        self._looking = OnThread()
        super().__init__(
            tuning_options=said(TUNING_WORDS),
            gap_options=said(GAP_WORDS),
            text_size_options=said(TEXT_SIZE_WORDS),
            hand_options=said(HAND_WORDS),
            switch_options=said(SWITCH_WORDS),
            contrast_options=said(CONTRAST_WORDS),
            motion_options=said(MOTION_WORDS),
            speaker_options=[("auto", say(ANY_SPEAKER))],
            **kwargs,
        )

    # Showing.

    def on_pre_enter(self, *_: Any) -> None:
        """Show what is set; look for speakers on a thread, as it may open a device."""
        if self._away:  # it is read on where it was left
            self._away = False
            self._say_students()
            self._say_lesson()
            self._say_latency()
            self.ids.in_step.show()
            return
        self.all_speakers = False
        self.show()
        self.ids.roll.scroll_y = 1.0
        self._looking.do(choices, self._take_speakers)

    def show(self) -> None:
        """Bring every control to the settings as they are."""
        settings, ids = self.practice.settings, self.ids
        self._say_students()
        self._show_courses()
        ids.sa.value = settings.sa_hz
        ids.note.value = note_of(settings.sa_hz)[0]
        self._say_note(settings.sa_hz)
        named = settings.tuning in ("just", "equal")
        ids.tuning.value = settings.tuning if named else "scl"
        ids.scl.text = "" if named else settings.tuning
        self.tuning_words, self.tuning_refused = "", False
        self._show_scl(not named)
        ids.gaps.value = settings.gap_names
        ids.minutes.value = settings.minutes
        ids.speaker.value = settings.speaker
        ids.volume.value = settings.volume_db
        self._say_volume(settings.volume_db)
        self._say_lesson()
        self._say_latency()
        ids.body.value = settings.body
        ids.tarab.value = settings.tarab
        ids.language.value, ids.letters.value = language(), swaras_in()
        own = LANGUAGES[language()].letters
        offered = LETTER_WORDS if own == "latin" else ("latin", own)
        self.letter_options = [(letters, LETTER_WORDS[letters]) for letters in offered]
        ids.size.value = settings.text_size
        ids.contrast.value, ids.still.value = settings.high_contrast, settings.still
        ids.hand.value = settings.left_handed
        ids.in_step.show()
        ids.practices.show(self.practice)

    def _show_courses(self) -> None:
        """Read afresh which courses there are: their files may have been changed meanwhile."""
        self._courses = self.practice.courses()
        self.course_options = [(course.id, course.name) for course in self._courses]
        self.course_closed = [course.id for course in self._courses if course.why_not]
        faults = (
            say("{course} cannot be taken: {why}", course=c.name, why=c.why_not)
            for c in self._courses
            if c.why_not
        )
        self.course_faults = "\n".join(faults)
        self._say_course()

    def _say_course(self) -> None:
        taken = self.practice.course.id
        self.ids.course.value = taken
        self.course_words = next((c.about for c in self._courses if c.id == taken), "")

    def _say_note(self, sa_hz: float) -> None:
        self.note_words = sa_words(sa_hz)

    def _say_volume(self, volume_db: float) -> None:
        self.volume_words = volume_words(volume_db)

    def _say_students(self) -> None:
        self.ids.name.text = self.practice.settings.student_name
        self.count_students()

    def count_students(self) -> None:
        """Say how many practise here: some may have come in."""
        self.students_words = here_words(self.practice)

    def _say_lesson(self) -> None:
        self.lesson_words = self.practice.lesson_words() or say("No day is set.")

    def _say_latency(self) -> None:
        latency_ms = self.practice.settings.tap_latency_ms
        self.tapping_words, self.latency_kept = latency_words(latency_ms), latency_ms != 0.0

    def _show_scl(self, shown: bool) -> None:
        self.ids.scl.opacity = 1.0 if shown else 0.0
        self.ids.scl.disabled = not shown
        self.ids.scl.hidden = not shown

    def _take_speakers(self, coming: Future[tuple[SpeakerChoice, ...]]) -> None:
        self._show_speakers(coming.result())

    def _show_speakers(self, found: tuple[SpeakerChoice, ...]) -> None:
        """What works, and silence; the rest once it is asked for, or where one of it is set."""
        self._speakers = found
        usual = self.practice.settings.speaker in USUAL_SPEAKERS and not self.all_speakers
        shown = [c for c in found if not usual or c.name in USUAL_SPEAKERS]
        titles = ((choice.name, say(choice.title)) for choice in shown)
        self.speaker_options = [("auto", say(ANY_SPEAKER)), *titles]
        self.speaker_closed = [choice.name for choice in shown if not choice.available]
        self.speaker_words = "\n".join(
            say("{way}: {why}", way=say(choice.title), why=say(choice.why_not))
            for choice in shown
            if choice.why_not
        )
        self.all_speakers = not usual

    def show_all_speakers(self) -> None:
        """Those for whom the usual ones do not do."""
        self.all_speakers = True
        self._show_speakers(self._speakers)

    # Changing.

    def choose_course(self, course: str) -> None:
        """Take this course from the next practice on; all that was answered stays."""
        self.change(course=course)
        self._say_course()

    def set_note(self, number: float) -> None:
        """Sa on a note of the list."""
        self.set_sa(hz_of_note(int(number)))

    def set_sa(self, sa_hz: float) -> None:
        """Sa at so many hertz."""
        sa_hz = sa_within(sa_hz)
        if self.change(sa_hz=sa_hz):
            self.ids.sa.value = sa_hz
            self.ids.note.value = note_of(sa_hz)[0]
            self._say_note(sa_hz)

    def choose_tuning(self, choice: str) -> None:
        """Just, equal, or a file whose path is written in the field."""
        self._show_scl(choice == "scl")
        self.tuning_words, self.tuning_refused = "", False
        if choice != "scl":
            self.change(tuning=choice)

    def set_scl(self, path: str) -> bool:
        """Read a Scala file and use it if all twelve swaras have a place in it; True if so."""
        if not path.strip():
            return True
        try:
            tuning = load_tuning(path.strip())
        except TuningError as error:
            self.tuning_words, self.tuning_refused = str(error), True
            return False
        if not self.change(tuning=path.strip()):
            return False
        self.tuning_words, self.tuning_refused = (
            say("{tuning} is in use.", tuning=tuning.name),
            False,
        )
        return True

    def set_volume(self, volume_db: float) -> None:
        """How far below full level."""
        if self.change(volume_db=float(volume_db)):
            self._say_volume(volume_db)

    def go(self, name: str) -> None:
        """To the tap test, or to the lesson, and back again."""
        self._away = True
        self._on_away(name)

    def go_for_answers(self, way: Callable[..., None], *given: Any) -> None:
        """To choose a folder or a file for answers, and back again to where it was left."""
        self._away = True
        way(*given)

    def forget_latency(self) -> None:
        """Count taps as if the device answered at once."""
        self.change(tap_latency_ms=0.0)
        self._say_latency()

    def set_look(self, **values: Any) -> None:
        """Text size, motion or hand."""
        if self.change(**values):
            self.on_look()

    def set_words(self, **values: Any) -> None:
        """Language, the letters for swaras, or contrast: all screens are made anew."""
        if self.change(**values):
            self.on_words()

    # Hearing.

    def hear(self) -> None:
        """Sa and Pa over the drone, at the Sa, the volume and on the sitar that are set."""
        score, speaker = sa_score(self.practice.settings), self.practice.speaker
        speaker.play(render.blocks(score), frames=render.frames_of(score))
        self.trouble = say(speaker.trouble or "")

    def on_leave(self, *_: Any) -> None:
        """Keep what is still in a field, and fall silent."""
        self.set_name(self.ids.name.text)
        self.practice.speaker.stop()

    def let_go(self) -> None:
        self.ids.answers.let_go()
        self._looking.leave()

    def back(self) -> None:
        """Leave; but show once more a path that could not be used."""
        field = self.ids.scl
        refused = not field.hidden and not self.set_scl(field.text)
        if refused and field.text != self._told:
            self._told = field.text
            self.ids.roll.scroll_to(field, animate=False)
            return
        self.on_close()

    def main_thing(self) -> Widget | None:
        return self.ids.done


load_kv("settings")
