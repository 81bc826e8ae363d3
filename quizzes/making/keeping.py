"""Which parts of a wish a line keeps, each said in a sentence."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from audio.line import Line, Note
from audio.sargam import parse
from audio.tuning import Swara
from quizzes.dictation.places import places_of
from quizzes.making.comparing import (
    TREATMENTS_SAID,
    alike_throughout,
    differing,
    meends_in,
    sign_in_words,
    signs_of,
)
from quizzes.making.phrases import Heard, at_place, moved
from quizzes.making.trying import own_row
from quizzes.making.varied_words import how_it_varies, others_vary, varies_too_little
from quizzes.making.wish import Part, Wish
from quizzes.names import capital, counted, listed, number_word, swara_name, swaras_counted
from quizzes.ragas.evidence import separates
from quizzes.ragas.movement import sure_breaks
from quizzes.ragas.raga import Raga
from quizzes.ragas.said import raga_name
from quizzes.ragas.words import letter_name, why
from words import in_script, say, say_many

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
        return 1.0, say("It begins on {swara}, which sounded.", swara=name)
    share = 0.5 if first.letter == wished.letter else 0.0
    sounded = swara_name(wished)
    return share, say("It begins on {swara}; {other} sounded.", swara=name, other=sounded)


def _count(value: str, made: _Made) -> Found:
    least, _, most = value.partition("-")
    fewest, largest = int(least), int(most or least)
    swaras = [note.swara for note in made.notes]
    letters = dict.fromkeys(swara.letter for swara in swaras)
    different = min(1.0, len(letters) / LEAST_DIFFERENT)
    # Who strikes a swara twice may count it twice or once.
    counts = len(swaras), len(moved(swaras))
    in_range = any(fewest <= count <= largest for count in counts)
    has = swaras_counted(len(swaras))
    if in_range and different == 1.0:
        return 1.0, say("It has {swaras}.", swaras=has)
    share = different * min(min(counts) / fewest, largest / min(counts), 1.0)
    if in_range:
        return share, say(
            "It has {swaras}, but only {different}; a phrase has {number} different ones at least.",
            swaras=has,
            different=listed([letter_name(letter) for letter in letters]),
            number=number_word(LEAST_DIFFERENT),
        )
    wished = number_word(fewest)
    if most:
        wished = say("{fewest} to {most}", fewest=wished, most=number_word(largest))
    return share, say("It has {swaras}; {wished} were wished.", swaras=has, wished=wished)


def _ends(value: str, made: _Made) -> Found:
    letter, wished = made.notes[-1].swara.letter, letter_name(value)
    if letter == value:
        return 1.0, say("It ends on {swara}.", swara=wished)
    name = letter_name(letter)
    return 0.0, say("It ends on {swara}; {wished} was wished.", swara=name, wished=wished)


def _meend(value: str, made: _Made) -> Found:
    wished, count = int(value), meends_in(made.line)
    meends = counted(count, "{number} meend", "{number} meends") if count else say("no meend")
    if count == wished:
        return 1.0, say("It has {meends}.", meends=meends)
    return 0.0, say_many(
        "It has {meends}; {number} was wished.",
        "It has {meends}; {number} were wished.",
        wished,
        meends=meends,
        number=number_word(wished),
    )


def _reaches(value: str, made: _Made) -> Found:
    steps = [note.swara for note in made.notes]
    if value == "mandra":
        lowest = min(steps, key=lambda swara: swara.steps)
        name = swara_name(lowest)
        if lowest.steps < 0:
            return 1.0, say("It goes down to {swara}.", swara=name)
        return 0.0, say("It goes no lower than {swara}; mandra lies below Sa.", swara=name)
    highest = max(steps, key=lambda swara: swara.steps)
    name = swara_name(highest)
    if highest.octave >= 1:
        return 1.0, say("It reaches {swara}.", swara=name)
    return 0.0, say("It goes no higher than {swara}; tar Sa was to be reached.", swara=name)


def _own(value: str, made: _Made) -> Found:
    """Three in a row is what the raga's turns are known by."""
    if made.raga is None:
        raise ValueError("what is to be a raga's own is a phrase of a raga")
    row = own_row(made.raga, Heard(made.line))
    count = int(value)
    parts = {"number": number_word(count), "raga": raga_name(made.raga)}
    if len(row) >= count:
        return 1.0, say("It has {number} swaras in a row of {raga}'s own.", **parts)
    return len(row) / count, say(
        "No {number} swaras in a row stand so in {raga}'s ways or phrases.", **parts
    )


