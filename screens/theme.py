"""Tokens of the look: colours, type, spacing, shapes and times of motion, as plain numbers.

Colours are sRGB with alpha, each from 0 to 1; sizes of type are in sp, lengths in dp, times in s.
A colour is read as `theme.INK`, from the palette in use (`take`): what is drawn keeps the one that
it was drawn in, so that all screens are made anew where another is taken.
"""

from __future__ import annotations

from dataclasses import dataclass

Colour = tuple[float, float, float, float]


def _hex(text: str, alpha: float = 1.0) -> Colour:
    red, green, blue = (int(text[i : i + 2], 16) / 255 for i in (0, 2, 4))
    return red, green, blue, alpha


@dataclass(frozen=True, slots=True, kw_only=True)
class Palette:
    """Dark tun wood, ivory ink, and brass for what can be touched. `was` (indigo) and `otherwise`
    (vermilion) never stand alone: a shape or a word says the same."""

    # Wood, from the darkest to what lies on top of it.
    ground: Colour
    panel: Colour
    raised: Colour
    neck: Colour
    neck_edge: Colour
    edge: Colour
    # Ink on wood.
    ink: Colour
    soft_ink: Colour
    faint_ink: Colour
    # What can be touched.
    brass: Colour
    brass_touched: Colour
    brass_dim: Colour
    on_brass: Colour
    focus: Colour
    # What was, and what was heard otherwise.
    was: Colour
    was_ground: Colour
    otherwise: Colour
    otherwise_ground: Colour
    # Taps before and after their beat.
    early: Colour
    late: Colour
    steel: Colour
    shadow: Colour = (0.0, 0.0, 0.0, 1.0)
    clear: Colour = (0.0, 0.0, 0.0, 0.0)
    as_is: Colour = (1.0, 1.0, 1.0, 1.0)
    """What leaves a picture in its own colours."""


USUAL = Palette(
    ground=_hex("1D1310"),
    panel=_hex("291B16"),
    raised=_hex("36241D"),
    neck=_hex("4A2F22"),
    neck_edge=_hex("2B1912"),
    edge=_hex("5E4638"),
    ink=_hex("F5EBDA"),
    soft_ink=_hex("CDBBA2"),
    faint_ink=_hex("A08D78"),
    brass=_hex("DDAA4B"),
    brass_touched=_hex("F2CB7C"),
    brass_dim=_hex("8A6A34"),
    on_brass=_hex("21130B"),
    focus=_hex("FFF6E0"),
    was=_hex("97A5F5"),
    was_ground=_hex("2A2C52"),
    otherwise=_hex("F4754E"),
    otherwise_ground=_hex("4A2018"),
    early=_hex("7CC9B4"),
    late=_hex("E79BC0"),
    steel=_hex("E8E4DC"),
)
STRONG = Palette(
    ground=_hex("0D0705"),
    panel=_hex("1A100C"),
    raised=_hex("251711"),
    neck=_hex("33201A"),
    neck_edge=_hex("0D0705"),
    edge=_hex("9A8370"),
    ink=_hex("FFFAF0"),
    soft_ink=_hex("EFE3CF"),
    faint_ink=_hex("D5C4AC"),
    brass=_hex("FFC95C"),
    brass_touched=_hex("FFE2A0"),
    brass_dim=_hex("C9973B"),
    on_brass=_hex("140A04"),
    focus=_hex("FFFFFF"),
    was=_hex("BFC8FF"),
    was_ground=_hex("191B3A"),
    otherwise=_hex("FFAE93"),
    otherwise_ground=_hex("34140D"),
    early=_hex("9BE8D3"),
    late=_hex("FFBEDD"),
    steel=_hex("FFFFFF"),
)
"""Of high contrast."""

_in_use = USUAL


def take(*, high_contrast: bool) -> None:
    """Take the palette of high contrast, or the usual one."""
    global _in_use
    _in_use = STRONG if high_contrast else USUAL


def is_strong() -> bool:
    """Whether the palette of high contrast is in use."""
    return _in_use is STRONG


def __getattr__(name: str) -> Colour:
    """A colour of the palette in use, by its name in capitals."""
    try:
        colour: Colour = getattr(_in_use, name.lower())
    except AttributeError:
        raise AttributeError(f"there is no token {name}") from None
    if not name.isupper():
        raise AttributeError(f"there is no token {name}")
    return colour


def thinned(colour: Colour, part: float) -> Colour:
    """A colour so far see-through, from 0 for all to 1 for not at all; whole in high contrast."""
    return colour if is_strong() else (*colour[:3], part)


def veil(colour: Colour, part: float) -> Colour:
    """A colour that lets what lies beneath it be seen, in high contrast, too."""
    return (*colour[:3], part)


GROUNDS = ("GROUND", "PANEL", "RAISED")
"""What a text of no plate of its own may lie on."""

