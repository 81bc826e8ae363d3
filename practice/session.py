"""The way of one answer: pick, make, play, mark, log, remember, and pick again.

Both the window and the terminal call this; nothing of the drill lives in a screen. A session is
used from one thread; it makes the next question and its sound on a thread of its own while the
last explanation is being read.
"""

from __future__ import annotations

import itertools
import time
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from audio import render
from audio.format import SAMPLE_RATE
from audio.score import Drone, Score
from audio.speakers import Playing, Speaker
from practice.errors import StepError
from practice.summary import Summary, moved_skills, rest_caution, threshold_lines
from practice.thresholds import Thresholds
from quizzes.catalogue import kind_of, make_question, skill_of
from quizzes.question import Explanation, Mark, Question, Setting
from scheduler import Answer, Log, Pick, Plan, new_uuid

LONGEST_COUNTED_S = 90.0
"""A tablet that was put down stops the session's clock after so long at one question."""

DRONE_SETTLES_S = 0.9
"""After a change of drone the cue waits until the ear has it."""

RIVALS_SHOWN = 3
RIVAL_WEIGHT_FROM = 0.3
"""A slip fades: below this weight a confusion no longer steers the choices."""


@dataclass(frozen=True, slots=True)
class Step:
    """One question of a session; `introduction` is set where the skill is new."""

    number: int
    question: Question
    why: str
    introduction: str | None
    predicted: float
    reason: str


@dataclass(frozen=True, slots=True)
class Outcome:
    mark: Mark
    explanation: Explanation


@dataclass(frozen=True, slots=True)
class _Ready:
    """A step with its sound begun: the first blocks wait in memory, the rest streams."""

    step: Step
    drone: np.ndarray | None
    blocks: Iterator[np.ndarray]


@dataclass(frozen=True, slots=True)
class Student:
    """Who practises, as it stands in the log and in every question's setting."""

    id: str
    device: str
    sa_hz: float
    tuning: str
    gap_names: str


