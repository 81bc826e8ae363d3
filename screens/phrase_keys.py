"""Which keys a pad for phrases has, in groups, and what each does to the phrase."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from audio.tuning import SWARAS, Swara
from quizzes.names import in_letters, swara_word
from quizzes.question import Choice, Question
from screens.phrase import JOINED, Phrase, figure, meend_span
from words import in_script, say, swaras_in, to_say

LENGTHS = tuple(map(Fraction, ("1/4", "1/3", "1/2", "3/4", "1", "3/2", "2", "3", "4")))
TYPED_LENGTHS = {"1": LENGTHS[4], "2": LENGTHS[6], "3": LENGTHS[7], "4": LENGTHS[8]}
TYPED_LENGTHS |= {"5": LENGTHS[2], "6": LENGTHS[0], "7": LENGTHS[1], "8": LENGTHS[3]}
TYPED_LENGTHS |= {"9": LENGTHS[5]}
VARIED_BY = {"timing": "lengths", "loudness": "shades", "tone": "shades"}
"""Where one thing alone of a phrase that is told is to vary, the keys that vary it."""
GROUPS = {
    "swaras": to_say("Swaras"),
    "lengths": to_say("Length"),
    "hands": to_say("Hand"),
    "shades": to_say("Stroke"),
}
"""To be said."""
KOMAL, TIVRA = to_say("komal"), to_say("tivra")
REST_KEY, UP, DOWN = ".", "'", ","
WAITS = {
    "kan": to_say("Now the swara that is touched before {swara}."),
    "zamzama": to_say("Now the swara that is hammered with {swara}."),
}
"""Keys that wait for another swara, and what is asked for then."""
HANDS = (
    ("meend", "/", to_say("meend")),
    ("ghaseet", "//", to_say("ghaseet")),
    ("sparsh", "<", to_say("sparsh")),
    ("krintan", ">", to_say("krintan")),
    ("andolan", "~", to_say("andolan")),
    ("gamak", "~~", to_say("gamak")),
    ("kan", "( )", to_say("kan, murki")),
    ("zamzama", "{ }", to_say("zamzama")),
)
SHADES = (
    ("stronger", to_say("stronger"), "^", "loud", 1),
    ("softer", to_say("softer"), "_", "loud", -1),
    ("brighter", to_say("brighter"), "*", "tone", 1),
    ("rounder", to_say("rounder"), "o", "tone", -1),
)


@dataclass(frozen=True, slots=True)
class Key:
    """One key: its id, its sign, what it says below, and what it makes of a phrase."""

    id: str
    sign: str
    about: str
    change: Callable[[Phrase], Phrase] | None = None
    """None of a swara and of keys that wait for one."""
    holds: Callable[[Phrase], bool] = lambda _: False
    """Whether what is chosen is so already."""


def swara_about(letter: str) -> str:
    """What stands below a swara on its key: in other letters than those of the keyboard its name;
    else only that it is komal or tivra where its letter tells no more."""
    latin = swaras_in() == "latin"
    below = {"r": KOMAL, "g": KOMAL, "d": KOMAL, "n": KOMAL, "M": TIVRA} if latin else {}
    return say(below[letter]) if letter in below else swara_word(SWARAS.index(letter))


def varied_by(question: Question) -> str:
    """The group of keys that vary what alone is to vary in the phrase told; "" where more is."""
    return VARIED_BY.get(question.skill.rpartition(":")[2], "") if question.told else ""


def groups_of(signs: Sequence[str]) -> tuple[str, ...]:
    """The groups of keys where these signs may be written."""
    return ("swaras", *(name for name in ("lengths", "hands", "shades") if name in signs))


def keys_of(group: str, choices: Sequence[Choice], signs: Sequence[str]) -> list[Key]:
    """The keys of a group, in their order."""
    return _MAKERS[group](choices, signs)


def _swaras(choices: Sequence[Choice], signs: Sequence[str]) -> list[Key]:
    # In other letters than those of the keyboard, it is told below which one writes it.
    keys = [
        Key(
            choice.id,
            in_script(choice.id),
            swara_about(choice.id) if swaras_in() == "latin" else choice.id,
        )
        for choice in choices
    ]
    if "saptaks" in signs:
        keys.append(Key(DOWN, DOWN, say("lower"), lambda phrase: phrase.shifted(-1)))
        keys.append(Key(UP, UP, say("upper"), lambda phrase: phrase.shifted(1)))
    return keys


def _lengths(_: Sequence[Choice], signs: Sequence[str]) -> list[Key]:
    keys = [
        Key(
            f"length {matras}",
            figure(matras),
            say("matra") if matras == 1 else "",
            _lasting(matras),
            _lasts(matras),
        )
        for matras in LENGTHS
    ]
    return [*keys, Key(REST_KEY, REST_KEY, say("rest"), Phrase.resting)]


def _lasting(matras: Fraction) -> Callable[[Phrase], Phrase]:
    return lambda phrase: phrase.lasting(matras)


def _lasts(matras: Fraction) -> Callable[[Phrase], bool]:
    return lambda phrase: phrase.chosen is not None and phrase.chosen.matras == matras


def _hands(_: Sequence[Choice], signs: Sequence[str]) -> list[Key]:
    return [Key(id, sign, say(about), _HAND.get(id), _HELD[id]) for id, sign, about in HANDS]


def _swaying(sway: str) -> Callable[[Phrase], Phrase]:
    def change(phrase: Phrase) -> Phrase:
        tone = phrase.tone
        if tone is None:
            return phrase
        return phrase.playing(sway="" if tone.sway == sway else sway, shaken=None)

    return change


def _reaching(by: str) -> Callable[[Phrase], Phrase]:
    return lambda phrase: phrase.reached(by)


def _reached(by: str) -> Callable[[Phrase], bool]:
    return lambda phrase: phrase.tone is not None and phrase.tone.by in filter(None, JOINED[by])


def _sways(sway: str) -> Callable[[Phrase], bool]:
    return lambda phrase: phrase.tone is not None and phrase.tone.sway == sway


_HAND = {
    **{by: _reaching(by) for by in JOINED},
    **{sway: _swaying(sway) for sway in ("andolan", "gamak")},
}
_HELD: Mapping[str, Callable[[Phrase], bool]] = {
    **{by: _reached(by) for by in JOINED},
    **{sway: _sways(sway) for sway in ("andolan", "gamak")},
    "kan": lambda phrase: phrase.tone is not None and bool(phrase.tone.touches),
    "zamzama": lambda phrase: phrase.tone is not None and phrase.tone.shaken is not None,
}


def _shades(_: Sequence[Choice], signs: Sequence[str]) -> list[Key]:
    return [_shade(*shade) for shade in SHADES]


def _shade(id: str, about: str, sign: str, field: str, value: int) -> Key:
    def holds(phrase: Phrase) -> bool:
        return phrase.tone is not None and getattr(phrase.tone, field) == value

    def change(phrase: Phrase) -> Phrase:
        return phrase.playing(**{field: 0 if holds(phrase) else value})

    return Key(id, sign, say(about), change, holds)


_MAKERS: Mapping[str, Callable[[Sequence[Choice], Sequence[str]], list[Key]]] = {
    "swaras": _swaras,
    "lengths": _lengths,
    "hands": _hands,
    "shades": _shades,
}


def why_not(key: Key, phrase: Phrase) -> str:
    """Why a key leaves the phrase as it is."""
    if phrase.tone is None:
        return say("First choose a swara.")
    if key.id in JOINED:
        if phrase.at == 0:
            return say("It leads from the swara before: there is none.")
        if key.id == "meend":
            return say(
                "A meend leads to another swara, {number} semitones away at most.",
                number=meend_span(),
            )
        if key.id in ("sparsh", "krintan"):
            return say("Sparsh leads up from another swara, krintan down.")
        return say("It leads from another swara to this one.")
    if key.id in (UP, DOWN):
        return say("There is no further saptak.")
    if phrase.tone.by:
        return say("It has no stroke of its own.")
    return ""


def waiting_words(key: str, swara: Swara) -> str:
    """What is asked for by a key that waits for a swara."""
    return say(WAITS[key], swara=in_letters([swara]))


def taking(key: str, phrase: Phrase, swara: Swara) -> Phrase:
    """The phrase with the swara that a key waited for."""
    return phrase.touching(swara) if key == "kan" else phrase.shaken_with(swara)


def without(key: str, phrase: Phrase) -> Phrase:
    """The phrase without what a key that waits has put there."""
    return phrase.playing(touches=()) if key == "kan" else phrase.playing(shaken=None)
