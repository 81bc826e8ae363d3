"""What a day offers to play on the instrument: a palta in an order never given to this student.

The order is one of a prastara of three swaras or more, drawn from those that the student's notes do
not hold; it becomes the shape of a palta, run in a raga or scale that the student has begun. Groups
grow by a swara where several orders were played clean, or all were given.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from audio.line import HOLD, Beat, Line
from audio.sargam import write
from practice.instrument import CLEAN, GIVEN, PaltaNoted
from practice.ladder import Ladder, ladder_for
from quizzes.contours import THATS_BY_NAME
from quizzes.fresh import Fresh
from quizzes.names import counted, number_word
from quizzes.paltas import Layout, Run, Shape, lay, layouts, layouts_for, run_in_raga, run_in_scale
from quizzes.paltas.prastara import count, order_at
from quizzes.ragas import Raga, ragas
from quizzes.ragas.asking import ragas_in
from quizzes.ragas.turns import spoken
from quizzes.talas import Tala, talas
from quizzes.talas.asking import USUAL, asked_talas, talas_in
from quizzes.talas.laya import layas

FEWEST_SWARAS, MOST_SWARAS = 3, 7
FEWEST_GROUPS = 2
"""Each way in a scale: of seven swaras no more fit between Sa and tar Sa."""
ORDERS_TRIED = 24
"""In a raga, before another one is tried: of one that turns on itself few orders make a palta."""
USUAL_SCALE = "Bilawal"
LAYA = "madhya"


@dataclass(frozen=True, slots=True)
class Varied:
    """A palta as it is offered. It runs in `raga`, by its id, or where that is "" in the `scale` of
    a that, by its name."""

    n: int
    index: int
    """The place of its order in the prastara of n swaras, from 0."""
    raga: str
    scale: str
    where: str
    """The raga's name, or `the scale of Bilawal`."""
    run: Run
    layout: Layout
    tala: Tala
    tempo: float
    """Matras a minute to begin with."""
    drone: str
    """The first string of its tanpura."""
    told: str = ""
    """What is to be said of it besides: that all orders of a size were given."""

    @property
    def key(self) -> str:
        """By which it is never given again, whatever the raga."""
        return key_of(self.n, self.index)

    @property
    def name(self) -> str:
        """`Ga Sa Re, order 4 of 6, in Yaman`."""
        place = f"order {self.index + 1} of {count(self.n)}"
        return f"{spoken(self.run.up[0])}, {place}, in {self.where}"

    @property
    def up(self) -> str:
        """The way up in sargam, in its rhythm."""
        return write(lay(self.run.up, self.layout))

    @property
    def down(self) -> str:
        return write(lay(self.run.down, self.layout))

    @property
    def line(self) -> Line:
        """Up and down, the last swara held until sam."""
        line = lay(self.run.groups, self.layout)
        return Line((*line.items, *[Beat((HOLD,))] * _left_to_sam(line.matras, self.tala)))

    @property
    def detail(self) -> dict[str, Any]:
        """What makes it again, for its notes."""
        made = {"n": self.n, "index": self.index, "raga": self.raga, "scale": self.scale}
        return {**made, "layout": self.layout.id, "tala": self.tala.id}


def key_of(n: int, index: int) -> str:
    return f"prastara:{n}:{index}"


def of_day(noted: Iterable[PaltaNoted], day: date, tradition: str = "") -> Varied | None:
    """What was given last on this day, made again; None where nothing was, or it cannot be."""
    given = [each for each in noted if each.said == GIVEN and each.at.date() == day]
    return _made_again(given[-1], tradition) if given else None


