"""The right hand: bols of the mizrab as strokes, and patterns of gats and jhalas made of them.

`assets/mizrab.toml` holds the bols, how each way of striking sounds, and the named patterns. Times
within a line of bols are in matras, exact.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

from audio.errors import BolError
from audio.score import Stroke
from audio.tuning import SITAR_SA_HZ

FILE = Path(__file__).parent.parent / "assets" / "mizrab.toml"

REST = "-"
"""A matra in which nothing is struck and the string rings on."""
CHIKARI = "chikari"
NOTE = "note"
"""In a jhala's pattern: a stroke on the playing string."""
MOST_BOLS = 1000

CHIKARI_HZ = SITAR_SA_HZ
"""C sharp 4: the lower chikari string is tuned to the Sa nearest to it (common practice)."""
CHIKARI_APART_S = 0.006
"""From the lower to the upper chikari string, as the mizrab sweeps over them (assumption)."""
CHIKARI_RING_S = 1.5
"""Chikari strings are left to ring until they are struck again, at most for so long."""


@dataclass(frozen=True, slots=True)
class Way:
    """How a stroke in one direction sounds beside a plain one."""

    level_db: float
    brightness: float
    source: str


@dataclass(frozen=True, slots=True)
class Hit:
    """One blow of the mizrab, so many matras and seconds after its bol begins.

    `way` is a key of the ways.
    """

    at: Fraction
    way: str
    late_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Bol:
    """A syllable of the right hand: its length in matras and its blows."""

    name: str
    matras: Fraction
    hits: tuple[Hit, ...]
    about: str
    source: str


@dataclass(frozen=True, slots=True)
class Gat:
    """A gat known by its strokes: the line of bols, played `times` over from a matra of a tala."""

    name: str
    about: str
    """What it is, in words that stand after the name."""
    bols: str
    times: int
    tala: str
    from_matra: int
    laya: tuple[float, float]
    """From the slowest to the fastest usual tempo, in matras a minute."""
    source: str
    also_from: tuple[int, ...] = ()
    """Other matras from which it is taught, fewer gats beginning there."""
    also_source: str = ""

    def on_sam(self, cycle: int) -> int:
        """Which bol of the line, from 1, falls on sam of a cycle of so many matras.

        Raises BolError where none begins there.
        """
        line, at = read_bols(self.bols), Fraction(0)
        since = (1 - self.from_matra) % cycle % matras_of(line)
        for number, bol in enumerate(line, 1):
            if at == since:
                return number
            at += matras_of([bol])
        raise BolError(f"{self.name}: no bol begins on sam from matra {self.from_matra}")


@dataclass(frozen=True, slots=True)
class Jhala:
    """What is struck over and over in a jhala: NOTE and CHIKARI."""

    name: str
    """What it is in words."""
    pattern: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class Mizrab:
    """All that the file says."""

    ways: Mapping[str, Way]
    bols: Mapping[str, Bol]
    gats: tuple[Gat, ...]
    jhalas: tuple[Jhala, ...]


@cache
def mizrab() -> Mizrab:
    """The right hand as shipped."""
    return load_mizrab()


def load_mizrab(path: Path = FILE) -> Mizrab:
    """Read a file of bols and patterns. Raises BolError with file, place and remedy."""
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise BolError(f"{path}: {error}; it should be a TOML file in UTF-8") from error
    where = ""
    try:
        ways, bols, gats, jhalas = {}, {}, [], []
        for name, table in data["way"].items():
            where = f"[way.{name}]"
            ways[name] = Way(**table)
        for name, table in data["bol"].items():
            where = f"[bol.{name}]"
            bols[name] = _bol(name, table, ways)
        for number, table in enumerate(data["gat"], 1):
            where = f"[[gat]] number {number}"
            lists = {"laya": tuple(table["laya"]), "also_from": tuple(table.get("also_from", ()))}
            gats.append(Gat(**{**table, **lists}))
            read_bols(gats[-1].bols, known=bols)
        for number, table in enumerate(data["jhala"], 1):
            where = f"[[jhala]] number {number}"
            jhalas.append(_jhala(table))
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise BolError(f"{path}: {where} {error}; compare it with its neighbours") from error
    except BolError as error:
        raise BolError(f"{path}: {where} {error}") from error
    return Mizrab(ways, bols, tuple(gats), tuple(jhalas))


def _bol(name: str, table: dict[str, Any], ways: Mapping[str, Way]) -> Bol:
    hits = tuple(Hit(Fraction(at), way, *late) for at, way, *late in table["hits"])
    matras = Fraction(table["matras"])
    if not hits or hits[0].at != 0 or any(hit.way not in ways for hit in hits):
        raise ValueError(f"hits begin at 0 and go one of {', '.join(ways)}")
    if not all((one.at, one.late_s) < (other.at, other.late_s) for one, other in pairwise(hits)):
        raise ValueError("hits come in order")
    if hits[-1].at >= matras:
        raise ValueError(f"all hits lie within the {matras} matras of the bol")
    return Bol(name, matras, hits, table["about"], table["source"])


