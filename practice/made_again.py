"""Questions made again from their rows in the log, as far as they still can be."""

from __future__ import annotations

from audio.errors import AudioError
from practice.standing import Standing
from quizzes.catalogue import make_question
from quizzes.errors import QuizError
from quizzes.question import Question, Setting
from scheduler import Answer

OUTDATED = (
    QuizError,
    AudioError,
    ArithmeticError,
    AttributeError,
    LookupError,
    TypeError,
    ValueError,
)
"""What making a question, or explaining an answer to it, may raise where its row is of an older
log, of a deck or a teacher's word that has changed, or of another program."""


def made_again(answer: Answer, standing: Standing) -> Question | None:
    """The question that was answered; None where it cannot be made any more, or is another one now.

    A row of an older log may lack what every setting has now: it is taken from the student's own.
    """
    usual = {"sa_hz": standing.settings.sa_hz}
    try:
        setting = Setting.from_json({**usual, **answer.setting})
        question = make_question(answer.skill, seed=answer.seed, setting=setting)
    except OUTDATED:
        return None
    return question if question.right == answer.right else None


def asked_again(
    standing: Standing, skill: str, *, right: str | None = None, given: str | None = None
) -> Question | None:
    """The last question on a skill of which this was right, and to which this was given, made
    again; None where there is none that can be made."""
    for answer in standing.latest(skill, TRIED, right=right, given=given):
        question = made_again(answer, standing)
        if question is not None:
            return question
    return None


TRIED = 4
"""So many of the last rows are tried."""
