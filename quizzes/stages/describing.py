"""What is heard in a stage, in words, by the features of `quizzes.stages.telling`."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from audio.mizrab import CHIKARI, NOTE, Jhala, mizrab
from quizzes.names import capital, listed, number_word
from quizzes.stages.asking import stage_name
from quizzes.stages.stage import Form, Heard, Range
from quizzes.stages.telling import apart_by, are_apart, telling


def known_by(known: Form, stage: str, among: Sequence[str]) -> str:
    """`No pulse goes through it: this is alap`: what tells it from all of these beside it."""
    heard = known.stages[stage].heard
    beside = [known.stages[each].heard for each in among if each != stage]
    apart = [each for each in beside if are_apart(heard, each)]
    said = _of_itself(heard, telling(heard, apart), apart)
    return f"{capital(said)}: this is {stage_name(known, stage)}"


def otherwise(known: Form, stage: str, right: str) -> str:
    """`Jor has a steady pulse`: what in a stage is plainly otherwise than in the right one."""
    heard, beside = known.stages[stage].heard, known.stages[right].heard
    said = described(heard, apart_by(heard, beside)[:1], [beside])
    return f"{stage_name(known, stage, begins=True)} {said}"


def _of_itself(heard: Heard, features: Sequence[str], beside: Sequence[Heard]) -> str:
    """A clause with a subject of its own."""
    if features[0] != "pulse":
        return f"it {described(heard, features, beside)}"
    pulse = f"{'a steady' if heard.pulse else 'no'} pulse goes through it"
    rest = described(heard, features[1:], beside)
    return f"{pulse}, and it {rest}" if rest else pulse


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
    return f"is played {'with' if heard.tabla else 'without'} the tabla"


def _chikari(heard: Heard, beside: Sequence[Heard]) -> str:
    return _by_share(heard.chikari, _CHIKARI)


def _ends(heard: Heard, beside: Sequence[Heard]) -> str:
    return "strikes one phrase three times, up to sam" if heard.ends else "has no tihai"


def _run(heard: Heard, beside: Sequence[Heard]) -> str:
    if not heard.run:
        return "has no quick runs"
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
    for jhala in mizrab().jhalas:
        if jhala.name == heard.bols:
            return _groups(jhala)
    return "keeps to no set line of strokes"


def _groups(jhala: Jhala) -> str:
    """`has three chikari strokes after each note`; of uneven groups, how many by turns."""
    _, *groups = " ".join(jhala.pattern).split(NOTE)
    counts = [number_word(group.count(CHIKARI)) for group in groups]
    strokes = f"{listed(counts)} chikari stroke{'s' * (counts != [number_word(1)])}"
    return f"has {strokes} after {'each note' if len(counts) == 1 else 'its notes, by turns'}"


def _register(heard: Heard, beside: Sequence[Heard]) -> str:
    first, *others = heard.register
    if not others:
        return f"keeps mostly to {first}, {_SAPTAK[first]}"
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


_SAPTAK = {
    "mandra": "below the middle Sa",
    "madhya": "between the middle Sa and the upper one",
    "tar": "the upper Sa and above it",
}
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
