"""Figures in words, as they stand on pages."""

from __future__ import annotations

import re
from collections.abc import Sequence

from quizzes.names import SAPTAK_NAMES, listed
from scheduler.history import longest_ms
from scheduler.reliability import FEW
from words import say, say_many

_SMALL = {"komal", "tivra", *SAPTAK_NAMES.values()}
"""Words with which the name of a swara or a gap may begin in English, and which are no names; other
scripts have no capitals."""


GLUE = "\u00a0"
_GLUED = re.compile(r" (?=%)|(?<=\d) (?=of \d)|(?<=\d of) (?=\d)")


def glued(text: str) -> str:
    """The text, where a percent sign stays with its number, and so do both numbers of a count."""
    return _GLUED.sub(GLUE, text)


def percents(interval: tuple[float, float]) -> str:
    """`21 to 57 %`."""
    low, high = interval
    return say("{low} to {high} %", low=f"{100 * low:.0f}", high=f"{100 * high:.0f}")


def part_of(count: int, asked: int, interval: tuple[float, float]) -> str:
    """`9 of 24 (21 to 57 %)`; where it is of few, that too: `8 of 18 (25 to 66 %, few)`."""
    return f"{count} of {asked} ({percents(interval)}{', few' if asked < FEW else ''})"


def so_many(count: int, thing: str) -> str:
    """`1 skill`, `7 skills`: in figures, as several counts stand in one line; in English, as pages
    are."""
    return f"{count} {thing}{'s' * (count != 1)}"


def are(count: int) -> str:
    """The verb for so many."""
    return "is" if count == 1 else "are"


def within(number: int) -> str:
    """Until when the answers of a bin and those before it came: `within 0.9 s`."""
    seconds = longest_ms(number) / 1000
    return "before the sound had ended" if seconds < 0.05 else f"within {seconds:.1f} s"


def minutes_words(minutes: float) -> str:
    """`213 minutes`."""
    whole = round(minutes)
    if not whole:
        return say("less than a minute")
    return say_many("{count} minute", "{count} minutes", whole)


def amid(label: str, subject: str = "") -> str:
    """A name of a thing as it stands within a sentence: `komal Ga`, `kan from above`; what is a
    name of its own stays, as a raga's does."""
    first = label.partition(" ")[0].lower()
    is_common = first in _SMALL or subject in ("ornaments", "stages")
    return label[:1].lower() + label[1:] if is_common else label


def some(names: Sequence[str], most: int) -> str:
    """`Re, Ga and 12 more`: the first of many names, and how many there are besides; parted by
    semicolons where a name has a comma of its own."""
    shown = [*names[:most], *([f"{len(names) - most} more"] if len(names) > most else [])]
    if any("," in name for name in names[:most]):
        return "; ".join(shown)
    return listed(shown)
