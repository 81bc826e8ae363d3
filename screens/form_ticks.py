"""A list to tick, which can be searched: the skills of a kind, the ragas that are offered."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.properties import StringProperty

from quizzes.decks.narrowed import CHOSEN
from quizzes.met_in_order import met_in
from quizzes.ragas import ragas
from screens.controls import Field, PlateRow
from screens.form_parts import FormPart
from screens.narrowed_words import read_narrowed
from screens.widgets import ChosenPlate, Column, Plate, Words

SHOWN = 20
"""So many are on view at a time; a search brings the others."""


class TickPlate(ChosenPlate):
    """One of them, with its tick."""

    key = StringProperty("")


class TicksPart(FormPart):
    """`options` are (id, name) pairs; a subclass says in `send` what a tick changes."""

    things = StringProperty("skills")

    def __init__(self, options: Sequence[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._options = tuple(options)
        self._searched = [(key, f"{name} {key}".casefold()) for key, name in self._options]
        self.ticked: tuple[str, ...] = ()
        self.found: list[str] = []
        self.search = Field(hint_text=f"Search {len(self._options)} {self.things}")
        self.search.bind(text=self._list)
        self.said = Words(role="small", tone="soft")
        self.all, self.none = Plate(text="Tick these"), Plate(text="Untick these")
        self.all.bind(on_release=lambda _: self._turn(self.found, on=True))
        self.none.bind(on_release=lambda _: self._turn(self.found, on=False))
        both = PlateRow()
        both.add_widget(self.all)
        both.add_widget(self.none)
        self.plates = Column(spacing=self.spacing)
        self.beyond = Words(role="small", tone="faint")
        self.inside = (self.search, self.said, both, self.plates, self.beyond)
        self.put_in(*self.inside)

    def _find(self) -> list[str]:
        """Ids of what is searched for; where nothing is, all, what is ticked first."""
        words = self.search.text.casefold().split()
        found = [key for key, text in self._searched if all(word in text for word in words)]
        if not words:
            return sorted(found, key=lambda key: key not in self.ticked)
        names = dict(self._options)
        return sorted(found, key=lambda key: len(names[key]))  # the nearest to what was written

    def _list(self, *_: Any) -> None:
        """Bring on view what is searched for; it stays where it is while it is ticked."""
        self.found, names = self._find(), dict(self._options)
        shown = self.found[:SHOWN]
        while len(self.plates.children) > len(shown):
            self.plates.remove_widget(self.plates.children[0])
        while len(self.plates.children) < len(shown):
            plate = TickPlate()
            plate.bind(on_release=lambda plate: self._turn([plate.key], on=not plate.chosen))
            self.plates.add_widget(plate)
        for plate, key in zip(self.plates.children[::-1], shown, strict=True):
            plate.key, plate.text = key, names[key]
        more = len(self.found) - len(shown)
        self.beyond.text = f"{more} more: search for a part of their name." if more else ""
        if not self.found:
            self.beyond.text = "Nothing is called so."
        self._mark()

    def _mark(self) -> None:
        for plate in self.plates.children:
            plate.chosen = plate.key in self.ticked
        self.said.text = f"{len(self.ticked)} of {len(self._options)} ticked."
        self.all.disabled = all(key in self.ticked for key in self.found)
        self.none.disabled = not any(key in self.ticked for key in self.found)

    def _turn(self, keys: Sequence[str], *, on: bool) -> None:
        wanted = set(self.ticked) | set(keys) if on else set(self.ticked) - set(keys)
        self.send(tuple(key for key, _ in self._options if key in wanted))

    def send(self, keys: tuple[str, ...]) -> None:
        """The user wants these ticked."""

    def tick(self, keys: Sequence[str]) -> None:
        """Show that these are ticked."""
        self.ticked = tuple(keys)
        if self.found:
            self._mark()
        else:
            self._list()


class SkillsPart(TicksPart):
    """Which skills of a kind are asked; all of them where nothing says otherwise."""

    fields = (*CHOSEN, "question")

    def __init__(self, kind: str, tradition: str, **kwargs: Any) -> None:
        self._kind, self._tradition = kind, tradition
        skills = met_in(tradition).of_kind(kind)
        super().__init__([(each.id, each.name) for each in skills], **kwargs)

    def show(self, values: dict[str, Any]) -> None:
        if {"among", "phrases"} & values.keys():
            self.hint = "Each raga that is offered."
            self.ids.inner.clear_widgets()
            return
        self.hint = "Tick what this deck asks."
        if not self.ids.inner.children:
            self.put_in(*self.inside)
        self.tick(read_narrowed(values, self._kind, self._tradition).skills)

    def send(self, keys: tuple[str, ...]) -> None:
        listed = None if len(keys) == len(self._options) else list(keys)
        self.change(**{**dict.fromkeys(CHOSEN), "skills": listed})


class AmongPart(TicksPart):
    """Which ragas alone are offered."""

    fields = ("among",)

    def __init__(self, tradition: str, **kwargs: Any) -> None:
        known = sorted(ragas(tradition).values(), key=lambda raga: raga.name)
        super().__init__([(raga.id, raga.name) for raga in known], things="ragas", **kwargs)

    def show(self, values: dict[str, Any]) -> None:
        among = values.get("among", [])
        self._phrases = values.get("phrases", {})
        self.tick(among if isinstance(among, list) else [])

    def send(self, keys: tuple[str, ...]) -> None:
        kept = {raga: lines for raga, lines in self._phrases.items() if raga in keys}
        asked = dict.fromkeys(CHOSEN) if keys else {}  # then each raga that is offered is asked
        self.change(among=list(keys) or None, phrases=kept or None, **asked)
