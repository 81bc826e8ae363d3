"""What the files of the talas say, read and counted through apart from the code that asks by them.

Only `assets/talas/*.toml` is read, with `tomllib`, and a teacher's tradition in the same way. Where
things fall is found by stepping along the cycle tick by tick, never by a formula. What is heard is
taken from the strokes of a score by trying every known theka from every place in it. A place is a
Fraction of matras since sam.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from pathlib import Path

from audio.score import Score, TablaStroke

FILES = Path(__file__).parents[2] / "assets" / "talas"

# Bols.

STRUCK = {
    **dict.fromkeys(("na", "ta", "ne"), ("rim", "")),
    **dict.fromkeys(("tin",), ("ring", "")),
    **dict.fromkeys(("tu", "tun", "thu", "thun", "di", "din", "den"), ("open", "")),
    **dict.fromkeys(("ti", "te", "tit", "tet", "ra", "re", "ri", "da", "tta"), ("closed", "")),
    **dict.fromkeys(("ge", "ga", "gi", "ghe", "gha", "ghi"), ("", "bass")),
    **dict.fromkeys(("ke", "ka", "ki", "kat"), ("", "slap")),
    "dha": ("rim", "bass"),
    **dict.fromkeys(("dhi", "dhin", "dhee"), ("ring", "bass")),
    **dict.fromkeys(("dhu", "dhun", "dhum"), ("open", "bass")),
    **dict.fromkeys(("dhe", "dhet", "dhit"), ("closed", "bass")),
}
"""What each syllable strikes on the right drum and on the left one (common practice, as playing
handbooks have it). Strokes that only a trained ear tells apart are one here: all closed ones of the
right hand, and the flat slaps of the left."""

SPOKEN = {
    **dict.fromkeys(("tirakita", "tirakit", "tirikita", "tirkita", "tirkit"), "ti ra ki tta"),
    "terekete": "te re ke tta",
    **dict.fromkeys(("traka", "trak"), "ti ra ka"),
    "tak": "ta ka",
    "nak": "na ka",
    "kdha": "ke dha",
    "kita": "ki tta",
    "tita": "ti tta",
    "teta": "te tta",
    "kit": "ki tta",
    "kra": "ke ra",
}
"""Words that are not struck as they seem to be spelt: the last ta of tirakita, kita and tita is the
closed one (common practice), and kra is two strokes (assumption)."""

Sound = tuple[str, str]


def syllables(word: str) -> list[str]:
    """The parts of one matra, "-" where nothing is struck.

    Of all ways to take a word apart the one of fewest pieces is meant, and ta is the open one where
    it can be. Raises ValueError for a word that is not made of bols.
    """
    ways = list(_ways(word.lower()))
    if not ways:
        raise ValueError(f"{word!r} is not made of bols")
    pieces = min(ways, key=lambda way: (len(way), "tta" in way))
    return [part for piece in pieces for part in SPOKEN.get(piece, piece).split()]


def _ways(word: str) -> Iterator[list[str]]:
    if not word:
        yield []
    for piece in (*STRUCK, *SPOKEN, "-"):
        if word.startswith(piece):
            for rest in _ways(word[len(piece) :]):
                yield [piece, *rest]


@cache
def strokes_of(bols: str) -> tuple[tuple[Fraction, str], ...]:
    """Every stroke of one cycle, with its place."""
    found = []
    for matra, word in enumerate(bols.replace("|", " ").split()):
        parts = syllables(word)
        found += [
            (matra + Fraction(at, len(parts)), part) for at, part in enumerate(parts) if part != "-"
        ]
    return tuple(found)


def onsets(
    bols: str, *, begins: Fraction, matras: Fraction, per_min: Fraction
) -> list[tuple[Fraction, str]]:
    """Exact seconds of every stroke of a theka that begins at a place and goes on so long."""
    cycle, found, turn = length_of(bols), [], 0
    while turn * cycle < begins + matras:
        for place, part in strokes_of(bols):
            since = turn * cycle + place - begins
            if 0 <= since < matras:
                found.append((since * 60 / per_min, part))
        turn += 1
    return found


def length_of(bols: str) -> int:
    return len(bols.replace("|", " ").split())


# Talas.


@dataclass(frozen=True)
class Form:
    """A cycle and its hand: matras from 1."""

    matras: int
    vibhags: tuple[int, ...]
    tali: tuple[int, ...]
    khali: tuple[int, ...]

    def claps(self) -> list[tuple[int, str]]:
        """Matra and gesture of each vibhag, by counting along."""
        found, matra = [], 1
        for vibhag in self.vibhags:
            gesture = "khali" if matra in self.khali else "tali"
            assert (matra in self.tali) == (gesture == "tali")
            found.append((matra, gesture))
            matra += vibhag
        return found


@dataclass(frozen=True)
class Told:
    """A tala as its file has it, with every variant."""

    id: str
    name: str
    also: tuple[str, ...]
    form: Form
    variants: tuple[tuple[Form, str], ...]
    """Form and bols, "" where these are not told."""
    thekas: tuple[tuple[str, tuple[str, ...]], ...]
    """Bols, and the classes of laya that they are for, () for all."""
    laya: tuple[str, ...]
    confidence: str
    said: tuple[tuple[str, str], ...] = ()
    """Lines of bols of which the words are others than the strokes, and these words."""

    @property
    def matras(self) -> int:
        return self.form.matras

    @property
    def is_sure(self) -> bool:
        """Whether its form is sure enough to be asked."""
        return self.confidence in ("A", "B")

    def forms(self) -> list[Form]:
        """Of every teaching known."""
        return list(dict.fromkeys([self.form, *(form for form, _ in self.variants)]))

    def lines(self) -> list[str]:
        """The bols of every teaching known."""
        return [bols for bols, _ in self.thekas] + [bols for _, bols in self.variants if bols]

    def names(self) -> set[str]:
        return {name.casefold() for name in (self.name, *self.also)}


FORM = ("matras", "vibhags", "tali", "khali")


def _form(table: dict) -> Form:
    return Form(table["matras"], *(tuple(table[field]) for field in FORM[1:]))


def _told(name: str, table: dict) -> Told:
    return Told(
        name,
        table["name"],
        tuple(table.get("also", ())),
        _form(table),
        tuple(
            (_form({**table, **variant}), variant.get("bols", ""))
            for variant in table.get("variant", ())
        ),
        tuple((each["bols"], tuple(each.get("laya", ()))) for each in table["theka"]),
        tuple(table["laya"]),
        table.get("source", {}).get("confidence", "A"),
        tuple((each["bols"], each["said"]) for each in table["theka"] if each.get("said")),
    )


@lru_cache(maxsize=8)
def known(tradition: str = "") -> dict[str, Told]:
    """All talas, with the tables of a teacher's text above them: where the teacher tells the form
    or the theka, no other teaching counts, and what the teacher has told of is sure."""
    tables = {
        path.stem: tomllib.loads(path.read_text(encoding="utf-8")) for path in FILES.glob("*.toml")
    }
    for name, said in tomllib.loads(tradition).get("tala", {}).items():
        shipped = tables.get(name, {})
        kept = {**shipped, **said}
        if any(field in said for field in (*FORM, "theka")):
            kept["variant"] = said.get("variant", [])
        starts = {1 + sum(kept["vibhags"][:at]) for at in range(len(kept["vibhags"]))}
        for field, other in (("tali", "khali"), ("khali", "tali")):
            if other in said and field not in said:
                kept[field] = sorted(starts - set(said[other]))
        kept["source"] = {**said.get("source", {"confidence": "A"})}
        tables[name] = kept
    return {name: _told(name, table) for name, table in sorted(tables.items())}


def named(text: str, tradition: str = "") -> list[str]:
    """The talas whose first name stands in a text as words of its own; of two names of which one is
    a part of the other, the longer counts."""
    low = _in_words(text)
    found = []
    for told in sorted(known(tradition).values(), key=lambda told: -len(told.name)):
        name = _in_words(told.name)
        if name in low:
            found.append(told.id)
            low = low.replace(name, "  ")
    return found


def _in_words(text: str) -> str:
    """Small letters and figures, words apart by single spaces, and spaces around them."""
    words = "".join(c if c.isalnum() else " " for c in text.casefold()).split()
    return f" {' '.join(words)} "


# Hearing.


def sound(bol: str) -> Sound:
    return STRUCK[bol]


@dataclass(frozen=True)
class Hearing:
    """One way in which the drums of a score can be taken: the first stroke stands at `place` of the
    cycle of these bols, and they go at this tempo."""

    tala: str
    bols: str
    place: Fraction
    per_min: Fraction
    """From seconds in floats: near the exact one."""
    first_s: float
    """When the first stroke sounds, the lead counted."""

    def at(self, second: float) -> float:
        """The place in the cycle at a second of the score."""
        since = (second - self.first_s) * float(self.per_min) / 60
        return (float(self.place) + since) % length_of(self.bols)

    def second(self, place: Fraction, *, after: float = -1e9) -> float:
        """When a place first comes at or after a second, by stepping on from one to the next."""
        cycle = length_of(self.bols)
        at = self.first_s + float((place - self.place) % cycle * 60 / self.per_min)
        turn = float(cycle * 60 / self.per_min)
        while at - turn >= after - 1e-6 and after > -1e8:
            at -= turn
        while at < after - 1e-6:
            at += turn
        return at


OFF_S = 2e-4
"""A stroke further off than this does not stand where a theka has it."""


def hearings(
    tabla: Sequence[TablaStroke],
    lead_s: float,
    *,
    among: Iterable[str] | None = None,
    tradition: str = "",
    per_min: Fraction | None = None,
) -> list[Hearing]:
    """All ways to take these strokes as a theka of a tala among those known, the tempo being
    whatever fits, or given."""
    heard = [sound(stroke.bol) for stroke in tabla]
    at_s = [stroke.onset_s for stroke in tabla]
    found = []
    for tala in known(tradition) if among is None else among:
        for bols in dict.fromkeys(known(tradition)[tala].lines()):
            for place, tempo in _fits(bols, tuple(heard), at_s, per_min):
                found.append(Hearing(tala, bols, place, tempo, lead_s + at_s[0]))
    return found


def _fits(
    bols: str, heard: tuple[Sound, ...], at_s: list[float], per_min: Fraction | None
) -> Iterator[tuple[Fraction, Fraction]]:
    """From where in a cycle these are its strokes, and how fast."""
    one = strokes_of(bols)
    turns = len(heard) // len(one) + 2
    places, line = _rounds(bols, turns)
    for first in range(len(one)):
        last = first + len(heard) - 1
        if line[first : last + 1] != heard:
            continue
        if len(heard) == 1:
            if per_min is not None:
                yield places[first], per_min
            continue
        lasts = at_s[-1] - at_s[0]
        matras = places[last] - places[first]
        tempo = per_min or Fraction(float(matras) * 60 / lasts).limit_denominator(1000)
        rate = 60 / float(tempo)
        begins = float(places[first])
        if all(
            abs(at - at_s[0] - (float(place) - begins) * rate) < OFF_S
            for at, place in zip(at_s, places[first : last + 1], strict=True)
        ):
            yield places[first], tempo


@cache
def _rounds(bols: str, turns: int) -> tuple[tuple[Fraction, ...], tuple[Sound, ...]]:
    """Places and sounds of so many cycles."""
    one, cycle = strokes_of(bols), length_of(bols)
    line = [(turn * cycle + place, sound(bol)) for turn in range(turns) for place, bol in one]
    return tuple(place for place, _ in line), tuple(what for _, what in line)


def hearings_of(score: Score, lines: Iterable[str]) -> list[tuple[str, Fraction]]:
    """Of lines of bols those that are heard, and where the first stroke stands in them."""
    heard = tuple(sound(stroke.bol) for stroke in score.tabla)
    at_s = [stroke.onset_s for stroke in score.tabla]
    return [(bols, place) for bols in lines for place, _ in _fits(bols, heard, at_s, None)]


def hear(score: Score, **how: object) -> list[Hearing]:
    return hearings(score.tabla, score.lead_s, **how)  # type: ignore[arg-type]


# Stepping.


def back_from_sam(matras: int, parts: int, each: Fraction) -> Fraction:
    """From which place so many parts, each so many matras long, must begin that the next stroke
    after them is sam: stepped back from sam, part by part."""
    place = Fraction(0)
    for _ in range(parts):
        place -= each
        while place < 0:
            place += matras
    return place


def lands_at(matras: int, start: Fraction, steps: Iterable[Fraction]) -> Fraction:
    """Where one is in the cycle after these steps from a place, round as often as it goes."""
    place = start
    for step in steps:
        place += step
        while place >= matras:
            place -= matras
    return place


def tihai_steps(phrase: Fraction, gap: Fraction, last: Fraction = Fraction(1)) -> list[Fraction]:
    """From the first stroke of a tihai to its last one: a phrase, a gap, a phrase, a gap, and the
    phrase without its last stroke, which lasts `last` where it is one of many."""
    return [phrase, gap, phrase, gap, phrase - last]


def chakradar_steps(
    phrase: Fraction, gap: Fraction, between: Fraction, last: Fraction = Fraction(1)
) -> list[Fraction]:
    """A tihai three times, with a gap between: to the last stroke of all."""
    whole = [phrase, gap, phrase, gap, phrase]
    return [*whole, between, *whole, between, *tihai_steps(phrase, gap, last)]


def gaps_that_land(
    matras: int,
    start: Fraction,
    phrase: Fraction,
    *,
    last: Fraction = Fraction(1),
    tick: Fraction = Fraction(1, 4),
    most: Fraction | None = None,
) -> list[Fraction]:
    """All gaps, in ticks up to a whole cycle, with which a tihai ends on sam: each is tried."""
    gap, found = Fraction(0), []
    while gap <= (matras if most is None else most):
        if lands_at(matras, start, tihai_steps(phrase, gap, last)) == 0:
            found.append(gap)
        gap += tick
    return found


def starts_that_land(
    matras: int, steps: Sequence[Fraction], *, tick: Fraction = Fraction(1, 4)
) -> list[Fraction]:
    """All places, in ticks, from which these steps lead to sam: each is tried."""
    start, found = Fraction(0), []
    while start < matras:
        if lands_at(matras, start, steps) == 0:
            found.append(start)
        start += tick
    return found
