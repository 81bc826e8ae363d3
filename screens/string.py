"""The answer pad for notes: one saptak of the sitar's playing string, frets at their true places.

Across a landscape window the nut lies to the left, as the player sees it; in a portrait window the
string stands upright with the nut above. Left-handed students see the landscape string mirrored.
A touch presses the string at a fret; letting go on the same fret gives the answer, sliding off it
takes the touch back.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import (
    BooleanProperty,
    ListProperty,
    NumericProperty,
    ObjectProperty,
    StringProperty,
)
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from audio.tuning import JUST, SWARAS, Swara
from screens import theme
from screens.frets import (
    END_ROOM,
    MADHYA,
    SAPTAK_NAMES,
    Fret,
    Zone,
    fret_at,
    frets_of,
    octaves_of,
    zones_of,
)
from screens.key_words import LEFT_RIGHT, UP_DOWN, Said, letter_keys
from screens.look import load_kv, look
from screens.neck import draw_neck
from screens.widgets import ChosenPlate
from words import say

END_MARGIN = 8
"""From the ends of the string shown to the ends of the pad, in dp."""

MOST_NECK = 280
"""The broadest that the neck grows, in dp: in a large window a quarter of it, with the names."""


WATCHED = (
    "pos size choices tuning octave upright live pressed shown was heard focused at_key bare "
    "names_beyond lit"
)
"""What changes the drawing."""


class StringPad(Widget):
    """The string, the frets that may be touched, and, once answered, what was and what was heard.

    `choices` holds swara texts such as "R", "N,", "S'". `on_answer` is sent with one of them.
    """

    __events__ = ("on_answer",)

    choices = ListProperty()
    tuning = ObjectProperty(JUST)
    octave = NumericProperty(MADHYA)
    upright = BooleanProperty(False)
    live = BooleanProperty(True)
    """False once the answer is given: nothing can be touched."""
    pressed = StringProperty("")
    shown = StringProperty("")
    """A fret pressed by the app, to present it."""
    was = StringProperty("")
    heard = StringProperty("")
    bare = BooleanProperty(False)
    """No room for names: a neck to look at, not to answer on."""
    names_beyond = BooleanProperty(False)
    """The names stand on the other side of the neck, to leave this one to what rises from it."""
    lit = ListProperty()
    """Swaras whose names stand out."""
    can_focus = BooleanProperty(True)
    focused = BooleanProperty(False)
    at_key = StringProperty("")
    """The fret that the arrow keys stand on."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._draw = Clock.create_trigger(lambda _: draw_neck(self), -1)
        self._shift = 0  # saptaks up or down that the next key is meant in
        for name in WATCHED.split():
            self.fbind(name, self._changed)
        for name in ("focused", "octave", "choices"):
            self.fbind(name, self._keep_key_in_sight)
        look.bind(scale=self._changed, by_keys=self._changed, left_handed=self._changed)
        self._draw()

    def _changed(self, *_: Any) -> None:
        self._draw()

    # Where things are.

    @property
    def names_px(self) -> float:
        """The room beside the neck for the names of the swaras."""
        if self.bare:
            return 0.0
        return float(dp(102 if self.upright else 60) * look.scale)

    def wished_px(self, short_px: float) -> float:
        """How broad the pad wishes to be in a window whose shorter side measures so much."""
        return self.names_px + min(dp(MOST_NECK), max(dp(112), 0.17 * short_px))

    def frets(self) -> tuple[Fret, ...]:
        """All thirteen frets of the saptak shown."""
        return frets_of(self.tuning, int(self.octave))

    def offered(self) -> tuple[Fret, ...]:
        """The frets of the saptak shown that may be touched."""
        return tuple(fret for fret in self.frets() if str(fret.swara) in self.choices)

    def zones(self) -> tuple[Zone, ...]:
        """The touch zones of the frets offered, in places along the string."""
        return zones_of(self.offered())

    @property
    def mirrored(self) -> bool:
        """Whether the nut lies to the right."""
        return bool(look.left_handed) and not self.upright

    @property
    def length_px(self) -> float:
        """From one Sa to the Sa above, in pixels."""
        long_side = self.height if self.upright else self.width
        return float(max(1.0, (long_side - 2 * dp(END_MARGIN)) / (1.0 + 2.0 * END_ROOM)))

    def along(self, place: float) -> float:
        """The x of a place along the string, or, where it stands upright, the y."""
        far = dp(END_MARGIN) + (place + END_ROOM) * self.length_px
        if self.upright:
            return float(self.top - far)
        return float(self.right - far if self.mirrored else self.x + far)

    def place_at(self, x: float, y: float) -> float:
        """The place along the string of a point in the window."""
        across = self.right - x if self.mirrored else x - self.x
        far = self.top - y if self.upright else across
        return float((far - dp(END_MARGIN)) / self.length_px - END_ROOM)

    def middle_of(self, swara: str) -> tuple[float, float]:
        """A point in the window that touches this swara's fret. Raises KeyError."""
        for zone in self.zones():
            if str(zone.fret.swara) == swara:
                along = self.along((zone.start + zone.end) / 2)
                return (self.center_x, along) if self.upright else (along, self.center_y)
        raise KeyError(swara)

    # Touch.

    def _fret_under(self, touch: Any) -> str:
        if not self.collide_point(*touch.pos):
            return ""
        fret = fret_at(self.place_at(*touch.pos), self.offered())
        return str(fret.swara) if fret else ""

    def on_touch_down(self, touch: Any) -> bool:
        if not self.collide_point(*touch.pos) or touch.is_mouse_scrolling:
            return False
        swara = self._fret_under(touch)
        if self.live and not self.disabled and swara and not self.pressed:
            touch.grab(self)
            touch.ud[self] = self.pressed = swara
        return True

    def on_touch_move(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return False
        began = touch.ud[self]
        self.pressed = began if self._fret_under(touch) == began else ""
        return True

    def on_touch_up(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return False
        touch.ungrab(self)
        kept = self._fret_under(touch) == touch.ud[self]
        self.pressed = ""
        if kept:
            self.answer(touch.ud[self])
        return True

    # Keys.

    def take_key(self, name: str) -> bool:
        """Arrows walk from fret to fret; along the string, whichever way it lies."""
        ways = {"up": -1, "down": 1} if self.upright else {"left": -1, "right": 1}
        if self.mirrored:
            ways = {key: -way for key, way in ways.items()}
        swaras = [str(fret.swara) for fret in self.offered()]
        if name not in ways or not self.live or not swaras:
            return False
        if self.at_key not in swaras:
            self.at_key = swaras[0] if ways[name] > 0 else swaras[-1]
        else:
            here = swaras.index(self.at_key) + ways[name]
            self.at_key = swaras[min(max(here, 0), len(swaras) - 1)]
        return True

    def take_letter(self, letter: str) -> bool:
        """A swara's letter answers; ' and , before it mean the saptak above and below."""
        if not self.live:
            return False
        if letter in ("'", ","):
            self._shift += 1 if letter == "'" else -1
            shown = int(self.octave) + self._shift
            if shown in self.octaves() and len(self.octaves()) > 1:
                self.octave, self._shift = shown, 0
            return True
        if letter in "sp":
            letter = letter.upper()  # Sa and Pa have one form only
        if letter not in SWARAS:
            return False
        swara = str(Swara(SWARAS.index(letter), int(self.octave) + self._shift))
        self._shift = 0
        return self.answer(swara)

    def key_words(self) -> tuple[Said, ...]:
        """The keys that answer on it."""
        way = UP_DOWN if self.upright else LEFT_RIGHT
        walk = say(way), say("From fret to fret; Enter answers")
        return (*letter_keys(len(self.octaves()) > 1), walk)

    def _keep_key_in_sight(self, *_: Any) -> None:
        """The keys stand on a fret that is on view, or, without focus, on none."""
        swaras = [str(fret.swara) for fret in self.offered()]
        if not self.focused:
            self.at_key = ""
        elif self.at_key not in swaras:
            self.at_key = swaras[0] if swaras else ""

    def press(self) -> None:
        """Answer with the fret that the arrow keys stand on."""
        if self.at_key:
            self.answer(self.at_key)

    # What is asked and answered.

    def octaves(self) -> tuple[int, ...]:
        """The saptaks that the choices lie in."""
        return octaves_of([Swara.read(text) for text in self.choices])

    def on_live(self, *_: object) -> None:
        """What cannot be answered on is not walked to."""
        self.can_focus = self.live
        if not self.live:
            self.focused = False

    def ask(self, choices: Sequence[str]) -> None:
        """Offer these swaras, clear all marks, and show the saptak nearest to the middle one."""
        self.was = self.heard = self.pressed = self.shown = self.at_key = ""
        self._shift = 0
        self.choices = list(choices)
        self.octave = min(self.octaves(), key=abs)
        self.live = True

    def answer(self, swara: str) -> bool:
        """Give this answer if it is offered; True if it was."""
        if not self.live or self.disabled or swara not in self.choices:
            return False
        self.live = False
        self.dispatch("on_answer", swara)
        return True

    def tell(self, *, was: str, heard: str = "") -> None:
        """Mark what was and, where it differs, what was heard; show the saptak of what was."""
        self.live = False
        self.was, self.heard = was, "" if heard == was else heard
        octave = Swara.read(was).octave
        frets = {str(fret.swara) for fret in self.frets()}
        if was not in frets:
            self.octave = octave

    def on_answer(self, swara: str) -> None:
        """The student answered with `swara`."""


class SaptakRow(BoxLayout):
    """Chooses which saptak the string shows, where the answers lie in more than one."""

    pad = ObjectProperty(None, allownone=True)

    def show(self) -> None:
        """One plate for each saptak, those without a choice disabled."""
        octaves = self.pad.octaves()
        self.clear_widgets()
        for octave, name in SAPTAK_NAMES.items():
            plate = ChosenPlate(text=say(name), padding=(dp(6), dp(8)), type_sp=theme.SMALL + 1)
            plate.disabled = octave not in octaves
            plate.octave, plate.size_hint_y = octave, 1
            plate.bind(texture_size=self._fit)
            plate.bind(on_release=lambda plate: setattr(self.pad, "octave", plate.octave))
            self.add_widget(plate)
        self.refresh()
        self._fit()

    def on_pad(self, *_: Any) -> None:
        self.pad.bind(octave=self.refresh, was=self.refresh, heard=self.refresh)

    def _fit(self, *_: Any) -> None:
        words = max((plate.texture_size[1] for plate in self.children), default=0)
        self.height = max(dp(theme.TOUCH) * look.room, words)

    def refresh(self, *_: Any) -> None:
        """Show which saptak is on view and, once answered, where the answers lie."""
        was, heard = (
            Swara.read(text).octave if text else None for text in (self.pad.was, self.pad.heard)
        )
        for plate in self.children:
            plate.chosen = plate.octave == self.pad.octave
            name = say(SAPTAK_NAMES[plate.octave])
            marked = ((was, say("was")), (heard, say("heard")))
            words = [word for octave, word in marked if octave == plate.octave]
            plate.text = f"{name}\n{', '.join(words)}" if words and was != heard else name


load_kv("string")
