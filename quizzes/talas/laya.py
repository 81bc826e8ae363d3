"""The classes of laya, and at which tempos thekas are heard in each.

Read from `assets/laya.toml`: a table a class with `word`, `about`, `source`, the tempo `plain`, at
which it is told how something goes, and tempos from and to, in matras a minute: `clear`, at which
nobody doubts to which class a theka belongs; `heard`, where its laya is not asked; `counted`, where
its matras are to be counted; `bols`, where each of its bols is to be heard; and perhaps, slower,
`first`, where matras are counted for the first times, and `written`, where bols are written down.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from pathlib import Path
from types import MappingProxyType

from audio.theka import FASTEST
from quizzes.errors import TalaError
from quizzes.fields import Table, read_table
from quizzes.talas.reading import LAYAS
from words import say

Tempos = tuple[int, int]
"""From and to, in matras a minute."""

LAYA = Path(__file__).parent.parent.parent / "assets" / "laya.toml"


@dataclass(frozen=True, slots=True)
class Laya:
    """One class; tempos are from and to, in matras a minute. It is surely this one from `slowest`
    to `fastest`."""

    id: str
    word: str
    slowest: int
    fastest: int
    plain: int
    heard: Tempos
    counted: Tempos
    first: Tempos
    bols: Tempos
    written: Tempos
    about: str
    source: str

    @property
    def name(self) -> str:
        return self.id.capitalize()

    @property
    def called(self) -> str:
        """Its name in the language in use."""
        return say(self.name)


@lru_cache(maxsize=1)
def layas() -> Mapping[str, Laya]:
    """All classes, the slowest first."""
    return read_layas(LAYA)


def read_layas(path: Path) -> Mapping[str, Laya]:
    """Raises TalaError with file, line, field and remedy."""
    table = read_table(path, error=TalaError)
    table.only(set(LAYAS))
    found = [_laya(table.inner(name), name) for name in LAYAS]
    for slower, faster in pairwise(found):
        if slower.fastest >= faster.slowest:
            raise table.inner(faster.id).fault(
                "clear", f"should begin above {slower.fastest}, where {slower.id} ends"
            )
    return MappingProxyType({laya.id: laya for laya in found})


_FIELDS = {
    "word", "plain", "clear", "heard", "counted", "first", "bols", "written", "about", "source",
}  # fmt: skip


def _laya(table: Table, name: str) -> Laya:
    table.only(
        {
            "word",
            "clear",
            "plain",
            "heard",
            "counted",
            "first",
            "bols",
            "written",
            "about",
            "source",
        }
    )
    slowest, fastest = _span(table, "clear")
    counted, bols, heard = (_span(table, field) for field in ("counted", "bols", "heard"))
    plain = table.numbers("plain", single=True)[0]
    if not heard[0] <= plain <= heard[1]:
        raise table.fault("plain", f"{plain} should lie in heard, from {heard[0]} to {heard[1]}")
    return Laya(
        name,
        table.text("word"),
        slowest,
        fastest,
        plain=plain,
        heard=heard,
        counted=counted,
        first=_span(table, "first") if "first" in table.values else counted,
        bols=bols,
        written=_span(table, "written") if "written" in table.values else bols,
        about=table.text("about"),
        source=table.text("source"),
    )


def _span(table: Table, field: str) -> Tempos:
    low, high = table.span(field, most=FASTEST)
    return int(low), int(high)
