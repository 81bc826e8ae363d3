"""A student's practice: settings, log and memory brought together; sessions start here."""

from __future__ import annotations

import os
import secrets
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, date, datetime
from functools import partial
from pathlib import Path
from typing import Any

from practice import broken_off
from practice.backing import Backing
from practice.broken_off import BrokenOff
from practice.courses import (
    CourseChoice,
    course_choices,
    course_of,
    item_of,
    items_of,
    missing_words,
)
from practice.errors import FolderError, ModeError, SettingsError, StepError
from practice.given import Given, given_in, tuning_of
from practice.held import Held, practices_of
from practice.lesson import (
    Dates,
    dates_for,
    lesson_words,
    next_lesson,
    raga_words,
    ragas_to_choose,
    skills_for,
)
from practice.modes import Asked, Mode, Modes
from practice.note_book import notes_of
from practice.on_instrument import OnInstrument
from practice.outlook import Outlook, outlook_of
from practice.previewing import memory_beside
from practice.remembered import Remembered
from practice.session import Session
from practice.settings import MOST_MINUTES, Settings, load_settings, save_settings
from practice.shelf import Shelf
from practice.sounding import Instrument
from practice.speaking import NO_SOUND, speaker_of
from practice.standing import LOG_NAME, Standing
from practice.steps import Step, Student
from practice.syncing import Syncing
from practice.thresholds import Thresholds
from practice.whose import id_in_settings
from quizzes.courses import Course, load_course
from quizzes.decks.deck import Deck
from quizzes.names import capital
from scheduler import (
    Answer,
    DayPace,
    Lesson,
    Log,
    LogError,
    Plan,
    Recalled,
)
from words import say, unread

LOG_WAIT_S = 1.0
"""How long an answer waits for another program that holds the log, before the student is told."""
DAY = Mode()
_LOST = (
    "only answers. The usual settings are in use, for the student who has answered last; nothing "
    "that was answered is lost. Set your name and your Sa again."
)


def default_folder() -> Path:
    """Where a student's settings and log are kept: KAAN_HOME, or the user's data folder."""
    if home := os.environ.get("KAAN_HOME"):
        return Path(home)
    if os.name == "nt" and (local := os.environ.get("LOCALAPPDATA")):
        return Path(local) / "Kaan"
    return Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share") / "kaan"


