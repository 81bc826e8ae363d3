"""What the screens are put together from: words, what can be touched, marks, panels, lines.

Everything is drawn here and in `widgets.kv`; nothing uses Kivy's own pictures. A thing that can be
touched is at rest, touched, focused, disabled, or, once an answer is given, marked as what was or
as what was heard otherwise. No state is told by colour alone: what is disabled has lost its ground
and a part of its edge, what holds has a bar beneath its words, what is marked has a shape.
"""

from __future__ import annotations

from typing import Any

from kivy.graphics import Color, Ellipse, Line, Mesh, Rectangle
from kivy.metrics import dp
from kivy.properties import (
    BooleanProperty,
    ColorProperty,
    NumericProperty,
    OptionProperty,
    StringProperty,
)
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.label import Label
from kivy.uix.widget import Widget

from screens import theme
from screens.look import load_kv, look
from screens.roll import Roll as Roll  # which kv files take for known with these
from screens.whole_groups import kept_whole


class Wrapping(Label):
    """A text that wraps to its width; no group of sargam is broken that has room in a line."""

    def texture_update(self, *args: Any) -> None:
        if not self.markup:
            room = (self.text_size[0] or 0.0) - self.padding[0] - self.padding[2]
            text = kept_whole(self.text, lambda group: self._label.get_extents(group)[0] <= room)
            # What stands for bytes that are no letter, as in the name of a file, no font can take.
            self._label.text = text.encode("utf-8", "replace").decode("utf-8")
        super().texture_update(*args)


class Words(Wrapping):
    """A run of text that wraps to its width and is as high as it needs; `role` sets its type."""

    role = OptionProperty("body", options=("small", "body", "lead", "title", "display"))
    tone = OptionProperty("ink", options=("ink", "soft", "faint", "brass", "was", "otherwise"))
    snug = BooleanProperty(False)
    """Lines close together, so that one line stands in the middle of its height."""


DASH = 5
"""How long the dashes round what is disabled are, in dp, about."""

LONG, LONGER = 170, 300
"""A text of more letters than this is set smaller, to be on view as a whole."""

LARGE_ROOM, MOST_DISPLAYED = 1.3, 60
"""In a window so much larger than usual, a question of so few letters is set largest."""


def role_of(text: str) -> str:
    """How a question or an introduction is set: see `Words.role`."""
    return "title" if len(text) <= LONG else "lead" if len(text) <= LONGER else "body"


def asking_role_of(text: str, room: float) -> str:
    """How a question is set in a window so much larger than usual: see `Words.role`."""
    far = room >= LARGE_ROOM and len(text) <= MOST_DISPLAYED
    return "display" if far else role_of(text)


class Column(BoxLayout):
    """Things one below the other, as high as they are together."""


class Panel(Column):
    """A column on a lighter piece of wood."""


class Page(Column):
    """A column in the middle of its room, no wider than reads well."""


class Touchable(ButtonBehavior, Widget):
    """What can be touched or, with the keyboard, focused and pressed.

    `fill`, `edge` and `ink` follow from the state; a subclass chooses them in `paint`.
    """

    can_focus = BooleanProperty(True)
    focused = BooleanProperty(False)
    mark = OptionProperty("", options=("", "was", "right", "otherwise", "aside"))
    fill = ColorProperty(theme.CLEAR)
    edge = ColorProperty(theme.CLEAR)
    ink = ColorProperty(theme.CLEAR)
    ring = ColorProperty(theme.CLEAR)

    def __init__(self, **kwargs: Any) -> None:
        self._ends: OpenEdge | None = None
        super().__init__(**kwargs)
        for name in ("state", "focused", "disabled", "mark"):
            self.fbind(name, self._repaint)
        self.fbind("focused", self._watch_keys)
        self._repaint()

    def _watch_keys(self, *_: Any) -> None:
        """Only while the keys may stand on it: what is thrown away is else forgotten by nobody
        until a key is struck, and each new thing is held against all of it."""
        (look.bind if self.focused else look.unbind)(by_keys=self._repaint)

    def _repaint(self, *_: Any) -> None:
        self.fill, edge, self.ink = self.paint()
        is_open = self.disabled and not self.mark and edge != theme.CLEAR
        if is_open and self._ends is None and self.canvas is not None:  # else it is painted again
            self._ends = OpenEdge(self)
        if self._ends is not None:
            self._ends.colour.rgba = edge if is_open else theme.CLEAR
        self.edge = theme.CLEAR if is_open else edge
        self.ring = theme.FOCUS if self.focused and look.by_keys else theme.CLEAR

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        """Fill, edge and ink for the state that the thing is in."""
        if self.mark in ("was", "right"):
            return theme.WAS_GROUND, theme.WAS, theme.INK
        if self.mark == "otherwise":
            return theme.OTHERWISE_GROUND, theme.OTHERWISE, theme.INK
        if self.disabled or self.mark == "aside":
            return theme.CLEAR, theme.EDGE, theme.FAINT_INK
        if self.state == "down":
            return theme.BRASS_TOUCHED, theme.BRASS_TOUCHED, theme.ON_BRASS
        return theme.RAISED, theme.BRASS_DIM, theme.INK

    def press(self) -> None:
        """Do what a touch would do; the keyboard calls this."""
        if not self.disabled:
            self.dispatch("on_release")

    def take_key(self, name: str) -> bool:
        """A key while focused; True if it was used. Most things only know how to be pressed."""
        return False


