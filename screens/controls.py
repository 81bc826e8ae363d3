"""Settings' own things: one of several, more or less, a slide along a string, a field."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.clock import Clock
from kivy.core.text import Label as CoreLabel
from kivy.metrics import dp
from kivy.properties import (
    BooleanProperty,
    ListProperty,
    NumericProperty,
    ObjectProperty,
    StringProperty,
)
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout
from kivy.uix.textinput import TextInput
from kivy.uix.widget import Widget

from screens import theme
from screens.grid import evenly, fitting
from screens.key_words import LEFT_RIGHT, Said, choice_keys
from screens.look import load_kv, look, text_px
from screens.widgets import ChosenPlate
from words import say


class OptionRow(GridLayout):
    """One of several values: plates in as many columns as their words leave room for.

    `options` holds (value, words) pairs; `value` is the one chosen. `on_choose` is sent, with the
    value, when the user chooses, not when the program sets `value`.
    """

    __events__ = ("on_choose",)

    is_choice = True
    """Tab comes to it as one thing."""
    options = ListProperty()
    value = ObjectProperty(None, allownone=True)
    closed = ListProperty()
    """Values that are shown but not to be had."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._make()
        self.bind(options=self._make, closed=self._make, value=self._show, width=self._fit)
        look.bind(scale=self._fit)

    def _make(self, *_: Any) -> None:
        self.clear_widgets()
        for value, words in self.options:
            plate = ChosenPlate(text=words, disabled=value in self.closed)
            plate.value = value
            plate.bind(on_release=self._choose)
            plate.bind(texture_size=self._fit)
            self.add_widget(plate)
        self._show()
        self._fit()

    def _fit(self, *_: Any) -> None:
        if not self.children:
            return
        scale, gap = look.scale, self.spacing[0]
        letters = max(len(plate.text) for plate in self.children) * dp(9.6) * scale
        drawn = max(text_px(plate.text, theme.SANS, plate.type_sp) for plate in self.children)
        widest = max(letters, drawn) + dp(36)
        fitting = int((self.width + gap) // (widest + gap))
        self.cols = evenly(len(self.children), fitting)

    def _show(self, *_: Any) -> None:
        for plate in self.children:
            plate.chosen = plate.value == self.value

    def keys_said(self) -> Sequence[Said]:
        """What keys do in it."""
        return choice_keys()

    def _choose(self, plate: ChosenPlate) -> None:
        self.value = plate.value
        self.dispatch("on_choose", plate.value)

    def on_choose(self, value: Any) -> None:
        """A value was chosen by the user."""


class PlateRow(GridLayout):
    """Plates side by side, in as many columns as their words leave room for."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._arrange = Clock.create_trigger(self._fit, -1)
        for name in ("width", "children"):
            self.fbind(name, self._changed)
        look.bind(scale=self._changed)

    def add_widget(self, widget: Any, *args: Any, **kwargs: Any) -> None:
        super().add_widget(widget, *args, **kwargs)
        widget.fbind("text", self._changed)

    def _changed(self, *_: Any) -> None:
        self._arrange()

    def _fit(self, *_: Any) -> None:
        if self.children:
            words = (text_px(plate.text, plate.font_name, plate.type_sp) for plate in self.children)
            broad = max(words) + dp(36)
            most = fitting(self.width, broad, self.spacing[0])
            self.cols = evenly(len(self.children), most)


class EditBar(BoxLayout):
    """The last row of a screen on which something is edited: back, undo and redo."""

    __events__ = ("on_back", "on_undo", "on_redo")

    can_undo = BooleanProperty(False)
    can_redo = BooleanProperty(False)

    def on_back(self) -> None:
        """To where one came from."""

    def on_undo(self) -> None:
        """The last change is to be taken back."""

    def on_redo(self) -> None:
        """It is to be made again."""


class Stepper(BoxLayout):
    """A number with less and more beside it; `on_choose` is sent when the user changes it."""

    __events__ = ("on_choose",)

    steps: Sequence[float] = ListProperty([5, 10, 15, 20, 30])
    value = NumericProperty(15)
    unit = StringProperty("minutes")
    words = StringProperty("")
    """What is shown instead of the number and its unit."""

    def move(self, way: int) -> None:
        """To the next step in `steps` above (1) or below (-1)."""
        further = [s for s in self.steps if (s > self.value if way > 0 else s < self.value)]
        if further:
            self.value = min(further) if way > 0 else max(further)
            self.dispatch("on_choose", self.value)

    def on_choose(self, value: float) -> None:
        """A number was chosen by the user."""


class Slide(Widget):
    """A value along a string: drag the bead, touch a place, or use the arrow keys.

    `on_choose` is sent, with the value, when the bead is let go or moved by a key.
    """

    __events__ = ("on_choose",)

    least = NumericProperty(0.0)
    most = NumericProperty(1.0)
    value = NumericProperty(0.0)
    step = NumericProperty(0.1)
    can_focus = BooleanProperty(True)
    focused = BooleanProperty(False)
    touched = BooleanProperty(False)

    @staticmethod
    def part_of(value: float, least: float, most: float) -> float:
        """Where the bead stands, from 0 to 1; the kv file passes what it is to watch."""
        return (min(max(value, least), most) - least) / (most - least) if most > least else 0.0

    def _take(self, x: float) -> None:
        room = max(1.0, self.width - dp(2 * theme.INSIDE))
        part = min(1.0, max(0.0, (x - self.x - dp(theme.INSIDE)) / room))
        self._set(self.least + part * (self.most - self.least))

    def _set(self, value: float) -> None:
        steps = round((value - self.least) / self.step)
        self.value = min(self.most, max(self.least, self.least + steps * self.step))

    def on_touch_down(self, touch: Any) -> bool:
        if self.disabled or touch.is_mouse_scrolling or not self.collide_point(*touch.pos):
            return bool(super().on_touch_down(touch))
        touch.grab(self)
        self.touched = True
        self._take(touch.x)
        return True

    def on_touch_move(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return bool(super().on_touch_move(touch))
        self._take(touch.x)
        return True

    def on_touch_up(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return bool(super().on_touch_up(touch))
        touch.ungrab(self)
        self.touched = False
        self.dispatch("on_choose", self.value)
        return True

    def take_key(self, name: str) -> bool:
        """Left and right move the bead by one step."""
        if name not in ("left", "right"):
            return False
        self._set(self.value + (self.step if name == "right" else -self.step))
        self.dispatch("on_choose", self.value)
        return True

    def keys_said(self) -> Sequence[Said]:
        """What keys do while it is focused."""
        return ((say(LEFT_RIGHT), say("Move the bead of a slide")),)

    def press(self) -> None:
        """Enter does nothing to a slide."""

    def on_choose(self, value: float) -> None:
        """The bead was let go at a value."""


class Written(TextInput):
    """What can be written in. Tab leaves it."""

    can_focus = BooleanProperty(True)
    focused = BooleanProperty(False)
    script = StringProperty("Latn")
    """In which script it is shaped; kivy's own fields know none."""

    def _get_line_options(self) -> Any:
        is_new = self._line_options is None
        options = super()._get_line_options()
        if is_new:
            options["font_script_name"] = self.script
            self._label_cached = CoreLabel(**options)  # what measures its lines
        return options


class Field(Written):
    """One line to write in. Enter accepts it."""

    hidden = BooleanProperty(False)
    """Hidden, it takes no room."""


class Lines(Written):
    """A text in as many lines as it needs; Enter ends it.

    `on_write` is sent, with the text, when the user changes it, not when the program shows one.
    """

    __events__ = ("on_write",)

    text: str
    begun = StringProperty("")
    """A text that is marked when it is touched, so that what is written takes its place."""

    def __init__(self, **kwargs: Any) -> None:
        self._shown, self._to_mark = "", False
        super().__init__(**kwargs)
        self._shown = self.text

    def show(self, text: str) -> None:
        """Bring this text on view."""
        if text != self.text:
            self._shown = text
            self.text = text

    def on_text(self, _: Any, text: str) -> None:
        if text != self._shown:
            self._shown = text
            self.dispatch("on_write", text)

    def insert_text(self, substring: str, from_undo: bool = False) -> None:
        """What is written or pasted; a line never breaks but where it is full."""
        if substring == "\n":
            self.focus = False
            self.dispatch("on_text_validate")
            return
        super().insert_text(" ".join(substring.splitlines()) or substring, from_undo)

    def on_focus(self, _: Any, focus: bool) -> None:
        """What it begins with is marked: now, or once the touch is over that gave the cursor."""
        self._to_mark = focus and bool(self.begun) and self.text == self.begun
        if self._to_mark:
            Clock.schedule_once(lambda _: self._mark_begun(), 0)

    def on_touch_up(self, touch: Any) -> bool:
        used = bool(super().on_touch_up(touch))
        self._mark_begun()
        return used

    def _mark_begun(self) -> None:
        if self._to_mark and self._selection_touch is None:
            self._to_mark = False
            self.select_all()

    def on_write(self, text: str) -> None:
        """The user has changed the text."""


load_kv("controls")
