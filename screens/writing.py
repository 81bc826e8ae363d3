"""The answer pad for lines: places that fill from the left, and keys to fill them with.

Keys are touched, or written by the keyboard: numbers, letters where they are clear, Backspace. The
answer goes out only when it is sent, so that a line can be mended first.
"""

from __future__ import annotations

from typing import Any

from kivy.metrics import dp
from kivy.properties import (
    BooleanProperty,
    ListProperty,
    NumericProperty,
    ObjectProperty,
    OptionProperty,
    StringProperty,
)
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.label import Label

from quizzes.question import KEYS_APART, Choice, Question
from screens import theme
from screens.grid import columns_of, fitting
from screens.key_words import BACKSPACE, Said
from screens.keys import focus_on
from screens.look import load_kv, look, text_px, type_px
from screens.typed import OCTAVE_MARKS, are_swaras, keyboard, moved, signs
from screens.widgets import Touchable
from words import say

KEY_ROOM = 18
"""Beside a key's label, on either side, for the number that writes it; in dp."""
KEY_EDGE = 7
KEY_STYLES = (
    (theme.LEAD, True, True),
    (theme.BODY, True, True),
    (theme.BODY, False, True),
    (theme.BODY, False, False),
)
"""From roomy to dense: type, whether the label stands in the middle, whether it is one line."""
HIGHEST_KEY = 92
ROWS_APART = 6
"""Between places, in dp."""


class PlaceBox(Label):
    """One place of the line: written, the one to be written next, or open."""

    stage = OptionProperty("open", options=("open", "next", "written"))


class KeyPlate(Touchable, BoxLayout):
    """One key of the pad, with the number or letter that writes it from the keyboard."""

    key_id = StringProperty("")
    label = StringProperty("")
    sign = StringProperty("")
    pad = ObjectProperty(None)
    type_sp = NumericProperty(theme.LEAD)
    even = BooleanProperty(True)
    """Whether the label stands in the middle, with as much beside it as the sign takes."""

    def take_key(self, name: str) -> bool:
        """Up and down walk along the column of keys."""
        ways = {"up": 1, "down": -1}  # children stand in reverse
        if name not in ways or self.parent is None:
            return False
        keys = self.parent.children
        there = keys.index(self) + ways[name] * self.parent.cols
        if not 0 <= there < len(keys):
            return False
        focus_on(self.pad, keys[there])
        return True


