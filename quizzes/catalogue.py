"""All skills that can be asked, and questions made by name."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from quizzes.decks.deck import KIND as DECK
from quizzes.errors import UnknownSkill, not_asked
from quizzes.kept import OF_RAGAS, skills_of, taught_skills
from quizzes.kinds import KINDS
from quizzes.question import Kind, Question, Setting, Skill
from quizzes.stages.asking import StageKind
from quizzes.talas.asking import TalaKind
from quizzes.taught import TaughtKind
from words import kept_as_said


def kind_of(skill: str) -> Kind:
    """The kind that asks a skill, by the first part of its id. Raises UnknownSkill."""
    name = skill.partition(":")[0]
    if name not in KINDS:
        raise UnknownSkill(f"{skill!r} is of no known kind; known are {', '.join(KINDS)}")
    return KINDS[name]


def skill_of(skill: str, tradition: str = "") -> Skill:
    """The skill with this id, as shipped or as a teacher has it.

    Raises UnknownSkill with what could be written instead.
    """
    kind = kind_of(skill)
    found = _skills(kind.name, tradition).get(skill)
    if found is None:
        raise not_asked(skill, kind.name)
    return found


def name_of(skill: str, tradition: str = "") -> str:
    """What a skill is called; its id where it is in a log but not asked any more."""
    try:
        return skill_of(skill, tradition).name
    except UnknownSkill:
        return skill


@kept_as_said(most=128)
def _skills(kind: str, tradition: str) -> dict[str, Skill]:
    """By id: all that are asked as shipped, and those that a teacher has besides or otherwise;
    named in the language and the letters for swaras that are in use."""
    return {skill.id: skill for skill in (*skills_of(kind), *taught_skills(kind, tradition))}


def every_skill() -> Iterator[Skill]:
    """All that can be asked as shipped, in whichever course."""
    return (skill for kind in KINDS for skill in skills_of(kind))


def added_skills(tradition: str) -> tuple[Skill, ...]:
    """What can be asked only because a teacher has said so, such as of a tala of the teacher's."""
    return tuple(
        skill
        for kind in KINDS
        for skill in taught_skills(kind, tradition)
        if skill.id not in _skills(kind, "")
    )


def hears_teacher(kind: str) -> bool:
    """Whether a kind of this name goes by what the student's teacher has said."""
    return kind == DECK or isinstance(KINDS[kind], TaughtKind)


def is_of_stages(kind: str) -> bool:
    """Whether a kind of this name asks of the stages of a performance, which sound in some raga."""
    return isinstance(KINDS[kind], StageKind)


def is_of_talas(kind: str) -> bool:
    """Whether a kind of this name asks of talas."""
    return isinstance(KINDS[kind], TalaKind)


def is_asked(skill: str, tradition: str) -> bool:
    """Whether a skill can be asked where a teacher has said so: what he leaves open cannot."""
    kind = kind_of(skill)
    if not tradition or not isinstance(kind, TaughtKind):
        return True
    if kind.name.startswith(OF_RAGAS):
        return skill in _asked_of_ragas(kind.name, tradition)
    return kind.asked(skill, tradition)


@lru_cache(maxsize=64)
def _asked_of_ragas(kind: str, tradition: str) -> frozenset[str]:
    return frozenset(skill.id for skill in taught_skills(kind, tradition))


def plays_in_ragas(kind: str) -> bool:
    """Whether a kind of this name, which asks of no one raga, plays in those that are begun."""
    return bool(getattr(KINDS[kind], "plays_in_ragas", False))


def also_met(kind: str) -> tuple[str, ...]:
    """The kinds whose skills, where they are begun, a kind of this name goes by beside its own."""
    return tuple(getattr(KINDS[kind], "also_met", ()))


def make_question(skill: str, *, seed: int, setting: Setting) -> Question:
    """The question that this skill, seed and setting make, now and ever after."""
    return kind_of(skill).make(skill, seed=seed, setting=setting)
