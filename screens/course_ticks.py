"""What may stand in a step, to be ticked: ragas, talas, kinds of question, decks."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from practice import Practice
from quizzes.course_words import tickable
from screens.form_ticks import TicksPart
from words import to_say

TITLES = {
    "ragas": to_say("Ragas"),
    "talas": to_say("Talas"),
    "kinds": to_say("Kinds"),
    "decks": to_say("Decks"),
}
"""By the field of a step, to be said."""
SEARCH = {
    "ragas": (to_say("Search {many} raga"), to_say("Search {many} ragas")),
    "talas": (to_say("Search {many} tala"), to_say("Search {many} talas")),
    "kinds": (to_say("Search {many} kind"), to_say("Search {many} kinds")),
    "decks": (to_say("Search {many} deck"), to_say("Search {many} decks")),
}
"""Where one is looked for, among one or several."""


class NamesPart(TicksPart):
    """One field of a step. What it holds and is not known here stays until it is unticked in the
    file; what is ticked later stands later."""

    def __init__(self, field: str, practice: Practice, **kwargs: Any) -> None:
        given = practice.given
        options = [
            (one.id, f"{one.name}. {one.about}" if one.about else one.name)
            for one in tickable(field, given.decks, given.tradition)
        ]
        super().__init__(options, SEARCH[field][len(options) != 1], **kwargs)
        self.fields = (field,)
        self._known = {id for id, _ in options}

    def show(self, values: dict[str, Any]) -> None:
        value = values.get(self.fields[0])
        self.ticks.tick([each for each in value if isinstance(each, str)] if value else [])

    def send(self, keys: Sequence[str]) -> None:
        kept = [id for id in self.ticks.ticked if id in keys or id not in self._known]
        ticked = [*kept, *(id for id in keys if id not in kept)]
        self.change(**{self.fields[0]: ticked or None})
