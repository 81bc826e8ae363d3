"""The facts of a stage of a performance, and the pairs of their order, for a teacher."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from quizzes.names import capital
from quizzes.stages.order import Pair
from quizzes.stages.stage import Form, Stage
from quizzes.stages.tradition import SOURCE, form
from quizzes.teachable.fact import YOURS, Fact, Saying, standing

TITLES = {"name": "Name", "also": "Other names", "about": "What it is", "purpose": "What it is for"}
SORTS = {"name": "text", "also": "names", "about": "text", "purpose": "text"}
HINTS = {
    "also": "With commas between them.",
    "about": "It goes on from “Jor is”.",
    "purpose": "It goes on from “Jor is there to”.",
}
STRENGTHS = {"fixed": "Always", "usual": "Mostly", "free": "Either first"}
"""How strictly two stages come in their order, for a reader."""
TURNED = "turned"
"""Stands for the other order of the two, mostly so."""


@dataclass(frozen=True, slots=True)
class PairFact:
    """Two stages, which of them comes first, how strictly and why."""

    first: str
    then: str
    title: str
    strength: str
    why: str
    by: str
    mine: bool
    shipped: str
    """What is shipped of these two, where the teacher has it otherwise; else ""."""
    from_memory: bool


def facts_of(stage: str, said: Mapping[str, Any], known: Form) -> tuple[Fact, ...]:
    """What may be told of a stage in short; `said` is what the teacher's file has of it, `known`
    the form as it is asked now."""
    return tuple(_facts(known.stages[stage], said))


def _facts(now: Stage, said: Mapping[str, Any]) -> Iterator[Fact]:
    shipped = form().stages[now.id]
    for field, title in TITLES.items():
        mine = field in said
        usual, value = _value(shipped, field), _value(now, field)
        told = standing(shipped.confidence, shipped.source)
        others = (Saying(usual, "As shipped.", {field: None}),) if mine and usual != value else ()
        yield Fact(
            table=("stage", now.id),
            fields=(field,),
            title=title,
            sort=SORTS[field],
            now=value or "None",
            by=YOURS if mine else told if field in ("about", "purpose") else "",
            written=_said(said, field) or value,
            mine=mine,
            others=others,
            hint=HINTS.get(field, "").replace("Jor", now.name),
        )


def _value(stage: Stage, field: str) -> str:
    value = getattr(stage, field)
    return value if isinstance(value, str) else ", ".join(value)


def _said(said: Mapping[str, Any], field: str) -> str:
    value = said.get(field)
    if isinstance(value, list):
        return ", ".join(map(str, value))
    return "" if value is None else str(value).strip()


def pairs_of(stage: str, known: Form) -> tuple[PairFact, ...]:
    """The pairs that are told of this stage, by a file or by the teacher, in their order."""
    shipped = {frozenset((pair.first, pair.then)): pair for pair in form().order.told}
    places = {two: place for place, two in enumerate(shipped)}
    told = [(frozenset((pair.first, pair.then)), pair) for pair in known.order.told]
    told.sort(key=lambda each: places.get(each[0], len(places)))
    return tuple(_pair(pair, shipped.get(two), known) for two, pair in told if stage in two)


def _pair(pair: Pair, shipped: Pair | None, known: Form) -> PairFact:
    mine = pair.source == SOURCE
    before = "" if shipped is None or not mine else f"As shipped: {_in_words(shipped, known)}"
    return PairFact(
        first=pair.first,
        then=pair.then,
        title=_title(pair, known),
        strength=pair.strength,
        why=f"{capital(pair.why)}.",
        by=YOURS if mine else standing(pair.confidence, pair.source),
        mine=mine,
        shipped=before,
        from_memory=pair.confidence == "C" and not mine,
    )


def _title(pair: Pair, known: Form) -> str:
    first, then = known.stages[pair.first].name, known.stages[pair.then].name
    return f"{first} and {then}" if pair.strength == "free" else f"{first}, then {then}"


def _in_words(pair: Pair, known: Form) -> str:
    return (
        f"{_title(pair, known)}, {STRENGTHS[pair.strength].lower()}: {pair.why}. "
        f"{standing(pair.confidence, pair.source)}"
    )
