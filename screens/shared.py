"""What is usual and what was shared out, after the answer: two bars, and a list of both."""

from __future__ import annotations

from typing import Any

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import BooleanProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from screens import theme
from screens.look import load_kv, look, text_px
from screens.share_bar import ShareBar, minutes_text
from screens.widgets import Column
from words import say, to_say

TOLD_HIGH = 54
"""The height of a bar after the answer, in dp at the usual text size."""
USUAL_HEAD = to_say("Usual")


class ToldShare(BoxLayout):
    """One thing after the answer: what it has usually, and what it was given."""

    number = StringProperty("")
    label = StringProperty("")
    usual = StringProperty("")
    given = StringProperty("")
    head = BooleanProperty(False)
    """Whether this is the line above the others."""
    minutes_px = NumericProperty(0.0)


class ToldShares(Column):
    """What is usual and what was given, one bar above the other, and both in a list below.

    `shared` holds (label, usual, given) in turn; `mark` is that of the answer.
    """

    shared = ListProperty()
    given_head = StringProperty("")
    mark = StringProperty("")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._fill = Clock.create_trigger(lambda _: self._make(), -1)
        for name in ("shared", "given_head", "mark"):
            self.fbind(name, self._changed)
        look.bind(scale=self._changed)

    def _changed(self, *_: Any) -> None:
        self._fill()

    def _make(self) -> None:
        self.clear_widgets()
        if not self.shared:
            return
        labels, usual, given = zip(*self.shared, strict=True)
        same = usual == given
        self._bar(say(USUAL_HEAD), usual, "right" if same else "was")
        if not same:
            self._bar(self.given_head, given, "right" if self.mark == "right" else "otherwise")
        heads = (say(USUAL_HEAD), "" if same else self.given_head)
        broad = max(
            text_px(minutes_text(sum(usual)), theme.SANS, theme.BODY),
            *(text_px(head, theme.SANS, theme.SMALL) for head in heads),
        )
        rows = Column(spacing=dp(theme.HAIR))
        rows.add_widget(
            ToldShare(usual=heads[0], given=heads[1], head=True, minutes_px=broad + dp(2))
        )
        for number, label in enumerate(labels):
            rows.add_widget(
                ToldShare(
                    number=str(number + 1),
                    label=label,
                    usual=minutes_text(usual[number]),
                    given="" if same else minutes_text(given[number]),
                    minutes_px=broad + dp(2),
                )
            )
        self.add_widget(rows)

    def _bar(self, head: str, shares: tuple[int, ...], kind: str) -> None:
        part = Column(spacing=dp(theme.HAIR))
        part.add_widget(ToldHead(text=head, mark=kind))
        part.add_widget(
            ShareBar(
                shares=list(shares), kind=kind, size_hint_y=None, height=dp(TOLD_HIGH) * look.scale
            )
        )
        self.add_widget(part)


class ToldHead(BoxLayout):
    """Whose a bar is, with the shape of its mark."""

    text = StringProperty("")
    mark = StringProperty("")


load_kv("shared")
