"""Ways of treating a line: as its raga wants it held, with a meend, and in a graver mood."""

from __future__ import annotations

from dataclasses import replace

from audio.line import Beat, Line
from audio.ornaments import MEEND_DOWN, MEEND_UP, ornaments
from quizzes.fresh import Fresh
from quizzes.ragas.evidence import REST_MATRAS
from quizzes.ragas.pieces import within_reach
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import SWUNG_MATRAS


def swung(raga: Raga, line: Line) -> Line:
    """With what the raga surely lets swing swinging wherever it is held long enough."""
    letters = raga.andolan.value if raga.andolan.sure else ()
    return Line(
        tuple(
            Beat(
                (replace(note.tone, sway="andolan"),)
                if note.swara.letter in letters and note.matras >= SWUNG_MATRAS
                else (note.tone,),
                note.matras,
            )
            for note in line.notes()
        )
    )


def graver(fresh: Fresh, line: Line) -> Line:
    """The line an octave lower where the string reaches so far, held twice as long, and with one
    meend."""
    drawn = with_meend(fresh, line)
    notes = list(drawn.notes())
    lower = [replace(note.swara, octave=note.swara.octave - 1) for note in notes]
    down = within_reach(lower)
    return Line(
        tuple(
            Beat(
                (replace(note.tone, swara=low if down else note.swara),),
                2 * note.matras if place < len(notes) - 1 else REST_MATRAS,
            )
            for place, (note, low) in enumerate(zip(notes, lower, strict=True))
        )
    )


def with_meend(fresh: Fresh, line: Line) -> Line:
    """One swara drawn from the one before; the line as it is where none lies near enough."""
    notes = list(line.notes())
    span = ornaments()["meend"].parameters["span"].most
    able = [
        place
        for place in range(1, len(notes))
        if 0 < abs(notes[place].swara.steps - notes[place - 1].swara.steps) <= span
    ]
    if not able:
        return line
    place = fresh.one_of(able)
    rises = notes[place].swara.steps > notes[place - 1].swara.steps
    drawn = replace(notes[place].tone, by=MEEND_UP if rises else MEEND_DOWN)
    return Line(
        tuple(
            Beat((drawn if at == place else note.tone,), note.matras)
            for at, note in enumerate(notes)
        )
    )
