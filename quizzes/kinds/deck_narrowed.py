"""A kind of Kaan with what is offered named by the teacher: the right answer and these alone."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from functools import lru_cache

from quizzes.decks.deck import KIND, Narrowed
from quizzes.decks.posed import Posed, deck_in, posed_in, read, skill_id, thing_in
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kin import kin_of
from quizzes.question import Choice, Kind, Mark, Question, Setting, Skill
from words import say

TRIES, FULL_TRIES = 40, 12
"""So often a question is drawn until it offers two of the answers that are named, and until it
offers all of them: which of them are left out could tell which is right."""
KEPT = 8
"""So many questions are kept as they were made last."""
OFFERED_ON = ("choices", "string")
"""Answers that can be narrowed: one of several choices."""


class KindAmong:
    """Makes a question of a kind and leaves out the choices that the teacher has not named."""

    def __init__(self, kinds: Mapping[str, Kind]) -> None:
        self._kinds = kinds
        # A question is marked and explained soon after it is made, and some take long to make.
        self._owned = lru_cache(maxsize=KEPT)(self._make_own)

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
        """The kind's own question, with fewer choices."""
        return self._owned(posed.text, skill, seed, setting)

    def _make_own(self, text: str, skill: str, seed: int, setting: Setting) -> Question:
        posed = read(text)
        entry = _entry(posed)
        first = fullest = None
        draws = self.draws(posed, skill, seed=seed, setting=setting, tries=TRIES)
        for number, question in enumerate(draws, 1):
            first = first or question
            narrowed = narrowed_to(question, entry.among)
            if narrowed and (not fullest or len(narrowed.choices) > len(fullest.choices)):
                fullest = narrowed
            is_full = fullest and len(fullest.choices) == len(entry.among)
            if is_full or (fullest and number >= FULL_TRIES):
                break
        assert first is not None  # TRIES is not nought
        return fullest or _nearly(first, entry.among)

    def draws(
        self, posed: Posed, skill: str, *, seed: int, setting: Setting, tries: int
    ) -> Iterator[Question]:
        """So many questions of the kind on this skill, as it makes them."""
        entry = _entry(posed)
        asked = own_skill(entry, thing_in(skill))
        rivals = [thing_in(one) for one in setting.rivals]
        inner = replace(
            setting,
            deck="",
            met=posed.beside,
            rivals=tuple(own_skill(entry, one) for one in rivals if one),
        )
        fresh = Fresh(skill, seed)
        for number in range(tries):
            drawn = seed if number == 0 else int(fresh.between(0, 2**53))
            yield self._kinds[entry.kind].make(asked, seed=drawn, setting=inner)

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


def narrowed_to(question: Question, among: Collection[str]) -> Question | None:
    """The question with these choices alone; None where that leaves fewer than two, or leaves the
    right one out."""
    left = [choice.id for choice in question.choices if choice.id in among]
    is_fair = question.answer_on in OFFERED_ON and set(question.right) <= set(left)
    return _with(question, left) if is_fair and len(left) > 1 else None


def _nearly(question: Question, among: Collection[str]) -> Question:
    """The question with these choices and what else it takes to be one, where no draw has enough of
    them: the right one, and one other."""
    if question.answer_on not in OFFERED_ON:
        return question
    ids = [choice.id for choice in question.choices]
    left = {one for one in ids if one in among or one in question.right}
    left.update([one for one in ids if one not in left][: max(0, 2 - len(left))])
    return _with(question, left)


def _with(question: Question, left: Collection[str]) -> Question:
    possible = question.possible
    return replace(
        question,
        choices=tuple(choice for choice in question.choices if choice.id in left),
        possible=None if possible is None else tuple(one for one in possible if one in left),
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
        name=say("{name}: {what}", name=entry.name, what=own.name),
        cluster=f"deck {deck} {entry.id}",
        chance=1 / len(entry.among),
        kin=kin_of(made),
    )
