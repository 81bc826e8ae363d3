"""What a narrowed kind of Kaan asks, in few words: by it questions of one kind are told apart."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any

from quizzes.catalogue import name_of
from quizzes.decks import collecting
from quizzes.decks.deck import Narrowed
from quizzes.decks.narrowed import CHOSEN, narrowed_of
from quizzes.decks.narrowing import PHRASES
from quizzes.met_in_order import met_in
from quizzes.names import capital, listed
from quizzes.places import Places
from quizzes.ragas import ragas
from quizzes.talas import talas
from words import language, say, swaras_in

NAMED = 4
"""So many of what is asked are named; of more the first, and how many others."""
KEPT = 512


def words_of_narrowed(entry: Narrowed, tradition: str) -> str:
    """`Pa down to Re`; `Bhairav, Bhupali, Durga and Yaman`."""
    if entry.kind == PHRASES and entry.among:
        known = ragas(tradition)
        return _few([say(known[raga].name) if raga in known else raga for raga in entry.among])
    if len(entry.skills) == len(met_in(tradition).of_kind(entry.kind)):
        return say("All that this kind asks")
    return capital(_few([name_of(skill, tradition) for skill in entry.skills]))


def _few(names: Sequence[str]) -> str:
    if len(names) <= NAMED:
        return listed(names)
    return say(
        "{names} and {number} more",
        names=", ".join(names[: NAMED - 1]),
        number=len(names) - NAMED + 1,
    )


def words_of_values(values: Mapping[str, Any], kind: str, tradition: str) -> str:
    """The same of a question by the values of its file, as far as they can be read."""
    kept = {field: values[field] for field in (*CHOSEN, "among", "phrases") if field in values}
    text = json.dumps(kept, default=str)
    return _words_of_text(text, kind, tradition, language(), swaras_in())


@lru_cache(maxsize=KEPT)
def _words_of_text(text: str, kind: str, tradition: str, language: str, letters: str) -> str:
    """Kept, since a list of questions is shown again with every change."""
    return words_of_narrowed(read_narrowed(json.loads(text), kind, tradition), tradition)


def read_narrowed(values: Mapping[str, Any], kind: str, tradition: str) -> Narrowed:
    """A narrowed kind, as far as it can be read."""
    part = collecting.Part(values, (), collecting.Noted("", Places()))
    return narrowed_of(part, "", kind, ragas(tradition), talas(tradition), tradition)
