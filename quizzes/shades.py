"""How a swara is treated in different ragas, as `assets/shades.toml` has it.

A treatment is a way of moving (`HOW`), never a size in cents: on sizes the sources disagree.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType

from audio.errors import TuningError
from audio.tuning import Swara
from quizzes.errors import ShadesError
from quizzes.fields import Table, read_table

FILE = Path(__file__).parent.parent / "assets" / "shades.toml"

HOW = ("still", "swung", "low", "above")

LOW_SHARE = 0.42
"""How low a low swara lies in the middle of its swing, as a share of the way down to the swara
below (an assumption: sources say only "very flat")."""

Notes = Mapping[str, frozenset[str]]
"""Letters of the swaras of each raga, by its name."""


@dataclass(frozen=True, slots=True)
class Treatment:
    """One way in which a swara is treated, and ragas in which it is."""

    how: str
    ragas: tuple[str, ...]
    source: str
    confidence: str


@dataclass(frozen=True, slots=True)
class Shaded:
    """A swara that is treated in several ways.

    `scales` are notes among which it is heard; each lies, for every treatment, within the notes of
    a raga that has it, so that the notes around tell nothing of the treatment.
    """

    swara: Swara
    scales: tuple[tuple[str, ...], ...]
    treatments: Mapping[str, Treatment]


@dataclass(frozen=True, slots=True)
class Shown:
    """A phrase in which one swara is treated: the others in order, and the place of that one."""

    swara: Swara
    around: tuple[Swara, ...]
    place: int


@dataclass(frozen=True, slots=True)
class Pair:
    """Two ragas with the same notes: in the one a swara swings, in the other it stands still."""

    swung: str
    still: str
    touch: Swara | None
    """The swara touched before the one that swings."""
    phrases: tuple[Shown, ...]
    source: str
    confidence: str

    @property
    def id(self) -> str:
        """Such as `bhairav-kalingada`."""
        return "-".join(name.lower().replace(" ", "_") for name in (self.swung, self.still))


@dataclass(frozen=True, slots=True)
class Shades:
    """All that the file tells: swaras by name, pairs by id, and the notes of the ragas named."""

    swaras: Mapping[str, Shaded]
    pairs: Mapping[str, Pair]
    notes: Notes


def load_shades(path: Path = FILE) -> Shades:
    """Read a file of shades. Raises ShadesError with file, line, field and remedy."""
    table = read_table(path, error=ShadesError)
    table.only({"raga", "swara", "treatment", "pair"})
    notes = dict(map(_notes, table.inners("raga")))
    treatments: dict[str, dict[str, Treatment]] = {}
    for each in table.inners("treatment"):
        each.only({"swara", "how", "ragas", "source", "confidence"})
        how = each.text("how")
        if how not in HOW:
            raise each.fault("how", f"should be one of {', '.join(HOW)}; given {how!r}")
        ragas = tuple(_raga(each, "ragas", raga, notes) for raga in each.texts("ragas"))
        treatments.setdefault(each.text("swara"), {})[how] = Treatment(
            how, ragas, each.text("source"), _confidence(each)
        )
    swaras = {
        each.text("swara"): _shaded(each, treatments, notes) for each in table.inners("swara")
    }
    pairs = [_pair(each, notes) for each in table.inners("pair")]
    return Shades(
        MappingProxyType(swaras),
        MappingProxyType({pair.id: pair for pair in pairs}),
        MappingProxyType(notes),
    )


@cache
def shades() -> Shades:
    """As shipped."""
    return load_shades()


def _notes(table: Table) -> tuple[str, frozenset[str]]:
    table.only({"name", "notes", "source", "confidence"})
    table.text("source")
    _confidence(table)
    letters = (_swara(table, "notes", note).letter for note in table.text("notes").split())
    return table.text("name"), frozenset(letters)


def _raga(table: Table, field: str, raga: str, notes: Notes) -> str:
    if raga not in notes:
        raise table.fault(field, f"{raga} needs a [[raga]] table with its notes")
    return raga


def _shaded(
    table: Table, treatments: Mapping[str, Mapping[str, Treatment]], notes: Notes
) -> Shaded:
    table.only({"swara", "scales"})
    swara = _swara(table, "swara", table.text("swara"))
    scales = tuple(tuple(text.split()) for text in table.texts("scales"))
    for scale in scales:
        if swara.letter not in scale:
            raise table.fault("scales", f"{' '.join(scale)} should hold {swara}")
        for note in scale:
            _swara(table, "scales", note)
    found = treatments.get(str(swara), {})
    if len(found) < 2:
        raise table.fault("swara", f"{swara} needs two [[treatment]] tables or more")
    for scale in scales:
        for how, treatment in found.items():
            if not any(notes[raga].issuperset(scale) for raga in treatment.ragas):
                raise table.fault(
                    "scales", f"{' '.join(scale)} should lie within a raga that has {swara} {how}"
                )
    ordered = {how: found[how] for how in HOW if how in found}
    return Shaded(swara, scales, MappingProxyType(ordered))


def _pair(table: Table, notes: Notes) -> Pair:
    table.only({"swung", "still", "touch", "phrases", "source", "confidence"})
    touch = table.text("touch", needed=False)
    swung, still = (_raga(table, how, table.text(how), notes) for how in ("swung", "still"))
    phrases = tuple(_shown(table, text) for text in table.texts("phrases"))
    for shown in phrases:
        for swara in (shown.swara, *shown.around):
            if swara.letter not in notes[swung] & notes[still]:
                raise table.fault("phrases", f"{swara} should be a swara of {swung} and {still}")
    return Pair(
        swung=swung,
        still=still,
        touch=_swara(table, "touch", touch) if touch else None,
        phrases=phrases,
        source=table.text("source"),
        confidence=_confidence(table),
    )


def _shown(table: Table, text: str) -> Shown:
    words = text.split()
    marked = [index for index, word in enumerate(words) if word[:1] == "[" and word[-1:] == "]"]
    if len(marked) != 1 or marked[0] == len(words) - 1:
        raise table.fault(
            "phrases", f"{text!r} needs one swara in [ ] with another after it, such as m G [r] S"
        )
    swaras = [_swara(table, "phrases", word.strip("[]")) for word in words]
    (place,) = marked
    return Shown(swaras.pop(place), tuple(swaras), place)


def _swara(table: Table, field: str, text: str) -> Swara:
    try:
        return Swara.read(text)
    except TuningError as error:
        raise table.fault(field, str(error)) from error


def _confidence(table: Table) -> str:
    confidence = table.text("confidence")
    if confidence not in ("A", "B", "C"):
        raise table.fault("confidence", f"should be A, B or C; given {confidence!r}")
    return confidence