def _jhala(table: dict[str, Any]) -> Jhala:
    pattern = tuple(table["pattern"].split())
    if not pattern or pattern[0] != NOTE or set(pattern) - {NOTE, CHIKARI}:
        raise ValueError(f"a pattern begins with {NOTE} and goes on with {NOTE} and {CHIKARI}")
    return Jhala(table["name"], pattern, table["source"])


def read_bols(text: str, *, known: Mapping[str, Bol] | None = None) -> tuple[Bol | str, ...]:
    """A line of bols such as `dir da - ra`; `|` may stand between. Raises BolError."""
    bols = mizrab().bols if known is None else known
    words = text.replace("|", " ").split()
    if not words or len(words) > MOST_BOLS:
        raise BolError(f"a line has 1 to {MOST_BOLS} bols; this has {len(words)}")
    for number, word in enumerate(words, 1):
        if word != REST and word not in bols:
            raise BolError(
                f"bol {number}, {word!r}, is not known; write one of "
                f"{', '.join(bols)}, or {REST} to let the string ring"
            )
    if words[0] == REST:
        raise BolError(f"the line begins with {REST}, but nothing rings yet; begin with a bol")
    return tuple(word if word == REST else bols[word] for word in words)


def matras_of(bols: Sequence[Bol | str]) -> Fraction:
    """How long a line of bols is."""
    return sum((Fraction(1) if isinstance(bol, str) else bol.matras for bol in bols), Fraction(0))


def strokes_of(
    bols: Sequence[Bol | str],
    cents: Sequence[float],
    *,
    sa_hz: float,
    matras_per_min: float,
    onset_s: float = 0.0,
) -> tuple[Stroke, ...]:
    """The strokes of a line of bols, each string ringing until it is struck again.

    `cents` has one pitch for each bol on the playing string, in order (`pitches_in` counts them);
    raises ValueError where it has not.
    """
    if len(cents) != pitches_in(bols):
        raise ValueError(f"{pitches_in(bols)} pitches are needed: given {len(cents)}")
    struck: list[tuple[float, str, float]] = []
    matra_s = 60.0 / matras_per_min
    at, pitches = Fraction(0), iter(cents)
    for bol in bols:
        if isinstance(bol, str):
            at += 1
            continue
        pitch = 0.0 if bol.name == CHIKARI else next(pitches)
        struck += [(float(at + hit.at) * matra_s + hit.late_s, hit.way, pitch) for hit in bol.hits]
        at += bol.matras
    ends_s = float(at) * matra_s
    strokes: list[Stroke] = []
    for index, (begun_s, way, pitch) in enumerate(struck):
        later = (
            other for other, to, _ in struck[index + 1 :] if (to == CHIKARI) == (way == CHIKARI)
        )
        length_s = next(later, ends_s) - begun_s
        if way == CHIKARI:
            strokes += chikari_strokes(onset_s + begun_s, length_s, sa_hz=sa_hz)
        else:
            strokes.append(struck_note(onset_s + begun_s, length_s, pitch, way=way))
    return tuple(strokes)


def pitches_in(bols: Sequence[Bol | str]) -> int:
    """How many bols of a line sound on the playing string."""
    return sum(not isinstance(bol, str) and bol.name != CHIKARI for bol in bols)


def struck_note(onset_s: float, duration_s: float, cents: float, *, way: str) -> Stroke:
    """One stroke on the playing string, "in" or "out"."""
    sound = mizrab().ways[way]
    return Stroke(
        onset_s,
        duration_s,
        ((0.0, cents),),
        level_db=sound.level_db,
        brightness=sound.brightness,
        tags=("da" if way == "in" else "ra",),
    )


def chikari_strokes(
    onset_s: float, duration_s: float, *, sa_hz: float, level_db: float = 0.0
) -> tuple[Stroke, Stroke]:
    """Both chikari strings, swept one after the other; `level_db` is beside their usual level."""
    octave = 1200.0 * round(math.log2(CHIKARI_HZ / sa_hz))
    sound = mizrab().ways[CHIKARI]
    ends_s = onset_s + min(duration_s, CHIKARI_RING_S)
    lower, upper = (
        Stroke(
            onset_s + shift_s,
            max(ends_s - onset_s - shift_s, CHIKARI_APART_S),
            ((0.0, cents),),
            level_db=sound.level_db + level_db,
            brightness=sound.brightness,
            voice="chikari",
            tags=(CHIKARI,),
        )
        for shift_s, cents in ((0.0, octave), (CHIKARI_APART_S, octave + 1200.0))
    )
    return lower, upper
