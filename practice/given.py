"""What a student's questions are to go by, from files: tuning, the teacher's word and decks.

Questions log what they were made from, whole: the files need not be there later.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from audio.errors import TuningError
from audio.tuning import load_tuning, tuning_in_words
from practice.bundle import TRADITION
from practice.shelf import Kept, Shelf
from quizzes.catalogue import name_of
from quizzes.decks.asking import entry_text, skills_of
from quizzes.decks.deck import KIND, Deck
from quizzes.decks.faults import Fault
from quizzes.kept import bring
from quizzes.question import Skill
from quizzes.tradition import load_words
from words import language, swaras_in


@dataclass(frozen=True, slots=True)
class Given:
    """What a teacher has given: words that stand above the files', and decks by id."""

    tradition: str = ""
    decks: Mapping[str, Deck] = field(default_factory=dict)
    unread: Mapping[str, Kept] = field(default_factory=dict, compare=False)
    """Decks that cannot be read, by what is said of each."""
    _skills: Mapping[str, tuple[Skill, ...]] = field(init=False, repr=False, compare=False)
    _deck_of: Mapping[str, Deck] = field(init=False, repr=False, compare=False)
    _names: dict[tuple[str, str, str], Mapping[str, str]] = field(
        init=False, repr=False, compare=False, default_factory=dict
    )
    """What skills are called, by deck, language and letters: these may change meanwhile."""

    def __post_init__(self) -> None:
        skills = {name: skills_of(deck, self.tradition) for name, deck in self.decks.items()}
        object.__setattr__(self, "_skills", skills)
        deck_of = {s.id: self.decks[name] for name, each in skills.items() for s in each}
        object.__setattr__(self, "_deck_of", deck_of)

    def skills(self, deck: str) -> tuple[Skill, ...]:
        """What a deck asks, in its order."""
        return self._skills[deck]

    def name_of(self, skill: str) -> str:
        """What a skill is called, in a deck or elsewhere; its id where nothing asks it any more."""
        deck = self._deck_of.get(skill)
        if deck is None:
            return name_of(skill, self.tradition)
        key = deck.id, language(), swaras_in()
        if key not in self._names:
            self._names[key] = {each.id: each.name for each in skills_of(deck, self.tradition)}
        return self._names[key][skill]

    def entry_of(self, skill: str) -> str:
        """The text from which a question of a deck is made; "" for what is of no deck."""
        deck = self._deck_of.get(skill) if skill.startswith(f"{KIND}:") else None
        return "" if deck is None else entry_text(deck, skill)


NOTHING = Given()


def tuning_of(choice: str) -> tuple[str, str | None]:
    """The tuning of this name by its cents, and what is wrong with it where another is in use."""
    try:
        return tuning_in_words(load_tuning(choice)), None
    except TuningError as error:
        return "just", f"{error}. Just intonation is in use."


def given_in(shelf: Shelf) -> tuple[Given, list[str]]:
    """What the teacher has given, and in plain words what is wrong with it."""
    path, tradition, troubles = shelf.folder / TRADITION, "", []
    if path.exists():
        words = load_words(path)
        tradition = words.text
        bring(tradition, path.parent)
        if words.faults:
            troubles.append(f"{_shortly(words.faults)}. What else it says is in force.")
    decks: dict[str, Deck] = {}
    unread: dict[str, Kept] = {}
    for kept in shelf.decks():
        if kept.deck is None:
            unread[f"{_shortly(kept.faults)}. Until then this deck is not asked."] = kept
        else:
            decks[kept.id] = kept.deck
    troubles += [*unread, *([shelf.trouble] if shelf.trouble else [])]
    given = Given(tradition, MappingProxyType(decks), MappingProxyType(unread))
    return given, troubles


def _shortly(faults: Sequence[Fault]) -> str:
    """The first fault, and how many more there are."""
    more = f", and {len(faults) - 1} more" if len(faults) > 1 else ""
    return f"{faults[0]}{more}"