class Session:
    """A practice of so many minutes; made by `Practice.start`."""

    def __init__(
        self,
        *,
        plan: Plan,
        log: Log,
        speaker: Speaker,
        student: Student,
        thresholds: Thresholds,
        minutes: float,
        seeds: Callable[[], int],
        now: Callable[[], datetime],
    ) -> None:
        self._plan, self._log, self._speaker, self._student = plan, log, speaker, student
        self._thresholds, self._seeds, self._now = thresholds, seeds, now
        self._id = new_uuid()
        self._minutes = minutes
        self._before, self._begun = plan.memory, now()
        self._asked: list[str] = []
        self._right = 0
        self._spent_s = 0.0
        self._step: Step | None = None
        self._step_began: float | None = None
        self._outcome: Outcome | None = None
        self._introducing = False
        self._first_heard: Playing | None = None
        self._drone_of: tuple[float, Drone | None] | None = None
        self._maker = ThreadPoolExecutor(1, thread_name_prefix="next-question")
        self._coming: Future[_Ready | None] = self._maker.submit(self._make)
        self._ready: _Ready | None = None
        self._ended = False

    # -- asking -------------------------------------------------------------------------------

    @property
    def ready(self) -> bool:
        """Whether `next` would return at once."""
        return self._coming.done()

    def next(self) -> Step | None:
        """The next question, or None when the time is up. Waits if it is still being made."""
        if self._step is not None and self._outcome is None:
            raise StepError("the question is not answered yet: call answer() before next()")
        ready = self._coming.result()
        self._count_time()
        self._ready = ready
        self._outcome = self._first_heard = None
        self._step = None if ready is None else ready.step
        self._step_began = time.monotonic()
        self._introducing = ready is not None and ready.step.introduction is not None
        return self._step

    def play(self) -> Playing:
        """Play the introduction while it lasts, then the cue; as often as wished."""
        step, ready = self._current()
        if self._introducing:
            return self._play_score(self._introduction_cue(step))
        fresh_drone = self._change_drone(step.question.cue, ready.drone)
        lead_s = DRONE_SETTLES_S if fresh_drone else 0.0
        first = self._first_heard is None
        blocks = ready.blocks if first else render.blocks(step.question.cue, drone=False)
        playing = self._play(step.question.cue, blocks, lead_s=lead_s)
        if first:
            self._first_heard = playing
        return playing

    @property
    def introducing(self) -> bool:
        """Whether the new skill is still being shown and the question not yet asked."""
        return self._introducing

    def ask(self) -> None:
        """The introduction is over: what follows counts."""
        self._current()
        self._introducing = False

    # -- answering ----------------------------------------------------------------------------

    def answer(self, given: str) -> Outcome:
        """Mark the choice `given`; the log has it on disk before this returns."""
        step, _ = self._current()
        if self._outcome is not None:
            raise StepError("the question is answered already: call next()")
        if self._introducing or self._first_heard is None:
            raise StepError("the cue has not sounded yet: call ask() and play()")
        monotonic_s, heard_until = time.monotonic(), self._first_heard.ends_at
        kind = kind_of(step.question.skill)
        mark = kind.mark(step.question, given)
        answer = self._row(step, given, mark, monotonic_s, monotonic_s - heard_until)
        self._log.append(answer)
        self._plan.answered(answer)
        self._thresholds.add(step.question, mark)
        self._asked.append(step.question.skill)
        self._right += mark.right
        self._outcome = Outcome(mark, kind.explain(step.question, given))
        self._count_time()
        self._coming = self._maker.submit(self._make)
        return self._outcome

    def _row(
        self, step: Step, given: str, mark: Mark, monotonic_s: float, response_s: float
    ) -> Answer:
        question, local = step.question, self._now().astimezone()
        offset = local.utcoffset()
        return Answer(
            student=self._student.id,
            skill=question.skill,
            kind=question.kind,
            seed=question.seed,
            setting=question.setting.as_json(),
            choices=tuple(choice.id for choice in question.choices),
            right=question.right,
            given=given,
            credit=mark.credit,
            heard=mark.heard,
            chance=question.chance,
            predicted=step.predicted,
            reason=step.reason,
            response_ms=round(response_s * 1000),
            utc=local,
            offset_min=0 if offset is None else round(offset.total_seconds() / 60),
            monotonic_s=monotonic_s,
            device=self._student.device,
            session=self._id,
        )

    def play_right(self) -> Playing:
        """Play what it was."""
        return self._play_score(self._explained().right_cue)

    def play_given(self) -> Playing:
        """Play what was answered instead."""
        cue = self._explained().given_cue
        if cue is None:
            raise StepError("the answer was right: there is nothing else to play")
        return self._play_score(cue)

    def stop(self) -> None:
        """Silence the cue; the drone goes on."""
        self._speaker.stop()

    # -- ending -------------------------------------------------------------------------------

    @property
    def seconds_left(self) -> float:
        running_s = 0.0
        if self._step_began is not None:
            running_s = min(time.monotonic() - self._step_began, LONGEST_COUNTED_S)
        return max(0.0, self._minutes * 60.0 - self._spent_s - running_s)

    def end(self) -> Summary:
        """Fade everything out and say what moved. May be called at any time, more than once."""
        if not self._ended:
            self._ended = True
            self._count_time()
            self._speaker.stop()
            self._speaker.set_drone(None)
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
            ),
            thresholds=threshold_lines(self._asked, self._thresholds),
            caution=rest_caution(spent_min),
        )

    # -- within -------------------------------------------------------------------------------

    def _current(self) -> tuple[Step, _Ready]:
        if self._step is None or self._ready is None:
            raise StepError("there is no question yet: call next()")
        return self._step, self._ready

    def _explained(self) -> Explanation:
        if self._outcome is None:
            raise StepError("the question is not answered yet: call answer()")
        return self._outcome.explanation

    def _count_time(self) -> None:
        """Move the time since the last count to what is spent, no more than a put-down allows."""
        if self._step_began is not None:
            self._spent_s += min(time.monotonic() - self._step_began, LONGEST_COUNTED_S)
        self._step_began = None if self._ended else time.monotonic()

    def _make(self) -> _Ready | None:
        now = self._now()
        pick = self._plan.pick(now, seconds_left=self.seconds_left)
        if pick is None:
            return None
        question = make_question(
            pick.skill, seed=self._seeds(), setting=self._setting_for(pick, now)
        )
        kind = kind_of(pick.skill)
        step = Step(
            number=len(self._asked) + 1,
            question=question,
            why=pick.reason.sentence(lambda skill: skill_of(skill).name),
            introduction=kind.introduce(question) if pick.is_new else None,
            predicted=self._plan.memory.predict(pick.skill, now, question.chance),
            reason=str(pick.reason),
        )
        cue = question.cue
        drone = None if cue.drone is None else render.drone_loop(cue.drone, sa_hz=cue.sa_hz)
        blocks = render.blocks(cue, drone=False)
        first = list(itertools.islice(blocks, 1))  # the costly part of a pluck is its start
        return _Ready(step, drone, itertools.chain(first, blocks))

    def _setting_for(self, pick: Pick, now: datetime) -> Setting:
        memory, kind = self._plan.memory, pick.item.kind
        confused = memory.confusions(pick.skill, now)
        return Setting(
            sa_hz=self._student.sa_hz,
            tuning=self._student.tuning,
            names=self._student.gap_names,
            met=tuple(sorted(s for s in memory.beliefs if s.startswith(f"{kind}:"))),
            rivals=tuple(
                skill for skill, weight in confused[:RIVALS_SHOWN] if weight >= RIVAL_WEIGHT_FROM
            ),
            level_cents=self._thresholds.next_level(pick.skill),
        )

    def _introduction_cue(self, step: Step) -> Score:
        """What the right answer's explanation plays presents the skill."""
        question = step.question
        return kind_of(question.skill).explain(question, question.right[0]).right_cue

    def _play_score(self, score: Score) -> Playing:
        _, ready = self._current()
        fresh_drone = self._change_drone(score, ready.drone)
        lead_s = DRONE_SETTLES_S if fresh_drone else 0.0
        return self._play(score, render.blocks(score, drone=False), lead_s=lead_s)

    def _play(self, score: Score, blocks: Iterable[np.ndarray], *, lead_s: float) -> Playing:
        lead_frames = round(lead_s * SAMPLE_RATE)
        if lead_frames:
            blocks = itertools.chain((np.zeros(lead_frames, np.float32),), blocks)
        return self._speaker.play(blocks, frames=lead_frames + render.frames_of(score))

    def _change_drone(self, score: Score, loop: np.ndarray | None) -> bool:
        """Set the drone that the score asks for; True if it is another than before."""
        wanted = (score.sa_hz, score.drone)
        if wanted == self._drone_of:
            return False
        self._speaker.set_drone(loop)
        self._drone_of = wanted
        return True
