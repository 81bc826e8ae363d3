"""`deck`: questions that a teacher has written; each stands whole in the setting it is asked by."""

from __future__ import annotations

from collections.abc import Mapping

from quizzes.decks.cues import seconds_of
from quizzes.decks.deck import KIND, Asked
from quizzes.decks.posed import posed_in, skill_id
from quizzes.errors import UnknownSkill
from quizzes.explanation import Explanation
from quizzes.kin import kin_of
from quizzes.kinds.deck_choices import ChooseOne, ChooseSeveral, TrueOrFalse
from quizzes.kinds.deck_form import Form
from quizzes.kinds.deck_narrowed import KindAmong
from quizzes.kinds.deck_order import PutInOrder
from quizzes.kinds.deck_phrase import PhraseAmong
from quizzes.kinds.deck_swaras import WriteSwaras
from quizzes.kinds.deck_write import WritePhrase
from quizzes.kinds.raga_from_phrase import RagaFromPhraseKind
from quizzes.levels import Level
from quizzes.names import counted
from quizzes.question import Kind, Mark, Question, Setting, Skill
from words import to_say

FORMS: Mapping[str, Form] = {
    "choose-one": ChooseOne(),
    "choose-several": ChooseSeveral(),
    "put-in-order": PutInOrder(),
    "write-swaras": WriteSwaras(),
    "write-phrase": WritePhrase(),
    "true-or-false": TrueOrFalse(),
}


class DeckKind:
    """Hands on to the form of the question. Nothing is asked as shipped: decks bring their own."""

    name = KIND
    title = to_say("What your teacher asks")

    def __init__(self, kinds: Mapping[str, Kind]) -> None:
        self._among, self._phrase = KindAmong(kinds), PhraseAmong()

    def skills(self) -> tuple[Skill, ...]:
        return ()

    def name_of(self, skill: str) -> str:
        raise UnknownSkill(f"{skill!r} is of a deck; its name stands there")

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        return self._way(skill, setting).make(
            posed_in(skill, setting), skill, seed=seed, setting=setting
        )

    def mark(self, question: Question, given: str) -> Mark:
        return self._way(question.skill, question.setting).mark(question, given)

    def explain(self, question: Question, given: str) -> Explanation:
        return self._way(question.skill, question.setting).explain(question, given)

    def introduce(self, question: Question) -> str:
        return self._way(question.skill, question.setting).introduce(question)

    def level(self, skill: str) -> Level | None:
        return None

    def several(self, count: int) -> str:
        return counted(
            count,
            "{number} of your teacher's questions",
            "{number} of your teacher's questions",
        )

    def _way(self, skill: str, setting: Setting) -> Form | KindAmong | PhraseAmong:
        entry = posed_in(skill, setting).entry
        if isinstance(entry, Asked):
            return FORMS[entry.form]
        return self._phrase if entry.kind == RagaFromPhraseKind.name else self._among


def skill_of(deck: str, entry: Asked, tradition: str = "") -> Skill:
    """The skill that a question of the teacher's own asks."""
    form, cue = FORMS[entry.form], entry.cue
    is_silent = not (cue.sargam or cue.recording or cue.theka)
    family = "facts" if is_silent else "perception"
    made = skill_id(deck, entry.id)
    return Skill(
        id=made,
        kind=KIND,
        name=entry.name,
        family="orders" if entry.form == "put-in-order" else family,
        cluster=f"deck {deck}",
        chance=form.chance(entry),
        seconds=form.seconds(entry) + seconds_of(cue, tradition),
        kin=kin_of(made),
    )
