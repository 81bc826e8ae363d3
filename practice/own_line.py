"""What a student has written, in sound: at the Sa and over the drone of the question's own cue."""

from __future__ import annotations

from audio.playing import score_of
from audio.score import Score
from audio.tuning import load_tuning
from practice.phrases import USUAL_TEMPO
from quizzes.question import Question


def own_score(question: Question, given: str) -> Score:
    """The score of a line of sargam. Raises KeyError for one that could not be given."""
    return score_of(
        question.line_given(given),
        load_tuning(question.setting.tuning),
        sa_hz=question.cue.sa_hz,
        matras_per_min=float(question.detail.get("tempo", USUAL_TEMPO)),
        drone=question.cue.drone,
    )
