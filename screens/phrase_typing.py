"""A phrase written by the keyboard, sign by sign as sargam is written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from audio.tuning import Swara
from quizzes.question import Question
from screens.phrase_keys import DOWN, REST_KEY, TYPED_LENGTHS, UP, Key, keys_of
from screens.typed import ONE_FORM

if TYPE_CHECKING:
    from screens.phrase_pad import PhrasePad

JOINS = {"/": "meend", "\\": "meend", "<": "sparsh", ">": "krintan"}
"""Signs before the swara that is reached so; up or down is heard from the swaras."""
KEYED = {
    "(": "kan",
    "{": "zamzama",
    "^": "stronger",
    "_": "softer",
    "*": "brighter",
    "o": "rounder",
}
HEAR = "h"


class Typing:
    """What the keyboard has begun: a join waits for its swara."""

    def __init__(self, question: Question | None = None) -> None:
        self._join, self._sways = "", 0
        self._letters: dict[str, str] = {}
        self._keys: dict[str, Key] = {}
        if question is not None:
            self._letters = {choice.id: choice.id for choice in question.choices}
            for letter in ONE_FORM:
                if letter in self._letters:
                    self._letters.setdefault(letter.lower(), letter)
            for group in ("swaras", *question.signs):
                if group != "saptaks":
                    made = keys_of(group, question.choices, question.signs)
                    self._keys |= {key.id: key for key in made}

    def take(self, pad: PhrasePad, name: str) -> bool:
        """Use one key of the keyboard for what is being made; True if it was used."""
        if name == "backspace":
            self._join = ""
            pad.take_back()
        elif name in self._letters:
            join, self._join = self._join, ""
            pad.add(Swara.read(self._letters[name]), join)
        elif name in JOINS and "meend" in self._keys:
            again = name in "/\\" and self._join == "meend"
            self._join = "ghaseet" if again else JOINS[name]
        elif name == HEAR:
            pad.hear()
        else:
            return self._changes(pad, name)
        return True

    def _changes(self, pad: PhrasePad, name: str) -> bool:
        """A sign that stands after its swara."""
        key = self._key(pad, name)
        if key is None:
            return False
        pad.strike(key)
        return True

    def _key(self, pad: PhrasePad, name: str) -> Key | None:
        if name in (UP, DOWN, REST_KEY):
            return self._keys.get(name)
        if name in TYPED_LENGTHS:
            return self._keys.get(f"length {TYPED_LENGTHS[name]}")
        if name == "~":
            tone = pad.phrase.tone
            return self._keys.get("gamak" if tone is not None and tone.sway else "andolan")
        return self._keys.get(KEYED.get(name, ""))
