"""What a student's log holds beside answers, in a few words."""

from __future__ import annotations

from collections.abc import Sequence

from practice.instrument import minutes_by_day, paltas_given
from practice.phrases import phrases_of
from quizzes.names import listed
from scheduler import Note
from words import say, say_many, to_say

OTHER = to_say("of a sort that is not known here")


def noted_words(notes: Sequence[Note]) -> str:
    """`2 phrases kept, 14 paltas given and 35 minutes on the instrument`; what is none of these is
    not told."""
    minutes = round(sum(minutes_by_day(notes).values()))
    phrases, paltas = len(phrases_of(notes)), len(paltas_given(notes))
    found = {
        say_many("{count} phrase kept", "{count} phrases kept", phrases): phrases,
        say_many("{count} palta given", "{count} paltas given", paltas): paltas,
        say_many(
            "{count} minute on the instrument", "{count} minutes on the instrument", minutes
        ): minutes,
    }
    words = [told for told, count in found.items() if count]
    return listed(words) if words else say(OTHER)
