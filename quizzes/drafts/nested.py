"""Values within dicts and lists, by paths."""

from __future__ import annotations

from typing import Any

from quizzes.drafts.pieces import Path

MISSING: Any = object()
"""Nothing stands there."""


def reach(holder: Any, path: Path) -> Any:
    """The table at a path; dicts and lists are made where they are missing."""
    node = holder
    for place, part in enumerate(path):
        if isinstance(part, int):
            while len(node) <= part:
                node.append({})
        elif part not in node:
            many = place + 1 < len(path) and isinstance(path[place + 1], int)
            node[part] = [] if many else {}
        node = node[part]
    return node


def put_in(table: Any, path: Path, value: Any) -> None:
    if len(path) > 1:
        table = reach(table, path[:-1])
    table[path[-1]] = value


def copied(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: copied(each) for key, each in value.items()}
    if isinstance(value, list):
        return [copied(each) for each in value]
    return value


def within(value: Any, path: Path) -> Any:
    for part in path:
        try:
            value = value[part]
        except (KeyError, IndexError, TypeError):
            return MISSING
    return copied(value)


def changed(value: Any, path: Path, new: Any) -> Any:
    """A copy with the new value at a path; without what stands there if that is MISSING."""
    if not path:
        return new
    if isinstance(value, list):
        copied: Any = list(value)
    else:
        copied = dict(value) if isinstance(value, dict) else {}
    if len(path) == 1 and new is MISSING:
        del copied[path[0]]
        return copied
    inner = within(copied, path[:1])
    copied[path[0]] = changed({} if inner is MISSING else inner, path[1:], new)
    return copied
