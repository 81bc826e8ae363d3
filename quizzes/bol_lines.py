"""Fresh lines of bols, one to a matra, put together from cells that teachers give.

A cell is four matras. Cells come from the gat pattern `dir da dir da ra da da ra`, cut anywhere,
from the bol `da ra da` said again and again, and from lines that a handbook has; that cells are
set in other orders, and dra put for dir or da, is how handbooks make new ones ("Sitar Malika",
Hindi Wikisource, pp. 57, 123, 129, 136).
"""

from __future__ import annotations

from dataclasses import dataclass

from quizzes.fresh import Fresh

CELL_MATRAS = 4
Line = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Content:
    """What a line is made of."""

    name: str
    keys: tuple[str, ...]
    opening: tuple[str, ...]
    """Cells with which a line may begin; each has what the content is named after."""
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
    first = fresh.one_of(content.opening)
    on = [cell for cell in (*content.opening, *content.going_on) if cell != first]
    form = {4: "A", 8: "AB", 16: fresh.one_of(FORMS)}[places]
    cells = dict(zip("ABC", (first, *fresh.shuffled(on)), strict=False))
    return tuple(" ".join(cells[letter] for letter in form).split())


def lines_of(content: Content, places: int) -> int:
    """How many different lines of so many bols can be drawn of this content."""
    openings, others = len(content.opening), len(content.opening) + len(content.going_on) - 1
    if places == 4:
        return openings
    if places == 8:
        return openings * others
    # ABAB has one cell beside the first, the other forms two that differ.
    return openings * others * ((len(FORMS) - 1) * (others - 1) + 1)


def altered_line(line: Line, at: int, content: str) -> Line:
    """The line with another bol at a place, from 0.

    da and ra are exchanged, or, where dir is known, dir and da: two strokes for one.
    """
    others = {"da": "ra", "ra": "da", "dir": "da"}
    if content == "dir":
        others |= {"da": "dir", "ra": "dir"}
    return (*line[:at], others[line[at]], *line[at + 1 :])
