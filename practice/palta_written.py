"""How the palta of the day is written: its groups, what is held in them, and where matras begin."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate

from audio.line import HOLD, Beat, Line, Tone
from practice.varied import Varied
from quizzes.names import in_letters, swara_word
from words import say

HELD = "-"


@dataclass(frozen=True, slots=True)
class Cell:
    """A swara, or what is held of one, and whether a matra begins with it."""

    text: str
    on_matra: bool


Group = tuple[tuple[Cell, ...], ...]
"""Of each swara its own cell and those in which it is held."""


def groups_of(varied: Varied) -> tuple[tuple[Group, ...], tuple[Group, ...]]:
    """The groups on the way up and on the way down, the Sa with which it ends among them."""
    notes = list(_notes(varied.played))
    run = varied.run
    parts = (run.up, [varied.turn] if varied.turn else [], run.down, [varied.home])
    sizes = [len(group) for part in parts for group in part]
    ends = list(accumulate(sizes))
    groups = tuple(tuple(notes[end - size : end]) for size, end in zip(sizes, ends, strict=True))
    up = len(run.up) + len(parts[1])
    return groups[:up], groups[up:]


def _notes(line: Line) -> Iterator[tuple[Cell, ...]]:
    """Each swara of a line with what is held of it."""
    note: list[Cell] = []
    for beat in line.items:
        assert isinstance(beat, Beat)
        for place, part in enumerate(beat.parts):
            if part != HOLD and note:
                yield tuple(note)
                note = []
            note.append(
                Cell(in_letters([part.swara]) if isinstance(part, Tone) else HELD, place == 0)
            )
    yield tuple(note)


def begin_words(varied: Varied) -> str:
    """Where in its tala it begins, and that it ends on sam."""
    if varied.begins == 0:
        return say("Begin on sam; the last {sa} falls on sam.", sa=swara_word(0))
    return say(
        "Begin on matra {matra}; then the last {sa} falls on sam.",
        matra=varied.begins + 1,
        sa=swara_word(0),
    )


def plain(group: Sequence[Sequence[Cell]]) -> str:
    """A group in sargam, "R G -"."""
    return " ".join("".join(cell.text for cell in note) for note in group)
