"""What a day offers to play on the instrument: a palta in an order never given to this student.

The order is one of a prastara of three swaras or more, drawn from those that the student's notes do
not hold; it becomes the shape of a palta, run in a raga or scale that the student has begun. Groups
grow by a swara where several orders were played clean, or all were given.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from audio.tuning import Swara
from practice.instrument import CLEAN, GIVEN, PaltaNoted
from practice.ladder import MOST_SWARAS, Ladder, ladder_for
from practice.varied import Varied, key_of, left_to_sam
from quizzes.contours import THATS_BY_NAME, USUAL_SCALE
from quizzes.fresh import Fresh
from quizzes.names import counted, number_word
from quizzes.paltas import Layout, Run, Shape, lay, layouts, layouts_for, run_in_raga, run_in_scale
from quizzes.paltas.prastara import count, order_at
from quizzes.ragas import Raga, ragas
from quizzes.ragas.asking import ragas_in
from quizzes.talas import Tala, talas
from quizzes.talas.asking import USUAL, asked_talas, talas_in
from quizzes.talas.laya import layas
from words import say

FEWEST_SWARAS = 3
FEWEST_GROUPS = 2
"""Each way in a scale: of seven swaras no more fit between Sa and tar Sa."""
ORDERS_TRIED = 24
"""In a raga, before another one is tried: of one that turns on itself few orders make a palta."""
BETWEEN_PASSED = 10_000
"""More than there are orders, so that what was looked at draws otherwise than what was given."""
LAYA = "madhya"


def of_day(noted: Iterable[PaltaNoted], day: date, tradition: str = "") -> Varied | None:
    """What was given last on this day, made again; None where nothing was, or it cannot be."""
    given = [each for each in noted if each.said == GIVEN and each.at.date() == day]
    again = _made_again(given[-1], tradition) if given else None
    return None if again is None else replace(again, is_given=True)


def vary(
    noted: Sequence[PaltaNoted],
    *,
    begun: Collection[str],
    day: date,
    student: str,
    tradition: str = "",
    passed: Sequence[str] = (),
) -> Varied:
    """A palta that was never given, for a student who has `begun` these skills.

    `noted` is all that the student's log notes of paltas, in order; the same notes on the same day
    give the same palta. Those whose keys are `passed` were only looked at today: they are not
    offered again before the others that are left.
    """
    given = frozenset(each.key for each in noted if each.said == GIVEN)
    drawn = len(given) + BETWEEN_PASSED * len(passed)
    fresh = Fresh(f"vary {student}", day.toordinal() * 1_000_000 + drawn)
    n, told = _size(noted, given)
    left = [index for index in range(count(n)) if key_of(n, index) not in given]
    for unwanted in (passed, passed[-1:]):
        unseen = [index for index in left if key_of(n, index) not in unwanted]
        if unseen:
            left = unseen
            break
    orders = fresh.shuffled(left or _longest_ago(noted, n))
    index, place, run = _running(n, orders, _places(fresh, noted, begun, tradition))
    told = told or _told_of_scale(place, ragas_in(begun, tradition), tradition)
    layout, tempo = _layout(fresh, noted, n)
    varied = _varied(n, index, place, run, layout, talas(tradition)[USUAL], tempo, told)
    return replace(varied, tala=_tala(fresh, begun, tradition, varied.to_home))


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a palta may run: in a raga or, where that is "", in a scale."""

    raga: str
    scale: str
    tradition: str = ""

    @property
    def name(self) -> str:
        return (
            say(self._raga.name) if self._raga else say("the scale of {that}", that=say(self.scale))
        )

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
            shape = _shape(n, index)
            run = place.run(shape)
            if run is not None and _keeps_order(run, shape):
                return index, place, run
    raise AssertionError(f"no order of {n} swaras runs in {USUAL_SCALE}")


def _keeps_order(run: Run, shape: Shape) -> bool:
    """Whether each group has as many different swaras, and from low to high in the same order, on
    the way down mirrored: else the order is none of its prastara, and its number is untrue."""
    down = tuple(-degree for degree in shape)
    pairs = [(group, shape) for group in run.up] + [(group, down) for group in run.down]
    return all(
        _ranks([swara.steps for swara in group]) == _ranks(wished)
        for group, wished in pairs
        if len(group) > 1  # a swara on which it comes home stands alone
    )


