"""Which parts of a wish a line keeps, each said in a sentence."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from audio.line import Line, Note
from audio.sargam import parse
from audio.tuning import Swara
from quizzes.dictation.places import Place, places_of
from quizzes.making.comparing import (
    TREATMENT_WORDS,
    alike_throughout,
    differing,
    meends_in,
    signs_of,
)
from quizzes.making.phrases import Heard, at_place, moved
from quizzes.making.trying import own_row
from quizzes.making.wish import Part, Wish
from quizzes.names import capital, counted, listed, number_word, swara_name
from quizzes.ragas.evidence import separates
from quizzes.ragas.movement import sure_breaks
from quizzes.ragas.raga import Raga
from quizzes.ragas.words import letter_name, why

LEAST_VARIED = 2
"""At so many swaras at least something is to vary: one alone may be a slip."""
LEAST_DIFFERENT = 3
"""Fewer swaras than these make no phrase, however often they are struck."""
NAMED = 3


@dataclass(frozen=True, slots=True)
class Kept:
    """A part of a wish: how much of it the line keeps, from 0 to 1, and what is found, in a
    sentence."""

    part: Part
    share: float
    told: str

    @property
    def kept(self) -> bool:
        return self.share == 1.0


@dataclass(frozen=True, slots=True)
class _Made:
    """What the checks look at."""

    line: Line
    notes: Sequence[Note]
    given: Line | None
    raga: Raga | None
    known: Mapping[str, Raga]


def kept_parts(
    wish: Wish, line: Line, raga: Raga | None = None, known: Mapping[str, Raga] | None = None
) -> list[Kept]:
    """Each part of the wish, in its order. `known` are all ragas, of which a part may name one."""
    given = parse(wish.given) if wish.given else None
    made = _Made(line, tuple(line.notes()), given, raga, known or {})
    return [Kept(part, *_CHECKS[part.what](part.value, made)) for part in wish.parts]


Found = tuple[float, str]


def _begins(value: str, made: _Made) -> Found:
    first, wished = made.notes[0].swara, Swara.read(value)
    name = swara_name(first)
    if first == wished:
        return 1.0, f"It begins on {name}, which sounded."
    share = 0.5 if first.letter == wished.letter else 0.0
    return share, f"It begins on {name}; {swara_name(wished)} sounded."


def _count(value: str, made: _Made) -> Found:
    least, _, most = value.partition("-")
    fewest, largest = int(least), int(most or least)
    swaras = [note.swara for note in made.notes]
    letters = dict.fromkeys(swara.letter for swara in swaras)
    different = min(1.0, len(letters) / LEAST_DIFFERENT)
    # Who strikes a swara twice may count it twice or once.
    counts = len(swaras), len(moved(swaras))
    in_range = any(fewest <= count <= largest for count in counts)
    has = f"It has {counted(len(swaras), 'swara')}"
    if in_range and different == 1.0:
        return 1.0, f"{has}."
    share = different * min(min(counts) / fewest, largest / min(counts), 1.0)
    if in_range:
        only = listed([letter_name(letter) for letter in letters])
        needs = f"a phrase has {number_word(LEAST_DIFFERENT)} different ones at least"
        return share, f"{has}, but only {only}; {needs}."
    wished = number_word(fewest) + (f" to {number_word(largest)}" if most else "")
    return share, f"{has}; {wished} were wished."


def _ends(value: str, made: _Made) -> Found:
    letter = made.notes[-1].swara.letter
    if letter == value:
        return 1.0, f"It ends on {letter_name(letter)}."
    return 0.0, f"It ends on {letter_name(letter)}; {letter_name(value)} was wished."


def _meend(value: str, made: _Made) -> Found:
    wished, count = int(value), meends_in(made.line)
    has = f"It has {counted(count, 'meend')}" if count else "It has no meend"
    if count == wished:
        return 1.0, f"{has}."
    return 0.0, f"{has}; {number_word(wished)} {'was' if wished == 1 else 'were'} wished."


def _reaches(value: str, made: _Made) -> Found:
    steps = [note.swara for note in made.notes]
    if value == "mandra":
        lowest = min(steps, key=lambda swara: swara.steps)
        if lowest.steps < 0:
            return 1.0, f"It goes down to {swara_name(lowest)}."
        return 0.0, f"It goes no lower than {swara_name(lowest)}; mandra lies below Sa."
    highest = max(steps, key=lambda swara: swara.steps)
    if highest.octave >= 1:
        return 1.0, f"It reaches {swara_name(highest)}."
    return 0.0, f"It goes no higher than {swara_name(highest)}; tar Sa was to be reached."


def _own(value: str, made: _Made) -> Found:
    """Three in a row is what the raga's turns are known by."""
    if made.raga is None:
        raise ValueError("what is to be a raga's own is a phrase of a raga")
    row = own_row(made.raga, Heard(made.line))
    count = int(value)
    if len(row) >= count:
        return 1.0, f"It has {number_word(count)} swaras in a row of {made.raga.name}'s own."
    found = (
        f"No {number_word(count)} swaras in a row stand so in {made.raga.name}'s ways or phrases"
    )
    return len(row) / count, f"{found}."


