"""A short line in words: its swaras in sargam, and how they are held and struck without signs."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from audio.line import Line, Note
from audio.ornaments import MEENDS
from quizzes.names import in_sargam, listed, number_word
from quizzes.ragas.words import letter_name

ONE = Fraction(1)
HALF = Fraction(1, 2)


def plainly(line: Line) -> str:
    """`m P d N S' r', the last held two matras and swinging slowly`; who does not know the signs
    yet can read it."""
    notes = list(line.notes())
    lengths = {note.matras for note in notes}
    evenly = lengths.pop() if len(lengths) == 1 else ONE
    more = [f"each held {_matras(evenly)}"] if evenly != ONE else []
    for place, note in enumerate(notes):
        done = list(_done(note, "" if evenly != ONE else _matras(note.matras)))
        if note.tone.by in MEENDS:
            before = letter_name(notes[place - 1].swara.letter)
            more.append(f"a meend from {before} to {letter_name(note.swara.letter)}")
        if done:
            name = "the last" if place == len(notes) - 1 else letter_name(note.swara.letter)
            more.append(f"{name} {listed(done)}")
    text = in_sargam([note.swara for note in notes])
    return f"{text} (with {listed(more)})" if more else text


def _done(note: Note, matras: str) -> Iterator[str]:
    if matras:
        yield f"held {matras}"
    if note.tone.sway:
        yield "swinging slowly"
    if note.tone.loud:
        yield "stronger" if note.tone.loud > 0 else "softer"
    if note.tone.tone:
        yield "brighter" if note.tone.tone > 0 else "rounder"


def _matras(matras: Fraction) -> str:
    """ "" of one, which needs no word."""
    if matras == ONE:
        return ""
    if matras == HALF:
        return "half a matra"
    whole = matras.denominator == 1
    return f"{number_word(int(matras)) if whole else f'{float(matras):g}'} matras"
