"""Choosing how to practise: the modes in a row, and a screen for which kind or part it is to be."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, ListProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.stacklayout import StackLayout
from kivy.uix.widget import Widget

from practice import Mode, ModeChoice, Practice, Which
from screens import theme
from screens.key_words import Said, choice_keys
from screens.keys import KaanScreen
from screens.look import load_kv
from screens.widgets import QuietPlate, Touchable

AT_A_TIME = 12
"""So many of a long list are made in one frame, so that no frame takes long."""


class ModePlate(QuietPlate):
    """One mode: brass words; the one chosen has an edge round it."""

    mode = StringProperty("")
    chosen = BooleanProperty(False)

    def on_chosen(self, *_: Any) -> None:
        self._repaint()

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        if self.chosen and not self.disabled and self.state != "down":
            return theme.RAISED, theme.BRASS, theme.INK
        return super().paint()


class ModeRow(StackLayout):
    """The modes side by side, in as many lines as they need.

    `on_choose` is sent with the mode's id when the user touches one, the one chosen as well.
    """

    __events__ = ("on_choose",)

    is_choice = True
    """Tab comes to it as one thing."""
    chosen = StringProperty("day")

    def keys_said(self) -> Sequence[Said]:
        """What keys do in it."""
        return choice_keys()

    def offer(self, choices: Sequence[ModeChoice]) -> None:
        """Show these; one that cannot be had, for another reason than that something is to be said
        first, is off."""
        if [plate.mode for plate in self.children[::-1]] != [choice.id for choice in choices]:
            self.clear_widgets()
            for choice in choices:
                plate = ModePlate(text=choice.name, mode=choice.id)
                plate.bind(on_release=lambda plate: self.dispatch("on_choose", plate.mode))
                self.add_widget(plate)
        for plate, choice in zip(self.children[::-1], choices, strict=True):
            plate.disabled = choice.why_not is not None and not choice.first
        self.on_chosen()

    def on_chosen(self, *_: Any) -> None:
        for plate in self.children:
            plate.chosen = plate.mode == self.chosen

    def on_choose(self, mode: str) -> None:
        """A mode was touched."""


class WhichPlate(Touchable, BoxLayout):
    """One kind, or one part of the course, with a line about it."""

    which = StringProperty("")
    text = StringProperty("")
    about = StringProperty("")
    chosen = BooleanProperty(False)

    def on_chosen(self, *_: Any) -> None:
        self._repaint()

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        if self.chosen and self.state != "down":
            return theme.RAISED, theme.BRASS_TOUCHED, theme.INK
        return super().paint()


class WhichScreen(KaanScreen):
    """Which kind, or which part of the course, is to be practised alone.

    `on_choose` is told the mode that was chosen; `on_close` is called to go back without one.
    """

    title = StringProperty("")
    hint = StringProperty("")
    chosen = StringProperty("")
    waiting = ListProperty()
    """What is not yet in the list."""

    def __init__(
        self,
        practice: Practice,
        mode: str,
        *,
        on_choose: Callable[[Mode], None],
        on_close: Callable[[], None],
        **kwargs: Any,
    ) -> None:
        self.practice, self.mode = practice, mode
        self._on_choose, self._on_close = on_choose, on_close
        super().__init__(**kwargs)
        self._filling = Clock.create_trigger(self._fill, 0)

    def choose_from(self, chosen: str) -> None:
        """List all afresh, with `chosen` marked, and roll to it."""
        modes, plates = self.practice.modes(), self.ids.plates
        choice = modes.choice(self.mode)
        self.title, self.hint = choice.name, choice.about
        self.chosen = chosen
        plates.clear_widgets()
        self.waiting = list(modes.which(self.mode))
        self.ids.roll.scroll_y = 1.0
        self._fill()

    def _fill(self, *_: Any) -> None:
        """The next few; the rest in the frames that follow."""
        now, later = self.waiting[:AT_A_TIME], self.waiting[AT_A_TIME:]
        for which in now:
            self.ids.plates.add_widget(self._plate(which))
        self.waiting = later
        if later:
            self._filling()
        else:
            Clock.schedule_once(self._roll_to_chosen, 0)

    def _plate(self, which: Which) -> WhichPlate:
        plate = WhichPlate(
            which=which.id,
            text=which.name,
            about=which.about,
            chosen=which.id == self.chosen,
        )
        plate.bind(on_release=lambda plate: self._on_choose(Mode(self.mode, plate.which)))
        return plate

    def _roll_to_chosen(self, *_: Any) -> None:
        chosen = next((plate for plate in self.ids.plates.children if plate.chosen), None)
        if chosen is not None:
            self.ids.roll.scroll_to(chosen, animate=False)

    def on_leave(self, *_: Any) -> None:
        """Let go of what was listed."""
        self._filling.cancel()
        self.waiting = []
        self.ids.plates.clear_widgets()

    def back(self) -> None:
        self._on_close()

    def main_thing(self) -> Widget | None:
        return None


load_kv("modes")
