"""What is taken for what, as a tab: the worst confusions in words, and all of them as a matrix."""

from __future__ import annotations

from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color
from kivy.metrics import dp
from kivy.properties import (
    BooleanProperty,
    NumericProperty,
    ObjectProperty,
    OptionProperty,
    StringProperty,
)
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from practice import ModeChoice
from practice.pair_words import count_words, title_words
from practice.pairs import Matrix, Pair, matrix
from practice.standing import Standing
from practice.things import SUBJECTS, Thing
from screens import theme
from screens.board import Board
from screens.cell_marks import Mark, marks_mesh
from screens.look import load_kv, look, text_px
from screens.widgets import Touchable
from words import say, say_many, to_say

WORST_SHOWN = 8
"""In a list beside the matrix, where there is room."""
ONCE_SHOWN = 2
"""So many are listed of what happened once, where nothing else is to be listed."""
ROWS_SHOWN = 3
"""Rows of that list above the matrix, at most."""
ROW, BOARD_LEAST, SIDE = 62, 330, 320
"""How high one of the worst is, how high the matrix is at least before any of them is listed above
it, and how broad a list beside it, in dp."""
BOARD_PART = 0.9
"""Where all rolls, the matrix is at least so high, of the room there is."""
NOTHING = to_say(
    "Nothing of this was asked yet. Once it is, a row here is what it was and a column what you "
    "heard, and what you take for something else stands first."
)
TOUCH_ONE = to_say("Touch any cell to hear both sides and to drill them.")
NONE_TAKEN = to_say("Nothing was taken for anything else.")


class MarkSign(Widget):
    """One of the marks, to say what it means."""

    kind = OptionProperty("tile", options=("tile", "disc"))
    hollow = BooleanProperty(False)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        for name in ("pos", "size", "kind", "hollow"):
            self.fbind(name, self._drawn)

    def _drawn(self, *_: Any) -> None:
        side = min(self.size)
        self.canvas.clear()
        with self.canvas:
            Color(*theme.AS_IS)
            corner = self.center_x - side / 2, self.center_y - side / 2
            marks_mesh(Mark(self.kind, self.hollow), [(*corner, side, side)])


class MarkMeans(BoxLayout):
    """What a mark means."""

    kind = OptionProperty("tile", options=("tile", "disc"))
    hollow = BooleanProperty(False)
    text = StringProperty("")
    words_px = NumericProperty(0.0)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        look.bind(scale=self.on_text)

    def on_text(self, *_: Any) -> None:
        """As broad as its words in one line."""
        self.words_px = text_px(self.text, theme.SANS, theme.SMALL) + dp(2)


class TakenRow(Touchable, BoxLayout):
    """One of the worst confusions, in words."""

    pair = ObjectProperty(None, allownone=True)
    title = StringProperty("")
    words = StringProperty("")


