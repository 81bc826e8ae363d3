"""Phrases made to tell: of one raga, and such that what sounds rules out each other one offered.

By its swaras or its ways up and down a phrase is told from several ragas at once. A rest, a saptak
or a treatment tells two ragas apart that are known to differ there, whichever of them it is.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import cache

from audio.line import Line
from quizzes.fresh import Fresh
from quizzes.names import in_sargam
from quizzes.ragas.choosing import near_pairs, offered, shared_strings
from quizzes.ragas.evidence import (
    rests_of,
    separates,
    swaras_of,
    tells_by_register,
    tells_by_rest,
    treated_apart,
)
from quizzes.ragas.growing import grow
from quizzes.ragas.movement import Swaras, makes, surely_breaks
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import dwelling_line, plain_line

NOT_YET = "not-yet"
"""What tells nothing yet: a phrase that at least two of the ragas offered make alike."""
PLAIN = ("note", "run", NOT_YET)
FINE = ("rest", "register", "treatment")
SORTS = (*PLAIN, *FINE)

TRIES = 12
FINE_TRIES, PROBE_TRIES, PROBES = 600, 200, 3
"""A pair is asked where each of so many probes finds a phrase after far fewer tries than are made
when it is asked."""
ENOUGH = 2
"""After so many tries a phrase is taken that rules out most of those wished, and others are offered
in place of the rest: who waits for a phrase that rules out all hears the same few again."""
FEWEST, MOST = 3, 7
LENGTHS = (4, 5, 6, 7, 8)
"""Of all plain phrases alike, so that length does not say whether something can be told."""


@dataclass(frozen=True, slots=True)
class Told:
    """A phrase of a raga and the ragas, this one among them, that are offered for it."""

    line: Line
    offered: tuple[str, ...]


@cache
def told_by(sort: str, right: Raga, other: Raga) -> bool:
    """Whether phrases of the one can be told by this sort of evidence from the other at all; with
    NOT_YET, whether the other makes one of them, too."""
    if sort == "rest":
        return tells_by_rest(right, other)
    if sort == "register":
        return tells_by_register(right, other)
    if sort == "treatment":
        return bool(treated_apart(right, other))
    if sort == "note":
        return bool(right.own - other.ever)
    if sort == NOT_YET:
        long = [each.swaras for each in right.phrases if len(each.swaras) >= min(LENGTHS)]
        return any(makes(other, swaras) for swaras in long)
    found = [surely_breaks(other, phrase.swaras) for phrase in right.phrases]
    return any(broken is not None and broken.by == "run" for broken in found)


def near_told(sort: str, right: Raga, ragas: Mapping[str, Raga]) -> tuple[str, ...]:
    """The near ragas from which this one can be told so, or with which it is one for a while."""
    near = near_pairs(ragas)
    return tuple(
        one.id
        for one in ragas.values()
        if frozenset((one.id, right.id)) in near
        and shared_strings((one, right))
        and told_by(sort, right, one)
    )


def fine_pairs(
    sort: str, ragas: Mapping[str, Raga], some: Collection[str]
) -> tuple[tuple[str, str], ...]:
    """Near pairs, with one of `some` among them, whose swaras tell nothing, and of which either can
    be told from the other by a rest, a saptak or a treatment."""
    return tuple(
        (one, other)
        for one, other in sorted(map(sorted, near_pairs(ragas)))
        if (one in some or other in some)
        and all(
            told_by(sort, *ways) and not told_by("note", *ways)
            for ways in ((ragas[one], ragas[other]), (ragas[other], ragas[one]))
        )
        and shared_strings((ragas[one], ragas[other]))
        and _found_both_ways(sort, ragas[one], ragas[other])
    )


def _found_both_ways(sort: str, one: Raga, other: Raga) -> bool:
    try:
        for probe in range(PROBES):
            for pair in ((one, other), (other, one)):
                told_apart(Fresh("probe", probe), sort, *pair, tries=PROBE_TRIES)
    except ValueError:
        return False
    return True


# Two ragas.


def told_apart(
    fresh: Fresh, sort: str, right: Raga, other: Raga, *, tries: int = FINE_TRIES
) -> Line:
    """A phrase of `right` that a rest, a saptak or a treatment tells from `other`, and nothing
    else: the other makes every step of it. Raises ValueError where there is none."""
    for number in range(tries):
        line = _fine_line(fresh, sort, right, other, grown=number < tries // 2)
        if separates(line, right, other, sort) and makes(other, swaras_of(line)):
            return line
    raise ValueError(f"no phrase of {right.id} tells it by {sort} alone from {other.id}")


def _fine_line(fresh: Fresh, sort: str, right: Raga, other: Raga, *, grown: bool) -> Line:
    if sort == "rest":
        vadi = right.vadi.value[0]
        swaras = _short(fresh, right, vadi, grown=grown)
        return dwelling_line(swaras, frozenset((vadi,)) | ({swaras[-1].letter} & rests_of(right)))
    if sort == "register":
        saptak = fresh.one_of(right.register.value)
        return plain_line(_short(fresh, right, "", saptak=saptak, grown=True))
    treated = treated_apart(right, other)
    sway = "andolan" if next(iter(treated.values()))[0] == "swung" else ""
    swaras = _short(fresh, right, fresh.one_of(sorted(treated)), grown=grown)
    return dwelling_line(swaras, frozenset(treated), sway=sway)


def _short(
    fresh: Fresh, raga: Raga, letter: str, *, grown: bool, saptak: str | None = None
) -> Swaras:
    """A phrase of few steps, so that another raga can make all of them: a grown one, or else one
    that the raga is known by. `letter` is heard in it."""
    own = [
        phrase.swaras
        for phrase in raga.phrases
        if len(phrase.swaras) >= FEWEST and letter in in_sargam(phrase.swaras)
    ]
    if own and not grown:
        return fresh.one_of(own)
    touching = frozenset(letter)
    return grow(fresh, raga, fewest=FEWEST, most=MOST, saptak=saptak, touching=touching)


# Several ragas.


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
    """A fresh phrase of `right` with `size` ragas of which it is one, each other one surely ruled
    out by a swara or, for "run", by a run that at least one near raga does not make; with NOT_YET
    at least one other makes it, too, and none is in doubt. `size` and length are alike for all
    three, so that neither tells which it is.
    """
    needed = near_told(sort, right, ragas) if sort != "note" else ()

    def offer(fits: Callable[[Raga], bool]) -> tuple[str, ...]:
        return offered(
            fresh,
            right.id,
            met=met,
            rivals=rivals,
            ragas=ragas,
            size=size,
            seed=seed,
            fits=fits,
            weights=_weights(tuple(ragas.values())),
        )

    first = offer(lambda one: sort != "note" or told_by(sort, right, one))
    wished = _with_one_of(fresh, needed, right, first, met, ragas)
    best: Told | None = None
    others = [ragas[one] for one in wished if one != right.id]
    for number, line in enumerate(_plain_lines(fresh, sort, right, others)):
        if best is not None and number >= ENOUGH:
            break
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
    return Told(best.line, _filled(best.offered, offer(keeps), size, ragas))


@cache
def _weights(ragas: tuple[Raga, ...]) -> Mapping[str, float]:
    """The likelier the fewer ragas can be told from it by their swaras: it would else be offered
    only where it is right."""
    return {
        other.id: 1.0 / (1 + sum(told_by("note", one, other) for one in ragas)) for other in ragas
    }


def _with_one_of(
    fresh: Fresh,
    needed: Sequence[str],
    right: Raga,
    wished: Sequence[str],
    met: Sequence[str],
    ragas: Mapping[str, Raga],
) -> tuple[str, ...]:
    """`wished` with at least one of those needed in it, one that was met where possible."""
    if not needed or set(needed) & set(wished):
        return tuple(wished)
    weights = _weights(tuple(ragas.values()))
    likely = [one for one in needed if one in met] or needed
    (chosen,) = fresh.weighted(likely, [weights[one] for one in likely], 1)
    kept = [right.id, chosen]
    for one in wished:
        if one not in kept and len(kept) < len(wished):
            kept += [one] if shared_strings([ragas[each] for each in (*kept, one)]) else []
    return tuple(sorted(kept))


def _filled(
    kept: Sequence[str], more: Sequence[str], size: int, ragas: Mapping[str, Raga]
) -> tuple[str, ...]:
    """What is kept and, up to `size`, further ones over the same drone."""
    chosen = list(kept)
    for one in more:
        whole = [ragas[each] for each in (*chosen, one)]
        if one not in chosen and len(chosen) < size and shared_strings(whole):
            chosen.append(one)
    return tuple(sorted(chosen))


def _plain_lines(fresh: Fresh, sort: str, right: Raga, others: Sequence[Raga]) -> Iterator[Line]:
    """Fresh phrases, first of one wished length; at the end what the raga is known by itself."""
    count = fresh.one_of(LENGTHS)
    held = _apt(sort, right, others)
    for number in range(2 * TRIES):
        holds = fresh.one_of(held) if held else None
        # One that is held whole is seldom heard bare, or the same few would be heard again.
        size = count if holds is None else max(count, len(holds) + fresh.one_of((0, 1, 2, 3, 4)))
        spread = 0 if number < TRIES else 2
        with suppress(ValueError):  # no rest is near enough to this one
            grown = grow(fresh, right, fewest=size - spread // 2, most=size + spread, holds=holds)
            yield plain_line(grown)
    lines = [phrase.swaras for phrase in right.phrases if len(phrase.swaras) >= min(LENGTHS)]
    for swaras in fresh.shuffled([*lines, right.scale.value.aroha, right.scale.value.avaroha]):
        yield plain_line(swaras)


def _apt(sort: str, right: Raga, others: Sequence[Raga]) -> list[Swaras]:
    """The raga's own phrases that do what the sort is about for one of the others; empty where any
    phrase may."""
    if sort == "note":
        return []
    return [
        phrase.swaras
        for phrase in right.phrases
        if len(phrase.swaras) >= min(LENGTHS)
        and _is_about(sort, plain_line(phrase.swaras), right, others)
    ]


def _keeper(sort: str, line: Line, right: Raga) -> Callable[[Raga], bool]:
    """Whether a raga may stand beside the right one for this phrase."""
    if sort != NOT_YET:
        return lambda other: separates(line, right, other, sort) is not None
    swaras = swaras_of(line)
    return lambda other: makes(other, swaras) or surely_breaks(other, swaras) is not None


def _is_about(sort: str, line: Line, right: Raga, others: Sequence[Raga]) -> bool:
    """Whether the phrase asks for what the sort is about: a run, where one raga at least is ruled
    out by nothing else; where it cannot be told yet, one other that makes it, too."""
    if sort == "run":
        found = [separates(line, right, other, "run") for other in others]
        return any(each is not None and each.by == "run" for each in found)
    if sort == NOT_YET:
        return any(makes(other, swaras_of(line)) for other in others)
    return bool(others)
