"""A teacher's word on talas: it stands above what the files say.

In the text of a tradition, beside the tables of ragas:

    [tala.rupak]               any field of a tala's file, as `quizzes.talas.reading` has them
    khali = []                 all other vibhags begin with a tali then
    confirmed = ["laya"]       what is right as it stands: form, laya, character

    [[tala.rupak.theka]]       in place of all thekas of the file; source may be left out
    bols = "tin tin na | dhi na | dhi na"

What the teacher has said is sure, and what others teach of it no longer counts. Where vibhags are
given and no theka, the bars of the known thekas move. A tala that is not known here needs name,
vibhags, tali or khali, laya and a theka.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import asdict, replace
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from audio.theka import BAR
from quizzes.errors import QuizError, TalaError
from quizzes.fields import Table, table_of
from quizzes.names import listed, plain_name
from quizzes.talas.reading import FACTS, FORM, load_tala, read_form, read_tala, tala_ids
from quizzes.talas.sounds import words_of
from quizzes.talas.tala import Form, Tala, vibhag_starts

SOURCE = "your teacher"
CONFIDENCE = "A"
"""What a teacher has said is sure."""
CHARACTER = "a tala of your teacher's"
"""Of a new one, where nothing is said."""
LINES = ("bols", "said")
"""The fields of a theka that have bars."""
CONFIRMED = ("form", "laya", "character")
LEAST_MATRAS, MOST_MATRAS = 3, 32
"""Of a cycle that can still be heard as one, and drawn as a wheel (assumption)."""
_ID = re.compile(r"[a-z][a-z0-9_]*")


@lru_cache(maxsize=8)
def talas(tradition: str = "") -> Mapping[str, Tala]:
    """All talas by id, as shipped or as the text of a tradition has them.

    Raises TalaError with file, line, field and remedy.
    """
    shipped = _shipped()
    return read_tradition(tradition, shipped, Path("tradition")) if tradition else shipped


@lru_cache(maxsize=1)
def _shipped() -> Mapping[str, Tala]:
    return MappingProxyType({name: load_tala(name) for name in tala_ids()})


def read_tradition(text: str, known: Mapping[str, Tala], path: Path) -> Mapping[str, Tala]:
    """The talas with a teacher's word above them; `path` is for messages."""
    return read_told(table_of(text, path, error=TalaError), known)


def read_told(whole: Table, known: Mapping[str, Tala]) -> Mapping[str, Tala]:
    """The same from the table of a whole file."""
    if "tala" not in whole.values:
        return known
    told = whole.inner("tala")
    found = dict(known)
    for name in told.values:
        table = told.inner(name)
        if name not in known and ("name" not in table.values or not _ID.fullmatch(name)):
            raise told.fault(name, _unknown(name, table, known))
        found[name] = _taught(table, name, known.get(name))
    for name in told.values:
        _check_names(told.inner(name), found[name], found.values())
    return MappingProxyType(_named_once(found, [found[name] for name in told.values]))


def _unknown(name: str, table: Table, known: Mapping[str, Tala]) -> str:
    """What to say of a table that bears no tala's id and does not make a new one."""
    if "name" in table.values:
        return "should be of small letters, figures and _, such as [tala.my_tala]"
    meant = [
        tala.id for tala in known.values() if plain_name(name) in map(plain_name, _names(tala))
    ]
    guess = f"did you mean {listed(meant, 'or')}? " if meant else ""
    return (
        f"is no tala known here; {guess}`main.py tala` lists them by id, and a new one needs "
        f"name, vibhags, khali, laya and a theka"
    )


def _taught(table: Table, name: str, tala: Tala | None) -> Tala:
    """The tala with the fields that the table gives."""
    table.only({*FACTS, "confirmed"})
    said = {field: value for field, value in table.values.items() if field in FACTS}
    usual = {} if tala is None else _as_file(tala)
    values = {"character": CHARACTER, **usual, **said}
    if tala is None or set(FORM) & set(said):
        values |= _form(table, values, new=tala is None)
    thekas = [{"source": SOURCE, **each.values} for each in table.inners("theka")]
    values["theka"] = thekas or _thekas(table, values, tala)
    sure = _sure(table, new=tala is None)
    variants = [{"source": SOURCE, **each.values} for each in table.inners("variant")]
    if "variant" in said or "form" in sure:
        values["variant"] = variants
    if tala is not None and "also" not in said and values["name"] != tala.name:
        values["also"] = [tala.name, *(each for each in tala.also if each != values["name"])]
    values["source"] = {**_sources(tala, sure), **_table_of(table, "source")}
    taught = read_tala(name, replace(table, values=values))
    _check_written(table, taught)
    return taught


def _form(table: Table, values: Mapping[str, Any], *, new: bool) -> dict[str, Any]:
    """The fields of the form, completed from those that are said."""
    said = table.values
    if "matras" in said and not new and "vibhags" not in said:
        raise table.fault("matras", "needs vibhags beside it: how long each is")
    vibhags = replace(table, values=values).numbers("vibhags")
    if not vibhags:
        raise table.fault("vibhags", "is empty; say how long each is, such as [4, 4, 4, 4]")
    starts = vibhag_starts(vibhags)
    marked = [field for field in ("tali", "khali") if field in said]
    form = {"matras": values.get("matras") if "matras" in said else sum(vibhags)}
    if len(marked) == 1:
        (field,) = marked
        other = "khali" if field == "tali" else "tali"
        marks = table.numbers(field)
        form[other] = [start for start in starts if start not in marks]
    elif not marked and (new or {*values["tali"], *values["khali"]} != {*starts}):
        raise table.fault(
            "vibhags", f"begin on {list(starts)}; say which of these are waved: khali = [...]"
        )
    return form


