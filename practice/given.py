"""What a student's questions are to go by, from files: tuning, the teacher's word and decks.

Questions log what they were made from, whole: the files need not be there later.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from audio.errors import TuningError
from audio.tuning import load_tuning, tuning_in_words
from quizzes.catalogue import name_of
from quizzes.decks.deck import KIND, Deck
from quizzes.errors import QuizError
from quizzes.question import Skill
from quizzes.tradition import load_tradition

if TYPE_CHECKING:
    from practice.shelf import Shelf

TRADITION_NAME = "tradition.toml"
"""A teacher's word on ragas, talas and stages, where the student has been given such a file."""


@dataclass(frozen=True, slots=True)
class Given:
    """What a teacher has given: words that stand above the files', and decks by id."""

    tradition: str = ""
    decks: Mapping[str, Deck] = field(default_factory=dict)
    _skills: Mapping[str, tuple[Skill, ...]] = field(init=False, repr=False, compare=False)
    _deck_of: Mapping[str, Deck] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        skills = {name: _skills_of(deck) for name, deck in self.decks.items()}
        object.__setattr__(self, "_skills", skills)
        deck_of = {s.id: self.decks[name] for name, each in skills.items() for s in each}
        object.__setattr__(self, "_deck_of", deck_of)

    def skills(self, deck: str) -> tuple[Skill, ...]:
        """What a deck asks, in its order."""
        return self._skills[deck]

    def all_skills(self) -> Iterator[Skill]:
        """What all decks ask, one deck after the other."""
        return (skill for skills in self._skills.values() for skill in skills)

    def name_of(self, skill: str) -> str:
        """What a skill is called, in a deck or elsewhere; its id where nothing asks it any more."""
        deck = self._deck_of.get(skill)
        if deck is None:
            return name_of(skill, self.tradition)
        return next(each.name for each in self._skills[deck.id] if each.id == skill)

    def entry_of(self, skill: str) -> str:
        """The text from which a question of a deck is made; "" for what is of no deck."""
        deck = self._deck_of.get(skill) if skill.startswith(f"{KIND}:") else None
        return "" if deck is None else _entry_text(deck, skill)


def _skills_of(deck: Deck) -> tuple[Skill, ...]:
    from quizzes.decks.asking import skills_of

    return skills_of(deck)


def _entry_text(deck: Deck, skill: str) -> str:
    from quizzes.decks.asking import entry_text

    return entry_text(deck, skill)


NOTHING = Given()


def tuning_of(choice: str) -> tuple[str, str | None]:
    """The tuning of this name by its cents, and what is wrong with it where another is in use."""
    try:
        return tuning_in_words(load_tuning(choice)), None
    except TuningError as error:
        return "just", f"{error}. Just intonation is in use."


def given_in(folder: Path, shelf: Shelf | None) -> tuple[Given, list[str]]:
    """What the teacher has given in this folder, and what is wrong with it."""
    troubles: list[str] = []
    tradition, path = "", folder / TRADITION_NAME
    try:
        tradition = load_tradition(path) if path.exists() else ""
    except QuizError as error:
        troubles.append(f"{error}. Until then all is asked as it is shipped.")
    decks = {}
    for kept in shelf.decks() if shelf else ():
        if kept.deck is None:
            more = f", and {len(kept.faults) - 1} more" if len(kept.faults) > 1 else ""
            troubles.append(f"{kept.faults[0]}{more}. Until then this deck is not asked.")
        else:
            decks[kept.id] = kept.deck
    return Given(tradition, MappingProxyType(decks)), troubles
