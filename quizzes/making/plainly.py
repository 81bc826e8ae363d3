"""A short line in words: its swaras in sargam, and how they are held and struck without signs."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from audio.line import Line, Note
from audio.ornaments import MEENDS
from quizzes.names import in_letters, listed, number_word
from quizzes.ragas.words import letter_name
from words import say, say_as

ONE = Fraction(1)
HALF = Fraction(1, 2)


def plainly(line: Line) -> str:
    """`m P d N S' r', the last held two matras and swinging slowly`; who does not know the signs
    yet can read it."""
    notes = list(line.notes())
    lengths = {note.matras for note in notes}
    evenly = lengths.pop() if len(lengths) == 1 else ONE
    more = [say("each held {matras}", matras=_matras(evenly))] if evenly != ONE else []
    for place, note in enumerate(notes):
        done = list(_done(note, "" if evenly != ONE else _matras(note.matras)))
        if note.tone.by in MEENDS:
            before, after = (letter_name(notes[at].swara.letter) for at in (place - 1, place))
            more.append(say("a meend from {before} to {after}", before=before, after=after))
        if done and place == len(notes) - 1:
            more.append(say("the last {treated}", treated=listed(done)))
        elif done:
            name = letter_name(note.swara.letter)
            more.append(say("{swara} {treated}", swara=name, treated=listed(done)))
    text = in_letters([note.swara for note in notes])
    return say("“{line}” (with {more})", line=text, more=listed(more)) if more else text


def _done(note: Note, matras: str) -> Iterator[str]:
    if matras:
        yield say("held {matras}", matras=matras)
    if note.tone.sway:
        yield say("swinging slowly")
    if note.tone.loud:
        louder = note.tone.loud > 0
        yield say_as("of a swara", "stronger") if louder else say_as("of a swara", "softer")
    if note.tone.tone:
        brighter = note.tone.tone > 0
        yield say_as("of a swara", "brighter") if brighter else say_as("of a swara", "rounder")


def _matras(matras: Fraction) -> str:
    """ "" of one, which needs no word."""
    if matras == ONE:
        return ""
    if matras == HALF:
        return say("half a matra")
    whole = matras.denominator == 1
    number = number_word(int(matras)) if whole else f"{float(matras):g}"
    return say("{number} matras", number=number)
