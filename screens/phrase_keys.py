"""Which keys a pad for phrases has, in groups, and what each does to the phrase."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from audio.tuning import Swara
from quizzes.question import Choice, Question
from screens.phrase import JOINED, Phrase, figure, meend_span

LENGTHS = tuple(map(Fraction, ("1/4", "1/3", "1/2", "3/4", "1", "3/2", "2", "3", "4")))
TYPED_LENGTHS = {"1": LENGTHS[4], "2": LENGTHS[6], "3": LENGTHS[7], "4": LENGTHS[8]}
TYPED_LENGTHS |= {"5": LENGTHS[2], "6": LENGTHS[0], "7": LENGTHS[1], "8": LENGTHS[3]}
TYPED_LENGTHS |= {"9": LENGTHS[5]}
VARIED_BY = {"timing": "lengths", "loudness": "shades", "tone": "shades"}
"""Where one thing alone of a phrase that is told is to vary, the keys that vary it."""
GROUPS = {"swaras": "Swaras", "lengths": "Length", "hands": "Hand", "shades": "Stroke"}
REST_KEY, UP, DOWN = ".", "'", ","
WAITS = {"kan": "touched before", "zamzama": "hammered with"}
"""Keys that wait for another swara, and what that one is to the one that is chosen."""
HANDS = (
    ("meend", "/", "meend"),
    ("ghaseet", "//", "ghaseet"),
    ("sparsh", "<", "sparsh"),
    ("krintan", ">", "krintan"),
    ("andolan", "~", "andolan"),
    ("gamak", "~~", "gamak"),
    ("kan", "( )", "kan, murki"),
    ("zamzama", "{ }", "zamzama"),
)
SHADES = (
    ("stronger", "^", "loud", 1),
    ("softer", "_", "loud", -1),
    ("brighter", "*", "tone", 1),
    ("rounder", "o", "tone", -1),
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
    keys = [Key(choice.id, choice.id, choice.label) for choice in choices]
    if "saptaks" in signs:
        keys.append(Key(DOWN, DOWN, "lower", lambda phrase: phrase.shifted(-1)))
        keys.append(Key(UP, UP, "upper", lambda phrase: phrase.shifted(1)))
    return keys


def _lengths(_: Sequence[Choice], signs: Sequence[str]) -> list[Key]:
    keys = [
        Key(
            f"length {matras}",
            figure(matras),
            "matra" if matras == 1 else "",
            _lasting(matras),
            _lasts(matras),
        )
        for matras in LENGTHS
    ]
    return [*keys, Key(REST_KEY, REST_KEY, "rest", Phrase.resting)]


def _lasting(matras: Fraction) -> Callable[[Phrase], Phrase]:
    return lambda phrase: phrase.lasting(matras)


def _lasts(matras: Fraction) -> Callable[[Phrase], bool]:
    return lambda phrase: phrase.chosen is not None and phrase.chosen.matras == matras


def _hands(_: Sequence[Choice], signs: Sequence[str]) -> list[Key]:
    return [Key(id, sign, about, _HAND.get(id), _HELD[id]) for id, sign, about in HANDS]


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
    return [_shade(about, sign, field, value) for about, sign, field, value in SHADES]


def _shade(about: str, sign: str, field: str, value: int) -> Key:
    def holds(phrase: Phrase) -> bool:
        return phrase.tone is not None and getattr(phrase.tone, field) == value

    def change(phrase: Phrase) -> Phrase:
        return phrase.playing(**{field: 0 if holds(phrase) else value})

    return Key(about, sign, about, change, holds)


_MAKERS: Mapping[str, Callable[[Sequence[Choice], Sequence[str]], list[Key]]] = {
    "swaras": _swaras,
    "lengths": _lengths,
    "hands": _hands,
    "shades": _shades,
}


def why_not(key: Key, phrase: Phrase) -> str:
    """Why a key leaves the phrase as it is."""
    if phrase.tone is None:
        return "First choose a swara."
    if key.id in JOINED:
        if phrase.at == 0:
            return "It leads from the swara before: there is none."
        if key.id == "meend":
            return f"A meend leads to another swara, {meend_span()} semitones away at most."
        if key.id in ("sparsh", "krintan"):
            return "Sparsh leads up from another swara, krintan down."
        return "It leads from another swara to this one."
    if key.id in (UP, DOWN):
        return "There is no further saptak."
    if phrase.tone.by:
        return "It has no stroke of its own."
    return ""


def waiting_words(key: str, swara: Swara) -> str:
    """What is asked for by a key that waits for a swara."""
    return f"Now the swara that is {WAITS[key]} {swara}."


def taking(key: str, phrase: Phrase, swara: Swara) -> Phrase:
    """The phrase with the swara that a key waited for."""
    return phrase.touching(swara) if key == "kan" else phrase.shaken_with(swara)


def without(key: str, phrase: Phrase) -> Phrase:
    """The phrase without what a key that waits has put there."""
    return phrase.playing(touches=()) if key == "kan" else phrase.playing(shaken=None)
