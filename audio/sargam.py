"""Sargam in writing: one parser, one printer, and the way from a line to a score.

A line is a row of beats with spaces between them; each beat takes one matra.

    S R G m          four matras
    N, S'            mandra Ni, tar Sa; marks repeat for further octaves
    SR GmP           two, and three, notes to one matra
    S - R-G          "-" holds the note before it for one more part
    S . P            "." is a rest
    S:2 RG:3/2       a beat that takes another number of matras
    S R | G m        "|" is a bar, such as between vibhags

`( ) [ ] { } ~ ^ / \\ < >` are kept for ornaments. That notes joined together share a matra and that
a dash holds is common practice in printed sargam.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from audio.errors import SargamError
from audio.score import Drone, Score, Stroke
from audio.tuning import SWARAS, Swara, Tuning

HOLD, REST, BAR = "-", ".", "|"
KEPT_FOR_ORNAMENTS = "()[]{}~^/\\<>"
FURTHEST_OCTAVE = 3
MOST_MATRAS = 1000
LONGEST_LINE = 20_000


@dataclass(frozen=True, slots=True)
class Beat:
    """What sounds within one beat: its equal parts, and the matras that it takes in all."""

    parts: tuple[Swara | str, ...]
    """Swaras, HOLD or REST."""
    matras: Fraction = Fraction(1)


@dataclass(frozen=True, slots=True)
class Line:
    """A line of sargam: beats, and BAR where a bar stands."""

    items: tuple[Beat | str, ...]

    @property
    def matras(self) -> Fraction:
        return sum((item.matras for item in self.items if isinstance(item, Beat)), Fraction(0))

    def notes(self) -> Iterator[Note]:
        """The notes with their holds joined to them, in order."""
        onset, swara, length = Fraction(0), None, Fraction(0)
        begun = Fraction(0)
        for beat in (item for item in self.items if isinstance(item, Beat)):
            part_matras = beat.matras / len(beat.parts)
            for part in beat.parts:
                if part == HOLD:
                    length += part_matras
                else:
                    if swara is not None:
                        yield Note(swara, begun, length)
                    swara = part if isinstance(part, Swara) else None
                    begun, length = onset, part_matras
                onset += part_matras
        if swara is not None:
            yield Note(swara, begun, length)


@dataclass(frozen=True, slots=True)
class Note:
    """One swara with its onset and length in matras, exact."""

    swara: Swara
    onset: Fraction
    matras: Fraction


def parse(text: str) -> Line:
    """Read a line of sargam. Raises SargamError, which points at the character at fault."""
    if len(text) > LONGEST_LINE:
        raise SargamError(
            f"the line has {len(text)} characters; at most {LONGEST_LINE} can be read",
            text=text[:60],
            position=0,
        )
    items = tuple(
        BAR if match.group() == BAR else _beat(match.group(), match.start(), text)
        for match in re.finditer(r"\||[^\s|]+", text)
    )
    first = next((item for item in items if isinstance(item, Beat)), None)
    if first is None:
        raise SargamError("there is no note; write swaras such as S R G", text=text, position=0)
    if first.parts[0] == HOLD:
        position = text.index(HOLD)
        raise SargamError("nothing sounds yet that could be held", text=text, position=position)
    line = Line(items)
    if line.matras > MOST_MATRAS:
        raise SargamError(
            f"the line takes {line.matras} matras; at most {MOST_MATRAS} can be played",
            text=text,
            position=0,
        )
    return line


def _beat(token: str, start: int, text: str) -> Beat:
    body, colon, length = token.partition(":")
    matras = Fraction(1)
    if colon:
        position = start + len(body) + 1
        if re.fullmatch(r"[0-9]{1,6}(/[0-9]{1,6})?", length) is None:
            raise SargamError(
                "after : stands a number of matras, such as 2 or 3/2", text=text, position=position
            )
        if 0 in map(int, length.split("/")):
            raise SargamError("a beat takes more than nought matras", text=text, position=position)
        matras = Fraction(length)
    parts: list[Swara | str] = []
    position = 0
    while position < len(body):
        part, used = _part(body, position, start, text)
        parts.append(part)
        position += used
    if not parts:
        raise SargamError("a note should stand before :", text=text, position=start)
    return Beat(tuple(parts), matras)


def _part(body: str, position: int, start: int, text: str) -> tuple[Swara | str, int]:
    """One swara, hold or rest, and how many characters it took."""
    character = body[position]
    if character in (HOLD, REST):
        return character, 1
    where = start + position
    if character in KEPT_FOR_ORNAMENTS:
        raise SargamError(
            f"{character} is kept for ornaments, which cannot be played yet; leave it out",
            text=text,
            position=where,
        )
    if character not in SWARAS:
        hint = _hint(character)
        raise SargamError(f"{character!r} is not a swara; {hint}", text=text, position=where)
    match = re.compile("'+|,+").match(body, position + 1)
    marks = match.group() if match else ""
    after = position + 1 + len(marks)
    if after < len(body) and body[after] in "',":
        raise SargamError(
            "a note is marked upper (') or lower (,), not both", text=text, position=start + after
        )
    if len(marks) > FURTHEST_OCTAVE:
        raise SargamError(
            f"more than {FURTHEST_OCTAVE} octaves away cannot be played",
            text=text,
            position=where + 1 + FURTHEST_OCTAVE,
        )
    return Swara.read(character + marks), 1 + len(marks)


def _hint(character: str) -> str:
    if character in ("s", "p"):
        return f"{character.upper()} has no komal form: write {character.upper()}"
    if character in "',":
        return "an octave mark stands after its swara, as in S'"
    if character == "’":
        return "write the straight mark ' for the upper octave"
    return f"write one of {' '.join(SWARAS)} (small letters are komal, m shuddha and M tivra Ma)"


def write(line: Line) -> str:
    """The line in writing; `parse` reads it back as the same line."""
    return " ".join(item if isinstance(item, str) else _write_beat(item) for item in line.items)


def _write_beat(beat: Beat) -> str:
    length = "" if beat.matras == 1 else f":{beat.matras}"
    return "".join(map(str, beat.parts)) + length


def score_of(
    line: Line,
    tuning: Tuning,
    *,
    sa_hz: float,
    matras_per_min: float = 60.0,
    drone: Drone | None = None,
    lead_s: float = 0.0,
) -> Score:
    """A plain score of the line: one stroke a note, the last left to ring for a moment more."""
    matra_s = 60.0 / matras_per_min
    notes = list(line.notes())
    strokes = tuple(
        Stroke(
            onset_s=float(note.onset) * matra_s,
            duration_s=float(note.matras) * matra_s + (RING_S if note is notes[-1] else 0.0),
            path=((0.0, tuning.cents_of(note.swara)),),
        )
        for note in notes
    )
    return Score(sa_hz, strokes, drone, lead_s)


RING_S = 1.0
"""How long the last note of a line rings on after its written end."""
