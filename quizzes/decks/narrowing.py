"""Kinds of Kaan with what is offered named by a teacher: which skills that makes, and what hinders.

`among` names the ids of choices, such as ragas or swaras. For `raga-from-phrase` each raga named is
a skill of the deck; for other kinds each of their own skills that the deck lists is.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from audio.tuning import SITAR_SA_HZ
from quizzes import catalogue
from quizzes.decks.deck import Narrowed
from quizzes.decks.posed import Posed, skill_id
from quizzes.errors import UnknownSkill
from quizzes.kept import skills_of as skills_of_kind
from quizzes.kinds import KINDS
from quizzes.kinds.deck_narrowed import OFFERED_ON, KindAmong, skill_for, thing_of
from quizzes.kinds.deck_phrase import skills_of
from quizzes.question import Setting, Skill

PHRASES = "raga-from-phrase"
"""The kind whose phrases a teacher may give."""
SEEDS = 3
"""So many questions of each skill are made to see whether it can be narrowed."""

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
    for own in entry.skills:
        yield skill_for(deck, entry, catalogue.skill_of(own, tradition))


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
    return list(_choices(entry, tradition))


def _choices(entry: Narrowed, tradition: str) -> Iterator[Found]:
    kind = KINDS[entry.kind]
    posed, narrowing = Posed(entry, beside=beside(entry)), KindAmong(KINDS)
    plain = Setting(SITAR_SA_HZ, met=posed.beside, tradition=tradition)
    every = tuple(skill.id for skill in skills_of_kind(entry.kind))
    seen: dict[str, None] = {}
    hindered: list[str] = []
    for own in entry.skills:
        try:
            question = kind.make(own, seed=0, setting=plain)
        except UnknownSkill:
            continue  # that is told of `skills`
        if question.answer_on not in OFFERED_ON:
            yield "among", f"{own!r} has no answers to choose from", "leave among out"
            return
        whole = kind.make(own, seed=0, setting=replace(plain, met=every))
        seen.update(dict.fromkeys(choice.id for choice in whole.choices))
        made = skill_id("deck", entry.id, thing_of(own))
        try:
            for seed in range(SEEDS):
                narrowing.own(posed, made, seed=seed, setting=replace(plain, met=()))
        except UnknownSkill:
            hindered.append(own)
            break  # to try the others in vain would take too long
    if hindered:
        yield (
            "among",
            f"leaves fewer than two answers, or not the right one, of {', '.join(hindered)}",
            f"name ids of its answers, such as {', '.join(list(seen)[:12])}",
        )
