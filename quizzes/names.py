"""What swaras, saptaks and gaps are called, for readers."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any

from audio.tuning import Swara, Tuning
from words import SWARAS_SAID, in_script, pattern_of, say, say_as, say_many, swaras_in, to_say

_ALTERED = {"komal": to_say("komal {swara}"), "tivra": to_say("tivra {swara}")}
_NAMED = (
    (0, ""),
    (1, "komal"),
    (1, ""),
    (2, "komal"),
    (2, ""),
    (3, ""),
    (3, "tivra"),
    (4, ""),
    (5, "komal"),
    (5, ""),
    (6, "komal"),
    (6, ""),
)
"""Of each semitone which of the seven it is, and whether komal or tivra."""

SAPTAK_NAMES = {-1: to_say("mandra"), 0: to_say("madhya"), 1: to_say("tar")}
_OUTER_SAPTAKS = {
    -3: to_say("ati-ati-mandra"),
    -2: to_say("ati-mandra"),
    2: to_say("ati-tar"),
    3: to_say("ati-ati-tar"),
}
"""Beyond what is asked, but not beyond what can be written."""


def swara_word(semitone: int) -> str:
    """`komal Re` of 1, in the letters in use."""
    which, altered = _NAMED[semitone]
    swara = SWARAS_SAID[swaras_in()][which]
    return say(_ALTERED[altered], swara=swara) if altered else swara


def swara_name(swara: Swara) -> str:
    """`komal Re`; outside the middle saptak with its saptak: `mandra Ni`."""
    return in_saptak(swara_word(swara.semitone), swara.octave)


def in_saptak(name: str, octave: int) -> str:
    """The name of a swara; outside the middle saptak with its saptak before it."""
    if octave == 0:
        return name
    saptaks = SAPTAK_NAMES if octave in SAPTAK_NAMES else _OUTER_SAPTAKS
    return say("{saptak} {swara}", saptak=say(saptaks[octave]), swara=name)


def in_sargam(swaras: Iterable[Swara]) -> str:
    """`N, R G`, as sargam is typed, parsed and kept."""
    return " ".join(map(str, swaras))


def in_letters(swaras: Iterable[Swara]) -> str:
    """The same in the letters in use, for readers only."""
    return in_script(in_sargam(swaras))


def gap_name(lower: Swara, upper: Swara, direction: str) -> str:
    """`Re up to Pa`, `Pa down to Re` or `Re and Pa together`."""
    low, high = swara_name(lower), swara_name(upper)
    if direction == "up":
        return say("{low} up to {high}", low=low, high=high)
    if direction == "down":
        return say("{high} down to {low}", low=low, high=high)
    return say("{low} and {high} together", low=low, high=high)


def gap_size(lower: Swara, upper: Swara, tuning: Tuning) -> str:
    """The same gap by size: `5 semitones, 4/3, fourth`; cents where no ratio is known."""
    steps = upper.steps - lower.steps
    ratio = gap_ratio(lower, upper, tuning)
    cents = tuning.cents_of(upper) - tuning.cents_of(lower)
    size = in_cents(cents) if ratio is None else ratio_text(ratio)
    return f"{in_semitones(steps)}, {size}, {western_name(steps)}"


def in_cents(cents: float) -> str:
    """`204 cents`, in whole cents."""
    return say_many("{count} cent", "{count} cents", round(cents))


def in_semitones(steps: int) -> str:
    """`5 semitones`."""
    return say_many("{count} semitone", "{count} semitones", steps)


def western_name(steps: int) -> str:
    """A gap's Western name by semitones, for students who know it from elsewhere; a fourth or fifth
    is not called perfect, since by size it need not be."""
    return (
        say_as("a gap", "unison"),
        say_as("a gap", "minor second"),
        say_as("a gap", "major second"),
        say_as("a gap", "minor third"),
        say_as("a gap", "major third"),
        say_as("a gap", "fourth"),
        say_as("a gap", "tritone"),
        say_as("a gap", "fifth"),
        say_as("a gap", "minor sixth"),
        say_as("a gap", "major sixth"),
        say_as("a gap", "minor seventh"),
        say_as("a gap", "major seventh"),
        say_as("a gap", "octave"),
    )[steps]


def gap_ratio(lower: Swara, upper: Swara, tuning: Tuning) -> Fraction | None:
    """The exact ratio of a gap where the tuning knows both ends."""
    low, high = tuning.ratio_of(lower), tuning.ratio_of(upper)
    return None if low is None or high is None else high / low


ORDINALS = (
    to_say("first"),
    to_say("second"),
    to_say("third"),
    to_say("fourth"),
    to_say("fifth"),
    to_say("sixth"),
    to_say("seventh"),
    to_say("eighth"),
)
"""To be said; `ordinal` says them."""


def ordinal(place: int) -> str:
    """`third` of place 2; from the ninth on in figures."""
    return say(ORDINALS[place]) if place < len(ORDINALS) else say("{number}th", number=place + 1)


_NUMBERS = (
    to_say("no"),
    to_say("one"),
    to_say("two"),
    to_say("three"),
    to_say("four"),
    to_say("five"),
    to_say("six"),
    to_say("seven"),
    to_say("eight"),
    to_say("nine"),
    to_say("ten"),
)


def number_word(count: int) -> str:
    """`three`; from eleven on in figures."""
    return say(_NUMBERS[count]) if count < len(_NUMBERS) else str(count)


def counted(count: int, one: str, many: str, **parts: Any) -> str:
    """`one gap`, `three gaps`, `15 gaps` of "{number} gap" and "{number} gaps", which the catalogue
    holds together."""
    return say_many(one, many, count, number=number_word(count), **parts)


def swaras_counted(count: int) -> str:
    """`three swaras`."""
    return counted(count, "{number} swara", "{number} swaras")


def in_figures(phrase: str, count: int) -> str:
    """`7 gaps` of `seven gaps`: where several counts stand in one line, all are to look alike."""
    word = re.compile(rf"(?<!\S)(?:{pattern_of(number_word(count))})")
    if word.search(phrase) is None:
        return f"{count}{phrase}"
    return word.sub(str(count), phrase, count=1)


def ratio_text(ratio: Fraction) -> str:
    """`3/2`; the octave is `2/1`, as ratios are written."""
    return f"{ratio.numerator}/{ratio.denominator}"


def capital(text: str) -> str:
    """The text with a capital first letter; unlike `str.capitalize` it leaves the rest alone."""
    return text[:1].upper() + text[1:]


def listed(words: Sequence[str], joint: str = "and") -> str:
    """`a`, `a and b`, `a, b and c`; or with "or"."""
    *before, last = words or [""]
    if not before:
        return last
    both = {"and": to_say("{before} and {last}"), "or": to_say("{before} or {last}")}
    return say(both[joint], before=", ".join(before), last=last)


def plain_name(name: str) -> str:
    """A name by which it is looked up: without case, spaces and signs."""
    return "".join(letter for letter in name.casefold() if letter.isalnum())
