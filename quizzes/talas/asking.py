"""What all kinds of question about talas share."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence

from quizzes.errors import not_asked
from quizzes.fresh import Fresh
from quizzes.question import Setting, Skill
from quizzes.talas.tala import Tala
from quizzes.talas.tradition import talas
from quizzes.taught import TaughtKind

SURE = ("A", "B")
"""A tala is asked where its form is so well attested."""
SUREST = SURE[0]
USUAL = "tintal"
"""In which a question is asked that is of no one tala, by who has begun none (common practice: the
first tala that is taught to sitarists)."""


class TalaKind(TaughtKind):
    """A kind that asks of talas as the student's teacher has them."""

    plays_in_ragas = True

    def skills_taught(self, tradition: str) -> tuple[Skill, ...]:
        return self.skills_of(asked_talas(talas(tradition)))

    def skills_of(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        """All that can be asked of these talas. Overridden by each kind."""
        raise NotImplementedError

    def tala_of(self, skill: str, setting: Setting, *, parts: int = 1) -> Tala:
        """The tala that is the last of so many parts of a skill's id, as the student's teacher has
        it. Raises UnknownSkill."""
        tala = talas(setting.tradition).get(self.parts_of(skill, parts)[-1])
        if tala is None:
            raise not_asked(skill, self.name)
        return tala


def shipped_tala(name: str, skill: str) -> Tala:
    """The shipped tala of this id, for the name of a skill. Raises UnknownSkill."""
    known = talas("")
    if name not in known:
        raise not_asked(skill, skill.partition(":")[0])
    return known[name]


def asked_talas(known: Mapping[str, Tala]) -> Mapping[str, Tala]:
    """Those whose form is sure: the surest first, of these the shortest."""
    sure = [tala for tala in known.values() if tala.confidence in SURE]
    sure.sort(key=lambda tala: (SURE.index(tala.confidence), tala.matras, tala.id))
    return {tala.id: tala for tala in sure}


def talas_in(skills: Iterable[str], known: Collection[str]) -> frozenset[str]:
    """The talas of which these skills ask: they stand among the parts of their ids."""
    return frozenset(part for skill in skills for part in skill.split(":")[1:]) & frozenset(known)


def tala_for(fresh: Fresh, setting: Setting, *, of: Sequence[str] = ()) -> Tala:
    """A tala in which a question is asked that is of no one tala: one that the student has begun,
    else the usual one; of those named in `of`, where any are."""
    known = asked_talas(talas(setting.tradition))
    fitting = [name for name in (of or known) if name in known]
    begun = [name for name in setting.talas if name in fitting]
    if not begun:
        begun = [USUAL] if USUAL in fitting else fitting[:1]
    return known[fresh.one_of(begun)]
