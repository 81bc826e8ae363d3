"""The gaps on the string: the neck with its frets, and from fret to fret an arc for each gap.

How a gap is heard shows in the breadth and the pattern of its arc, not in its colour alone: shaky
ones are broad and broken, the shakier the broader; coming ones are dotted; firm ones thin and
whole; unheard ones hardly there. A touch picks the nearest arc, an unheard one if no begun one is
near; with the keyboard the arrows walk through all arcs, from the shakiest to those unheard.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any, NamedTuple

import numpy as np
from kivy.clock import Clock
from kivy.graphics import Color, Ellipse, InstructionGroup, Line, Mesh
from kivy.graphics.texture import Texture
from kivy.metrics import dp
from kivy.properties import BooleanProperty, ObjectProperty, StringProperty
from kivy.uix.widget import Widget

from audio.tuning import JUST
from practice.gaps import STATES, Gap
from screens import theme
from screens.arcs import Points, arc, bands, nearest
from screens.key_words import ARROWS, ENTER, Said
from screens.look import look
from screens.neck import STRING_AT
from screens.string import StringPad
from words import say

REACH, BEFORE = 28, 12
"""A touch may be so far from an arc, in dp; what is begun is picked before an unheard one that is
nearer by no more than this."""
NARROWEST, BROADEST = 56, 92
"""How broad the neck is drawn, in dp."""
ROOM_ABOVE = 10
"""Above the highest arc, in dp."""
LEAST, LEAST_UPRIGHT = 230, 340
"""How high the picture must be, in dp at usual type; upright, the letters of the nearest two swaras
do not meet then."""


class Stroke(NamedTuple):
    """How the arcs of one state are drawn; lengths in dp."""

    token: str
    seen: float
    """How far its colour is not to be seen through, from 0 to 1."""
    least: float
    """The breadth of one that is all but known; the others are broader, up to `most`."""
    most: float
    pattern: float
    """How long one piece is together with the gap behind it."""
    filled: float
    """How much of that is the piece."""

    def colour(self, aside: float = 1.0) -> theme.Colour:
        """As it is drawn in the palette in use, so much fainter."""
        return theme.thinned(getattr(theme, self.token), self.seen * aside)


STROKES = {
    "shaky": Stroke("BRASS", 1.0, 3.0, 6.5, 17.0, 0.66),
    "coming": Stroke("SOFT_INK", 0.85, 2.4, 2.4, 6.5, 0.45),
    "firm": Stroke("STEEL", 0.62, 1.2, 1.2, 64.0, 1.0),
    "unheard": Stroke("EDGE", 0.7, 0.8, 0.8, 64.0, 1.0),
}
WORST = 1.2
"""From such a badness on an arc is as broad as any."""
ASIDE = 0.42
"""While one arc is picked, the others are so much fainter."""


@cache
def texture_of(filled: float) -> Texture:
    """Soft across; along it full for this part, then clear, over and over."""
    across, along = 16, 64
    u = 1.0 - np.abs(np.linspace(-1.0, 1.0, across))
    v = np.clip((filled * along / 2 - np.abs(np.arange(along) - along / 2)) / 2.0 + 0.5, 0.0, 1.0)
    if filled >= 1.0:
        v[:] = 1.0
    pixels = np.full((along, across, 4), 255, np.uint8)
    pixels[:, :, 3] = np.round(255 * v[:, None] * u[None, :])
    texture = Texture.create(size=(across, along), colorfmt="rgba")
    texture.blit_buffer(pixels.tobytes(), colorfmt="rgba", bufferfmt="ubyte")
    texture.wrap = "repeat"
    return texture


def breadth_of(state: str, badness: float = 0.5) -> float:
    """How broad an arc is drawn, in pixels: the worse its gap, the broader."""
    stroke = STROKES[state]
    return float(dp(stroke.least + (stroke.most - stroke.least) * min(1.0, badness / WORST)))


def mesh_of(lines: Sequence[tuple[Points, float]], stroke: Stroke) -> Mesh:
    """Lines, each with its breadth in pixels, in one mesh, to be drawn in the colour before it."""
    vertices, indices = bands(lines, pattern=dp(stroke.pattern))
    return Mesh(
        vertices=vertices.ravel(),
        indices=np.asarray(indices, np.uint16),
        mode="triangles",
        texture=texture_of(stroke.filled),
    )


class GapArcs(Widget):
    """The picture of `gaps`, one for each pair of swaras, the shakiest first.

    `on_pick` is sent with a gap that was touched or walked to; `picked` is its pair, such as "R-P",
    and may be set. `on_hear` is sent when Enter is struck on it.
    """

    __events__ = ("on_pick", "on_hear")

    gaps = ObjectProperty(())
    picked = StringProperty("")
    tuning = ObjectProperty(JUST)
    upright = BooleanProperty(False)
    can_focus = BooleanProperty(True)
    focused = BooleanProperty(False)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.pad = StringPad(live=False, disabled=True, names_beyond=True)
        self.pad.choices = [str(fret.swara) for fret in self.pad.frets()]
        self.add_widget(self.pad)
        self._arcs = InstructionGroup()
        self.canvas.after.add(self._arcs)
        self._draw = Clock.create_trigger(self._drawn, -1)
        for name in ("pos", "size", "gaps", "picked", "tuning", "upright", "focused"):
            self.fbind(name, self._changed)
        look.bind(scale=self._changed, by_keys=self._changed, left_handed=self._changed)
        self._draw()

    def _changed(self, *_: Any) -> None:
        self._draw()

    # Where things are.

    @property
    def least_px(self) -> float:
        """How high it must be."""
        return float(dp(LEAST_UPRIGHT if self.upright else LEAST) * look.scale)

    @property
    def drawn(self) -> tuple[Gap, ...]:
        """The gaps that have an arc: those begun, and those that the course asks."""
        return tuple(gap for gap in self.gaps if gap.is_asked or gap.state != "unheard")

    def _place(self) -> None:
        """The neck along the foot, or, upright, along the side where the hand holds it."""
        pad, short = self.pad, self.width if self.upright else self.height
        pad.upright, pad.tuning = self.upright, self.tuning
        neck = min(dp(BROADEST), max(dp(NARROWEST), 0.15 * short)) + pad.names_px
        pad.size = (neck, self.height) if self.upright else (self.width, neck)
        at_right = self.upright and not look.left_handed
        pad.pos = (self.right - neck if at_right else self.x, self.y)
        self._neck = neck - pad.names_px

    @property
    def _foot(self) -> float:
        """From the edge at which the names stand to the string, in pixels."""
        return float(self.pad.names_px + STRING_AT * self._neck)

    @property
    def _height(self) -> float:
        """How high the longest arc rises from the string, in pixels."""
        short = self.width if self.upright else self.height
        return float(max(dp(20), short - self._foot - dp(ROOM_ABOVE)))

    def line_of(self, gap: Gap) -> Points:
        """Its arc in pixels of the window."""
        pad, places = self.pad, {str(fret.swara): fret.place for fret in self.pad.frets()}
        start, end = (pad.along(places[str(swara)]) for swara in (gap.low, gap.high))
        line = arc(start, end, length=pad.length_px, height=self._height)
        if not self.upright:
            return line + np.array([0.0, self.y + self._foot])
        away = line[:, 1] + self._foot
        across = self.x + away if look.left_handed else self.right - away
        return np.column_stack((across, line[:, 0]))

    def gap_at(self, x: float, y: float) -> Gap | None:
        """The gap whose arc is nearest to a point; what is begun goes before what is unheard,
        unless that is clearly nearer."""
        lines = [self.line_of(gap) for gap in self.drawn]
        behind = [dp(BEFORE) * (gap.state == "unheard") for gap in self.drawn]
        found = nearest((x, y), lines, within=dp(REACH), behind=behind)
        return None if found is None else self.drawn[found]

    # Touch and keys.

    def on_touch_down(self, touch: Any) -> bool:
        if touch.is_mouse_scrolling or not self.collide_point(*touch.pos):
            return False
        gap = self.gap_at(*touch.pos)
        if gap is None:
            return False
        touch.grab(self)
        touch.ud[self] = gap
        return True

    def on_touch_move(self, touch: Any) -> bool:
        return touch.grab_current is self

    def on_touch_up(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return False
        touch.ungrab(self)
        if self.gap_at(*touch.pos) == touch.ud[self]:  # sliding off it takes the touch back
            self.pick(touch.ud[self])
        return True

    def pick(self, gap: Gap) -> None:
        """Pick a gap, as a touch does."""
        self.picked = gap.id
        self.dispatch("on_pick", gap)

    def take_key(self, name: str) -> bool:
        """Arrows walk from the shakiest to the firmest, on to the unheard ones, and back."""
        way, drawn = {"right": 1, "down": 1, "left": -1, "up": -1}.get(name), self.drawn
        if way is None or not drawn:
            return False
        ids = [gap.id for gap in drawn]
        here = ids.index(self.picked) + way if self.picked in ids else 0
        self.pick(drawn[min(max(here, 0), len(drawn) - 1)])
        return True

    def keys_said(self) -> tuple[Said, ...]:
        """What keys do while it is focused."""
        return ((say(ARROWS), say("From gap to gap")), (ENTER, say("Hear the gap that is picked")))

    def press(self) -> None:
        """Hear what is picked; where nothing is, pick the shakiest."""
        gap = next((gap for gap in self.drawn if gap.id == self.picked), None)
        if gap is not None:
            self.dispatch("on_hear", gap)
        else:
            self.take_key("right")

    def on_pick(self, gap: Gap) -> None:
        """A gap was picked."""

    def on_hear(self, gap: Gap) -> None:
        """What is picked is to be heard."""

    # Drawing.

    def _drawn(self, *_: Any) -> None:
        self._arcs.clear()
        if self.width < 2 or self.height < 2:
            return
        self._place()
        picked = next((gap for gap in self.drawn if gap.id == self.picked), None)
        self.pad.lit = [str(picked.low), str(picked.high)] if picked else []
        for state in reversed(STATES):
            gaps = [gap for gap in self.drawn[::-1] if gap.drawn_as == state and gap is not picked]
            if not gaps:
                continue
            stroke = STROKES[state]
            self._arcs.add(Color(*stroke.colour(ASIDE if picked else 1.0)))
            self._arcs.add(
                mesh_of([(self.line_of(g), breadth_of(state, g.badness)) for g in gaps], stroke)
            )
        if picked is not None:
            self._draw_picked(picked)
        if self.focused and look.by_keys:
            self._arcs.add(Color(*theme.FOCUS))
            box = (self.x, self.y, self.width, self.height, dp(theme.RADIUS))
            self._arcs.add(Line(rounded_rectangle=box, width=dp(theme.FOCUS_LINE)))

    def _draw_picked(self, gap: Gap) -> None:
        """Its arc in its own pattern on a band of light, and a bead on each of its frets."""
        line, breadth, stroke = (
            self.line_of(gap),
            breadth_of(gap.drawn_as, gap.badness),
            STROKES[gap.drawn_as],
        )
        whole = STROKES["firm"]
        for colour, more in (
            (theme.veil(theme.GROUND, 0.8), 16),
            (theme.veil(theme.BRASS, 0.28), 9),
        ):
            self._arcs.add(Color(*colour))
            self._arcs.add(mesh_of([(line, breadth + dp(more))], whole))
        self._arcs.add(Color(*theme.FOCUS))
        self._arcs.add(mesh_of([(line, max(breadth, dp(2.4)))], stroke))
        for x, y in (line[0], line[-1]):
            for colour, radius in ((theme.GROUND, dp(8.5)), (theme.BRASS_TOUCHED, dp(6.5))):
                self._arcs.add(Color(*colour))
                box = {"pos": (x - radius, y - radius), "size": (2 * radius, 2 * radius)}
                self._arcs.add(Ellipse(**box))