class MatrixTab(BoxLayout):
    """Shows how in a `Standing` the things of one subject are told apart, one of those of
    `practice.things`; `on_pair` is sent with the pair of a cell, or of a row of the list, that was
    picked."""

    __events__ = ("on_pair",)

    said = StringProperty("")
    group = StringProperty("")
    empty = BooleanProperty(True)
    """Whether there is nothing to be shown."""

    def __init__(self, subject: str, **kwargs: Any) -> None:
        self.subject = subject
        self._matrix: Matrix | None = None
        self._worst: tuple[Pair, ...] = ()
        super().__init__(**kwargs)
        self.board, self._tall = Board(), BoxLayout(orientation="vertical")
        self._nothing = Widget()
        self.rows, self.groups = self.ids.list.__self__, self.ids.groups.__self__
        # What is taken off the tab would be lost: ids hold nothing.
        self._head, self._foot = self.ids.head.__self__, self.ids.foot.__self__
        self._beside, self._column = self.ids.beside.__self__, self.ids.column.__self__
        self._parts = (self._beside, self._tall, self._head, self.rows, self._foot)
        self.board.cells.bind(on_at=self._tell, on_pick=self._pick)
        self._arrange = Clock.create_trigger(self._placed, -1)
        self.bind(size=self._changed)
        for part in (self._head, self._foot, self.groups):
            part.bind(height=self._changed)
        look.bind(scale=self._changed)

    def _changed(self, *_: Any) -> None:
        self._arrange()

    def work_out(self, standing: Standing) -> Matrix:
        """What is to be shown of how a student stands; on any thread."""
        return matrix(standing, self.subject)

    def show(self, shown: Matrix) -> None:
        """Show how its things are told apart."""
        self._matrix = shown
        self._worst = to_list(shown.worst(WORST_SHOWN))
        self.empty = not self._matrix.things
        groups = list(dict.fromkeys(thing.group for thing in self._matrix.things))
        if self._worst:  # the first that is seen is the one in which most goes wrong
            first = self._group_of(self._worst[0].right)
            self.group = first
        elif self.group not in groups:
            self.group = groups[0] if groups else ""
        names = [] if len(groups) < 2 else groups
        self.groups.offer(tuple(ModeChoice(name, name, "") for name in names))
        self.take_group(self.group)
        self._tell()
        self._arrange()

    def take_group(self, group: str) -> None:
        """Show the things of this group."""
        self.group = group
        if self._matrix is not None and not self.empty:
            things = tuple(thing for thing in self._matrix.things if thing.group == group)
            self.board.show(self._matrix, things)

    def pick(self, pair: Pair) -> None:
        """Pick a pair, as a touch on its cell does."""
        if self._group_of(pair.right) != self.group:
            self.take_group(self._group_of(pair.right))
        self.board.stand_on(pair.right, pair.given)
        self.dispatch("on_pair", pair)

    def let_go(self) -> None:
        """No cell is picked any more."""
        self.board.cells.stand_on(None)

    def leave(self) -> None:
        """It is on view no more."""

    def main_thing(self) -> Widget | None:
        """What the arrow keys go to first."""
        return None if self.empty else self.board.cells

    def _group_of(self, thing: str) -> str:
        return next(each.group for each in self._things() if each.id == thing)

    def _things(self) -> tuple[Thing, ...]:
        return () if self._matrix is None else self._matrix.things

    def _pick(self, _: Any, right: str, given: str) -> None:
        if self._matrix is not None:
            self.dispatch("on_pair", self._matrix.pair(right, given))

    def _tell(self, *at: Any) -> None:
        """Of the cell that is stood on, or else of all that was asked."""
        things = at[1:]
        if self._matrix is None or self.empty:
            self.said = say(NOTHING)
        elif things:
            pair = self._matrix.pair(*things)
            self.said = say("{what}: {counts}.", what=title_words(pair), counts=count_words(pair))
            if self.board.parent is self._column:  # where all rolls
                Clock.schedule_once(self._roll_there, -1)
        else:
            self.said = _counts_said(self._matrix)

    def _roll_there(self, *_: Any) -> None:
        """To the cell that is stood on."""
        if self.board.parent is self._column and self.board.cells.at is not None:
            self._beside.scroll_to(self.board.spot, padding=dp(theme.THIN), animate=False)

    def on_pair(self, pair: Pair) -> None:
        """A pair was picked."""

    # Where things are.

    def _placed(self, *_: Any) -> None:
        """The worst stand beside the matrix, or above it, as many as there is room for; where there
        is none, all rolls."""
        whole = (self._nothing,) if self.empty else (self.groups, self.board)
        foot = () if self.empty else (self._foot,)
        for part in (*self._parts, self._nothing, *whole):
            if part.parent is not None:
                part.parent.remove_widget(part)
        self.orientation = "horizontal" if self._is_broad else "vertical"
        self.board.size_hint_y = 1
        if self._is_broad:
            self._list_some(WORST_SHOWN, 1)
            self._beside.size_hint_x, self._beside.width = None, dp(SIDE) * look.scale
            _add(self._column, self._head, self.rows, *foot)
            _add(self._tall, *whole)
            _add(self, self._beside, self._tall)
            return
        least = dp(BOARD_LEAST) * look.scale
        rows = (self.height - self._foot.height - self._above - least) // (dp(ROW) * look.scale)
        columns = 2 if self.width > dp(560) * look.scale else 1
        self._list_some(int(min(max(rows, 0), ROWS_SHOWN)) * columns, columns)
        if self.empty or self.height > self._above + least:
            legend = foot if self.height > self._above + least + self._foot.height else ()
            _add(self, self._head, self.rows, *whole, *legend)
            return
        self.board.size_hint_y, self.board.height = None, max(BOARD_PART * self.height, least)
        self._beside.size_hint_x = 1
        _add(self._column, self._head, *whole, *foot)
        _add(self, self._beside)

    @property
    def _above(self) -> float:
        """How high what stands above the matrix is at least."""
        return float(self._head.height + self.groups.height + 2 * dp(theme.THIN))

    @property
    def _is_broad(self) -> bool:
        """Whether a list and the matrix have room side by side."""
        return bool(self.width > max(dp(2.1 * SIDE) * look.scale, 1.1 * self.height))

    def _list_some(self, most: int, columns: int) -> None:
        """The first so many of the worst, in rows."""
        self.rows.cols = columns
        worst = self._worst[:most]
        if [row.pair for row in self.rows.children[::-1]] == list(worst):
            return
        self.rows.clear_widgets()
        for pair in worst:
            row = TakenRow(pair=pair, title=title_words(pair), words=count_words(pair))
            row.bind(on_release=lambda row: self.pick(row.pair))
            self.rows.add_widget(row)


def to_list(worst: tuple[Pair, ...]) -> tuple[Pair, ...]:
    """Of the worst what is no trifle, and happened again; of what happened once, the first."""
    telling = tuple(pair for pair in worst if not pair.is_rare)
    again = tuple(pair for pair in telling if pair.count > 1)
    return again or telling[:ONCE_SHOWN]


def _add(parent: Widget, *parts: Widget) -> None:
    for part in parts:
        parent.add_widget(part)


def _counts_said(shown: Matrix) -> str:
    """`In the last four weeks, of swaras: 420 questions, 340 heard right. Touch any cell …`"""
    asked = sum(shown.asked.values())
    right = sum(shown.cells.get((thing.id, thing.id), 0) for thing in shown.things)
    parts = {"things": say(SUBJECTS[shown.subject].of_them), "right": right}
    if shown.is_lately:
        counts = say_many(
            "In the last four weeks, of {things}: {count} question, {right} heard right.",
            "In the last four weeks, of {things}: {count} questions, {right} heard right.",
            asked,
            **parts,
        )
    else:
        counts = say_many(
            "Nothing lately; in all, of {things}: {count} question, {right} heard right.",
            "Nothing lately; in all, of {things}: {count} questions, {right} heard right.",
            asked,
            **parts,
        )
    return f"{counts} {say(NONE_TAKEN if asked == right else TOUCH_ONE)}"


load_kv("matrix")
