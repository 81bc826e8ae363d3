"""Patterns of the right hand that have names: what the ways to ask for one have in common.

Whatever is right, as many matras sound at one tempo: a pattern is said again until they are full.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from audio.score import Score
from quizzes.errors import UnknownSkill
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.question import Choice, Mark, Question, Setting, Skill
from quizzes.right_hand import for_readers
from words import say

_MOST_WRONG = 3


@dataclass(frozen=True, slots=True)
class Pattern:
    """One of the patterns that are told apart."""

    id: str
    name: str
    label: str
    about: str
    """What is struck, in whole sentences."""


class Named:
    """One way of asking; each says which patterns it has and how they are played."""

    way: str
    prompt: str
    """To be said, as `about` is."""
    about: str
    """What they are, in a sentence that presents them."""
    cluster: str
    in_order: bool
    """Whether the choices have an order of their own; else they are shuffled."""

    def patterns(self) -> Mapping[str, Pattern]:
        raise NotImplementedError

    def cue(self, pattern: str, fresh: Fresh, setting: Setting) -> tuple[Score, str]:
        """The cue and how it is written; draws the same whatever the pattern."""
        raise NotImplementedError

    def plain(self, pattern: str, fresh: Fresh, setting: Setting) -> Score:
        """As an explanation plays it; `fresh` is at the same place as for the cue."""
        raise NotImplementedError

    def skills(self) -> tuple[Skill, ...]:
        return tuple(
            Skill(
                id=f"strokes:{self.way}:{pattern.id}",
                kind="strokes",
                name=pattern.name,
                family="perception",
                cluster=self.cluster,
                chance=1 / min(len(self.patterns()), 1 + _MOST_WRONG),
                seconds=16.0,
            )
            for pattern in self.patterns().values()
        )

    def name_of(self, skill: str) -> str:
        return self._asked(skill).name

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        pattern = self._asked(skill)
        cue, sargam = self.cue(pattern.id, Fresh(skill, seed), setting)
        offered = self._offered(pattern, Fresh(f"{skill} choices", seed), setting)
        return Question(
            kind="strokes",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say(self.prompt),
            choices=tuple(
                Choice(each.id, each.label, f"strokes:{self.way}:{each.id}") for each in offered
            ),
            right=(pattern.id,),
            cue=cue,
            sargam=sargam,
            possible=tuple(
                each.id
                for each in offered
                if each == pattern or f"strokes:{self.way}:{each.id}" in setting.met
            ),
        )

    def _offered(self, right: Pattern, fresh: Fresh, setting: Setting) -> list[Pattern]:
        """Rivals first, then what else has been met; never fewer than two in all."""
        known = [*setting.rivals, *fresh.shuffled(setting.met)]
        ids = [skill.rpartition(":")[2] for skill in known if self._is_ours(skill)]
        wrong = [self.patterns()[name] for name in dict.fromkeys(ids) if name != right.id]
        if not wrong:
            wrong = [fresh.one_of([p for p in self.patterns().values() if p != right])]
        offered = [right, *wrong[:_MOST_WRONG]]
        if not self.in_order:
            return fresh.shuffled(offered)
        return sorted(offered, key=lambda pattern: pattern.id)

    def _is_ours(self, skill: str) -> bool:
        head, _, name = skill.rpartition(":")
        return head == f"strokes:{self.way}" and name in self.patterns()

    def mark(self, question: Question, given: str) -> Mark:
        choice = question.choice(given)
        return Mark(1.0) if given in question.right else Mark(0.0, heard=choice.skill)

    def explain(self, question: Question, given: str) -> Explanation:
        right, answered = self._asked(question.skill), self.patterns()[given]
        why = right.about
        if answered != right:
            why += f" {answered.about}"
        return Explanation(
            right_label=right.label,
            given_label=answered.label,
            why=why,
            right_cue=self._played(question, right),
            given_cue=None if answered == right else self._played(question, answered),
            right_written=for_readers(question.sargam),
        )

    def _played(self, question: Question, pattern: Pattern) -> Score:
        return self.plain(pattern.id, Fresh(question.skill, question.seed), question.setting)

    def introduce(self, question: Question) -> str:
        return f"{say(self.about)} {self._asked(question.skill).about}"

    def _asked(self, skill: str) -> Pattern:
        """Raises UnknownSkill."""
        if not self._is_ours(skill):
            raise UnknownSkill(
                f"{skill!r} is not asked; write strokes:{self.way}: and one of "
                f"{', '.join(self.patterns())}"
            )
        return self.patterns()[skill.rpartition(":")[2]]
