"""A kind of which a teacher's word decides what can be asked at all."""

from __future__ import annotations

from functools import lru_cache

from quizzes.by_choice import ByChoice
from quizzes.errors import not_asked
from quizzes.question import Skill


class TaughtKind(ByChoice):
    """Each says what can be asked where a teacher has said so; "" is as shipped."""

    def skills_taught(self, tradition: str) -> tuple[Skill, ...]:
        """All that can be asked in a teacher's tradition. Overridden by each."""
        raise NotImplementedError

    def skills(self) -> tuple[Skill, ...]:
        """All that is asked as shipped."""
        return self.skills_taught("")

    def asked(self, skill: str, tradition: str) -> bool:
        """Whether a skill can be asked in a teacher's tradition: what he leaves open cannot."""
        return skill in _asked_ids(self, tradition)

    def parts_of(self, skill: str, count: int) -> tuple[str, ...]:
        """The parts of a skill's id after the kind, so many. Raises UnknownSkill."""
        name, *parts = skill.split(":")
        if name != self.name or len(parts) != count:
            raise not_asked(skill, self.name)
        return tuple(parts)


@lru_cache(maxsize=64)
def _asked_ids(kind: TaughtKind, tradition: str) -> frozenset[str]:
    return frozenset(skill.id for skill in kind.skills_taught(tradition))
