"""All skills that can be asked, and questions made by name."""

from __future__ import annotations

from functools import cache

from quizzes.errors import UnknownSkill
from quizzes.kept import skills_of
from quizzes.kinds import KINDS
from quizzes.question import Kind, Question, Setting, Skill


def kind_of(skill: str) -> Kind:
    """The kind that asks a skill, by the first part of its id. Raises UnknownSkill."""
    name = skill.partition(":")[0]
    if name not in KINDS:
        raise UnknownSkill(f"{skill!r} is of no known kind; known are {', '.join(KINDS)}")
    return KINDS[name]


def skill_of(skill: str) -> Skill:
    """The skill with this id. Raises UnknownSkill with what could be written instead."""
    kind = kind_of(skill)
    found = _skills(kind.name).get(skill)
    if found is None:
        raise UnknownSkill(f"{skill!r} is not asked; `main.py kinds {kind.name}` lists what is")
    return found


@cache
def _skills(kind: str) -> dict[str, Skill]:
    return {skill.id: skill for skill in skills_of(kind)}


def make_question(skill: str, *, seed: int, setting: Setting) -> Question:
    """The question that this skill, seed and setting make, now and ever after."""
    return kind_of(skill).make(skill, seed=seed, setting=setting)
