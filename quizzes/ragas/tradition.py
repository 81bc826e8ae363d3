"""A teacher's word on ragas: it stands above what the files of the ragas say.

A tradition is TOML text, one table a raga, named by its id. A field is taught otherwise by giving
it, and what is only known from memory is confirmed by naming it:

    [durga]
    vadi = "D"
    samvadi = "R"
    first_string = "m"
    confirmed = ["nyas", "hours"]

Fields: notes, aroha, avaroha, vadi (with samvadi, in one text or in a field of its own beside it),
nyas, andolan, register, gait, hours, first_string (of the tanpura: P, m or N); `confirmed` names
any of notes, scale, vadi, nyas, andolan, register, gait, hours. What the teacher has said is sure,
and what others teach of that field no longer counts. A phrase with a swara that the teacher leaves
out is left out with it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from audio.tuning import SWARAS
from quizzes.errors import RagaError
from quizzes.fields import Table, table_of
from quizzes.ragas.raga import GAITS, SAPTAKS, Fact, Raga, Scale, hours_of, letters_of
from quizzes.ragas.reading import check_degrees, load_ragas, read_swaras

BESIDE = ("tala", "layakari", "stage", "order", "layout", "fit")
"""Tables of a teacher's file that are not of ragas; see `quizzes.tradition`."""
TEACHER = "teacher"
SOURCE = "your teacher"
WAYS = ("aroha", "avaroha")
CONFIRMED = ("notes", "scale", "vadi", "nyas", "andolan", "register", "gait", "hours")
FIRST_STRINGS = ("P", "m", "N")


@lru_cache(maxsize=8)
def ragas(tradition: str = "") -> Mapping[str, Raga]:
    """All ragas as shipped, or as the text of a tradition has them. Raises RagaError."""
    shipped = _shipped()
    return read_tradition(tradition, shipped, Path("tradition")) if tradition else shipped


@lru_cache(maxsize=1)
def _shipped() -> Mapping[str, Raga]:
    return load_ragas()


def read_tradition(text: str, known: Mapping[str, Raga], path: Path) -> Mapping[str, Raga]:
    """The ragas with a teacher's word above them; `path` is for messages."""
    whole = table_of(text, path, error=RagaError)
    found = dict(known)
    for name in whole.values:
        if name in BESIDE:
            continue
        if name not in known:
            raise whole.fault(name, _unknown(whole.values[name], known))
        found[name] = _taught(whole.inner(name), known[name])
    return MappingProxyType(found)


def _unknown(value: object, known: Mapping[str, Raga]) -> str:
    """What to say of a table that bears no raga's name."""
    inside = next((one for one in value if one in known), "") if isinstance(value, dict) else ""
    if inside:
        return f"is no raga; the table of a raga bears its id alone: [{inside}]"
    return "is no raga known here; `main.py raga` lists them by id"


def _taught(table: Table, raga: Raga) -> Raga:
    table.only({*_FIELDS, *WAYS, "samvadi", "first_string", "confirmed"})
    if "samvadi" in table.values and "vadi" not in table.values:
        raise table.fault("samvadi", "stands alone; give the vadi beside it")
    for field in table.texts("confirmed", needed=False):
        if field not in CONFIRMED:
            raise table.fault("confirmed", f"{field!r} should be of {', '.join(CONFIRMED)}")
        fact: Fact[Any] = getattr(raga, field)
        raga = _said(raga, field, fact.value, WAYS if field == "scale" else (field,))
    for field, read in _FIELDS.items():
        if field in table.values:
            raga = _said(raga, field, read(table), (field,))
    if "aroha" in table.values or "avaroha" in table.values:
        scale = raga.scale.value
        ways = {
            way: _swaras(table, way) if way in table.values else getattr(scale, way) for way in WAYS
        }
        raga = _said(raga, "scale", Scale(**ways), WAYS)
        check_degrees(table, raga.scale.value)
    if "first_string" in table.values:
        first = table.text("first_string")
        if first not in FIRST_STRINGS:
            raise table.fault("first_string", f"should be P, m or N; given {first!r}")
        raga = replace(raga, first_string=first)
    scale = raga.scale.value
    held = {*raga.vadi.value, *raga.nyas.value, *raga.andolan.value, *scale.up, *scale.down}
    if held - raga.own:
        foreign = " ".join(sorted(held - raga.own))
        raise table.fault("notes", f"{foreign} stands in another field; name it here, too")
    phrases = tuple(each for each in raga.phrases if letters_of(each.swaras) <= raga.allowed)
    if not phrases:
        raise table.fault("notes", "no phrase of the raga lies in these; name more of its swaras")
    return replace(raga, phrases=phrases)


def _said(raga: Raga, field: str, value: Any, of: tuple[str, ...]) -> Raga:
    kept = tuple(variant for variant in raga.variants if variant.of not in of)
    changed: dict[str, Any] = {field: Fact(value, TEACHER, SOURCE), "variants": kept}
    return replace(raga, **changed)


def _swaras(table: Table, field: str) -> Any:
    return read_swaras(table, field, table.text(field))


def _letters(field: str) -> Callable[[Table], tuple[str, ...]]:
    def read(table: Table) -> tuple[str, ...]:
        letters = tuple(table.text(field).split())
        for letter in letters:
            if letter not in SWARAS:
                raise table.fault(field, f"{letter!r} should be one of {' '.join(SWARAS)}")
        return letters

    return read


def _words(field: str, known: tuple[str, ...]) -> Callable[[Table], tuple[str, ...]]:
    def read(table: Table) -> tuple[str, ...]:
        words = tuple(table.text(field).split())
        for word in words:
            if word not in known:
                raise table.fault(field, f"{word!r} should be one of {', '.join(known)}")
        return words

    return read


def _vadi(table: Table) -> tuple[str, ...]:
    """Both in one text, or the samvadi in its own field, as the files of the ragas have it."""
    pair = _letters("vadi")(table)
    if "samvadi" in table.values:
        pair += _letters("samvadi")(table)
    if len(pair) != 2:
        raise table.fault("vadi", "should be vadi and samvadi, such as G D")
    return pair


def _hours(table: Table) -> tuple[int, int]:
    try:
        return hours_of(table.text("hours"))
    except ValueError as error:
        raise table.fault("hours", "should be two hours of the day, such as 18-21") from error


_FIELDS: dict[str, Callable[[Table], Any]] = {
    "notes": _letters("notes"),
    "vadi": _vadi,
    "nyas": _letters("nyas"),
    "andolan": _letters("andolan"),
    "register": _words("register", SAPTAKS),
    "gait": _words("gait", GAITS),
    "hours": _hours,
}
