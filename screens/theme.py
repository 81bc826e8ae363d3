"""Tokens of the look: colours, sizes of type, spacing and shapes, as plain numbers.

Colours are sRGB with alpha, each from 0 to 1; sizes of type are in sp, lengths in dp. The ground is
dark tun wood, ink is ivory, and brass is kept for what can be touched. `WAS` (indigo) and
`OTHERWISE` (vermilion) never stand alone: a shape or a word says the same.
"""

from __future__ import annotations

Colour = tuple[float, float, float, float]


def _hex(text: str, alpha: float = 1.0) -> Colour:
    red, green, blue = (int(text[i : i + 2], 16) / 255 for i in (0, 2, 4))
    return red, green, blue, alpha


# Wood, from the darkest to what lies on top of it.
GROUND = _hex("1D1310")
PANEL = _hex("291B16")
RAISED = _hex("36241D")
NECK = _hex("4A2F22")
NECK_EDGE = _hex("2B1912")
EDGE = _hex("5E4638")

# Ink on wood.
INK = _hex("F5EBDA")
SOFT_INK = _hex("CDBBA2")
FAINT_INK = _hex("A08D78")

# What can be touched.
BRASS = _hex("DDAA4B")
BRASS_TOUCHED = _hex("F2CB7C")
BRASS_DIM = _hex("8A6A34")
ON_BRASS = _hex("21130B")
FOCUS = _hex("FFF6E0")

# What was, and what was heard otherwise.
WAS = _hex("97A5F5")
WAS_GROUND = _hex("2A2C52")
OTHERWISE = _hex("F4754E")
OTHERWISE_GROUND = _hex("4A2018")

# Taps before and after their beat.
EARLY = _hex("7CC9B4")
LATE = _hex("E79BC0")

STEEL = _hex("E8E4DC")
CLEAR = (0.0, 0.0, 0.0, 0.0)

TEXT_PAIRS = (
    ("ink on the ground", INK, GROUND),
    ("ink on a panel", INK, PANEL),
    ("ink on what is raised", INK, RAISED),
    ("ink on the neck", INK, NECK),
    ("soft ink on the ground", SOFT_INK, GROUND),
    ("soft ink on a panel", SOFT_INK, PANEL),
    ("soft ink on what is raised", SOFT_INK, RAISED),
    ("faint ink on the ground", FAINT_INK, GROUND),
    ("faint ink on a panel", FAINT_INK, PANEL),
    ("brass on the ground", BRASS, GROUND),
    ("brass on a panel", BRASS, PANEL),
    ("brass on what is raised", BRASS, RAISED),
    ("ink on brass", ON_BRASS, BRASS),
    ("ink on touched brass", ON_BRASS, BRASS_TOUCHED),
    ("was on the ground", WAS, GROUND),
    ("was on a panel", WAS, PANEL),
    ("ink on the ground of was", INK, WAS_GROUND),
    ("was on its own ground", WAS, WAS_GROUND),
    ("otherwise on the ground", OTHERWISE, GROUND),
    ("otherwise on a panel", OTHERWISE, PANEL),
    ("ink on the ground of otherwise", INK, OTHERWISE_GROUND),
    ("otherwise on its own ground", OTHERWISE, OTHERWISE_GROUND),
)
"""Every pair of text and ground that the screens use: at least 4.5 to 1."""

SHAPE_PAIRS = (
    ("the edge of a brass thing on the ground", BRASS_DIM, GROUND),
    ("the edge of a brass thing on a panel", BRASS_DIM, PANEL),
    ("the focus ring on the ground", FOCUS, GROUND),
    ("the focus ring round raised things", FOCUS, RAISED),
    ("was on the neck", WAS, NECK),
    ("early on the ground", EARLY, GROUND),
    ("late on the ground", LATE, GROUND),
    ("was on the ground", WAS, GROUND),
    ("otherwise on the neck", OTHERWISE, NECK),
    ("a fret on the neck", BRASS, NECK),
    ("the string on the neck", STEEL, NECK),
)
"""Shapes that carry meaning and what lies beneath them: at least 3 to 1."""

# Type, in sp at the usual text size.
SMALL, BODY, LEAD, TITLE, DISPLAY = 15, 18, 21, 27, 36

TEXT_SIZES = {"usual": 1.0, "large": 1.2, "largest": 1.4}
"""What the type scale is multiplied by."""

ROOM_FROM, MOST_ROOM = 800, 1.4
"""A window whose shorter side exceeds so many dp shows larger type, at most so many times."""

# Lengths, in dp.
TOUCH = 52
"""The least height and width of what can be touched; 48 is the least that is asked for."""
HAIR, THIN, GAP, SPACE, WIDE = 4, 8, 12, 20, 32
RADIUS = 10
LEAST_SIDE = 400
"""The least that a window may be on either side."""
COLUMN = 620
"""The widest that a column of text grows, at the usual size of type."""

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
