"""Which parts the form of each kind of question has, and what a new question begins as."""

from __future__ import annotations

from functools import partial
from typing import Any

from practice import Practice
from quizzes.decks.deck import FORMS, KIND
from quizzes.decks.narrowing import PHRASES, answers_of
from quizzes.kinds import KINDS
from quizzes.met_in_order import met_in
from quizzes.talas import talas
from screens.form_counts import CountsPart
from screens.form_cue import CuePart
from screens.form_order import PairsPart, ThingsPart
from screens.form_parts import FormPart, OptionPart, TextPart
from screens.form_phrases import PhrasesPart
from screens.form_rows import (
    ChoicesPart,
    ReasonsPart,
    RightPart,
    VerdictPart,
)
from screens.form_ticks import AmongPart, AnswersPart, SkillsPart
from screens.hearing import lasts
from screens.narrowed_words import words_of_values
from words import say, to_say

PHRASES_HINT = to_say("Of a raga's own, one sounds. Where no raga has any, fresh ones are made.")
NAMES = {
    "choose-one": (
        to_say("Choose one"),
        to_say("Several answers are offered, and one is right."),
    ),
    "choose-several": (
        to_say("Choose several"),
        to_say("Several answers are offered, and some are right."),
    ),
    "put-in-order": (
        to_say("Put in order"),
        to_say("Things are put into an order, in full or in part."),
    ),
    "write-swaras": (
        to_say("Write the swaras"),
        to_say("A line is heard and written down."),
    ),
    "write-phrase": (
        to_say("Write a phrase"),
        to_say("A phrase is heard and written: swaras, lengths, ornaments."),
    ),
    "true-or-false": (
        to_say("True or false"),
        to_say("Something is said: is it so, and why?"),
    ),
}
"""What each form of a teacher's own is called, and what it asks; to be said."""


def name_of_kind(kind: str) -> str:
    """What a kind of question is called where it is edited."""
    if kind in NAMES:
        return say(NAMES[kind][0])
    return say(KINDS[kind].title) if kind in KINDS else kind


def words_of(entry: dict[str, Any], tradition: str) -> str:
    """By what a question is known in a list: its name, else its prompt, else what it asks."""
    for field in ("name", "prompt"):
        value = entry.get(field)
        if isinstance(value, str) and value.strip():
            return " ".join(value.split())
    kind = str(entry.get("kind", ""))
    if kind in FORMS:
        return say("Without a prompt yet")
    return _asked_words(entry, kind, tradition) or name_of_kind(kind)


def about_kind(entry: dict[str, Any], words: str, tradition: str) -> str:
    """Of what kind a question is that is known by `words`; and what it asks, where they do not say
    that."""
    kind = str(entry.get("kind", ""))
    asks = _asked_words(entry, kind, tradition)
    named = name_of_kind(kind)
    if asks and asks != words:
        return say("{kind} {asks}.", kind=named, asks=asks)
    return named


def _asked_words(entry: dict[str, Any], kind: str, tradition: str) -> str:
    is_narrowed = kind in KINDS and kind != KIND
    return words_of_values(entry, kind, tradition) if is_narrowed else ""


def new_entry(kind: str) -> dict[str, Any]:
    """What a question of this kind begins as."""
    begun: dict[str, Any] = {"kind": kind}
    if kind in FORMS:
        begun["prompt"] = ""
    if kind in ("choose-one", "choose-several"):
        begun["choice"] = [{"text": "", "right": True}, {"text": ""}]
    elif kind == "put-in-order":
        begun["things"] = ["", ""]
    elif kind == "write-swaras":
        begun["right"] = [""]
    elif kind == "true-or-false":
        begun["holds"] = True
    return begun


def parts_for(kind: str, practice: Practice) -> list[FormPart]:
    """The parts of the form of a kind, from above."""
    tradition = practice.given.tradition
    if kind not in FORMS:
        return _narrowed(kind, tradition) if kind in KINDS and kind != KIND else _unknown()
    prompt = TextPart("prompt", title=say("What is asked"))
    cue = CuePart(
        sorted((tala.id, say(tala.name)) for tala in talas(tradition).values()),
        partial(lasts, practice),
        only="sargam" if kind == "write-phrase" else "",
    )
    why = TextPart(
        "why",
        title=say("Explanation"),
        hint=say("What is said after the answer: why it is right."),
    )
    name = TextPart(
        "name",
        title=say("Name in lists"),
        hint=say("May stay empty: then it is called by what is asked."),
    )
    return [prompt, cue, *_answers(kind), why, name]


def _unknown() -> list[FormPart]:
    """For a kind that is not known here: which of a teacher's own it is to be."""
    options = [(kind, say(name)) for kind, (name, _) in NAMES.items()]
    return [OptionPart("kind", title=say("Which kind of question is it?"), options=options)]


def _answers(kind: str) -> list[FormPart]:
    if kind in ("choose-one", "choose-several"):
        single = kind == "choose-one"
        sort = OptionPart(
            "kind",
            title=say("Answers"),
            options=[
                ("choose-one", say("One is right")),
                ("choose-several", say("Several are right")),
            ],
        )
        return [sort, ChoicesPart("choice", single=single)]
    if kind == "put-in-order":
        things = ThingsPart(
            "things", title=say("In this order"), hint=say("A right order, from above.")
        )
        pairs = PairsPart(
            "before",
            title=say("Which pairs matter"),
            hint=say("Without a pair the whole order counts. With pairs only these must be kept."),
        )
        return [things, pairs]
    if kind == "write-swaras":
        hint = say("Plain swaras. Several lines where more than one is right.")
        return [RightPart("right", title=say("The line to be written"), hint=hint)]
    if kind == "write-phrase":
        hint = say("The swaras do anyway, each in its saptak.")
        return [CountsPart(title=say("What counts besides"), hint=hint)]
    reasons = ReasonsPart(
        "reason",
        title=say("Reasons"),
        hint=say("May stay empty. Else the reason is asked too."),
    )
    return [VerdictPart(title=say("Is it so?")), reasons]


def _narrowed(kind: str, tradition: str) -> list[FormPart]:
    name = TextPart(
        "name",
        title=say("Name in lists"),
        hint=say("May stay empty: then it is called as in Kaan."),
    )
    asked = SkillsPart(kind, tradition, title=say("What is asked"))
    if kind != PHRASES:
        can_be_few = answers_of(met_in(tradition).of_kind(kind)[0].id, tradition)
        return [asked, *([AnswersPart(kind, tradition)] if can_be_few else []), name]
    among = AmongPart(
        tradition, title=say("What is offered"), hint=say("None ticked: as Kaan offers it.")
    )
    phrases = PhrasesPart(tradition, title=say("Phrases"), hint=say(PHRASES_HINT))
    return [among, phrases, asked, name]
