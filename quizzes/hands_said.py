"""What is said of both hands as their files have it, for who translates it."""

from __future__ import annotations

from collections.abc import Iterator

from audio.mizrab import mizrab
from audio.ornaments import ornaments


def said_of_hands() -> Iterator[tuple[str, str]]:
    """(where, text) of what is told of ornaments, bols, gats and jhalas."""
    for ornament in ornaments().values():
        yield "assets/ornaments.toml", ornament.about
    for bol in mizrab().bols.values():
        yield "assets/mizrab.toml", bol.about
    for gat in mizrab().gats:
        yield from (("assets/mizrab.toml", text) for text in (gat.name, gat.about, gat.tala))
    for jhala in mizrab().jhalas:
        yield "assets/mizrab.toml", jhala.name
