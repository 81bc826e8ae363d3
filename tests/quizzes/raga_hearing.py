"""What is heard in a cue: the swaras of the playing string, how long they last, how they move.

Read from the pitch of the strokes with the just ratios, never from what a question says of itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from audio.score import Score, Stroke
from audio.tuning import JUST
from tests.quizzes.raga_oracle import Line

OFF_CENTS = 25.0
"""Further than this from every swara is no swara (a comma is 21.5)."""
LOW_CENTS = 50.0
"""Some ragas have a swara low: so far below its place it is that swara still, if the nearest."""
STEP_S = 0.005
HELD_S = 0.13
"""A pitch held as long is a swara of the line; what is shorter is a touch or a glide."""
STILL_CENTS = 10.0
LEAST_SWING_CENTS, MOST_SWING_CENTS = 20.0, 130.0
PAUSE_S = 0.4
"""A gap as long parts two phrases."""
LONGER = 1.4
"""A swara that is to be noticed lasts so many times as long as those that pass."""


@dataclass(frozen=True)
class Heard:
    """One swara of what sounds."""

    swara: int
    onset_s: float
    seconds: float
    swings: bool = False


def nearest(cents: float) -> int:
    """The swara nearest by the just ratios. Raises ValueError where none is near."""
    octave = int(cents // 1200.0)
    places = [
        (abs(off := cents - JUST.cents[step] - 1200.0 * o), off, step + 12 * o)
        for o in (octave, octave + 1)
        for step in range(12)
    ]
    _, off, swara = min(places)
    if not -LOW_CENTS <= off <= OFF_CENTS:
        raise ValueError(f"{cents:.0f} cents is no swara")
    return swara


def heard(cue: Score) -> list[Heard]:
    """The swaras of the playing string in a cue, in turn."""
    found: list[Heard] = []
    for stroke in sorted(cue.strokes, key=lambda stroke: stroke.onset_s):
        if stroke.voice != "chikari":
            found.extend(_in_stroke(stroke))
    return found


def _in_stroke(stroke: Stroke) -> Iterator[Heard]:
    if len(stroke.path) == 1:
        yield Heard(nearest(stroke.path[0][1]), stroke.onset_s, stroke.duration_s)
        return
    times, places = zip(*stroke.path, strict=True)
    cents = np.interp(np.arange(0.0, stroke.duration_s, STEP_S), times, places)
    begun = 0
    while begun < len(cents):
        end, place, swings = _held(cents, begun)
        seconds = (end - begun) * STEP_S
        if seconds >= HELD_S:
            yield Heard(nearest(place), stroke.onset_s + begun * STEP_S, seconds, swings)
        begun = max(end, begun + 1)


def _held(cents: np.ndarray, begun: int) -> tuple[int, float, bool]:
    """How far a pitch is held from here, where it lies, and whether it swings about that."""
    low = np.minimum.accumulate(cents[begun:])
    high = np.maximum.accumulate(cents[begun:])
    still = begun + int(np.searchsorted(high - low, STILL_CENTS))
    near = begun + int(np.searchsorted(high - low, MOST_SWING_CENTS))
    part = cents[begun:near]
    moving = part[np.append(True, np.diff(part) != 0.0)]
    moves = np.sign(np.diff(moving))
    crests = np.flatnonzero((moves[:-1] > 0) & (moves[1:] < 0)) + 1
    troughs = np.flatnonzero((moves[:-1] < 0) & (moves[1:] > 0)) + 1
    if len(crests) + len(troughs) >= 3 and np.ptp(part) > LEAST_SWING_CENTS:
        # A glide from or to the swing is no part of its place.
        return near, float(np.median(moving[crests]) + np.median(moving[troughs])) / 2, True
    return still, float(cents[begun:still].min() + cents[begun:still].max()) / 2, False


def swaras(notes: Sequence[Heard]) -> Line:
    return tuple(note.swara for note in notes)


def parts(notes: Sequence[Heard]) -> list[list[Heard]]:
    """The phrases of a cue, parted by silence."""
    found: list[list[Heard]] = [[]]
    for before, note in zip([None, *notes], notes, strict=False):
        if before is not None and note.onset_s - before.onset_s - before.seconds > PAUSE_S:
            found.append([])
        found[-1].append(note)
    return found


def rests(notes: Sequence[Heard]) -> list[Heard]:
    """The swaras that clearly last longer than those that only pass."""
    passing = min(note.seconds for note in notes)
    return [note for note in notes if note.seconds > LONGER * passing]


SAPTAKS = {-1: "mandra", 0: "madhya", 1: "tar"}


def saptak(notes: Sequence[Heard]) -> str | None:
    """The saptak in which a phrase lies for more than half of its time."""
    whole = sum(note.seconds for note in notes)
    for number, name in SAPTAKS.items():
        if sum(note.seconds for note in notes if note.swara // 12 == number) > whole / 2:
            return name
    return None
