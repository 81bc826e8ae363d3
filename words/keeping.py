"""Keeps what was said, for each language and letters of swaras by itself."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import lru_cache, wraps
from typing import Any, ParamSpec, TypeVar

from words.catalogue import said_by

P = ParamSpec("P")
T = TypeVar("T")


class _Changed(Exception):
    """The language has changed while this was made, so that some of it may be in either."""

    def __init__(self, made: Any) -> None:
        super().__init__()
        self.made = made


def kept_as_said(*, most: int | None = None) -> Callable[[Callable[P, T]], Callable[P, T]]:
    """Keep what a function returns, at most so much, as `functools.lru_cache` does, for each
    language by itself; and nothing that was being made, on another thread, while it changed."""

    def decorate(function: Callable[P, T]) -> Callable[P, T]:
        @lru_cache(maxsize=most)
        def kept(by: Hashable, *args: Any) -> T:
            made = function(*args)  # type: ignore[call-arg]
            if by != said_by():
                raise _Changed(made)  # what is raised is not kept
            return made

        @wraps(function)
        def ask(*args: P.args, **_: P.kwargs) -> T:
            try:
                return kept(said_by(), *args)
            except _Changed as changed:
                return changed.made  # type: ignore[no-any-return]

        ask.cache_clear = kept.cache_clear  # type: ignore[attr-defined]  # as lru_cache has it
        return ask

    return decorate
