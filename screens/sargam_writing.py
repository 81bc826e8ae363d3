"""What the keys of a sargam keypad put into a line: swaras a matra apart, or run together."""

from __future__ import annotations

import re

from audio.line import BAR, HOLD, REST
from audio.tuning import SWARAS

OPENING = "({"
JOINS = r"/\<>"
_BEGINS = frozenset((*SWARAS, HOLD, REST, *OPENING))
_OF_A_BEAT = re.compile(r"[\s|]")


def placed(before: str, key: str, *, apart: bool) -> str:
    """What a key puts in after `before`: itself, and a space where a new matra begins.

    With `apart` each swara, hold and rest takes a matra of its own, except inside brackets, after
    a join and after a touch in brackets.
    """
    if key == BAR:
        return f"{'' if not before or before.endswith(' ') else ' '}{BAR} "
    if apart and key in _BEGINS and _is_whole(before):
        return f" {key}"
    return key


def _is_whole(before: str) -> bool:
    """Whether the beat that `before` ends in could end here."""
    beat = _OF_A_BEAT.split(before)[-1]
    opened = any(beat.count(a) > beat.count(b) for a, b in ("()", "{}"))
    return bool(beat) and not opened and beat[-1] not in f"){JOINS}"
