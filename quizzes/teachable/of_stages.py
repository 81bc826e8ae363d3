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
from words import say, to_say

TITLES = {
    "name": to_say("Name"),
    "also": to_say("Other names"),
    "about": to_say("What it is"),
    "purpose": to_say("What it is for"),
}
SORTS = {"name": "text", "also": "names", "about": "text", "purpose": "text"}
HINTS = {
    "also": to_say("With commas between them."),
    "about": to_say("It goes on from “{stage} is”."),
    "purpose": to_say("It goes on from “{stage} is there to”."),
}
STRENGTHS = {
    "fixed": to_say("Always"),
    "usual": to_say("Mostly"),
    "free": to_say("Either first"),
}
"""How strictly two stages come in their order, to be said."""
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
        others = (
            (Saying(usual, say("As shipped."), {field: None}),) if mine and usual != value else ()
        )
        yield Fact(
            table=("stage", now.id),
            fields=(field,),
            title=say(title),
            sort=SORTS[field],
            now=value or say("None"),
            by=say(YOURS) if mine else told if field in ("about", "purpose") else "",
            written=_said(said, field) or value,
            mine=mine,
            others=others,
            hint=say(HINTS[field], stage=say(now.name)) if field in HINTS else "",
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
    before = (
        ""
        if shipped is None or not mine
        else say("As shipped: {what}", what=_in_words(shipped, known))
    )
    return PairFact(
        first=pair.first,
        then=pair.then,
        title=_title(pair, known),
        strength=pair.strength,
        why=say("{why}.", why=capital(say(pair.why))),
        by=say(YOURS) if mine else standing(pair.confidence, pair.source),
        mine=mine,
        shipped=before,
        from_memory=pair.confidence == "C" and not mine,
    )


def _title(pair: Pair, known: Form) -> str:
    first, then = (say(known.stages[stage].name) for stage in (pair.first, pair.then))
    if pair.strength == "free":
        return say("{first} and {then}", first=first, then=then)
    return say("{first}, then {then}", first=first, then=then)


def _in_words(pair: Pair, known: Form) -> str:
    parts = {
        "stages": _title(pair, known),
        "why": say(pair.why),
        "by": standing(pair.confidence, pair.source),
    }
    if pair.strength == "fixed":
        return say("{stages}, always: {why}. {by}", **parts)
    if pair.strength == "usual":
        return say("{stages}, mostly: {why}. {by}", **parts)
    return say("{stages}, either first: {why}. {by}", **parts)
