"""Which skills are asked: worked out once, and kept beside the files that they come from.

Whether something can be asked of a raga is found by trying its phrases against those of others,
which takes a tablet many seconds. So the outcome lies in `assets/ragas/skills.json`, with a digest
of the files that it was worked out from; what is asked of all else, which takes less, lies in
`assets/skills.json`. Where those files have changed since, as when a raga was added, it is worked
out afresh at every start, until `keep` has written it anew:

    .venv/bin/python -c "from quizzes.kept import keep; keep()"

What is asked where a teacher has said something of ragas is kept in the same way, in a file beside
the teacher's (`bring`).
"""

from __future__ import annotations

import hashlib
import json
import os
import tomllib
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import asdict, replace
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from quizzes.kin import with_kin
from quizzes.kinds import KINDS
from quizzes.question import Skill
from quizzes.ragas.asking import RagaKind
from quizzes.ragas.reading import RAGAS
from quizzes.ragas.shipped import KEPT, digest, read_skills, shipped_digest, shipped_skills
from quizzes.ragas.tradition import BESIDE, changed
from quizzes.taught import TaughtKind
from words import kept_as_said, language, swaras_in

ASSETS = RAGAS.parent
KEPT_OTHERS = ASSETS / "skills.json"
TAUGHT = "tradition.skills.json"
"""Beside a teacher's file: what is asked in that tradition."""
OF_RAGAS = "raga-"
"""The kinds whose names begin so ask of ragas; their skills' ids end with one, or with two."""


def skills_of(kind: str) -> tuple[Skill, ...]:
    """All skills of a kind with their kin, in the order in which they are usually met, named in
    the language in use."""
    return _skills_in(kind)


@kept_as_said()
def _skills_in(kind: str) -> tuple[Skill, ...]:
    kept = shipped_skills() if kind.startswith(OF_RAGAS) else _others()
    skills = tuple(with_kin(kept[kind] if kind in kept else KINDS[kind].skills()))
    if kind in kept and (language(), swaras_in()) == ("en", "latin"):
        return skills
    return tuple(replace(skill, name=KINDS[kind].name_of(skill.id)) for skill in skills)


@cache
def _others() -> Mapping[str, tuple[Skill, ...]]:
    """Of kinds that do not ask of ragas; nothing where the file is missing, damaged or of other
    data."""
    return read_skills(KEPT_OTHERS, others_digest())


def others_digest(assets: Path = ASSETS) -> str:
    """Of all data that decides what is asked besides ragas, and of ragas."""
    found = hashlib.sha256(shipped_digest().encode())
    files = [*assets.glob("*.toml"), *assets.glob("talas/*.toml"), *assets.glob("stages/*.toml")]
    for path in sorted(files):
        name = path.relative_to(assets).as_posix()
        found.update(name.encode() + b"\0" + path.read_bytes().replace(b"\r\n", b"\n"))
    return found.hexdigest()


def taught_skills(kind: str, tradition: str) -> tuple[Skill, ...]:
    """All skills of a kind with their kin in a teacher's tradition, named in the language in use;
    () of a kind that asks the same in all."""
    return _taught_in(kind, tradition)


@kept_as_said(most=256)
def _taught_in(kind: str, tradition: str) -> tuple[Skill, ...]:
    asking = KINDS[kind]
    if not tradition or not isinstance(asking, TaughtKind):
        return ()
    if isinstance(asking, RagaKind):
        if not changed(tradition):
            return skills_of(kind)
        # What is kept may have been named in another language.
        return tuple(
            replace(skill, name=asking.name_of(skill.id, tradition))
            for skill in _taught_of_ragas(tradition)[kind]
        )
    return tuple(with_kin(asking.skills_taught(tradition)))


@lru_cache(maxsize=8)
def _taught_of_ragas(tradition: str) -> Mapping[str, tuple[Skill, ...]]:
    """Where a teacher has said something of ragas."""
    found = _brought.get(_taught_digest(tradition)) or _work_out(tradition)
    return {name: tuple(with_kin(skills)) for name, skills in found.items()}


_brought: dict[str, Mapping[str, tuple[Skill, ...]]] = {}
"""What was read from files, by digest."""


def bring(tradition: str, folder: Path) -> None:
    """Have what is asked in this tradition ready: from a file in the folder where it was kept
    there, else worked out now and kept. A file that cannot be written is done without."""
    if not tradition or not changed(tradition):
        return
    path, made_of = folder / TAUGHT, _taught_digest(tradition)
    kept = read_skills(path, made_of)
    if kept.keys() != {name for name in KINDS if name.startswith(OF_RAGAS)}:  # cut short
        kept = {}
    found = kept or _brought.get(made_of) or _work_out(tradition)
    if not kept:
        beside = path.with_suffix(".new")
        with suppress(OSError):
            beside.write_text(_written(made_of, found), encoding="utf-8")
            os.replace(beside, path)
    _brought[made_of] = found


def _work_out(tradition: str) -> Mapping[str, tuple[Skill, ...]]:
    return {
        name: tuple(kind.skills_taught(tradition))
        for name, kind in KINDS.items()
        if name.startswith(OF_RAGAS) and isinstance(kind, TaughtKind)
    }


def _taught_digest(tradition: str) -> str:
    """Of what a teacher says of ragas, and of all that decides what is asked of them."""
    told = {name: said for name, said in tomllib.loads(tradition).items() if name not in BESIDE}
    shipped = shipped_digest() + hashlib.sha256(KEPT.read_bytes()).hexdigest()
    return hashlib.sha256((shipped + json.dumps(told, default=str)).encode()).hexdigest()


def worked_out() -> str:
    """What the file on ragas should hold; kin is told from the id and not kept."""
    skills = {name: kind.skills() for name, kind in KINDS.items() if name.startswith(OF_RAGAS)}
    return _written(digest(), skills)


def others_worked_out() -> str:
    """What the file on all else should hold."""
    skills = {name: kind.skills() for name, kind in KINDS.items() if not name.startswith(OF_RAGAS)}
    return _written(others_digest(), skills)


def _written(made_of: str, skills: Mapping[str, Iterable[Skill]]) -> str:
    rows = {
        name: [asdict(skill, dict_factory=_without_kin) for skill in some]
        for name, some in skills.items()
    }
    return json.dumps({"made_of": made_of, "skills": rows}, ensure_ascii=False, indent=0) + "\n"


def _without_kin(pairs: Iterable[tuple[str, Any]]) -> dict[str, Any]:
    return {name: value for name, value in pairs if name != "kin"}


def keep() -> None:
    """Write both files anew."""
    KEPT.write_text(worked_out(), encoding="utf-8")
    KEPT_OTHERS.write_text(others_worked_out(), encoding="utf-8")
