"""Which skills are kin: what knowing one of them makes it likelier to know the others.

Kin is read off a skill's id: the raga, tala, stage, gap or deck of which it asks, however it does;
what is common to all it asks, where it asks of no one thing. It is not the cluster, whose skills
are taken for one another: Bhupali and Deshkar are of one cluster, two questions about Bhupali are
kin. Which belong together is our own judgement.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace

from quizzes.question import Skill

_RULES = tuple(
    (re.compile(pattern), kin)
    for pattern, kin in (
        # What two ragas are told apart by says little of either alone.
        (r"(?:raga-[a-z-]+:[a-z]+|shade):(?P<first>\w+)-(?P<second>\w+)", "ragas:{pair}"),
        (r"(?:raga-[a-z-]+(?::[a-z-]+)?|register:home|fit:laya):(\w+)", "raga:{}"),
        (r"(?:tala|tala:mid|sam:\w+|khali|matra|theka:\w+|tap:\w+):(\w+)", "tala:{}"),
        (r"(?:follows:\w+|out-of-place|missing|which-stage|what-for:\w+):([\w-]+)", "stage:{}"),
        (r"order:([\w-]+):\d+", "order:{}"),
        (r"layout:\d+:(\w+)", "layout:{}"),
        (r"swara:(\w)[,']*", "swara:{}"),
        (r"gap:([\w,'-]+):\w+", "gap:{}"),
        (r"ornament:span:\d+", "ornament:span"),
        (r"ornament:(?:side:)?(\w+)", "ornament:{}"),
        (r"what-changed:(?:\w+:)?(\w+)", "what-changed:{}"),
        (r"write:(\w+):\d+", "write:{}"),
        (r"strokes:(?:chikari|jhala):[\d-]+", "strokes:jhala"),
        (r"strokes:(?:write|altered):([a-z-]+)(?::\d+)?", "strokes:{}"),
        (r"gat-start:(?:stroke|found)", "gat-start"),
        (r"(?:strokes:gat|fit:gat|gat-start):(\w+)", "gat:{}"),
        # In whichever tala: the reckoning is the same.
        (r"layakari:(?:\w+:)+(\w+)", "layakari:{}"),
        # One ear hears all of these more or less finely, or one rule tells them.
        (r"(tune|shade|laya|slip|make):[\w:']+", "{}"),
        (r"(fit:\w+|register:path|tihai:\w+):[\w-]+", "{}"),
        (r"palta:\w+:([\w-]+)", "palta:{}"),
        (r"(prastara):.+", "{}"),
        (r"deck:([^:]+):.+", "deck:{}"),
    )
)
_WIDER = re.compile(r"wider:(\d+)-(\d+)")


def kin_of(skill: str) -> str:
    """The kin of the skill with this id; "" where it has none."""
    if gaps := _WIDER.fullmatch(skill):  # a difference of so many semitones, wherever it lies
        return f"wider:{int(gaps[2]) - int(gaps[1])}"
    for pattern, kin in _RULES:
        if found := pattern.fullmatch(skill):
            names = found.groupdict()
            return kin.format(*found.groups(), pair="-".join(sorted(names.values())))
    return ""


def with_kin(skills: Iterable[Skill]) -> Iterator[Skill]:
    """The same skills, each with its kin."""
    return (replace(skill, kin=kin_of(skill.id)) for skill in skills)
