"""A file with a student's answers, before it is taken: whose they are, and how many are new."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Future
from contextlib import suppress
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Any

from practice import Practice, PracticeError
from practice.dates import year_word
from practice.errors import StudentsError
from practice.log_files import Taken, look_at_log, take_log
from practice.settings import read_settings
from practice.students import Known, Students
from practice.sync_words import A_STUDENT
from quizzes.names import capital
from scheduler import SchedulerError
from scheduler.errors import LogFileError
from screens.arriving import LOOKING, TAKING, ArrivingScreen, Piece
from screens.drawn import shortened
from screens.name_words import NameWords
from screens.on_thread import OnThread
from screens.widgets import Column, Panel, Plate, Words
from words import say, say_many, to_say

ENDINGS = (".zip", ".sqlite")
NOBODY_YET = to_say(
    "Nobody has practised on this device so far. If it is this student's own, let them practise "
    "here; if you teach them, go on as before."
)
LET_PRACTISE = to_say("Let this student practise here")
NOTED = to_say("There are new phrases kept, or minutes and paltas on the instrument.")


class ArrivingLogScreen(ArrivingScreen):
    """`on_practise` is told who is to practise, where the first answers on a device are brought to
    it; it may raise PracticeError. `is_any_waiting` says whether other files are to be looked at
    after this one."""

    def __init__(
        self,
        practice: Practice,
        *,
        on_practise: Callable[[Known], None],
        is_any_waiting: Callable[[], bool],
        **kwargs: Any,
    ) -> None:
        self._on_practise, self._is_any_waiting = on_practise, is_any_waiting
        self.offer: Plate | None = None
        self.is_looked_at = False
        self._path = Path()
        self._is_taking = False
        super().__init__(practice, **kwargs)
        self._on_thread = OnThread()

    def look(self, path: Path, *, on_done: Callable[[str], None]) -> None:
        """Look at a file, and show what taking it would do."""

        def done(said: str) -> None:
            self.is_looked_at = False
            on_done(said)

        self._begin(path, done)
        self._path, self.file = path, shortened(str(path))
        self.is_looked_at = True
        self._work(say(LOOKING), partial(look_at_log, path, self.practice.home), self._offer_log)

    def _work(self, saying: str, work: Callable[[], Taken], then: Callable[[Taken], None]) -> None:
        """Do it on a thread, and say so meanwhile; or say why it cannot be done."""
        title, self.title, self.busy = self.title, saying, True
        self.ids.roll.to_top()

        def done(coming: Future[Taken]) -> None:
            self.title, self.busy, self._is_taking = title, False, False
            try:
                found = coming.result()
            except (PracticeError, SchedulerError, OSError) as error:
                self._turn(say("This cannot be taken"))
                said = _wrong_lines(error) if isinstance(error, LogFileError) else (str(error),)
                self._show([Piece(say("What is wrong"), tuple(map(shortened, said)), wrong=True)])
                return
            then(found)

        self._on_thread.do(work, done)

    def _offer_log(self, found: Taken) -> None:
        is_own = found.student == self.practice.settings.student_id
        name = found.name or ("" if is_own else found.student)
        whose = say("Answers of whoever practises now") if is_own else say("Answers of")
        self._show_whose(whose, name, lines_of(found))
        words = say("Take them, and add this student") if found.is_new_student else say("Take them")
        self._ready(words, self._begin_taking, "")

    def _show_whose(self, words: str, name: str, lines: Sequence[str]) -> None:
        panel, inner = Panel(), Column()
        panel.add_widget(Words(text=words, role="small", tone="soft"))
        panel.add_widget(NameWords(text=name))
        for line in lines:
            inner.add_widget(Words(text=line))
        panel.add_widget(inner)
        self.ids.told.add_widget(panel)

    def take(self) -> None:
        """Do what its plate says."""
        if self._take is not None and not self.busy:
            self._take()

    def _begin_taking(self) -> None:
        path, practice = self._path, self.practice

        def taken() -> Taken:
            found = take_log(path, practice.home, datetime.now(UTC))
            practice.read_ahead()
            return found

        self._is_taking = True
        self._work(say(TAKING), taken, self._was_taken)

    def _was_taken(self, taken: Taken) -> None:
        is_empty = not self.practice.standing().memory.beliefs
        if taken.folder == self.practice.folder:
            self._follow()
        self.practice.refresh()
        self._taken = [" ".join(filter(None, [taken_words(taken), taken.trouble]))]
        is_first = is_empty and len(Students(self.practice.home).all()) == 2
        if taken.is_new_student and is_first and not self._is_any_waiting():
            self._offer_practice(taken)
            return
        self._on_done(self._said())

    def _offer_practice(self, taken: Taken) -> None:
        """Whoever has brought them may be their student, or the teacher."""
        self._turn(say("The answers are here"))
        self.leave_words = say("Go on as before")
        self._show_whose(say("Answers of"), taken.name or taken.student, [say(NOBODY_YET)])
        self.offer = Plate(text=say(LET_PRACTISE))
        self.offer.bind(on_release=lambda _: self._let_practise(taken))
        self.ids.told.add_widget(self.offer)

    def _follow(self) -> None:
        """Take over what the file has set for whoever practises now."""
        with suppress(PracticeError):
            settings, faults = read_settings(self.practice.folder)
            if not faults and settings != self.practice.settings:
                self.practice.save(settings)

    def _let_practise(self, taken: Taken) -> None:
        """Let the student who has come practise, and list no more who has no name and no answer;
        but not before all files were looked at that came meanwhile."""
        if self._is_any_waiting():
            self._on_done(self._said())
            return
        students, before = Students(self.practice.home), self.practice.settings
        (coming,) = (one for one in students.all() if one.folder == taken.folder)
        try:
            self._on_practise(coming)
        except PracticeError as error:
            self.trouble = str(error)
            return
        if not before.student_name:
            with suppress(StudentsError):
                students.set_aside(students.named(before.student_id))

    def back(self) -> None:
        """Leave it; but what is being taken is not left in the middle."""
        if not self._is_taking:
            self._on_thread.leave()
            super().back()

    def let_go(self) -> None:
        self._on_thread.leave()


def _wrong_lines(error: LogFileError) -> tuple[str, ...]:
    """What is wrong with a file, and the remedy; its name stands above."""
    return f"{capital(error.wrong)}.", f"{error.remedy}."


def lines_of(found: Taken) -> list[str]:
    """What a file holds, a line each: how many answers, from when, and what taking it adds."""
    count, said = found.new + found.known, []
    if not count:
        said.append(say("It holds no answers."))
    elif not found.known:
        said.append(say("{answers}, new here.", answers=answers_words(count)))
    elif not found.new:
        said.append(say("{answers}, here already.", answers=answers_words(count)))
    else:
        said.append(_here_too(found.new, new=True))
        said.append(_here_too(found.known, new=False))
    if found.first is not None and found.last is not None:
        first, last = _day(found.first), _day(found.last)
        if first == last:
            said.append(say("Of {date}.", date=first))
        else:
            said.append(say("From {first} to {last}.", first=first, last=last))
    if found.new_notes:
        said.append(say(NOTED))
    if found.is_new_student:
        said.append(say("This student is not here yet, and is added to those who practise here."))
    return said


def taken_words(taken: Taken) -> str:
    """`240 new answers of Mira are here.`"""
    name, noted = taken.name or say(A_STUDENT), f" {say(NOTED)}" if taken.new_notes else ""
    if not taken.new:
        here = say("All answers of {student} in this file were here already.", student=name)
    else:
        here = say_many(
            "{number} new answer of {student} is here.",
            "{number} new answers of {student} are here.",
            taken.new,
            number=f"{taken.new:,}",
            student=name,
        )
    return f"{here}{noted}"


def answers_words(count: int) -> str:
    """`1 answer`, `1,440 answers`"""
    return say_many("{number} answer", "{number} answers", count, number=f"{count:,}")


def _here_too(answers: int, *, new: bool) -> str:
    """Of a file that holds both: how many are new here, or here already."""
    number = f"{answers:,}"
    if new:
        return say_many(
            "{number} answer that is new here.",
            "{number} answers that are new here.",
            answers,
            number=number,
        )
    return say_many(
        "{number} answer that is here already.",
        "{number} answers that are here already.",
        answers,
        number=number,
    )


def _day(moment: datetime) -> str:
    """`3 March 2026`, by the wall here."""
    return year_word(moment.astimezone())
