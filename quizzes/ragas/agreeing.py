"""Whether a teacher's words on a raga agree: whole, of its own swaras, such as can be asked."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import Any

from audio.tuning import SWARAS, Swara
from quizzes.errors import QuizError
from quizzes.fields import Table
from quizzes.fresh import Fresh
from quizzes.names import listed
from quizzes.ragas import reading
from quizzes.ragas.growing import grow
from quizzes.ragas.raga import Fact, Raga, letters_of

NOT_TOLD = "not told"
"""The source of what is left open of a teacher's own raga."""
WAYS = ("aroha", "avaroha")
NEEDED = ("notes", "aroha", "avaroha", "vadi", "samvadi", "phrases")
"""Of a teacher's own raga, beside its name."""
LINES = ("phrases", "phrase", "near", "forbidden", "required", "variant")
"""Fields on which a new phrase may founder."""
PROBES = 3
"""So many phrases are grown to see that some can be."""


def check_whole(table: Table) -> None:
    """A raga of the teacher's own has all that is needed."""
    given = set(table.values)
    for heading in ("scale", "vadi"):
        value = table.values.get(heading)
        given |= {*value} if isinstance(value, Mapping) else set()
    given |= {"phrases"} if "phrase" in given else set()
    vadi = table.values.get("vadi")
    given |= {"samvadi"} if isinstance(vadi, str) and len(vadi.split()) == 2 else set()
    missing = [field for field in NEEDED if field not in given]
    if missing:
        raise table.fault(
            missing[0], f"is missing; a raga that is new here still needs its {listed(missing)}"
        )


def without_foreign(table: Table, raga: Raga) -> Raga:
    """Without what was known of it and stands on a swara that the teacher leaves out."""
    wide, own = raga.allowed, raga.own
    changed: dict[str, Any] = {}
    if not raga.nyas.value and "nyas" not in table.values:
        ends = dict.fromkeys(phrase.swaras[-1].letter for phrase in raga.phrases)
        raga = replace(raga, nyas=Fact(tuple(ends), "C", NOT_TOLD))
    if not {"phrases", "phrase"} & table.values.keys():
        changed["phrases"] = tuple(p for p in raga.phrases if letters_of(p.swaras) <= wide)
    if "forbidden" not in table.values:
        changed["forbidden"] = tuple(f for f in raga.forbidden if letters_of(f.turn) <= wide)
    if "required" not in table.values:
        changed["required"] = tuple(
            r for r in raga.required if all(letters_of(turn) <= wide for turn in r.turns)
        )
    for field in ("nyas", "andolan", "glide"):
        fact: Fact[Any] = getattr(raga, field)
        kept = tuple(letter for letter in fact.value if letter in own)
        if field not in table.values and kept != fact.value:
            changed[field] = replace(fact, value=kept)
    return replace(raga, **changed)


def check(table: Table, raga: Raga, known: Collection[str]) -> None:
    """What one field says must agree with the others."""
    if "S" not in raga.own:
        raise table.fault("notes", "has no S; every raga has its Sa")
    scale, own = raga.scale.value, raga.own
    places = table.inner("scale") if "scale" in table.values else table
    reading.check_degrees(places, scale)
    facts = {way: letters_of(getattr(scale, way)) for way in WAYS}
    facts |= {name: frozenset(getattr(raga, name).value) for name in ("vadi", "nyas", "andolan")}
    facts["glide"] = frozenset(raga.glide.value)
    for field, letters in facts.items():
        if foreign := letters - own:
            raise _foreign(table, places if field in WAYS else table, field, foreign)
    for way in WAYS:
        if "S" not in facts[way]:
            raise places.fault(way, "has no S; it should begin or end on Sa")
    if not raga.phrases:
        said = "no phrase of the raga lies in these; name more of its swaras, or give phrases"
        raise table.fault("notes", said)
    for field in ("phrases", "phrase"):
        if field in table.values:
            _check_lines(table, field, [phrase.swaras for phrase in raga.phrases], raga)
    if "forbidden" in table.values:
        _check_lines(table, "forbidden", [each.turn for each in raga.forbidden], raga)
    for each, required in zip(_tables(table, "required"), raga.required, strict=False):
        for turn in required.turns:
            if foreign := letters_of(turn) - raga.allowed:
                raise each.fault("turns", _not_own(foreign))
    for near in raga.near if "near" in table.values else ():
        if near.raga not in known or near.raga == raga.id:
            said = f"{near.raga!r} is no other raga known here; give ids as `main.py raga` has them"
            raise table.fault("near", said, value=near.raga)
    _check_grown(table, raga)


def _tables(table: Table, field: str) -> list[Table]:
    return table.inners(field) if field in table.values else []


def _foreign(table: Table, place: Table, field: str, foreign: Collection[str]) -> QuizError:
    """A swara that is not among the notes: blamed on what the teacher has said."""
    if field not in place.values and "notes" in table.values:
        verb = "stand" if len(foreign) > 1 else "stands"
        stands = f"{_spoken(foreign)} {verb} in {field}; name it here, too"
        return table.fault("notes", f"{stands}, or give {field} as well")
    return place.fault(field, _not_own(foreign))


def _not_own(letters: Collection[str]) -> str:
    return f"{_spoken(letters)} should stand in notes as well, or not here"


def _spoken(letters: Collection[str]) -> str:
    return listed(sorted(letters, key=SWARAS.index))


def _check_lines(table: Table, field: str, lines: Sequence[Sequence[Swara]], raga: Raga) -> None:
    for place, swaras in enumerate(lines):
        foreign = letters_of(swaras) - raga.allowed
        if foreign and isinstance(table.values[field][place], str):
            raise table.fault(field, _not_own(foreign), value=table.values[field][place])
        if foreign:
            inside = "sargam" if field == "phrase" else "turn"
            raise table.inners(field)[place].fault(inside, _not_own(foreign))


def _check_grown(table: Table, raga: Raga) -> None:
    """Some phrase of it can be made anew, or nothing could be asked."""
    try:
        for seed in range(PROBES):
            grow(Fresh("a taught raga", seed), raga)
    except ValueError:
        field = next((each for each in LINES if each in table.values), "notes")
        raise table.fault(
            field, "no phrase of the raga comes to rest; give one that ends on its nyas or on Sa"
        ) from None