class OpenEdge:
    """The edge of what is disabled: a broken line all round, so that it is no plate just now."""

    def __init__(self, thing: Touchable) -> None:
        with thing.canvas.before:
            self.colour = Color(*theme.CLEAR)
            self._dashes = Mesh(mode="triangles")
        thing.bind(pos=self._lay, size=self._lay)
        self._lay(thing)

    def _lay(self, thing: Touchable, *_: Any) -> None:
        thick, corner = 2 * dp(theme.EDGE_LINE), dp(theme.RADIUS) / 2
        boxes = []
        for at in _dashes(thing.x + corner, thing.right - corner):
            boxes += [(*at, thing.y, thing.y + thick), (*at, thing.top - thick, thing.top)]
        for low, high in _dashes(thing.y + corner, thing.top - corner):
            boxes += [(thing.x, thing.x + thick, low, high)]
            boxes += [(thing.right - thick, thing.right, low, high)]
        vertices: list[float] = []
        for left, right, foot, top in boxes:
            for corner_of in ((left, foot), (right, foot), (right, top), (left, top)):
                vertices += (*corner_of, 0.0, 0.0)
        self._dashes.vertices = vertices
        self._dashes.indices = [
            4 * box + at for box in range(len(boxes)) for at in (0, 1, 2, 0, 2, 3)
        ]


def _dashes(start: float, end: float) -> list[tuple[float, float]]:
    """Dashes from one end of a side to the other, with gaps as long between them."""
    count = max(1, round((end - start) / dp(2 * DASH) + 0.5))
    long = (end - start) / (2 * count - 1)
    return [(start + 2 * n * long, start + (2 * n + 1) * long) for n in range(count)]


class Plate(Touchable, Wrapping):
    """A button: a plate of wood with a brass edge."""

    bold_words = BooleanProperty(False)
    type_sp = NumericProperty(theme.BODY)
    least = NumericProperty(theme.TOUCH)
    """The least height, in dp."""


class BrassPlate(Plate):
    """The one thing on a screen that most people will touch next: a plate of brass.

    It leads on, and what comes may have such a plate in the same place: of two taps at once the
    second does nothing.
    """

    def on_touch_down(self, touch: Any) -> bool:
        if touch.is_double_tap and self.collide_point(*touch.pos):
            return True
        return bool(super().on_touch_down(touch))

    second = BooleanProperty(False)
    """Whether something else is meant to be touched before it: then it is a plate of wood."""

    def on_second(self, *_: Any) -> None:
        self._repaint()

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        if self.second:
            return super().paint()
        if self.disabled:
            return theme.CLEAR, theme.EDGE, theme.FAINT_INK
        brass = theme.BRASS_TOUCHED if self.state == "down" else theme.BRASS
        return brass, brass, theme.ON_BRASS


class QuietPlate(Touchable, Label):
    """A small way elsewhere: brass words on the ground with a line beneath them, no plate until it
    is touched."""

    words_px = NumericProperty(0.0)
    """How broad its words are, which may have more room than they need."""

    def on_texture_size(self, *_: Any) -> None:
        room = self.texture_size[0] - self.padding[0] - self.padding[2]
        self.words_px = min(room, self._label.get_extents(self.text)[0]) if self.text else 0.0

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        if self.state == "down":
            return theme.RAISED, theme.BRASS, theme.BRASS_TOUCHED
        ink = theme.FAINT_INK if self.disabled else theme.BRASS
        return theme.CLEAR, theme.CLEAR, ink


