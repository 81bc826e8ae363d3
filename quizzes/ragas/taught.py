"""One raga with a teacher's word above what its file says, or one that is the teacher's own.

Whatever a raga's file has may be said, in tables as `quizzes.ragas.reading` has them or in short,
in the raga's own table: `nyas = "S G"` for a table [bhupali.nyas] with `is = "S G"`. Confidence and
source may be left out; what the teacher has said is sure.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from audio.tuning import SWARAS, Swara
from quizzes.errors import QuizError
from quizzes.fields import Table
from quizzes.ragas import reading
from quizzes.ragas.agreeing import NOT_TOLD, WAYS, check, check_whole, without_foreign
from quizzes.ragas.pieces import within_reach
from quizzes.ragas.raga import (
    GAITS,
    SAPTAKS,
    Fact,
    Forbidden,
    Near,
    Phrase,
    Raga,
    Scale,
)

TEACHER = "teacher"
SOURCE = "your teacher"
CONFIRMED = (
    "notes", "scale", "vadi", "nyas", "andolan", "register", "gait", "hours", "that", "occasional",
    "glide", "mood", "phrases", "forbidden", "required",
)  # fmt: skip
LISTS = ("phrases", "forbidden", "required")
"""Of which each has a source of its own."""
FIRST_STRINGS = ("P", "m", "N")
LONGEST_NAME, LONGEST_TEXT = 60, 600
MOST_PHRASES, MOST_TURNS = 60, 40
LENGTHS = range(2, 25)
"""How many swaras a phrase, a way or a turn has."""

Read = Callable[[Table, Table], Any]
Turn = TypeVar("Turn", Phrase, Forbidden)


@dataclass(frozen=True)
class _Short(Table):
    """A fact that stands in short in the table of its raga: `is` is its `field`."""

    field: str = ""

    def fault(self, field: str, message: str, *, value: str = "") -> QuizError:
        return super().fault(self.field if field == "is" else field, message, value=value)


def taught(table: Table, raga: Raga | None, known: Collection[str]) -> Raga:
    """The raga as the table has it; `raga` is as shipped, None for a new one. `known` are the ids
    of all ragas. Raises the table's error at the first fault."""
    table.only({*FACTS, *TEXTS, *LISTED, *WAYS, "scale", "samvadi", "first_string", "confirmed"})
    found = _blank(table) if raga is None else _confirmed(table, raga)
    for field, read in TEXTS.items():
        if field in table.values:
            found = replace(found, **{field: read(table, field)})
    if raga is not None and found.name != raga.name and "also" not in table.values:
        others = (raga.name, *(name for name in raga.also if name != found.name))
        found = replace(found, also=others)
    for field, read_fact in FACTS.items():
        if field in table.values:
            found = _said(found, field, _fact(table, field, read_fact), (field,))
    if {*WAYS, "scale"} & table.values.keys():
        found = _said(found, "scale", _scale(table, raga), WAYS)
    if "samvadi" in table.values and "vadi" not in table.values:
        raise table.fault("samvadi", "stands alone; give the vadi beside it")
    if "phrases" in table.values:
        _check_once(table, "phrases", ("phrase",))
    for field, (into, read_all) in LISTED.items():
        if field in table.values:
            found = replace(found, **{into: read_all(table, field)})
    if "first_string" in table.values:
        found = replace(found, first_string=table.one_of("first_string", FIRST_STRINGS))
    if raga is None:
        check_whole(table)
    found = without_foreign(table, found)
    check(table, found, known)
    return found


def _blank(table: Table) -> Raga:
    """A raga of which nothing is known, so that nothing is asked of it."""
    nothing: Fact[Any] = Fact((), "C", NOT_TOLD)
    none: Fact[Any] = Fact((), "C", "none known")
    return Raga(
        id=table.heading,
        name=table.heading,
        also=(),
        about="",
        season="",
        that=Fact("", "C", NOT_TOLD),
        notes=nothing,
        occasional=none,
        scale=Fact(Scale((), ()), "C", NOT_TOLD),
        vadi=nothing,
        nyas=nothing,
        andolan=none,
        glide=none,
        register=Fact(("madhya",), "C", NOT_TOLD),
        gait=Fact(("medium",), "C", NOT_TOLD),
        mood=nothing,
        hours=Fact((0, 24), "C", NOT_TOLD),
        phrases=(),
        near=(),
        forbidden=(),
        required=(),
        variants=(),
    )


