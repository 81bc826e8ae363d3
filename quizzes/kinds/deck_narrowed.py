"""A kind of Kaan with what is offered named by the teacher: the right answer and these alone."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from quizzes.decks.deck import KIND, Narrowed
from quizzes.decks.posed import Posed, deck_in, posed_in, skill_id, thing_in
from quizzes.errors import UnknownSkill
from quizzes.fresh import Fresh
from quizzes.kin import kin_of
from quizzes.question import Choice, Explanation, Kind, Mark, Question, Setting, Skill

TRIES = 40
"""So often a question is drawn until it offers two of the answers that are named."""
OFFERED_ON = ("choices", "string")
"""Answers that can be narrowed: one of several choices."""


class KindAmong:
    """Makes a question of a kind and leaves out the choices that the teacher has not named."""

    def __init__(self, kinds: Mapping[str, Kind]) -> None:
        self._kinds = kinds

    def make(self, posed: Posed, skill: str, *, seed: int, setting: Setting) -> Question:
        own = self.own(posed, skill, seed=seed, setting=setting)
        entry = _entry(posed)
        asked = {each: skill_id(deck_in(skill), entry.id, thing_of(each)) for each in entry.skills}
        return replace(
            own,
            kind=KIND,
            skill=skill,
            seed=seed,
            setting=setting,
            choices=tuple(
                Choice(one.id, one.label, asked.get(one.skill or "")) for one in own.choices
            ),
        )

    def own(self, posed: Posed, skill: str, *, seed: int, setting: Setting) -> Question:
        """The kind's own question, with fewer choices.

        Raises UnknownSkill where the kind offers too few of what is named.
        """
        entry = _entry(posed)
        kind, asked = self._kinds[entry.kind], own_skill(entry, thing_in(skill))
        rivals = [thing_in(one) for one in setting.rivals]
        inner = replace(
            setting,
            deck="",
            met=posed.beside,
            rivals=tuple(own_skill(entry, one) for one in rivals if one),
        )
        fresh = Fresh(skill, seed)
        for number in range(TRIES):
            drawn = seed if number == 0 else int(fresh.between(0, 2**53))
            question = kind.make(asked, seed=drawn, setting=inner)
            narrowed = _narrowed(question, entry.among)
            if narrowed is not None:
                return narrowed
        raise UnknownSkill(
            f"{asked!r} offers too few of {', '.join(entry.among)} beside what is right"
        )

    def mark(self, question: Question, given: str) -> Mark:
        mark = self._kinds[self._entry(question).kind].mark(self._own(question), given)
        return Mark(mark.credit, heard=None if mark.right else question.choice(given).skill)

    def explain(self, question: Question, given: str) -> Explanation:
        return self._kinds[self._entry(question).kind].explain(self._own(question), given)

    def introduce(self, question: Question) -> str:
        return self._kinds[self._entry(question).kind].introduce(self._own(question))

    def _own(self, question: Question) -> Question:
        posed = posed_in(question.skill, question.setting)
        return self.own(posed, question.skill, seed=question.seed, setting=question.setting)

    def _entry(self, question: Question) -> Narrowed:
        return _entry(posed_in(question.skill, question.setting))


def _narrowed(question: Question, among: tuple[str, ...]) -> Question | None:
    """The question with these choices alone; None where that leaves fewer than two, or leaves the
    right one out."""
    left = tuple(choice for choice in question.choices if choice.id in among)
    if question.answer_on not in OFFERED_ON or len(left) < 2:
        return None
    ids = {choice.id for choice in left}
    if not ids.issuperset(question.right):
        return None
    possible = question.possible
    return replace(
        question,
        choices=left,
        possible=None if possible is None else tuple(one for one in possible if one in ids),
    )


def _entry(posed: Posed) -> Narrowed:
    assert isinstance(posed.entry, Narrowed)  # only such entries name a kind
    return posed.entry


def thing_of(own: str) -> str:
    """What of a kind's own skill stands at the end of the deck's: all but the kind."""
    return own.partition(":")[2]


def own_skill(entry: Narrowed, thing: str) -> str:
    """The kind's own skill that is asked for this."""
    return f"{entry.kind}:{thing}"


def skill_for(deck: str, entry: Narrowed, own: Skill) -> Skill:
    """The deck's skill that asks what the kind's own one does."""
    made = skill_id(deck, entry.id, thing_of(own.id))
    return replace(
        own,
        id=made,
        kind=KIND,
        name=f"{entry.name}: {own.name}",
        cluster=f"deck {deck} {entry.id}",
        chance=1 / len(entry.among),
        kin=kin_of(made),
    )
