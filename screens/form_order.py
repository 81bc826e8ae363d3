"""Things to be put in order, and which of them comes before which."""

from __future__ import annotations

from typing import Any

from kivy.properties import ListProperty

from quizzes.decks.limits import MOST_PAIRS
from screens.form_parts import Picked
from screens.form_rows import FormRow, Item, RowsPart
from screens.look import load_kv
from words import say, to_say

UNCHOSEN = {
    "first": to_say("Choose what comes first"),
    "then": to_say("Choose what comes after it"),
}
"""What a plate of a pair says while nothing is chosen, to be said."""


class ThingRow(FormRow):
    """One thing of an order; it is carried to its place by its grip."""

    def show(self, item: Item) -> None:
        super().show(item)
        self.ids.text.show(str(item))


class PairRow(FormRow):
    """One thing comes before another, and why."""

    apart = ("first", "then", "why")
    things = ListProperty()

    def show(self, item: Item) -> None:
        self.item = item if isinstance(item, dict) else {}
        for field, unchosen in UNCHOSEN.items():
            picked: Picked = self.ids[field]
            picked.options = [(thing, thing) for thing in self.things]
            picked.value = self.item.get(field)
            picked.nothing = str(self.item.get(field) or say(unchosen))
        self.ids.why.show(str(self.item.get("why", "")))


class ThingsPart(RowsPart):
    """The things to be put in order, in a right one. Pairs follow a thing that is renamed or
    removed, in one step with it."""

    sort = ThingRow
    one_more, numbered = to_say("One more thing"), to_say("Thing {number}")

    def __init__(self, field: str, **kwargs: Any) -> None:
        super().__init__(field, **kwargs)
        self._pairs: list[Item] = []
        self._named: tuple[int, list[tuple[int, str]]] = -1, []

    def show(self, values: dict[str, Any]) -> None:
        super().show(values)
        pairs = values.get("before", [])
        self._pairs = pairs if isinstance(pairs, list) else []

    def _put(self, at: int, item: Item) -> None:
        places = self._places_of(at)
        pairs = [dict(pair) if isinstance(pair, dict) else pair for pair in self._pairs]
        for number, field in places:
            pairs[number][field] = item
        self._change([*self.items[:at], item, *self.items[at + 1 :]], pairs)

    def _places_of(self, at: int) -> list[tuple[int, str]]:
        """Where pairs name the thing, as the number of the pair and its field. While a thing is
        written it may for a moment be called as another is: then it keeps the places it had."""
        if self.items.count(self.items[at]) == 1:
            self._named = (
                at,
                [
                    (number, field)
                    for number, pair in enumerate(self._pairs)
                    for field in ("first", "then")
                    if isinstance(pair, dict) and pair.get(field) == self.items[at]
                ],
            )
        named, places = self._named
        return places if named == at else []

    def _remove(self, at: int) -> None:
        gone = {number for number, _ in self._places_of(at)}
        kept = [pair for number, pair in enumerate(self._pairs) if number not in gone]
        self._change(self._without(at), kept)

    def _change(self, things: list[Item], pairs: list[Item]) -> None:
        changed = {"before": pairs or None} if pairs != self._pairs else {}
        self.change(things=things or None, **changed)


class PairsPart(RowsPart):
    """Which thing comes before which."""

    sort, new, most = PairRow, {}, MOST_PAIRS
    one_more, numbered = to_say("One more pair"), to_say("Pair {number}")

    def prepare(self, row: Any, values: dict[str, Any]) -> None:
        things = values.get("things")
        listed = things if isinstance(things, list) else []
        row.things = [thing for thing in listed if isinstance(thing, str) and thing]


load_kv("form_order")
