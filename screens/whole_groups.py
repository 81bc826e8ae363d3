"""Groups of sargam in words keep together: no line ends in the middle of one that fits into it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from words import LETTERS

NO_BREAK = "\u00a0"
MOST = 9
"""Swaras that are one group at most: what has more is a whole way or a run, and may be broken."""
_WRITTEN = sorted(
    (form for letters in LETTERS.values() for forms in letters.swaras.values() for form in forms),
    key=len,
    reverse=True,
)
"""Swaras in other letters, those with a sign before those without."""
_SIGNS = "\u0900-\u0903\u093a-\u094f\u0951\u0952\u0981-\u0983\u09bc-\u09cd\u200c"
"""What makes another letter, or another sound, of the one before."""
_SWARA = rf"(?:(?:[SrRgGmMPdDnN]|{'|'.join(_WRITTEN)})(?:'+|,+)?)"
_JOIN = r"(?:[/\\]{1,2}|[<>])?"
_TOUCHED, _SHAKEN = r"(?:\([^() ]+\))?", rf"\{{(?:{_SWARA}){{2}}\}}"
_PLAYED = rf"{_TOUCHED}{_JOIN}(?:{_SWARA}|{_SHAKEN})[~^_*o]*(?::\d+(?:/\d+)?)?{_JOIN}"
_GROUP = re.compile(rf"(?<![\w',{_SIGNS}]){_PLAYED}(?: (?:{_PLAYED}|-))+(?![\w'{_SIGNS}])")


def kept_whole(text: str, fits: Callable[[str], bool]) -> str:
    """The text with spaces at which no line ends in each group that `fits` into one."""
    return _GROUP.sub(lambda match: " ".join(_bound(match.group(), fits)), text)


def _bound(group: str, fits: Callable[[str], bool]) -> Iterator[str]:
    """As a whole; where that is too long, from comma to comma, which may be no marks of a saptak;
    and what still is too long as it was."""
    whole = group.replace(" ", NO_BREAK)
    if group.count(" ") < MOST and fits(whole):
        yield whole
    elif ", " in group:
        for part in re.split(r"(?<=,) ", group):
            yield from _bound(part, fits)
    else:
        yield group
