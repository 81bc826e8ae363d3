"""What is heard in a stage, in words, by the features of `quizzes.stages.telling`."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from audio.mizrab import mizrab
from quizzes.stages.stage import Heard, Range


def described(heard: Heard, features: Sequence[str], beside: Sequence[Heard] = ()) -> str:
    """These features of a stage, to follow its name or "it": `has a steady pulse and no tabla`.

    `beside` are those with which it is compared.
    """
    clauses: list[str] = []
    for feature in features:
        clause = _SAID[feature](heard, beside)
        repeats = bool(clauses) and clauses[-1].startswith("has ")
        clauses.append(clause.removeprefix("has ") if repeats else clause)
    return " and ".join(filter(None, [", ".join(clauses[:-1]), *clauses[-1:]]))


def _pulse(heard: Heard, beside: Sequence[Heard]) -> str:
    return "has a steady pulse" if heard.pulse else "has no pulse"


def _tabla(heard: Heard, beside: Sequence[Heard]) -> str:
    return "has the tabla" if heard.tabla else "has no tabla"


def _chikari(heard: Heard, beside: Sequence[Heard]) -> str:
    return _by_share(heard.chikari, _CHIKARI)


def _ends(heard: Heard, beside: Sequence[Heard]) -> str:
    return "plays a phrase three times, up to sam" if heard.ends else "has no tihai"


def _run(heard: Heard, beside: Sequence[Heard]) -> str:
    if not heard.run:
        return "has no tan"
    alone = bool(beside) and not any(each.run for each in beside)
    return "has quick runs" if alone else _RUNS[heard.run]


def _shaken(heard: Heard, beside: Sequence[Heard]) -> str:
    return "shakes its swaras" if heard.shaken else "hardly shakes a swara"


def _tempo(heard: Heard, beside: Sequence[Heard]) -> str:
    if heard.tempo is None:
        return "has no pulse"
    pace = f"{_from_to(heard.tempo)} {'matras' if heard.tabla else 'pulses'} a minute"
    if len(beside) == 1 and (other := beside[0].tempo):
        return f"is {'slower' if heard.tempo < other else 'faster'} ({pace})"
    return f"goes at {pace}"


def _bols(heard: Heard, beside: Sequence[Heard]) -> str:
    for gat in mizrab().gats:
        if gat.name == heard.bols:
            return f"keeps to {gat.about}"
    if not heard.bols:
        return "keeps to no set line of strokes"
    return f"strikes {heard.bols}, over and over"


def _register(heard: Heard, beside: Sequence[Heard]) -> str:
    first, *others = heard.register
    if not others:
        return f"stays in {first}"
    *between, last = others
    through = f" through {' and '.join(between)}" if between else ""
    return f"goes from {first}{through} to {last}"


def _strokes(heard: Heard, beside: Sequence[Heard]) -> str:
    if len(beside) == 1:
        count = "fewer" if heard.strokes < beside[0].strokes else "more"
        return f"has {count} strokes on the string ({_from_to(heard.strokes)} a second)"
    return f"has {_from_to(heard.strokes)} strokes a second on the string"


def _ornaments(heard: Heard, beside: Sequence[Heard]) -> str:
    return _by_share(heard.ornaments, _ORNAMENTS)


def _from_to(two: Range) -> str:
    low, high = two
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


def _by_share(share: Range, words: Sequence[tuple[float, str]]) -> str:
    return next(said for least, said in words if sum(share) / 2 >= least)


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
    "sapat": "runs straight up and down",
    "kut": "goes crookedly, by turns that cannot be foreseen",
    "alankarik": "takes one pattern from swara to swara",
    "gamak": "shakes the swaras of its run",
    "chhut": "drops from high in quick falls",
}
_SAID: Mapping[str, Callable[[Heard, Sequence[Heard]], str]] = {
    "pulse": _pulse,
    "tabla": _tabla,
    "chikari": _chikari,
    "ends": _ends,
    "run": _run,
    "shaken": _shaken,
    "tempo": _tempo,
    "bols": _bols,
    "register": _register,
    "strokes": _strokes,
    "ornaments": _ornaments,
}
