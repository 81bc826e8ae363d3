"""A way to ask of laya: what the ways share."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from audio.score import Score
from quizzes.levels import Level
from quizzes.question import Question, Skill
from quizzes.talas.cues import ThekaCue
from quizzes.talas.hearing import kept, plain_cue
from quizzes.talas.tala import Tala, ThekaText
from quizzes.talas.tradition import talas
from quizzes.ways import Way

EXPLAINED_S = 8.0
"""About so long a theka is explained, in whole matras."""


class LayaWay(Way):
    """One way of asking; `asks` is the second part of its skills' ids."""

    asks: str

    def skills(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        """What can be asked of these talas."""
        raise NotImplementedError

    def level(self, skill: str) -> Level | None:
        return None


def theka_asked(question: Question) -> tuple[Tala, ThekaText]:
    """The tala and theka that a question's detail names."""
    tala = talas(question.setting.tradition)[question.detail["tala"]]
    return tala, tala.theka_of(question.detail["theka"])


def detail_of(cue: ThekaCue) -> dict[str, str | int]:
    return {"tala": cue.tala.id, **kept(cue)}


def whole_matras(matras_per_min: Fraction) -> int:
    """As many matras as come next to EXPLAINED_S; four at least."""
    return max(4, round(Fraction(EXPLAINED_S) * matras_per_min / 60))


def explained(
    question: Question,
    tala: Tala,
    theka: ThekaText,
    matras_per_min: Fraction,
    *,
    matras: int | None = None,
) -> ThekaCue:
    """A theka from sam as an explanation plays it, evenly, with the stroke at the very end."""
    matras = matras or whole_matras(matras_per_min)
    return plain_cue(question, tala, theka, matras_per_min, matras=matras)


def moved(score: Score, by_s: float) -> Score:
    """Its drums so much later."""
    return replace(
        score,
        tabla=tuple(replace(each, onset_s=each.onset_s + by_s) for each in score.tabla),
    )
