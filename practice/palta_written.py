"""How the palta of the day is written: its groups, what is held in them, and where matras begin."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate

from audio.line import HOLD, Beat, Line, Tone
from practice.varied import Varied
from quizzes.names import ORDINALS

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
    sizes = [len(group) for group in varied.run.groups] + [1] * len(varied.home)
    ends = list(accumulate(sizes))
    groups = tuple(tuple(notes[end - size : end]) for size, end in zip(sizes, ends, strict=True))
    up = len(varied.run.up)
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
            note.append(Cell(str(part.swara) if isinstance(part, Tone) else HELD, place == 0))
    yield tuple(note)


def end_words(varied: Varied) -> str:
    """Where in its tala it ends: "It ends on matra 3 of the second round."."""
    last = list(varied.played.notes())[-1]
    rounds, left = divmod(last.onset, varied.tala.matras)
    if left == 0:
        return "It ends on sam."
    name = ORDINALS[rounds] if rounds < len(ORDINALS) else f"{rounds + 1}th"
    where = f"matra {int(left) + 1}" if left == int(left) else f"within matra {int(left) + 1}"
    return f"It ends {'' if 'within' in where else 'on '}{where} of the {name} round."


def plain(group: Sequence[Sequence[Cell]]) -> str:
    """A group in sargam, "R G -"."""
    return " ".join("".join(cell.text for cell in note) for note in group)
