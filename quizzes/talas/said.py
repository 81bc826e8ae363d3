"""What is said of talas, layas and layakaris as their files have it, for who translates it."""

from __future__ import annotations

from collections.abc import Iterator

from quizzes.talas.laya import layas
from quizzes.talas.layakari import layakaris
from quizzes.talas.tradition import talas


def said_of_talas() -> Iterator[tuple[str, str]]:
    """(where, text) of the names of all, and of what is told of them in a question."""
    for tala in talas("").values():
        where = f"assets/talas/{tala.id}.toml"
        yield where, tala.name
        yield where, tala.character
    for laya in layas().values():
        where = "assets/laya.toml"
        yield from ((where, text) for text in (laya.id, laya.name, laya.word, laya.about))
    for layakari in layakaris().values():
        where = "assets/layakari.toml"
        yield from ((where, text) for text in (layakari.name, *layakari.also, layakari.about))
        yield from ((where, other.about) for other in layakari.others)
