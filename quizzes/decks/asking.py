"""From a deck to what is asked: its skills, and the text from which a question of it is made."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace

from quizzes import catalogue
from quizzes.decks.deck import Asked, Deck, Entry, Narrowed
from quizzes.decks.narrowing import beside, is_narrowed, narrowed_skills
from quizzes.decks.posed import Posed, entry_in, skill_id, thing_in
from quizzes.errors import UnknownSkill
from quizzes.kinds.deck import skill_of
from quizzes.question import Skill


def skills_of(deck: Deck, tradition: str = "") -> tuple[Skill, ...]:
    """What a deck asks, in its order: questions of its own, and skills of Kaan's kinds that it
    narrows, each once."""
    found: dict[str, Skill] = {}
    for entry in deck.entries:
        for skill in _skills(deck, entry, tradition):
            found.setdefault(skill.id, skill)
    return tuple(found.values())


def _skills(deck: Deck, entry: Entry, tradition: str) -> Iterator[Skill]:
    if isinstance(entry, Asked):
        yield skill_of(deck.id, entry, tradition)
        return
    # What Kaan does not ask any more, or the teacher leaves open, is not asked here either.
    if is_narrowed(entry):
        with suppress(UnknownSkill):
            yield from narrowed_skills(deck.id, entry, tradition)
        return
    for own in entry.skills:
        with suppress(UnknownSkill):
            yield catalogue.skill_of(own, tradition)


def entry_text(deck: Deck, skill: str) -> str:
    """What goes into `Setting.deck` so that a skill of the deck can be asked. Raises UnknownSkill
    where none of its questions has that id."""
    wanted = entry_in(skill)
    for entry in deck.entries:
        if entry.id == wanted:
            if isinstance(entry, Narrowed):
                return Posed(_needed(entry, thing_in(skill)), beside=beside(entry)).text
            return Posed(entry, _shown(deck, entry)).text
    raise UnknownSkill(f"{skill!r} is not asked by the deck {deck.id!r}")


def _needed(entry: Narrowed, thing: str) -> Narrowed:
    """Without the phrases of which none is heard when `thing` is asked: one of each other is, at
    most, played beside it. A row of the log holds this."""
    phrases = {one: lines if one == thing else lines[:1] for one, lines in entry.phrases.items()}
    return replace(entry, phrases=phrases)


def _shown(deck: Deck, entry: Asked) -> dict[str, str]:
    """By the text of a wrong choice: the question of the deck to which it is the right answer and
    that offers this one's, so that the two are taken for each other."""
    if entry.form != "choose-one":
        return {}
    mine = {one.text for one in entry.offered if one.right}
    shown: dict[str, str] = {}
    for other in deck.entries:
        if not isinstance(other, Asked) or other.form != entry.form or other.id == entry.id:
            continue
        texts = {one.text for one in other.offered}
        for one in entry.offered:
            is_theirs = any(each.right and each.text == one.text for each in other.offered)
            if not one.right and is_theirs and mine & texts:
                shown.setdefault(one.text, skill_id(deck.id, other.id))
    return shown
