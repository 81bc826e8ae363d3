"""A phrase that a student has kept, as the question of a deck that lets it be written."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from audio.line import Line
from audio.sargam import parse
from practice.phrase_said import raga_of_phrase
from practice.phrases import KeptPhrase
from quizzes.decks.deck import COUNTED
from quizzes.decks.limits import TEMPOS
from quizzes.names import listed

PHRASE = "the phrase that you hear"
ASKED = {"lengths": "how long each swara lasts", "ornaments": "what the left hand does"}
"""What the prompt asks for besides, by what counts."""
_DRONES = {"m": "Sa-Ma", "N": "Sa-Ni", "": "none"}
"""By the first string; with Pa it is as usual."""


def question_of(phrase: KeptPhrase, tradition: str) -> dict[str, Any]:
    """The fields of a `write-phrase` of a deck's file, filled in. What is in the phrase counts:
    lengths where it has several, ornaments where it has any."""
    counts = _counts(parse(phrase.sargam))
    raga = raga_of_phrase(phrase, tradition)
    fields = {
        "kind": "write-phrase",
        "prompt": f"Write {listed([PHRASE, *(ASKED[word] for word in counts)])}.",
        "name": f"A phrase of {raga.name}" if raga is not None else "",
        "sargam": phrase.sargam,
        "tempo": round(min(max(phrase.tempo, TEMPOS[0]), TEMPOS[1])),
        "drone": _DRONES.get(phrase.drone, ""),
        "counts": list(counts),
    }
    return {field: value for field, value in fields.items() if value}


def _counts(line: Line) -> tuple[str, ...]:
    """Those of COUNTED that the phrase has."""
    notes = list(line.notes())
    steps = {other.onset - one.onset for one, other in pairwise(notes)}
    parted = any(one.end < other.onset for one, other in pairwise(notes))
    tones = [note.tone for note in notes]
    has = {
        "lengths": len(steps) > 1 or parted,
        "ornaments": any(t.by or t.touches or t.shaken or t.sway for t in tones),
    }
    return tuple(word for word in COUNTED if has[word])
