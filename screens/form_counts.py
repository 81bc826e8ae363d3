"""What counts beside the swaras of a phrase that is to be written: plates to turn on and off."""

from __future__ import annotations

from typing import Any

from quizzes.decks.deck import COUNTED
from screens.controls import PlateRow
from screens.form_parts import FormPart
from screens.widgets import ChosenPlate
from words import say, to_say

WORDS = {
    "lengths": to_say("How long each lasts"),
    "ornaments": to_say("What the left hand does"),
}
"""To be said."""


class CountsPart(FormPart):
    """Each of COUNTED, on or off."""

    fields = ("counts",)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.plates = {word: ChosenPlate(text=say(WORDS[word])) for word in COUNTED}
        row = PlateRow()
        for word, plate in self.plates.items():
            plate.bind(on_release=lambda _, word=word: self._turn(word))
            row.add_widget(plate)
        self.put_in(row)

    def show(self, values: dict[str, Any]) -> None:
        value = values.get("counts", [])
        for word, plate in self.plates.items():
            plate.chosen = isinstance(value, list) and word in value

    def _turn(self, word: str) -> None:
        on = [each for each, plate in self.plates.items() if plate.chosen != (each == word)]
        self.change(counts=on or None)
