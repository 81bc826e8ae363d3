"""What sounds with a question: a line of sargam, a recording, a theka, or nothing."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Any

from kivy.properties import StringProperty

from audio.errors import AudioError
from quizzes.decks.heard import SOUNDS, USUAL
from quizzes.decks.limits import MOST_CYCLES, TEMPOS
from screens.controls import OptionRow, Stepper
from screens.fault_words import LACKING, Told, words_of
from screens.form_parts import FormPart, NumberPart, Picked, SargamLine, said
from screens.look import load_kv
from screens.widgets import Column
from words import say, say_many, to_say

SOURCES = (
    ("silence", to_say("Nothing")),
    ("sargam", to_say("Sargam")),
    ("recording", to_say("A recording")),
    ("theka", to_say("A theka")),
)
DRONES = (
    (None, to_say("As usual")),
    ("Sa-Pa", to_say("Sa and Pa")),
    ("Sa-Ma", to_say("Sa and Ma")),
    ("Sa-Ni", to_say("Sa and Ni")),
    ("none", to_say("None")),
)
"""To be said."""
STEPS = (0, 30, 36, 40, 46, 50, 56, 60, 66, 72, 80, 90, 100, 112, 126, 144, 160, 184, 208, 240, 320)
"""Tempos in matras a minute; 0 leaves it to Kaan."""


HASHED = 16
"""So many letters at the end of a recording's name keep it apart from others."""


class RecordingLine(Column):
    """A recording by its name, a plate that plays it, and one that chooses another."""

    __events__ = ("on_choose", "on_hear")

    name = StringProperty("")
    """Its file's."""
    called = StringProperty("")
    """What it was called when it was brought in, and how long it lasts."""

    def on_choose(self) -> None:
        """A sound file is to be chosen."""

    def on_hear(self) -> None:
        """It is to be played."""


class CuePart(FormPart):
    """`on_bring_in` is sent when a recording is to be chosen, `on_hear` with the fields of the cue
    that is to be played."""

    __events__ = ("on_bring_in", "on_hear")
    fields: tuple[str, ...] = (*SOUNDS, "cycles", *USUAL)

    def __init__(
        self,
        talas: Sequence[tuple[str, str]],
        lasts: Callable[[str], float],
        *,
        only: str = "",
        **kwargs: Any,
    ) -> None:
        """`only` is the one sort of sound that is to be given, where there is one."""
        super().__init__(title=say("What sounds"), **kwargs)
        self._lasts, self._only = lasts, only
        self._source, self._values = only or "silence", dict[str, Any]()
        if only:
            self.fields = (only, *USUAL)
        self.sources = OptionRow(options=said(SOURCES))
        self.sources.bind(on_choose=lambda _, source: self._turn_to(source))
        self.line = SargamLine()
        self.line.bind(
            on_write=lambda _, text: self.change(sargam=text or None),
            on_hear=lambda *_: self._hear(),
        )
        self.recording = RecordingLine()
        self.recording.bind(
            on_choose=lambda _: self.dispatch("on_bring_in"), on_hear=lambda _: self._hear()
        )
        self.theka = ThekaLine(options=talas)
        self.theka.bind(
            on_put=lambda _, values: self.change(**values), on_hear=lambda _: self._hear()
        )
        self.tempo = NumberPart("tempo", steps=[s for s in STEPS if not s or s <= TEMPOS[1]])
        self.tempo.title, self.tempo.role = say("Tempo"), "body"
        self.tempo.bind(on_change=lambda _, values: self.change(**values))
        self.drone = OptionRow(options=said(DRONES))
        self.drone.bind(on_choose=lambda _, value: self.change(drone=value))
        self.drones = FormPart(title=say("Drone"), role="body")
        self.drones.put_in(self.drone)
        self._lay_out()

    def _turn_to(self, source: str) -> None:
        """Let another sort of sound be given; what was given is taken out."""
        self._source = source
        self._lay_out()
        gone = {"sargam", "recording", "theka", "cycles"} - {source}
        if source in ("silence", "recording"):
            gone |= {"tempo"}
        if source == "theka":
            gone -= {"cycles"}
        self.change(**dict.fromkeys(field for field in gone if field in self._values))

    def _lay_out(self) -> None:
        self.sources.value = self._source
        given = {
            "sargam": (self.line, self.tempo, self.drones),
            "recording": (self.recording, self.drones),
            "theka": (self.theka, self.tempo, self.drones),
        }.get(self._source, (self.drones,))
        laid = given if self._only else (self.sources, *given)
        inner = self.ids.inner
        if inner.children[::-1] != [*laid]:
            inner.clear_widgets()
            self.put_in(*laid)

    def show(self, values: dict[str, Any]) -> None:
        self._values = values
        held = next((s for s in ("sargam", "recording", "theka") if s in values), None)
        if held and not self._only:
            self._source = held
        self._lay_out()
        self.line.show(str(values.get("sargam", "")))
        name = str(values.get("recording", ""))
        if name != self.recording.name:
            self.recording.name, self.recording.called = name, self._called(name)
        self.theka.show(values)
        self.tempo.show(values)
        self.drone.value = values.get("drone")

    def _called(self, name: str) -> str:
        """`our phrase, 7 seconds`."""
        called = re.sub(f"-[0-9a-f]{{{HASHED}}}\\.wav$", "", name)
        try:
            return say("{name}, {seconds:.0f} seconds", name=called, seconds=self._lasts(name))
        except (KeyError, AudioError, OSError):
            return called

    def tell(self, faults: Sequence[Told]) -> None:
        shown = {"sargam": self._source == "sargam"}
        self.line.told_of = words_of([f for f in faults if f.field == "sargam"])
        super().tell([f for f in faults if not shown.get(f.field)])
        self.fault = self.fault or self.lacking

    @property
    def lacking(self) -> str:
        if self._only or self._values.get(self._source):  # what is needed is told as missing
            return ""
        return say(LACKING[self._source]) if self._source in LACKING else ""

    def _hear(self) -> None:
        self.dispatch("on_hear", {k: v for k, v in self._values.items() if k in self.fields})

    def on_bring_in(self) -> None:
        """A recording is to be chosen."""

    def on_hear(self, values: dict[str, Any]) -> None:
        """The cue is to be played."""


class ThekaLine(Column):
    """A tala, how many cycles of it, and a plate that plays them."""

    __events__ = ("on_put", "on_hear")

    def __init__(self, options: Sequence[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        picked: Picked = self.ids.picked
        picked.options = list(options)
        picked.bind(on_choose=lambda _, tala: self.dispatch("on_put", {"theka": tala}))
        cycles: Stepper = self.ids.cycles
        cycles.steps = list(range(1, MOST_CYCLES + 1))
        cycles.bind(on_choose=lambda _, count: self._count(int(count)))

    def _count(self, cycles: int) -> None:
        self._say(cycles)
        self.dispatch("on_put", {"cycles": cycles if cycles > 1 else None})

    def _say(self, cycles: float) -> None:
        self.ids.cycles.words = say_many("{count} cycle", "{count} cycles", round(cycles))

    def show(self, values: dict[str, Any]) -> None:
        """Bring a cue on view."""
        self.ids.picked.value = values.get("theka")
        self.ids.picked.nothing = str(values.get("theka") or say("Choose a tala"))
        cycles = values.get("cycles", 1)
        self.ids.cycles.value = cycles if type(cycles) in (int, float) else 1
        self._say(self.ids.cycles.value)

    def on_put(self, values: dict[str, Any]) -> None:
        """Tala or cycles were chosen."""

    def on_hear(self) -> None:
        """It is to be played."""


load_kv("form_cue")
