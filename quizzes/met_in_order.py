"""What is asked of ragas, of talas and of kinds, each in the order in which it is met.

As shipped, or, where a teacher's word is given, with the ragas and talas that it adds.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

from quizzes.catalogue import added_skills, is_of_talas
from quizzes.kept import OF_RAGAS, skills_of
from quizzes.kinds import KINDS
from quizzes.question import Skill
from quizzes.ragas.asking import raga_in
from quizzes.ragas.reading import raga_ids
from quizzes.ragas.tradition import ragas
from quizzes.talas.asking import talas_in
from quizzes.talas.reading import tala_ids
from quizzes.talas.tradition import talas


@lru_cache(maxsize=4)
def met_in(tradition: str = "") -> MetInOrder:
    """What is asked in a teacher's tradition; "" is as shipped."""
    return MetInOrder(tradition)


@dataclass(frozen=True)
class MetInOrder:
    """All that is asked in a teacher's tradition, worked out when it is first wanted."""

    tradition: str

    @cached_property
    def ragas(self) -> Collection[str]:
        """The ids of the ragas that are known."""
        return ragas(self.tradition).keys() if self.tradition else frozenset(raga_ids())

    @cached_property
    def talas(self) -> Collection[str]:
        """The ids of the talas that are known."""
        return talas(self.tradition).keys() if self.tradition else frozenset(tala_ids())

    @cached_property
    def asked_ragas(self) -> frozenset[str]:
        """The ids of the ragas of which something is asked."""
        return frozenset(self._places) & frozenset(self.ragas)

    @cached_property
    def asked_talas(self) -> frozenset[str]:
        """The ids of the talas of which something is asked."""
        return talas_in((skill.id for skill in self.of_all_talas), self.talas)

    @cached_property
    def _added(self) -> Mapping[str, Sequence[Skill]]:
        """By kind, what only the teacher has."""
        added: dict[str, list[Skill]] = {}
        for skill in added_skills(self.tradition):
            added.setdefault(skill.kind, []).append(skill)
        return added

    def of_kind(self, kind: str) -> tuple[Skill, ...]:
        """All that is asked of a kind, in the order in which it is usually met."""
        return (*skills_of(kind), *self._added.get(kind, ()))

    @cached_property
    def of_all_ragas(self) -> tuple[Skill, ...]:
        """All that is asked of ragas."""
        return tuple(s for kind in KINDS if kind.startswith(OF_RAGAS) for s in self.of_kind(kind))

    @cached_property
    def of_all_talas(self) -> tuple[Skill, ...]:
        """All that is asked of talas."""
        return tuple(skill for kind in KINDS if is_of_talas(kind) for skill in self.of_kind(kind))

    @cached_property
    def _begun(self) -> dict[tuple[str, str], bool]:
        return {}

    def begins(self, beginning: str, what: str) -> bool:
        """Whether anything that is asked of `what` begins so: "ragas", "talas", or a kind."""
        key = what, beginning
        if key not in self._begun:
            asked = {"ragas": self.of_all_ragas, "talas": self.of_all_talas}
            pool = asked[what] if what in asked else self.of_kind(what)
            self._begun[key] = any(skill.id.startswith(beginning) for skill in pool)
        return self._begun[key]

    @cached_property
    def _places(self) -> Mapping[str, Sequence[int]]:
        """Where, among all that is asked of ragas, what is asked of each of them stands."""
        places: dict[str, list[int]] = {}
        for place, skill in enumerate(self.of_all_ragas):
            for raga in ragas_of(skill):
                places.setdefault(raga, []).append(place)
        return places

    def of_ragas(
        self, chosen: Iterable[str], beginnings: Iterable[str], met: Collection[str]
    ) -> Iterator[Skill]:
        """What is asked of these ragas and begins so, beginning by beginning. Where two ragas are
        asked against each other both are to be among the chosen or among those `met` before."""
        both = {*met, *chosen}
        places = sorted({place for raga in chosen for place in self._places.get(raga, ())})
        for beginning in beginnings:
            for place in places:
                skill = self.of_all_ragas[place]
                if skill.id.startswith(beginning) and both.issuperset(ragas_of(skill)):
                    yield skill

    def of_talas(self, chosen: Sequence[str], beginnings: Iterable[str]) -> Iterator[Skill]:
        """What is asked of these talas and begins so: way by way of asking, and in each way the
        talas in the order in which they were chosen."""
        for beginning in beginnings if chosen else ():  # else all would be worked out for nothing
            ways: dict[str, dict[str, Skill]] = {}
            for skill in self.of_all_talas:
                for tala in talas_in([skill.id], chosen):
                    if skill.id.startswith(beginning):
                        ways.setdefault(skill.id.replace(tala, ""), {})[tala] = skill
            for of_talas in ways.values():
                yield from (of_talas[tala] for tala in chosen if tala in of_talas)


def ragas_of(skill: Skill) -> tuple[str, ...]:
    """The raga of which a skill asks, or the two that it asks against each other; () for none."""
    return tuple(raga_in(skill.id).split("-")) if skill.id.startswith(OF_RAGAS) else ()