def _apart(value: str, made: _Made) -> Found:
    other = made.known[value]
    if made.raga is None:
        raise ValueError("what is to be told apart from a raga is a phrase of another")
    evidence = separates(made.line, made.raga, other)
    if evidence is None:
        return 0.0, f"Nothing in it surely tells it from {other.name}."
    swaras = [note.swara for note in made.notes]
    if any(broken.of == evidence.of for broken in sure_breaks(made.raga, swaras)):
        name = letter_name(swaras[evidence.of].letter)
        own = f"is not what {made.raga.name} does"
        return 0.0, f"What tells it from {other.name}, {name} ({at_place(evidence.of)}), {own}."
    return 1.0, why(evidence, made.line, made.raga, other)


def _takes_up(value: str, made: _Made) -> Found:
    given = [note.swara.letter for note in _given(made).notes()]
    longest = _longest_alike(given, [note.swara.letter for note in made.notes])
    taken = f"It takes up {' '.join(longest) or 'no swara'}"
    if len(longest) >= int(value):
        return 1.0, f"{taken}."
    wished = f"{number_word(int(value))} in a row were wished"
    return len(longest) / int(value), f"{taken}; {wished}."


def _longest_alike(one: Sequence[str], other: Sequence[str]) -> list[str]:
    """The longest row that stands in both."""
    return max(
        (
            list(one[at : at + size])
            for size in range(1, len(one) + 1)
            for at in range(len(one) - size + 1)
            if any(one[at : at + size] == other[to : to + size] for to in range(len(other)))
        ),
        key=len,
        default=[],
    )


def _swaras(value: str, made: _Made) -> Found:
    given, now = ([note.swara for note in line.notes()] for line in (_given(made), made.line))
    if now == given:
        return 1.0, "The swaras are the same."
    lower = [Swara.at(swara.steps - 12) for swara in given]
    if value == "lower" and now == lower:
        return 1.0, "The swaras are the same, an octave lower."
    if len(now) != len(given):
        return 0.0, f"It has {counted(len(now), 'swara')}, the phrase {number_word(len(given))}."
    lift = -12 if value == "lower" and _alike(now, lower) > _alike(now, given) else 0
    wrong = [at for at, swara in enumerate(now) if swara.steps != given[at].steps + lift]
    was = [
        f"{capital(at_place(at))} is {swara_name(now[at])} and was {swara_name(given[at])}"
        for at in wrong[:NAMED]
    ]
    return 1.0 - len(wrong) / len(now), "; ".join(was) + "."


