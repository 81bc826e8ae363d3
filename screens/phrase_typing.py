"""A phrase written by the keyboard, sign by sign as sargam is written."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from audio.tuning import SWARAS, Swara
from quizzes.names import in_letters
from quizzes.question import Question
from screens.phrase import FURTHEST_SAPTAK, Phrase
from screens.phrase_keys import DOWN, HANDS, REST_KEY, TYPED_LENGTHS, UP, Key, keys_of
from screens.typed import ONE_FORM
from words import in_script, say

if TYPE_CHECKING:
    from screens.phrase_pad import PhrasePad

JOINS = {"/": "meend", "\\": "meend", "<": "sparsh", ">": "krintan"}
"""Signs before the swara that is reached so; up or down is heard from the swaras."""
CLOSES = {"(": ")", "{": "}"}
AFTER = {"^": "stronger", "_": "softer", "*": "brighter", "o": "rounder"}
"""Signs after the swara that is played so."""
HEAR = "h"
LETTERS = {*SWARAS, *(letter.lower() for letter in ONE_FORM)}
SIGNS_AFTER = {UP, DOWN, "~", "-", *AFTER, *TYPED_LENGTHS}


_JOINED = {by: about for by, _, about in HANDS}
"""How each way to reach a swara is called."""


class Typing:
    """What the keyboard has begun and what is not yet in the phrase: a join, or a bracket."""

    def __init__(self, question: Question | None = None) -> None:
        self._join, self._opened = "", ""
        self._inside: list[Swara] = []
        self._touches: tuple[Swara, ...] = ()
        self._letters: dict[str, str] = {}
        self._keys: dict[str, Key] = {}
        self._refused: Phrase | None = None
        """What a letter that is not offered was typed after: its signs are none of that."""
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
        if name in LETTERS and name not in self._letters:
            self._refused = pad.phrase
            pad.told = say("{key} is not among the swaras.", key=in_script(name))
            return True
        if self._refused is pad.phrase and name in SIGNS_AFTER:
            return True
        self._refused = None
        if self._opened:
            used = self._take_inside(pad, name)
        elif name == "backspace":
            self._begin_anew()
            pad.take_back()
            return True
        elif name in self._letters:
            self._write(pad, Swara.read(self._letters[name]))
            return True
        elif name == HEAR:
            pad.hear()
            return True
        else:
            used = self._begin(name)
        if used:
            pad.told = self._begun
            return True
        return self._changes(pad, name)

    def _begin_anew(self) -> None:
        self._join, self._opened, self._inside, self._touches = "", "", [], ()

    @property
    def _begun(self) -> str:
        """What stands before the swara that is to come."""
        inside = "".join(in_letters([swara]) for swara in self._inside or self._touches)
        closed = CLOSES["("] if self._touches else ""
        opened = self._opened or ("(" if self._touches else "")
        begun = f"{say(_JOINED[self._join]) if self._join else ''} {opened}{inside}{closed}".strip()
        return f"{begun} …" if begun else ""

    def _write(self, pad: PhrasePad, swara: Swara) -> None:
        join, touches = self._join, self._touches
        self._begin_anew()
        pad.add(swara, join, touches=touches)

    def _begin(self, name: str) -> bool:
        """A sign that stands before its swara."""
        if "meend" not in self._keys:
            return False
        if name in JOINS:
            again = name in "/\\" and self._join == "meend"
            self._join = "ghaseet" if again else JOINS[name]
        elif name in CLOSES:
            self._opened, self._inside = name, []
        return name in JOINS or name in CLOSES

    def _take_inside(self, pad: PhrasePad, name: str) -> bool:
        """A key while a bracket is open."""
        if name in self._letters:
            self._inside.append(Swara.read(self._letters[name]))
        elif name in (UP, DOWN) and self._inside:
            *before, last = self._inside
            octave = last.octave + (1 if name == UP else -1)
            if abs(octave) <= FURTHEST_SAPTAK:
                self._inside = [*before, replace(last, octave=octave)]
        elif name == "backspace":
            self._inside, was_empty = self._inside[:-1], not self._inside
            self._opened = "" if was_empty else self._opened
        elif name == CLOSES[self._opened]:
            self._close(pad)
        else:
            return False
        return True

    def _close(self, pad: PhrasePad) -> None:
        opened, inside = self._opened, self._inside
        self._opened, self._inside = "", []
        if opened == "(":
            self._touches = tuple(inside)
        elif len(inside) == 2:
            self._begin_anew()
            pad.add(inside[0], shaken=inside[1])

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
        if name == "-" and pad.phrase.chosen is not None:
            return self._keys.get(f"length {pad.phrase.chosen.matras + 1}")
        if name == "~":
            tone = pad.phrase.tone
            return self._keys.get("gamak" if tone is not None and tone.sway else "andolan")
        return self._keys.get(AFTER.get(name, ""))
