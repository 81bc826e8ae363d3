"""Phrases as a teacher writes them: swaras by their signs, what the left hand does in words.

A log has a line as a program reads it, with the time of each stroke. Here it reads
`g' S'; kan of D on n; D` (a comma would mark the lower octave). What stands between the words is
sargam, as `audio.sargam` reads it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby

from audio.errors import SargamError
from audio.line import HOLD, Line, Note, Tone
from audio.ornaments import GHASEETS, KRINTAN, MEENDS, SPARSH
from audio.sargam import parse

SIGNS = (
    "Sargam: small letters are komal, m is shuddha and M tivra Ma; N, lies a saptak below, S' one "
    "above; - holds the note."
)
TOGETHER = " / "
"""Stands in a log between two swaras that sound at once."""
LONGEST = 4
"""A long note is held for no more than so many of the shortest."""
_BY = dict.fromkeys(MEENDS, "meend") | dict.fromkeys(GHASEETS, "ghaseet")
_BY |= {SPARSH: "sparsh", KRINTAN: "krintan"}

Stroke = list[Note]
"""What sounds on one stroke: a note, and those that are joined to it."""


def swaras_to_play(written: str, *, held: bool = False) -> str:
    """A line of a log, to be played: with `held` a long note is held by "-", and else lengths are
    left out. What is no sargam is given as it is."""
    if TOGETHER in written:
        return f"{' and '.join(written.split(TOGETHER))} together"
    try:
        strokes = _strokes(parse(written))
    except SargamError:
        return written
    parts: list[str] = []
    for is_plain, alike in groupby(strokes, _is_plain):
        if is_plain:
            parts.append(" ".join(_plain(strokes, alike, held=held)))
        else:
            parts += [" and ".join(_done_by_hand(stroke)) for stroke in alike]
    return "; ".join(parts)


def _strokes(line: Line) -> list[Stroke]:
    found: list[Stroke] = []
    for note in line.notes():
        if note.tone.by and found:
            found[-1].append(note)
        else:
            found.append([note])
    return found


def _is_plain(stroke: Stroke) -> bool:
    return len(stroke) == 1 and stroke[0].tone == Tone(stroke[0].swara)


def _plain(strokes: Sequence[Stroke], those: Iterator[Stroke], *, held: bool) -> Iterator[str]:
    """Signs of the swaras of `those`, of all `strokes`, and of how long they last."""
    shortest = min(map(_matras, strokes))
    for stroke in those:
        yield str(stroke[0].swara)
        if held:
            yield from [HOLD] * (min(LONGEST, int(_matras(stroke) / shortest)) - 1)


def _matras(stroke: Stroke) -> Fraction:
    return sum((note.matras for note in stroke), Fraction(0))


def _done_by_hand(stroke: Stroke) -> Iterator[str]:
    """`kan of D on n`; or `sparsh R to G` and `krintan to R`."""
    tones = [note.tone for note in stroke]
    if len(tones) == 1 or tones[0] != Tone(tones[0].swara):
        yield _alone(tones[0])
    first = f" {tones[0].swara}"
    for by, joined in groupby(tones[1:], lambda tone: _BY[tone.by]):
        yield f"{by}{first} to {' to '.join(map(_alone, joined))}"
        first = ""


def _alone(tone: Tone) -> str:
    """What is done on one swara."""
    swara, touches = str(tone.swara), " ".join(map(str, tone.touches))
    if tone.shaken is not None:
        return f"zamzama of {swara} and {tone.shaken}"
    done = [tone.sway] if tone.sway else []
    if touches:
        done.insert(0, f"{'kan of' if len(tone.touches) == 1 else 'murki'} {touches}")
    return f"{' and '.join(done)} on {swara}" if done else swara
