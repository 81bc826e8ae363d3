"""A phrase that a student has kept, as a question of a deck: it is heard, and to be written."""

from __future__ import annotations

from typing import Any

from audio.sargam import parse
from practice.phrases import KeptPhrase
from quizzes.decks.limits import TEMPOS
from quizzes.dictation.places import places_of

KIND = "write-phrase"
DRONES = {"P": "Sa-Pa", "m": "Sa-Ma", "N": "Sa-Ni", "": "none"}


def question_of(phrase: KeptPhrase) -> dict[str, Any]:
    """The values of the question, as `quizzes.decks.draft.Draft.add` takes them.

    What counts beside the swaras is what there is in the phrase. It sounds in each student's own
    tuning.
    """
    places = places_of(parse(phrase.sargam))
    found = {
        "lengths": any(place.span != 1 for place in places),
        "ornaments": not all(place.is_plain for place in places),
    }
    slowest, fastest = TEMPOS
    return {
        "kind": KIND,
        "prompt": "Write the phrase that you hear.",
        "sargam": phrase.sargam,
        "tempo": round(min(max(phrase.tempo, slowest), fastest), 2),
        "drone": DRONES[phrase.drone],
        **({"counts": counts} if (counts := [word for word in found if found[word]]) else {}),
    }
