"""Which skills of ragas are asked: worked out once, and kept beside the ragas' files.

Whether something can be asked of a raga is found by trying its phrases against those of others,
which takes a tablet many seconds. So the outcome lies in `assets/ragas/skills.json`, with a digest
of the files that it was worked out from. Where these have changed since, as when a raga was added,
it is worked out afresh at every start, until `keep` has written it anew:

    .venv/bin/python -c "from quizzes.kept import keep; keep()"
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from functools import cache
from pathlib import Path
from typing import Any

from quizzes.kin import with_kin
from quizzes.kinds import KINDS
from quizzes.question import Skill
from quizzes.ragas.reading import RAGAS
from quizzes.shades import FILE as SHADES

KEPT = RAGAS / "skills.json"
OF_RAGAS = "raga-"
"""The kinds whose names begin so ask of ragas; their skills' ids end with one, or with two."""


@cache
def skills_of(kind: str) -> tuple[Skill, ...]:
    """All skills of a kind with their kin, in the order in which they are usually met."""
    kept = _kept() if kind.startswith(OF_RAGAS) else {}
    return tuple(with_kin(kept[kind] if kind in kept else KINDS[kind].skills()))


@cache
def _kept() -> Mapping[str, tuple[Skill, ...]]:
    """What the file has; nothing where it is missing, damaged or of other ragas."""
    try:
        data = json.loads(KEPT.read_text(encoding="utf-8"))
        if data["made_of"] != digest():
            return {}
        return {kind: tuple(Skill(**row) for row in rows) for kind, rows in data["skills"].items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return {}


def digest(folder: Path = RAGAS) -> str:
    """Of all that decides what is asked of ragas."""
    found = hashlib.sha256()
    for path in (*sorted(folder.glob("*.toml")), SHADES):
        found.update(path.name.encode() + b"\0" + path.read_bytes().replace(b"\r\n", b"\n"))
    return found.hexdigest()


def worked_out() -> str:
    """What the file should hold; kin is told from the id and not kept."""
    skills = {
        name: [asdict(skill, dict_factory=_without_kin) for skill in kind.skills()]
        for name, kind in KINDS.items()
        if name.startswith(OF_RAGAS)
    }
    data = {"made_of": digest(), "skills": skills}
    return json.dumps(data, ensure_ascii=False, indent=0) + "\n"


def _without_kin(pairs: Iterable[tuple[str, Any]]) -> dict[str, Any]:
    return {name: value for name, value in pairs if name != "kin"}


def keep() -> None:
    """Write the file anew."""
    KEPT.write_text(worked_out(), encoding="utf-8")
