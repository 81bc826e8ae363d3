"""What a student does with the palta of the day on the instrument: plays to its theka, and says how
it went.

Nothing here listens to the student. What is said of playing moves the tempo and is noted; minutes
are counted while the theka sounds, by a monotonic clock, and noted when it ends, or every few
minutes, so that a device whose battery dies loses no more than those. `tick` is to be called often.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, TypeVar

from audio.speakers import Playing
from practice.accompaniment import Accompaniment, Beat
from practice.errors import StepError
from practice.instrument import AGAIN, CLEAN, SLOWER
from practice.ladder import REST_AFTER_HANDS_MIN, Ladder, is_to_rest
from practice.sounding import Sounding, loop_of
from practice.varied import Varied
from practice.varied_sound import heard
from scheduler import LogError

if TYPE_CHECKING:
    from practice.on_instrument import OnInstrument

Told = TypeVar("Told")

REST_S = 300.0
"""As long as `ladder.REST` says."""
AGAINST_IT_S = 60.0 * REST_AFTER_HANDS_MIN / 2
"""Who plays on against advice is reminded sooner, after half the time (our choice)."""
NOTED_EVERY_S = 300.0
LEAST_NOTED_S = 3.0
"""Less is no practice yet, and waits for more."""
LONGEST_TICK_S = 30.0
"""Of more between two ticks the device slept through the rest, in which nobody heard a theka."""


class Exercise:
    """One student's time on the instrument; made by `Practice.exercise`.

    All of it is called from one thread. A log that cannot be written just now is told of in
    `trouble`, and what is owed to it is written later.
    """

    def __init__(
        self,
        practice: OnInstrument,
        *,
        clock: Callable[[], float] = time.monotonic,
        wall: Callable[[], float] = time.time,
    ) -> None:
        self._practice, self._clock, self._wall = practice, clock, wall
        self.varied: Varied | None = None
        """The palta on view; None before `open`, and where the log could not be read."""
        self._is_given = False
        """Whether it is noted as given, which it is once it has sounded or was played to."""
        self._passed: list[str] = []
        """The keys of those that were only looked at on this day."""
        self._of_day: tuple[date, str] | None = None
        """The day on which this was opened last, and the key of its palta then."""
        self.trouble = ""
        self.has_played = False
        """Whether the theka of this palta has sounded, so that there is something to say of it."""
        self._tempo = 0.0
        self._last_said: tuple[str, float] | None = None
        """The last word since the theka began, and the tempo of which it was said."""
        self._sounded = 0.0
        """The tempo at which it sounded last."""
        self._theka: Accompaniment | None = None
        self._once: Playing | None = None
        self._sounding: Sounding
        self._ticked = clock()
        self._counted = practice.moment()
        """When what is not noted yet had sounded."""
        self._in_one_go_s = self._unnoted_s = 0.0
        self._noted_s: dict[date, float] = {}
        """By day, what is noted or owed to the log."""
        self._ended: tuple[float, float] | None = None
        self._rests = self._is_ending = False
        self._owed: list[Callable[[], object]] = []
        self._has_noted = False

    # What is on view.

    def open(self) -> None:
        """Show the palta of the day; the one on view stays as it is where it is still that one."""
        minutes, day = self._read(self._practice.minutes_today), self._practice.today()
        if minutes is not None:
            self._noted_s[day] = minutes * 60.0
        found = self._read(self._practice.palta_of_day)
        if found is None:
            return
        on_view, before = self.varied, self._of_day
        stays = before is not None and before[0] == day
        if on_view is None or before is None or not stays:
            self._passed = []
            self._show(found)
        elif found.key not in (before[1], on_view.key):  # given since on another device
            self._show(found)
        self._of_day = day, found.key

    def another(self) -> None:
        """Show another palta, also one that was never given before; what was only looked at until
        now may come again on another day."""
        passed = self._passed + ([] if self.varied is None else [self.varied.key])
        found = self._read(lambda: self._practice.another_palta(passed))
        if found is not None:
            self._passed = passed
            self._show(found)

    def _give(self) -> None:
        """Note that the palta on view is given."""
        varied = self.varied
        if varied is not None and not self._is_given:
            self._is_given, when = True, self._practice.moment()
            self._write(lambda: self._practice.give_palta(varied, when))

    def _show(self, varied: Varied) -> None:
        self.stop()
        self._is_given = varied.is_given
        self.varied, self._tempo = varied, varied.tempo
        self.has_played, self._last_said = False, None

    @property
    def is_playing(self) -> bool:
        """Whether the theka goes on."""
        return self._theka is not None

    @property
    def is_ending(self) -> bool:
        """Whether it does so no longer than to the next sam, for the hands to rest."""
        return self._theka is not None and self._is_ending

    @property
    def is_heard(self) -> bool:
        """Whether the palta itself is being played, once."""
        return self._once is not None

    @property
    def tempo(self) -> float:
        """Matras a minute that sound now or, in silence, with which the theka will begin."""
        beat = self.beat()
        return self._tempo if beat is None else beat.tempo

    @property
    def next_tempo(self) -> float:
        """Matras a minute from the next sam on."""
        return self._tempo

    @property
    def is_at_top(self) -> bool:
        """Whether no theka goes faster."""
        return Ladder().at(self._tempo).is_at_top

    def beat(self) -> Beat | None:
        """What sounds of the theka now."""
        return None if self._theka is None else self._theka.beat()

    @property
    def minutes_today(self) -> float:
        """On the instrument, those that are not noted yet as well."""
        return (self._noted_s.get(self._practice.today(), 0.0) + self._unnoted_s) / 60.0

    @property
    def rest_left_s(self) -> float:
        """For how long the hands are to rest; 0 where they need not."""
        return max(0.0, REST_S - self._quiet_s) if self._rests else 0.0

    @property
    def _quiet_s(self) -> float:
        """Since the theka ended; by the clock on the wall too, as the other may stand still while
        the device sleeps."""
        if self._ended is None:
            return 0.0
        ended, ended_wall = self._ended
        return max(self._clock() - ended, self._wall() - ended_wall)

    # Sound.

    def hear(self) -> None:
        """Play the palta once, up and down, over its theka; not while one is played to."""
        if self.varied is None or self._theka is not None:
            return
        self.stop()
        sa_hz, tuning = self._practice.sa_and_tuning()
        score = heard(self.varied, tempo=self._tempo, sa_hz=sa_hz, tuning=tuning)
        self._once = self._sounding_here().play(score, loop_of(score))
        self._give()

    def start(self) -> None:
        """Let the theka begin, to be played to. Raises StepError while the hands are to rest."""
        if self.rest_left_s:
            raise StepError("the hands are to rest: wait, or call play_on()")
        self._begin()

    def play_on(self) -> None:
        """The same, after a rest that the student cuts short in so many words."""
        if self.rest_left_s:
            self._in_one_go_s = 60.0 * REST_AFTER_HANDS_MIN - AGAINST_IT_S
        self._begin()

    def _begin(self) -> None:
        if self.varied is None or self._theka is not None:
            return
        if self._quiet_s >= REST_S:
            self._in_one_go_s = 0.0
        sa_hz, _ = self._practice.sa_and_tuning()
        self._theka = Accompaniment(
            self.varied,
            tempo=self._tempo,
            sa_hz=sa_hz,
            speaker=self._practice.speaker,
            sounding=self._sounding_here(),
            clock=self._clock,
        )
        self._once, self._rests, self._is_ending = None, False, False
        self.has_played, self._ticked = True, self._clock()
        self._sounded, self._last_said = self._tempo, None
        self._give()

    def stop(self) -> None:
        """Let all sound fade, and note the minutes."""
        if self._theka is not None:
            self._count()
            self._theka.stop()
            self._end()
        elif self._once is not None:
            self._once = None
            self._sounding.end()

    def done(self) -> None:
        """The same, and write what could not be written before."""
        self.stop()
        self._write()
        if self._has_noted and not self._owed:
            self._has_noted = False
            self._practice.hand_on()

    def _sounding_here(self) -> Sounding:
        """What sounds already or, out of silence, one on the speaker and the sitar that are set
        now."""
        if self._once is None:
            self._sounding = self._practice.sounding()
        return self._sounding

    # Saying how it went.

    def clean(self) -> None:
        """It was clean: faster from the next sam on."""
        self._say(CLEAN)

    def again(self) -> None:
        """Once more at the same tempo."""
        self._say(AGAIN)

    def slower(self) -> None:
        """It was too fast."""
        self._say(SLOWER)

    def _say(self, said: str) -> None:
        varied, is_silent = self.varied, self._theka is None
        if varied is None or not self.has_played:
            return
        tempo = self._sounded if is_silent else self.tempo
        waits = is_silent or self._tempo != tempo
        if waits and self._last_said == (said, tempo):
            return  # said already of what sounds, or did last
        self._last_said = said, tempo
        self._tempo = Ladder().at(tempo).after(said).tempo
        if self._theka is not None:
            self._theka.tempo = self._tempo
        note, when = self._practice.note_palta, self._practice.moment()
        self._write(lambda: note(varied.key, said, tempo=tempo, detail=varied.detail, when=when))

    # Time.

    def tick(self) -> None:
        """Count what has sounded, and let the theka end at the caution's time."""
        if self._theka is None:
            self._ticked = self._clock()
            if self._once is not None and self._once.ended:
                self.stop()
            return
        self._count()
        self._theka.tick()
        if self._theka.over:
            self._end()
            return
        if not self._is_ending and is_to_rest(self._in_one_go_s / 60.0):
            self._is_ending = True
            self._theka.end()
        if self._unnoted_s >= NOTED_EVERY_S:
            self._note_minutes()

    def _count(self) -> None:
        """What has sounded since the last tick; what did on the day before is noted for that."""
        now, moment = self._clock(), self._practice.moment()
        passed_s = min(now - self._ticked, LONGEST_TICK_S)
        if moment.date() != self._counted.date():
            self._note_minutes()
        self._ticked, self._counted = now, moment
        beat = self.beat()
        if beat is not None:
            self._sounded = beat.tempo
            self._in_one_go_s += passed_s
            self._unnoted_s += passed_s

    def _end(self) -> None:
        """The theka sounds no more; where that was long enough the hands are to rest."""
        self._theka = None
        self._ended = self._clock(), self._wall()
        self._rests = is_to_rest(self._in_one_go_s / 60.0)
        self._sounding.end()
        self._note_minutes()

    # The log.

    def _note_minutes(self) -> None:
        if self.varied is None or self._unnoted_s < LEAST_NOTED_S:
            return
        minutes, palta, note = self._unnoted_s / 60.0, self.varied.key, self._practice.note_minutes
        when = self._counted
        self._noted_s[when.date()] = self._noted_s.get(when.date(), 0.0) + self._unnoted_s
        self._unnoted_s = 0.0
        self._write(lambda: note(minutes, palta=palta, when=when))

    def _write(self, note: Callable[[], object] | None = None) -> None:
        """Write this, with the time at which it was said, after all that is still owed."""
        self._owed += [] if note is None else [note]
        self._has_noted |= bool(self._owed)
        while self._owed:
            if self._read(self._owed[0]) is None and self.trouble:
                return
            del self._owed[0]

    def _read(self, ask: Callable[[], Told]) -> Told | None:
        """What the log says; None, and a word in `trouble`, where it cannot be had just now."""
        self.trouble = ""
        try:
            return ask()
        except LogError as error:
            self.trouble = str(error)
            return None
