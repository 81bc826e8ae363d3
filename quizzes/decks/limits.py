"""How large a deck, and each thing in it, may be; `DECKS.md` tells the same figures."""

from __future__ import annotations

from audio.recorded import LONGEST_S
from audio.theka import FASTEST, SLOWEST

MOST_BYTES = 1_000_000
"""Of the file, in UTF-8."""
LONGEST_LINE = 10_000
"""Characters of one line of the file."""
DEEPEST = 8
"""Tables and lists within one another."""
MOST_FIELDS = 20_000
"""Keys and values of lists in the whole file."""
MOST_FAULTS = 1_000
"""After so many nothing more is looked at."""

MOST_QUESTIONS = 500
LONGEST_ID = 40
LONGEST_NAME = 80
LONGEST_PROMPT = 400
LONGEST_TEXT = 2_000
"""Of `about` and of every `why`."""
LONGEST_ANSWER = 160
"""Of a choice, a reason, or a thing to be put in order."""
LONGEST_SARGAM = 2_000
"""Characters of one line of sargam."""
HIGHEST_EDITION = 9_999

FEWEST_ANSWERS, MOST_ANSWERS = 2, 12
"""Choices, reasons, things, and what `among` names."""
MOST_PAIRS = 66
"""`[[question.before]]` of one question: as many as twelve things have."""
MOST_LINES = 20
"""Right lines of write-swaras; phrases of one raga."""
FEWEST_SWARAS, MOST_SWARAS = 2, 24
"""In a phrase, and in any line, that is to be written."""
MOST_LISTED = 200
"""In each of `skills`, `ask`, `ragas` and `talas`."""
MOST_BESIDE_AMONG = 24
"""Skills of a kind of which `among` says what is offered: each is tried when the deck is read."""
MOST_TRIED = 60
"""The same, of a whole deck."""

TEMPOS = (SLOWEST, FASTEST)
"""In matras a minute."""
MOST_CYCLES = 16
LONGEST_CUE_S = 120.0
"""Of a line of sargam or a theka as it sounds."""
LONGEST_RECORDING_S = LONGEST_S
OCTAVES = (-1, 1)
"""Mandra, madhya and tar: what the voices play and the frets show."""
