"""What has become firm and what has slipped in the last four weeks."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from practice.mistaken import state_of
from practice.progress import changed
from practice.standing import Standing
from quizzes.decks.deck import KIND as DECK
from quizzes.names import swara_word
from quizzes.ragas.tradition import ragas
from quizzes.talas.tradition import talas


@dataclass(frozen=True, slots=True)
class Moves:
    """Skills asked in the course, by name: what is shaky now, the shakiest first, what of that was
    firm four weeks ago, and what has become firm since."""

    shaky: tuple[str, ...]
    slipped: tuple[str, ...]
    firmer: tuple[str, ...]


def moves_in(standing: Standing) -> Moves:
    """What is shaky now, and what has changed since the last four weeks began."""
    found = changed(standing)
    shaky = _shaky(standing, [item.skill for item in standing.begun])
    firm = [moved.skill for moved in found.firm]
    slipped = {moved.skill for moved in found.slipped}
    return Moves(
        _named(standing, shaky),
        _named(standing, (skill for skill in shaky if skill in slipped)),
        _named(standing, (each for each in firm if state_of(standing, each) == "firm")),
    )


def shaky_words(standing: Standing, skills: Collection[str]) -> tuple[str, ...]:
    """Those of some skills that are shaky, by name, the shakiest first."""
    return _named(standing, _shaky(standing, skills))


def _shaky(standing: Standing, skills: Iterable[str]) -> list[str]:
    memory, now = standing.memory, standing.now
    shaky = [skill for skill in skills if state_of(standing, skill) == "shaky"]
    return sorted(shaky, key=lambda skill: (memory.knowledge(skill, now), skill))


def _named(standing: Standing, skills: Iterable[str]) -> tuple[str, ...]:
    """Their names as they stand within a sentence: what begins with a swara, a raga or a tala, and
    what a teacher has written, keeps its capital."""
    tradition = standing.given.tradition
    proper = {name.split()[0] for name in map(swara_word, range(12))}
    for known in (ragas(tradition), talas(tradition)):
        proper |= {each.name.split()[0] for each in known.values()}
    found = []
    for skill in skills:
        name = standing.name_of(skill)
        is_proper = (
            skill.startswith(f"{DECK}:")
            or name.split()[:1] == []
            or (name.split()[0].strip(":,") in proper)
        )
        found.append(name if is_proper else name[:1].lower() + name[1:])
    return tuple(found)