def _confirmed(table: Table, raga: Raga) -> Raga:
    for field in table.texts("confirmed", needed=False):
        if field not in CONFIRMED:
            known = ", ".join(CONFIRMED)
            raise table.fault("confirmed", f"{field!r} should be of {known}", value=field)
        if field in LISTS:
            every = (
                each if each.confidence != "C" else replace(each, confidence=TEACHER, source=SOURCE)
                for each in getattr(raga, field)
            )
            changed: dict[str, Any] = {field: tuple(every)}
            raga = replace(raga, **changed)
            continue
        fact: Fact[Any] = getattr(raga, field)
        sure = Fact(fact.value, TEACHER, SOURCE)
        raga = _said(raga, field, sure, WAYS if field == "scale" else (field,))
    return raga


def _said(raga: Raga, field: str, fact: Fact[Any], of: Sequence[str]) -> Raga:
    """With this fact, and without what others teach of it where it is sure."""
    kept = tuple(variant for variant in raga.variants if variant.of not in of)
    changed: dict[str, Any] = {field: fact, "variants": kept if fact.sure else raga.variants}
    return replace(raga, **changed)


def _fact(table: Table, field: str, read: Read) -> Fact[Any]:
    """From a table of its own, or in short from the raga's."""
    value = table.values[field]
    inner = table.inner(field) if isinstance(value, Mapping) else _short(table, field, value)
    return _sure(inner, read(inner, table))


def _short(table: Table, field: str, value: Any) -> Table:
    return _Short(**{**vars(table), "values": {"is": value}}, field=field)


def _sure(inner: Table, found: Fact[Any]) -> Fact[Any]:
    """As the teacher's own word, unless another source or confidence stands beside it."""
    if "confidence" in inner.values or "source" in inner.values:
        return found
    return Fact(found.value, TEACHER, SOURCE)


def _with_source(table: Table) -> Table:
    """The table with what need not be said in a teacher's file."""
    return replace(table, values={"confidence": "A", "source": SOURCE, **table.values})


def _letters(inner: Table, _: Table) -> Fact[Any]:
    return reading.read_letters(_with_source(inner))


def _no_letters(inner: Table, _: Table) -> Fact[Any]:
    """Letters, or nothing where the teacher wants none."""
    if inner.values.get("is") == "":
        return Fact((), TEACHER, SOURCE)
    return reading.read_letters(_with_source(inner))


def _words(known: tuple[str, ...]) -> Read:
    return lambda inner, _: reading.read_words(_with_source(inner), known)


def _that(inner: Table, _: Table) -> Fact[Any]:
    return reading.read_that(_with_source(inner))


def _mood(inner: Table, _: Table) -> Fact[Any]:
    value = inner.values.get("is")
    values: dict[str, Any] = dict(inner.values)
    if isinstance(value, str):
        values["is"] = value.replace(",", " ").split()
    return reading.read_mood(_with_source(replace(inner, values=values)))


def _hours(inner: Table, _: Table) -> Fact[Any]:
    return reading.read_hours(_with_source(inner))


def _vadi(inner: Table, table: Table) -> Fact[Any]:
    """Both in one text, or the samvadi in its own field, as the files of the ragas have it."""
    beside = inner if isinstance(table.values["vadi"], Mapping) else table
    pair = tuple(inner.text("is").split())
    if "samvadi" in beside.values:
        pair += tuple(beside.text("samvadi").split())
    for at, letter in enumerate(pair):
        if letter not in SWARAS:
            wrong = f"{letter!r} should be one of {' '.join(SWARAS)}"
            apart = at and "samvadi" in beside.values
            raise beside.fault("samvadi", wrong) if apart else inner.fault("is", wrong)
    if len(pair) != 2 or pair[0] == pair[1]:
        raise inner.fault("is", "should be vadi and samvadi, such as G D")
    said = {"is": pair[0], "samvadi": pair[1]}
    return reading.read_vadi(_with_source(replace(inner, values={**inner.values, **said})))


def _scale(table: Table, raga: Raga | None) -> Fact[Scale]:
    """Of two ways, of which the usual one stands where one is not given."""
    inner = table.inner("scale") if "scale" in table.values else table
    if inner is not table:
        inner.only({*WAYS, "confidence", "source"})
        _check_once(table, "scale", WAYS)
    ways = {}
    for way in WAYS:
        if way in inner.values:
            ways[way] = reading.swaras_in(inner, way)
            _check_swaras(inner, way, ways[way])
        else:
            ways[way] = getattr(raga.scale.value, way) if raga else ()
    scale = Scale(**ways)
    if inner is table or not {"confidence", "source"} & inner.values.keys():
        return Fact(scale, TEACHER, SOURCE)
    return Fact(scale, *reading.sourced(_with_source(inner), set(WAYS)))