class Practice(Remembered, OnInstrument):
    """Opens settings and log in a student's `folder` (made if missing); what all students of a
    device share, decks and courses, lies in `home`, the same folder unless given.

    `speaker` is a choice of `open_speaker` that stands above the student's own setting; where
    "auto" finds no device, `without_device` is opened. Raises FolderError or LogError when the
    folder cannot be made or the log not be opened at all. `seeds` and `now` are given by tests
    that want the same practice twice.
    """

    def __init__(
        self,
        folder: Path,
        *,
        home: Path | None = None,
        speaker: str | None = None,
        without_device: str = "silence",
        seeds: Callable[[], int] = lambda: secrets.randbits(63),
        now: Callable[[], datetime] = lambda: datetime.now(UTC),
    ) -> None:
        self.folder, self.home = folder, home or folder
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise FolderError(
                f"{folder}: {error.strerror or error}. Settings and log cannot be kept there; "
                "name another folder with --folder or KAAN_HOME."
            ) from error
        self._seeds, self._now = seeds, now
        is_told = bool(id_in_settings(folder))
        self.settings, trouble = load_settings(folder)
        self._log = Log(folder / LOG_NAME, wait_s=LOG_WAIT_S)
        self._troubles: dict[str, tuple[str, ...]] = {}
        self._tell("settings", trouble)
        self._tell("log", self._log.trouble)
        self.shelf = Shelf(self.home)
        self._keep_student(is_told=is_told)
        self.given = self._read_given()
        self._take_course(self._read_course())
        self._without_device = without_device
        self._asked_for = speaker
        self._chosen = speaker or self.settings.speaker
        self._open_speaker()
        self._take_tuning()
        self._session: Session | None = None
        self._last: Session | None = None
        self._before: Recalled | None = None
        self._seeds_drawn: dict[tuple[date, float, Mode], int] = {}
        self._forget()
        self._backing = Backing(self._log, self.today(), partial(self._tell, "backup"))
        self.syncing = Syncing(self.home, now=now, is_busy=lambda: self._session is not None)
        self.syncing.look()

    @property
    def troubles(self) -> list[str]:
        """What had to be mended or could not be used, in plain words."""
        self._tell("journal", self._log.journal_trouble)
        self._tell("in step", self.syncing.trouble)
        told = (say(text) for texts in [*self._troubles.values()] for text in texts)
        return [*unread(), *told, *missing_words(self.course)]

    def _tell(self, of: str, *texts: str | None) -> None:
        """What is wrong with the settings, the course and so on, in place of what was said of it
        before."""
        self._troubles[of] = tuple(filter(None, texts))

    def _keep_student(self, *, is_told: bool) -> None:
        """Give a student whose settings were lost, and do not tell an id, the log that is
        theirs."""
        last = "" if is_told else self._log.last_student()
        if last:
            self.settings = replace(self.settings, student_id=last)
            if not self._troubles["settings"]:
                self._tell("settings", f"There were no settings in {self.folder}, {_LOST}")
        save_settings(self.settings, self.folder)

    def _read_course(self) -> Course:
        """The course that is set; the usual one, and a word about it, where it cannot be read."""
        try:
            found = course_of(self.settings, self.home, self.given)
            self._tell("course")
            return found
        except SettingsError as error:
            said = capital(str(error)).removesuffix(".")
            self._tell("course", f"{said}. Until then the usual course is taken.")
            return load_course()

    def _read_given(self) -> Given:
        self._stamp = self.shelf.stamp()
        given, troubles = given_in(self.shelf)
        self._tell("given", *troubles)
        return given

    def take_given(self) -> None:
        """Take over what the teacher has given, after it has changed: what is asked follows; the
        running session goes on as it began."""
        self.given = self._read_given()
        self._take_course(self._read_course())
        with suppress(LogError):  # then what was known goes on, and is read at the next end
            self._remember()

    def courses(self) -> tuple[CourseChoice, ...]:
        """The courses that there are, shipped and of the student's own, read afresh."""
        return course_choices(self.home, self.given)

    def _take_course(self, course: Course) -> None:
        self.course = course
        self._items = items_of(course, self.given)

    def _open_speaker(self) -> None:
        self.speaker, troubles = speaker_of(
            self._chosen, self.folder, without_device=self._without_device
        )
        self._tell("speaker", *troubles)
        self.speaker.volume_db = self.settings.volume_db

    def _take_tuning(self) -> None:
        self._tuning, trouble = tuning_of(self.settings.tuning)
        self._tell("tuning", trouble)

    def refresh(self) -> None:
        """Notice what has been added to the log or left out by another process, and what a teacher
        has given anew; does little where nothing is new. What cannot be read now is noticed
        later."""
        if self._session is None:
            if self.shelf.stamp() != self._stamp:
                self.take_given()
            self._notice()

    def save(self, settings: Settings) -> None:
        """Keep new settings and take them over; the running session goes on as it began.

        Raises SettingsError, and changes nothing, when they cannot be written or their course not
        be read.
        """
        course = self.course
        if settings.course != self.settings.course:
            course = course_of(settings, self.home, self.given)
        save_settings(settings, self.folder)
        before, self.settings = self.settings, settings
        if course is not self.course:
            self._take_course(course)
            self._tell("course")
            with suppress(LogError):  # then what was known goes on, and is read at the next end
                self._remember()
        if settings.speaker != before.speaker:
            self.speaker.close()
            self._chosen = settings.speaker
            self._open_speaker()
        self.speaker.volume_db = settings.volume_db
        if settings.tuning != before.tuning:
            self._take_tuning()

    @property
    def sound_trouble(self) -> str | None:
        """What keeps cues from being heard, in plain words; None when all is well."""
        if self.speaker.name == "silence" and self._chosen != "silence":
            return say(NO_SOUND)
        return say(self.speaker.trouble or "") or None

    def modes(self) -> Modes:
        """The ways to practise that there are now."""
        settings, now = self.settings, self._now()
        at = next_lesson(settings, now)
        lesson = None if at is None else Lesson(at, skills_for(self._items, settings.lesson_ragas))
        words = self.lesson_words()
        new_left = DayPace(self.course.pace, self._begun_at).left(now)
        return Modes(
            self.course, self._items, self._memory, now, lesson, words, self.given, new_left
        )

    def lesson_words(self) -> str:
        """When the next lesson is and what it is about; empty where none is set."""
        return lesson_words(self.settings, self._now(), self.given.tradition)

    def lesson_dates(self) -> Dates:
        """The days of which one may be that of a lesson out of turn."""
        return dates_for(self.settings, self._now())

    def lesson_ragas(self) -> tuple[tuple[str, str], ...]:
        """The ragas that a lesson may be about: (id, name) of those that the course asks."""
        chosen, begun = self.settings.lesson_ragas, self._memory.beliefs
        return ragas_to_choose(self._items, chosen, begun, self.given.tradition)

    def outlook(self, minutes: int, mode: Mode = DAY) -> Outlook:
        """What a practice in this mode holds, and why. Raises ModeError where it cannot be had."""
        modes = self.modes()
        asked = modes.asked(mode)
        lasts = asked.minutes_of(minutes)
        plan = self._plan(asked, lasts, modes.now, self._seed_for(minutes, mode, modes.now))
        ragas = self.settings.lesson_ragas
        about = raga_words(ragas, self.given.tradition) if asked.lesson else ""
        return outlook_of(plan, lasts, self.given.name_of, is_enough=lasts < minutes, about=about)

    def _seed_for(self, minutes: float, mode: Mode, now: datetime) -> int:
        """One for all looks ahead of a day and for the practice itself, until that begins: what
        was announced is what comes."""
        key = (now.astimezone().date(), minutes, mode)
        # In one step: another thread may look ahead while this one begins.
        return self._seeds_drawn.setdefault(key, self._seeds())

    def _plan(self, asked: Asked, minutes: float, started: datetime, seed: int = 0) -> Plan:
        return Plan(
            asked.items,
            self._memory,
            minutes=minutes,
            started=started,
            seed=seed,
            lesson=asked.lesson,
            side_by_side=asked.side_by_side,
            meant=asked.meant,
            new_a_day=self.course.pace,
            begun_at=self._begun_at,
        )

    def start(
        self, minutes: float, mode: Mode = DAY, *, going_on: BrokenOff | None = None
    ) -> Session:
        """Begin a session, or go on with the one that was broken off; one that still runs is ended
        first. Raises ModeError."""
        self.end()
        modes = self.modes()
        asked = modes.asked(mode)
        seed = self._seed_for(minutes, mode, modes.now)
        self._seeds_drawn.clear()
        minutes = asked.minutes_of(minutes)
        self._plan_now = self._plan(asked, minutes, modes.now, seed)
        self._last, self._before = None, self._recalled
        self._session = self._session_of(
            self._plan_now,
            minutes,
            self.given,
            self._thresholds,
            self._log.append,
            first=going_on.step if going_on else None,
            on_step=lambda step, left_s: broken_off.keep(self.folder, mode, left_s, step),
        )
        return self._session

    def _session_of(
        self,
        plan: Plan,
        minutes: float,
        given: Given,
        thresholds: Thresholds,
        keep: Callable[[Answer], object],
        **more: Any,
    ) -> Session:
        settings = self.settings
        return Session(
            plan=plan,
            keep=keep,
            speaker=self.speaker,
            student=Student(
                settings.student_id,
                settings.device_id,
                settings.sa_hz,
                self._tuning,
                settings.gap_names,
                given,
                settings.tap_latency_ms,
            ),
            instrument=self._instrument(),
            thresholds=thresholds,
            minutes=minutes,
            seeds=self._seeds,
            now=self._now,
            **more,
        )

    def broken_off(self) -> BrokenOff | None:
        """The practice that was broken off in its midst and can be gone on with."""
        if self._session is not None:
            return None
        name_of, is_asked = self.given.name_of, self._is_asked
        found = broken_off.read(self.folder, name_of=name_of, is_asked=is_asked)
        if found is not None:
            try:
                self.modes().asked(found.mode)
            except ModeError:  # a part of the course, or a deck, that is there no more
                return None
        return found

    def _is_asked(self, step: Step) -> bool:
        """Whether a question of a practice that was broken off can be asked now: not if its answer
        came into the log, nor where another would be made, as at another Sa."""
        question, settings = step.question, self.settings
        try:
            last = self._log.latest(settings.student_id, question.skill, 1)
        except LogError:  # then another question is sure not to be asked twice
            return False
        of, now = question.setting, (settings.sa_hz, self._tuning, settings.gap_names)
        return (
            all(answer.seed != question.seed for answer in last)
            and (of.sa_hz, of.tuning, of.names) == now
            and of.tradition in ("", self.given.tradition)
            and of.deck == self.given.entry_of(question.skill)
            and self._instrument().has(question.cue)
        )

    def _instrument(self) -> Instrument:
        return Instrument(self.settings.body, self.settings.tarab, self.shelf.recordings)

    def preview(self, deck: Deck, skill: str) -> Session:
        """A session that asks this one skill of a deck, which need not be on the shelf, as a
        student meets it: shown first, then asked as often as is wanted. Nothing goes into the log
        or into what is known. Who takes it ends it; a practice that still runs is ended first."""
        self.end()
        given = Given(self.given.tradition, {deck.id: deck})
        asked, now = given.skills(deck.id), self._now()
        (tried,) = (each for each in asked if each.id == skill)
        memory = memory_beside(tried, asked, now)
        items = (item_of(tried),)
        plan = Plan(items, memory, minutes=MOST_MINUTES, started=now, seed=self._seeds())
        return self._session_of(plan, MOST_MINUTES, given, Thresholds(), lambda answer: None)

    def end(self) -> None:
        """End the running session, if any, and keep what it taught."""
        if self._session is not None:
            self._end_session()
            broken_off.let_go(self.folder)

    def _end_session(self) -> None:
        if self._session is not None:
            self._session.end()
            self._last, self._session = self._session, None
            self._memory = self._plan_now.memory
            self._begun_at = self._plan_now.begun_at
            with suppress(LogError):  # the answers are in the log, and read when it can be again
                self._remember()
            self.syncing.look()

    def leave_out_last(self) -> None:
        """Let the answers of the session that has just ended count for nothing, as somebody else's;
        they stay in the log. Raises StepError where none has ended, and LogError."""
        self._say_of_last(self._log.leave_out)

    def put_back_last(self) -> None:
        """Let the answers of the session that has just ended count again; see `leave_out_last`."""
        self._say_of_last(self._log.put_back)

    def _say_of_last(self, say: Callable[..., None]) -> None:
        if self._last is None:
            raise StepError("no session has ended yet: call end() first")
        self._say(say, self._last.ids)
        self._recalled = self._before  # so that only what came since need be read
        self._forget()

    def practices(self) -> list[Held]:
        """The student's practices, left out or not, the last at the end. Raises LogError."""
        student = self.settings.student_id
        return practices_of(self._log.sessions(student), self._log.left_out(student))

    def turn(self, held: Held) -> None:
        """Leave a practice out, or put it back where it is; `refresh` then takes it over. Raises
        LogError."""
        self._say(self._log.put_back if held.is_out else self._log.leave_out, held.sessions)

    def _say(self, say: Callable[..., None], sessions: Sequence[str]) -> None:
        student, device = self.settings.student_id, self.settings.device_id
        say(*sessions, student=student, device=device, utc=self._now())

    def standing(self) -> Standing:
        """How the student stands, as of the last practice that has ended."""
        return Standing(
            self.settings,
            self.course,
            self._items,
            self.given,
            self._memory,
            self._history,
            self._now().astimezone(),
            partial(self._log.latest, self.settings.student_id),
            is_course_here=self.course.id == self.settings.course,
            notes=notes_of(self._log, self.settings.student_id),
        )

    def of_another(self, folder: Path) -> Practice:
        """The practice of another student of this device, by the same speaker if one was asked for
        and the same clock; this one falls silent, and is to be closed. Raises as opening does; then
        this one goes on."""
        self.end()
        self.speaker.close()
        try:
            return Practice(
                folder,
                home=self.home,
                speaker=self._asked_for,
                without_device=self._without_device,
                seeds=self._seeds,
                now=self._now,
            )
        except BaseException:
            self._open_speaker()
            raise

    def close(self) -> None:
        """Close everything; a practice that runs can be gone on with."""
        self._end_session()
        self.speaker.close()
        self._backing.close()
        self.syncing.close()
        self._log.close()
