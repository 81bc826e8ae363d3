"""A course in words: what a step brings in, what may be ticked, how long all of it takes."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from quizzes.course import Course
from quizzes.course_ways import ALL, way_of, ways_of
from quizzes.decks.deck import KIND, Deck
from quizzes.kinds import KINDS
from quizzes.met_in_order import met_in
from quizzes.names import capital, counted, listed, number_word
from quizzes.ragas import ragas
from quizzes.talas import talas
from words import say, say_many

FIELDS = ("ragas", "talas", "kinds", "decks")
"""What is ticked, by the fields of a step."""
PRACTISED = 6
"""Days of a week on which a student may be hoped to practise (assumption)."""
_NAMED = 3
"""So many names stand in a step's; the others are counted."""


@dataclass(frozen=True, slots=True)
class Tickable:
    """One raga, tala, kind or deck; `about` says in a line what it is, where the name does not."""

    id: str
    name: str
    about: str = ""


def tickable(field: str, decks: Mapping[str, Deck], tradition: str = "") -> tuple[Tickable, ...]:
    """All that may be ticked for a field of a step, in the order in which it is looked for."""
    if field == "kinds":
        return tuple(
            Tickable(id, kind_name(id), say(kind.title)) for id, kind in KINDS.items() if id != KIND
        )
    if field == "decks":
        return tuple(Tickable(id, deck.name) for id, deck in sorted(decks.items()))
    known = met_in(tradition)
    asked = known.asked_ragas if field == "ragas" else known.asked_talas
    named = ((name_of(field, id, decks, tradition), id) for id in asked)
    return tuple(Tickable(id, name) for name, id in sorted(named))


def kind_name(kind: str) -> str:
    """What a kind asks, in a word or a few: "Gaps"."""
    two = re.compile(rf"(?<!\S){re.escape(number_word(2))}\S*\s*")
    return capital(two.sub("", KINDS[kind].several(2), count=1))


def name_of(field: str, id: str, decks: Mapping[str, Deck], tradition: str = "") -> str:
    """What stands in a field of a step, by its name; by its id where it is not known here."""
    if field == "kinds":
        return kind_name(id) if id in KINDS else id
    if field == "decks":
        return decks[id].name if id in decks else id
    known = ragas(tradition) if field == "ragas" else talas(tradition)
    return say(known[id].name) if id in known else id


def names_in(step: Mapping[str, Any], decks: Mapping[str, Deck], tradition: str = "") -> list[str]:
    """All that is ticked in a step, by name."""
    return [name_of(field, id, decks, tradition) for field in FIELDS for id in _texts(step, field)]


def step_name(names: Sequence[str]) -> str:
    """What a step of these is called until somebody calls it otherwise."""
    if len(names) <= _NAMED:
        return listed(list(names))
    return say(
        "{names} and {number} more",
        names=", ".join(names[: _NAMED - 1]),
        number=len(names) - _NAMED + 1,
    )


def holds_words(step: Mapping[str, Any], decks: Mapping[str, Deck], tradition: str = "") -> str:
    """What a step brings in: `Yaman and Bhupali, only by ear`."""
    names = names_in(step, decks, tradition)
    named = len(_texts(step, "skills"))
    if named:
        names.append(counted(named, "{number} single skill", "{number} single skills"))
    words = capital(step_name(names)) or say("Nothing yet")
    way = way_of(step, tradition)
    if way and way != ALL:
        said = next(one.words for one in ways_of(step, tradition) if one.id == way)
        words = say("{what}, {way}", what=words, way=f"{said[:1].lower()}{said[1:]}")
    return words


def skill_names(step: Mapping[str, Any], given_name: Callable[[str], str]) -> list[str]:
    """The single skills that a step names, by what they are called."""
    return [capital(given_name(skill)) for skill in _texts(step, "skills")]


def size_words(skills: int, pace: int | None) -> str:
    """How much it is, and how long that takes at a pace: `60 skills, about 3 weeks`."""
    words = say_many("{count} skill", "{count} skills", skills)
    if not skills or pace is None:
        return words
    return say_many(
        "{skills}, about {count} week of practice at {pace} new a day",
        "{skills}, about {count} weeks of practice at {pace} new a day",
        math.ceil(skills / (pace * PRACTISED)),
        skills=words,
        pace=pace,
    )


def about_words(course: Course) -> str:
    """A course in a line: `2052 skills in 215 steps`."""
    steps = len(course.steps)
    size = size_words(len(course.skills), course.pace)
    return say_many("{count} step: {size}", "{count} steps: {size}", steps, size=size)


def _texts(step: Mapping[str, Any], field: str) -> list[str]:
    value = step.get(field)
    return [each for each in value if isinstance(each, str)] if isinstance(value, list) else []
