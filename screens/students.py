"""Who practises on this device: chosen, added, called otherwise, set aside or taken back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.widget import Widget

from practice import Practice, PracticeError
from practice.called import checked_name, cleaned, plain
from practice.dates import year_word
from practice.students import NO_NAME, Known, Students
from quizzes.names import capital, counted
from screens.drawn import is_drawn
from screens.keys import KaanScreen, focus_on
from screens.look import load_kv
from screens.name_words import CANNOT
from screens.notes import SA_NOTES, note_of
from screens.student_rows import SET_ASIDE, AsideRow, StudentMore, StudentRow
from words import say, to_say

NOW = to_say("Practises now.")
DOUBLED = to_say(
    "{student} practises here already. If this is somebody else of that name, add them once "
    "more, best with a second name."
)
ADDED = to_say("Added. Touch the name to let them practise.")
AT_ONCE = 8
MANY = 8
"""Where there are more, a name can be looked for."""


class StudentsScreen(KaanScreen):
    """`on_choose` is told who is to practise; it may raise PracticeError."""

    trouble = StringProperty("")
    done = StringProperty("")
    """What was just done."""
    adding = BooleanProperty(False)
    """Whether a name is being written."""
    many = BooleanProperty(False)
    any_aside = BooleanProperty(False)

    def __init__(
        self,
        practice: Practice,
        *,
        on_choose: Callable[[Known], None],
        on_close: Callable[[], None],
        **kwargs: Any,
    ) -> None:
        self.practice = practice
        self._on_choose, self._on_close = on_choose, on_close
        self._students = Students(practice.home)
        self._listed: list[tuple[Known, str]] = []
        self._doubled = ""  # the name that was said to be here already
        self._coming: list[tuple[Known, str]] = []
        self._rows: dict[tuple[Known, str], StudentRow] = {}
        super().__init__(**kwargs)
        self._filling = Clock.create_trigger(lambda _: self._fill(), 0)

    def on_pre_enter(self, *_: Any) -> None:
        """List afresh: a file that was brought in may have added one."""
        self.trouble = self.done = self.ids.find.text = ""
        self.adding = False
        self.show()
        self.ids.roll.to_top()

    # Showing.

    def show(self) -> None:
        """List those who practise here, and those set aside."""
        found = self._students.all()
        self.trouble = self._students.trouble or self.trouble
        self.many = len(found) > MANY
        told = [(plain(one.name), self._about(one)) for one in found]
        self._listed = [
            (one, f"{about} ({one.id})" if told.count((name, about)) > 1 else about)
            for one, (name, about) in zip(found, told, strict=True)
        ]
        self._rows = {told: row for told, row in self._rows.items() if told in self._listed}
        for row in self._rows.values():
            row.more = False
        self.look_for(self.ids.find.text)
        self._show_aside()

    def _show_aside(self) -> None:
        aside = self._students.aside()
        self.any_aside = bool(aside)
        self.ids.aside.clear_widgets()
        for one in aside:
            row = AsideRow(text=one.words)
            row.bind(on_back=partial(self._take_back, one))
            self.ids.aside.add_widget(row)

    def look_for(self, text: str) -> None:
        """Show those alone whose name has this in it."""
        wanted = plain(text)
        self.ids.rows.clear_widgets()
        self._coming = [
            (one, about)
            for one, about in self._listed
            if not self.many or wanted in plain(one.words)
        ]
        self._fill()

    def _fill(self) -> None:
        """List a few at once, and others in each frame to come: forty take a while to make."""
        made = 0
        while self._coming and made < AT_ONCE:
            told = self._coming.pop(0)
            made += told not in self._rows
            self.ids.rows.add_widget(self._row_of(*told))
        if self._coming:
            self._filling()

    def _row_of(self, one: Known, about: str) -> StudentRow:
        row = self._rows.get((one, about))
        if row is None:
            row = self._rows[one, about] = StudentRow(student=one, text=one.words, about=about)
            row.fault = _mended(one.trouble) if one.trouble else ""
            if not is_drawn(one.words):
                row.fault = say(CANNOT)
            row.bind(on_choose=self._choose, more=self._turn)
        return row

    def on_leave(self, *_: Any) -> None:
        """Nothing more is listed."""
        self._filling.cancel()

    def _is_now(self, student: Known) -> bool:
        return student.folder == self.practice.folder

    def _about(self, student: Known) -> str:
        """Who practises now, Sa, and when they were last here."""
        settings = self.practice.settings if self._is_now(student) else student.settings
        said = [say(NOW)] if self._is_now(student) else []
        if settings is not None:
            note = SA_NOTES[note_of(settings.sa_hz)[0]]
            said.append(say("Sa {note}, {hz} Hz.", note=note, hz=f"{settings.sa_hz:.1f}"))
        if not self._is_now(student):
            at = student.last_kept()
            said.append(
                say("Last answers here: {date}.", date=year_word(at))
                if at
                else say("No answers yet.")
            )
        return " ".join(said)

    # Doing.

    def _do(self, thing: Callable[[], object], done: str) -> bool:
        """Do it, list afresh and say it; or say why it cannot be. Whether it was done."""
        try:
            thing()
        except PracticeError as error:
            self.trouble, self.done = capital(str(error)).rstrip(".") + ".", ""
            return False
        self.trouble, self.done = "", done
        self.show()
        return True

    def _choose(self, row: StudentRow) -> None:
        if self._is_now(row.student):
            self._on_close()
            return
        try:
            self._on_choose(row.student)
        except PracticeError as error:
            self.trouble, self.done = capital(str(error)).rstrip(".") + ".", ""

    def _turn(self, row: StudentRow, wanted: bool) -> None:
        if not wanted:
            row.remove_widget(row.children[0])
            return
        more = StudentMore(name=row.student.name, may_go=not self._is_now(row.student))
        more.bind(
            on_rename=lambda _, name: self._rename(row.student, name),
            on_set_aside=lambda _: self._set_aside(row.student),
        )
        row.add_widget(more)

    def _rename(self, student: Known, name: str) -> None:
        def call_so() -> None:
            if self._is_now(student):
                settings = self.practice.settings
                self.practice.save(replace(settings, student_name=checked_name(name)))
            else:
                self._students.rename(student, name)

        self._do(call_so, "")

    def _set_aside(self, student: Known) -> None:
        def set_aside() -> None:
            self._do(
                lambda: self._students.set_aside(student),
                say("Set aside, with all answers; “Take back” below lists them again."),
            )

        way = say("Set aside now"), set_aside
        asked = say("Set {student} aside?", student=student.words)
        self.ask(asked, say(SET_ASIDE), way, say("Leave the list as it is"))

    def _take_back(self, student: Known, _: Any) -> None:
        self._do(lambda: self._students.put_back(student), say("Here again."))

    def begin_adding(self) -> None:
        """Let a name be written; touched again, add it."""
        if not self.adding:
            self.adding = True
            self.ids.roll.to_top()
            focus_on(self, self.ids.name)
            return
        self.add()

    def add(self) -> None:
        """Add a student of the name that was written."""
        name, settings = self.ids.name.text, self.practice.settings
        if plain(name) in self._names() and plain(name) != self._doubled:
            self._doubled, self.done = plain(name), ""
            self.trouble = say(DOUBLED, student=cleaned(name))
            return
        if self._do(lambda: self._students.add(name, like=settings), say(ADDED)):
            self.ids.name.text, self.adding, self._doubled = "", False, ""
            focus_on(self, None)
            self.ids.roll.to_top()
        else:
            focus_on(self, self.ids.name)

    def _names(self) -> set[str]:
        """As they are looked up, of those who have one."""
        return {plain(one.name) for one, _ in self._listed if one.name}

    def leave_adding(self) -> None:
        """Add nobody."""
        self.ids.name.text, self.adding, self._doubled = "", False, ""
        focus_on(self, None)

    def back(self) -> None:
        if self.adding:
            self.leave_adding()
        else:
            self._on_close()

    def main_thing(self) -> Widget | None:
        return self.ids.new


def _mended(trouble: str) -> str:
    """Of settings that cannot be read; what is wrong names a file, and stays as it is."""
    return say(
        "{trouble}. Chosen all the same, they begin with the usual settings; their answers are all "
        "there.",
        trouble=trouble,
    )


def who_words(practice: Practice) -> str:
    """Who practises now, where that may be somebody else; "" on a device of one student."""
    if len(Students(practice.home).all()) == 1:
        return ""
    return practice.settings.student_name or say(NO_NAME)


def here_words(practice: Practice) -> str:
    """How many practise on this device, for the settings."""
    count = len(Students(practice.home).all())
    if count == 1:
        return say("Only you so far.")
    return capital(counted(count, "{number} student.", "{number} students."))


load_kv("students")
