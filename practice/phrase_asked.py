"""A phrase that a student has kept, as a question of a deck: it is heard, and to be written."""

from __future__ import annotations

from typing import Any

from audio.line import Line
from audio.sargam import parse
from practice.phrase_said import raga_of_phrase
from practice.phrases import KeptPhrase
from quizzes.decks.deck import COUNTED
from quizzes.decks.limits import TEMPOS
from quizzes.dictation.places import places_of
from quizzes.names import listed
from words import say, to_say

KIND = "write-phrase"
DRONES = {"P": "Sa-Pa", "m": "Sa-Ma", "N": "Sa-Ni", "": "none"}
ASKED = {
    "lengths": to_say("how long each swara lasts"),
    "ornaments": to_say("what the left hand does"),
}
"""What the prompt asks for besides, by what counts; to be said."""


def question_of(phrase: KeptPhrase, tradition: str = "") -> dict[str, Any]:
    """The values of the question, as `quizzes.decks.draft.Draft.add` takes them.

    What counts beside the swaras is what there is in the phrase. It sounds in each student's own
    tuning.
    """
    counts = _counts(parse(phrase.sargam))
    raga = raga_of_phrase(phrase, tradition)
    slowest, fastest = TEMPOS
    asked = [say("the phrase that you hear"), *(say(ASKED[word]) for word in counts)]
    return {
        "kind": KIND,
        "prompt": say("Write {what}.", what=listed(asked)),
        **({} if raga is None else {"name": say("A phrase of {raga}", raga=say(raga.name))}),
        "sargam": phrase.sargam,
        "tempo": round(min(max(phrase.tempo, slowest), fastest), 2),
        "drone": DRONES[phrase.drone],
        **({"counts": counts} if counts else {}),
    }


def _counts(line: Line) -> list[str]:
    """Those of COUNTED that there are in it; how long the last swara lasts is never asked."""
    places = places_of(line)
    found = {
        "lengths": any(place.span != 1 or place.held != place.span for place in places[:-1]),
        "ornaments": not all(place.is_plain for place in places),
    }
    return [word for word in COUNTED if found[word]]
