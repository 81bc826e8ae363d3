"""The form of one question of a deck: read again, and kept, with every change."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, ObjectProperty, StringProperty
from kivy.uix.widget import Widget

from audio.errors import AudioError
from practice import Practice, PracticeError
from quizzes.decks.deck import Deck
from quizzes.names import counted
from screens.edited import EditingScreen
from screens.editing import Editing
from screens.form_cue import CuePart
from screens.form_parts import FormPart, told
from screens.forms import name_of_kind, parts_for
from screens.hearing import hear
from screens.look import load_kv
from screens.sargam_field import SargamField
from screens.sargam_pad import SargamPad

BringIn = Callable[[Callable[[Path], None]], None]
"""Lets a sound file be chosen and hands its path on."""


class QuestionScreen(EditingScreen):
    """`on_preview` is told the deck to show and the skill to ask; `on_close` leads back."""

    title = StringProperty("")
    kind_words = StringProperty("")
    state = StringProperty("")
    """Whether something is wrong with the question, or that it is kept."""
    is_well = BooleanProperty(True)
    writing = ObjectProperty(None, allownone=True)
    """The field of sargam that is written in, if any: then its keypad is on view."""

    def __init__(
        self,
        practice: Practice,
        *,
        on_close: Callable[[], None],
        on_preview: Callable[[Deck, str], None],
        on_bring_in: BringIn,
        **kwargs: Any,
    ) -> None:
        self.practice = practice
        self._on_close, self._on_preview, self._on_bring_in = on_close, on_preview, on_bring_in
        self._parts: list[FormPart] = []
        self._kind = ""
        self.at = 0
        super().__init__(**kwargs)
        self._foot = self.ids.foot.__self__
        self.pad = SargamPad()
        self.pad.bind(on_hear=lambda _: self.hear_written(), on_done=lambda _: self.put_pad_away())
        self.bind(height=self.pad.setter("window_px"))
        self.pad.bind(height=lambda *_: self._see_field())

    # What is edited.

    def edit(self, editing: Editing, at: int) -> None:
        """Show the question at this place of a deck."""
        self.at, self._kind = at, ""
        self.watch(editing)
        self.ids.roll.to_top()

    @property
    def entry(self) -> dict[str, Any]:
        """The question as it stands."""
        return dict(self.editing.entries[self.at])

    def show(self) -> None:
        """Bring the question on view as it stands."""
        editing = self.editing
        if self.at >= len(editing.entries):  # it was added, and that was undone
            self.back()
            return
        entry = self.entry
        self.title = f"Question {self.at + 1} of {len(editing.entries)}"
        if self._kind != entry.get("kind"):
            self._make(str(entry.get("kind", "")))
        for part in self._parts:
            part.show(entry)
        self._tell()

    def _make(self, kind: str) -> None:
        self._kind, self.kind_words = kind, name_of_kind(kind)
        self._parts = parts_for(kind, self.practice)
        self.ids.parts.clear_widgets()
        for part in self._parts:
            part.bind(on_change=lambda _, values: self.put(values))
            if isinstance(part, CuePart):
                part.bind(on_hear=lambda _, values: self.hear(values))
                part.bind(on_bring_in=lambda _: self._on_bring_in(self.bring_in))
            elif part.is_event_type("on_hear"):
                part.bind(on_hear=lambda _, text: self.hear_line(text))
            self.ids.parts.add_widget(part)

    def _tell(self) -> None:
        """Each fault at its field; what belongs to none at the head."""
        faults = [told(fault) for fault in self.editing.faults_of(self.at)]
        homeless = [f for f in faults if not any(f.field in part.fields for part in self._parts)]
        for part in self._parts:
            part.tell([fault for fault in faults if fault.field in part.fields])
        self.is_well = not faults
        several = counted(len(faults), "thing")
        left = f"{several[:1].upper()}{several[1:]} still to mend." if faults else "Kept."
        self.state = "\n".join([left, *(f"{f.field}: {f.words}" for f in homeless)])
        self.ids.preview.disabled = not self.is_well

    def put(self, values: dict[str, Any]) -> None:
        """Change fields of the question."""
        self.editing.put(self.at, **values)

    # Hearing.

    def hear(self, values: dict[str, Any]) -> None:
        """Play a cue, given by its fields."""
        self.trouble = hear(self.practice, {**self.editing.head, **values})

    def hear_line(self, text: str) -> None:
        """Play a line as an answer would sound: in the ways of the question's cue."""
        ways = {k: v for k, v in self.entry.items() if k in ("tempo", "tuning", "voice", "drone")}
        self.hear({**ways, "sargam": text})

    def hear_written(self) -> None:
        """Play what stands in the field that the keypad writes into."""
        if self.writing is not None and self.writing.text.strip() and not self.writing.fault:
            self.hear_line(self.writing.text)

    def bring_in(self, path: Path) -> None:
        """Take a sound file among the recordings and let the question sound it."""
        try:
            self.put({"recording": self.practice.shelf.bring_in(path)})
        except (AudioError, PracticeError, OSError) as error:
            self.trouble = str(error)

    def preview(self) -> None:
        """Ask the question as a student will see it."""
        found = self.editing.to_preview(self.at)
        if found is not None:
            self.practice.speaker.stop()
            self._on_preview(*found)

    # The keypad.

    def write_in(self, field: SargamField, *, focus: bool) -> None:
        """A field of sargam has the cursor now, or has lost it."""
        if focus:
            self.writing = field
        elif field is self.writing:
            self.writing = None

    def on_writing(self, *_: Any) -> None:
        """The keypad stands in place of what is else at the foot."""
        low = self.ids.low
        low.clear_widgets()
        low.add_widget(self._foot if self.writing is None else self.pad)
        self.pad.field = self.writing
        self._see_field()

    def _see_field(self) -> None:
        """What is written in is on view above the keypad, once that has its height."""
        if self.writing is not None:
            Clock.schedule_once(lambda _: self._roll_to_field(), 0)

    def _roll_to_field(self) -> None:
        if self.writing is not None:
            self.ids.roll.scroll_to(self.writing, padding=24, animate=False)

    def keeps_cursor(self, touch: Any) -> bool:
        return self.writing is not None and bool(self.pad.collide_point(*touch.pos))

    def put_pad_away(self) -> None:
        """The line is done."""
        if self.writing is not None:
            self.writing.focus = False

    def on_leave(self, *_: Any) -> None:
        """Nothing is written any more; fall silent."""
        super().on_leave()
        self.put_pad_away()
        self.practice.speaker.stop()

    def back(self) -> None:
        self._on_close()

    def main_thing(self) -> Widget | None:
        return self.ids.preview


load_kv("question")
