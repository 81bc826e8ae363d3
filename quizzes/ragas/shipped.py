"""What is asked of ragas as it is shipped, read from a file: working it out takes a while.

`quizzes.kept` writes that file, and says when it does.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from quizzes.question import Skill
from quizzes.ragas.reading import RAGAS
from quizzes.shades import FILE as SHADES

KEPT = RAGAS / "skills.json"
PALTAS = RAGAS.parent / "paltas.toml"
"""Which of them run in a raga decides what is asked of it."""


@cache
def shipped_skills() -> Mapping[str, tuple[Skill, ...]]:
    """By kind; nothing where the file is missing, damaged or of other ragas."""
    return read_skills(KEPT, shipped_digest())


def read_skills(path: Path, made_of: str) -> Mapping[str, tuple[Skill, ...]]:
    """What a file keeps that was made of what has this digest; nothing where it was not."""
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
        if data["made_of"] != made_of:
            return {}
        return {kind: tuple(Skill(**row) for row in rows) for kind, rows in data["skills"].items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return {}


@cache
def shipped_digest() -> str:
    return digest()


def digest(folder: Path = RAGAS) -> str:
    """Of all that decides what is asked of ragas."""
    found = hashlib.sha256()
    for path in (*sorted(folder.glob("*.toml")), SHADES, PALTAS):
        found.update(path.name.encode() + b"\0" + path.read_bytes().replace(b"\r\n", b"\n"))
    return found.hexdigest()
