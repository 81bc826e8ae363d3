"""Draws the neck: wood, curved frets, the strings, a pressed string, and the marks of an answer.

Everything is laid out by (along, across): along the string in the pad's own places, across it from
0.0 at the edge where the names stand to 1.0 at the other.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np
from kivy.graphics import Color, Ellipse, Line, Rectangle, RoundedRectangle
from kivy.graphics.texture import Texture
from kivy.metrics import dp

from audio.tuning import Swara
from quizzes.names import swara_word
from screens import theme
from screens.look import TextImage, look, type_px
from screens.widgets import draw_mark
from words import in_script, say

if TYPE_CHECKING:
    from screens.string import StringPad

STRING_AT = 0.42
"""Where on the neck the playing string lies, from its inner edge (0.0) to its outer (1.0)."""
OTHER_STRINGS = (0.66, 0.82)
"""The strings beside it, drawn faint: they are not for answering."""
BOW = 5
"""How far a fret's middle bulges toward the bridge, in dp."""


class _Sheet:
    """Places on the pad: turns (along, across) into window pixels, whichever way it lies."""

    def __init__(self, pad: StringPad) -> None:
        self.pad = pad
        short = pad.width if pad.upright else pad.height
        # Who has the names beyond the neck has seen to their room.
        self.names = pad.names_px if pad.names_beyond else min(pad.names_px, short / 2)
        self.neck = short - self.names
        # Where the bridge lies, as a step along the axis that is drawn on.
        self.to_bridge = -1.0 if pad.upright or pad.mirrored else 1.0

    def across(self, part: float) -> float:
        """The pixel across the neck: 0.0 its inner edge, 1.0 its outer."""
        pad, away = self.pad, self.neck * (1.0 - part)
        if pad.names_beyond:
            away = self.names + self.neck * part
        if not pad.upright:
            return float(pad.y + away)
        return float(pad.x + away if look.left_handed else pad.right - away)

    def names_from(self, breadth_px: float, gap_px: float) -> float:
        """How far from the edge of the pad where the neck or the names stand a name begins that is
        so broad across, when it keeps so far from the neck."""
        return self.names - gap_px - breadth_px if self.pad.names_beyond else self.neck + gap_px

    def point(self, along_px: float, across_px: float) -> tuple[float, float]:
        return (across_px, along_px) if self.pad.upright else (along_px, across_px)

    def points(self, pairs: list[tuple[float, float]]) -> list[float]:
        return [value for pair in pairs for value in self.point(*pair)]

    def ends(self) -> tuple[float, float]:
        """The pad's nut end and bridge end, in pixels along."""
        pad = self.pad
        if pad.upright:
            return pad.top, pad.y
        return (pad.right, pad.x) if pad.mirrored else (pad.x, pad.right)


def draw_neck(pad: StringPad) -> None:
    """Draw the pad anew."""
    pad.canvas.clear()
    if pad.width < 2 or pad.height < 2:
        return
    sheet = _Sheet(pad)
    pad.text_boxes = []
    with pad.canvas:
        _wood(sheet)
        for fret in pad.frets():
            _fret(sheet, fret.place, str(fret.swara) in pad.choices)
        _strings(sheet)
        _names(sheet)
        if pad.focused and look.by_keys and pad.live and pad.at_key:
            _key_ring(sheet, pad.at_key)
        _marks(sheet)


