"""What a student's log holds beside answers, in a few words."""

from __future__ import annotations

from collections.abc import Sequence

from practice.instrument import minutes_by_day, paltas_given
from practice.phrases import phrases_of
from quizzes.names import counted, in_figures, listed
from scheduler import Note

OTHER = "of a sort that is not known here"


def noted_words(notes: Sequence[Note]) -> str:
    """`2 phrases kept, 14 paltas given and 35 minutes on the instrument`; what is none of these is
    not told."""
    minutes = round(sum(minutes_by_day(notes).values()))
    found = [
        (len(phrases_of(notes)), "phrase", "kept"),
        (len(paltas_given(notes)), "palta", "given"),
        (minutes, "minute", "on the instrument"),
    ]
    words = [
        f"{in_figures(counted(count, thing), count)} {more}"
        for count, thing, more in found
        if count
    ]
    return listed(words) if words else OTHER
