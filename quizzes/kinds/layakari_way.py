"""A way to ask of layakari: what the ways share."""

from __future__ import annotations

from collections.abc import Mapping

from quizzes.question import Skill
from quizzes.talas.layakari import Layakari
from quizzes.talas.tala import Tala
from quizzes.ways import Way


class LayakariWay(Way):
    """One way of asking; `asks` is the second part of its skills' ids."""

    asks: str

    def skills(
        self, known: Mapping[str, Tala], ratios: Mapping[str, Layakari]
    ) -> tuple[Skill, ...]:
        """What can be asked of these talas and layakaris."""
        raise NotImplementedError
