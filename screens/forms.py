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

PHRASES_HINT = "Of a raga's own, one sounds. Where no raga has any, fresh ones are made."
NAMES = {
    "choose-one": ("Choose one", "Several answers are offered, and one is right."),
    "choose-several": ("Choose several", "Several answers are offered, and some are right."),
    "put-in-order": ("Put in order", "Things are put into an order, in full or in part."),
    "write-swaras": ("Write the swaras", "A line is heard and written down."),
    "write-phrase": (
        "Write a phrase",
        "A phrase is heard and written: swaras, lengths, ornaments.",
    ),
    "true-or-false": ("True or false", "Something is said: is it so, and why?"),
}
"""What each form of a teacher's own is called, and what it asks."""


def name_of_kind(kind: str) -> str:
    """What a kind of question is called where it is edited."""
    if kind in NAMES:
        return NAMES[kind][0]
    return KINDS[kind].title if kind in KINDS else kind


def words_of(entry: dict[str, Any], tradition: str) -> str:
    """By what a question is known in a list: its name, else its prompt, else what it asks."""
    for field in ("name", "prompt"):
        value = entry.get(field)
        if isinstance(value, str) and value.strip():
            return " ".join(value.split())
    kind = str(entry.get("kind", ""))
    if kind in FORMS:
        return "Without a prompt yet"
    return _asked_words(entry, kind, tradition) or name_of_kind(kind)


def about_kind(entry: dict[str, Any], words: str, tradition: str) -> str:
    """Of what kind a question is that is known by `words`; and what it asks, where they do not say
    that."""
    kind = str(entry.get("kind", ""))
    asks = _asked_words(entry, kind, tradition)
    named = name_of_kind(kind)
    return f"{named} {asks}." if asks and asks != words else named


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
    prompt = TextPart("prompt", title="What is asked")
    cue = CuePart(
        sorted((tala.id, tala.name) for tala in talas(tradition).values()),
        partial(lasts, practice),
        only="sargam" if kind == "write-phrase" else "",
    )
    why = TextPart(
        "why", title="Explanation", hint="What is said after the answer: why it is right."
    )
    name = TextPart(
        "name", title="Name in lists", hint="May stay empty: then it is called by what is asked."
    )
    return [prompt, cue, *_answers(kind), why, name]


def _unknown() -> list[FormPart]:
    """For a kind that is not known here: which of a teacher's own it is to be."""
    options = [(kind, name) for kind, (name, _) in NAMES.items()]
    return [OptionPart("kind", title="Which kind of question is it?", options=options)]


def _answers(kind: str) -> list[FormPart]:
    if kind in ("choose-one", "choose-several"):
        single = kind == "choose-one"
        sort = OptionPart(
            "kind",
            title="Answers",
            options=[("choose-one", "One is right"), ("choose-several", "Several are right")],
        )
        return [sort, ChoicesPart("choice", single=single)]
    if kind == "put-in-order":
        things = ThingsPart("things", title="In this order", hint="A right order, from above.")
        pairs = PairsPart(
            "before",
            title="Which pairs matter",
            hint="Without a pair the whole order counts. With pairs only these must be kept.",
        )
        return [things, pairs]
    if kind == "write-swaras":
        hint = "Plain swaras. Several lines where more than one is right."
        return [RightPart("right", title="The line to be written", hint=hint)]
    if kind == "write-phrase":
        hint = "The swaras do anyway, each in its saptak."
        return [CountsPart(title="What counts besides", hint=hint)]
    reasons = ReasonsPart(
        "reason", title="Reasons", hint="May stay empty. Else the reason is asked too."
    )
    return [VerdictPart(title="Is it so?"), reasons]


def _narrowed(kind: str, tradition: str) -> list[FormPart]:
    name = TextPart(
        "name", title="Name in lists", hint="May stay empty: then it is called as in Kaan."
    )
    asked = SkillsPart(kind, tradition, title="What is asked")
    if kind != PHRASES:
        can_be_few = answers_of(met_in(tradition).of_kind(kind)[0].id, tradition)
        return [asked, *([AnswersPart(kind, tradition)] if can_be_few else []), name]
    among = AmongPart(tradition, title="What is offered", hint="None ticked: as Kaan offers it.")
    phrases = PhrasesPart(tradition, title="Phrases", hint=PHRASES_HINT)
    return [among, phrases, asked, name]
