"""Hands: ways to count a cycle, signs over vibhags; of which talas they are, and which to offer.

The right hand is offered among those of other talas, which are right elsewhere, and one that is
made up from any of them: who knows by its label what may be right is left with a guess among the
real ones.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

from quizzes.choice_sets import fair_sets
from quizzes.fresh import Fresh
from quizzes.question import Setting
from quizzes.talas.asking import asked_talas
from quizzes.talas.cues import middle_laya
from quizzes.talas.tala import Form, Tala, vibhag_starts
from quizzes.talas.tradition import talas
from words import say

FEWEST_VIBHAGS, MOST_VIBHAGS = 2, 8
SHORTEST = 2
"""Matras of a vibhag in a division that is made up."""
REAL = 3
"""Hands of talas that are offered, the right one among them; one more is made up."""
FEWEST_HANDS = REAL + 1
"""From so many on they are enough to be drawn from."""
NEAR_MATRAS = 2
"""Hands are near whose cycles differ by no more; those of one length nearer still."""

Weights = dict[tuple[str, ...], float]


def is_asked(tala: Tala) -> bool:
    return FEWEST_VIBHAGS <= len(tala.vibhags) <= MOST_VIBHAGS


def label(form: Form) -> str:
    """`X 2 0 3 over 4 4 4 4`"""
    return say(
        "{signs} over {vibhags}",
        signs=" ".join(_signs(form)),
        vibhags=" ".join(map(str, form.vibhags)),
    )


def _signs(form: Form) -> list[str]:
    return [form.sign(start) for start in form.starts]


def id_of(form: Form) -> str:
    """`4-4-4-4:X203`; one sign for each vibhag, of which there are fewer than ten."""
    return f"{'-'.join(map(str, form.vibhags))}:{''.join(_signs(form))}"


def form_of(hand: str) -> Form:
    vibhags, _, signs = hand.partition(":")
    waved = {number for number, sign in enumerate(signs) if sign == "0"}
    return _formed(tuple(map(int, vibhags.split("-"))), waved)


def _formed(vibhags: tuple[int, ...], waved: set[int] | frozenset[int]) -> Form:
    """The form with these vibhags, counted from 0, waved and the others clapped."""
    starts = vibhag_starts(vibhags)
    return Form(
        sum(vibhags),
        vibhags,
        tuple(start for number, start in enumerate(starts) if number not in waved),
        tuple(start for number, start in enumerate(starts) if number in waved),
    )


@lru_cache(maxsize=8)
def owners_of(tradition: str) -> Mapping[str, tuple[Tala, ...]]:
    """The hands that are asked, and of which talas each is: the surest first, of these those of the
    middle laya."""
    known = [tala for tala in asked_talas(talas(tradition)).values() if is_asked(tala)]
    known.sort(key=lambda tala: (tala.confidence, middle_laya(tala) != "madhya"))
    found: dict[str, tuple[Tala, ...]] = {}
    for tala in known:
        found[id_of(tala.form)] = (*found.get(id_of(tala.form), ()), tala)
    return found


def skill_id(tala: Tala) -> str:
    return f"theka:clap:{tala.id}"


def tala_with(form: Form, tala: Tala, tradition: str) -> Tala:
    """The tala that a hand is of, or else one of as many matras; the one asked before others."""
    owned = [*owners_of(tradition).get(id_of(form), ())]
    as_long = [
        other
        for owners in owners_of(tradition).values()
        for other in owners
        if other.matras == form.matras
    ]
    if not owned and tala.matras == form.matras:
        return tala
    return (owned or as_long)[0]


@dataclass(frozen=True, slots=True)
class Offer:
    """Hands of talas, the right one among them, and one that is made up; and how often who knows
    all of it but the tala that is asked is right."""

    real: tuple[str, ...]
    made_up: tuple[str, ...]
    luck: float


def offered(fresh: Fresh, tala: Tala, setting: Setting) -> Offer:
    """The talas are those whose hands this student has been asked, where these are enough: who
    remembers what was right so far is to find every real hand possible. A hand made up always from
    the right one would tell by its length which is; so it is from any."""
    known = [each for some in owners_of(setting.tradition).values() for each in some]
    begun = [each for each in known if each == tala or skill_id(each) in setting.met]
    weights: Weights = {}
    for some in (begun, known):
        among = tuple(each.id for each in some)
        if len({id_of(each.form) for each in some}) >= FEWEST_HANDS:
            weights = _weights(among, setting.tradition)[tala.id]
        if weights:
            break
    (real,) = fresh.weighted(list(weights), list(weights.values()), 1)
    made_up = [found for hand in real if (found := _made_up(hand, setting.tradition))]
    one = (fresh.one_of(fresh.one_of(made_up)),) if made_up else ()
    return Offer(real, one, _luck(real, among, setting.tradition))


def _luck(real: tuple[str, ...], among: tuple[str, ...], tradition: str) -> float:
    """Of the hands offered, how often the likeliest is right, each tala being asked as often."""
    likely = dict.fromkeys(real, 0.0)
    for name, weights in _weights(among, tradition).items():
        if real in weights:
            likely[id_of(talas(tradition)[name].form)] += weights[real]
    return max(likely.values()) / sum(likely.values())


@lru_cache(maxsize=8)
def _weights(among: tuple[str, ...], tradition: str) -> Mapping[str, Weights]:
    """How likely each set of hands is offered when a tala is asked: none that holds another form
    known of it; such a one the likelier for the talas of the same hand that are not known so."""
    known, sets = talas(tradition), _sets(among, tradition)
    mine = {name: id_of(known[name].form) for name in among}
    others = {name: _others_known(known[name]) for name in among}
    found: dict[str, Weights] = {name: {} for name in among}
    for some, weight in sets.items():
        able = [name for name in among if mine[name] in some and others[name].isdisjoint(some)]
        sharing = Counter(mine[name] for name in able)
        for name in able:
            found[name][some] = weight / sharing[mine[name]]
    return {name: _as_shares(weights) for name, weights in found.items()}


def _as_shares(weights: Weights) -> Weights:
    whole = sum(weights.values())
    return {some: weight / whole for some, weight in weights.items()}


def _others_known(tala: Tala) -> frozenset[str]:
    """The hands that others have it with."""
    return frozenset(map(id_of, tala.forms[1:]))


@lru_cache(maxsize=8)
def _sets(among: tuple[str, ...], tradition: str) -> Mapping[tuple[str, ...], float]:
    """Hands of these talas to be offered together, near ones oftener; a set does not tell which of
    them is right, though some are those of many talas."""
    owners = {
        hand: found
        for hand, some in owners_of(tradition).items()
        if (found := [each for each in some if each.id in among])
    }
    hands = tuple(sorted(owners))
    near, never = [], []
    for pair in combinations(hands, 2):
        one, other = (owners[hand] for hand in pair)
        apart = abs(one[0].matras - other[0].matras)
        near += [frozenset(pair)] * ((apart <= NEAR_MATRAS) + (apart == 0))
        if _never_beside(one, pair[1]) or _never_beside(other, pair[0]):
            never.append(frozenset(pair))
    shares = tuple(float(len(owners[hand])) for hand in hands)
    return fair_sets(hands, REAL, tuple(near), tuple(never), shares)


def _never_beside(some: Sequence[Tala], hand: str) -> bool:
    """Whether all of these talas are known with this hand, too."""
    return all(hand in _others_known(tala) for tala in some)


@lru_cache(maxsize=64)
def _made_up(hand: str, tradition: str) -> tuple[str, ...]:
    """Hands of as many matras and vibhags that no tala is known to have: its vibhags clapped
    otherwise, or its signs over another division."""
    known = {form for tala in talas(tradition).values() for form in tala.forms}
    form = form_of(hand)
    forms = [*_clapped_otherwise(form)]
    forms += [_formed(vibhags, _waved(form)) for vibhags in _divisions(form.vibhags)]
    return tuple(dict.fromkeys(id_of(each) for each in forms if each not in known))


def _waved(form: Form) -> frozenset[int]:
    return frozenset(form.starts.index(matra) for matra in form.khali)


def _clapped_otherwise(form: Form) -> Iterator[Form]:
    """The same vibhags with one wave elsewhere, or, where all are clapped or the first is not, one
    wave more or fewer."""
    waved = _waved(form)
    free = [number for number in range(1, len(form.vibhags)) if number not in waved]
    for one in sorted(waved - {0}):
        yield from (_formed(form.vibhags, waved - {one} | {to}) for to in free)
    if len(waved - {0}) == 0 or not free:
        yield from (_formed(form.vibhags, waved | {to}) for to in free)
        yield from (_formed(form.vibhags, waved - {one}) for one in sorted(waved))


def _divisions(vibhags: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
    """As many vibhags: begun from another one, backwards, or, of equal ones, short and long by
    turns."""
    for turn in range(1, len(vibhags)):
        yield vibhags[turn:] + vibhags[:turn]
    yield vibhags[::-1]
    if len(set(vibhags)) == 1 and len(vibhags) % 2 == 0 and vibhags[0] > SHORTEST:
        short, long = vibhags[0] - 1, vibhags[0] + 1
        yield (short, long) * (len(vibhags) // 2)
        yield (long, short) * (len(vibhags) // 2)
