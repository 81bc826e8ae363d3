"""The left hand at one place of a phrase: the swaras within its reach, and what it does with them.

Every ornament comes to rest on the same swara, so that one can be put in another's place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from audio.line import HOLD, Beat, Tone
from audio.ornaments import GHASEET_DOWN, GHASEET_UP, KRINTAN, MEEND_DOWN, MEEND_UP, SPARSH, Hand
from audio.ornaments import ornaments as known_ornaments
from audio.tuning import Swara, Tuning
from quizzes.contours import THATS
from quizzes.fresh import Fresh
from quizzes.names import swara_name
from quizzes.phrases import MATRAS
from words import say, to_say

WIDEST_STEP = 2


def _has_no_gap(that: str) -> bool:
    """Whether no step of a that, up to the next Sa, is wider than a finger reaches."""
    steps = [Swara.read(swara).steps for swara in that.split()]
    return all(high - low <= WIDEST_STEP for low, high in pairwise([*steps, 12]))


SCALES = tuple(that.split() for that in THATS if _has_no_gap(that))
"""Six of the ten thats: those in which no step is wider than two semitones, so that a finger
reaches from each swara to the next."""

LOWEST, HIGHEST = Swara.read("S").steps, Swara.read("S'").steps
"""Where the ornamented swara lies."""

ASKED = {
    "kan_s": (0.05, 0.095),
    "murki_s": (0.075, 0.115),
    "sparsh_s": (0.005, 0.012),
    "krintan_s": (0.005, 0.012),
    "zamzama_hz": (3.4, 5.2),
    "gamak_hz": (4.8, 7.0),
    "andolan_hz": (1.0, 2.0),
    "andolan_cents": (70.0, 130.0),
    "andolan_dwell": (0.0, 0.4),
    "gamak_rise": (0.38, 0.55),
    "meend_s": (0.22, 0.42),
    "meend_softness": (0.5, 1.0),
    "fret_s": (0.055, 0.08),
}
"""From least to most, how the hand plays (assumptions, within what the ornaments' own data allow).

They lie apart where two would else be one: a gamak turns more than twice as fast as an andolan
swings, a kan is shorter than a fifth of a sparsh's first note. They lie across where nothing is
lost by it: a semitone's gamak is no deeper than an andolan may be, a meend lasts as long as a
ghaseet."""

SLOW_HAND = {"kan_s": 0.11, "murki_s": 0.13, "zamzama_hz": 3.2, "gamak_hz": 4.5, "fret_s": 0.085}
"""How an explanation plays what is over quickly."""

PARTS = 6
FIRST_PARTS = (3, 4)
"""Of a stroke of two swaras in six parts the first takes so many."""


@dataclass(frozen=True, slots=True)
class Place:
    """The swaras at hand for the ornamented stroke; every ornament comes to rest on `target`."""

    target: Swara
    below: Swara
    above: Swara
    start: Swara
    """Where a meend or ghaseet begins."""
    touched: Swara
    """The swara that a kan touches."""
    murki: tuple[Swara, ...]
    first_parts: int


def place_at(
    fresh: Fresh,
    ladder: Sequence[Swara],
    side: str,
    spans: Sequence[int],
    *,
    but: str = "",
) -> Place:
    """A swara of the ladder to rest on, with another so many semitones to one side of it.

    It is none of the letters in `but`.
    """
    span = fresh.one_of(spans)
    steps = {swara.steps: swara for swara in ladder}
    away = span if side == "above" else -span
    targets = [
        swara
        for swara in ladder
        if LOWEST <= swara.steps <= HIGHEST
        and swara.steps + away in steps
        and swara.letter not in but
    ]
    target = fresh.one_of(targets)
    below, _, above = ladder[(at := ladder.index(target)) - 1 : at + 2]
    return Place(
        target=target,
        below=below,
        above=above,
        start=steps[target.steps + away],
        touched=above if side == "above" else below,
        murki=fresh.one_of(((above, target, below), (below, target, above))),
        first_parts=fresh.one_of(FIRST_PARTS),
    )


def fresh_hand(fresh: Fresh, place: Place, tuning: Tuning) -> Hand:
    drawn = {name: round(fresh.between(*bounds), 4) for name, bounds in ASKED.items()}
    return Hand(gamak_cents=gamak_cents_at(place, tuning), **drawn)


def slow_hand(hand: Hand) -> Hand:
    """The same hand, slower where it is over quickly."""
    return replace(hand, **SLOW_HAND)


def gamak_cents_at(place: Place, tuning: Tuning) -> float:
    """A gamak is pulled from the swara below, as far as a hand may."""
    depth = known_ornaments()["gamak"].parameters["depth"]
    cents = tuning.cents_of(place.target) - tuning.cents_of(place.below)
    return round(min(max(cents, depth.least), depth.most), 3)


def beat_of(ornament: str, place: Place) -> Beat:
    """The ornamented stroke in writing."""
    target = place.target
    if ornament in ("andolan", "gamak"):
        return Beat((Tone(target, sway=ornament),), MATRAS)
    if ornament == "kan":
        return Beat((Tone(target, touches=(place.touched,)),), MATRAS)
    if ornament == "murki":
        return Beat((Tone(target, touches=place.murki),), MATRAS)
    if ornament == "zamzama":
        return Beat((Tone(target, shaken=place.above),), MATRAS)
    if ornament == "sparsh":
        return joined(place.below, SPARSH, target, place.first_parts)
    if ornament == "krintan":
        return joined(place.above, KRINTAN, target, place.first_parts)
    rises = place.start.steps < target.steps
    if ornament == "meend":
        join = MEEND_UP if rises else MEEND_DOWN
    else:
        join = GHASEET_UP if rises else GHASEET_DOWN
    return joined(place.start, join, target, place.first_parts)


def joined(start: Swara, join: str, target: Swara, first_parts: int, *, sway: str = "") -> Beat:
    """Two swaras on one stroke, the first of which takes so many parts of it."""
    held = [HOLD] * (PARTS - 2)
    head, tail = held[: first_parts - 1], held[first_parts - 1 :]
    return Beat((Tone(start), *head, Tone(target, by=join, sway=sway), *tail), MATRAS)


def mirrored(place: Place) -> Place:
    """The same place, come to from the other side."""
    span = place.start.steps - place.target.steps
    return replace(
        place,
        start=Swara.at(place.target.steps - span),
        touched=place.above if span < 0 else place.below,
    )


def end_of(place: Place, span: int) -> Swara:
    """Where a meend of so many semitones would have led."""
    rises = place.target.steps > place.start.steps
    return Swara.at(place.start.steps + (span if rises else -span))


def ornament_name(ornament: str) -> str:
    """`meend`."""
    return say(_NAMES[ornament])


def an_ornament(ornament: str) -> str:
    """`a meend`, `an andolan`."""
    if ornament.startswith("a"):
        return say("an {ornament}", ornament=ornament_name(ornament))
    return say("a {ornament}", ornament=ornament_name(ornament))


_NAMES = {
    "kan": to_say("kan"),
    "sparsh": to_say("sparsh"),
    "krintan": to_say("krintan"),
    "zamzama": to_say("zamzama"),
    "murki": to_say("murki"),
    "meend": to_say("meend"),
    "ghaseet": to_say("ghaseet"),
    "gamak": to_say("gamak"),
    "andolan": to_say("andolan"),
}
_DONE = {
    "kan": to_say(
        "{touched} is only touched for an instant, then {target} sounds, all on one stroke."
    ),
    "sparsh": to_say(
        "{below} is struck and held; then a second finger comes down like a hammer on a fret "
        "further up, and {target} sounds without a new stroke."
    ),
    "krintan": to_say(
        "{above} is struck with a finger on each fret; then the upper one plucks itself off the "
        "string, and {target} sounds without a new stroke."
    ),
    "zamzama": to_say(
        "a second finger hammers on to {above} and plucks off to {target} again and again, all on "
        "one stroke."
    ),
    "murki": to_say(
        "the fingers run through {first}, {second} and {third} before they rest on {target}, all "
        "on one stroke."
    ),
    "meend": to_say(
        "the string is struck on {start} and pulled sideways until it sounds {target}, through "
        "every pitch between."
    ),
    "ghaseet": to_say(
        "the finger slides from {start} to {target}, and each fret on the way is heard."
    ),
    "gamak": to_say("{target} is pulled up from {below} again and again, fast and hard."),
    "andolan": to_say(
        "the string is pulled and let back a little, slowly, so that the pitch swings gently about "
        "{target}."
    ),
}
_FALLING_MEEND = to_say(
    "the string is pulled up to {start} before it is struck, then let back to {target}, through "
    "every pitch between."
)


def describe(ornament: str, place: Place) -> str:
    """What the hand does with the swaras at hand, in one sentence that others may begin."""
    falls = place.start.steps > place.target.steps
    first, second, third = map(swara_name, place.murki)
    return say(
        _FALLING_MEEND if ornament == "meend" and falls else _DONE[ornament],
        target=swara_name(place.target),
        below=swara_name(place.below),
        above=swara_name(place.above),
        start=swara_name(place.start),
        touched=swara_name(place.touched),
        first=first,
        second=second,
        third=third,
    )
