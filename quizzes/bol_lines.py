"""Fresh lines of bols, one to a matra: short ones in any natural order, long ones from cells.

Four matras come in every order that falls to the hand: the line begins inward, two ra in a row are
the most, ra does not follow on dir, dra or chikari, after which the mizrab comes inward again, and
the quick dra does not come twice in a row (common practice, from memory).

Longer lines are put together from cells of four matras that teachers give. Cells come from the gat
pattern `dir da dir da ra da da ra`, cut anywhere, from the bol `da ra da` said again and again, and
from lines that a handbook has; that cells are set in other orders, and dra put for dir or da, is
how handbooks make new ones ("Sitar Malika", Hindi Wikisource, pp. 57, 123, 129, 136).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import pairwise, permutations, product

from quizzes.fresh import Fresh

SHORT = 4
"""Matras of a cell, and of a line that is drawn whole."""
Line = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Content:
    """What a line is made of."""

    name: str
    keys: tuple[str, ...]
    opening: tuple[str, ...]
    """Cells with which a longer line may begin; each has what the content is named after."""
    going_on: tuple[str, ...]
    """Further cells with which it may go on."""
    longest: int
    """The most places that are asked."""


_PLAIN = ("da ra da ra", "da ra da da", "da da ra da", "da da ra ra", "da ra ra da")
"""The second and third are cut from the gat pattern and from `da ra da`; the last two from
memory."""
_PLAIN_ON = ("ra da da ra", "ra da ra da")

CONTENTS = {
    content.name: content
    for content in (
        Content("da-ra", ("da", "ra"), _PLAIN, _PLAIN_ON, 16),
        Content(
            "dir",
            ("da", "ra", "dir"),
            (
                "da dir da ra", "dir da dir da", "dir da ra da", "da ra dir da", "da da ra dir",
                "dir dir da ra", "da dir da dir", "da ra da dir", "dir dir dir dir",
            ),
            ("ra da da ra", "da ra da ra", "da da ra da", "ra dir da dir"),
            16,
        ),
        Content(
            "chikari",
            ("da", "ra", "chikari"),
            (
                "da chikari chikari chikari", "da chikari da chikari", "da ra da chikari",
                "da ra chikari chikari", "da chikari da ra", "da da ra chikari",
            ),  # the first two are jhala; the others from memory
            ("da ra da ra", "da da ra da"),
            8,
        ),
        Content(
            "dra",
            ("da", "ra", "dir", "dra"),
            ("da dra da ra", "dra da dra da", "dra da ra da", "da ra dra da", "da ra da dra"),
            ("da dir da ra", "dir da dir da", "ra da da ra", "dir dir da ra"),
            8,
        ),
    )
}  # fmt: skip
"""By name, in the order in which they are met."""

FORMS = ("ABAC", "AABC", "ABCB", "ABAB")
"""How the four cells of sixteen matras may be repeated."""


def fresh_line(fresh: Fresh, content: Content, places: int) -> Line:
    """A line of 4, 8 or 16 bols of this content; it begins with da or with dir or dra."""
    if places == SHORT:
        return fresh.one_of(short_lines(content.name))
    first = fresh.one_of(content.opening)
    form = "AB" if places == 2 * SHORT else fresh.one_of(FORMS)
    return _formed(form, (first, *fresh.shuffled(_after(content, first))))


def all_lines(content: Content, places: int) -> Iterator[Line]:
    """Every line that `fresh_line` draws, each as many times over as it is likely."""
    if places == SHORT:
        yield from short_lines(content.name)
        return
    for form in ("AB",) if places == 2 * SHORT else FORMS:
        for first in content.opening:
            for others in permutations(_after(content, first), 1 if form == "AB" else 2):
                yield _formed(form, (first, *others))


def lines_of(content: Content, places: int) -> int:
    """How many different lines of so many bols can be drawn of this content."""
    if places == SHORT:
        return len(short_lines(content.name))
    openings, others = len(content.opening), len(content.opening) + len(content.going_on) - 1
    if places == 2 * SHORT:
        return openings * others
    # ABAB has one cell beside the first, the other forms two that differ.
    return openings * others * ((len(FORMS) - 1) * (others - 1) + 1)


@cache
def lines_beginning(name: str, places: int, first: str) -> int:
    """How many of these begin with a bol: those that are left when it has been told."""
    lines = all_lines(CONTENTS[name], places)
    return len({line for line in lines if line[0] == first})


@cache
def short_lines(name: str) -> tuple[Line, ...]:
    """All lines of four that fall to the hand and have what the content is named after."""
    keys = CONTENTS[name].keys
    return tuple(
        line
        for line in product(keys, repeat=SHORT)
        if line[0] not in ("ra", "chikari")
        and (name in line or name not in keys)
        and all(_follows(one, other) for one, other in pairwise(line))
        and "ra ra ra" not in " ".join(line)
    )


def _follows(bol: str, after: str) -> bool:
    """Whether the hand goes on so."""
    if bol == after == "dra":
        return False
    return after != "ra" or bol in ("da", "ra")


def _after(content: Content, first: str) -> list[str]:
    """The cells with which a line goes on."""
    return [cell for cell in (*content.opening, *content.going_on) if cell != first]


def _formed(form: str, cells: tuple[str, ...]) -> Line:
    """Cells in the order of a form's letters."""
    by_letter = dict(zip("ABC", cells, strict=False))
    return tuple(" ".join(by_letter[letter] for letter in form).split())


def altered_line(line: Line, at: int, content: str) -> Line:
    """The line with another bol at a place, from 0.

    da and ra are exchanged, or, where dir is known, dir and da: two strokes for one.
    """
    others = {"da": "ra", "ra": "da", "dir": "da"}
    if content == "dir":
        others |= {"da": "dir", "ra": "dir"}
    return (*line[:at], others[line[at]], *line[at + 1 :])
