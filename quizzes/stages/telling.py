"""What tells one stage from another by ear: the features in which they surely differ.

Features are of what `Heard` describes; `quizzes.stages.describing` has them in words. Where figures
are ranges, two stages differ only if these lie so far apart that a listener hears it without
counting; where they touch, nothing is told.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from quizzes.stages.stage import SAPTAKS, Heard, Range, Stage

TEMPO_APART = STROKES_APART = 1.2
"""The slowest of the one is so many times as fast as the fastest of the other, or more."""
SHARE_APART = 0.1
"""Between the largest share of the one and the smallest of the other."""


def apart_by(one: Heard, other: Heard) -> tuple[str, ...]:
    """The features in which the two surely differ, those that are plainest to the ear first."""
    return tuple(feature for feature, differ in _DIFFER.items() if differ(one, other))


def are_apart(one: Heard, other: Heard) -> bool:
    """Whether the two can be told by what is heard, whichever of them sounds."""
    return bool(apart_by(one, other))


def may_be_told(one: Stage, other: Stage) -> bool:
    """Whether two surely differ in what is heard, and in their names."""
    return are_apart(one.heard, other.heard) and not share_a_name(one, other)


def share_a_name(one: Stage, other: Stage) -> bool:
    """Whether a name of the one is a name of the other."""
    names = [{each.casefold() for each in (stage.name, *stage.also)} for stage in (one, other)]
    return bool(names[0] & names[1])


def telling(right: Heard, others: Sequence[Heard]) -> tuple[str, ...]:
    """Features that tell `right` from each of the others, the plainest; none that is not needed.

    The others are apart from it."""
    needed = [set(apart_by(right, other)) for other in others]
    chosen: list[str] = []
    for feature in FEATURES:
        if any(feature in each and not each & set(chosen) for each in needed):
            chosen.append(feature)
    for feature in tuple(chosen):
        rest = {*chosen} - {feature}
        if all(each & rest for each in needed):
            chosen.remove(feature)
    return tuple(chosen)


def nearness(one: Heard, other: Heard) -> tuple[int, int, int]:
    """How easily the two are taken for one another: the more, the fewer the features are in which
    they differ, then the finer the plainest of these is, then the nearer their registers lie."""
    by = apart_by(one, other)
    apart = sum(
        abs(SAPTAKS.index(one.register[at]) - SAPTAKS.index(other.register[at])) for at in (0, -1)
    )
    shared = len(set(one.register) & set(other.register))
    return -len(by), FEATURES.index(by[0]) if by else len(FEATURES), shared - apart


def _pulse_apart(one: Heard, other: Heard) -> bool:
    return one.pulse != other.pulse


def _tabla_apart(one: Heard, other: Heard) -> bool:
    return one.tabla != other.tabla


def _chikari_apart(one: Heard, other: Heard) -> bool:
    return _further(one.chikari, other.chikari, SHARE_APART)


def _ends_apart(one: Heard, other: Heard) -> bool:
    return one.ends != other.ends


def _run_apart(one: Heard, other: Heard) -> bool:
    return one.run != other.run


def _shaken_apart(one: Heard, other: Heard) -> bool:
    """Gamaks against none; a tan that shakes its swaras is told by its run."""
    return one.shaken != other.shaken and not (one.run or other.run)


def _tempo_apart(one: Heard, other: Heard) -> bool:
    """Matras with matras, pulses with pulses: without the tabla a pulse is counted otherwise."""
    if one.tempo is None or other.tempo is None or one.tabla != other.tabla:
        return False
    return _faster(one.tempo, other.tempo, TEMPO_APART)


def _bols_apart(one: Heard, other: Heard) -> bool:
    """Two set lines; whether there is one at all may be missed in a short passage."""
    return bool(one.bols and other.bols) and one.bols != other.bols


def _register_apart(one: Heard, other: Heard) -> bool:
    """They go opposite ways, or each has a saptak that the other has not: a stage that goes through
    all that another one stays in may, for a while, sound like it."""
    one_way, other_way = (
        SAPTAKS.index(each.register[-1]) - SAPTAKS.index(each.register[0]) for each in (one, other)
    )
    mine, theirs = set(one.register), set(other.register)
    return one_way * other_way < 0 or bool(mine - theirs and theirs - mine)


def _strokes_apart(one: Heard, other: Heard) -> bool:
    return _faster(one.strokes, other.strokes, STROKES_APART)


def _ornaments_apart(one: Heard, other: Heard) -> bool:
    return _further(one.ornaments, other.ornaments, SHARE_APART)


def _faster(one: Range, other: Range, times: float) -> bool:
    slow, fast = sorted((one, other))
    return slow[1] * times <= fast[0]


def _further(one: Range, other: Range, by: float) -> bool:
    low, high = sorted((one, other))
    return low[1] + by <= high[0] + _ROUNDING


_ROUNDING = 1e-9

_DIFFER: Mapping[str, Callable[[Heard, Heard], bool]] = {
    "pulse": _pulse_apart,
    "tabla": _tabla_apart,
    "chikari": _chikari_apart,
    "ends": _ends_apart,
    "run": _run_apart,
    "shaken": _shaken_apart,
    "tempo": _tempo_apart,
    "bols": _bols_apart,
    "register": _register_apart,
    "strokes": _strokes_apart,
    "ornaments": _ornaments_apart,
}
FEATURES = tuple(_DIFFER)
"""From the plainest to the finest."""
