"""A student who takes some things for others: rows of a log with known confusions, made quickly."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import datetime, timedelta
from functools import partial
from pathlib import Path
from typing import Any

from practice.courses import item_of
from practice.given import NOTHING, Given
from practice.settings import Settings
from practice.standing import Standing
from quizzes.catalogue import kind_of, make_question, skill_of
from quizzes.courses import Course
from quizzes.question import Setting
from quizzes.ragas.telling import NOT_YET
from scheduler import Answer, History, Log, Memory, chance_right_at, families_of, kin_of

SA_HZ = 140.0
_ANSWERS = ("low", "true", "high")
CONFUSED = {
    "swara:r": ("R", 0.45),
    "swara:d": ("D", 0.4),
    "swara:N": ("n", 0.1),
    "gap:R-P:up": ("R-m", 0.5),
    "raga-from-phrase:rest:bhupali-deshkar": ("deshkar", 0.5),
    "raga-from-phrase:note:yaman": ("bhupali", 0.4),
    "ornament:kan": ("sparsh", 0.4),
    "ornament:span:3": ("4", 0.4),
    "tala:ektal": ("chautal", 0.4),
    "which-stage:jor": ("alap", 0.4),
}
"""Skill → what is given instead, and how often."""


def rows(
    skills: Sequence[str],
    count: int,
    *,
    until: datetime,
    days: int = 70,
    student: str = "asha",
    confused: Mapping[str, tuple[str, float]] = CONFUSED,
    slips: float = 0.05,
    seed: int = 1,
) -> list[Answer]:
    """`count` answers over the days before `until`, the skills in turn; beside what is confused,
    so many are slips, to any of the other things of the same kind. The right answer is what the
    last part of a skill's id names; no question is made."""
    drawn = random.Random(seed)
    found = []
    for number in range(count):
        skill = skills[number % len(skills)]
        right = drawn.choice(answers_to(skill))
        others = [answers_to(other)[0] for other in skills if _like(other, skill)]
        wrong, often = confused.get(skill, ("", 0.0))
        given = right
        if wrong not in ("", right) and drawn.random() < often:
            given = wrong
        elif drawn.random() < slips:
            given = drawn.choice(others)
        at = until - timedelta(days=days * (1 - number / count), seconds=30)
        found.append(
            row(
                skill,
                right,
                given,
                at=at,
                number=number,
                student=student,
                seed=drawn.getrandbits(40),
            )
        )
    return found


def row(
    skill: str,
    right: str,
    given: str,
    *,
    at: datetime,
    number: int = 0,
    student: str = "asha",
    seed: int = 1,
    setting: Mapping[str, object] | None = None,
    chance: float = 0.2,
    offset_min: int = 0,
) -> Answer:
    """One answer."""
    return Answer(
        student=student,
        skill=skill,
        kind=skill.partition(":")[0],
        seed=seed,
        setting={"sa_hz": SA_HZ} if setting is None else setting,
        choices=tuple(sorted({right, given})),
        right=(right,),
        given=given,
        credit=float(right == given),
        heard=None,
        chance=chance,
        predicted=0.5,
        reason="again",
        response_ms=2500,
        utc=at,
        offset_min=offset_min,
        monotonic_s=12.0 * number,
        device="tablet",
        session=f"{at:%Y-%m-%d}",
    )


def tuned(
    skill: str,
    count: int,
    thresholds: tuple[float, float],
    *,
    until: datetime,
    days: int = 56,
    student: str = "asha",
    seed: int = 1,
) -> list[Answer]:
    """Answers on a `tune` skill of an ear whose threshold goes from one level to another over the
    days before `until`, asked at levels round it, by the psychometric function."""
    drawn, found, third = random.Random(seed), [], 1 / 3
    first, last = thresholds
    for number in range(count):
        part = number / count
        true = first * (last / first) ** part
        level = true * 2 ** drawn.uniform(-1.0, 1.0)
        right = drawn.choice(_ANSWERS)
        given = drawn.choice(_ANSWERS)  # where there is nothing to hear it guesses
        if right != "true":
            is_right = drawn.random() < chance_right_at(level, threshold=true, chance=third)
            given = right if is_right else drawn.choice([a for a in _ANSWERS if a != right])
        found.append(
            row(
                skill,
                right,
                given,
                at=until - timedelta(days=days * (1 - part), seconds=20),
                number=number,
                student=student,
                setting={"sa_hz": SA_HZ, "level": level},
                chance=third,
            )
        )
    return found


def mistaken(skill: str, given: str, *, at: datetime, student: str = "asha", **setting) -> Answer:
    """A row of a question as it is really asked, to which this was given; drawn until it offers
    that."""
    for seed in range(200):
        asked = Setting(SA_HZ, **setting)
        question = make_question(skill, seed=seed, setting=asked)
        if given in {choice.id for choice in question.choices} - set(question.right):
            made = row(
                skill, question.right[0], given, at=at, student=student, seed=seed,
                setting=asked.as_json(), chance=question.chance,
            )  # fmt: skip
            assert kind_of(skill).mark(question, given).credit == 0.0
            return made
    raise AssertionError(f"{skill} never offers {given}")


@contextmanager
def standing_of(path: Path, answers: Iterable[Answer], **known: Any) -> Iterator[Standing]:
    """How a student stands of whom a new log at `path` holds these answers; see `standing_on`."""
    with Log(path) as log:
        log.append_all(answers)
        yield standing_on(log, **known)


def standing_on(
    log: Log,
    *,
    now: datetime,
    skills: Iterable[str] = (),
    given: Given = NOTHING,
    student: str = "asha",
) -> Standing:
    """How a student stands by an open log; the course asks `skills`, and what `given` decks ask."""
    of_decks = [skill for deck in given.decks for skill in given.skills(deck)]
    items = tuple(item_of(skill) for skill in (*map(skill_of, skills), *of_decks))
    memory = Memory(families=families_of(items), kin=kin_of(items))
    memory, history = History().after(memory, log.meetings(student))
    settings, latest = Settings(student_id=student), partial(log.latest, student)
    course = Course("made", "Made up", "", "made up", ())
    return Standing(settings, course, items, given, memory, history, now, latest)


def skills_of(kind: str, things: Iterable[str]) -> list[str]:
    return [f"{kind}:{thing}" for thing in things]


def answers_to(skill: str) -> list[str]:
    """What may be right: of two ragas told apart by one thing, either."""
    kind, *rest = skill.split(":")
    if kind == "raga-from-phrase" and rest[0] == NOT_YET:
        return [NOT_YET]
    if kind == "raga-from-phrase":
        return rest[-1].split("-")
    return rest[:1] if kind == "gap" else rest[-1:]


def _like(one: str, other: str) -> bool:
    return one.rpartition(":")[0] == other.rpartition(":")[0] or (
        one.startswith("gap") and other.startswith("gap") and one[-2:] == other[-2:]
    )
