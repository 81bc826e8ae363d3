"""What suits what: laya, tala and ornament, from `fit.toml`; and a teacher's word on it.

The file has tables

    [[fit]]   asks, id, name, about, laya, suits, unfit, left_out, best, least, why, why_not,
              confidence, source

`asks` is what is chosen: "laya" (for ragas by their gait), "tala", "gat" (which laya it is made
for), "ornament" (how much). `laya` may be left out with a gat, `least` with a gat and an ornament.
`left_out` are ragas of which a rule for ragas is not asked, whatever their gait; it may be missing.
What a rule says of a tala has to agree with the layas of that tala's own file. By a rule of
confidence C nothing is asked.

In the text of a tradition a [[fit]] with `asks` and `id` changes any other field of that rule. What
a teacher calls suitable is no longer unfit, and the other way round; where he leaves one of the two
empty, nothing is asked by that rule.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import asdict, dataclass, replace
from functools import cache, lru_cache
from pathlib import Path
from types import MappingProxyType

from audio.mizrab import mizrab
from quizzes.errors import StageError
from quizzes.fields import Table, read_table, table_of
from quizzes.ragas.reading import CONFIDENCES, raga_ids
from quizzes.stages.reading import STAGES
from quizzes.stages.tradition import CONFIDENCE, SOURCE
from quizzes.talas import LAYAS, Tala, talas

FILE = "fit.toml"
GAITS = ("grave", "light")
"""The clear ones."""
MUCH, LITTLE = "much", "little"
FROM_MEMORY = "C"
"""The confidence by which nothing is asked."""


def _gats() -> tuple[str, ...]:
    return tuple(gat.name for gat in mizrab().gats)


CHOSEN: Mapping[str, Callable[[Mapping[str, Tala]], tuple[str, ...]]] = MappingProxyType(
    {
        "laya": lambda _: GAITS,
        "tala": tuple,
        "gat": lambda _: LAYAS,
        "ornament": lambda _: (MUCH, LITTLE),
    }
)
"""What may suit or not, by what a rule asks; of talas, all that are known."""
_FIELDS = {
    "asks", "id", "name", "about", "laya", "suits", "unfit", "left_out", "best", "least", "why",
    "why_not", "confidence", "source",
}  # fmt: skip

Key = tuple[str, str]
"""What a rule asks, and its id."""


@dataclass(frozen=True, slots=True)
class Fit:
    """One rule: what suits, what clearly does not, and why each."""

    asks: str
    id: str
    name: str
    about: str
    """A sentence that leads to it."""
    laya: str
    """In which it holds; "" for a gat, whose laya is what is asked."""
    suits: tuple[str, ...]
    unfit: tuple[str, ...]
    left_out: tuple[str, ...]
    best: str
    """The question for what suits."""
    least: str
    """The question for what does not, "" where only the other is asked."""
    why: str
    why_not: str
    confidence: str
    source: str

    @property
    def key(self) -> Key:
        return self.asks, self.id

    @property
    def is_clear(self) -> bool:
        """Whether something suits and something does not, and not from memory alone."""
        return bool(self.suits and self.unfit) and self.confidence != FROM_MEMORY


@lru_cache(maxsize=8)
def fits(tradition: str = "") -> Mapping[Key, Fit]:
    """The rules as shipped, or as the text of a tradition has them. Raises StageError."""
    return read_fits(tradition, _shipped(), Path("tradition")) if tradition else _shipped()


@cache
def _shipped() -> Mapping[Key, Fit]:
    return load_fits()


def load_fits(folder: Path = STAGES) -> Mapping[Key, Fit]:
    """All that the file tells. Raises StageError with file, line, field and remedy."""
    table = read_table(folder / FILE, error=StageError)
    table.only({"fit"})
    found: dict[Key, Fit] = {}
    for each in table.inners("fit"):
        fit = _fit(each, talas())
        if fit.key in found:
            raise each.fault("id", f"{fit.asks} {fit.id} stands twice; give each its own")
        for field in ("suits", "unfit"):
            if not each.texts(field, needed=False):
                raise each.fault(field, "is empty; it should name at least one")
        _check_layas(each, fit, talas())
        found[fit.key] = fit
    if not found:
        raise table.fault("fit", "there should be at least one [[fit]]")
    return MappingProxyType(found)


def read_fits(text: str, known: Mapping[Key, Fit], path: Path) -> Mapping[Key, Fit]:
    """The rules with a teacher's word above them; `path` is for messages."""
    return read_told(table_of(text, path, error=StageError), known, talas(text))


