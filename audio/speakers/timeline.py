"""When a frame that a device has fetched, or will fetch, leaves it."""

from __future__ import annotations

from audio.format import SAMPLE_RATE

JUMP_S = 0.25
LEAN = 0.02


class Timeline:
    """Follows a device that fetches frames in bursts but plays them evenly.

    A fetch can be late, never early: the earliest ones, leaning slowly towards the later for the
    drift between the clocks, tell the true rhythm. After a gap it begins anew.
    """

    def __init__(self) -> None:
        self._zero: float | None = None

    def note(self, position: int, moment: float, latency_s: float) -> None:
        """The device fetches at frame `position`; that frame leaves `latency_s` after `moment`."""
        zero = moment + latency_s - position / SAMPLE_RATE
        if self._zero is None or zero < self._zero or zero - self._zero > JUMP_S:
            self._zero = zero
        else:
            self._zero += LEAN * (zero - self._zero)

    def leaves(self, position: int, now: float) -> float:
        """`time.monotonic()` when frame `position` leaves; nothing fetched yet counts as `now`."""
        zero = now if self._zero is None else self._zero
        return zero + position / SAMPLE_RATE