@cache
def _grain(upright: bool, wood: theme.Colour) -> Texture:
    """Wood across the neck: rounded like a rod, with a fine grain along it; drawn once."""
    across, along = 96, 512
    rng = np.random.default_rng(7)
    rise = np.linspace(-1.0, 1.0, across)
    light = 1.0 - 0.62 * np.abs(rise) ** 3.2 + 0.10 * np.exp(-(((rise + 0.35) / 0.22) ** 2))
    streaks = np.repeat(rng.normal(0, 0.05, (across, 8)), along // 8, axis=1)
    kernel = np.hanning(65) / np.hanning(65).sum()
    streaks = np.apply_along_axis(lambda row: np.convolve(row, kernel, "same"), 1, streaks)
    shade = np.clip(light[:, None] * (1.0 + streaks), 0.0, 1.25)
    pixels = np.clip(np.array(wood[:3]) * shade[:, :, None], 0.0, 1.0)
    if upright:
        pixels = pixels.transpose(1, 0, 2)
    height, width = pixels.shape[:2]
    texture = Texture.create(size=(width, height), colorfmt="rgb")
    texture.blit_buffer((pixels * 255).astype(np.uint8).tobytes(), colorfmt="rgb")
    return texture


def _wood(sheet: _Sheet) -> None:
    pad = sheet.pad
    inner, outer = sorted((sheet.across(0.0), sheet.across(1.0)))
    Color(*theme.AS_IS)
    texture = _grain(pad.upright, theme.NECK)
    if pad.upright:
        Rectangle(texture=texture, pos=(inner, pad.y), size=(outer - inner, pad.height))
    else:
        Rectangle(texture=texture, pos=(pad.x, inner), size=(pad.width, outer - inner))
    nut, bridge = sheet.ends()
    Color(*theme.NECK_EDGE)
    edge = sheet.across(0.0)
    Line(points=sheet.points([(nut, edge), (bridge, edge)]), width=dp(1.2))


def _arc(sheet: _Sheet, place: float, *, reach: float, shift: float = 0.0) -> list[float]:
    """A fret as a bow across the neck; `reach` is how far it stands over each edge, in dp."""
    along = sheet.pad.along(place) + shift * sheet.to_bridge
    edge = dp(reach) / sheet.neck
    pairs = []
    for part in np.linspace(-edge, 1.0 + edge, 13):
        rise = 1.0 - (2.0 * (part - 0.5)) ** 2
        pairs.append((along + sheet.to_bridge * dp(BOW) * (rise - 0.6), sheet.across(part)))
    return sheet.points(pairs)


def _fret(sheet: _Sheet, place: float, offered: bool) -> None:
    """A brass rod tied over the neck; one that is not offered only leaves its shadow."""
    if not offered:
        Color(*theme.veil(theme.EDGE, 0.55))
        Line(points=_arc(sheet, place, reach=-3), width=dp(1.1), cap="round")
        return
    Color(*theme.veil(theme.SHADOW, 0.45))
    Line(points=_arc(sheet, place, reach=2, shift=dp(2.6)), width=dp(2.2), cap="round")
    Color(*theme.BRASS)
    Line(points=_arc(sheet, place, reach=4), width=dp(2.1), cap="round")
    Color(*theme.BRASS_TOUCHED)
    Line(points=_arc(sheet, place, reach=2, shift=-dp(0.9)), width=dp(0.7), cap="round")


def _strings(sheet: _Sheet) -> None:
    nut, bridge = sheet.ends()
    for part in OTHER_STRINGS:
        Color(*theme.veil(theme.STEEL, 0.2))
        at = sheet.across(part)
        Line(points=sheet.points([(nut, at), (bridge, at)]), width=dp(0.8))
    at = sheet.across(STRING_AT)
    place = _place_of(sheet, sheet.pad.pressed or sheet.pad.shown)
    Color(*theme.veil(theme.SHADOW, 0.4))
    shadow = sheet.across(STRING_AT + 0.035)
    Line(points=sheet.points([(nut, shadow), (bridge, shadow)]), width=dp(1.2))
    if place is None:
        Color(*theme.STEEL)
        Line(points=sheet.points([(nut, at), (bridge, at)]), width=dp(1.3))
        return
    _pressed(sheet, place, at, nut, bridge)


def _pressed(sheet: _Sheet, place: float, at: float, nut: float, bridge: float) -> None:
    """The string held down just before the fret, and swinging from the fret to the bridge."""
    stop = sheet.pad.along(place)
    finger = stop - sheet.to_bridge * dp(13)
    Color(*theme.thinned(theme.STEEL, 0.75))
    Line(points=sheet.points([(nut, at), (stop, at)]), width=dp(1.1))
    for side in (-1.0, 1.0):
        swing = [
            (stop + (bridge - stop) * t, at + side * dp(3.2) * float(np.sin(np.pi * t)))
            for t in np.linspace(0.0, 1.0, 25)
        ]
        Color(*theme.STEEL)
        Line(points=sheet.points(swing), width=dp(0.9))
    Color(*theme.BRASS_TOUCHED)
    x, y = sheet.point(finger, at)
    Ellipse(pos=(x - dp(9), y - dp(9)), size=(dp(18), dp(18)))


def _place_of(sheet: _Sheet, swara: str) -> float | None:
    for fret in sheet.pad.frets():
        if str(fret.swara) == swara:
            return fret.place
    return None


def _key_ring(sheet: _Sheet, swara: str) -> None:
    place = _place_of(sheet, swara)
    if place is None:
        return
    Color(*theme.FOCUS)
    x, y = sheet.point(sheet.pad.along(place), sheet.across(STRING_AT))
    Line(circle=(x, y, dp(15)), width=dp(1.6))


# Names.


def _lettering(text: str, size_px: float, bold: bool) -> TextImage:
    font = theme.SANS_BOLD if bold else theme.SANS
    image = TextImage(text=text, font_name=font, font_size=size_px, halign="center")
    image.refresh()
    return image


def _forms(swara: Swara) -> tuple[str, str, str]:
    """A swara's name in one line, in two, and as its letter."""
    name = swara_word(swara.semitone)
    return name, name.replace(" ", "\n"), in_script(swara.letter)


def names_shown(pad: StringPad) -> list[tuple[str, float, TextImage]]:
    """(swara, place, text image) of each fret offered, all in the longest form that has room."""
    sheet = _Sheet(pad)
    zones = pad.zones()
    size_px = type_px(theme.SMALL + 1)
    for form in range(3):
        bold = form == 2
        texts = [_lettering(_forms(z.fret.swara)[form], size_px, bold) for z in zones]
        if all(
            _fits(sheet, text, (z.end - z.start) * pad.length_px)
            for z, text in zip(zones, texts, strict=True)
        ):
            break
    return [
        (str(zone.fret.swara), zone.fret.place, text)
        for zone, text in zip(zones, texts, strict=True)
    ]


def _fits(sheet: _Sheet, text: TextImage, room_px: float) -> bool:
    width, height = text.texture.size
    if sheet.pad.upright:
        return height <= room_px and width <= sheet.names - dp(18)
    return width <= room_px - dp(6) and height <= sheet.names - dp(12)


def _names(sheet: _Sheet) -> None:
    pad = sheet.pad
    answered = bool(pad.was)
    for swara, place, text in names_shown(pad):
        width, height = text.texture.size
        if swara == (pad.pressed or pad.shown) or swara in pad.lit:
            Color(*theme.BRASS_TOUCHED)
        elif pad.shown or (answered and swara not in (pad.was, pad.heard)):
            Color(*theme.FAINT_INK)
        else:
            Color(*theme.INK)
        if pad.upright:
            y = min(max(pad.along(place), pad.y + height / 2), pad.top - height / 2)
            away = sheet.names_from(width, dp(14))
            x = pad.x + away if look.left_handed else pad.right - away - width
            pos = (x, y - height / 2)
        else:
            x = min(max(pad.along(place), pad.x + width / 2), pad.right - width / 2)
            pos = (x - width / 2, pad.y + sheet.names_from(height, dp(10)))
        pad.text_boxes.append((swara, *pos, width, height))
        Rectangle(texture=text.texture, pos=pos, size=(width, height))


# Marks.


def _marks(sheet: _Sheet) -> None:
    """A ring where it was and a diamond where it was heard, each with its word above or below."""
    pad = sheet.pad
    was, heard = _place_of(sheet, pad.was), _place_of(sheet, pad.heard)
    # Upright, the nut is above: the mark nearer to it has its word above, the other below.
    was_above = not pad.upright or (heard is not None and was is not None and was < heard)
    if was is not None:
        _mark(sheet, was, "was" if pad.heard else "right", say("was"), above=was_above)
    if heard is not None:
        _mark(sheet, heard, "otherwise", say("heard"), above=pad.upright and not was_above)


def _mark(sheet: _Sheet, place: float, kind: str, word: str, *, above: bool) -> None:
    x, y = sheet.point(sheet.pad.along(place), sheet.across(STRING_AT))
    dark = dp(16) * look.room
    Color(*theme.veil(theme.GROUND, 0.85))
    Ellipse(pos=(x - dark, y - dark), size=(2 * dark, 2 * dark))
    draw_mark(kind, x, y, dp(12) * look.room)
    text = _lettering(word, type_px(theme.SMALL), True)
    width, height = text.texture.size
    side, away, room = dp(7), dark + dp(1) + height / 2, sheet.pad
    if above and y + away + height / 2 > room.top:
        above = False
    if not above and y - away - height / 2 < room.y:
        above = True
    y += away if above else -away
    x = min(max(x, room.x + width / 2 + side), room.right - width / 2 - side)
    was = kind != "otherwise"
    Color(*(theme.WAS_GROUND if was else theme.OTHERWISE_GROUND))
    RoundedRectangle(
        pos=(x - width / 2 - side, y - height / 2),
        size=(width + 2 * side, height),
        radius=[dp(theme.SMALL_RADIUS)],
    )
    Color(*(theme.WAS if was else theme.OTHERWISE))
    Rectangle(texture=text.texture, pos=(x - width / 2, y - height / 2), size=(width, height))