def _apart(value: str, made: _Made) -> Found:
    other = made.known[value]
    if made.raga is None:
        raise ValueError("what is to be told apart from a raga is a phrase of another")
    evidence = separates(made.line, made.raga, other)
    if evidence is None:
        return 0.0, say("Nothing in it surely tells it from {other}.", other=raga_name(other))
    swaras = [note.swara for note in made.notes]
    if any(broken.of == evidence.of for broken in sure_breaks(made.raga, swaras)):
        return 0.0, say(
            "What tells it from {other}, {swara} ({place}), is not what {raga} does.",
            other=raga_name(other),
            swara=letter_name(swaras[evidence.of].letter),
            place=at_place(evidence.of),
            raga=raga_name(made.raga),
        )
    return 1.0, why(evidence, made.line, made.raga, other)


def _takes_up(value: str, made: _Made) -> Found:
    given = [note.swara.letter for note in _given(made).notes()]
    longest = _longest_alike(given, [note.swara.letter for note in made.notes])
    taken, number = in_script(" ".join(longest)), number_word(int(value))
    if len(longest) >= int(value):
        return 1.0, say("It takes up {swaras}.", swaras=taken)
    if not longest:
        return 0.0, say("It takes up no swara; {number} in a row were wished.", number=number)
    return len(longest) / int(value), say(
        "It takes up {swaras}; {number} in a row were wished.", swaras=taken, number=number
    )


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
        return 1.0, say("The swaras are the same.")
    lower = [Swara.at(swara.steps - 12) for swara in given]
    if value == "lower" and now == lower:
        return 1.0, say("The swaras are the same, an octave lower.")
    if len(now) != len(given):
        return 0.0, say(
            "It has {swaras}, the phrase {number}.",
            swaras=swaras_counted(len(now)),
            number=number_word(len(given)),
        )
    lift = -12 if value == "lower" and _alike(now, lower) > _alike(now, given) else 0
    wrong = [at for at, swara in enumerate(now) if swara.steps != given[at].steps + lift]
    changes = [
        say(
            "{place} is {swara} and was to be {other}.",
            place=capital(at_place(at)),
            swara=swara_name(now[at]),
            other=swara_name(given[at]),
        )
        for at in wrong[:NAMED]
    ]
    return 1.0 - len(wrong) / len(now), " ".join(changes)


def _alike(one: Sequence[Swara], other: Sequence[Swara]) -> int:
    return sum(mine == theirs for mine, theirs in zip(one, other, strict=True))


def _graver(value: str, made: _Made) -> Found:
    """Of its signs at least one is always wished."""
    found, others = signs_of(_given(made), made.line)
    graver, lighter = (list(map(sign_in_words, signs)) for signs in (found, others))
    signs, number = listed(graver), number_word(int(value))
    if lighter and graver:
        return 0.0, say(
            "It is played {signs}, but {others}.", signs=signs, others=listed(lighter, "or")
        )
    if lighter:
        return 0.0, say("Nothing in it is graver; it is played {others}.", others=listed(lighter))
    if not graver:
        return 0.0, say("Nothing in it is graver; {number} such signs were wished.", number=number)
    if len(graver) >= int(value):
        return 1.0, say("It is played {signs}.", signs=signs)
    return len(graver) / int(value), say(
        "It is played {signs}; {number} such signs were wished.", signs=signs, number=number
    )


def _only(value: str, made: _Made) -> Found:
    given = _given(made)
    if len(list(given.notes())) != len(made.notes):
        return 0.0, say(
            "Only with the same {swaras} can it be told what else varies.",
            swaras=swaras_counted(len(list(given.notes()))),
        )
    differ = {each: differing(given, made.line, each) for each in TREATMENTS_SAID}
    places, about = differ.pop(value), say(TREATMENTS_SAID[value])
    others = [say(TREATMENTS_SAID[each]) for each, found in differ.items() if found]
    slips = len(set().union(*differ.values()))
    clean = 1.0 - slips / len(made.notes)
    if places and alike_throughout(given, made.line, value):
        return 0.0, say(
            "All is changed alike: within the phrase {treatment} does not vary.", treatment=about
        )
    if others:
        told = others_vary(others, about, too=bool(places))
        return min(1.0, len(places) / LEAST_VARIED) * clean, told
    if len(places) < LEAST_VARIED:
        *_, last = given.notes()
        rings = value == "timing" and made.notes[-1].matras != last.matras
        told = varies_too_little(value, places, wished=LEAST_VARIED, rings=rings)
        return len(places) / LEAST_VARIED, told
    pairs = list(zip(places_of(given), places_of(made.line), strict=True))
    how = [how_it_varies(value, *pairs[at], at) for at in places[:NAMED]]
    more = len(places) - NAMED
    if more > 0:
        how.append(counted(more, "{number} more swara", "{number} more swaras"))
    return 1.0, say("Only {treatment} varies: {how}.", treatment=about, how=listed(how))


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
