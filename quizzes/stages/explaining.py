"""What an explanation plays of stages: one beside another in the same raga and at the same Sa."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from audio.score import Score
from quizzes.fresh import Fresh
from quizzes.question import Question
from quizzes.ragas.tradition import ragas
from quizzes.stages.passages import LONGEST_S, SHORTEST_S, Passage, in_turn, passage
from quizzes.stages.tradition import form

WHOLE_S = (SHORTEST_S, LONGEST_S)


def played(
    question: Question, stage: str, *, lasts_s: tuple[float, float] = WHOLE_S, turn: str = ""
) -> Passage:
    """A passage of a stage in the raga that the question's `detail` names, at the Sa of its cue.

    It is always the same for one question; `turn` asks for another one.
    """
    setting = question.setting
    found = passage(
        Fresh(" ".join(filter(None, [question.skill, stage, turn])), question.seed),
        form(setting.tradition).stages[stage],
        ragas(setting.tradition)[question.detail["raga"]],
        sa_hz=question.cue.sa_hz,
        tuning=setting.tuning,
        lasts_s=lasts_s,
    )
    return replace(found, score=replace(found.score, sa_hz=question.cue.sa_hz))


def played_in_turn(
    question: Question, stages: Sequence[str], *, lasts_s: tuple[float, float], turn: str = ""
) -> Score:
    """Passages of several stages, one after the other."""
    return in_turn(tuple(played(question, stage, lasts_s=lasts_s, turn=turn) for stage in stages))
