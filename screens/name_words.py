"""A person's name on view, in whatever script it is written.

The fonts of all other text draw Latin, Greek and Cyrillic. Devanagari and Bengali have a font
beside them; for any other script the device's own is looked for. No font draws several of them, so
that a name is drawn word by word where its words need more than one.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from itertools import groupby
from pathlib import Path
from typing import Any, NamedTuple

from kivy.core.text import LabelBase
from kivy.properties import ColorProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.label import Label
from kivy.uix.stacklayout import StackLayout

from quizzes.signs import unshown
from screens import theme
from screens.controls import Field
from screens.look import FONTS, load_kv, look
from screens.widgets import Touchable, Words

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
CANNOT = "Some of these letters cannot be drawn here; the name is kept as it is."


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


class NameWord(Label):
    """One word of a name in several scripts."""

    role = StringProperty("lead")


class NameWords(StackLayout):
    """A name, or a text with names in it, as high as it needs; `role` is "lead", "body" or
    "small"."""

    text = StringProperty("")
    color = ColorProperty(theme.CLEAR)
    role = StringProperty("lead")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"color": theme.INK, **kwargs})
        self.fbind("text", self._make)
        self.fbind("role", self._make)
        self.fbind("color", self._paint)
        self._make()

    def _make(self, *_: Any) -> None:
        self.clear_widgets()
        runs = [(d, " ".join(words)) for d, words in groupby(self.text.split(), drawn_by)]
        for drawn, run in runs:
            # One run wraps as any text does; of several each word stands for itself.
            if len(runs) == 1:
                parts = [Words(text=run, role=self.role, snug=True)]
            else:
                parts = [NameWord(text=word, role=self.role) for word in run.split()]
            for part in parts:
                part.font_name, part.font_script_name = drawn.font, drawn.script
                part.font_direction = "rtl" if drawn.script == "Arab" else "ltr"
                self.add_widget(part)
        self._paint()

    def _paint(self, *_: Any) -> None:
        for part in self.children:
            part.color = self.color


class PersonPlate(Touchable, BoxLayout):
    """A name that leads elsewhere: quiet until it is touched."""

    text = StringProperty("")

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        if self.state == "down":
            return theme.RAISED, theme.BRASS, theme.BRASS_TOUCHED
        return theme.CLEAR, theme.CLEAR, theme.BRASS


class NameField(Field):
    """A field for a name: written in the font of its letters, as far as one draws them."""

    @staticmethod
    def drawn(text: str) -> Drawn:
        """What draws the first of its letters that not every font does."""
        return drawn_by(text)


load_kv("name_words")
