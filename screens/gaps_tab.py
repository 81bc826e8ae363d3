"""The gaps so far: their picture on the string, what its strokes mean, the shakiest in words."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from kivy.clock import Clock
from kivy.graphics import Color
from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from audio.tuning import load_tuning
from practice import ModeChoice
from practice.gaps import ALL_WAYS, STATES, Gap, counts_of, gaps_of, seen, shakiest
from practice.given import tuning_of
from practice.meanings import state_word
from practice.pairs import Matrix, matrix
from practice.so_far import gap_told, row_words
from practice.standing import Standing
from screens.gap_arcs import STROKES, breadth_of, mesh_of
from screens.look import load_kv, look
from screens.widgets import Touchable
from words import say, say_as, to_say

NO_GAPS = to_say("Your course asks no gaps.")
NOTHING_YET = to_say(
    "A practice fills this picture: go back and begin one. "
    "Each faint arc is a gap of your course, from fret to fret. Once it is asked, one that you "
    "miss or take for another will be broad and broken here, one that is coming dotted, and a firm "
    "one thin and whole. Touch an arc to hear it."
)
ALL_FIRM = to_say("All gaps that you have begun are firm. Touch an arc to hear it.")
TOUCH_ONE = to_say("Right in the last four weeks. Touch one, or its arc, to hear and to drill it.")
PICTURE_PART, MOST_PART = 0.65, 0.8
"""Upright, the picture takes so much of the room, if that is enough for it; more where no list
stands below it."""


class StateSign(Widget):
    """A piece of the stroke with which the arcs of a state are drawn."""

    state = StringProperty("unheard")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._draw = Clock.create_trigger(self._drawn, -1)
        for name in ("pos", "size", "state"):
            self.fbind(name, lambda *_: self._draw())
        self._draw()

    def _drawn(self, *_: Any) -> None:
        self.canvas.clear()
        if self.width < dp(4):
            return
        line = np.array([[self.x, self.center_y], [self.right, self.center_y]])
        with self.canvas:
            Color(*STROKES[self.state].colour())
            mesh_of([(line, breadth_of(self.state))], STROKES[self.state])


class LegendItem(BoxLayout):
    """What a stroke means, and how many arcs are drawn with it."""

    state = StringProperty("unheard")
    count = NumericProperty(0)

    @staticmethod
    def said(state: str, count: int) -> str:
        """`3 shaky or mistaken`, as shaky are drawn those that are mistaken too."""
        word = say("shaky or mistaken") if state == "shaky" else state_word(state)
        return say("{count} {state}", count=count, state=word)


class GapRow(Touchable, BoxLayout):
    """One of the shakiest gaps, in words."""

    gap = ObjectProperty(None, allownone=True)
    state_sign = StringProperty("unheard")
    title = StringProperty("")
    words = StringProperty("")


class Stood(NamedTuple):
    """How the gaps stand."""

    standing: Standing
    gaps: tuple[Gap, ...]
    heard: Matrix


class GapsTab(BoxLayout):
    """Shows how a `Standing` is in gaps; `on_told` is sent with what is said of a gap that was
    picked, `on_hear` when that is to be heard.

    `upright` is the window's shape: then, or where a broad window is low, all of it rolls. While it
    is `brief` there is the picture only.
    """

    __events__ = ("on_told", "on_hear")

    upright = BooleanProperty(False)
    brief = BooleanProperty(False)
    way = StringProperty(ALL_WAYS)
    heading = StringProperty("")
    hint = StringProperty("")
    side_px = NumericProperty(0.0)
    """In a broad window, how broad the list is."""
    room_px = NumericProperty(0.0)
    """Upright, how high the room is for the picture and what stands below it."""
    picture_px = NumericProperty(0.0)
    """Upright, how high the picture is with what stands above and below it."""

    is_empty = BooleanProperty(False)
    """Whether nothing was heard yet: what is said of that then stands above the picture."""

    def __init__(self, **kwargs: Any) -> None:
        self._gaps: tuple[Gap, ...] = ()
        self._standing: Standing | None = None
        self._heard: Matrix | None = None
        self._laid: tuple[bool, bool, bool] | None = None
        super().__init__(**kwargs)
        # Kept here: ids are proxies, and what is not on view would be gone.
        self.picture, self.roll = self.ids.picture.__self__, self.ids.roll.__self__
        self.column, self.said = self.ids.column.__self__, self.ids.said.__self__
        self.ways, self.legend = self.ids.ways.__self__, self.ids.legend.__self__
        self.arcs, self.rows = self.ids.arcs.__self__, self.ids.rows.__self__
        self.ways.offer(tuple(ModeChoice(way, name, "") for way, name in _ways().items()))
        for state in STATES:
            self.legend.add_widget(LegendItem(state=state))
        self._arrange = Clock.create_trigger(self._placed, -1)
        for name in ("size", "upright", "brief", "side_px", "room_px"):
            self.fbind(name, lambda *_: self._arrange())
        for part in (self.ways, self.legend):
            part.fbind("height", self._changed)
        look.bind(scale=self._changed)

    def _changed(self, *_: Any) -> None:
        self._arrange()

    @staticmethod
    def work_out(standing: Standing) -> Stood:
        """What is to be shown of how a student stands; on any thread."""
        return Stood(standing, gaps_of(standing), matrix(standing, "gaps"))

    def show(self, stood: Stood) -> None:
        """Show how the gaps stand."""
        self._standing, self._gaps, self._heard = stood
        self.arcs.tuning = load_tuning(tuning_of(stood.standing.settings.tuning)[0])
        self.arcs.picked = ""
        self.take_way(self.way)

    def take_way(self, way: str) -> None:
        """Show the gaps of this way."""
        self.way = way
        self.arcs.gaps = gaps = seen(self._gaps, way)
        if self.arcs.picked not in {gap.id for gap in self.arcs.drawn}:
            self.arcs.picked = ""
        counts = counts_of(gaps)
        self.is_empty = not any(counts[state] for state in STATES if state != "unheard")
        for item in self.legend.children:
            item.count = counts[item.state]
        self._list(shakiest(self._gaps, way), counts)

    def _list(self, gaps: tuple[Gap, ...], counts: dict[str, int]) -> None:
        self.rows.clear_widgets()
        if gaps:
            self.heading = say("The shakiest gaps") if counts["shaky"] else say("Gaps still coming")
            self.hint = say(TOUCH_ONE)
        elif counts["firm"]:
            self.heading, self.hint = say("Nothing shaky"), say(ALL_FIRM)
        else:
            self.heading = say("Nothing heard yet")
            self.hint = say(NOTHING_YET if counts["unheard"] else NO_GAPS)
        for gap in gaps:
            row = GapRow(gap=gap, state_sign=gap.drawn_as, title=gap.name, words=row_words(gap))
            row.bind(on_release=lambda row: self.pick(row.gap))
            self.rows.add_widget(row)
        self._arrange()

    def pick(self, gap: Gap) -> None:
        """Pick a gap, as a touch on its arc does."""
        assert self._standing is not None
        assert self._heard is not None
        self.arcs.picked = gap.id
        self.dispatch("on_told", gap_told(self._standing, gap, self._heard))

    def let_go(self) -> None:
        """Nothing is picked any more."""
        self.arcs.picked = ""

    def leave(self) -> None:
        """It is on view no more."""

    def main_thing(self) -> Widget:
        """What the arrow keys go to first."""
        return self.arcs

    def on_told(self, told: Any) -> None:
        """A gap was picked."""

    def on_hear(self) -> None:
        """What is picked is to be heard."""

    # Where things are.

    def _placed(self, *_: Any) -> None:
        picture, roll = self.picture, self.roll
        self.arcs.upright = self.upright
        beside = self.ways.height + self.legend.height
        rolled = self.upright or self.room_px < self.arcs.least_px + beside
        part = PICTURE_PART if self.rows.children else MOST_PART
        self.picture_px = max(self.arcs.least_px, part * self.room_px - beside) + beside
        if (rolled, self.brief, self.is_empty) != self._laid:
            self._laid = rolled, self.brief, self.is_empty
            self._lay(rolled=rolled)
        picture.size_hint_y = None if rolled else 1
        roll.size_hint_x = 1 if rolled else None
        if rolled:
            picture.height = self.picture_px
        else:
            roll.width = self.side_px

    def _lay(self, *, rolled: bool) -> None:
        """Put the parts into one column that rolls, or the list beside the picture."""
        picture, roll, said, column = self.picture, self.roll, self.said, self.column
        for part in (picture, roll, said):
            if part.parent is not None:
                part.parent.remove_widget(part)
        (column if rolled else self).add_widget(picture)
        if not self.brief:
            column.add_widget(said, index=1 if rolled and self.is_empty else 0)
        if rolled or not self.brief:
            self.add_widget(roll)
        roll.to_top()


def _ways() -> dict[str, str]:
    """What each way is called."""
    return {
        ALL_WAYS: say_as("all ways of a gap", "All"),
        "up": say_as("a way of a gap", "Up"),
        "down": say_as("a way of a gap", "Down"),
        "together": say_as("a way of a gap", "Together"),
    }


load_kv("gaps_tab")