def _thekas(table: Table, values: Mapping[str, Any], tala: Tala | None) -> list[dict[str, Any]]:
    """The thekas that are known for this form: a variant's, or the usual ones with other bars."""
    if tala is None:
        return []
    form = read_form(replace(table, values=values))
    _check_length(table, form)
    if form == tala.form:
        return list(_as_file(tala)["theka"])
    others = [
        {"bols": each.bols, "about": each.about, "source": each.source}
        for each in tala.variants
        if each.bols and each.form == form
    ]
    if not others and form.matras != tala.matras:
        raise table.fault(
            "theka",
            f"none is known of {form.matras} matras; "
            f"write [[{table.heading}.theka]] with its bols below",
        )
    return others or [
        {**each, **{field: _barred(each[field], form.vibhags) for field in LINES if each[field]}}
        for each in _as_file(tala)["theka"]
    ]


def _barred(bols: str, vibhags: Sequence[int]) -> str:
    """The same words with bars between other vibhags."""
    words = iter(words_of(bols))
    return f" {BAR} ".join(" ".join(next(words) for _ in range(each)) for each in vibhags)


def _sure(table: Table, *, new: bool) -> frozenset[str]:
    """Of which facts the teacher has spoken: a theka with its bars shows the form, too."""
    confirmed = table.texts("confirmed", needed=False)
    for each in confirmed:
        if each not in CONFIRMED:
            raise table.fault("confirmed", f"{each!r} should be of {', '.join(CONFIRMED)}")
    if new:
        return frozenset(CONFIRMED)
    spoken = [fact for fact in ("laya", "character") if fact in table.values]
    form = ["form"] if {*FORM, "theka"} & set(table.values) else []
    return frozenset((*confirmed, *spoken, *form))


def _sources(tala: Tala | None, sure: Collection[str]) -> dict[str, str]:
    told = dict.fromkeys(CONFIRMED, SOURCE) | {"confidence": CONFIDENCE}
    if tala is None:
        return told
    shipped = {
        "form": tala.form_source,
        "laya": tala.laya_source,
        "character": tala.character_source,
        "confidence": tala.confidence,
    }
    return {
        fact: told[fact] if (fact if fact in CONFIRMED else "form") in sure else shipped[fact]
        for fact in told
    }


def _table_of(table: Table, heading: str) -> Mapping[str, Any]:
    return table.inner(heading).values if heading in table.values else {}


def _check_written(table: Table, tala: Tala) -> None:
    _check_length(table, tala.form)
    for field, names in (("name", (tala.name,)), ("also", tala.also)):
        for name in names:
            if not name.strip() or not name.isprintable():
                raise table.fault(field, f"{name!r} should be letters on one line")


def _check_length(table: Table, form: Form) -> None:
    if not LEAST_MATRAS <= form.matras <= MOST_MATRAS:
        raise _of_form(
            table,
            f"make a cycle of {form.matras} matras; "
            f"it should have {LEAST_MATRAS} to {MOST_MATRAS} to be heard as one",
        )


def _of_form(table: Table, message: str) -> QuizError:
    return table.fault("vibhags" if "vibhags" in table.values else "matras", message)


def _check_names(table: Table, tala: Tala, talas: Collection[Tala]) -> None:
    """One name cannot mean two talas: who is asked for one of them could not tell which."""
    also = tala.also if "also" in table.values else ()
    for field, names in (("name", (tala.name,)), ("also", also)):
        for other in talas:
            for name in names:
                if other.id != tala.id and plain_name(name) == plain_name(other.name):
                    raise table.fault(
                        field,
                        f"{name!r} is the name of {other.id}, too; "
                        f"give that another name as well, or leave this one out",
                    )


def _named_once(found: Mapping[str, Tala], told: Sequence[Tala]) -> dict[str, Tala]:
    """Without the teacher's names among the other names of talas: each means one tala."""
    taught = {plain_name(name): tala.id for tala in told for name in _names(tala)}
    taught |= {plain_name(tala.name): tala.id for tala in told}
    return {
        one: replace(
            tala, also=tuple(name for name in tala.also if taught.get(plain_name(name), one) == one)
        )
        for one, tala in found.items()
    }


def _names(tala: Tala) -> Iterator[str]:
    yield from (tala.id, tala.name, *tala.also)


def _as_file(tala: Tala) -> dict[str, Any]:
    """The fields of a tala as its file has them, but for its sources."""
    return {
        "name": tala.name,
        "also": list(tala.also),
        **_listed(asdict(tala.form)),
        "laya": list(tala.laya),
        "character": tala.character,
        "theka": [_listed(asdict(each)) for each in tala.thekas],
        "variant": [
            {
                **_listed(asdict(each.form)),
                **({"bols": each.bols} if each.bols else {}),
                "about": each.about,
                "source": each.source,
            }
            for each in tala.variants
        ],
    }


def _listed(values: Mapping[str, Any]) -> dict[str, Any]:
    """As a file has it: lists where a tala has tuples."""
    return {
        name: list(value) if isinstance(value, tuple) else value for name, value in values.items()
    }