def vary(
    noted: Sequence[PaltaNoted],
    *,
    begun: Collection[str],
    day: date,
    student: str,
    tradition: str = "",
) -> Varied:
    """A palta that was never given, for a student who has `begun` these skills.

    `noted` is all that the student's log notes of paltas, in order; the same notes on the same day
    give the same palta.
    """
    given = frozenset(each.key for each in noted if each.said == GIVEN)
    fresh = Fresh(f"vary {student}", day.toordinal() * 1_000_000 + len(given))
    n, told = _size(noted, given)
    left = [index for index in range(count(n)) if key_of(n, index) not in given]
    orders = fresh.shuffled(left or _longest_ago(noted, n))
    index, place, run = _running(n, orders, _places(fresh, noted, begun, tradition))
    layout, tempo = _layout(fresh, noted, n)
    tala = _tala(fresh, begun, tradition, lay(run.groups, layout).matras)
    return _varied(n, index, place, run, layout, tala, tempo, told)


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a palta may run: in a raga or, where that is "", in a scale."""

    raga: str
    scale: str
    tradition: str = ""

    @property
    def name(self) -> str:
        return self._raga.name if self._raga else f"the scale of {self.scale}"

    @property
    def drone(self) -> str:
        return self._raga.drone if self._raga else "P"

    @property
    def _raga(self) -> Raga | None:
        return ragas(self.tradition)[self.raga] if self.raga else None

    def run(self, shape: Shape) -> Run | None:
        if self._raga:
            return run_in_raga(shape, self._raga)
        letters = THATS_BY_NAME[self.scale].split()
        return run_in_scale(shape, letters, fewest=FEWEST_GROUPS)


def _running(n: int, orders: Sequence[int], places: Sequence[_Place]) -> tuple[int, _Place, Run]:
    """The first order that runs in the first place in which some do; in a scale all do."""
    for place in places:
        for index in orders[:ORDERS_TRIED]:
            run = place.run(_shape(n, index))
            if run is not None:
                return index, place, run
    raise AssertionError(f"no order of {n} swaras runs in {USUAL_SCALE}")


def _shape(n: int, index: int) -> Shape:
    order = order_at(range(n), index)
    return tuple(degree - order[0] for degree in order)


def _size(noted: Iterable[PaltaNoted], given: Collection[str]) -> tuple[int, str]:
    """How many swaras a group has, and what is to be said of that."""
    clean = {each.key for each in noted if each.said == CLEAN}
    n, told = FEWEST_SWARAS, ""
    while True:
        is_given = _of_size(n, given) == count(n)
        told = _told(n) if is_given else ""
        if n == MOST_SWARAS or not (is_given or _of_size(n, clean) >= clean_to_grow(n)):
            return n, told
        n += 1
        if is_given and not _of_size(n, given):
            return n, told


def clean_to_grow(n: int) -> int:
    """After so many clean orders of n swaras groups grow: 3 of 6, 8 of 24, 30 of 120, 144 of 720
    (our choice: enough to know a size, before it is known by heart)."""
    return count(n) // (n - 1)


def _of_size(n: int, keys: Collection[str]) -> int:
    return sum(key.startswith(key_of(n, 0)[:-1]) for key in keys)


def _told(n: int) -> str:
    said = f"You have been given all {count(n)} orders of {counted(n, 'swara')}"
    if n == MOST_SWARAS:
        return f"{said}: the one that was given longest ago comes again."
    return f"{said}: from now on groups have {number_word(n + 1)}."


def _longest_ago(noted: Iterable[PaltaNoted], n: int) -> list[int]:
    """The order of n swaras that has not been given for the longest time."""
    last = {each.key: place for place, each in enumerate(noted) if each.said == GIVEN}
    return [min(range(count(n)), key=lambda index: last[key_of(n, index)])]


def _places(
    fresh: Fresh, noted: Iterable[PaltaNoted], begun: Collection[str], tradition: str
) -> list[_Place]:
    """Ragas begun, then scales whose swaras are begun; those first in which least was given."""
    used = [
        (each.detail.get("raga"), each.detail.get("scale")) for each in noted if each.said == GIVEN
    ]
    in_ragas = [_Place(raga, "", tradition) for raga in sorted(ragas_in(begun, tradition))]
    in_scales = [_Place("", name) for name in _scales(begun)]
    found: list[_Place] = []
    for places in (in_ragas, in_scales):
        drawn = fresh.shuffled(places)
        found += sorted(drawn, key=lambda place: used.count((place.raga, place.scale)))
    return [*found, _Place("", USUAL_SCALE)]


def _scales(begun: Iterable[str]) -> Iterator[str]:
    """The thats of which each swara was asked."""
    letters = {skill.split(":")[1][:1] for skill in begun if skill.startswith("swara:")}
    for name, scale in THATS_BY_NAME.items():
        if letters.issuperset(scale.split()):
            yield name


def _layout(fresh: Fresh, noted: Sequence[PaltaNoted], n: int) -> tuple[Layout, float]:
    """A layout with its tempo, one in which the theka is neither too slow nor too fast to play to;
    where there is none, that which comes nearest."""
    tempos = {each.id: ladder_for(noted, swaras=n, layout=each.id).tempo for each in layouts_for(n)}
    slowest, fastest = layas()["vilambit"].heard[0], layas()["drut"].heard[1]
    beyond = {each: max(slowest - t, t - fastest, 0.0) for each, t in tempos.items()}
    chosen = fresh.one_of([each for each in tempos if beyond[each] == min(beyond.values())])
    return layouts()[chosen], tempos[chosen]


def _tala(fresh: Fresh, begun: Collection[str], tradition: str, matras: Fraction) -> Tala:
    """A tala that was begun, or the usual one; of several, one in which the run leaves least over
    until sam."""
    known = asked_talas(talas(tradition))
    fitting = [known[each] for each in sorted(talas_in(begun, known)) if LAYA in known[each].laya]
    if not fitting:
        return known[USUAL]
    least = min(_left_to_sam(matras, tala) for tala in fitting)
    return fresh.one_of([tala for tala in fitting if _left_to_sam(matras, tala) == least])


def _left_to_sam(matras: Fraction, tala: Tala) -> int:
    return int(-matras % tala.matras)


def _made_again(noted: PaltaNoted, tradition: str) -> Varied | None:
    """From its note; None where that does not tell enough, or its raga or tala is not known."""
    n, index = noted.detail.get("n"), noted.detail.get("index")
    raga, scale, layout, tala = (
        str(noted.detail.get(field)) for field in ("raga", "scale", "layout", "tala")
    )
    if not (isinstance(n, int) and isinstance(index, int)):
        return None
    if not (FEWEST_SWARAS <= n <= MOST_SWARAS and 0 <= index < count(n)):
        return None
    if layout not in layouts() or tala not in talas(tradition):
        return None
    if raga not in ragas(tradition) and (raga or scale not in THATS_BY_NAME):
        return None
    place = _Place(raga, scale, tradition)
    run = place.run(_shape(n, index))
    if run is None:
        return None
    tempo = Ladder().at(noted.tempo).tempo
    return _varied(n, index, place, run, layouts()[layout], talas(tradition)[tala], tempo)


def _varied(
    n: int,
    index: int,
    place: _Place,
    run: Run,
    layout: Layout,
    tala: Tala,
    tempo: float,
    told: str = "",
) -> Varied:
    where, drone = place.name, place.drone
    return Varied(n, index, place.raga, place.scale, where, run, layout, tala, tempo, drone, told)
