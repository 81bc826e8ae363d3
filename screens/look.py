"""The look as the screens see it: fonts made known to Kivy, the text size, and a few measures."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from kivy.core.text import Label as CoreLabel
from kivy.core.text import LabelBase
from kivy.core.text.text_sdl2 import LabelSDL2, _SurfaceContainer
from kivy.event import EventDispatcher
from kivy.lang import Builder
from kivy.metrics import dp, sp
from kivy.properties import BooleanProperty, NumericProperty

from quizzes.signs import script_of
from screens import theme
from words import use

if TYPE_CHECKING:
    from practice.settings import Settings

FONTS = Path(__file__).resolve().parent.parent / "assets" / "fonts"
OF_SCRIPT = " of "
"""Between the name of a font in the theme and the script that it draws beside Latin letters."""
KV = Path(__file__).resolve().parent


class Look(EventDispatcher):
    """What every widget watches.

    `scale` multiplies the type: it is the text size chosen times `room`, which grows above 1 in
    large windows, read from further away. `by_keys` is true while the last input came from the
    keyboard, so that the focus ring is drawn only where it helps; `left_handed` mirrors the string;
    `still` lets nothing move by itself but what shows time.
    """

    scale = NumericProperty(1.0)
    text = NumericProperty(1.0)
    room = NumericProperty(1.0)
    by_keys = BooleanProperty(False)
    left_handed = BooleanProperty(False)
    still = BooleanProperty(False)

    def on_text(self, *_: object) -> None:
        self.scale = self.text * self.room

    def on_room(self, *_: object) -> None:
        self.scale = self.text * self.room

    def fit_room(self, width_px: float, height_px: float) -> None:
        """Take the measure of a window."""
        short_dp = min(width_px, height_px) / dp(1)
        self.room = min(theme.MOST_ROOM, max(1.0, short_dp / theme.ROOM_FROM))


look = Look()


def take_look(settings: Settings) -> None:
    """Take language, letters, text size, contrast, stillness and hand; what is on view has to be
    made anew where it is said or drawn otherwise. Where all is to be still, room for a tablet's
    keyboard is made at once."""
    use(settings.language, settings.letters)
    look.text = theme.TEXT_SIZES[settings.text_size]
    look.left_handed, look.still = settings.left_handed, settings.still
    theme.take(high_contrast=settings.high_contrast)
    from kivy.core.window import Window  # which opens the window, so not before it is needed

    Window.clearcolor = theme.GROUND
    Window.keyboard_anim_args = {"d": 0.0 if look.still else theme.MAKES_ROOM_S, "t": "linear"}


def type_px(size_sp: float) -> float:
    """A size of the type scale in pixels, at the text size chosen."""
    return float(sp(size_sp) * look.scale)


def face(font: str, text: str) -> str:
    """The font of this name in the theme, or the one beside it that draws this text's script."""
    script = script_of(text)
    name = font.partition(OF_SCRIPT)[0]
    return name if script == "Latn" else f"{name}{OF_SCRIPT}{script}"


class TextImage(CoreLabel):
    """A text as a picture, drawn and shaped in the script of its letters."""

    def __init__(self, text: str = "", *, font_name: str, **kwargs: Any) -> None:
        shaped = {"font_name": face(font_name, text), "font_script_name": script_of(text)}
        super().__init__(text=text, **shaped, **kwargs)


def measure_as_drawn() -> None:
    """Let texts be measured in their own script.

    SDL measures a text in the script that its font last drew at this size, which before the first
    frame is none: what is laid out then would get the room of letters that are not joined.
    """
    measure, surface = LabelSDL2.get_extents, _SurfaceContainer(1, 1)

    def get_extents(label: Any, text: str) -> tuple[int, int]:
        if label.options["font_script_name"] != "Latn":
            surface.render(label, "", 0, 0)
        extents: tuple[int, int] = measure(label, text)
        return extents

    LabelSDL2.get_extents = get_extents


def text_px(text: str, font: str, size_sp: float) -> float:
    """How broad a text is in one line, in pixels."""
    image = TextImage(text, font_name=font, font_size=type_px(size_sp))
    return float(image.get_extents(text)[0])


def use_fonts() -> None:
    """Make the fonts known to Kivy by their names in the theme, and by `face` for each script."""
    for script, files in theme.FONT_FILES.items():
        for name, file in files.items():
            known = name if script == "Latn" else f"{name}{OF_SCRIPT}{script}"
            LabelBase.register(known, str(FONTS / file))


def load_kv(name: str) -> None:
    """Load `screens/NAME.kv` once; loading it again would double every child."""
    path = str(KV / f"{name}.kv")
    if path not in Builder.files:
        Builder.load_file(path)


use_fonts()
measure_as_drawn()
