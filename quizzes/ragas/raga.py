"""What is known of a raga: swaras, turns, rests, weights, hours, each with its source."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Generic, TypeVar

from audio.tuning import SWARAS, Swara
from quizzes.names import in_sargam

T = TypeVar("T")

DEGREES = "SRGMPDN"
"""The seven degrees; komal, shuddha and tivra forms of a swara share one."""

SAPTAKS = ("mandra", "madhya", "tar")
GAITS = ("grave", "medium", "fast", "light")
JATIS = {5: "audav", 6: "shadav", 7: "sampurna"}


@dataclass(frozen=True, slots=True)
class Fact(Generic[T]):
    """Something known, and from where.

    `confidence` is A where two independent sources agree and none disagrees, B where one says so,
    C where it is common practice from memory; "teacher" where the student's teacher has said so.
    """

    value: T
    confidence: str
    source: str

    @property
    def sure(self) -> bool:
        """Whether a source or the teacher stands behind it."""
        return self.confidence != "C"


@dataclass(frozen=True, slots=True)
class Scale:
    """The way up and the way down, as they are taught; either may turn on its way."""

    aroha: tuple[Swara, ...]
    avaroha: tuple[Swara, ...]

    @property
    def up(self) -> frozenset[str]:
        return letters_of(self.aroha)

    @property
    def down(self) -> frozenset[str]:
        return letters_of(self.avaroha)


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase that the raga is known by."""

    swaras: tuple[Swara, ...]
    confidence: str
    source: str

    def __str__(self) -> str:
        return in_sargam(self.swaras)


@dataclass(frozen=True, slots=True)
class Near:
    """A raga that is easily taken for this one, and in a few words what sets it apart."""

    raga: str
    apart: str


@dataclass(frozen=True, slots=True)
class Variant:
    """What others teach or print for a field `of` the raga, or `about` it in words."""

    of: str
    value: str
    source: str
    slip: bool = False
    """Whether it is taken for a slip of its source: told, but nobody is known to teach it."""


@dataclass(frozen=True, slots=True)
class Forbidden:
    """A turn that the raga does not make, though each of its swaras belongs to it."""

    turn: tuple[Swara, ...]
    confidence: str
    source: str


@dataclass(frozen=True, slots=True)
class Required:
    """A swara that is heard in certain turns only."""

    letter: str
    turns: tuple[tuple[Swara, ...], ...]
    confidence: str
    source: str


@dataclass(frozen=True, slots=True, eq=False)
class Raga:
    """A raga as one file tells it. Letters of swaras are those of sargam: `r` komal, `M` tivra.

    Each is read once and compared as the one that it is, so that what is reckoned from it can be
    kept.
    """

    id: str
    name: str
    also: tuple[str, ...]
    about: str
    season: str
    that: Fact[str]
    """The name of its that, "" where none holds it."""
    notes: Fact[tuple[str, ...]]
    occasional: Fact[tuple[str, ...]]
    """Touched now and then; they rule nothing out."""
    scale: Fact[Scale]
    vadi: Fact[tuple[str, str]]
    """Vadi and samvadi."""
    nyas: Fact[tuple[str, ...]]
    """Swaras on which a phrase may rest, the usual ones first."""
    andolan: Fact[tuple[str, ...]]
    glide: Fact[tuple[str, ...]]
    """Heard only within a falling glide, never in a straight run."""
    register: Fact[tuple[str, ...]]
    """The saptaks in which it mostly lives, of SAPTAKS."""
    gait: Fact[tuple[str, ...]]
    mood: Fact[tuple[str, ...]]
    hours: Fact[tuple[int, int]]
    """From and to, of 24."""
    phrases: tuple[Phrase, ...]
    near: tuple[Near, ...]
    forbidden: tuple[Forbidden, ...]
    required: tuple[Required, ...]
    variants: tuple[Variant, ...]
    first_string: str = ""
    """Of the tanpura, where a teacher has said so."""

    def others(self, field: str) -> tuple[str, ...]:
        """What others teach for a field: "notes", "aroha", "avaroha", "vadi", "hours", "that"."""
        return tuple(each.value for each in self.variants if each.of == field and not each.slip)

    @property
    def own(self) -> frozenset[str]:
        """Letters of its swaras, without the occasional ones."""
        return frozenset(self.notes.value)

    @property
    def allowed(self) -> frozenset[str]:
        """Letters that it may touch as its file has it."""
        return self.own | frozenset(self.occasional.value)

    @property
    def ever(self) -> frozenset[str]:
        """Letters that it has in anybody's teaching; what is not among them is surely foreign."""
        taught = (*map(self.others, ("notes", "aroha", "avaroha")),)
        spread = " ".join(text for texts in taught for text in texts)
        return self.allowed | frozenset(letter for letter in spread if letter in SWARAS)

    @property
    def omitted(self) -> tuple[str, ...]:
        """Degrees that it has in no form, such as `M` and `N` of Bhupali."""
        degrees = {letter.upper() for letter in self.own}
        return tuple(degree for degree in DEGREES if degree not in degrees)

    @property
    def omitted_up(self) -> tuple[str, ...]:
        """Its own letters of whose degree the way up has no form."""
        return self._without(self.scale.value.up)

    @property
    def omitted_down(self) -> tuple[str, ...]:
        return self._without(self.scale.value.down)

    def _without(self, way: frozenset[str]) -> tuple[str, ...]:
        degrees = {letter.upper() for letter in way}
        return tuple(letter for letter in self.notes.value if letter.upper() not in degrees)

    @property
    def vakra_up(self) -> bool:
        return not is_rising(self.scale.value.aroha)

    @property
    def vakra_down(self) -> bool:
        return not is_rising(self.scale.value.avaroha[::-1])

    @property
    def jati(self) -> tuple[str, str]:
        """How many degrees it has up and down; the octave is not counted again."""
        up, down = (
            len({swara.letter.upper() for swara in way})
            for way in (self.scale.value.aroha, self.scale.value.avaroha)
        )
        return JATIS[up], JATIS[down]

    @property
    def pairs(self) -> tuple[tuple[str, str], ...]:
        """Every pair of vadi and samvadi that is taught, the usual one first."""
        taught = [self.vadi.value]
        for text in self.others("vadi"):
            vadi, samvadi = text.split()
            taught.append((vadi, samvadi))
        return tuple(dict.fromkeys(taught))

    @property
    def all_hours(self) -> tuple[tuple[int, int], ...]:
        """Every time that is taught for it."""
        taught = [self.hours.value, *map(hours_of, self.others("hours"))]
        return tuple(dict.fromkeys(taught))

    @property
    def drone(self) -> str:
        """The first string of the tanpura: Pa, else Ma, else Ni (common practice)."""
        return self.first_string or next((letter for letter in "Pm" if letter in self.own), "N")


def letters_of(swaras: Sequence[Swara]) -> frozenset[str]:
    return frozenset(swara.letter for swara in swaras)


def is_rising(swaras: Sequence[Swara]) -> bool:
    return all(a.steps < b.steps for a, b in pairwise(swaras))


def hours_of(text: str) -> tuple[int, int]:
    """Read `18-21`. Raises ValueError for what is no pair of hours from 0 to 24."""
    begin, end = (int(part) for part in text.split("-"))
    if not (0 <= begin < 24 and begin < end <= 24):
        raise ValueError(text)
    return begin, end