def _check_once(table: Table, field: str, others: Collection[str]) -> None:
    for other in others:
        if other in table.values:
            raise table.fault(other, f"is told by {field} already; remove one of the two")


def _name(table: Table, field: str) -> str:
    return _printable(table, field, table.text(field), LONGEST_NAME)


def _names(table: Table, field: str) -> tuple[str, ...]:
    names = table.texts(field, needed=False)
    return tuple(_printable(table, field, name.strip(), LONGEST_NAME) for name in names)


def _text(table: Table, field: str) -> str:
    return _printable(table, field, table.text(field, needed=False), LONGEST_TEXT, may_lack=True)


def _printable(table: Table, field: str, text: str, longest: int, *, may_lack: bool = False) -> str:
    if not (text or may_lack) or not text.isprintable() or len(text) > longest:
        said = f"should be letters on one line, {longest} at most"
        raise table.fault(field, said, value=text)
    return text


def _phrases(table: Table, field: str) -> tuple[Phrase, ...]:
    phrases = _sargam(table, field, "sargam", Phrase, MOST_PHRASES)
    if not phrases:
        raise table.fault(field, 'is empty; give at least one, such as phrases = ["G R S"]')
    return phrases


def _forbidden(table: Table, field: str) -> tuple[Forbidden, ...]:
    return _sargam(table, field, "turn", Forbidden, MOST_TURNS)


def _sargam(table: Table, field: str, inside: str, make: type[Turn], most: int) -> tuple[Turn, ...]:
    """Lines of sargam, as texts in a list or as tables."""
    value = table.values[field]
    if isinstance(value, list) and len(value) > most:
        raise table.fault(field, f"has {len(value)} lines; {most} are enough")
    if isinstance(value, list) and all(isinstance(each, str) for each in value):
        found = []
        for text in value:
            swaras = reading.read_swaras(table, field, text)
            _check_swaras(table, field, swaras, text)
            found.append(make(swaras, TEACHER, SOURCE))
        return tuple(found)
    tables = table.inners(field)
    for each in tables:
        _check_swaras(each, inside, reading.swaras_in(each, inside))
    read = reading.read_phrase if make is Phrase else reading.read_forbidden
    return tuple(_own(each, read(_with_source(each))) for each in tables)


def _check_swaras(table: Table, field: str, swaras: Sequence[Swara], text: str = "") -> None:
    if len(swaras) not in LENGTHS:
        said = f"has {len(swaras)} swaras; it should have {LENGTHS[0]} to {LENGTHS[-1]}"
        raise table.fault(field, said, value=text)
    if not within_reach(swaras):
        said = "goes further than the neck of a sitar; keep it from mandra Ma to tar Ma"
        raise table.fault(field, said, value=text)


def _own(table: Table, found: Any) -> Any:
    told = {"confidence", "source"} & table.values.keys()
    return found if told else replace(found, confidence=TEACHER, source=SOURCE)


def _required(table: Table, field: str) -> Any:
    tables = table.inners(field)
    return tuple(_own(each, reading.read_required(_with_source(each))) for each in tables)


def _near(table: Table, field: str) -> tuple[Near, ...]:
    value = table.values[field]
    if isinstance(value, list) and all(isinstance(each, str) for each in value):
        return tuple(Near(each, "") for each in value)
    return tuple(
        Near(each.text("raga"), each.text("apart", needed=False)) for each in table.inners(field)
    )


def _variants(table: Table, field: str) -> Any:
    tables = table.inners(field)
    return tuple(reading.read_variant(_with_source_only(each)) for each in tables)


def _with_source_only(table: Table) -> Table:
    return replace(table, values={"source": SOURCE, **table.values})


FACTS: dict[str, Read] = {
    "that": _that,
    "notes": _letters,
    "occasional": _no_letters,
    "vadi": _vadi,
    "nyas": _letters,
    "andolan": _no_letters,
    "glide": _no_letters,
    "register": _words(SAPTAKS),
    "gait": _words(GAITS),
    "mood": _mood,
    "hours": _hours,
}
TEXTS: dict[str, Callable[[Table, str], Any]] = {
    "name": _name,
    "also": _names,
    "about": _text,
    "season": _text,
}
LISTED: dict[str, tuple[str, Callable[[Table, str], Any]]] = {
    "phrases": ("phrases", _phrases),
    "phrase": ("phrases", _phrases),
    "near": ("near", _near),
    "forbidden": ("forbidden", _forbidden),
    "required": ("required", _required),
    "variant": ("variants", _variants),
}
"""By what stands in the file: the field of a raga that it fills, and how it is read."""
