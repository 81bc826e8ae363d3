"""What of a step is asked, in plain words: all of it, or only what is heard, or named, or known.

A way is a few beginnings of skills' ids, as they stand in the field `ask` of a step.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from quizzes.kinds import KINDS
from quizzes.met_in_order import MetInOrder, met_in
from quizzes.question import Skill
from words import say, to_say

ALL, EAR, KNOWN, NAMED, OTHER = "all", "ear", "known", "named", "other"
_HEARD = "perception"
"""The family of all that is told by ear."""
_WORDS = {
    ALL: to_say("All of it"),
    EAR: to_say("Only by ear"),
    KNOWN: to_say("Only what is to be known"),
}
"""To be said, as the next are."""
_NAMING = {
    "ragas": (to_say("Only which raga it is"), ("raga-from-phrase:note",)),
    "talas": (to_say("Only which tala it is"), ("tala:",)),
}


@dataclass(frozen=True, slots=True)
class Way:
    """`id` is one of ALL, EAR, KNOWN, NAMED, and OTHER for what was written by hand; `ask` is what
    stands in the file, None where nothing does."""

    id: str
    words: str
    ask: tuple[str, ...] | None


def ways_of(step: Mapping[str, Any], tradition: str = "") -> tuple[Way, ...]:
    """The ways that a step may be asked, the one that it is asked now among them; () where it names
    neither ragas nor talas nor kinds."""
    fields = tuple(field for field in _NAMING if _texts(step, field))
    found = _ways(fields, _texts(step, "kinds"), tradition)
    ways = tuple(replace(way, words=say(way.words)) for way in found)
    ask = _texts(step, "ask") or None
    if ways and all(way.ask != ask for way in ways):
        return (*ways, Way(OTHER, say("Only {ask}", ask=", ".join(ask or ())), ask))
    return ways


@lru_cache(maxsize=256)
def _ways(fields: Sequence[str], kinds: Sequence[str], tradition: str) -> tuple[Way, ...]:
    """Those of a step that names some ragas or talas, as `fields` say, and these kinds; with words
    that are to be said."""
    skills = list(_asked_of(fields, kinds, met_in(tradition)))
    if not skills:
        return ()
    ways = [Way(ALL, _WORDS[ALL], None)]
    heard, known = _beginnings(skills, heard=True), _beginnings(skills, heard=False)
    if heard and known:
        ways += [Way(EAR, _WORDS[EAR], heard), Way(KNOWN, _WORDS[KNOWN], known)]
    return (*ways, *(Way(NAMED, *_NAMING[field]) for field in fields))


def way_of(step: Mapping[str, Any], tradition: str = "") -> str:
    """The id of the way in which a step is asked now; "" where there is none to choose."""
    ask = _texts(step, "ask") or None
    return next((way.id for way in ways_of(step, tradition) if way.ask == ask), "")


def _texts(step: Mapping[str, Any], field: str) -> tuple[str, ...]:
    value = step.get(field)
    return tuple(map(str, value)) if isinstance(value, list) else ()


def _asked_of(fields: Sequence[str], kinds: Sequence[str], known: MetInOrder) -> Iterator[Skill]:
    """All that is asked of such things."""
    if "ragas" in fields:
        yield from known.of_all_ragas
    if "talas" in fields:
        yield from known.of_all_talas
    for kind in kinds:
        if kind in KINDS:
            yield from known.of_kind(kind)


def _beginnings(skills: Sequence[Skill], *, heard: bool) -> tuple[str, ...]:
    """With what the ids of those begin that are told by ear, or of the others: kinds, and sorts of
    a kind of which some are and some are not."""
    found = []
    for kind, of_kind in _by(skills, 1).items():
        sorts = {kind: of_kind} if _are_alike(of_kind) else _by(of_kind, 2)
        found += [
            sort
            for sort, of_sort in sorts.items()
            if _are_alike(of_sort) and (of_sort[0].family == _HEARD) == heard
        ]
    return tuple(found)


def _by(skills: Iterable[Skill], parts: int) -> dict[str, list[Skill]]:
    """By the first parts of their ids, with the colon behind."""
    found: dict[str, list[Skill]] = {}
    for skill in skills:
        found.setdefault(":".join([*skill.id.split(":")[:parts], ""]), []).append(skill)
    return found


def _are_alike(skills: Sequence[Skill]) -> bool:
    return len({skill.family == _HEARD for skill in skills}) == 1
