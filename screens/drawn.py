"""What draws a text: the font and the script of its letters.

The fonts of all other text draw Latin, Greek and Cyrillic, and Devanagari or Bengali where these
are in use. Both have a font beside them; for any other script the device's own is looked for. No
font draws several of them.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from pathlib import Path
from typing import NamedTuple

from kivy.core.text import LabelBase

from quizzes.signs import unshown
from screens import theme
from screens.look import FONTS, look

SCRIPTS = {
    "ARABIC": ("Arabic", "Arab"),
    "BENGALI": ("Bengali", "Beng"),
    "DEVANAGARI": ("Devanagari", "Deva"),
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
            if SCRIPTS.get(begins, ("", LATIN))[1] == look.script:
                break
            return _of_script(begins) or _as_other_text(whole=False)
    return _as_other_text()


def _as_other_text(whole: bool = True) -> Drawn:
    return Drawn(theme.SANS, look.script, whole)


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
    """The name where it can stand in the midst of other text, else what does."""
    is_plain = name and all(drawn_by(word) == _as_other_text() for word in name.split())
    return name if is_plain else otherwise


def shortened(text: str) -> str:
    """A text, such as a path, with one sign in place of what cannot be drawn in the midst of it."""
    signs = "".join(HIDDEN if unshown(sign) else sign for sign in text)
    return re.sub(f"{HIDDEN}+", HIDDEN, signs)


def is_drawn(text: str) -> bool:
    """Whether all of a name can be drawn here."""
    return all(drawn_by(word).whole for word in text.split())