class WritingPad(BoxLayout):
    """Writes `line`, a list of key ids; `on_answer` is sent with them, joined."""

    __events__ = ("on_answer",)

    line = ListProperty()
    live = BooleanProperty(True)
    """False while nothing can be written."""
    edge_px = NumericProperty(0.0)
    """Room all round its things, for the ring that shows where the keys stand."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._question: Question | None = None
        self._labels: dict[str, str] = {}
        self._rows_seen = 1
        self._typed: dict[str, str] = {}
        self._swaras: tuple[Choice, ...] = ()
        self.fbind("line", self._changed)
        self.fbind("live", self._changed)

    def on_kv_post(self, base_widget: Any) -> None:
        """Its parts are there: within another rule they are made after this widget itself."""
        look.bind(left_handed=self._set_tools)
        self._set_tools()

    def _changed(self, *_: Any) -> None:
        self._refresh()

    # What is asked.

    def ask(self, question: Question) -> None:
        """Offer the keys and places of a question, with nothing written."""
        self._question = question
        self._labels = {choice.id: choice.label for choice in question.choices}
        self._swaras = question.choices if are_swaras(question.choices) else ()
        self._typed, marked = keyboard(question.choices), signs(question.choices)
        keys, places = self.ids.grid, self.ids.places
        keys.clear_widgets()
        places.clear_widgets()
        for choice in question.choices:
            sign = marked.get(choice.id, "")
            plate = KeyPlate(pad=self, key_id=choice.id, label=choice.label, sign=sign)
            plate.bind(on_release=lambda plate: self.write(plate.key_id))
            keys.add_widget(plate)
        for _ in range(question.places):
            places.add_widget(PlaceBox())
        self.ids.keys_roll.scroll_y = 1.0
        self.line = []
        self._refresh()

    @property
    def full(self) -> bool:
        """Whether no place is left."""
        return self._question is None or len(self.line) >= self._question.places

    @property
    def enough(self) -> bool:
        """Whether the line could be sent."""
        return self._question is not None and len(self.line) >= self._question.fewest

    # Writing.

    def write(self, key: str) -> None:
        """Put a key into the next place, where one is left."""
        if self.live and not self.full and key in self._labels:
            self.line = [*self.line, key]

    def take_back(self) -> None:
        """Empty the place written last."""
        if self.live:
            self.line = self.line[:-1]

    def clear(self) -> None:
        """Empty all places."""
        if self.live:
            self.line = []

    def answer(self) -> None:
        """Send what is written, once it is long enough."""
        if self.live and self.enough:
            self.dispatch("on_answer", KEYS_APART.join(self.line))

    def on_answer(self, line: str) -> None:
        """The student answered with `line`."""

    def take_key(self, name: str) -> bool:
        """A key of the keyboard: a number, a letter, or Backspace; True if it was used."""
        if not self.live:
            return False
        if name == "backspace":
            self.take_back()
            return True
        if name in OCTAVE_MARKS and self._swaras:
            if self.line:  # the mark is of the swara written last
                self.line = [*self.line[:-1], moved(self.line[-1], name, self._swaras)]
            return True
        if name not in self._typed:
            return False
        self.write(self._typed[name])
        return True

    def key_words(self) -> tuple[Said, ...]:
        """The keys that write on it."""
        signs = ", ".join(plate.sign for plate in self.ids.grid.children[::-1] if plate.sign)
        return ((signs, say("Write what the key shows")), (BACKSPACE, say("Take back")))

    # Showing.

    def _refresh(self, *_: Any) -> None:
        places = self.ids.places.children[::-1]
        at = len(self.line)
        for number, place in enumerate(places):
            place.text = self._labels[self.line[number]] if number < at else ""
            place.stage = "written" if number < at else "next" if number == at else "open"
        for plate in self.ids.grid.children:
            plate.disabled = not self.live or self.full
            plate.can_focus = self.live
        for name in ("back", "empty", "answer"):
            tool = self.ids[name]
            tool.disabled = not (self.live and (self.enough if name == "answer" else self.line))
            tool.can_focus = self.live
        self._roll_to_next()

    def _roll_to_next(self) -> None:
        """Where not all places are in sight, bring the row with the next one there."""
        places = self.ids.places
        if self._question is None or self._rows_seen >= _rows(places):
            return
        at = min(len(self.line), self._question.places - 1) // places.cols
        above = max(0, at - self._rows_seen + 1)
        self.ids.roll.scroll_y = 1.0 - above / (_rows(places) - self._rows_seen)

    def _set_tools(self, *_: Any) -> None:
        """Answer lies under the hand that writes."""
        tools = self.ids.tools
        inner = [self.ids[name].__self__ for name in ("back", "empty", "answer")]
        tools.clear_widgets()
        for tool in reversed(inner) if look.left_handed else inner:
            tools.add_widget(tool)

    def fit(self, width: float, room: float) -> None:
        """Lay keys and places out in this width, in as much of the height `room` as they can use.

        The edge comes on top, on either side.
        """
        if self._question is None:
            return
        self.width = width + 2 * self.edge_px
        gaps = 2 * dp(theme.THIN)
        tools = self._fit_tools(width)
        places = self._fit_places(width)
        row = self._place_high() + dp(ROWS_APART)
        in_sight = min(places, 2 * row)
        keys = self._fit_keys(width, room - tools - in_sight - gaps)
        self._heighten_keys(max(keys, room - tools - places - gaps))
        # Where even one row of places leaves too little, the keys roll: Answer stays in reach.
        keys = min(self.ids.grid.height, max(dp(theme.TOUCH), room - tools - row - gaps))
        self.ids.keys_roll.height = keys
        seen = (room - tools - keys - gaps + dp(ROWS_APART)) / row
        self._rows_seen = max(1, min(_rows(self.ids.places), int(seen)))
        self.ids.roll.height = self._rows_seen * row - dp(ROWS_APART)
        self.height = tools + keys + self.ids.roll.height + gaps
        self._roll_to_next()

    def _place_high(self) -> float:
        return float(type_px(theme.BODY) * 1.4 + dp(12))

    def _fit_tools(self, width: float) -> float:
        """Each as broad as its words ask for; the height of the row."""
        tools = self.ids.tools.children
        wished = {t: text_px(t.text, t.font_name, t.type_sp) + t.padding[0] * 2 for t in tools}
        for tool in tools:
            tool.size_hint_x = wished[tool] / sum(wished.values())
        high = max(tool.texture_size[1] for tool in tools)
        self.ids.tools.height = max(dp(theme.TOUCH + 4) * look.room, high)
        return float(self.ids.tools.height)

    def _fit_keys(self, width: float, room: float) -> float:
        """The columns of keys and their type, the roomiest that fit; their least height."""
        keys, least = self.ids.grid, 0.0
        for size_sp, even, whole in KEY_STYLES:
            text = max(text_px(t, theme.SANS, size_sp) for t in self._key_texts(whole=whole))
            beside = (2 if even else 1) * dp(KEY_ROOM) * look.scale + 2 * dp(KEY_EDGE)
            keys.cols = columns_of(
                len(keys.children), fitting(width, text + beside, dp(theme.THIN))
            )
            lines = 1 if whole else max(len(t.split()) for t in self._labels.values())
            words = lines * type_px(size_sp) * 1.37 + 2 * dp(KEY_EDGE)
            least = self._keys_high(max(dp(theme.TOUCH) * look.room, words))
            for key in keys.children:
                key.type_sp, key.even = size_sp, even
            if least <= room:
                break
        return least

    def _key_texts(self, *, whole: bool) -> list[str]:
        """What may not be broken: whole labels, or, where room is scarce, their words."""
        labels = list(self._labels.values())
        return labels if whole else [word for label in labels for word in label.split()]

    def _keys_high(self, key: float) -> float:
        rows = _rows(self.ids.grid)
        return float(rows * key + (rows - 1) * dp(theme.THIN) + 2 * self.edge_px)

    def _heighten_keys(self, height: float) -> None:
        keys = self.ids.grid
        rows = _rows(keys)
        key = (height - (rows - 1) * dp(theme.THIN) - 2 * self.edge_px) / rows
        key = min(key, dp(HIGHEST_KEY) * look.room)
        keys.height = self._keys_high(key)

    def _fit_places(self, width: float) -> float:
        """The columns of places, and their size; how high all of them are."""
        places, gap = self.ids.places, dp(ROWS_APART)
        broad = self._broadest(theme.BODY) + dp(16)
        places.cols = columns_of(len(places.children), fitting(width, broad, gap))
        room = (width - (places.cols - 1) * gap) / places.cols
        high = self._place_high()
        for place in places.children:
            place.size = room, high
        rows = _rows(places)
        places.height = rows * high + (rows - 1) * gap
        return float(places.height)

    def _broadest(self, size_sp: float) -> float:
        return max(text_px(label, theme.SANS, size_sp) for label in self._labels.values())


def _rows(grid: Any) -> int:
    return -(-len(grid.children) // grid.cols)


load_kv("writing")
