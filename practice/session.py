"""The way of one answer: pick, make, play, mark, log, remember, and pick again.

Both the window and the terminal call this; nothing of the drill lives in a screen. A session is
used from one thread; it makes the next question and its sound on a thread of its own while the
last explanation is being read.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from datetime import datetime

from audio import render
from audio.format import SAMPLE_RATE
from audio.score import Score
from audio.speakers import Playing, Speaker
from practice.errors import StepError
from practice.own_line import own_score
from practice.recording import Recorder
from practice.sounding import Instrument, Samples, Sounding, loop_of
from practice.steps import Ready, Step, StepMaker, Student
from practice.summary import Summary, moved_skills, rest_caution, threshold_lines
from practice.thresholds import Thresholds
from quizzes.catalogue import kind_of
from quizzes.explanation import Explanation
from quizzes.question import Mark
from scheduler import Answer, Plan

LONGEST_COUNTED_S = 90.0
"""A tablet that was put down stops the session's clock after so long at one question."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What an answer was worth, and what there is to say and to hear about it."""

    mark: Mark
    explanation: Explanation


class Session:
    """A practice of so many minutes, each answer of which goes to `keep`; made by `Practice`. It
    begins with the question `first` where one is given; `on_step` is told of each, and of the
    seconds that are left."""

    def __init__(
        self,
        *,
        plan: Plan,
        keep: Callable[[Answer], object],
        speaker: Speaker,
        student: Student,
        instrument: Instrument,
        thresholds: Thresholds,
        minutes: float,
        seeds: Callable[[], int],
        now: Callable[[], datetime],
        first: Step | None = None,
        on_step: Callable[[Step, float], None] = lambda step, left_s: None,
    ) -> None:
        self._plan, self._student, self._on_step = plan, student, on_step
        self._thresholds, self._now = thresholds, now
        self._instrument = instrument
        self._sounding = Sounding(speaker, instrument)
        self._steps = StepMaker(
            plan=plan,
            student=student,
            instrument=instrument,
            thresholds=thresholds,
            seeds=seeds,
            now=now,
            first=first,
        )
        self._recorder = Recorder(keep, student, now)
        self._minutes = minutes
        self._before, self._begun = plan.memory, now()
        self._asked: list[str] = []
        self._right = self._new = self._shown_again = 0
        self._spent_s = 0.0
        self._counted_from: float | None = None
        self._ready: Ready | None = None
        self._outcome: Outcome | None = None
        self._introducing = self._shown_heard = False
        self._first_heard: Playing | None = None
        self._last_heard: Playing | None = None
        self._ended = False
        self._maker = ThreadPoolExecutor(1, thread_name_prefix="next-question")
        self._coming = self._make_next()
        self._maker.submit(render.warm_up)

    def _make_next(self) -> Future[Ready | None]:
        number, left_s = len(self._asked) + 1, self.seconds_left
        return self._maker.submit(self._steps.make, number, seconds_left=left_s)

    # Asking.

    @property
    def ready(self) -> bool:
        """Whether `next` would return at once."""
        return self._coming.done()

    def next(self) -> Step | None:
        """The next question, or None when the time is up. Waits if it is still being made."""
        if self._ready is not None and self._outcome is None:
            raise StepError("the question is not answered yet: call answer() before next()")
        self._ready = self._coming.result()
        self._count_time()
        self._outcome = self._first_heard = self._last_heard = None
        if self._ready is None:
            return None
        self._introducing, self._shown_heard = self._ready.shown is not None, False
        self._right_explained = self._explain_right(self._ready)
        self._on_step(self._ready.step, self.seconds_left)
        return self._ready.step

    def _explain_right(self, ready: Ready) -> Future[Explanation]:
        """What explains the right answer, made while the question is being heard: any other answer
        is mostly explained by the same sounds, which a kind may keep."""
        if ready.explained is not None:
            done: Future[Explanation] = Future()
            done.set_result(ready.explained)
            return done
        question = ready.step.question
        return self._maker.submit(kind_of(question.skill).explain, question, question.right[0])

    @property
    def introducing(self) -> bool:
        """Whether the new skill is still being shown and the question not yet asked."""
        return self._introducing

    @property
    def shown(self) -> Explanation | None:
        """What explains the new skill that is being shown; None once it is asked."""
        return self._current().explained if self._introducing else None

    def ask(self) -> None:
        """The introduction is over: what follows counts."""
        self._current()
        self._introducing = False

    def play(self) -> Playing:
        """Play the introduction while it lasts, then the cue; as often as wished."""
        ready = self._current()
        question = ready.step.question
        if self._introducing and ready.shown is not None:
            shown = ready.shown
            if not self._shown_heard:
                self._shown_heard = True
                return self._play(shown.score, shown.blocks)
            return self._play(shown.score)
        if self._first_heard is not None:
            self._last_heard = self._play(question.cue)
        else:
            self._first_heard = self._sounding.play(question.cue, ready.drone, ready.blocks)
            self._last_heard = self._first_heard
        return self._last_heard

    def cue_ms(self, moment: float) -> int:
        """Where the cue was at a `time.monotonic()` moment, in milliseconds of its score: what was
        heard by who touched the screen then, since the device's latency is taken out."""
        if self._last_heard is None:
            raise StepError("the cue has not sounded yet: call ask() and play()")
        began_at = self._last_heard.ends_at - self.seconds_of(self._current().step.question.cue)
        return round((moment - began_at) * 1000.0 - self._student.tap_latency_ms)

    def cue_ms_at(self, second: float) -> int:
        """The millisecond of the cue's score at a second of the sound as it was played last, which
        may begin with the drone alone."""
        return round((second - self._sounding.lead_s) * 1000.0)

    def hear_own(self, given: str) -> Playing:
        """Play a line that the student has written so far, over the drone and at the tempo of the
        question. The cue counts as heard no more and no less. Raises KeyError for a line that
        could not be given."""
        question = self._current().step.question
        return self._play(own_score(question, given))

    def play_told(self, cue: Score) -> Playing:
        """Play a cue that stands in the explanation, such as one place of a line."""
        self._explained()
        return self._play(cue)

    def hush(self) -> None:
        """Let what is played fade; the drone goes on."""
        self._sounding.hush()

    # Answering.

    def answer(self, given: str) -> Outcome:
        """Mark the choice `given`; it is kept, on disk as the log does, before this returns."""
        step = self._current().step
        if self._outcome is not None:
            raise StepError("the question is answered already: call next()")
        if self._introducing or self._first_heard is None:
            raise StepError("the cue has not sounded yet: call ask() and play()")
        monotonic_s, heard_until = time.monotonic(), self._first_heard.ends_at
        kind = kind_of(step.question.skill)
        mark = kind.mark(step.question, given)
        answer = self._recorder.record(step, given, mark, monotonic_s, heard_until)
        self._count(step, is_right=mark.right)
        self._sounding.hush()
        self._plan.answered(answer)
        self._thresholds.add(step.question, given, step.chance)
        self._steps.heard(step.question.skill, right=mark.right)
        self._asked.append(step.question.skill)
        if given == step.question.right[0]:
            explained = self._right_explained.result()
        else:
            explained = kind.explain(step.question, given)
        self._outcome = Outcome(mark, explained)
        self._count_time()
        self._coming = self._make_next()
        for cue in (self._outcome.explanation.right_cue, self._outcome.explanation.given_cue):
            if cue is not None and cue.drone != step.question.cue.drone:
                self._maker.submit(loop_of, cue)  # to be heard as soon as it is asked for
        return self._outcome

    def _count(self, step: Step, *, is_right: bool) -> None:
        """What was presented just before was told: it is no question answered right."""
        if step.introduction is None:
            self._right += is_right
        elif step.once_more:
            self._shown_again += 1
        else:
            self._new += 1

    def play_right(self) -> Playing:
        """Play what it was."""
        return self._play(self._explained().right_cue)

    def play_given(self) -> Playing:
        """Play what was answered instead."""
        cue = self._explained().given_cue
        if cue is None:
            raise StepError("the answer was right: there is nothing else to play")
        return self._play(cue)

    def play_slowly(self) -> Playing:
        """Play what it was, slowly."""
        cue = self._explained().slow_cue
        if cue is None:
            raise StepError("what it was is not played slowly: see Explanation.slow_cue")
        return self._play(cue)

    def seconds_of(self, score: Score) -> float:
        """How long a score sounds on this instrument, until nothing rings any more."""
        return self._instrument.frames_of(score) / SAMPLE_RATE

    # Ending.

    @property
    def seconds_left(self) -> float:
        """Of the time asked for; it stands still while a question lies unanswered for long."""
        return max(0.0, self._minutes * 60.0 - self._spent_s - self._uncounted_s())

    def end(self) -> Summary:
        """Fade everything out and say what moved. May be called at any time, more than once."""
        if not self._ended:
            self._count_time()
            self._ended = True
            self._counted_from = None
            self._sounding.end()
            self._maker.shutdown(wait=False, cancel_futures=True)
        now = self._now()
        spent_min = self._spent_s / 60.0
        return Summary(
            answered=len(self._asked),
            right=self._right,
            minutes=spent_min,
            moved=moved_skills(
                self._asked,
                before=lambda skill: self._before.state(skill, self._begun),
                after=lambda skill: self._plan.memory.state(skill, now),
                called=self._student.given.name_of,
            ),
            thresholds=threshold_lines(self._asked, self._thresholds),
            caution=rest_caution(spent_min),
            new=self._new,
            shown=self._shown_again,
        )

    @property
    def ids(self) -> tuple[str, ...]:
        """Under which its answers stand in the log: one, or more where the device slept."""
        return tuple(self._recorder.ids)

    # Within.

    def _current(self) -> Ready:
        if self._ready is None:
            raise StepError("there is no question yet: call next()")
        return self._ready

    def _explained(self) -> Explanation:
        if self._outcome is None:
            raise StepError("the question is not answered yet: call answer()")
        return self._outcome.explanation

    def _play(self, score: Score, blocks: Iterator[Samples] | None = None) -> Playing:
        """A score of the present question, over its own drone: an explanation may have another."""
        ready = self._current()
        cue = ready.step.question.cue
        is_alike = (score.sa_hz, score.drone) == (cue.sa_hz, cue.drone)
        return self._sounding.play(score, ready.drone if is_alike else loop_of(score), blocks)

    def _uncounted_s(self) -> float:
        if self._counted_from is None:
            return 0.0
        return min(time.monotonic() - self._counted_from, LONGEST_COUNTED_S)

    def _count_time(self) -> None:
        """Move the time since the last count to what is spent."""
        self._spent_s += self._uncounted_s()
        self._counted_from = time.monotonic()
