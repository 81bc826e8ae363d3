"""A student's log, made up: answers over some weeks to real questions of the course, with things
that are taken for others, kinds that are answered in a hurry, and days without practice."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from quizzes.catalogue import kind_of, make_question
from quizzes.question import Setting
from scheduler import Answer, Item

SA_HZ = 277.18


@dataclass
class Made:
    """How the student answers: each thing of `taken` is taken for the other at a rate; a share of
    the answers of the kinds in `hurried` is given at once, at random."""

    known: float = 0.85
    taken: dict[tuple[str, str], tuple[str, float]] = field(default_factory=dict)
    """(skill's beginning, right id) → (given id, rate)."""
    hurried: dict[str, float] = field(default_factory=dict)
    days: tuple[int, ...] = tuple(range(1, 57))
    """How many days ago there was practice."""


def answers(
    items: tuple[Item, ...],
    count: int,
    *,
    student: str,
    now: datetime,
    made: Made | None = None,
    seed: int = 1,
) -> list[Answer]:
    """So many answers to these skills in turn, the oldest first, spread evenly over the days."""
    made, rng = made or Made(), random.Random(seed)
    days = sorted(made.days, reverse=True)
    met = tuple(item.skill for item in items)
    found, first, last_day = [], 0, None
    for number in range(count):
        day = days[number * len(days) // count]
        first, last_day = (first if day == last_day else number), day
        item = rng.choice(items[: max(4, len(items) * (number + 1) // count)])
        at_s = 9.0 * (number - first)
        utc = now - timedelta(days=day) + timedelta(seconds=at_s)
        found.append(_answer(item, met, made, rng, student=student, utc=utc, at_s=at_s, day=day))
    return found


def _answer(item, met, made, rng, *, student, utc, at_s, day):
    seed = rng.getrandbits(40)
    setting = Setting(sa_hz=SA_HZ, met=tuple(s for s in met if s.startswith(f"{item.kind}:")))
    question = make_question(item.skill, seed=seed, setting=setting)
    hurry = rng.random() < made.hurried.get(item.kind, 0.0)
    ids = [choice.id for choice in question.choices]
    given = question.right[0] if rng.random() < made.known else rng.choice(ids)
    for (skill, right), (other, rate) in made.taken.items():
        if item.skill.startswith(skill) and question.right == (right,) and other in ids:
            given = other if rng.random() < rate else right
    if hurry:
        given = rng.choice(ids)
    mark = kind_of(item.skill).mark(question, given)
    return Answer(
        student=student,
        skill=item.skill,
        kind=item.kind,
        seed=seed,
        setting=setting.as_json(),
        choices=tuple(ids),
        right=question.right,
        given=given,
        credit=mark.credit,
        heard=mark.heard,
        chance=question.chance,
        predicted=0.5,
        reason="new",
        response_ms=round(rng.lognormvariate(5.8, 0.4) if hurry else rng.lognormvariate(7.8, 0.5)),
        utc=utc,
        offset_min=0,
        monotonic_s=at_s,
        device="tablet",
        session=f"day {day}",
    )
