"""A student who hears most gaps and takes a few of them for others, with real questions."""

from __future__ import annotations

import random
from datetime import timedelta

from quizzes.catalogue import kind_of, make_question
from quizzes.question import Setting
from scheduler import Answer

TAKEN_FOR = {
    "gap:R-P:up": "R-m",
    "gap:g-d:up": "g-P",
    "gap:S-n:down": "S-D",
    "gap:m-n:up": "m-D",
    "gap:G-N:together": "G-n",
    "gap:r-M:down": "r-m",
}
"""Skill → the gap that is heard instead, more often than not."""
DAYS = 70


def hear_gaps(practice, count, *, course=True, seed=1):
    """Let the student have answered `count` questions on gaps in the last ten weeks, above all
    those that come first in the course; those of `TAKEN_FOR` mostly wrongly."""
    fresh = random.Random(seed)
    asked = [item for item in practice._items if item.kind == "gap"]
    asked.sort(key=lambda item: item.skill not in TAKEN_FOR)
    asked = asked[: max(8, min(len(asked), count // 12))]
    now, answers = practice._now(), []
    for number in range(count):
        item = fresh.choice(asked)
        met = tuple({item.skill, *(each.skill for each in asked)})
        wrong = TAKEN_FOR.get(item.skill, "")
        rivals = (f"gap:{wrong}:{item.skill.rpartition(':')[2]}",) if wrong else ()
        setting = Setting(practice.settings.sa_hz, met=met[:24], rivals=rivals)
        question = make_question(item.skill, seed=number, setting=setting)
        given = _given(question, wrong, fresh, late=number / count)
        mark = kind_of(item.skill).mark(question, given)
        at = now - timedelta(days=DAYS * (1 - number / count))
        answers.append(
            Answer(
                student=practice.settings.student_id,
                skill=item.skill,
                kind=item.kind,
                seed=question.seed,
                setting=setting.as_json(),
                choices=tuple(choice.id for choice in question.choices),
                right=question.right,
                given=given,
                credit=mark.credit,
                heard=mark.heard,
                chance=question.chance,
                predicted=0.5,
                reason="settling",
                response_ms=2500,
                utc=at,
                offset_min=0,
                monotonic_s=12.0 * number,
                device="tablet",
                session=f"day {at:%j}",
            )
        )
    practice._log.append_all(answers)
    practice._remember()


def _given(question, wrong, fresh, *, late):
    offered = [choice.id for choice in question.choices]
    if wrong in offered:
        return wrong if fresh.random() < 0.85 else question.right[0]
    if fresh.random() < 0.1 * (1 - late):
        return fresh.choice([each for each in offered if each not in question.right])
    return question.right[0]
