"""A deck: a teacher's own questions, as plain data; `quizzes.decks.reading` reads it from a file.

A question of a deck is a skill like any other: `deck:DECK:QUESTION`, by the ids that stand in the
file. Where a deck narrows a kind of Kaan, the skills of that kind are what it asks, except where it
also says what is offered: then each raga, or whatever else is to be told apart, is a skill of the
deck, `deck:DECK:QUESTION:THING`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from types import MappingProxyType
from typing import Any

KIND = "deck"
"""The kind of all questions that a teacher has written."""
FORMS = (
    "choose-one",
    "choose-several",
    "put-in-order",
    "write-swaras",
    "write-phrase",
    "true-or-false",
)
"""What a question of the teacher's own can be; else `kind` names a kind of Kaan."""
COUNTED = ("lengths", "ornaments")
"""What can count beside the swaras of a phrase that is to be written."""
DRONES = ("Sa-Pa", "Sa-Ma", "Sa-Ni", "none")


@dataclass(frozen=True, slots=True)
class Cue:
    """What sounds: at most one of `sargam`, `recording` and `theka`; none of them is silence."""

    sargam: str = ""
    recording: str = ""
    """The name of a file among the recordings of the deck."""
    seconds: float = 0.0
    """How long the recording is."""
    theka: str = ""
    """The id of a tala."""
    cycles: int = 1
    tempo: float = 0.0
    """In matras a minute; 0 where it is left to Kaan."""
    tuning: str = ""
    """As `audio.tuning.load_tuning` has it; "" for the student's own."""
    voice: str = "sitar"
    drone: str = ""
    """One of DRONES; "" where it is left to Kaan."""


@dataclass(frozen=True, slots=True)
class Offered:
    """One answer that is offered, or a reason for a verdict."""

    text: str
    right: bool = False
    why: str = ""
    """What is said to who chose it."""
    sargam: str = ""
    """How it would sound, where that can be played."""
    holds: bool | None = None
    """Of a reason: for which verdict it is given."""


@dataclass(frozen=True, slots=True)
class Before:
    """One thing comes before another, and why."""

    first: str
    then: str
    why: str = ""


@dataclass(frozen=True, slots=True)
class Asked:
    """A question of the teacher's own."""

    id: str
    form: str
    """One of FORMS."""
    prompt: str
    name: str
    """What it is called in lists; the prompt where the teacher gave it no name."""
    cue: Cue = Cue()
    why: str = ""
    """The explanation of what is right."""
    offered: tuple[Offered, ...] = ()
    """Of choose-one and choose-several; the reasons of true-or-false."""
    things: tuple[str, ...] = ()
    """Of put-in-order: in a right order."""
    before: tuple[Before, ...] = ()
    """Of put-in-order: the pairs that matter; every neighbour in `things` where none is given."""
    lines: tuple[str, ...] = ()
    """Of write-swaras: the lines that are right, each of swaras with single spaces between."""
    counts: tuple[str, ...] = ()
    """Of write-phrase: those of COUNTED that count; the cue's sargam is what is right."""
    holds: bool | None = None
    """Of true-or-false: the verdict."""


@dataclass(frozen=True, slots=True)
class Narrowed:
    """A kind of Kaan, narrowed to some of its skills, and to what is offered if that is said."""

    id: str
    kind: str
    name: str
    skills: tuple[str, ...]
    """Ids of the kind's own skills."""
    among: tuple[str, ...] = ()
    """Ids of what alone is offered, such as four ragas; () for what Kaan offers."""
    phrases: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """By what is right: the lines of sargam of which one sounds; {} for fresh phrases."""


Entry = Asked | Narrowed


@dataclass(frozen=True, slots=True)
class Deck:
    """All that one file asks, in its order."""

    id: str
    name: str
    entries: tuple[Entry, ...]
    about: str = ""
    by: str = ""
    """Who wrote it, as the teacher wants it told."""
    edition: int = 1

    @property
    def recordings(self) -> frozenset[str]:
        """Names of the files that it needs."""
        asked = (entry for entry in self.entries if isinstance(entry, Asked))
        return frozenset(entry.cue.recording for entry in asked if entry.cue.recording)


def as_json(entry: Entry) -> dict[str, Any]:
    """JSON values only; what is as usual is left out."""
    return _told(entry)


def _told(thing: Entry | Cue | Offered | Before) -> dict[str, Any]:
    usual = {field.name: field.default for field in fields(thing)}
    found = {name: getattr(thing, name) for name in usual}
    return {
        name: _plain(value)
        for name, value in found.items()
        if value != usual[name] and value not in ((), {})
    }


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    if isinstance(value, Mapping):
        return {name: list(lines) for name, lines in value.items()}
    return _told(value) if isinstance(value, Cue | Offered | Before) else value


def from_json(data: Mapping[str, Any]) -> Entry:
    """What `as_json` made, after a way through JSON."""
    if "form" not in data:
        return Narrowed(
            data["id"],
            data["kind"],
            data["name"],
            tuple(data.get("skills", ())),
            tuple(data.get("among", ())),
            MappingProxyType({k: tuple(v) for k, v in data.get("phrases", {}).items()}),
        )
    built = dict(data)
    built["cue"] = Cue(**data.get("cue", {}))
    built["offered"] = tuple(Offered(**each) for each in data.get("offered", ()))
    built["before"] = tuple(Before(**each) for each in data.get("before", ()))
    built["things"] = tuple(data.get("things", ()))
    built["lines"] = tuple(data.get("lines", ()))
    built["counts"] = tuple(data.get("counts", ()))
    return Asked(**built)