def _alike(one: Sequence[Swara], other: Sequence[Swara]) -> int:
    return sum(mine == theirs for mine, theirs in zip(one, other, strict=True))


def _graver(value: str, made: _Made) -> Found:
    graver, lighter = signs_of(_given(made), made.line)
    told = f"It is played {listed(graver)}" if graver else "Nothing in it is graver"
    if lighter:
        told += f", but {listed(lighter, 'or')}" if graver else f"; it is played {listed(lighter)}"
        return 0.0, f"{told}."
    if len(graver) < int(value):
        told += f"; {number_word(int(value))} such signs were wished"
    return min(1.0, len(graver) / int(value)), f"{told}."


def _only(value: str, made: _Made) -> Found:
    given = _given(made)
    if len(list(given.notes())) != len(made.notes):
        count = counted(len(list(given.notes())), "swara")
        return 0.0, f"Only with the same {count} can it be told what else varies."
    differ = {each: differing(given, made.line, each) for each in TREATMENT_WORDS}
    places, about = differ.pop(value), TREATMENT_WORDS[value]
    others = [TREATMENT_WORDS[each] for each, found in differ.items() if found]
    slips = len(set().union(*differ.values()))
    clean = 1.0 - slips / len(made.notes)
    if places and alike_throughout(given, made.line, value):
        return 0.0, f"All is changed alike: within the phrase {about} does not vary."
    if others:
        vary, too = "varies" if len(others) == 1 else "vary", ", too" if places else ""
        told = f"{capital(listed(others))} {vary}{too}; {about} alone was to vary."
        return min(1.0, len(places) / LEAST_VARIED) * clean, told
    if len(places) < LEAST_VARIED:
        return len(places) / LEAST_VARIED, _too_few(value, places, made)
    pairs = list(zip(places_of(given), places_of(made.line), strict=True))
    how = [_varied(value, *pairs[at], at) for at in places[:NAMED]]
    more = len(places) - NAMED
    how += [counted(more, "more swara")] if more > 0 else []
    return 1.0, f"Only {about} varies: {listed(how)}."


def _too_few(treatment: str, places: Sequence[int], made: _Made) -> str:
    at = f"only at {at_place(places[0])}" if places else "nowhere"
    wished = f"{counted(LEAST_VARIED, 'swara')} were wished"
    told = f"{capital(TREATMENT_WORDS[treatment])} varies {at}; {wished}."
    *_, last = _given(made).notes()
    if treatment == "timing" and made.notes[-1].matras != last.matras:
        told += " How long the last one rings does not count."
    return told


def _varied(treatment: str, was: Place, now: Place, place: int) -> str:
    """`the second swara is twice as long`."""
    if treatment == "timing" and was.held == now.held:
        return f"a rest follows {at_place(place)}"
    if treatment == "timing":
        how = _times(now.held / was.held)
    elif treatment == "loudness":
        how = "stronger" if now.tone.loud > was.tone.loud else "softer"
    elif treatment == "tone":
        how = "brighter" if now.tone.tone > was.tone.tone else "rounder"
    else:
        how = "played otherwise"
    return f"{at_place(place)} is {how}"


def _times(ratio: Fraction) -> str:
    known = {Fraction(2): "twice as long", Fraction(1, 2): "half as long"}
    return known.get(ratio, "longer" if ratio > 1 else "shorter")


def _given(made: _Made) -> Line:
    if made.given is None:
        raise ValueError("this part of a wish goes by a given phrase")
    return made.given


_CHECKS: Mapping[str, Callable[[str, _Made], Found]] = {
    "begins": _begins,
    "count": _count,
    "ends": _ends,
    "meend": _meend,
    "reaches": _reaches,
    "own": _own,
    "apart": _apart,
    "takes-up": _takes_up,
    "swaras": _swaras,
    "graver": _graver,
    "only": _only,
}
PARTS = tuple(_CHECKS)
"""All sorts of part that a wish may have."""
