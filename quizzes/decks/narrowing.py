"""Kinds of Kaan with what is offered named by a teacher: which skills that makes, and what hinders.

`among` names the ids of choices, such as ragas or swaras. For `raga-from-phrase` each raga named is
a skill of the deck; for other kinds each of their own skills that the deck lists is.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from audio.tuning import SITAR_SA_HZ
from quizzes import catalogue
from quizzes.decks.deck import Narrowed
from quizzes.decks.posed import Posed, read, skill_id
from quizzes.errors import UnknownSkill
from quizzes.kept import skills_of as skills_of_kind
from quizzes.kinds import KINDS
from quizzes.kinds.deck_narrowed import (
    OFFERED_ON,
    KindAmong,
    narrowed_to,
    skill_for,
    thing_of,
)
from quizzes.kinds.deck_phrase import skills_of
from quizzes.kinds.raga_from_phrase import RagaFromPhraseKind
from quizzes.question import Choice, Question, Setting, Skill

PHRASES = RagaFromPhraseKind.name
"""The kind whose phrases a teacher may give."""
SEEDS, TRIES = 2, 12
"""So many questions of each skill are made to see whether it can be narrowed, each drawn so often
at most."""
MOST_TOLD = 12
"""So many answers are named that could be."""

Found = tuple[str, str, str]
"""The field at fault, what is wrong, and what would be right."""


def is_narrowed(entry: Narrowed) -> bool:
    """Whether a deck says what is offered: then its skills are its own."""
    return bool(entry.among or entry.phrases)


def narrowed_skills(deck: str, entry: Narrowed, tradition: str = "") -> Iterator[Skill]:
    """The deck's own skills of a kind that it narrows so."""
    if entry.kind == PHRASES:
        yield from skills_of(deck, entry, tradition)
        return
    unnamed = entry.name == KINDS[entry.kind].title
    for own in entry.skills:
        of_kind = catalogue.skill_of(own, tradition)
        made = skill_for(deck, entry, of_kind)
        yield replace(made, name=of_kind.name) if unnamed else made


def beside(entry: Narrowed) -> tuple[str, ...]:
    """The kind's own skills whose answers are offered: what the student is taken to have met."""
    if entry.kind == PHRASES:
        return ()
    named = set(entry.among)
    also = [each.id for each in skills_of_kind(entry.kind) if named & set(each.id.split(":"))]
    return tuple(dict.fromkeys((*entry.skills, *also)))


def check_narrowed(entry: Narrowed, tradition: str = "") -> list[Found]:
    """All that hinders a kind, other than `raga-from-phrase`, to offer what a deck names alone:
    field, what is wrong, remedy."""
    if not entry.among or entry.kind == PHRASES:
        return []
    return list(_hindrances(Posed(entry, beside=beside(entry)).text, tradition))


@lru_cache(maxsize=128)
def _hindrances(text: str, tradition: str) -> tuple[Found, ...]:
    """Kept, since a deck is read again and again while it is written."""
    posed, narrowing = read(text), KindAmong(KINDS)
    entry = posed.entry
    assert isinstance(entry, Narrowed)
    setting = Setting(SITAR_SA_HZ, tradition=tradition)
    for own in entry.skills:
        made = skill_id("deck", entry.id, thing_of(own))
        for seed in range(SEEDS):
            try:
                draws = narrowing.draws(posed, made, seed=seed, setting=setting, tries=TRIES)
                drawn = list(_until_fit(draws, entry))
            except UnknownSkill:
                break  # that is told of `skills`
            if drawn[-1].answer_on not in OFFERED_ON:
                wrong = f"{own!r} has no answers to choose from"
                return (("among", wrong, "leave among out"),)
            if narrowed_to(drawn[-1], entry.among) is None:
                # To try the other skills in vain would take too long.
                wrong = f"leaves fewer than two answers, or not the right one, of {own}"
                remedy = f"name ids of its answers, such as {', '.join(_ids(own, tradition))}"
                return (("among", wrong, remedy),)
    return ()


def _until_fit(drawn: Iterator[Question], entry: Narrowed) -> Iterator[Question]:
    """Up to the first that has what is named, or that never will."""
    for question in drawn:
        yield question
        if question.answer_on not in OFFERED_ON or narrowed_to(question, entry.among):
            return


@lru_cache(maxsize=512)
def answers_of(own: str, tradition: str = "") -> tuple[Choice, ...]:
    """What a kind's own skill offers to who has met the whole kind; () where that cannot be
    narrowed, as its answers are no choices. Raises UnknownSkill."""
    kind = KINDS[own.partition(":")[0]]
    every = tuple(skill.id for skill in skills_of_kind(kind.name))
    setting = Setting(SITAR_SA_HZ, met=every, tradition=tradition)
    question = kind.make(own, seed=0, setting=setting)
    return question.choices if question.answer_on in OFFERED_ON else ()


def _ids(own: str, tradition: str) -> list[str]:
    return [choice.id for choice in answers_of(own, tradition)][:MOST_TOLD]
