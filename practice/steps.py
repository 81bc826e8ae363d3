"""Makes the next question of a session, and begins its sound before anybody waits for it."""

from __future__ import annotations

import itertools
import time
from collections import Counter, deque
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from datetime import datetime

from audio.score import Score
from practice.given import NOTHING, Given
from practice.sounding import Instrument, Samples, loop_of
from practice.thresholds import Thresholds
from quizzes.catalogue import (
    also_met,
    hears_teacher,
    is_of_stages,
    is_of_talas,
    kind_of,
    make_question,
    plays_in_ragas,
)
from quizzes.decks.deck import KIND
from quizzes.decks.posed import asked_with
from quizzes.explanation import Explanation
from quizzes.kept import OF_RAGAS
from quizzes.kinds.write import WriteKind
from quizzes.question import Question, Setting
from quizzes.ragas.asking import ragas_in
from quizzes.stages.asking import stages_in
from quizzes.stages.tradition import form
from quizzes.talas.asking import talas_in
from quizzes.talas.tradition import talas
from scheduler import Pick, Plan

MISSES_TO_PRESENT_AGAIN = 2
"""After so many misses in a row in one session a skill is presented afresh before it is asked."""

FRESH_TRIES, PHRASES_KEPT = 5, 40
"""A phrase that was among the last so many is drawn anew, at most so often; so is what
leaves only one answer possible."""

_DRAW_PHRASES = (OF_RAGAS, f"{KIND}:", f"{WriteKind.name}:")
"""How skills begin that are asked by one phrase or another."""

RIVALS_SHOWN = 3
RIVAL_WEIGHT_FROM = 0.3
"""A slip fades: below this weight a confusion no longer steers the choices."""


@dataclass(frozen=True, slots=True)
class Step:
    """One question of a session; `introduction` is set where the skill is shown first: as new, or
    `once_more`.

    `why` is for the student and may hint at the answer: show it after that. `reason` is its form
    in the log, `chance` that of a lucky guess, `predicted` that of a right answer.
    """

    number: int
    question: Question
    why: str
    introduction: str | None
    chance: float
    predicted: float
    reason: str
    once_more: bool = False


@dataclass(frozen=True, slots=True)
class Ready:
    """A step with its sound begun: the first blocks of its cue wait in memory, the rest streams."""

    step: Step
    drone: Samples | None
    blocks: Iterator[Samples]
    explained: Explanation | None
    """What explains its right answer, where that presents a new skill."""
    shown: Begun | None
    """The sound of it."""


@dataclass(frozen=True, slots=True)
class Begun:
    """A score and its sound, begun in the same way, to be taken once."""

    score: Score
    blocks: Iterator[Samples]


@dataclass(frozen=True, slots=True)
class Student:
    """Who practises, as it stands in the log and in every question's setting."""

    id: str
    device: str
    sa_hz: float
    tuning: str
    gap_names: str
    given: Given = NOTHING
    tap_latency_ms: float = 0.0
    """How late the device lets sound be heard and touches be seen, together."""


