"""In which raga a question of stages is played, and its explanation at the same Sa beside it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import lru_cache

from audio.score import Score
from quizzes.fresh import Fresh
from quizzes.question import Question, Setting
from quizzes.ragas.raga import Raga
from quizzes.ragas.tradition import ragas
from quizzes.stages.asking import raga_for
from quizzes.stages.passages import LONGEST_S, SHORTEST_S, Passage, bears, in_turn, passage
from quizzes.stages.stage import Form
from quizzes.stages.tradition import form

WHOLE_S = (SHORTEST_S, LONGEST_S)
KEPT = 32
"""How many passages are kept: those of a question and of the next."""


def raga_bearing(fresh: Fresh, setting: Setting, known: Form, stages: Sequence[str]) -> Raga:
    """A raga in which all of these stages can be played, so that it tells none of them: one that
    the student has begun, else a usual one, else any."""
    taught = ragas(setting.tradition)

    def bearing(some: Iterable[str]) -> tuple[str, ...]:
        return tuple(
            raga
            for raga in some
            if raga in taught and all(bears(known.stages[stage], taught[raga]) for stage in stages)
        )

    among = bearing(setting.ragas) or bearing(known.ragas) or bearing(taught)
    return raga_for(fresh, replace(setting, ragas=among), known)


def played(
    question: Question, stage: str, *, lasts_s: tuple[float, float] = WHOLE_S, turn: str = ""
) -> Passage:
    """A passage of a stage in the raga that the question's `detail` names, at the Sa of its cue.

    It is always the same for one question; `turn` asks for another one.
    """
    setting = question.setting
    return _played(
        " ".join(filter(None, [question.skill, stage, turn])),
        question.seed,
        stage,
        question.detail["raga"],
        setting.tradition,
        setting.tuning,
        question.cue.sa_hz,
        lasts_s,
    )


@lru_cache(maxsize=KEPT)
def _played(
    drawn: str,
    seed: int,
    stage: str,
    raga: str,
    tradition: str,
    tuning: str,
    sa_hz: float,
    lasts_s: tuple[float, float],
) -> Passage:
    """Kept, since what explains the right answer mostly explains any other as well."""
    return passage(
        Fresh(drawn, seed),
        form(tradition).stages[stage],
        ragas(tradition)[raga],
        sa_hz=sa_hz,
        tuning=tuning,
        lasts_s=lasts_s,
        moves_sa=False,
        tradition=tradition,
    )


def played_in_turn(
    question: Question, stages: Sequence[str], *, lasts_s: tuple[float, float], turn: str = ""
) -> Score:
    """Passages of several stages, one after the other."""
    return in_turn(tuple(played(question, stage, lasts_s=lasts_s, turn=turn) for stage in stages))
