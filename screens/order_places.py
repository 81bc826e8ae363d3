"""The places of an order, one below the other, and the plates that stand in them or are dragged."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from kivy.metrics import dp
from kivy.properties import ListProperty, NumericProperty, StringProperty
from kivy.uix.widget import Widget

from quizzes.question import Choice
from screens import theme
from screens.look import look
from screens.order_plate import OrderPlate

APART = 6
"""Between plates, in dp."""
HIGHEST_PLATE = 76
LIFTED_ASIDE = 10
"""How far a lifted plate stands out of the row, in dp."""


class OrderPlaces(Widget):
    """Shows the things of `line`, a list of ids, each on its plate in its place.

    What is `lifted` lies above the others, and stands at the height `dragged_y` of its middle, in
    pixels of this widget's parent, unless that is None.
    """

    line = ListProperty()
    lifted = StringProperty("")
    dragged_y = NumericProperty(None, allownone=True)
    edge_px = NumericProperty(0.0)
    """Room all round, for the ring that shows where the keys stand."""

    def __init__(self, **kwargs: Any) -> None:
        self._plates: dict[str, OrderPlate] = {}
        self.broad = 0.0
        super().__init__(**kwargs)
        for name in ("line", "lifted"):
            self.fbind(name, self._changed)
        for name in ("pos", "size", "dragged_y", "edge_px"):
            self.fbind(name, self._moved)

    def _changed(self, *_: Any) -> None:
        for number, key in enumerate(self.line, 1):
            plate = self._plates[key]
            plate.number, plate.lifted = number, key == self.lifted
        self._stack()
        self.place()

    def _moved(self, *_: Any) -> None:
        self.place()

    def fill(self, choices: Sequence[Choice], *, on_touch: Callable[[int], None], pad: Any) -> None:
        """One plate for each thing, in their order; `on_touch` is told the place of one touched.

        `pad` is asked by the plates where the keys walk on to.
        """
        self.line = []
        self._plates = {}
        for choice in choices:
            plate = OrderPlate(pad=pad, key_id=choice.id, label=choice.label)
            plate.bind(on_release=lambda plate: on_touch(plate.number))
            self._plates[choice.id] = plate
        self.line = list(self._plates)

    def plate(self, key: str) -> OrderPlate:
        """The plate of a thing. Raises KeyError where there is none such."""
        return self._plates[key]

    @property
    def plates(self) -> tuple[OrderPlate, ...]:
        """All plates, in the order in which they were filled in."""
        return tuple(self._plates.values())

    def set_live(self, live: bool) -> None:
        """Whether the plates can be touched and focused."""
        for plate in self.plates:
            plate.disabled, plate.can_focus = not live, live

    def _stack(self) -> None:
        """Things are walked to in their order; what is lifted lies above the others."""
        wished = [self._plates[key] for key in self.line if key != self.lifted]
        wished += [self._plates[key] for key in self.line if key == self.lifted]
        if self.children[::-1] != wished:
            self.clear_widgets()
            for plate in wished:
                self.add_widget(plate)

    def place(self) -> None:
        """Each plate in its place; a dragged one under the finger."""
        for number, key in enumerate(self.line, 1):
            plate = self._plates[key]
            aside = dp(LIFTED_ASIDE) if plate.lifted else 0.0
            plate.x = self.x + self.edge_px + (0.0 if look.left_handed else aside)
            plate.width = max(1.0, self.broad - aside)
            if plate.lifted and self.dragged_y is not None:
                plate.center_y = self.dragged_y
            else:
                plate.top = self._top_of(number)

    @property
    def _step_px(self) -> float:
        """From one place to the next."""
        return float(self.plates[0].height + dp(APART))

    def _top_of(self, number: int) -> float:
        return float(self.top - self.edge_px - (number - 1) * self._step_px)

    def place_at(self, y: float) -> int:
        """The number of the place nearest to a middle at this height."""
        return round((self._top_of(1) - y + dp(APART) / 2) / self._step_px + 0.5)

    def fit(self, width: float, room: float) -> None:
        """Lay the plates out in this width, as high as the height `room` allows, or higher."""
        high = self._fit_in(width, room)
        if self._high_with(high) > room + 1:  # it rolls, with a bar beside it
            width -= dp(LIFTED_ASIDE + theme.HAIR)
            high = self._fit_in(width, room)
        self.broad = width
        for plate in self.plates:
            plate.size = width, high
        self.height = self._high_with(high)
        self.place()

    def _fit_in(self, width: float, room: float) -> float:
        """How high each plate is in this width; what is lifted is narrower than the others."""
        least = max(plate.fit(width - dp(LIFTED_ASIDE)) for plate in self.plates)
        spare = (room - 2 * self.edge_px + dp(APART)) / len(self._plates) - dp(APART)
        return float(max(least, min(spare, dp(HIGHEST_PLATE) * look.room)))

    def _high_with(self, plate: float) -> float:
        """How high all is with plates so high."""
        return float(len(self._plates) * (plate + dp(APART)) - dp(APART) + 2 * self.edge_px)