class StepMaker:
    """Asks the plan what comes next and makes it; may run on a thread of its own. Where a practice
    is gone on with, `first` is the question that was on view."""

    def __init__(
        self,
        *,
        plan: Plan,
        student: Student,
        instrument: Instrument,
        thresholds: Thresholds,
        seeds: Callable[[], int],
        now: Callable[[], datetime],
        first: Step | None = None,
    ) -> None:
        self._first = first
        self._plan, self._student, self._thresholds = plan, student, thresholds
        self._instrument, self._seeds, self._now = instrument, seeds, now
        self._misses: Counter[str] = Counter()
        self._lately: deque[str] = deque(maxlen=PHRASES_KEPT)
        self._last = ""

    def make(self, number: int, *, seconds_left: float) -> Ready | None:
        """The step of this number, or None when nothing fits into the time that is left."""
        if self._first is not None:
            going_on, self._first = self._first, None
            return self._ready(going_on)
        now = self._plan.now_at(time.monotonic(), self._now())
        pick = self._plan.pick(now, seconds_left=seconds_left)
        if pick is None:
            return None
        question = self._fresh_question(pick.skill, self._setting_for(pick, now))
        chance = self._chance(question)
        # What only one answer is left to would ask nothing: it is shown instead; so is what cannot
        # be heard, since its recording is gone.
        is_asked = chance < 1.0 and self._instrument.has(question.cue)
        introduced = pick.is_new or self._is_lost(pick.skill) or not is_asked
        if introduced:
            chance = 1.0  # an introduction tells the answer: that it is then given says nothing
        step = Step(
            number=number,
            question=question,
            why=pick.reason.sentence(self._student.given.name_of),
            introduction=kind_of(pick.skill).introduce(question) if introduced else None,
            chance=chance,
            predicted=self._plan.memory.predict(pick.skill, now, chance),
            reason=str(pick.reason),
            once_more=introduced and not pick.is_new,
        )
        return self._ready(step)

    def _ready(self, step: Step) -> Ready:
        question = step.question
        cue = self._begun(question.cue)
        explained, shown = None, None
        if step.introduction is not None:
            explained = kind_of(question.skill).explain(question, question.right[0])
            shown = self._begun(explained.intro_cue or explained.right_cue)
        return Ready(step, loop_of(cue.score), cue.blocks, explained, shown)

    def _begun(self, score: Score) -> Begun:
        blocks = self._instrument.blocks(score)
        first = list(itertools.islice(blocks, 1))  # the costly part of a pluck is its start
        return Begun(score, itertools.chain(first, blocks))

    def _begun_ragas(self) -> Collection[str]:
        """The ragas of which the student has been asked."""
        begun = (skill for skill in self._plan.memory.beliefs if skill.startswith(OF_RAGAS))
        return ragas_in(begun, self._student.given.tradition)

    def _begun_stages(self) -> Collection[str]:
        """The stages of a performance of which the student has been asked."""
        return stages_in(self._plan.memory.beliefs, form(self._student.given.tradition))

    def _begun_talas(self) -> Collection[str]:
        """The talas of which the student has been asked."""
        return talas_in(self._plan.memory.beliefs, talas(self._student.given.tradition))

    def _fresh_question(self, skill: str, setting: Setting) -> Question:
        """One that leaves several answers possible and whose phrase was not heard lately, if it can
        be had: who hears the same phrase of a raga again learns the phrase, not the raga."""
        for _ in range(FRESH_TRIES):
            question = make_question(skill, seed=self._seeds(), setting=setting)
            is_heard = skill.startswith(_DRAW_PHRASES) and question.sargam in self._lately
            if not is_heard and self._chance(question) < 1.0:
                break
        self._lately.append(question.sargam)
        return question

    def heard(self, skill: str, *, right: bool) -> None:
        """Learn of an answer, to present a skill once more when it is missed again and again."""
        self._misses[skill] = 0 if right else self._misses[skill] + 1
        self._last = skill

    def _chance(self, question: Question) -> float:
        """The chance of a lucky guess for who knows that no skill comes twice in a row."""
        if question.answer_on in ("written", "order", "shares", "taps", "several", "sargam"):
            return question.chance
        possible = set(question.possible or (choice.id for choice in question.choices))
        ruled_out = {choice.id for choice in question.choices if choice.skill == self._last}
        picked = len(question.right) / len(possible - ruled_out | set(question.right))
        return max(question.luck, picked)

    def _is_lost(self, skill: str) -> bool:
        """Whether it was missed so often in a row that asking on would teach nothing."""
        if self._misses[skill] < MISSES_TO_PRESENT_AGAIN:
            return False
        self._misses[skill] = 0
        return True

    def _setting_for(self, pick: Pick, now: datetime) -> Setting:
        memory, kind = self._plan.memory, pick.item.kind
        confused = memory.confusions(pick.skill, now)
        met = asked_with(pick.skill), *(f"{other}:" for other in also_met(kind))
        return Setting(
            sa_hz=self._student.sa_hz,
            tuning=self._student.tuning,
            names=self._student.gap_names,
            met=tuple(sorted(skill for skill in memory.beliefs if skill.startswith(met))),
            rivals=tuple(
                skill for skill, weight in confused[:RIVALS_SHOWN] if weight >= RIVAL_WEIGHT_FROM
            ),
            level=self._thresholds.next_level(pick.skill),
            tradition=self._student.given.tradition if hears_teacher(kind) else "",
            deck=self._student.given.entry_of(pick.skill),
            ragas=tuple(sorted(self._begun_ragas())) if plays_in_ragas(kind) else (),
            stages=tuple(sorted(self._begun_stages())) if is_of_stages(kind) else (),
            talas=tuple(sorted(self._begun_talas())) if is_of_talas(kind) else (),
        )
