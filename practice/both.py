"""Both sides of a confusion, to be heard one after the other: what it was, and what was heard.

They come from the student's own latest such mistake, made again from its row in the log: the
question that was mistaken, and how it would have sounded as what was answered. Where there is none,
or it cannot be made any more, from a fresh question.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime

from audio.score import Score
from practice.given import tuning_of
from practice.made_again import OUTDATED, TRIED, made_again
from practice.pairs import Pair
from practice.standing import Standing
from practice.things import SUBJECTS
from quizzes.catalogue import hears_teacher, kind_of, make_question
from quizzes.decks.posed import asked_with
from quizzes.explanation import Explanation
from quizzes.question import Question, Setting
from scheduler import Answer

DRAWN = 6
"""So many fresh questions on a skill are drawn at most until one offers both sides."""

Seeds = Callable[[], int]


@dataclass(frozen=True, slots=True)
class Side:
    """One side: what it is called, how it sounds, and the same in writing.

    `score` is None where it cannot be played, as a wrong choice that a teacher wrote no line for.
    """

    label: str
    score: Score | None
    sargam: str = ""
    plays: str = ""
    """What the score plays, where it is not simply that."""


@dataclass(frozen=True, slots=True)
class Both:
    """What it was and what was heard; `heard` is None where these are one."""

    was: Side
    heard: Side | None
    why: str
    """What tells the two apart."""
    at: datetime | None = None
    """When it was mistaken so; None for a fresh question."""


def both_sides(
    standing: Standing, pair: Pair, *, seeds: Seeds = lambda: secrets.randbits(63)
) -> Both | None:
    """Both sides of `pair`; None where neither can be made. Takes up to a second, for ragas and
    stages. Raises LogError."""
    right, given = _answers(pair)
    for answer in _mistakes(standing, pair):
        question = made_again(answer, standing)
        if question is not None and (both := _both(question, given, answer.utc)):
            return both
    questions = list(_fresh(standing, pair.right, pair, seeds))
    offering = [each for each in questions if given in _offered(each)]
    for question in offering:
        if both := _both(question, given):
            return both
    others = [] if pair.is_right else _fresh(standing, pair.given, pair, seeds)
    was = next(filter(None, (_alone(each, right) for each in questions)), None)
    heard = next(filter(None, (_alone(each, given) for each in others)), None)
    if was is None:
        return None
    return Both(was[0], heard and heard[0], " ".join(why for _, why in filter(None, (was, heard))))


def _answers(pair: Pair) -> tuple[str, str]:
    """What was right and what was given, as answers of the log have it."""
    subject = SUBJECTS[pair.subject]
    return subject.answer_of(pair.right), subject.answer_of(pair.given)


def _mistakes(standing: Standing, pair: Pair) -> list[Answer]:
    """The last times that it was answered so, the newest first."""
    right, given = _answers(pair)
    rows = [
        answer
        for skill in pair.asked_in
        for answer in standing.latest(skill, TRIED, right=right, given=given)
    ]
    return sorted(rows, key=lambda answer: answer.utc, reverse=True)[:TRIED]


def _explained(question: Question, given: str) -> Explanation | None:
    """None where this could not be given, or what explains it is not there any more."""
    try:
        return kind_of(question.skill).explain(question, given)
    except OUTDATED:
        return None


def _both(question: Question, given: str, at: datetime | None = None) -> Both | None:
    told = _explained(question, given)
    if told is None:
        return None
    heard = None
    if given not in question.right:
        heard = Side(told.given_label, told.given_cue, told.given_written, told.given_plays)
    return Both(_was(question, told), heard, told.why, at)


def _was(question: Question, told: Explanation) -> Side:
    return Side(told.right_label, told.right_cue, told.right_written or question.sargam)


def _alone(question: Question, answer: str) -> tuple[Side, str] | None:
    """One side by itself, of a question to which it is right, and what is said of it."""
    told = _explained(question, answer)
    return None if told is None else (_was(question, told), told.why)


def _offered(question: Question) -> set[str]:
    return {choice.id for choice in question.choices}


def _fresh(standing: Standing, thing: str, pair: Pair, seeds: Seeds) -> Iterator[Question]:
    """Fresh questions to which a thing is right: on each skill that asks it one, until one offers
    both sides, which is the last."""
    subject = SUBJECTS[pair.subject]
    answers, answer = set(_answers(pair)), subject.answer_of(thing)
    for skill in dict.fromkeys((*subject.first_skills(thing), *pair.skills, *pair.asked_in)):
        found = None
        for _ in range(DRAWN):
            question = _drawn(standing, skill, pair, seeds())
            if question is None:
                break
            if answer not in question.right:
                continue
            found = question
            if answers <= _offered(question):
                yield question
                return
        if found is not None:
            yield found


def _drawn(standing: Standing, skill: str, pair: Pair, seed: int) -> Question | None:
    """A fresh question on a skill for a student who has met both sides; None where it is not
    asked."""
    settings, given = standing.settings, standing.given
    beside = tuple(dict.fromkeys((*SUBJECTS[pair.subject].first_skills(pair.given), *pair.skills)))
    try:
        met = {s for s in standing.memory.beliefs if s.startswith(asked_with(skill))}
        setting = Setting(
            sa_hz=settings.sa_hz,
            tuning=tuning_of(settings.tuning)[0],
            names=settings.gap_names,
            met=tuple(sorted(met | {skill, *pair.skills})),
            rivals=tuple(each for each in beside if each != skill),
            tradition=given.tradition if hears_teacher(skill.partition(":")[0]) else "",
            deck=given.entry_of(skill),
        )
        return make_question(skill, seed=seed, setting=setting)
    except OUTDATED:
        return None
