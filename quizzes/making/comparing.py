"""How a line is treated, its swaras left aside: what differs between two, and which is the graver.

That a grave mood lies low, moves slowly and is drawn with meend on few strokes, and a light one
high, fast and struck, is common practice: so alap is told from jhala, and the surbahar from the
sitar. Fewer strokes come of meend alone, so the two are one sign. That a slow pace is heard as calm
or sad and a fast one as glad, by listeners of any culture, is in Balkwill & Thompson 1999, on ragas
(from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from audio.line import Line
from audio.ornaments import MEENDS
from audio.playing import chains_of
from quizzes.dictation.places import Place, places_of
from words import say_as, to_say

TREATMENTS_SAID = {
    "timing": to_say("the timing"),
    "loudness": to_say("the loudness"),
    "tone": to_say("the tone"),
    "ornaments": to_say("what the left hand does"),
    "chikari": to_say("the playing of the chikari"),
}
"""What can differ while the swaras stay, as it is called in a sentence; to be said."""
_TREATED: Mapping[str, Callable[[Place], object]] = {
    # How long the last one rings cannot be told from how long it is written.
    "timing": lambda place: None if place.is_last else (place.held, place.span),
    "loudness": lambda place: place.tone.loud,
    "tone": lambda place: place.tone.tone,
    "ornaments": lambda place: place.hand,
    "chikari": lambda place: place.chikari,
}
_WAYS: Mapping[str, Callable[[Place, Place], object]] = {
    "timing": lambda was, now: (now.held / was.held, now.span / was.span),
    "loudness": lambda was, now: now.tone.loud - was.tone.loud,
    "tone": lambda was, now: now.tone.tone - was.tone.tone,
}
"""How a place of the phrase has changed, of what can be varied."""
GRAVER = {
    "lower": "higher",
    "slower": "faster",
    "with more meend": "with less meend",
}
"""Each sign of a graver mood, and its opposite."""
LEAST_LOWER = 6
"""Semitones in the mean: an octave lower for half of the time, and no mere slip."""
LEAST_SLOWER = Fraction(3, 2)
"""So many times as long: plainly another pace."""


def sign_in_words(sign: str) -> str:
    """How a line is played that shows this sign, or its opposite."""
    return {
        "lower": say_as("played", "lower"),
        "slower": say_as("played", "slower"),
        "with more meend": say_as("played", "with more meend"),
        "higher": say_as("played", "higher"),
        "faster": say_as("played", "faster"),
        "with less meend": say_as("played", "with less meend"),
    }[sign]


def differing(one: Line, other: Line, treatment: str) -> list[int]:
    """The places at which two lines of as many swaras differ in a treatment, as it is heard."""
    of = _TREATED[treatment]
    pairs = enumerate(zip(places_of(one), places_of(other), strict=True))
    return [place for place, (mine, theirs) in pairs if of(mine) != of(theirs)]


def alike_throughout(one: Line, other: Line, treatment: str) -> bool:
    """Whether each place of two lines of as many swaras is changed in the same way, so that within
    the line nothing moves."""
    pairs = list(zip(places_of(one), places_of(other), strict=True))
    if treatment == "timing":
        pairs = pairs[:-1]
    return len({_WAYS[treatment](mine, theirs) for mine, theirs in pairs}) <= 1


def signs_of(given: Line, made: Line) -> tuple[list[str], list[str]]:
    """In what the line that was made is graver than the given one, and in what it is lighter."""
    found = {
        "lower": _clearly(mean_steps(given) - mean_steps(made), LEAST_LOWER),
        "slower": _slower(given, made),
        "with more meend": _clearly(meends_in(made) - meends_in(given), 1),
    }
    graver = [sign for sign, way in found.items() if way > 0]
    return graver, [GRAVER[sign] for sign, way in found.items() if way < 0]


def _clearly(difference: float, least: float) -> int:
    return (difference >= least) - (difference <= -least)


def _slower(given: Line, made: Line) -> int:
    """By how long a swara lasts in the mean, the last one, which may ring on, left aside."""
    before, now = pace_of(given), pace_of(made)
    return (now >= LEAST_SLOWER * before) - (before >= LEAST_SLOWER * now)


def pace_of(line: Line) -> Fraction:
    """Matras from one swara to the next, in the mean; of one swara its length."""
    notes = list(line.notes())
    if len(notes) == 1:
        return notes[0].matras
    return (notes[-1].onset - notes[0].onset) / (len(notes) - 1)


def mean_steps(line: Line) -> float:
    """Semitones above middle Sa, in the mean over the time that swaras sound."""
    notes = list(line.notes())
    whole = sum((note.matras for note in notes), Fraction(0))
    return float(sum((note.swara.steps * note.matras for note in notes), Fraction(0)) / whole)


def meends_in(line: Line) -> int:
    """Strokes that are drawn with meend: up and back again on one is one."""
    return sum(any(note.tone.by in MEENDS for note in chain) for chain in chains_of(line))
