"""A teacher's word on the stages of a performance: it stands above what the files say.

In the text of a tradition, beside the tables of ragas:

    [stage.jor-fast]           any field of a stage, or of its [stage.jor-fast.heard]
    name = "Dugun"

    [[order]]                  a pair of stages, as in `order.toml`; why may be left out
    first = "madhya-gat"
    then = "vilambit-gat"
    strength = "usual"

A pair that is told by a teacher takes the place of what was told of these two, and of whatever else
would then go round in a circle, the weakest first.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import asdict, replace
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from quizzes.errors import StageError
from quizzes.fields import Table, table_of
from quizzes.ragas.tradition import ragas
from quizzes.stages.order import STRENGTHS, Order, Pair
from quizzes.stages.passages import bears
from quizzes.stages.reading import check_others, load_form, read_pair, read_stage
from quizzes.stages.stage import Division, Form, Stage
from quizzes.talas.tradition import talas
from words import to_say

SOURCE = "your teacher"
CONFIDENCE = "A"
"""What a teacher has said is sure."""


@lru_cache(maxsize=8)
def form(tradition: str = "") -> Form:
    """How a performance unfolds, as shipped or as the text of a tradition has it.

    Raises StageError with file, line, field and remedy.
    """
    shipped = _shipped()
    return read_tradition(tradition, shipped, Path("tradition")) if tradition else shipped


@lru_cache(maxsize=1)
def _shipped() -> Form:
    return load_form()


def read_tradition(text: str, known: Form, path: Path) -> Form:
    """The form with a teacher's word above it; `path` is for messages."""
    return read_told(table_of(text, path, error=StageError), known, talas(text))


def read_told(whole: Table, known: Form, in_talas: Collection[str]) -> Form:
    """The same from the table of a whole file; `in_talas` are all talas that are known."""
    stages = dict(known.stages)
    if "stage" in whole.values:
        told = whole.inner("stage")
        for name in told.values:
            if name not in stages:
                known_names = ", ".join(stages)
                raise told.fault(name, f"is no stage known here; known are {known_names}")
            stages[name] = _taught(told.inner(name), name, stages, in_talas)
        for name in told.values:
            _check_name(told.inner(name), name, stages)
        stages = _named_once(stages, told.values)
        for name in told.values:
            if "heard" in told.inner(name).values:
                _check_playable(told.inner(name), stages, known.whole_of(name))
    order = known.order
    for each in whole.inners("order"):
        order = _moved(each, order, read_pair(_completed(each), stages))
    return replace(known, stages=MappingProxyType(stages), order=order)


def _check_name(table: Table, stage: str, stages: Mapping[str, Stage]) -> None:
    """One name cannot mean two stages: who is asked for one of them could not tell which."""
    name = stages[stage].name
    for other in stages.values():
        if other.id != stage and other.name.casefold() == name.casefold():
            raise table.fault(
                "name", f"{name!r} is the name of {other.id}, too; give that another name as well"
            )


def _check_playable(table: Table, stages: Mapping[str, Stage], division: Division) -> None:
    """Some raga carries all the stages that are heard beside each other."""
    parts = [stages[part] for part in division.parts]
    if not any(all(bears(part, raga) for part in parts) for raga in ragas().values()):
        raise table.fault(
            "heard", f"no raga known here could carry {division.name} so; widen the register"
        )


def _named_once(stages: Mapping[str, Stage], told: Collection[str]) -> dict[str, Stage]:
    """Without the teacher's names among the other names of stages: he means one stage by each."""
    taught = {stages[stage].name: stage for stage in told}
    return {
        one: replace(stage, also=tuple(name for name in stage.also if taught.get(name, one) == one))
        for one, stage in stages.items()
    }


def _taught(
    table: Table, name: str, stages: Mapping[str, Stage], in_talas: Collection[str]
) -> Stage:
    """The stage of this name with the fields that the table gives."""
    stage = stages[name]
    said = {"confidence": CONFIDENCE, "source": SOURCE}
    shipped = asdict(stage)
    shipped["heard"] = {
        name: value for name, value in shipped["heard"].items() if value is not None
    }
    values = {**shipped, **said, **table.values}
    heard = table.inner("heard").values if "heard" in table.values else {}
    if values["name"] != stage.name:  # the usual name is still a name for it
        values["also"] = (stage.name, *(each for each in values["also"] if each != values["name"]))
    values["heard"] = _listed({**shipped["heard"], **(said if heard else {}), **heard})
    taught = replace(table, values=_listed(values))
    check_others(taught, stages)
    return read_stage(taught, in_talas)


def _listed(values: Mapping[str, Any]) -> dict[str, Any]:
    """As a file has it: lists where a stage has tuples."""
    return {
        name: list(value) if isinstance(value, tuple) else value for name, value in values.items()
    }


def _completed(table: Table) -> Table:
    usual = {"strength": "usual", "why": to_say("so your teacher has it")}
    said = {"confidence": CONFIDENCE, "source": SOURCE}
    return replace(table, values={**usual, **table.values, **said})


def _moved(table: Table, order: Order, pair: Pair) -> Order:
    """The order with the teacher's pair, and without what contradicts it."""
    two = {pair.first, pair.then}
    told = [each for each in order.told if {each.first, each.then} != two or each.source == SOURCE]
    found = Order((*told, pair), order.parents)
    while circle := found.circle():
        others = [
            each
            for each in told
            if each.source != SOURCE and each.first in circle and each.then in circle
        ]
        if not others:
            raise table.fault("first", "goes round in a circle with your other pairs; remove one")
        told.remove(min(others, key=lambda each: STRENGTHS.index(each.strength)))
        found = Order((*told, pair), order.parents)
    return found
