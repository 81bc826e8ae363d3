"""A teacher's word on talas: it stands above what the files say.

In the text of a tradition, beside the tables of ragas:

    [tala.rupak]               any field of a tala's file; source may be left out
    tali = [1, 4, 6]
    khali = []

    [[tala.rupak.theka]]       in place of the thekas of the file
    bols = "tin tin na | dhi na | dhi na"

What the teacher has said is sure, and what others teach of it no longer counts. A tala that is not
known here needs all that a file needs.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import asdict, replace
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from quizzes.errors import TalaError
from quizzes.fields import Table
from quizzes.talas.reading import load_tala, read_tala, tala_ids
from quizzes.talas.tala import Tala

SOURCE = "your teacher"
CONFIDENCE = "A"
"""What a teacher has said is sure."""
FORM = ("matras", "vibhags", "tali", "khali")


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
    try:
        values = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise TalaError(f"{path}: {error}; mend the file, it should be TOML in UTF-8") from error
    if "tala" not in values:
        return known
    told = Table(path, text.splitlines(), values, TalaError).inner("tala")
    taught = {name: _taught(told.inner(name), name, known.get(name)) for name in told.values}
    return MappingProxyType({**known, **taught})


def _taught(table: Table, name: str, tala: Tala | None) -> Tala:
    said = {"form": SOURCE, "laya": SOURCE, "character": SOURCE, "confidence": CONFIDENCE}
    values = {**table.values}
    values["source"] = {**said, **values.get("source", {})}
    values["theka"] = [{"source": SOURCE, **each} for each in values.get("theka", [])]
    if tala is None:
        return read_tala(name, replace(table, values=values))
    shipped = _as_file(tala)
    of_form = any(field in values for field in FORM)
    if not values["theka"]:
        values["theka"] = shipped["theka"]
    values["variant"] = [] if of_form else shipped["variant"]
    return read_tala(name, replace(table, values={**shipped, **values}))


def _as_file(tala: Tala) -> dict[str, Any]:
    """The fields of a tala as its file has them."""
    form = {field: _listed(value) for field, value in asdict(tala.form).items()}
    return {
        "name": tala.name,
        "also": list(tala.also),
        **form,
        "laya": list(tala.laya),
        "character": tala.character,
        "theka": [
            {field: _listed(value) for field, value in asdict(each).items()} for each in tala.thekas
        ],
        "variant": [
            {
                **{field: _listed(value) for field, value in asdict(each.form).items()},
                **({"bols": each.bols} if each.bols else {}),
                "about": each.about,
                "source": each.source,
            }
            for each in tala.variants
        ],
    }


def _listed(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value
