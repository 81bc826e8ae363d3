"""The form of one question of a deck: read again, and kept, with every change."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.widget import Widget

from audio.errors import AudioError
from practice import Practice, PracticeError
from quizzes.decks.deck import Deck
from screens.edited import EditingScreen
from screens.editing import Editing
from screens.fault_words import is_begun, left_of, told
from screens.form_cue import CuePart
from screens.form_parts import FormPart
from screens.forms import name_of_kind, parts_for
from screens.look import load_kv
from screens.padded import Padded
from screens.widgets import QuietPlate
from words import say, to_say

LEAVE_OUT = to_say("Leave out {field}")

BringIn = Callable[[Callable[[Path], None]], None]
"""Lets a sound file be chosen and hands its path on."""


class QuestionScreen(Padded, EditingScreen):
    """`on_preview` is told the deck to show and the skill to ask; `on_close` leads back."""

    title = StringProperty("")
    kind_words = StringProperty("")
    state = StringProperty("")
    """Whether something is wrong with the question, or that it is kept."""
    is_well = BooleanProperty(True)
    is_begun = BooleanProperty(False)
    """Whether nothing is wrong but that some of it is not written yet."""

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
        self.title = say(
            "Question {number} of {many}", number=self.at + 1, many=len(editing.entries)
        )
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
        found = self.editing.faults_of(self.at)
        faults = [told(fault) for fault in found]
        homeless = [f for f in faults if not any(f.field in part.fields for part in self._parts)]
        self._offer_to_leave_out([f.field for f in homeless if f.field in self.entry])
        for part in self._parts:
            part.tell([fault for fault in faults if fault.field in part.fields])
        lacking = sum(bool(part.lacking) for part in self._parts)
        self.is_well, self.is_begun = not faults and not lacking, is_begun(found)
        left = "" if self.editing.trouble else left_of(found, lacking) or say("Kept.")
        self.state = "\n".join([left, *(f"{f.field}: {f.words}" for f in homeless)])
        self.ids.preview.disabled = not self.is_well

    def _offer_to_leave_out(self, fields: Sequence[str]) -> None:
        """Fields that no part shows, as of a file written by hand, can only be taken out here."""
        stray = self.ids.stray
        if [plate.field for plate in stray.children[::-1]] == fields:
            return
        stray.clear_widgets()
        for field in fields:
            plate = QuietPlate(text=say(LEAVE_OUT, field=field))
            plate.field = field
            plate.bind(on_release=lambda _, field=field: self.put({field: None}))
            stray.add_widget(plate)

    def put(self, values: dict[str, Any]) -> None:
        """Change fields of the question."""
        self.editing.put(self.at, **values)

    # Hearing.

    def hear(self, values: dict[str, Any]) -> None:
        """Play a cue, given by its fields."""
        self.listen(values, self.editing.head)

    def hear_line(self, text: str) -> None:
        """Play a line as an answer would sound: in the ways of the question's cue."""
        ways = {k: v for k, v in self.entry.items() if k in ("tempo", "tuning", "voice", "drone")}
        self.hear({**ways, "sargam": text})

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
            self.hush()
            self._on_preview(*found)

    def on_leave(self, *_: Any) -> None:
        """Nothing is written any more; fall silent."""
        super().on_leave()
        self.put_pad_away()
        self.hush()

    def back(self) -> None:
        self._on_close()

    def main_thing(self) -> Widget | None:
        return self.ids.preview


load_kv("question")
