"""What draws a text: the font and the script of its letters.

The fonts of the screens draw Latin, Greek and Cyrillic, and beside Latin Devanagari or Bengali; for
any other script the device's own font is looked for. No font draws several of them.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from pathlib import Path
from typing import NamedTuple

from kivy.core.text import LabelBase

from quizzes.signs import script_of, undrawn, unshown
from screens import theme
from screens.look import FONTS, face
from words import script

SCRIPTS = {
    "ARABIC": ("Arabic", "Arab"),
    "GUJARATI": ("Gujarati", "Gujr"),
    "GURMUKHI": ("Gurmukhi", "Guru"),
    "KANNADA": ("Kannada", "Knda"),
    "MALAYALAM": ("Malayalam", "Mlym"),
    "ORIYA": ("Oriya", "Orya"),
    "SINHALA": ("Sinhala", "Sinh"),
    "TAMIL": ("Tamil", "Taml"),
    "TELUGU": ("Telugu", "Telu"),
}
"""How the names of a script's letters begin in Unicode: how its font is called, and the script's
code of ISO 15924."""
LATIN = "Latn"
HIDDEN = "…"


class Drawn(NamedTuple):
    """What draws a text: the font, and the code of its script; whether it draws all of it."""

    font: str
    script: str
    whole: bool = True


def drawn_by(text: str) -> Drawn:
    """What draws a word."""
    for sign in text:
        # What joins letters, or stands above them, is drawn by whatever draws those.
        if unshown(sign) and unicodedata.category(sign)[0] not in "CM":
            begins = unicodedata.name(sign, "").partition(" ")[0]
            return _of_script(begins) or _by_ours(text, whole=not undrawn(text))
    return _by_ours(text)


def _by_ours(text: str, whole: bool = True) -> Drawn:
    return Drawn(face(theme.SANS, text), script_of(text), whole)


@cache
def _of_script(begins: str) -> Drawn | None:
    file, code = SCRIPTS.get(begins, ("", LATIN))
    if file:
        wanted = f"NotoSans{file}-*.[to]tf"
        for folder in (str(FONTS), *LabelBase.get_system_fonts_dir()):
            # "Regular" comes before "UI" and "VF"; "Bold" is taken only where there is none.
            found = sorted(Path(folder).glob(wanted), key=lambda path: "Regular" not in path.name)
            if found:
                return Drawn(str(found[0]), code)
    return None


def plainly(name: str, otherwise: str) -> str:
    """The name where it can stand in the midst of what is said now, else what does."""
    is_plain = name and not undrawn(name) and script_of(name) in ("Latn", script())
    return name if is_plain else otherwise


def shortened(text: str) -> str:
    """A text, such as a path, with one sign in place of what cannot be drawn in the midst of it."""
    signs = "".join(HIDDEN if unshown(sign) else sign for sign in text)
    return re.sub(f"{HIDDEN}+", HIDDEN, signs)


def is_drawn(text: str) -> bool:
    """Whether all of a name can be drawn here."""
    return all(drawn_by(word).whole for word in text.split())
