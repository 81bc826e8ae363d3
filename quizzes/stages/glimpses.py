"""Stages heard in turn, each for a moment, to remind of an order."""

from __future__ import annotations

from collections.abc import Sequence

from audio.score import Score
from quizzes.fresh import Fresh
from quizzes.question import Question, Setting
from quizzes.ragas.raga import Raga
from quizzes.stages.explaining import played
from quizzes.stages.passages import Passage, in_turn, passage
from quizzes.stages.tradition import form
from words import to_say

MOST_HEARD = 4
"""So many stages can be kept in mind by ear; with a question on more, only one is heard."""
EACH_HEARD = to_say("You hear a moment of each in {raga}.")
RAGA_HEARD = to_say("You hear a phrase of {raga}, the raga of the performance.")
"""What a prompt says of its cue, with the raga's name; a phrase alone is of none of the stages."""
CUE_S, EXPLAINED_S = 16.0, 30.0
"""What so many last at most in all, and what more do."""
APART_S = 0.6
"""Between two of them."""
SHORTEST_S, LONGEST_S = 2.0, 4.5
"""One glimpse among several."""
ALONE_S = 5.0, 10.0
"""One alone."""


def opening(
    skill: str, seed: int, setting: Setting, raga: Raga, stages: Sequence[str]
) -> tuple[Score, str]:
    """What is heard with a question on these stages, and the same in writing: each of them in
    turn, or where they are too many, what has no pulse, as any performance has."""
    known = form(setting.tradition)
    if len(stages) <= MOST_HEARD:
        passages = _glimpses(skill, seed, setting, raga, stages)
        return in_turn(passages), " / ".join(each.sargam for each in passages)
    unmeasured = next(
        (each for each in known.stages.values() if not each.heard.pulse and not each.instead_of),
        known.stages[stages[0]],
    )
    alone = glimpse(skill, seed, setting, raga, unmeasured.id, ALONE_S)
    return alone.score, alone.sargam


def in_orders(question: Question, *orders: Sequence[str]) -> list[Score]:
    """Stages one after the other in each of these orders; each sounds the same in all of them, and
    is made once."""
    lasts_s = _each_s(max(map(len, orders)))
    made = {
        stage: played(question, stage, lasts_s=lasts_s)
        for stage in dict.fromkeys(stage for order in orders for stage in order)
    }
    return [in_turn(tuple(made[stage] for stage in order)) for order in orders]


def glimpse(
    skill: str, seed: int, setting: Setting, raga: Raga, stage: str, lasts_s: tuple[float, float]
) -> Passage:
    """One stage for so many seconds: the same for the same skill and seed."""
    return passage(
        Fresh(f"{skill} {stage}", seed),
        form(setting.tradition).stages[stage],
        raga,
        sa_hz=setting.sa_hz,
        tuning=setting.tuning,
        lasts_s=lasts_s,
        tradition=setting.tradition,
    )


def _glimpses(
    skill: str, seed: int, setting: Setting, raga: Raga, stages: Sequence[str]
) -> tuple[Passage, ...]:
    lasts_s = _each_s(len(stages))
    return tuple(glimpse(skill, seed, setting, raga, stage, lasts_s) for stage in stages)


def _each_s(count: int) -> tuple[float, float]:
    whole_s = CUE_S if count <= MOST_HEARD else EXPLAINED_S
    longest = min(LONGEST_S, whole_s / count - APART_S)
    return min(SHORTEST_S, longest), longest
