"""Lists to tick, which can be searched: the skills of a kind, and what alone is offered."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from kivy.clock import Clock
from kivy.properties import StringProperty

from quizzes.decks.limits import MOST_BESIDE_AMONG
from quizzes.decks.narrowed import CHOSEN
from quizzes.decks.narrowing import PHRASES, answers_of
from quizzes.met_in_order import met_in
from quizzes.ragas import ragas
from screens.controls import Field, PlateRow
from screens.form_parts import FoldedPart, FormPart
from screens.narrowed_words import read_narrowed
from screens.widgets import ChosenPlate, Column, Plate, Words
from words import say, say_many, to_say

MANY_ASKED = to_say("As Kaan offers it. To choose, tick at most {most} of what is asked.")
LOOKING = to_say("Looking for what can be answered.")
AS_KAAN = to_say("As Kaan offers it.")
SEARCH_ANSWERS, SEARCH_SKILLS = to_say("Search {many} answers"), to_say("Search {many} skills")
SEARCH_RAGAS = to_say("Search {many} ragas")
SHOWN = 20
"""So many are on view at a time; a search brings the others."""


def beyond_words(more: int) -> str:
    """What is said where so many more are found than are on view."""
    return say("{number} more: search for a part of their name.", number=more)


class TickPlate(ChosenPlate):
    """One of them, with its tick."""

    key = StringProperty("")


class Ticks(Column):
    """`options` are (id, name) pairs; `search` stands in the field that looks for one, and is to be
    said with how `many` there are; `on_send` is told which of them are to be ticked."""

    def __init__(
        self,
        options: Sequence[tuple[str, str]],
        search: str,
        *,
        on_send: Callable[[tuple[str, ...]], None],
        **kwargs: Any,
    ) -> None:
        super().__init__(**kwargs)
        self.options = tuple(options)
        self._on_send = on_send
        self._searched = [(key, f"{name} {key}".casefold()) for key, name in self.options]
        self.ticked: tuple[str, ...] = ()
        self.found: list[str] = []
        self.search = Field(hint_text=say(search, many=len(self.options)))
        self.search.bind(text=self._list)
        self.said = Words(role="small", tone="soft")
        self.all, self.none = Plate(text=say("Tick these")), Plate(text=say("Untick these"))
        self.all.bind(on_release=lambda _: self._turn(self.found, on=True))
        self.none.bind(on_release=lambda _: self._turn(self.found, on=False))
        both = PlateRow()
        both.add_widget(self.all)
        both.add_widget(self.none)
        self.plates = Column(spacing=self.spacing)
        self.beyond = Words(role="small", tone="faint")
        for each in (self.search, self.said, both, self.plates, self.beyond):
            self.add_widget(each)

    def _find(self) -> list[str]:
        """Ids of what is searched for; where nothing is, all, what is ticked first."""
        words = self.search.text.casefold().split()
        found = [key for key, text in self._searched if all(word in text for word in words)]
        if not words:
            return sorted(found, key=lambda key: key not in self.ticked)
        names = dict(self.options)
        return sorted(found, key=lambda key: len(names[key]))  # the nearest to what was written

    def _list(self, *_: Any) -> None:
        """Bring on view what is searched for; it stays where it is while it is ticked."""
        self.found, names = self._find(), dict(self.options)
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
        self.beyond.text = beyond_words(more) if more else ""
        if not self.found:
            self.beyond.text = say("Nothing is called so.")
        self._mark()

    def _mark(self) -> None:
        for plate in self.plates.children:
            plate.chosen = plate.key in self.ticked
        self.said.text = say(
            "{count} of {many} ticked.", count=len(self.ticked), many=len(self.options)
        )
        self.all.disabled = all(key in self.ticked for key in self.found)
        self.none.disabled = not any(key in self.ticked for key in self.found)

    def _turn(self, keys: Sequence[str], *, on: bool) -> None:
        wanted = set(self.ticked) | set(keys) if on else set(self.ticked) - set(keys)
        self._on_send(tuple(key for key, _ in self.options if key in wanted))

    def tick(self, keys: Sequence[str]) -> None:
        """Show that these are ticked."""
        self.ticked = tuple(keys)
        if self.found:
            self._mark()
        else:
            self._list()


class TicksPart(FormPart):
    """A list to tick; a subclass says in `send` what a tick changes."""

    def __init__(self, options: Sequence[tuple[str, str]], search: str, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.ticks = Ticks(options, search, on_send=self.send)
        self.put_in(self.ticks)

    def send(self, keys: tuple[str, ...]) -> None:
        """The user wants these ticked."""


class AnswersPart(FoldedPart):
    """Which answers of a kind alone are offered, of those that what is asked may have."""

    fields = ("among",)
    wanted = to_say("Choose what is offered")

    def __init__(self, kind: str, tradition: str, **kwargs: Any) -> None:
        super().__init__(title=say("What is offered"), **kwargs)
        self._kind, self._tradition = kind, tradition
        self._asked: tuple[str, ...] = ()
        self._answers: dict[str, dict[str, str]] = {}
        """By what is asked, answers by their ids."""
        self._ticks: Ticks | None = None
        self.beyond = Words(role="small", tone="soft")
        self.inside = (self.beyond,)
        self._looking = Clock.create_trigger(lambda _: self._look(), 0)

    def show(self, values: dict[str, Any]) -> None:
        self._among = _named(values.get("among"))
        self._asked = read_narrowed(values, self._kind, self._tradition).skills
        self.plate.disabled = len(self._asked) > MOST_BESIDE_AMONG and not self._among
        if self.plate.disabled:
            self.open = False
            self.hint = say(MANY_ASKED, most=MOST_BESIDE_AMONG)
        else:
            self.hint = (
                say_many("{count} answers alone.", "{count} answers alone.", len(self._among))
                if self._among
                else say(AS_KAAN)
            )
        if self._among and self._ticks is None:
            self.open = True
        elif self.open:
            self._list()

    def on_open(self, *args: Any) -> None:
        if self.open:
            self._list()
        super().on_open(*args)

    def _list(self) -> None:
        """Lay out what can be offered, if it is not laid out yet, with its ticks; what is not known
        yet is looked for first."""
        if self._unknown():
            self.beyond.text = say(LOOKING)
            self._looking()
            return
        self.beyond.text = ""
        options = self._options()
        if self._ticks is None or self._ticks.options != options:
            self._ticks = Ticks(options, SEARCH_ANSWERS, on_send=self._send)
            self.inside = (self.beyond, self._ticks)
            if self.open:
                super().on_open()
        self._ticks.tick(self._among)

    def _unknown(self) -> list[str]:
        return [each for each in self._asked[:MOST_BESIDE_AMONG] if each not in self._answers]

    def _look(self) -> None:
        """One in each frame: some take a tablet a while."""
        for skill in self._unknown()[:1]:
            choices = answers_of(skill, self._tradition)
            self._answers[skill] = {choice.id: choice.label for choice in choices}
        if self.open:
            self._list()

    def _options(self) -> tuple[tuple[str, str], ...]:
        """Answers by their ids, in the order in which they are met; what a file names besides is
        there to be unticked."""
        found: dict[str, str] = {}
        for skill in self._asked[:MOST_BESIDE_AMONG]:
            found |= {key: name for key, name in self._answers[skill].items() if key not in found}
        return (*found.items(), *((one, one) for one in self._among if one not in found))

    def _send(self, keys: tuple[str, ...]) -> None:
        self.change(among=list(keys) or None)


class SkillsPart(TicksPart):
    """Which skills of a kind are asked; all of them where nothing says otherwise."""

    fields = (*CHOSEN, "question")

    def __init__(self, kind: str, tradition: str, **kwargs: Any) -> None:
        self._kind, self._tradition = kind, tradition
        skills = met_in(tradition).of_kind(kind)
        super().__init__([(each.id, each.name) for each in skills], SEARCH_SKILLS, **kwargs)

    def show(self, values: dict[str, Any]) -> None:
        if self._kind == PHRASES and {"among", "phrases"} & values.keys():
            self.hint = (
                say("Each raga that has a phrase.")
                if "phrases" in values
                else say("Each raga that is offered.")
            )
            self.ids.inner.clear_widgets()
            return
        self.hint = say("Tick what this deck asks.")
        if not self.ids.inner.children:
            self.put_in(self.ticks)
        self.ticks.tick(read_narrowed(values, self._kind, self._tradition).skills)

    def send(self, keys: tuple[str, ...]) -> None:
        listed = None if len(keys) == len(self.ticks.options) else list(keys)
        self.change(**{**dict.fromkeys(CHOSEN), "skills": listed})


class AmongPart(TicksPart):
    """Which ragas alone are offered."""

    fields = ("among",)

    def __init__(self, tradition: str, **kwargs: Any) -> None:
        known = sorted((say(raga.name), raga.id) for raga in ragas(tradition).values())
        super().__init__([(id, name) for name, id in known], SEARCH_RAGAS, **kwargs)

    def show(self, values: dict[str, Any]) -> None:
        phrases = values.get("phrases")
        self._phrases = phrases if isinstance(phrases, dict) else {}
        self.ticks.tick(_named(values.get("among")))

    def send(self, keys: tuple[str, ...]) -> None:
        kept = {raga: lines for raga, lines in self._phrases.items() if raga in keys}
        asked = dict.fromkeys(CHOSEN) if keys else {}  # then each raga that is offered is asked
        self.change(among=list(keys) or None, phrases=kept or None, **asked)


def _named(value: Any) -> list[str]:
    """The texts that a field of a file lists."""
    return [one for one in value if isinstance(one, str)] if isinstance(value, list) else []
