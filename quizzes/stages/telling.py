"""What tells one stage from another by ear: the features in which they surely differ, and in words.

Features are of what `Heard` describes. Where figures are ranges, two stages differ only if these
lie so far apart that a listener hears it without counting; where they touch, nothing is told.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from audio.mizrab import mizrab
from quizzes.stages.stage import SAPTAKS, Heard, Range

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


def nearness(one: Heard, other: Heard) -> tuple[int, int]:
    """How easily the two are taken for one another: the more, the fewer the features are in which
    they differ, and then the finer the plainest of these is."""
    by = apart_by(one, other)
    return -len(by), FEATURES.index(by[0]) if by else len(FEATURES)


def described(heard: Heard, features: Sequence[str], beside: Sequence[Heard] = ()) -> str:
    """These features of a stage, to follow its name or "it": `has a steady pulse and no tabla`.

    `beside` are those with which it is compared."""
    clauses: list[str] = []
    for feature in features:
        clause = _SAID[feature](heard)
        if feature == "tempo" and (pace := _pace(heard, beside)):
            clause = f"is {pace} ({clause.removeprefix('goes at ')})"
        if feature == "run" and heard.run and not any(each.run for each in beside):
            clause = "has quick runs"
        verb = clause.partition(" ")[0]
        same = clauses and clauses[-1].partition(" ")[0] == verb == "has"
        clauses.append(clause.removeprefix("has ") if same else clause)
    return " and ".join(filter(None, [", ".join(clauses[:-1]), *clauses[-1:]]))


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
    "tempo": _tempo_apart,
    "bols": _bols_apart,
    "register": _register_apart,
    "strokes": _strokes_apart,
    "ornaments": _ornaments_apart,
}
FEATURES = tuple(_DIFFER)
"""From the plainest to the finest."""


def _pace(heard: Heard, beside: Sequence[Heard]) -> str:
    """`slower` or `faster` than the one with which it is compared; "" where there are several."""
    tempos = [each.tempo for each in beside if each.tempo]
    if heard.tempo is None or len(beside) != 1 or not tempos:
        return ""
    return "slower" if heard.tempo < tempos[0] else "faster"


def _tempo_said(heard: Heard) -> str:
    unit = "matras" if heard.tabla else "pulses"
    return f"goes at {_from_to(heard.tempo)} {unit} a minute" if heard.tempo else "has no pulse"


def _from_to(two: Range) -> str:
    low, high = two
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


def _chikari_said(heard: Heard) -> str:
    usual = sum(heard.chikari) / 2
    return next(said for least, said in _CHIKARI if usual >= least)


def _ornaments_said(heard: Heard) -> str:
    usual = sum(heard.ornaments) / 2
    return next(said for least, said in _ORNAMENTS if usual >= least)


def _bols_said(heard: Heard) -> str:
    for gat in mizrab().gats:
        if gat.name == heard.bols:
            return f"keeps to {gat.about}"
    if not heard.bols:
        return "keeps to no set line of strokes"
    return f"strikes {heard.bols}, over and over"


def _register_said(heard: Heard) -> str:
    first, *others = heard.register
    if not others:
        return f"stays in {first}"
    *between, last = others
    through = f" through {' and '.join(between)}" if between else ""
    return f"goes from {first}{through} to {last}"


_CHIKARI = (
    (0.5, "strikes the chikari more often than the playing string"),
    (0.2, "strikes the chikari now and then"),
    (0.0, "hardly strikes the chikari"),
)
_ORNAMENTS = (
    (0.5, "bends or touches most of its swaras"),
    (0.15, "bends or touches some of its swaras"),
    (0.0, "strikes nearly all of its swaras plainly"),
)
_RUNS = {
    "": "has no tan",
    "sapat": "runs straight up and down",
    "kut": "goes crookedly, by turns that cannot be foreseen",
    "alankarik": "takes one pattern from swara to swara",
    "gamak": "shakes the swaras of its run",
    "chhut": "drops from high in quick falls",
}
_SAID: Mapping[str, Callable[[Heard], str]] = {
    "pulse": lambda heard: f"has {'a steady' if heard.pulse else 'no'} pulse",
    "tabla": lambda heard: f"has {'the' if heard.tabla else 'no'} tabla",
    "chikari": _chikari_said,
    "ends": lambda heard: "plays a phrase three times, up to sam" if heard.ends else "has no tihai",
    "run": lambda heard: _RUNS[heard.run],
    "tempo": _tempo_said,
    "bols": _bols_said,
    "register": _register_said,
    "strokes": lambda heard: f"has {_from_to(heard.strokes)} strokes a second on the string",
    "ornaments": _ornaments_said,
}
