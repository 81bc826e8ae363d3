"""Several phrases in one cue, parted by a clear pause, of which one is asked for."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from audio.line import REST, Beat, Line
from audio.sargam import parse, write
from quizzes.names import ordinal
from quizzes.question import Choice
from words import say, say_as

PAUSE_MATRAS = Fraction(2)
APART = " / "
"""Between phrases in writing."""


def one_after_another(lines: Sequence[Line], pause: Fraction = PAUSE_MATRAS) -> Line:
    """The phrases as one line with pauses between them."""
    items = [*lines[0].items]
    for line in lines[1:]:
        items += [Beat((REST,), pause), *line.items]
    return Line(tuple(items))


def written_apart(lines: Sequence[Line]) -> str:
    return APART.join(map(write, lines))


def read_apart(text: str) -> list[Line]:
    return [parse(part) for part in text.split(APART)]


def places(count: int) -> tuple[Choice, ...]:
    """Choices by place alone: the first, the second ..."""
    return tuple(
        Choice(str(place + 1), say("The {place}", place=ordinal(place))) for place in range(count)
    )


def run_places(count: int) -> tuple[Choice, ...]:
    """The same of quick runs, which other languages may call otherwise."""
    return tuple(
        Choice(str(at + 1), say_as("a run", "The {place}", place=run_ordinal(at)))
        for at in range(count)
    )


def run_ordinal(place: int) -> str:
    """`third` of a run; of four at most."""
    return (
        say_as("a run", "first"),
        say_as("a run", "second"),
        say_as("a run", "third"),
        say_as("a run", "fourth"),
    )[place]


def place_of(choice: str) -> int:
    """Counted from 0."""
    return int(choice) - 1


def within_sentence(text: str) -> str:
    """A sentence to stand after a colon; the bare names of swaras keep their capitals."""
    first = text.partition(" ")[0]
    small = first in ("The", "It", "Komal", "Shuddha", "Tivra")
    return text[:1].lower() + text[1:] if small else text
