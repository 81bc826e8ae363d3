"""The classes of laya, and the tempos at which nobody doubts to which of them a theka belongs.

Read from `assets/laya.toml`: a table a class with `word`, `clear` (from and to, in matras a
minute), `about` and `source`.
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

LAYA = Path(__file__).parent.parent.parent / "assets" / "laya.toml"


@dataclass(frozen=True, slots=True)
class Laya:
    """One class; it is surely this one from `slowest` to `fastest`, in matras a minute."""

    id: str
    word: str
    slowest: int
    fastest: int
    about: str
    source: str

    @property
    def name(self) -> str:
        return self.id.capitalize()


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


def _laya(table: Table, name: str) -> Laya:
    table.only({"word", "clear", "about", "source"})
    slowest, fastest = table.span("clear", most=FASTEST)
    return Laya(
        name,
        table.text("word"),
        int(slowest),
        int(fastest),
        table.text("about"),
        table.text("source"),
    )
