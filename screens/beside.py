"""A line of sargam beside the one that was written, place by place; each place can be heard."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from kivy.clock import Clock
from kivy.graphics import Canvas
from kivy.metrics import dp
from kivy.properties import BooleanProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.label import Label

from audio.score import Score
from quizzes.explanation import Beside
from screens import theme
from screens.columns import cut
from screens.lines import NOTHING, WAS_HEAD
from screens.look import load_kv, look, text_px
from screens.phrase import figure
from screens.widgets import Column, Touchable, Words, draw_mark
from words import say, to_say

TOUCH_ONE = to_say("Touch a place to hear it.")
_LENGTH = re.compile(r":(\d+(?:/\d+)?)$")
LONGER_WRITTEN = 24
"""Of a place's sargam so many letters are shown."""


class BesidePlace(Touchable, Label):
    """One place of one of the two lines: what stands there, the shape of its mark, and its sound.

    What cannot be heard cannot be touched."""

    plays = BooleanProperty(False)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.can_focus, self.disabled = self.plays, not self.plays
        self._shape = Canvas()
        self.canvas.after.add(self._shape)
        self.bind(pos=self._draw, size=self._draw)

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        """As marked, though it may not be touched; brass only where it may."""
        if self.state == "down":
            return theme.BRASS_TOUCHED, theme.BRASS_TOUCHED, theme.ON_BRASS
        if not self.mark:
            return theme.CLEAR, theme.CLEAR, theme.FAINT_INK
        wrong = self.mark == "otherwise"
        edge = theme.BRASS_DIM if self.plays else theme.CLEAR
        return theme.OTHERWISE_GROUND if wrong else theme.WAS_GROUND, edge, theme.INK

    def _draw(self, *_: Any) -> None:
        radius = dp(6) * look.room
        self._shape.clear()
        with self._shape:
            draw_mark(self.mark, self.center_x, self.y + dp(7) + radius, radius)


class BesideRow(BoxLayout):
    """A stretch of one line, led by whose it is; or what is wrong below it."""

    head = StringProperty("")
    head_px = NumericProperty(0.0)


class BesideLines(Column):
    """Both lines of `beside`, broken where the width asks for it; one, where they are the same.

    `on_hear` is sent with the cue of a place.
    """

    __events__ = ("on_hear",)

    beside: Sequence[Beside] = ListProperty()
    given_head = StringProperty("")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._drawn: tuple[object, ...] = ()
        self.width = 0.0  # until it is known, nothing is laid out
        self._lay_out = Clock.create_trigger(lambda _: self._fit(), -1)
        for name in ("beside", "given_head", "width"):
            self.fbind(name, self._changed)
        look.bind(scale=self._changed)

    def _changed(self, *_: Any) -> None:
        self._lay_out()

    def on_hear(self, cue: Score) -> None:
        """A place is to be heard."""

    @property
    def same(self) -> bool:
        """Whether what was written is what was."""
        return not any(place.wrong or not place.given or not place.was for place in self.beside)

    def _fit(self) -> None:
        drawn = tuple(self.beside), self.width, self.given_head, look.scale
        if self.width <= 0.0 or self._drawn == drawn:
            return
        self._drawn = drawn
        self.clear_widgets()
        if not self.beside:
            return
        heads = (say(WAS_HEAD),) if self.same else (say(WAS_HEAD), self.given_head)
        head_px = max(text_px(head, theme.SANS, theme.SMALL) for head in heads) + dp(10)
        begins = True
        for stretch in self._stretches(self.width - head_px):
            self.add_widget(self._stretch(stretch, heads if begins else ("",) * 2, head_px))
            begins = False
        if any(place.was_cue or place.given_cue for place in self.beside):
            self.add_widget(Words(text=say(TOUCH_ONE), role="small", tone="soft", snug=True))

    def _stretches(self, room: float) -> list[list[Beside]]:
        stretches: list[list[Beside]] = [[]]
        used = 0.0
        for place in self.beside:
            broad = breadth_of(place) + dp(theme.HAIR)
            if stretches[-1] and used + broad > room:
                stretches.append([])
                used = 0.0
            stretches[-1].append(place)
            used += broad
        return stretches

    def _stretch(self, places: Sequence[Beside], heads: Sequence[str], head_px: float) -> Column:
        part = Column(spacing=dp(theme.HAIR))
        was = BesideRow(head=heads[0], head_px=head_px)
        part.add_widget(was)
        for place in places:
            mark = "" if not place.was else "right" if not place.wrong and place.given else "was"
            was.add_widget(self._place(place, place.was, mark, place.was_cue))
        if self.same:
            return part
        given = BesideRow(head=heads[1], head_px=head_px)
        part.add_widget(given)
        for place in places:
            mark = "right" if not place.wrong and place.was and place.given else "otherwise"
            mark = mark if place.given or place.was else ""
            given.add_widget(self._place(place, place.given, mark, place.given_cue))
        if any(place.wrong for place in places):
            part.add_widget(_wrongs(places, head_px))
        return part

    def _place(self, place: Beside, text: str, mark: str, cue: Score | None) -> BesidePlace:
        label = BesidePlace(
            text=cut(_cell(text), LONGER_WRITTEN),
            mark=mark,
            plays=cue is not None,
            width=breadth_of(place),
        )
        if cue is not None:
            label.bind(on_release=lambda _: self.dispatch("on_hear", cue))
        return label


def _cell(text: str) -> str:
    """A place as it stands in its cell: a length as the strip above writes it."""
    return _LENGTH.sub(lambda match: f" {figure(Fraction(match.group(1)))}", text) or NOTHING


def breadth_of(place: Beside) -> float:
    """How broad a place is: both its texts, and what is wrong, stand in it."""
    texts = [cut(_cell(text), LONGER_WRITTEN) for text in (place.was, place.given)]
    broad = max(text_px(text, theme.SANS, theme.BODY) for text in texts) + dp(18)
    words = max((text_px(word, theme.SANS, theme.SMALL) for word in place.wrong), default=0.0)
    return max(dp(theme.TOUCH), broad, words + dp(6))


def _wrongs(places: Sequence[Beside], head_px: float) -> BesideRow:
    """In what each place differs, below it."""
    row = BesideRow(head_px=head_px)
    for place in places:
        words = Words(
            text="\n".join(place.wrong), role="small", tone="otherwise", snug=True, halign="center"
        )
        words.size_hint_x, words.width, words.pos_hint = None, breadth_of(place), {"top": 1}
        words.texture_update()
        row.add_widget(words)
    row.height = max(words.texture_size[1] for words in row.children[:-1])
    return row


load_kv("beside")
