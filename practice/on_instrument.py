"""What a practice offers to play on the instrument: the palta of the day, and the time with it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, datetime

from audio.speakers import Speaker
from audio.tuning import Tuning, load_tuning
from practice.exercise import Exercise
from practice.given import Given
from practice.instrument import MINUTES, PaltaNoted, minutes_by_day
from practice.ladder import ladder_for
from practice.lesson import local
from practice.noted import Noted
from practice.settings import Settings
from practice.shelf import Shelf
from practice.sounding import Instrument, Sounding
from practice.varied import Varied
from practice.varying import of_day, vary
from scheduler import Memory
from scheduler.history import day_of


class OnInstrument(Noted):
    """For the student of these settings. What reads or writes the log raises LogError."""

    settings: Settings
    given: Given
    shelf: Shelf
    speaker: Speaker
    _memory: Memory
    _tuning: str
    _now: Callable[[], datetime]

    def moment(self) -> datetime:
        """Now, by the clock on the wall."""
        return local(self._now())

    def today(self) -> date:
        """The day by that clock."""
        return self.moment().date()

    def palta_of_day(self) -> Varied:
        """The palta that was given last today, on whichever device, at the tempo to which it has
        come; where none was, a new one, the same all day. It is given with `give_palta`."""
        noted = self.paltas_noted()
        given = of_day(noted, self.today(), self.given.tradition)
        if given is None:
            return self._offered(noted)
        ladder = ladder_for(noted, swaras=given.n, layout=given.layout.id)
        return replace(given, tempo=ladder.tempo)

    def another_palta(self, passed: Sequence[str] = ()) -> Varied:
        """A new one, other than those whose keys are `passed`, which were only looked at."""
        return self._offered(self.paltas_noted(), passed)

    def give_palta(self, varied: Varied, when: datetime | None = None) -> None:
        """Note that it is given, or was `when` that could not be noted, so that it is never given
        again."""
        self.note_palta(varied.key, tempo=varied.tempo, detail=varied.detail, when=when)

    def _offered(self, noted: Sequence[PaltaNoted], passed: Sequence[str] = ()) -> Varied:
        return vary(
            noted,
            begun=self._memory.beliefs,
            day=self.today(),
            student=self.settings.student_id,
            tradition=self.given.tradition,
            passed=passed,
        )

    def minutes_today(self) -> float:
        """Minutes on the instrument that are noted today."""
        today = day_of(self.moment())
        return minutes_by_day(self._notes.read(MINUTES)).get(today, 0.0)

    def sa_and_tuning(self) -> tuple[float, Tuning]:
        """The student's Sa, in Hz, and the tuning."""
        return self.settings.sa_hz, load_tuning(self._tuning)

    def sounding(self) -> Sounding:
        """What plays on the student's speaker."""
        settings = self.settings
        instrument = Instrument(settings.body, settings.tarab, self.shelf.recordings)
        return Sounding(self.speaker, instrument)

    def exercise(self) -> Exercise:
        """A time on the instrument; it shows nothing yet: call `open`."""
        return Exercise(self)
