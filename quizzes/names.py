"""What swaras, saptaks and gaps are called, for readers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from audio.tuning import Swara, Tuning

SWARA_NAMES = (
    "Sa",
    "komal Re",
    "Re",
    "komal Ga",
    "Ga",
    "Ma",
    "tivra Ma",
    "Pa",
    "komal Dha",
    "Dha",
    "komal Ni",
    "Ni",
)

SAPTAK_NAMES = {-1: "mandra", 0: "madhya", 1: "tar"}
_OUTER_SAPTAKS = {-3: "ati-ati-mandra", -2: "ati-mandra", 2: "ati-tar", 3: "ati-ati-tar"}
"""Beyond what is asked, but not beyond what can be written."""

WESTERN_NAMES = (
    "unison",
    "minor second",
    "major second",
    "minor third",
    "major third",
    "fourth",
    "tritone",
    "fifth",
    "minor sixth",
    "major sixth",
    "minor seventh",
    "major seventh",
    "octave",
)
"""Western names of gaps by semitones, for students who know them from elsewhere; a fourth or
fifth is not called perfect, since by size it need not be."""


def swara_name(swara: Swara) -> str:
    """`komal Re`; outside the middle saptak with its saptak: `mandra Ni`."""
    name = SWARA_NAMES[swara.semitone]
    saptaks = SAPTAK_NAMES if swara.octave in SAPTAK_NAMES else _OUTER_SAPTAKS
    return name if swara.octave == 0 else f"{saptaks[swara.octave]} {name}"


def in_letters(swaras: Iterable[Swara]) -> str:
    """`N, R G`, as sargam is written."""
    return " ".join(map(str, swaras))


def gap_name(lower: Swara, upper: Swara, direction: str) -> str:
    """`Re up to Pa`, `Pa down to Re` or `Re and Pa together`."""
    low, high = swara_name(lower), swara_name(upper)
    if direction == "up":
        return f"{low} up to {high}"
    if direction == "down":
        return f"{high} down to {low}"
    return f"{low} and {high} together"


def gap_size(lower: Swara, upper: Swara, tuning: Tuning) -> str:
    """The same gap by size: `5 semitones, 4/3, fourth`; cents where no ratio is known."""
    steps = upper.steps - lower.steps
    ratio = gap_ratio(lower, upper, tuning)
    cents = tuning.cents_of(upper) - tuning.cents_of(lower)
    size = f"{cents:.0f} cents" if ratio is None else ratio_text(ratio)
    return f"{steps} semitone{'s' * (steps != 1)}, {size}, {WESTERN_NAMES[steps]}"


def gap_ratio(lower: Swara, upper: Swara, tuning: Tuning) -> Fraction | None:
    """The exact ratio of a gap where the tuning knows both ends."""
    low, high = tuning.ratio_of(lower), tuning.ratio_of(upper)
    return None if low is None or high is None else high / low


ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")


def ordinal(place: int) -> str:
    """`third` of place 2; from the ninth on in figures."""
    return ORDINALS[place] if place < len(ORDINALS) else f"{place + 1}th"


_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def number_word(count: int) -> str:
    """`three`; from eleven on in figures."""
    return _NUMBERS[count] if count < len(_NUMBERS) else str(count)


def counted(count: int, thing: str) -> str:
    """`one gap`, `three gaps`, `15 gaps`."""
    return f"{number_word(count)} {thing}{'s' * (count != 1)}"


def in_figures(phrase: str, count: int) -> str:
    """`7 gaps` of `seven gaps`: where several counts stand in one line, all are to look alike."""
    return f"{count}{phrase.removeprefix(number_word(count))}"


def ratio_text(ratio: Fraction) -> str:
    """`3/2`; the octave is `2/1`, as ratios are written."""
    return f"{ratio.numerator}/{ratio.denominator}"


def capital(text: str) -> str:
    """The text with a capital first letter; unlike `str.capitalize` it leaves the rest alone."""
    return text[:1].upper() + text[1:]


def listed(words: Sequence[str], joint: str = "and") -> str:
    """`a`, `a and b`, `a, b and c`."""
    return f" {joint} ".join(filter(None, [", ".join(words[:-1]), *words[-1:]]))


def plain_name(name: str) -> str:
    """A name by which it is looked up: without case, spaces and signs."""
    return "".join(letter for letter in name.casefold() if letter.isalnum())