def read_told(
    whole: Table, known: Mapping[Key, Fit], in_talas: Mapping[str, Tala]
) -> Mapping[Key, Fit]:
    """The same from the table of a whole file; `in_talas` are all talas that are known."""
    found = dict(known)
    for each in whole.inners("fit"):
        asks = each.one_of("asks", tuple(CHOSEN))
        name = each.one_of("id", tuple(one for of, one in known if of == asks))
        found[asks, name] = _taught(each, found[asks, name], in_talas)
    return MappingProxyType(found)


def _taught(table: Table, fit: Fit, known: Mapping[str, Tala]) -> Fit:
    said = table.values
    values = {
        name: list(value) if isinstance(value, tuple) else value
        for name, value in asdict(fit).items()
        if value != "" or name in said
    }
    for field, other in (("suits", "unfit"), ("unfit", "suits")):
        if field in said and other not in said:
            taught = table.texts(field, needed=False)
            values[other] = [each for each in values[other] if each not in taught]
    words = {"confidence": CONFIDENCE, "source": SOURCE}
    return _fit(replace(table, values={**values, **words, **said}), known)


def _fit(table: Table, known: Mapping[str, Tala]) -> Fit:
    table.only(_FIELDS)
    asks = table.one_of("asks", tuple(CHOSEN))
    name = table.text("id")
    if asks == "gat" and name not in _gats():
        raise table.fault("id", f"{name!r} is no gat of mizrab.toml: {', '.join(_gats())}")
    suits, unfit = (_chosen(table, field, CHOSEN[asks](known)) for field in ("suits", "unfit"))
    if both := [each for each in suits if each in unfit]:
        raise table.fault(
            "unfit", f"{both[0]} suits, too; name it in one of the two", value=both[0]
        )
    return Fit(
        asks,
        name,
        table.text("name"),
        table.text("about"),
        "" if asks == "gat" else table.one_of("laya", LAYAS),
        suits,
        unfit,
        _left_out(table, asks),
        table.text("best"),
        table.text("least", needed=asks in ("laya", "tala")),
        table.text("why"),
        table.text("why_not"),
        table.one_of("confidence", CONFIDENCES),
        table.text("source"),
    )


def _chosen(table: Table, field: str, known: Collection[str]) -> tuple[str, ...]:
    for each in table.texts(field, needed=False):
        if each not in known:
            raise table.fault(field, f"{each!r} should be one of {', '.join(known)}", value=each)
    return table.texts(field, needed=False)


def _left_out(table: Table, asks: str) -> tuple[str, ...]:
    for raga in table.texts("left_out", needed=False):
        if asks != "laya" or raga not in raga_ids():
            raise table.fault(
                "left_out", f"{raga!r} should be a raga, of a rule for ragas", value=raga
            )
    return table.texts("left_out", needed=False)


def _check_layas(table: Table, fit: Fit, known: Mapping[str, Tala]) -> None:
    """Whether the talas' own files say so, too: where the rule is of a slow or a fast laya."""
    if fit.asks != "tala" or fit.laya == "madhya":
        return
    for field, suits in (("suits", True), ("unfit", False)):
        for name in table.texts(field):
            if (fit.laya in known[name].laya) != suits:
                has = "has not" if suits else "has"
                raise table.fault(
                    field, f"{name}.toml {has} {fit.laya} among its layas; mend either", value=name
                )