TEXT_PAIRS = (
    *((ink, ground) for ink in ("INK", "SOFT_INK", "FAINT_INK", "BRASS") for ground in GROUNDS),
    *((ink, ground) for ink in ("WAS", "OTHERWISE") for ground in GROUNDS),
    ("INK", "NECK"),
    ("BRASS_TOUCHED", "GROUND"),
    ("BRASS_TOUCHED", "RAISED"),
    ("BRASS_TOUCHED", "NECK"),
    ("ON_BRASS", "BRASS"),
    ("ON_BRASS", "BRASS_TOUCHED"),
    ("INK", "WAS_GROUND"),
    ("SOFT_INK", "WAS_GROUND"),
    ("WAS", "WAS_GROUND"),
    ("INK", "OTHERWISE_GROUND"),
    ("SOFT_INK", "OTHERWISE_GROUND"),
    ("OTHERWISE", "OTHERWISE_GROUND"),
)
"""Every text and the ground that it is read on: at least 4.5 to 1 (WCAG 2.2, AA), and 7 to 1 in
high contrast (AAA)."""

SHAPE_PAIRS = (
    ("BRASS_DIM", "GROUND"),
    ("BRASS_DIM", "PANEL"),
    ("BRASS", "PANEL"),
    ("BRASS", "RAISED"),
    ("BRASS_TOUCHED", "GROUND"),
    ("BRASS_TOUCHED", "NECK"),
    ("FOCUS", "GROUND"),
    ("FOCUS", "PANEL"),
    ("FOCUS", "RAISED"),
    ("FOCUS", "NECK"),
    ("FOCUS", "WAS_GROUND"),
    ("FOCUS", "OTHERWISE_GROUND"),
    ("WAS", "NECK"),
    ("WAS", "WAS_GROUND"),
    ("BRASS", "WAS_GROUND"),
    ("OTHERWISE", "NECK"),
    ("OTHERWISE", "OTHERWISE_GROUND"),
    ("BRASS", "OTHERWISE_GROUND"),
    ("EARLY", "GROUND"),
    ("LATE", "GROUND"),
    ("BRASS", "NECK"),
    ("STEEL", "NECK"),
    ("STEEL", "GROUND"),
)
"""Shapes that carry meaning and what lies beneath them: at least 3 to 1 (WCAG 2.2, 1.4.11)."""

STRONG_SHAPE_PAIRS = (
    *(("EDGE", ground) for ground in GROUNDS),
    ("EDGE", "NECK"),
    ("BRASS_DIM", "RAISED"),
)
"""Edges of what cannot be used just now, and helping lines, of which WCAG asks nothing: 3 to 1 in
high contrast, too."""

# Type, in sp at the usual text size.
SMALL, BODY, LEAD, TITLE, DISPLAY = 15, 18, 21, 27, 36

TEXT_SIZES = {"usual": 1.0, "large": 1.2, "largest": 1.4}
"""What the type scale is multiplied by."""

ROOM_FROM, MOST_ROOM = 800, 1.7
"""A window whose shorter side exceeds so many dp shows larger type, at most so many times."""

# Lengths, in dp.
LEAST_TOUCH = 48
"""The least height and width of what can be touched (design.md; common practice on tablets)."""
TOUCH, CHOICE, LEADING = 52, 60, 64
"""How high what can be touched is: usually, as an answer, and as what leads on."""
TIGHT, HAIR, THIN, GAP, SPACE, WIDE = 2, 4, 8, 12, 20, 32
"""Between words of one thing, lines of one row, rows, things, groups, parts of a screen."""
INSIDE = 16
"""From the side of a plate to its words."""
RADIUS, SMALL_RADIUS, LEAST_RADIUS = 10, 6, 4
"""Of what is touched by itself, of what stands in a row of its like, and of a field or a label."""
EDGE_LINE, MARK_LINE, FOCUS_LINE, FOCUS_OFF = 1.0, 1.6, 1.4, 3
"""How broad lines are drawn, to either side; and how far from its thing the focus stands."""
SIGN = 22
"""The side of a mark beside words."""
BEAD = 24
"""What is moved along a string."""
LEAST_SIDE = 400
"""The least that a window may be on either side."""
COLUMN = 620
"""The widest that a column of text grows, at the usual size of type."""
SHEET = 520
"""The widest that a sheet grows, likewise."""

# Times of motion, in s; nothing moves by itself but what follows sound or a finger.
MAKES_ROOM_S = 0.3
"""In which what is on view rises above a tablet's keyboard; at once where all is to be still."""
FLASH_S = 0.12
"""So long the ring of a tap is lit."""

SANS, SANS_BOLD, SERIF = "Kaan Sans", "Kaan Sans Bold", "Kaan Serif"
FONT_FILES = {
    "Latn": {
        SANS: "NotoSans-Regular.ttf",
        SANS_BOLD: "NotoSans-Bold.ttf",
        SERIF: "NotoSerif-Regular.ttf",
    },
    **{
        script: {
            SANS: f"KaanSans-Regular-{script}.ttf",
            SANS_BOLD: f"KaanSans-Bold-{script}.ttf",
            SERIF: f"KaanSerif-Regular-{script}.ttf",
        }
        for script in ("Deva", "Beng")
    },
}
"""By the code of the script, in ISO 15924, that all text needs beside Latin letters."""
