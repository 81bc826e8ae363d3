"""What the raga files say, read afresh: who may play a phrase, and who surely may not.

It stands apart from the program's own judgement and shares nothing with it but the files: it reads
them with tomllib and takes the doubtful side. A raga is surely left only where no teaching that its
file knows of has the note or the run; it strictly admits only what its own way holds.

A swara is passed where it stands strictly between a lower and a higher neighbour. Swaras are
semitones above middle Sa.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from itertools import pairwise
from pathlib import Path

FILES = Path(__file__).parents[2] / "assets" / "ragas"
LETTERS = "SrRgGmMPdDnN"
DEGREES = "SRGMPDN"
UP, DOWN = 1, -1

Line = tuple[int, ...]


def line(text: str) -> Line:
    """`N, S R'` in semitones above middle Sa."""
    return tuple(
        LETTERS.index(word[0]) + 12 * (word.count("'") - word.count(",")) for word in text.split()
    )


def letter(swara: int) -> str:
    return LETTERS[swara % 12]


def letters(swaras: Sequence[int]) -> frozenset[str]:
    return frozenset(map(letter, swaras))


def degree(one: str) -> str:
    """A letter without its form: `r` and `R` are Re, `m` and `M` are Ma."""
    return one.upper()


def degrees(some: Sequence[str] | frozenset[str]) -> frozenset[str]:
    return frozenset(map(degree, some))


def written(swaras: Sequence[int]) -> str:
    marks = {-2: ",,", -1: ",", 0: "", 1: "'", 2: "''"}
    return " ".join(letter(swara) + marks[swara // 12] for swara in swaras)


def once(swaras: Sequence[int]) -> Line:
    """Without the swaras that only repeat the one before."""
    return tuple(s for at, s in enumerate(swaras) if at == 0 or s != swaras[at - 1])


def passes(swaras: Sequence[int], at: int) -> int:
    """UP or DOWN where the swara here is passed in that direction, else 0."""
    if not 0 < at < len(swaras) - 1:
        return 0
    before, here, after = swaras[at - 1 : at + 2]
    return UP if before < here < after else DOWN if before > here > after else 0


def in_any_saptak(turn: Sequence[int], within: Sequence[int]) -> list[int]:
    """Where a succession stands in a line, whatever the saptak."""
    return [
        at
        for at in range(len(within) - len(turn) + 1)
        if (within[at] - turn[0]) % 12 == 0
        and all(within[at + i] - within[at] == turn[i] - turn[0] for i in range(len(turn)))
    ]


@dataclass(frozen=True)
class Left:
    """Why a raga is surely left, at which swara that is known, and which one is at fault."""

    by: str
    at: int
    swara: str
    fault_at: int


class Raga:
    """One file."""

    def __init__(self, name: str, table: dict) -> None:
        self.id, self.table = name, table
        self.name: str = table["name"]
        self.notes = frozenset(self._words("notes"))
        self.own_letters = self.notes.union(self._words("occasional"))
        self.aroha = line(table["scale"]["aroha"])
        self.avaroha = line(table["scale"]["avaroha"])
        self.phrases = tuple(line(phrase["sargam"]) for phrase in table.get("phrase", ()))
        self.forbidden = tuple(line(each["turn"]) for each in table.get("forbidden", ()))
        self.required = tuple(
            (each["swara"], tuple(map(line, _turns(each["turns"]))))
            for each in table.get("required", ())
        )
        self.near = tuple(near["raga"] for near in table.get("near", ()))
        self.nyas = tuple(self._words("nyas"))
        self.that: str = table["that"]["is"]
        self.register = frozenset(self._words("register"))
        self.gait = frozenset(self._words("gait"))
        self.andolan = frozenset(self._words("andolan"))

    def _words(self, field: str) -> list[str]:
        return self.table.get(field, {}).get("is", "").split()

    def sure(self, field: str) -> bool:
        return self.table[field]["confidence"] in ("A", "B", "teacher")

    def variants(self, field: str) -> list[str]:
        """What others teach for a field, but for what is marked as one source's slip."""
        return [
            each["is"]
            for each in self.table.get("variant", ())
            if each["of"] == field and not each.get("slip")
        ]

    @cached_property
    def any_letters(self) -> frozenset[str]:
        """Those of every teaching."""
        others = (text.split() for text in self.variants("notes"))
        return self.own_letters.union(self.placed, *others)

    @cached_property
    def omitted(self) -> dict[int, frozenset[str]]:
        """Degrees that no teaching lets a run pass in that direction.

        Where the ways are taken from memory nothing is sure.
        """
        if not self.sure("scale"):
            return {UP: frozenset(), DOWN: frozenset()}
        return {
            direction: frozenset(DEGREES) - degrees(frozenset().union(*map(letters, ways)))
            for direction, ways in self._ways.items()
        }

    @cached_property
    def ever_omitted(self) -> dict[int, frozenset[str]]:
        """Degrees that some teaching leaves out in that direction."""
        return {
            way: frozenset(DEGREES) - frozenset.intersection(*(degrees(letters(w)) for w in ways))
            for way, ways in self._ways.items()
        }

    @cached_property
    def _ways(self) -> dict[int, list[Line]]:
        """All ways up and all ways down that are taught."""
        return {
            UP: [self.aroha, *map(line, self.variants("aroha"))],
            DOWN: [self.avaroha, *map(line, self.variants("avaroha"))],
        }

    @cached_property
    def placed(self) -> frozenset[str]:
        """Letters that stand in some way; of others no file tells how they are passed."""
        return frozenset().union(*(letters(way) for ways in self._ways.values() for way in ways))

    def surely_bars(self, passed: str, direction: int) -> bool:
        return passed in self.placed and degree(passed) in self.omitted[direction]

    @cached_property
    def own(self) -> tuple[Line, ...]:
        """All lines that are the raga's own."""
        turns = [turn for _, some in self.required for turn in some]
        return (*self.phrases, self.aroha, self.avaroha, *turns)

    @cached_property
    def own_runs(self) -> tuple[Line, ...]:
        """The same, as written and without repeated swaras."""
        return tuple({run for own in self.own for run in (own, once(own))})

    def is_own(self, turn: Sequence[int]) -> bool:
        return any(in_any_saptak(turn, own) for own in self.own_runs)

    def left(self, swaras: Sequence[int]) -> Left | None:
        """The first thing in a phrase that no teaching of this raga has."""
        return next(self.all_left(swaras), None)

    def all_left(self, swaras: Sequence[int]) -> Iterator[Left]:
        """All such things, in the order in which they are heard."""
        for at, swara in enumerate(swaras):
            if letter(swara) not in self.any_letters:
                yield Left("note", at, letter(swara), at)
            passed = letter(swaras[at - 1])
            direction = passes(swaras[: at + 1], at - 1)
            if (
                direction
                and self.surely_bars(passed, direction)
                and not self.is_own(swaras[at - 2 : at + 1])
            ):
                yield Left("run", at, passed, at - 1)

    def is_vakra(self, direction: int) -> bool:
        """Whether the way up turns down on itself, or the way down up."""
        way = self.aroha if direction == UP else self.avaroha
        return any((b - a) * direction < 0 for a, b in pairwise(way))

    def slips(self, swaras: Sequence[int], *, goes_on: bool = False) -> list[str]:
        """All that keeps a phrase from being this raga's own; nothing where it is.

        The ends of a phrase may cut a turn that is required, to two swaras; to one, at the end of
        a phrase that goes on.
        """
        found = [f"{one} is not its note" for one in sorted(letters(swaras) - self.own_letters)]
        run = once(swaras)
        for at in range(len(run)):
            direction = passes(run, at)
            turn = run[at - 1 : at + 2]
            if not direction or self.is_own(turn):
                continue
            way = self.aroha if direction == UP else self.avaroha
            if self.is_vakra(direction):
                found.append(f"{written(turn)} is no turn of its vakra way")
            elif letter(run[at]) not in letters(way):
                found.append(f"{written(turn)} passes {letter(run[at])}, which its way has not")
        for turn in self.forbidden:
            if in_any_saptak(turn, swaras) or in_any_saptak(turn, run):
                found.append(f"{written(turn)} is forbidden")
        for swara, turns in self.required:
            within = {at for turn in turns for at in _covered(turn, run, goes_on)}
            for at in range(len(run)):
                if letter(run[at]) == swara and at not in within:
                    found.append(f"{swara} stands at {at} outside the turns required")
        return found

    def admits(self, swaras: Sequence[int]) -> bool:
        return not self.slips(swaras)

    @cached_property
    def vadis(self) -> frozenset[tuple[str, str]]:
        """Every pair of vadi and samvadi that is taught."""
        vadi = self.table["vadi"]
        pairs = [f"{vadi['is']} {vadi['samvadi']}", *self.variants("vadi")]
        return frozenset((pair.split()[0], pair.split()[-1]) for pair in pairs)

    @cached_property
    def hours(self) -> frozenset[int]:
        """Every hour of the day at which some teaching has it."""
        spans = [*self._words("hours"), *(s for v in self.variants("hours") for s in v.split())]
        found: set[int] = set()
        for span in spans:
            start, end = map(int, span.split("-"))
            found |= {hour % 24 for hour in range(start, end if end > start else end + 24)}
        return frozenset(found)

    @cached_property
    def jatis(self) -> frozenset[tuple[int, int]]:
        """How many degrees a way up and a way down have, in every teaching."""
        sizes = {
            way: {len(degrees(letters(each))) for each in ways} for way, ways in self._ways.items()
        }
        return frozenset((up, down) for up in sizes[UP] for down in sizes[DOWN])

    @property
    def first_string(self) -> str:
        """Pa where the raga has it, else shuddha Ma, else Ni (common practice)."""
        return next((one for one in "Pm" if one in self.notes), "N")


