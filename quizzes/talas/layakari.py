"""Layakari: so many notes to a matra; how long what is said so lasts, and where it must begin.

Read from `assets/layakari.toml`: `[[layakari]]` tables with `id`, `name`, `also` (other names),
`ratio` of notes to matras as "3/2", `about`, `source` and `confidence` (A or B), and `[[variant]]`
tables with the `ratio` that others teach under the same name. In a teacher's file `[layakari.kuad]`
with `ratio`, `name` or `also` stands above both. All arithmetic is exact.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

from quizzes.errors import TalaError
from quizzes.fields import Table, read_table, table_of
from quizzes.names import number_word, plain_name
from quizzes.talas.cycle import mixed, place_in
from quizzes.talas.tradition import CONFIDENCE, SOURCE
from words import say, say_many

LAYAKARI = Path(__file__).parent.parent.parent / "assets" / "layakari.toml"
CONFIDENCES = ("A", "B")
DENSEST = 8
"""Notes to a matra, at most."""


@dataclass(frozen=True, slots=True)
class Otherwise:
    """What others teach under the same name."""

    ratio: Fraction
    about: str
    source: str


@dataclass(frozen=True, slots=True)
class Layakari:
    """`ratio` is how many notes stand to a matra of thah."""

    id: str
    name: str
    also: tuple[str, ...]
    ratio: Fraction
    about: str
    source: str
    confidence: str
    others: tuple[Otherwise, ...] = ()

    @property
    def called(self) -> str:
        """Its name in the language in use; one of a teacher's own stays as it is."""
        return say(self.name)

    @property
    def ratios(self) -> frozenset[Fraction]:
        """All that somebody calls so."""
        return frozenset({self.ratio, *(other.ratio for other in self.others)})

    @property
    def told(self) -> str:
        """What it is in the language in use: `twice as fast as thah`."""
        if self.about:
            return say(self.about)
        return say("{ratio} times as fast as thah", ratio=mixed(self.ratio))

    @property
    def in_words(self) -> str:
        """`three notes to a matra`, `five notes in four matras`."""
        return in_words(self.ratio)


def in_words(ratio: Fraction) -> str:
    number = number_word(ratio.numerator)
    if ratio.denominator == 1:
        return say_many(
            "{number} note to a matra", "{number} notes to a matra", ratio.numerator, number=number
        )
    return say(
        "{number} notes in {matras} matras",
        number=number,
        matras=number_word(ratio.denominator),
    )


def takes(matras: Fraction | int, ratio: Fraction | int) -> Fraction:
    """How many matras it lasts to say so many matras in this ratio."""
    return matras / Fraction(ratio)


def begins(matras: Fraction | int, ratio: Fraction | int, *, cycle: int) -> Fraction:
    """After how many matras of a cycle what has so many must begin to reach sam, said once."""
    return place_in(-takes(matras, ratio), cycle)


@lru_cache(maxsize=8)
def layakaris(tradition: str = "") -> Mapping[str, Layakari]:
    """All layakaris by id, as shipped or as the text of a tradition has them. Raises TalaError."""
    shipped = _shipped()
    return read_tradition(tradition, shipped, Path("tradition")) if tradition else shipped


@lru_cache(maxsize=1)
def _shipped() -> Mapping[str, Layakari]:
    return read_layakaris(LAYAKARI)


def read_layakaris(path: Path) -> Mapping[str, Layakari]:
    """Those of a file. Raises TalaError with file, line, field and remedy."""
    table = read_table(path, error=TalaError)
    table.only({"layakari", "variant"})
    found: dict[str, Layakari] = {}
    for each in table.inners("layakari"):
        layakari = _layakari(each)
        if layakari.id in found:
            raise each.fault("id", f"{layakari.id!r} stands twice; remove one")
        found[layakari.id] = layakari
    for each in table.inners("variant"):
        each.only({"of", "ratio", "about", "source"})
        of = each.one_of("of", found)
        other = Otherwise(_ratio(each), each.text("about"), each.text("source"))
        found[of] = replace(found[of], others=(*found[of].others, other))
    return MappingProxyType(found)


def _layakari(table: Table) -> Layakari:
    table.only({"id", "name", "also", "ratio", "about", "source", "confidence"})
    return Layakari(
        table.text("id"),
        table.text("name"),
        table.texts("also", needed=False),
        _ratio(table),
        table.text("about"),
        table.text("source"),
        table.one_of("confidence", CONFIDENCES),
    )


def read_tradition(text: str, known: Mapping[str, Layakari], path: Path) -> Mapping[str, Layakari]:
    """The layakaris with a teacher's word above them; `path` is for messages."""
    return read_told(table_of(text, path, error=TalaError), known)


def read_told(whole: Table, known: Mapping[str, Layakari]) -> Mapping[str, Layakari]:
    """The same from the table of a whole file."""
    if "layakari" not in whole.values:
        return known
    told = whole.inner("layakari")
    told.only(set(known))
    found = dict(known)
    for name in told.values:
        table = told.inner(name)
        table.only({"name", "also", "ratio", "about"})
        found[name] = _taught(table, known[name])
        for other in found.values():
            if other.id != name and plain_name(other.name) == plain_name(found[name].name):
                raise table.fault("name", f"is the name of {other.id}, too; give another one")
    return MappingProxyType(found)


def _taught(table: Table, shipped: Layakari) -> Layakari:
    """With another ratio its other names, which tell the ratio, no longer hold."""
    if not {"name", "also", "ratio"} & table.values.keys():
        raise table.fault("ratio", "is missing; give it, or another name")
    ratio = _ratio(table) if "ratio" in table.values else shipped.ratio
    same = ratio == shipped.ratio
    name = table.text("name") if "name" in table.values else shipped.name
    usual = shipped.also if same else ()
    usual = usual if name == shipped.name else (shipped.name, *usual)
    also = table.texts("also", needed=False) if "also" in table.values else usual
    about = shipped.about if same else ""
    return replace(
        shipped,
        name=name,
        also=also,
        ratio=ratio,
        about=table.text("about", needed=False) or about,
        source=SOURCE if "ratio" in table.values else shipped.source,
        confidence=CONFIDENCE if "ratio" in table.values else shipped.confidence,
        others=() if "ratio" in table.values else shipped.others,
    )


def _ratio(table: Table) -> Fraction:
    text = table.text("ratio")
    if re.fullmatch(r"[1-9]\d{0,2}(/[1-9]\d{0,2})?", text):
        ratio = Fraction(text)
        if 1 <= ratio <= DENSEST:
            return ratio
    raise table.fault(
        "ratio",
        f"should be notes to matras in quotes, from 1 to {DENSEST}, such as "
        f'"3" or "5/4"; given {text!r}',
    )
