"""A clock that a test moves, and a hand that taps by it: half a minute of tapping in a second."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager

from kivy.base import EventLoop

from tests.window.hands import Finger

SHORTLY_S = 0.05


class Pace:
    """Stands in for `time.monotonic` and `time.sleep`: only sleep, and what is `spent`, takes time.

    The window's loop rests a little in each frame while it waits for taps, so frames move it on.
    """

    def __init__(self) -> None:
        self.now = time.monotonic()

    def spend(self, seconds: float) -> None:
        self.now += seconds


class TappingHand:
    """Puts a finger down and lifts it at moments of `time.monotonic`, as the loop looks for input.

    The loop sees each touch when it next looks, as it does those of a real device.
    """

    def __init__(self, widget, pace) -> None:
        self._pace = pace
        self._at = widget.to_window(*widget.center)
        self._moments: list[float] = []

    def tap_at(self, moments) -> None:
        self._moments = sorted([*self._moments, *moments])

    def run_until(self, fact) -> None:
        """Let the loop run until `fact` holds, with a leap to shortly before each tap."""

        def is_so():
            if self._moments:
                self._pace.spend(max(0.0, self._moments[0] - SHORTLY_S - time.monotonic()))
            return fact()

        run_until(is_so)

    def start(self) -> None:
        """For Kivy, to whom this is a device."""

    stop = start

    def update(self, dispatch_fn) -> None:
        while self._moments and self._moments[0] <= time.monotonic():
            self._moments.pop(0)
            finger = Finger(*self._at)
            dispatch_fn("begin", finger)
            dispatch_fn("end", finger)


@contextmanager
def hand_on(widget, pace) -> Iterator[TappingHand]:
    """A hand over the middle of a widget."""
    hand = TappingHand(widget, pace)
    EventLoop.add_input_provider(hand)
    try:
        yield hand
    finally:
        EventLoop.remove_input_provider(hand)


def run_until(fact, *, most_frames=40_000):
    """Let the loop run until `fact` holds."""
    for _ in range(most_frames):
        if fact():
            return
        EventLoop.idle()
    raise AssertionError("it did not come")