class ChosenPlate(Plate):
    """One of several of which one holds: brass with a bar beneath its words when it is the one."""

    chosen = BooleanProperty(False)

    def on_chosen(self, *_: Any) -> None:
        self._repaint()

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        if self.chosen and not self.disabled and not self.mark:
            return theme.BRASS, theme.BRASS, theme.ON_BRASS
        return super().paint()


class BackPlate(Plate):
    """The way out of a screen: the last thing at its foot, as wide as there is room."""


class HearPlate(Touchable, BoxLayout):
    """A plate that plays a sound: a small triangle, then words, then its key where it has one."""

    text = StringProperty("")
    sign = StringProperty("")


class ChoicePlate(Touchable, BoxLayout):
    """One answer that can be given: its key, its label, and later its mark."""

    choice_id = StringProperty("")
    label = StringProperty("")
    key = StringProperty("")
    """The number or letter of the keyboard that gives it."""
    given_word = StringProperty("")
    """The word of its mark, where it was given and is not right."""
    brief = BooleanProperty(False)
    """Without room for the word of its mark: its shape says the same."""
    tick = OptionProperty("", options=("", "open", "chosen"))
    """Where several may be chosen, whether this one is, until the answer is sent."""

    def on_tick(self, *_: Any) -> None:
        self._repaint()

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        fill, edge, ink = super().paint()
        if self.tick == "chosen" and not self.mark and not self.disabled and self.state != "down":
            return fill, theme.BRASS, ink
        return fill, edge, ink


class AnswerPlate(Touchable, BoxLayout):
    """What was, or what was heard, after the answer: its mark, its name, and its sound."""

    kind = OptionProperty("was", options=("was", "right", "otherwise"))
    word = StringProperty("")
    label = StringProperty("")
    played = StringProperty("")
    """What its sound is, where it is not simply that."""
    wished = NumericProperty(0.0)
    """How high it needs to be, in pixels."""

    def on_kind(self, *_: Any) -> None:
        self._repaint()

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        heard_otherwise = self.kind == "otherwise"
        edge = theme.OTHERWISE if heard_otherwise else theme.WAS
        if self.state == "down":
            return theme.RAISED, theme.BRASS_TOUCHED, theme.INK
        ground = theme.OTHERWISE_GROUND if heard_otherwise else theme.WAS_GROUND
        return ground, edge, theme.INK


class Mark(Widget):
    """The shape beside the colour: a ring for what was, a diamond for what was heard otherwise.

    "right" is the ring with its middle filled: heard and was are one; "partly" has it half filled.
    A square stands where something can be chosen, and is filled once it is.
    """

    kind = OptionProperty("", options=("", "was", "right", "partly", "otherwise", "open", "chosen"))

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.bind(pos=self._draw, size=self._draw, kind=self._draw)
        self._draw()

    def _draw(self, *_: Any) -> None:
        self.canvas.clear()
        with self.canvas:
            draw_mark(self.kind, self.center_x, self.center_y, min(self.size) / 2 - dp(1.5))


def draw_mark(kind: str, x: float, y: float, radius: float) -> None:
    """Add the shape of a mark to the canvas that is open."""
    if kind in ("was", "right", "partly"):
        Color(*theme.WAS)
        Line(circle=(x, y, radius), width=dp(theme.MARK_LINE))
        inner = radius * 0.5
        if kind == "right":
            Ellipse(pos=(x - inner, y - inner), size=(2 * inner, 2 * inner))
        elif kind == "partly":  # its lower half, out to the ring
            half = {"angle_start": 90, "angle_end": 270}
            Ellipse(pos=(x - radius, y - radius), size=(2 * radius, 2 * radius), **half)
    elif kind in ("open", "chosen"):
        side = radius * 1.7
        Color(*theme.BRASS)
        Line(rectangle=(x - side / 2, y - side / 2, side, side), width=dp(theme.MARK_LINE))
        if kind == "chosen":
            Rectangle(pos=(x - side / 4, y - side / 4), size=(side / 2, side / 2))
    elif kind == "otherwise":
        Color(*theme.OTHERWISE)
        corners = ((x, y + radius), (x + radius, y), (x, y - radius), (x - radius, y))
        vertices = [value for cx, cy in corners for value in (cx, cy, 0.0, 0.0)]
        Mesh(vertices=vertices, indices=[0, 1, 2, 3], mode="triangle_fan")


class TimeLine(Widget):
    """The time that is left, as a thin line that grows shorter; `part` runs from 1 to 0."""

    part = NumericProperty(1.0)


class Rule(Widget):
    """A hair line between two parts of a screen."""


load_kv("widgets")
