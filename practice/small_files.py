"""Small JSON files of our own: read as one table, written whole or not at all."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from scheduler.whole import whole_file


def table_in(path: Path) -> dict[str, Any]:
    """The names and values in a file; none where there is no file. Raises OSError, and ValueError
    where it does not hold one table."""
    try:
        table = json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return {}
    except RecursionError as error:
        raise ValueError("it is nested too deeply") from error
    if not isinstance(table, dict):
        raise ValueError("it should hold one table of names and values")
    return table


def put_table(path: Path, table: Mapping[str, Any]) -> None:
    """Write a file so that a power cut leaves the old one or this one, whole. Raises OSError."""
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        text = json.dumps(table, indent=2, ensure_ascii=False).encode()
    except UnicodeEncodeError:  # the path of a folder may hold bytes that are no text
        text = json.dumps(table, indent=2).encode()
    with whole_file(path) as file:
        file.write(text + b"\n")


def set_aside(path: Path) -> Path:
    """Keep a file that cannot be used under another name, which was free; returns that."""
    number = 1
    while (aside := path.with_name(f"{path.stem}-unreadable-{number}{path.suffix}")).exists():
        number += 1
    path.rename(aside)
    return aside
