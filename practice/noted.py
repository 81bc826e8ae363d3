"""What a practice notes beside answers: phrases that the student keeps, and the instrument."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from practice import instrument, phrases
from practice.instrument import GIVEN, PaltaNoted
from practice.note_book import NoteBook
from practice.phrases import KeptPhrase
from practice.settings import Settings
from practice.syncing import Syncing
from quizzes.question import Question
from scheduler import Log


class Noted:
    """The notes of the student of these settings. All of it raises LogError."""

    settings: Settings
    syncing: Syncing
    _log: Log
    _now: Callable[[], datetime]

    def keep_phrase(self, question: Question, given: str) -> KeptPhrase:
        """Keep what was given to a question, such as a phrase that was made; kept twice, it is kept
        once. Raises KeyError for what is no line of the question."""
        return phrases.keep_phrase(self._notes, question, given)

    def phrases(self) -> tuple[KeptPhrase, ...]:
        """The phrases that the student has kept, the newest first."""
        return phrases.kept_in(self._notes)

    def let_go(self, phrase: KeptPhrase) -> None:
        """Keep a phrase no more; its note stays in the log, and another one says so."""
        phrases.let_go(self._notes, phrase)

    def take_back(self, phrase: KeptPhrase) -> None:
        """Keep a phrase again that was let go."""
        phrases.take_back(self._notes, phrase)

    def hand_on(self) -> None:
        """Put what was noted into the folder that is kept in step, where there is one, and do not
        wait for it."""
        self.syncing.look()

    def has_kept_phrases(self) -> bool:
        """Whether the student has ever kept one, let go since or not."""
        return bool(self._notes.read(phrases.PHRASE))

    def note_palta(
        self,
        key: str,
        said: str = GIVEN,
        *,
        tempo: float = 0.0,
        detail: Mapping[str, Any] | None = None,
        when: datetime | None = None,
    ) -> PaltaNoted:
        """Note that a palta was given, so that it never is again, or what the student said of
        playing it: one of `practice.instrument.SAID`; just now, or `when` it was. Raises
        AnswerError for anything else."""
        book = self._notes
        return instrument.note_palta(book, key, said, tempo=tempo, detail=detail, when=when)

    def note_minutes(
        self, minutes: float, *, palta: str = "", when: datetime | None = None
    ) -> None:
        """Note minutes on the instrument that have ended just now, or `when` they did; with which
        palta, if with one. Raises AnswerError for what no day holds."""
        instrument.note_minutes(self._notes, minutes, palta=palta, when=when)

    def paltas_noted(self) -> tuple[PaltaNoted, ...]:
        """All that was noted of paltas, in order."""
        return instrument.paltas_of(self._notes.read(instrument.PALTA))

    @property
    def _notes(self) -> NoteBook:
        return NoteBook(self._log, self.settings.student_id, self.settings.device_id, self._now)
