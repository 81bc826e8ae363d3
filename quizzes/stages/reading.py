"""The stages of a performance and their order, read from `assets/stages/`.

`stages.toml`: `ragas`, then tables

    [[stage]]     id, name, also, about, purpose, may_lack, needs, instead_of, confidence, source,
                  and [stage.heard]: tempo, strokes, chikari, ornaments, register, talas, bols, run,
                  ends, shaken, comes_round, confidence, source
    [[division]]  id, name, of, part, parts, ordered, source

`order.toml`: tables

    [[pair]]      first, then, strength ("fixed", "usual" or "free"), why, confidence, source

`quizzes.stages.stage` says what each field means: a stage that `may_lack` need not be played, but
those that it `needs` are played wherever it is (the jhala of an alap has a jor before it). `also`,
`may_lack`, `needs`, `instead_of`, `of`, `part` ("stage" unless given), `ordered` (true unless
given), `tempo` (no pulse), `talas` (no tabla), `bols`, `run`, `ends`, `shaken` and `comes_round`
may be left out. `confidence` is A, B or C (from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from audio.mizrab import mizrab
from quizzes.errors import StageError
from quizzes.fields import Table, read_table
from quizzes.ragas.reading import CONFIDENCES, raga_ids
from quizzes.stages.order import STRENGTHS, Order, Pair
from quizzes.stages.stage import SAPTAKS, Division, Form, Heard, Range, Stage
from quizzes.talas import tala_ids

STAGES = Path(__file__).parent.parent.parent / "assets" / "stages"

RUNS = ("sapat", "kut", "alankarik", "gamak", "chhut")
"""The sorts of tan that can be played."""
ENDS = ("tihai",)
MOST_CHIKARI = 0.9
"""The rest at least is struck on the playing string, or nothing would be played."""

_STAGE = {
    "id", "name", "also", "about", "purpose", "may_lack", "needs", "instead_of", "confidence",
    "source", "heard",
}  # fmt: skip
_HEARD = {
    "tempo", "strokes", "chikari", "ornaments", "register", "talas", "bols", "run", "ends",
    "shaken", "comes_round", "confidence", "source",
}  # fmt: skip


def load_form(folder: Path = STAGES) -> Form:
    """All that the files tell. Raises StageError with file, line, field and remedy."""
    table = read_table(folder / "stages.toml", error=StageError)
    table.only({"ragas", "stage", "division"})
    stages = _by_id(table, "stage", read_stage)
    names: set[str] = set()
    for each in table.inners("stage"):
        _check_stage(each, stages, names)
    divisions = _by_id(table, "division", read_division)
    for each in table.inners("division"):
        _check_division(each, stages, parents_of(divisions))
    placed = {part for division in divisions.values() for part in division.parts}
    for each in table.inners("stage"):
        if each.text("id") not in placed:
            raise each.fault(
                "id", f"{each.text('id')} is a part of no [[division]]; name it in one"
            )
    pairs = _pairs(read_table(folder / "order.toml", error=StageError), stages)
    ragas = table.texts("ragas")
    for raga in ragas:
        if raga not in raga_ids():
            raise table.fault("ragas", f"{raga!r} is no raga known here", value=raga)
    order = Order(pairs, parents_of(divisions))
    if circle := order.circle():
        raise StageError(
            f"{folder / 'order.toml'}: {' before '.join((*circle, circle[0]))}: these pairs "
            "contradict each other; remove one or make it free"
        )
    return Form(MappingProxyType(stages), MappingProxyType(divisions), order, ragas)


Named = TypeVar("Named", Stage, Division)


def _by_id(table: Table, heading: str, read: Callable[[Table], Named]) -> dict[str, Named]:
    found: dict[str, Named] = {}
    for each in table.inners(heading):
        one = read(each)
        if one.id in found:
            raise each.fault("id", f"{one.id} stands twice; give each its own")
        found[one.id] = one
    if not found:
        raise table.fault(heading, f"there should be at least one [[{heading}]]")
    return found


def parents_of(divisions: Mapping[str, Division]) -> Mapping[str, str]:
    """Of which stage each stage is a part."""
    return {part: each.of for each in divisions.values() if each.of for part in each.parts}


def read_stage(table: Table, talas: Collection[str] = tala_ids()) -> Stage:
    """One [[stage]], all but what it says of other stages checked; `talas` are those known."""
    table.only(_STAGE)
    return Stage(
        table.text("id"),
        table.text("name"),
        table.texts("also", needed=False),
        _clause(table.text("about")),
        _clause(table.text("purpose")),
        table.switch("may_lack"),
        table.texts("needs", needed=False),
        table.texts("instead_of", needed=False),
        read_heard(table.inner("heard"), talas),
        table.one_of("confidence", CONFIDENCES),
        table.text("source"),
    )


def _clause(text: str) -> str:
    """As it goes on in the middle of a sentence, however it was written."""
    text = text.rstrip(". ")
    return text[:1].lower() + text[1:]


def read_heard(table: Table, talas: Collection[str]) -> Heard:
    """One [stage.heard]."""
    table.only(_HEARD)
    for field, known in (
        ("register", SAPTAKS),
        ("talas", talas),
    ):
        for each in table.texts(field, needed=field == "register"):
            if each not in known:
                raise table.fault(field, f"{each!r} should be one of {', '.join(known)}")
    bols = ("", *(gat.name for gat in mizrab().gats), *(each.name for each in mizrab().jhalas))
    tempo = table.span("tempo", most=1000) if "tempo" in table.values else None
    in_talas = table.texts("talas", needed=False)
    if tempo is None and in_talas:
        raise table.fault("talas", "needs a tempo beside it: a tala has a pulse")
    line = table.one_of("bols", bols)
    for gat in mizrab().gats:
        if gat.name == line and in_talas != (gat.tala,):
            raise table.fault(
                "talas", f'should be {gat.tala} alone, or bols be "": {line} is set to it'
            )
    return Heard(
        tempo=tempo,
        strokes=table.span("strokes", most=20),
        chikari=table.span("chikari", most=MOST_CHIKARI),
        ornaments=_share(table, "ornaments"),
        register=table.texts("register"),
        talas=in_talas,
        bols=line,
        run=table.one_of("run", ("", *RUNS)),
        ends=table.one_of("ends", ("", *ENDS)),
        shaken=table.switch("shaken"),
        comes_round=table.switch("comes_round"),
        confidence=table.one_of("confidence", CONFIDENCES),
        source=table.text("source"),
    )


def _share(table: Table, field: str) -> Range:
    return table.span(field, most=1)


def read_division(table: Table) -> Division:
    table.only({"id", "name", "of", "part", "parts", "ordered", "source"})
    return Division(
        table.text("id"),
        table.text("name"),
        table.text("of", needed=False),
        table.text("part", needed=False) or "stage",
        table.texts("parts"),
        table.switch("ordered") if "ordered" in table.values else True,
        table.text("source"),
    )


def _check_stage(table: Table, stages: Mapping[str, Stage], names: set[str]) -> None:
    """What it says of other stages; to `names`, those of the stages before it, its are added."""
    check_others(table, stages)
    stage = stages[table.text("id")]
    for field, said in (("name", (stage.name,)), ("also", stage.also)):
        for name in said:
            if name.casefold() in names:
                raise table.fault(
                    field, f"{name!r} is a name already; give it to one stage", value=name
                )
            names.add(name.casefold())


def check_others(table: Table, stages: Mapping[str, Stage]) -> None:
    """What one [[stage]] says of others, that it needs or stands for."""
    stage = table.text("id")
    for field, what in (("needs", "need"), ("instead_of", "stand for")):
        _check_known(table, field, stages)
        if stage in table.texts(field, needed=False):
            raise table.fault(field, f"{stage} cannot {what} itself; name others", value=stage)


def _check_division(table: Table, stages: Mapping[str, Stage], parents: Mapping[str, str]) -> None:
    _check_known(table, "parts", stages)
    of, parts = table.text("of", needed=False), table.texts("parts")
    if of and of not in stages:
        raise table.fault("of", f"{of!r} is no stage; known are {', '.join(stages)}")
    above = of
    for _ in stages:
        if above in parts:
            raise table.fault("of", f"{above} cannot be a part of itself; leave it out of parts")
        above = parents.get(above, "")
    for part in parts:
        if parts.count(part) > 1:
            raise table.fault("parts", f"{part} stands twice; name it once", value=part)


def _check_known(table: Table, field: str, stages: Mapping[str, Stage]) -> None:
    for each in table.texts(field, needed=False):
        if each not in stages:
            raise table.fault(
                field, f"{each!r} is no stage; known are {', '.join(stages)}", value=each
            )


def _pairs(table: Table, stages: Mapping[str, Stage]) -> tuple[Pair, ...]:
    table.only({"pair"})
    found: dict[frozenset[str], Pair] = {}
    for each in table.inners("pair"):
        pair = read_pair(each, stages)
        two = frozenset((pair.first, pair.then))
        if two in found:
            raise each.fault(
                "first", f"{pair.first} and {pair.then} are told twice; tell them once"
            )
        found[two] = pair
    return tuple(found.values())


def read_pair(table: Table, stages: Mapping[str, Stage]) -> Pair:
    """One [[pair]] of stages that are known."""
    table.only({"first", "then", "strength", "why", "confidence", "source"})
    first, then = (table.one_of(field, tuple(stages)) for field in ("first", "then"))
    if first == then:
        raise table.fault("then", f"{then} cannot come before itself; name two stages")
    return Pair(
        first,
        then,
        table.one_of("strength", STRENGTHS),
        table.text("why"),
        table.text("source"),
        table.one_of("confidence", CONFIDENCES),
    )
