"""A question of a deck as a setting holds it: whole, as one line of JSON.

So a question can be made again from its log row when the deck has changed or is gone.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from quizzes.decks.deck import KIND, Entry, as_json, from_json
from quizzes.errors import UnknownSkill
from quizzes.question import Setting


@dataclass(frozen=True, slots=True)
class Posed:
    """An entry and what its deck tells of it besides."""

    entry: Entry
    shows: Mapping[str, str] = field(default_factory=dict)
    """By the text of a wrong choice: the other skill of the deck that it would have shown."""

    beside: tuple[str, ...] = ()
    """Of a kind that the deck narrows: those of its own skills whose answers are offered."""

    @property
    def text(self) -> str:
        """`read` gives the same again."""
        data = {"entry": as_json(self.entry)} | {
            name: value
            for name, value in (("shows", dict(self.shows)), ("beside", self.beside))
            if value
        }
        return json.dumps(data, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


@lru_cache(maxsize=64)
def read(text: str) -> Posed:
    """What `Posed.text` has written."""
    data = json.loads(text)
    entry = from_json(data["entry"])
    return Posed(entry, data.get("shows", {}), tuple(data.get("beside", ())))


def posed_in(skill: str, setting: Setting) -> Posed:
    """The question that a setting holds. Raises UnknownSkill where it holds none, or not one that
    this skill asks."""
    if not setting.deck:
        raise UnknownSkill(f"{skill!r} is of a deck; its question should stand in Setting.deck")
    posed = read(setting.deck)
    if entry_in(skill) != posed.entry.id:
        raise UnknownSkill(f"{skill!r} is not asked by the question {posed.entry.id!r} of its deck")
    return posed


def skill_id(deck: str, entry: str, thing: str = "") -> str:
    """`deck:first-gaps:rest-on-ga`; with what is to be told apart at its end, where a deck says
    what is offered."""
    return ":".join(part for part in (KIND, deck, entry, thing) if part)


def entry_in(skill: str) -> str:
    """The id of the question that a skill is of. Raises UnknownSkill."""
    parts = skill.split(":", 3)
    if parts[0] != KIND or len(parts) < 3:
        raise UnknownSkill(f"{skill!r} is no skill of a deck: write deck:DECK:QUESTION")
    return parts[2]


def thing_in(skill: str) -> str:
    """What is to be told apart; "" where a skill names none."""
    return "".join(skill.split(":", 3)[3:])


def deck_in(skill: str) -> str:
    """The id of the deck that a skill is of."""
    return skill.split(":", 3)[1]


def asked_with(skill: str) -> str:
    """How the ids of all skills begin that are asked as this one is: those of its kind, or, in a
    deck, of its question."""
    kind, *rest = skill.split(":", 3)
    return f"{':'.join((kind, *rest[:2]))}:" if kind == KIND else f"{kind}:"


def ids_of(texts: Iterable[str]) -> list[str]:
    """Ids of choices: their texts without spaces or large letters, each once.

    They stay the same when a teacher moves a choice or adds another.
    """
    ids: list[str] = []
    for text in texts:
        whole = "-".join(text.casefold().split())
        number, each = 1, whole
        while each in ids:
            number += 1
            each = f"{whole}-{number}"
        ids.append(each)
    return ids
