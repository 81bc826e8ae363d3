"""What a tala is: a cycle of matras, how it is counted on the hand, and the thekas that keep it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate

from audio.theka import Theka, read_theka
from words import say


def vibhag_starts(vibhags: Sequence[int]) -> tuple[int, ...]:
    """The first matra of each vibhag, given their lengths in order."""
    return (1, *(1 + end for end in accumulate(vibhags[:-1])))


@dataclass(frozen=True, slots=True)
class Form:
    """How a cycle is divided and counted; matras are counted from 1.

    `vibhags` are their lengths in order; `tali` and `khali` the matras on which the hand claps or
    waves, each the first of a vibhag.
    """

    matras: int
    vibhags: tuple[int, ...]
    tali: tuple[int, ...]
    khali: tuple[int, ...]

    @property
    def starts(self) -> tuple[int, ...]:
        """The first matra of each vibhag."""
        return vibhag_starts(self.vibhags)

    def sign(self, matra: int) -> str:
        """What stands above a matra in print: X for sam, 2, 3 and on for later talis, 0 for khali,
        "" for the others (common practice). Where sam is waved it is 0, and the first tali 1."""
        if matra in self.khali:
            return "0"
        if matra == 1:
            return "X"
        return str(self.tali.index(matra) + 1) if matra in self.tali else ""

    def vibhag_of(self, matra: int) -> int:
        """In which vibhag a matra lies, counted from 0."""
        return sum(start <= matra for start in self.starts) - 1


@dataclass(frozen=True, slots=True)
class ThekaText:
    """One theka of a tala: `bols` as `audio.theka.read_theka` reads them; `laya` are the classes
    for which it is, () for all. `said` is how it is said where the words stand for other strokes
    than they usually do, matra by matra as `bols`."""

    bols: str
    about: str
    source: str
    laya: tuple[str, ...] = ()
    said: str = ""

    @property
    def words(self) -> str:
        """As it is said and printed."""
        return self.said or self.bols

    @property
    def theka(self) -> Theka:
        return read_theka(self.bols)


@dataclass(frozen=True, slots=True)
class Variant:
    """How other teachers have it: the whole form, and their theka where it must differ."""

    form: Form
    bols: str | None
    about: str
    source: str


@dataclass(frozen=True)
class Tala:
    """A tala as one file, or a teacher, tells it.

    `laya` are the classes in which it is usual. `confidence` is that of its form: A where public
    syllabi or several references agree, B where fewer do, C where they disagree.
    """

    id: str
    name: str
    also: tuple[str, ...]
    form: Form
    laya: tuple[str, ...]
    character: str
    thekas: tuple[ThekaText, ...]
    variants: tuple[Variant, ...]
    form_source: str
    laya_source: str
    character_source: str
    confidence: str

    @property
    def called(self) -> str:
        """Its name in the language in use; one of a teacher's own stays as it is."""
        return say(self.name)

    @property
    def told(self) -> str:
        """Its character in the language in use."""
        return say(self.character)

    @property
    def matras(self) -> int:
        return self.form.matras

    @property
    def vibhags(self) -> tuple[int, ...]:
        return self.form.vibhags

    @property
    def tali(self) -> tuple[int, ...]:
        return self.form.tali

    @property
    def khali(self) -> tuple[int, ...]:
        return self.form.khali

    @property
    def theka(self) -> str:
        """The bols of the usual theka."""
        return self.thekas[0].bols

    @cached_property
    def forms(self) -> tuple[Form, ...]:
        """Its form and that of every variant, each once: what is right in some teaching."""
        return tuple(dict.fromkeys((self.form, *(each.form for each in self.variants))))

    def thekas_in(self, laya: str) -> tuple[ThekaText, ...]:
        """The thekas for a class of laya, the usual one first."""
        return tuple(each for each in self.thekas if not each.laya or laya in each.laya)

    def thekas_for(self, laya: str) -> tuple[ThekaText, ...]:
        """The same; all of them where none is for that class."""
        return self.thekas_in(laya) or self.thekas

    def theka_of(self, bols: str) -> ThekaText:
        """The theka with these bols; one of nothing but them where none is known."""
        known = (each for each in self.thekas if each.bols == bols)
        return next(known, ThekaText(bols, "", ""))

    def written(self) -> Iterator[str]:
        """Every line of bols known of it, those of its variants too."""
        yield from (each.bols for each in self.thekas)
        yield from (each.bols for each in self.variants if each.bols)
