"""What in a phrase tells one raga from another.

Evidence is of five sorts, from the plainest to the finest: a swara that the other raga has not; a
run through one that it leaves out; a rest; a register; a treatment. The last three are asked for
only between ragas that are known to differ there, since a phrase that happens to rest elsewhere
proves nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from audio.line import Line, Note
from audio.tuning import Swara
from quizzes.ragas.movement import surely_breaks
from quizzes.ragas.raga import Raga
from quizzes.shades import shades

SORTS = ("note", "run", "rest", "register", "treatment")

REST_MATRAS = Fraction(2)
"""A swara held so long is a rest."""

_SAPTAK_STEPS = {"mandra": (-24, 0), "madhya": (0, 11), "tar": (11, 36)}
"""From the lowest to the highest swara that is heard as its own: mandra comes to rest on Sa, and
tar begins with the Ni that leads into it."""
_MOSTLY = 2 / 3
"""So much of a phrase, by time, lies in the saptaks of the one raga and not in the other's."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """Why a phrase is not `against`'s: `of` is the note in question, `at` the one by which it was
    known, both counted from 0."""

    by: str
    against: str
    of: int
    at: int


def swaras_of(line: Line) -> tuple[Swara, ...]:
    return tuple(note.swara for note in line.notes())


def separates(line: Line, right: Raga, other: Raga, *sorts: str) -> Evidence | None:
    """What tells `right` from `other` in this phrase, the plainest of the `sorts` (all unless
    given); None where nothing does. The phrase is taken to be one that `right` makes."""
    found = (_BY[sort](line, right, other) for sort in sorts or SORTS)
    return next((evidence for evidence in found if evidence is not None), None)


def by_note(line: Line, right: Raga, other: Raga) -> Evidence | None:
    """It is known first by a swara that the other has not."""
    found = by_run(line, right, other)
    return found if found is not None and found.by == "note" else None


def by_run(line: Line, right: Raga, other: Raga) -> Evidence | None:
    """It passes what the other leaves out; a foreign swara counts as well."""
    found = surely_breaks(other, swaras_of(line))
    return None if found is None else Evidence(found.by, other.id, found.of, found.at)


def by_rest(line: Line, right: Raga, other: Raga) -> Evidence | None:
    """It dwells on the vadi of the one, where the other neither rests nor has its weight; and on
    nothing else for as long."""
    notes = list(line.notes())
    weights = weights_of(notes)
    if not tells_by_rest(right, other):
        return None
    vadi = right.vadi.value[0]
    if max(weights, key=weights.__getitem__) != vadi:
        return None
    rests = [place for place, note in enumerate(notes) if note.matras >= REST_MATRAS]
    fits = all(notes[place].swara.letter in rests_of(right) for place in rests)
    of = next((place for place in rests if notes[place].swara.letter == vadi), None)
    if of is None or not fits:
        return None
    return Evidence("rest", other.id, of, of)


@cache
def tells_by_rest(right: Raga, other: Raga) -> bool:
    """Whether a rest on the vadi of the one is known to be foreign to the other.

    It is a nyas of the one, both vadis are sure, and nothing known of the other speaks for a rest
    there: it is no nyas, nobody's vadi of it, and no phrase of it ends there. On Sa any raga rests.
    """
    vadi = right.vadi.value[0]
    taken = {pair[0] for pair in other.pairs} | set(other.nyas.value)
    ends = {phrase.swaras[-1].letter for phrase in other.phrases}
    return (
        right.vadi.sure
        and other.vadi.sure
        and vadi in right.nyas.value
        and len(right.pairs) == 1
        and vadi not in taken | ends | {"S"}
    )


def rests_of(raga: Raga) -> frozenset[str]:
    """Letters on which it may rest."""
    return frozenset(raga.nyas.value) | frozenset(raga.vadi.value)


def weights_of(notes: list[Note]) -> dict[str, Fraction]:
    """How many matras each letter sounds in all, in the order in which they come."""
    weights: dict[str, Fraction] = {}
    for note in notes:
        letter = note.swara.letter
        weights[letter] = weights.get(letter, Fraction(0)) + note.matras
    return weights


def by_register(line: Line, right: Raga, other: Raga) -> Evidence | None:
    """It lies where the one raga lives and the other hardly moves."""
    notes = list(line.notes())
    mine, theirs = (share_in(raga.register.value, notes) for raga in (right, other))
    if not tells_by_register(right, other) or mine < _MOSTLY or theirs > 1 - _MOSTLY:
        return None
    outermost = max if "tar" in right.register.value else min
    of = notes.index(outermost(notes, key=lambda note: note.swara.steps))
    return Evidence("register", other.id, of, len(notes) - 1)


def tells_by_register(right: Raga, other: Raga) -> bool:
    """Whether the two live in no saptak alike."""
    return not set(right.register.value) & set(other.register.value)


def share_in(saptaks: Sequence[str], notes: Sequence[Note]) -> float:
    """How much of the time the notes lie in these saptaks."""
    reaches = [_SAPTAK_STEPS[saptak] for saptak in saptaks]
    inside = [
        note.matras
        for note in notes
        if any(low <= note.swara.steps <= high for low, high in reaches)
    ]
    whole = sum((note.matras for note in notes), Fraction(0))
    return float(sum(inside, Fraction(0)) / whole)


def by_treatment(line: Line, right: Raga, other: Raga) -> Evidence | None:
    """A swara swings slowly that the other holds still, or the other way round."""
    for letter, (mine, theirs) in treated_apart(right, other).items():
        for place, note in enumerate(line.notes()):
            if note.swara.letter == letter and note.matras >= REST_MATRAS:
                swung = note.tone.sway == "andolan"
                if swung == (mine == "swung") and theirs != mine:
                    return Evidence("treatment", other.id, place, place)
    return None


@cache
def treated_apart(right: Raga, other: Raga) -> dict[str, tuple[str, str]]:
    """Letters that the two ragas treat otherwise, still here and swung there, where a source says
    so of the pair (`assets/shades.toml`)."""
    apart: dict[str, tuple[str, str]] = {}
    for pair in shades().pairs.values():
        letters = {shown.swara.letter for shown in pair.phrases}
        if (pair.swung, pair.still) == (right.name, other.name):
            apart.update(dict.fromkeys(letters, ("swung", "still")))
        elif (pair.still, pair.swung) == (right.name, other.name):
            apart.update(dict.fromkeys(letters, ("still", "swung")))
    return apart


_BY = {
    "note": by_note,
    "run": by_run,
    "rest": by_rest,
    "register": by_register,
    "treatment": by_treatment,
}
