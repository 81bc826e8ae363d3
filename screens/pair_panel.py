"""What was picked from a picture: its figures in words and as spans, both its sides to be heard,
and drilling it at once."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Executor, Future
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from practice import Practice
from practice.both import Both, both_sides
from practice.pair_words import answered_by
from practice.so_far import Span, Told
from practice.standing import Standing
from scheduler import LogError
from screens import theme
from screens.in_turn import LOOKED_EVERY_S, InTurn
from screens.look import load_kv
from screens.roll import Roll
from screens.widgets import AnswerPlate, Words
from words import say, say_as

WAS, HEARD = 0, 1


class SidePlate(AnswerPlate):
    """One side of a pair; while it sounds, it says so and is lit."""

    sounding = BooleanProperty(False)

    @staticmethod
    def headed(side: str, sounding: bool) -> str:
        """What stands over a side: `was`, `this`, `heard` or `said`, and that it sounds now."""
        head = {
            "was": say_as("over a side", "was"),
            "this": say_as("over a side", "this"),
            "heard": say_as("over a side", "heard"),
            "said": say_as("over a side", "said"),
        }[side]
        return say("{head}, sounds now", head=head) if sounding else head

    def on_sounding(self, *_: Any) -> None:
        self._repaint()

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        if self.sounding:
            return theme.RAISED, theme.BRASS_TOUCHED, theme.INK
        return super().paint()


class SpanRow(BoxLayout):
    """One span: its label, a line between its ends with the share on it, and its words."""

    label = StringProperty("")
    words = StringProperty("")
    share = NumericProperty(0.0)
    low = NumericProperty(0.0)
    high = NumericProperty(1.0)


class PairPanel(Roll):
    """Shows what is `told` of a pair; `on_drill` is told the skills to drill, `on_shut` called to
    show it no more."""

    title = StringProperty("")
    spans_of = StringProperty("")
    moved = StringProperty("")
    why = StringProperty("")
    """What tells the two sides apart, once they were heard."""
    trouble = StringProperty("")
    waiting = BooleanProperty(False)
    """While the sides are being made."""
    skills = ListProperty()
    two = BooleanProperty(False)
    """Whether there are two sides."""
    answered = StringProperty("heard")
    """What was done with the second: "heard" or "said"."""

    def __init__(
        self,
        practice: Practice,
        worker: Executor,
        *,
        on_drill: Callable[[tuple[str, ...]], None],
        on_shut: Callable[[], None],
        **kwargs: Any,
    ) -> None:
        self.on_drill, self.on_shut = on_drill, on_shut
        self._practice, self._worker = practice, worker
        self._both: Both | None = None
        self._coming: Future[Both | None] | None = None
        self._minding: Any = None
        self._wanted: tuple[int, ...] = ()
        super().__init__(**kwargs)
        self._playing = InTurn(practice, worker, self._sounds)
        self._was, self._heard = self.ids.was.__self__, self.ids.heard.__self__  # ids are proxies
        self._hear_plate, self._drill_plate = self.ids.both.__self__, self.ids.drill.__self__

    def show(self, standing: Standing, told: Told) -> None:
        """Put it on view; what played of another ends."""
        self.hush()
        self._standing, self._told, self._both = standing, told, None
        pair = told.pair
        self.title, self.spans_of, self.moved = told.title, told.spans_of, told.moved
        self.why = self.trouble = ""
        self.skills, self.two = list(pair.skills), not pair.is_right
        self.answered = answered_by(pair)
        for plate, label in ((self._was, pair.right_label), (self._heard, pair.given_label)):
            plate.label, plate.played, plate.disabled = label, "", False
        self._offer()
        parts = self.ids
        parts.lines.clear_widgets()
        for line in told.lines:
            parts.lines.add_widget(Words(text=line))
        parts.spans.clear_widgets()
        for span in told.spans:
            parts.spans.add_widget(_row(span))
        self.to_top()

    def _offer(self) -> None:
        """Both sides and what plays them in turn, or the one that there is."""
        sides, ways = self.ids.sides, self.ids.ways
        sides.clear_widgets()
        ways.clear_widgets()
        for plate in (self._was, self._heard)[: 1 + self.two]:
            sides.add_widget(plate)
        for plate in (self._hear_plate, self._drill_plate)[not self.two :]:
            ways.add_widget(plate)

    # Hearing.

    def hear(self, *sides: int) -> None:
        """Play these sides in turn, as soon as they are made."""
        self._playing.stop()
        self.trouble, self._wanted = "", sides
        if self._both is not None:
            self._play()
            return
        if self._coming is None:
            self._coming = self._worker.submit(both_sides, self._standing, self._told.pair)
            self.waiting = True
            self._minding = Clock.schedule_interval(self._mind, LOOKED_EVERY_S)

    def hear_both(self) -> None:
        """What it was, then what was heard."""
        self.hear(WAS, HEARD)

    def hush(self) -> None:
        """Let what plays end, and what is being made go."""
        self._playing.stop()
        if self._coming is not None:
            self._coming.cancel()
            self._coming = None
        if self._minding is not None:
            self._minding.cancel()
            self._minding = None
        self.waiting = False

    def _mind(self, *_: Any) -> None:
        coming = self._coming
        if coming is None or not coming.done():
            return
        self.hush()
        try:
            self._both = coming.result()
        except LogError as error:
            self.trouble = str(error)
            return
        if self._both is None:
            self.trouble = say("It cannot be played: the question that asked it is gone.")
            return
        self._play()

    def _play(self) -> None:
        both = self._both
        assert both is not None
        self.why = both.why
        sides = {WAS: both.was, HEARD: both.heard}
        for number, plate in ((WAS, self._was), (HEARD, self._heard)):
            side = sides[number]
            plate.played = side.plays if side else ""
            plate.disabled = side is None or side.score is None
        wanted = [(number, sides[number]) for number in self._wanted]
        scores = [(number, side.score) for number, side in wanted if side and side.score]
        if scores:
            self._playing.play(scores)
            self.trouble = self._practice.sound_trouble or ""
        else:
            self.trouble = say("This side has no sound of its own.")

    def _sounds(self, number: int | None) -> None:
        self._was.sounding, self._heard.sounding = number == WAS, number == HEARD

    # The way on.

    def drill(self) -> None:
        """Practise both sides at once."""
        if self.skills:
            self.hush()
            self.on_drill(tuple(self.skills))

    def main_thing(self) -> Widget:
        return self._drill_plate


def _row(span: Span) -> SpanRow:
    return SpanRow(
        label=span.label, words=span.words, share=span.share, low=span.low, high=span.high
    )


load_kv("pair_panel")
