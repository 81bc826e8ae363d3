"""What must be so of a phrase that is to be written, of a deck's `write-phrase`."""

from __future__ import annotations

from audio.sargam import parse
from quizzes.decks.collecting import Part, such_as
from quizzes.decks.deck import COUNTED, Cue
from quizzes.decks.limits import FEWEST_SWARAS, LONGEST_NAME, MOST_SWARAS
from quizzes.fields import shown

PHRASE = 'write the phrase that is heard, such as sargam = "N, R G - R S"'


def counts_of(part: Part, cue: Cue) -> tuple[str, ...]:
    """What counts beside the swaras; what is wrong with it or with the phrase is noted."""
    _check_phrase(part, cue)
    if "counts" not in part:
        return ()
    found = part.listed("counts", most=len(COUNTED), example='["lengths"]', longest=LONGEST_NAME)
    for at, word in found:
        if word not in COUNTED:
            part.fault("counts", f"{shown(word)} cannot count", such_as(word, COUNTED), at)
    named = {word for _, word in found}
    return tuple(word for word in COUNTED if word in named)


def _check_phrase(part: Part, cue: Cue) -> None:
    """Whether there is a phrase, and one that a student can write."""
    for field in ("recording", "theka"):
        if field in part:
            part.fault(field, "cannot be written in sargam", PHRASE)
            return
    part.missing("sargam", PHRASE)
    if not cue.sargam:  # what is wrong with it is told already
        return
    line = parse(cue.sargam)
    count = sum(1 for _ in line.notes())
    if line.chikari():
        said = "strikes the chikari, which no student writes"
        part.fault("sargam", said, "leave out each c, or hold with - in its place")
    if count < FEWEST_SWARAS:
        said = f"is no phrase: it has {count or 'no'} swara{'s' * (count != 1)}"
        part.fault("sargam", said, f"write at least {FEWEST_SWARAS}")
    elif count > MOST_SWARAS:
        part.fault("sargam", f"has {count} swaras to be written", f"keep at most {MOST_SWARAS}")
