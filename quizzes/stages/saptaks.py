"""Whether a line lies in the saptaks that a stage goes through, and goes through them in order."""

from __future__ import annotations

import math
from collections.abc import Sequence

from audio.line import Line
from quizzes.stages.stage import SAPTAKS

OCTAVE, FIFTH = 12, 7
LEAST_IN_SAPTAK = 0.6
"""The share of its time that a line in one saptak is there at least."""
LEAST_MOVED = 0.3
"""How far, in fifths, the last third of a line lies from the first, towards the last saptak."""
NOT_REACHED = 0.5
"""What a line is marked down by at least that does not reach a saptak, or ends outside of its
one."""


def share_in(saptak: str, steps: int) -> float:
    """How much a swara, in semitones above middle Sa, belongs to a saptak: the Sa between two of
    them to either, but only by half where it is the upper one's first."""
    at = SAPTAKS.index(saptak) - 1
    if steps == (at + 1) * OCTAVE:
        return 0.5
    if saptak == "madhya" and -3 <= steps < 0:
        return 0.5  # what is touched below Sa, as nearly every phrase from it does
    return float(at * OCTAVE <= steps < (at + 1) * OCTAVE)


def astray(line: Line, register: Sequence[str], *, round_again: bool) -> float:
    """How far a line is from going through a register; 0 where it does.

    In one saptak it stays for most of its time and comes to rest. Through several it goes into
    mandra and tar if these are among them, and unless it goes `round_again`, as what is composed
    in a tala does, it moves from the first towards the last.
    """
    notes = list(line.notes())
    steps = [note.swara.steps for note in notes]
    if len(register) == 1:
        whole = sum(note.matras for note in notes)
        inside = sum(
            float(note.matras) * share_in(register[0], note.swara.steps) for note in notes
        ) / float(whole)
        ends = share_in(register[0], steps[-1])
        return 2 * max(0.0, LEAST_IN_SAPTAK - inside) + NOT_REACHED * (not ends)
    missed = NOT_REACHED * (not reached(steps, register))
    return missed + (0.0 if round_again else _unmoved(steps, register))


def reached(steps: Sequence[int], register: Sequence[str]) -> bool:
    """Whether it comes into mandra and to the upper Sa, where these are of the register."""
    return ("mandra" not in register or min(steps) < 0) and (
        "tar" not in register or max(steps) >= OCTAVE
    )


def _unmoved(steps: Sequence[int], register: Sequence[str]) -> float:
    """How far, in fifths, a line does not move from the first saptak towards the last."""
    rises = SAPTAKS.index(register[-1]) - SAPTAKS.index(register[0])
    third = len(steps) // 3
    if not rises or not third:
        return 0.0
    moved = (sum(steps[-third:]) - sum(steps[:third])) / third / FIFTH
    return max(0.0, LEAST_MOVED - math.copysign(moved, moved * rises))
