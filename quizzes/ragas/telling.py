"""Phrases made to tell: of one raga, and such that what sounds rules out each other one offered."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from audio.line import Line
from quizzes.fresh import Fresh
from quizzes.ragas.choosing import near_pairs, offered, shared_strings
from quizzes.ragas.evidence import (
    Evidence,
    by_register,
    by_rest,
    by_treatment,
    middle_of,
    rests_of,
    swaras_of,
    tells_by_register,
    tells_by_rest,
    treated_apart,
)
from quizzes.ragas.growing import grow
from quizzes.ragas.movement import Swaras, admits, surely_breaks
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import dwelling_line, plain_line

NOT_YET = "not-yet"
"""What tells nothing yet: a phrase that at least two of the ragas offered make alike."""
SORTS = ("note", "run", "rest", "register", "treatment", NOT_YET)

TRIES = 40
PICKED_FROM = 6
LENGTHS = (4, 5, 6, 7)
"""Of all phrases alike, so that length does not say whether something can be told."""


@dataclass(frozen=True, slots=True)
class Told:
    """A phrase of a raga and the ragas, this one among them, that are offered for it."""

    line: Line
    offered: tuple[str, ...]


def evidence_of(sort: str, line: Line, right: Raga, other: Raga) -> Evidence | None:
    """What of this sort tells `right` from `other`; a run counts with the foreign swaras."""
    if sort == "rest":
        return by_rest(line, right, other)
    if sort == "register":
        return by_register(line, right, other)
    if sort == "treatment":
        return by_treatment(line, right, other)
    found = surely_breaks(other, swaras_of(line))
    if found is None or (sort == "note" and found.by != "note"):
        return None
    return Evidence(found.by, other.id, found.of, found.at)


@cache
def told_by(sort: str, right: Raga, other: Raga) -> bool:
    """Whether phrases of the one can be told by this sort of evidence from the other at all."""
    if sort == "rest":
        return tells_by_rest(right, other)
    if sort == "register":
        return tells_by_register(right, other) is not None
    if sort == "treatment":
        return bool(treated_apart(right, other))
    if sort == "note":
        return bool(right.own - other.ever)
    found = [surely_breaks(other, phrase.swaras) for phrase in right.phrases]
    if sort == NOT_YET:
        return any(
            admits(other, phrase.swaras)
            for phrase, broken in zip(right.phrases, found, strict=True)
            if broken is None
        )
    return any(broken is not None and broken.by == "run" for broken in found)


def tellable(sort: str, right: Raga, ragas: Mapping[str, Raga]) -> tuple[str, ...]:
    """The ragas from which this one can be told so, or cannot be told yet: all that lack one of its
    swaras; for anything finer only those near to it."""
    near = near_pairs(ragas)
    return tuple(
        one.id
        for one in ragas.values()
        if (sort == "note" or frozenset((one.id, right.id)) in near)
        and shared_strings((one, right))
        and told_by(sort, right, one)
    )


def told(
    fresh: Fresh,
    sort: str,
    right: Raga,
    ragas: Mapping[str, Raga],
    *,
    met: Sequence[str],
    rivals: Sequence[str],
    size: int,
    seed: int,
) -> Told:
    """A fresh phrase of `right` with at most `size` ragas of which it is one, told by this sort of
    evidence from each; with NOT_YET, one that another of them makes as well and no other does in
    doubt. Fewer are offered where fewer can be told; at least two.
    """
    near = tellable(sort, right, ragas)

    def offer(fitting: Callable[[Raga], bool]) -> tuple[str, ...]:
        return offered(
            fresh, right.id, met=met, rivals=rivals, ragas=ragas, size=size, seed=seed, fits=fitting
        )

    wished = offer(lambda one: one.id in near)
    best: Told | None = None
    for line in _lines(fresh, sort, right, [ragas[one] for one in wished if one != right.id]):
        keeps = _keeper(sort, line, right)
        kept = tuple(one for one in wished if one == right.id or keeps(ragas[one]))
        if not _is_about(sort, line, right, [ragas[one] for one in kept if one != right.id]):
            continue
        if len(kept) == len(wished):
            return Told(line, kept)
        if best is None or len(kept) > len(best.offered):
            best = Told(line, kept)
    if best is None:
        raise ValueError(f"{right.id}: no phrase was found that tells by {sort} from {wished}")
    keeps = _keeper(sort, best.line, right)
    return Told(best.line, offer(lambda one: one.id in best.offered or keeps(one)))


def _lines(fresh: Fresh, sort: str, right: Raga, others: Sequence[Raga]) -> Iterator[Line]:
    """Fresh phrases, first of one wished length; at the end what the raga is known by itself."""
    count = fresh.one_of(LENGTHS)
    for _ in range(TRIES):
        yield _line(fresh, sort, right, others, count, count)
    for _ in range(TRIES):
        yield _line(fresh, sort, right, others, min(LENGTHS), max(LENGTHS) + 1)
    lines = [phrase.swaras for phrase in right.phrases]
    for swaras in fresh.shuffled([*lines, right.scale.value.aroha, right.scale.value.avaroha]):
        yield plain_line(swaras)


def _keeper(sort: str, line: Line, right: Raga) -> Callable[[Raga], bool]:
    """Whether a raga may stand beside the right one for this phrase."""
    if sort != NOT_YET:
        return lambda other: evidence_of(sort, line, right, other) is not None
    swaras = swaras_of(line)
    return lambda other: admits(other, swaras) or surely_breaks(other, swaras) is not None


def _is_about(sort: str, line: Line, right: Raga, others: Sequence[Raga]) -> bool:
    """Whether the phrase asks for what the sort is about: a run, where one raga at least is ruled
    out by nothing else; where it cannot be told yet, one other that makes it, too."""
    if sort == "run":
        found = [evidence_of("run", line, right, other) for other in others]
        return any(each is not None and each.by == "run" for each in found)
    if sort == NOT_YET:
        return any(admits(other, swaras_of(line)) for other in others)
    return bool(others)


def _line(
    fresh: Fresh, sort: str, right: Raga, others: Sequence[Raga], fewest: int, most: int
) -> Line:
    if sort == "rest":
        vadi = right.vadi.value[0]
        swaras = _holding(fresh, right, vadi)
        return dwelling_line(swaras, frozenset((vadi,)) | ({swaras[-1].letter} & rests_of(right)))
    if sort == "register":
        saptaks = [tells_by_register(right, other) for other in others]
        saptak = next((each for each in saptaks if each is not None), None)
        grown = [plain_line(grow(fresh, right, saptak=saptak)) for _ in range(PICKED_FROM)]
        outermost = max if saptak == "tar" else min
        return outermost(grown, key=lambda line: middle_of(list(line.notes())))
    if sort == "treatment":
        treated = treated_apart(right, others[0])
        letter = fresh.one_of(sorted(treated))
        sway = "andolan" if treated[letter][0] == "swung" else ""
        return dwelling_line(_holding(fresh, right, letter), frozenset((letter,)), sway=sway)
    return plain_line(grow(fresh, right, fewest=fewest, most=most))


def _holding(fresh: Fresh, raga: Raga, letter: str) -> Swaras:
    """A phrase of the raga in which this letter stands."""
    swaras: Swaras = ()
    for _ in range(TRIES):
        swaras = grow(fresh, raga)
        if letter in {swara.letter for swara in swaras}:
            break
    return swaras