def _ranks(heights: Sequence[int]) -> tuple[int, ...]:
    """Of each how many different ones are lower."""
    lower = sorted(set(heights))
    return tuple(map(lower.index, heights))


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
    told = {"count": count(n), "swaras": counted(n, "{number} swara", "{number} swaras")}
    if n == MOST_SWARAS:
        return say(
            "You have been given all {count} orders of {swaras}: the one that was given longest "
            "ago comes again.",
            **told,
        )
    return say(
        "You have been given all {count} orders of {swaras}: from now on groups have {more}.",
        more=number_word(n + 1),
        **told,
    )


def _told_of_scale(place: _Place, begun: Sequence[str], tradition: str) -> str:
    """Why what is offered runs in no raga, where some are begun."""
    if place.raga or not begun:
        return ""
    if len(begun) == 1:
        return say(
            "{raga} goes by its phrases, and this order does not run there: it runs in {where}.",
            raga=say(ragas(tradition)[begun[0]].name),
            where=place.name,
        )
    return say(
        "The ragas that you have begun go by their phrases, and this order does not run there: it "
        "runs in {where}.",
        where=place.name,
    )


def _longest_ago(noted: Iterable[PaltaNoted], n: int) -> list[int]:
    """The order of n swaras that has not been given for the longest time."""
    last = {each.key: place for place, each in enumerate(noted) if each.said == GIVEN}
    return [min(range(count(n)), key=lambda index: last[key_of(n, index)])]


def _places(
    fresh: Fresh, noted: Iterable[PaltaNoted], begun: Collection[str], tradition: str
) -> list[_Place]:
    """Ragas begun, then their thats and scales whose swaras are begun; those first in which least
    was given."""
    used = [
        (each.detail.get("raga"), each.detail.get("scale")) for each in noted if each.said == GIVEN
    ]
    in_ragas = [_Place(raga, "", tradition) for raga in sorted(ragas_in(begun, tradition))]
    thats = [ragas(tradition)[place.raga].that.value for place in in_ragas]
    scales = dict.fromkeys([*(each for each in thats if each in THATS_BY_NAME), *_scales(begun)])
    in_scales = [_Place("", name) for name in scales]
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
    where there is none, that which comes nearest. Of those, one in which each group begins with a
    matra, if there is one."""
    tempos = {each.id: ladder_for(noted, swaras=n, layout=each.id).tempo for each in layouts_for(n)}
    slowest, fastest = layas()["vilambit"].heard[0], layas()["drut"].heard[1]
    beyond = {each: max(slowest - t, t - fastest, 0.0) for each, t in tempos.items()}
    playable = [each for each in tempos if beyond[each] == min(beyond.values())]
    fitting = [each for each in playable if _fits(n, layouts()[each])]
    chosen = fresh.one_of(fitting or playable)
    return layouts()[chosen], tempos[chosen]


def _fits(n: int, layout: Layout) -> bool:
    """Whether each group of n swaras begins with a matra."""
    group = (Swara(0),) * n
    return 2 * lay([group], layout).matras == lay([group, group], layout).matras


def _tala(fresh: Fresh, begun: Collection[str], tradition: str, matras: Fraction) -> Tala:
    """A tala that was begun, or the usual one; of several, one in which the run leaves least over
    until sam."""
    known = asked_talas(talas(tradition))
    fitting = [known[each] for each in sorted(talas_in(begun, known)) if LAYA in known[each].laya]
    if not fitting:
        return known[USUAL]
    least = min(left_to_sam(matras, tala) for tala in fitting)
    return fresh.one_of([tala for tala in fitting if left_to_sam(matras, tala) == least])


def _made_again(noted: PaltaNoted, tradition: str) -> Varied | None:
    """From its note; None where that does not tell enough, or its raga or tala is not known."""
    n, index = noted.whole("n"), noted.whole("index")
    raga, scale, layout, tala = (
        str(noted.detail.get(field)) for field in ("raga", "scale", "layout", "tala")
    )
    if n is None or index is None:
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