def _covered(turn: Sequence[int], run: Sequence[int], goes_on: bool) -> Iterator[int]:
    """Which swaras of a run a turn covers, in any saptak; the run's ends may cut it."""
    for start in range(2 - len(turn), len(run) - 1 + goes_on):
        common = range(max(start, 0), min(start + len(turn), len(run)))
        shifts = {run[at] - turn[at - start] for at in common}
        if len(shifts) == 1 and shifts.pop() % 12 == 0:
            yield from common


def _turns(turns: str | list[str]) -> list[str]:
    return [turns] if isinstance(turns, str) else list(turns)


@cache
def all_ragas() -> dict[str, Raga]:
    found = {}
    for path in sorted(FILES.glob("*.toml")):
        table = tomllib.loads(path.read_text("utf-8"))
        if "scale" in table:
            found[path.stem] = Raga(path.stem, table)
    return found


@cache
def by_name() -> dict[str, Raga]:
    return {raga.name: raga for raga in all_ragas().values()}


MELAS = {
    "Bilawal": 29, "Kalyan": 65, "Khamaj": 28, "Bhairav": 15, "Purvi": 51,
    "Marwa": 53, "Kafi": 22, "Asavari": 20, "Bhairavi": 8, "Todi": 45,
}  # fmt: skip
"""The ten thats by their number among the 72 melas (common practice)."""


def mela(number: int) -> frozenset[str]:
    """The notes of a mela: Ma by halves, Re and Ga by sixes, Dha and Ni within the six."""
    pairs = ((0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3))
    low, high = pairs[(number - 1) // 6 % 6], pairs[(number - 1) % 6]
    steps = (0, low[0] + 1, low[1] + 1, 6 if number > 36 else 5, 7, high[0] + 8, high[1] + 8)
    return frozenset(LETTERS[step] for step in steps)


def thats_of(notes: frozenset[str]) -> frozenset[str]:
    """The thats that hold all these notes."""
    return frozenset(that for that, number in MELAS.items() if notes <= mela(number))
