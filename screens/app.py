"""The app: holds the screens, brings the keys to them, and keeps quiet when it is put away.

Where another student is to practise, all screens are made anew on that one's practice.

`screens.start.prepare` is to be called before this is imported, since Kivy opens its window then.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kivy.app import App
from kivy.clock import Clock
from kivy.core.window import Window
from kivy.uix.screenmanager import NoTransition, ScreenManager

from practice import Mode, Practice, PracticeError, Session, Summary
from practice.broken_off import BrokenOff
from practice.errors import StudentsError
from practice.students import Known, Students
from scheduler import SchedulerError
from screens.keys import KaanScreen, Keys
from screens.look import look, take_look
from screens.practice import PracticeScreen
from screens.start import settle, sweep, unsettle
from screens.stood import stand, where

if TYPE_CHECKING:
    from screens.desk_ways import DeskWays

ICON = Path(__file__).resolve().parent.parent / "assets" / "icons" / "kaan.png"
SILENT_DB = -120.0
BETWEEN = "between"
"""A screen that is on view for no frame, while all others are made anew."""
READY_AFTER_S = 1.0
"""The drill is made so long after the first screen has come, which it need not hold up."""
SWEPT_AFTER_S = 0.4
"""Garbage is looked for so long after an answer or a change of screen, while there is reading."""
LEFT_FOR_GOOD = ("welcome", "summary")
"""Screens to which nothing leads back: from them, to the first one."""
ALL_SWEPT_AFTER_S = 20.0
LEADS_BACK = ("lesson", "students", "drill")
"""Screens that lead back to where they were wanted."""


class KaanApp(App):
    """A window on one student's practice, or after a word of theirs on another's.

    `practice` is closed when another's takes its place; whoever runs the app closes the last one.
    `trouble` is what is to be read first of all, beside who practises here.
    """

    title = "Kaan"
    icon = str(ICON)
    use_kivy_settings = False

    def __init__(self, practice: Practice, *, trouble: str = "", **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._trouble = trouble
        self._sweep_all = Clock.create_trigger(self._tidy_all, ALL_SWEPT_AFTER_S)
        self._take(practice)

    def _take(self, practice: Practice) -> None:
        """Show this practice from now on: with its first screen, and others when first wanted."""
        self.practice = practice
        self._wanted_on: dict[str, str] = {}
        self._desk: DeskWays | None = None
        self._later: dict[str, Callable[[], KaanScreen]] = {
            "drill": self._make_drill,
            "summary": self._summary,
            "cautions": self._cautions,
            "welcome": self._welcome,
            "settings": self._settings,
            "tap test": self._tap_test,
            "lesson": self._lesson,
            "weak": self._weak,
            "instrument": self._instrument,
            "kind": lambda: self._which("kind"),
            "part": lambda: self._which("part"),
            "students": self._students,
        }
        self._came = Clock.create_trigger(self._show_what_came, 0)
        self._sweep = Clock.create_trigger(self._tidy, SWEPT_AFTER_S)
        self._make_ready = Clock.create_trigger(self._get_ready, READY_AFTER_S)
        # By the clock a second may have passed before the first frame: it has not struck since.
        self._first_tick = Clock.create_trigger(lambda _: self._make_ready(), 0)
        practice.syncing.on_done = lambda _: self._follow(practice)

    def _follow(self, practice: Practice) -> None:
        """On the thread that has looked into the folder kept in step: what came is read there."""
        practice.read_ahead()
        self._came()

    def _show_what_came(self, *_: Any) -> None:
        """The folder kept in step was looked into, on a thread of its own."""
        found = self.practice.syncing.last
        if found is not None and (found.taken or found.noted or found.trouble):
            screen = self.manager.current_screen
            if screen.name == "practice":
                screen.ask_again()

    def _get_ready(self, *_: Any) -> None:
        """The first frame has been seen: what else takes its time, before it is wanted."""
        self._screen("drill")
        settle()

    def _tidy(self, *_: Any) -> None:
        """A calm moment: the screens stay, and each question's own parts go with it."""
        sweep(keep=self.manager.current != "drill")

    def _tidy_all(self, *_: Any) -> None:
        """Screens were made anew: those before go now, which takes half a second, unless a cue may
        sound."""
        if self.manager.current == "drill":
            self._sweep_all()
        else:
            unsettle()
            sweep(keep=True)

    def _expect_nothing(self) -> None:
        self.practice.syncing.on_done = lambda _: None
        self._came.cancel()
        self._first_tick.cancel()
        self._sweep.cancel()
        self._sweep_all.cancel()
        self._make_ready.cancel()

    def build(self) -> ScreenManager:
        Window.softinput_mode = "below_target"  # a tablet's keyboard never covers what is written
        self.manager = ScreenManager(transition=NoTransition())
        self.manager.bind(size=lambda _, size: look.fit_room(*size))
        self._begin()
        if self._trouble:
            self.go("students")
            self._screen("students").trouble = self._trouble
        self._keys = Keys(self.manager)
        Window.bind(on_drop_file=self._dropped)
        return self.manager

    def _begin(self) -> None:
        """With the first screen, or with the steps of the first start where they are not done."""
        self.take_look()
        self.manager.add_widget(self._first())
        self._first_tick()
        first = not self.practice.settings.cautions_seen
        self.go("welcome" if first else "practice")

    def _first(self) -> KaanScreen:
        return PracticeScreen(
            self.practice,
            on_begin=self.begin,
            on_go_on=self.go_on,
            on_away=self.go,
            on_which=self.choose_which,
            name="practice",
        )

    def _make_drill(self) -> KaanScreen:
        from screens.drill import DrillScreen

        drill = DrillScreen(
            on_done=self.done,
            on_keep=self.practice.keep_phrase,
            trouble=lambda: self.practice.sound_trouble,
            name="drill",
        )
        drill.fbind("stage", lambda _, stage: self._sweep() if stage == "answered" else None)
        return drill

    def _screen(self, name: str) -> Any:
        """One screen. All but the first are made, and their modules read, when first wanted: the
        first frame would else come a quarter later."""
        if not self.manager.has_screen(name):
            if name not in self._later:
                self._later |= self.desk.makers()
            self.manager.add_widget(self._later[name]())
        return self.manager.get_screen(name)

    @property
    def desk(self) -> DeskWays:
        """The ways of the teacher's desk."""
        if self._desk is None:
            from screens.desk_ways import DeskWays

            self._desk = DeskWays(self.practice, self.go, self._screen, self.practise_as)
        return self._desk

    def go(self, name: str) -> None:
        """Show another screen."""
        self._screen(name)
        if name in LEADS_BACK and self.manager.current not in LEFT_FOR_GOOD:
            self._wanted_on[name] = self.manager.current
        self.manager.current = name
        if name != "drill":  # where a cue begins at once
            self._sweep()

    def _summary(self) -> KaanScreen:
        from screens.summary import SummaryScreen

        return SummaryScreen(
            on_close=self.back_from_drill,
            on_instrument=lambda: self.go("instrument"),
            on_leave_out=self.practice.leave_out_last,
            on_put_back=self.practice.put_back_last,
            name="summary",
        )

    def _cautions(self) -> KaanScreen:
        from screens.cautions import CautionsScreen

        folder = str(self.practice.folder)
        return CautionsScreen(on_close=lambda: self.go("practice"), folder=folder, name="cautions")

    def _welcome(self) -> KaanScreen:
        from screens.welcome import WelcomeScreen

        return WelcomeScreen(
            self.practice,
            on_begin=lambda: self.begin(self.practice.settings.minutes),
            on_close=lambda: self.go("practice"),
            on_look=self.take_look,
            on_words=lambda: self.say_anew("welcome"),
            name="welcome",
        )

    def _settings(self) -> KaanScreen:
        from screens.settings import SettingsScreen

        return SettingsScreen(
            self.practice,
            on_look=self.take_look,
            on_words=self.say_anew,
            on_close=lambda: self.go("practice"),
            on_away=self.go,
            logs=self.desk.logs,
            name="settings",
        )

    def _students(self) -> KaanScreen:
        from screens.students import StudentsScreen

        return StudentsScreen(
            self.practice,
            on_choose=self.practise_as,
            on_close=partial(self._back_from, "students"),
            name="students",
        )

    def practise_as(self, student: Known) -> None:
        """Let this student practise from now on; who did until now has all answers on disk. Raises
        StudentsError, and changes nothing, where that cannot be."""
        students, before = Students(self.practice.home), self.practice
        try:
            folder = students.ready(student)
            students.choose(folder)
            practice = before.of_another(folder)
        except (PracticeError, SchedulerError, OSError) as error:
            with suppress(StudentsError):
                students.choose(before.folder)
            raise StudentsError(f"{student.words} cannot practise now: {error}") from error
        self._expect_nothing()
        self._leave_screens()
        before.close()
        self._take(practice)
        self._begin()
        self.manager.remove_widget(self.manager.get_screen(BETWEEN))

    def _leave_screens(self) -> None:
        """Let go of all screens, with an empty one on view meanwhile."""
        manager = self.manager
        manager.add_widget(KaanScreen(name=BETWEEN))
        manager.current = BETWEEN
        manager.transition.stop()  # so that the one before is left now
        for screen in manager.screens[:-1]:
            screen.let_go()
            manager.remove_widget(screen)
        self._sweep_all()

    def _tap_test(self) -> KaanScreen:
        from screens.tap_test import TapTestScreen

        return TapTestScreen(self.practice, on_close=lambda: self.go("settings"), name="tap test")

    def _lesson(self) -> KaanScreen:
        from screens.lesson import LessonScreen

        return LessonScreen(
            self.practice, on_close=partial(self._back_from, "lesson"), name="lesson"
        )

    def _back_from(self, name: str) -> None:
        """To where this screen was wanted: the first one, or the settings."""
        self.go(self._wanted_on.get(name, "practice"))

    def _weak(self) -> KaanScreen:
        from screens.weak import WeakScreen

        return WeakScreen(
            self.practice,
            on_drill=self.drill_these,
            on_away=self.go,
            on_close=lambda: self.go("practice"),
            name="weak",
        )

    def _instrument(self) -> KaanScreen:
        from screens.instrument import InstrumentScreen

        return InstrumentScreen(
            self.practice, on_close=lambda: self.go("practice"), name="instrument"
        )

    def _which(self, mode: str) -> KaanScreen:
        from screens.modes import WhichScreen

        return WhichScreen(
            self.practice,
            mode,
            on_choose=self.chosen,
            on_close=lambda: self.go("practice"),
            name=mode,
        )

    def choose_which(self, mode: Mode) -> None:
        """Let it be said which kind or part is to be practised; `mode` may name one already."""
        self.go(mode.id)
        self._screen(mode.id).choose_from(mode.which)

    def chosen(self, mode: Mode) -> None:
        """A kind or part was chosen."""
        self._screen("practice").mode = mode
        self.go("practice")

    def take_look(self) -> None:
        """Take language, letters, text size, contrast, stillness and hand from the settings."""
        take_look(self.practice.settings)

    def say_anew(self, at: str = "settings") -> None:
        """Make all screens anew, as what is said or how it looks has changed, with one on view."""
        stood = where(self.manager.current_screen)
        self._expect_nothing()
        self._leave_screens()
        self._take(self.practice)
        self._begin()
        self.go(at)
        self.manager.remove_widget(self.manager.get_screen(BETWEEN))
        stand(self.manager.current_screen, stood)

    def begin(self, minutes: int, mode: Mode | None = None) -> None:
        """Start a session, of the day unless in another mode, and drill it. Raises ModeError."""
        self._drill(self.practice.start(minutes, mode or Mode()))

    def go_on(self, broken_off: BrokenOff) -> None:
        """Go on with a practice that was broken off, at its question. Raises ModeError."""
        self._drill(self.practice.start(broken_off.minutes, broken_off.mode, going_on=broken_off))

    def _drill(self, session: Session) -> None:
        self.go("drill")
        self._screen("drill").begin(session)

    def drill_these(self, skills: Sequence[str]) -> None:
        """Practise these skills at once, side by side. Raises ModeError."""
        self.begin(self.practice.settings.minutes, Mode.of_these(skills))

    def done(self, summary: Summary | None) -> None:
        """A session has ended: say what it was, or go back if nothing was answered."""
        self.practice.end()
        if summary is None:
            self.back_from_drill()
            return
        self._screen("summary").show(summary)
        self.go("summary")

    def back_from_drill(self) -> None:
        """To where the practice was begun."""
        self.go(self._wanted_on.get("drill", "practice"))

    def _dropped(self, _: Any, name: bytes, *__: Any) -> bool:
        """A file was dropped onto the window."""
        return self.desk.drop(Path(os.fsdecode(name)), onto=self.manager.current)

    # Put away, taken up again, closed.

    def on_pause(self) -> bool:
        """The tablet puts the app away: answers are on disk already; fall silent."""
        self.manager.current_screen.put_away()
        self.practice.speaker.volume_db = SILENT_DB
        return True

    def on_resume(self) -> None:
        """Sound again as loud as it is set."""
        self.practice.speaker.volume_db = self.practice.settings.volume_db

    def on_stop(self) -> None:
        """Let go of all screens and of the window."""
        self._expect_nothing()
        for screen in self.manager.screens:
            screen.let_go()
        Window.unbind(on_drop_file=self._dropped)
        self._keys.close()
