"""What a student has written, in sound: at the Sa and over the drone of the question's own cue."""

from __future__ import annotations

from audio.playing import score_of
from audio.score import Score
from audio.tuning import Tuning, load_tuning
from practice.phrases import USUAL_TEMPO, raga_of
from quizzes.question import Question
from quizzes.ragas.sounding import tuned_to
from quizzes.ragas.tradition import ragas


def own_score(question: Question, given: str) -> Score:
    """The score of a line of sargam. Raises KeyError for one that could not be given."""
    return score_of(
        question.line_given(given),
        _tuning(question),
        sa_hz=question.cue.sa_hz,
        matras_per_min=60.0 / matra_s_of(question),
        drone=question.cue.drone,
    )


def matra_s_of(question: Question) -> float:
    """How long a matra of such a line lasts, in seconds."""
    return 60.0 / float(question.detail.get("tempo", USUAL_TEMPO))


def _tuning(question: Question) -> Tuning:
    """The student's own; in a raga, with the swaras low that it has low."""
    tuning, raga = load_tuning(question.setting.tuning), raga_of(question)
    known = ragas(question.setting.tradition)
    return tuned_to(known[raga], tuning) if raga in known else tuning
