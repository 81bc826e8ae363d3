"""A way to ask of layakari: what the ways share."""

from __future__ import annotations

from collections.abc import Mapping

from quizzes.question import Explanation, Question, Setting, Skill
from quizzes.talas.layakari import Layakari
from quizzes.talas.tala import Tala


class Way:
    """One way of asking; `asks` is the second part of its skills' ids."""

    asks: str

    def skills(
        self, known: Mapping[str, Tala], ratios: Mapping[str, Layakari]
    ) -> tuple[Skill, ...]:
        """What can be asked of these talas and layakaris."""
        raise NotImplementedError

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        raise NotImplementedError

    def explain(self, question: Question, given: str) -> Explanation:
        raise NotImplementedError

    def introduce(self, question: Question) -> str:
        raise NotImplementedError
