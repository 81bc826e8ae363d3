"""Where the parts of the drill stand: one arrangement for each shape of window and way to answer.

With a string: upright along one side of a portrait window, across the foot of a landscape one.
With names to choose from, or a pad to answer on: below the question, or beside it; a pad for
phrases has a string besides.
A wheel to be looked at stands in what they leave, or in a landscape window beside the words.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from kivy.metrics import dp

from screens import theme
from screens.drill_ways import WAYS, ByName, OnPad
from screens.drill_wheel import (
    BAR,
    WORDS_AIR,
    bring_home,
    pictured,
    place_picture,
    wheel_least,
    words_high,
)
from screens.look import TextImage, look, type_px

if TYPE_CHECKING:
    from screens.contour import Contour
    from screens.drill import DrillScreen
    from screens.string import StringPad

MARGIN, GAP = theme.SPACE, theme.GAP
ACTIONS = 280
"""How broad the column of actions is where it stands beside the words, in dp."""
PAD_PART = 0.58
"""How much of a landscape window's breadth a pad to write, order or share on takes."""
TAPS_PART = 0.44
"""The same of a plate to tap on, which needs no more room for more beats."""
WHEEL_PART = 0.5
"""The same of a wheel that is looked at before a question and after it."""
PADS = {name: way.name for name, way in WAYS.items() if issubclass(way, OnPad)}
"""The part of the screen that is the pad, by way to answer."""
BY_NAME = tuple(name for name, way in WAYS.items() if issubclass(way, ByName))
"""Ways to answer by touching names."""
MOST_CHOICES = 0.56
"""Of the height, what the names may take from a long prompt."""
LEAST_CHOICES = 0.28
"""Of the height, what is left to the names once answered, however long the explanation."""
WORDS_PART, TAPS_WORDS_PART = 0.4, 0.55
"""Of the height, what the words above a pad take at most: above one to tap on, which can be lower,
more."""
LEAST_PROMPT = 0.16
"""Of the height, what is left to the prompt above a pad for phrases."""
CHOICES_FROM = 0.43
"""So far from the top, of the height, names and pads begin that could begin anywhere: so they stand
at one place, however many they are, and mostly stay there once answered."""
SET_OFF = theme.SPACE
"""Between the names and what plays the cue, in dp besides the usual gap: it is no answer."""
ROLES = {
    "title": (theme.SERIF, theme.TITLE),
    "lead": (theme.SANS, theme.LEAD),
    "body": (theme.SANS, theme.BODY),
    "small": (theme.SANS, theme.SMALL),
}
"""What a question above a pad for phrases may be set in: see `Words.role`."""
ROLES_TRIED = (
    *((role, False) for role in ("title", "lead", "body")),
    ("body", True),
    ("small", True),
)
"""Each with whether keys do not say what they stand for, from what is best."""
LINE_HEIGHT = 1.12
BROADEST = 1500
"""How broad all that stands beside each other is together at most, in dp."""


def arrange(screen: DrillScreen) -> None:
    """Place everything for the screen's present size and state."""
    width, height = screen.size
    if min(width, height) < dp(theme.LEAST_SIDE):
        return  # not in the window yet
    parts = screen.ids
    _put(parts.time, 0, height - parts.time.height, width, None)
    on_string = screen.answers_on == "string" and screen.stage != "waiting"
    on_pad = screen.answers_on in PADS and screen.stage == "asking"
    upright = height >= width
    # A drawing reads best on the whole breadth: then what was and what was heard are told by name.
    wide = screen.answers_on in PADS or (screen.drawing is not None and not on_string)
    told = wide and screen.stage == "answered" and not upright
    picture = pictured(screen)
    beside = picture and screen.stage != "asking" and not upright and not on_string
    on_choices = screen.answers_on in BY_NAME and screen.stage in ("asking", "answered")
    on_choices = on_choices and not told and not beside
    rows = on_string and len(screen.pad.octaves()) > 1
    _away(parts.pad, not on_string)
    _away(parts.saptaks, not rows)
    _away(parts.choices_roll, not on_choices)
    for answer_on, name in PADS.items():
        here = on_pad and screen.answers_on == answer_on
        _away(parts[name], not (here or (picture and name == "wheel")))
    if beside or not picture:
        bring_home(screen)
    top = height - parts.time.height
    on_strings = on_pad and screen.answers_on == "sargam" and parts.phrase.on_string
    phrase_rows = on_strings and len(parts.phrase_string.octaves()) > 1
    _away(parts.phrase_string, not on_strings)
    _away(parts.phrase_saptaks, not phrase_rows)
    left, right = 0.0, width
    if upright and (on_string or on_strings):
        string = screen.pad if on_string else parts.phrase_string
        left, right = _upright_string(string, width, top)
    _bar(screen, *(_middle(left, right) if upright else _whole(width)), top)
    top -= parts.bar.height
    if on_string and not upright:
        _across_string(screen, width, top, rows)
    elif on_choices and not upright:
        _beside_choices(screen, width, top)
    elif on_strings:
        _with_string(screen, left, right, top, rows=phrase_rows)
    elif on_pad and not upright:
        part = TAPS_PART if screen.answers_on == "taps" else PAD_PART
        _beside_pad(screen, parts[PADS[screen.answers_on]], width, top, part)
    elif beside:
        _beside_pad(screen, parts.wheel, width, top, WHEEL_PART)
    elif on_pad:
        _above_pad(screen, 0.0, width, top)
    elif not upright:
        _words_beside_actions(screen, width, top, dp(MARGIN), rows=False)
    else:
        _column(screen, left, right, top, rows, on_choices)
    if picture and not beside:
        beside_words = on_choices and not upright
        place_picture(screen, _words_least(screen), choices_beside=beside_words, top=top)
    _fill_words(screen)


def _fill_words(screen: DrillScreen) -> None:
    """Words begin at the top of their room, so that the question is always found at one place; a
    drawing among them takes what they leave."""
    words, room, air = screen.ids.words, screen.ids.roll.height, dp(theme.THIN)
    drawing = _contour(screen)
    if drawing is not None:
        drawing.granted = max(0.0, room - (_words_least(screen) - drawing.least) - 2 * air)
    words.padding = 0, air, dp(BAR), air


def _contour(screen: DrillScreen) -> Contour | None:
    """The drawing of the phrase, where one is on view."""
    parts = [part.ids.get("contour") for part in screen.ids.words.children]
    return next((part for part in parts if part is not None and part.drawing is not None), None)


def _words_least(screen: DrillScreen) -> float:
    """How high the words are with a drawing no higher than it must be."""
    drawing = _contour(screen)
    grown = drawing.height - drawing.least if drawing is not None else 0.0
    return words_high(screen) - grown


def _actions_room(screen: DrillScreen) -> float:
    """The height kept for the actions: the same before and after the answer, so nothing jumps, but
    where a wheel needs all the room there is."""
    if pictured(screen):
        return screen.ids.actions.height
    return max(screen.ids.actions.height, dp(GAP) + dp(theme.TOUCH + 64))


def _actions_broad(screen: DrillScreen) -> float:
    """How broad the actions are beside the words."""
    return min(dp(ACTIONS) * look.scale, 0.34 * screen.width)


def _put(part: Any, x: float, y: float, width: float, height: float | None) -> None:
    part.pos = x, y
    part.width = max(1.0, width)
    if height is not None:
        part.height = max(1.0, height)


def _away(part: Any, away: bool) -> None:
    """Out of sight and out of reach of touch and keys."""
    part.opacity = 0.0 if away else 1.0
    part.disabled = away
    if away:
        part.pos = -10 * part.width - 10000, 0


def _middle(left: float, right: float) -> tuple[float, float]:
    """The middle part of a stretch, no wider than a column of text: (x, width) inside margins."""
    width = min(right - left, dp(theme.COLUMN) * look.scale + 2 * dp(MARGIN))
    return left + (right - left - width) / 2 + dp(MARGIN), width - 2 * dp(MARGIN)


def _whole(width: float) -> tuple[float, float]:
    """The part of a landscape window that is used: (x, width) inside margins."""
    whole = min(width, dp(BROADEST) * look.scale)
    return (width - whole) / 2 + dp(MARGIN), whole - 2 * dp(MARGIN)


def _hand_side(screen: DrillScreen, width: float) -> tuple[float, float]:
    """Where what leads on stands in a landscape window, (x, width): always at the same foot, on the
    side of the hand that answers."""
    left, whole = _whole(width)
    broad = _actions_broad(screen)
    return (left if look.left_handed else left + whole - broad), broad


def _bar(screen: DrillScreen, x: float, width: float, top: float) -> None:
    """Leave, whose words begin where those of the question do, and the time."""
    bar, inset = screen.ids.bar, screen.ids.leave.padding[0]
    _put(bar, x - inset, top - bar.height, width + inset, None)


def _upright_string(pad: StringPad, width: float, top: float) -> tuple[float, float]:
    """The string along one side; what is left for everything else, as (left, right)."""
    pad.upright = True
    broad = pad.wished_px(width)
    # The whole height, under the line of time too: every dp of string counts.
    x = 0.0 if look.left_handed else width - broad
    _put(pad, x, 0, broad, top)
    return (broad, width) if look.left_handed else (0.0, width - broad)


def _column(
    screen: DrillScreen, left: float, right: float, top: float, rows: bool, on_choices: bool
) -> None:
    """One below the other: words, choices, saptaks, actions at the foot."""
    parts = screen.ids
    x, width = _middle(left, right)
    foot = dp(MARGIN)
    room = _actions_room(screen)
    _put(parts.actions, x, foot + room - parts.actions.height, width, None)
    foot += room + dp(GAP)
    if rows:
        _put(parts.saptaks, x, foot + dp(4), width, None)
        foot += parts.saptaks.height + dp(GAP + 4)
    if on_choices:
        room = _choices_room(screen, top - foot)
        _away(parts.choices_roll, room == 0.0)
        if room:
            foot = max(foot + dp(SET_OFF), _begins(screen, foot, top) - room)
            _put(parts.choices_roll, x, foot, width + dp(BAR), room)
            foot += room + dp(GAP)
    _put(parts.roll, x, foot, width + dp(BAR), top - foot)


def _begins(screen: DrillScreen, foot: float, top: float) -> float:
    """How high what stands below the words begins, where there is more room than it needs."""
    if pictured(screen) or (screen.stage == "answered" and _contour(screen) is not None):
        return foot  # the picture takes the room
    usual = screen.height * (1.0 - CHOICES_FROM)
    return max(foot, min(usual, top - _words_high(screen) - dp(GAP)))


def _choices_room(screen: DrillScreen, whole: float) -> float:
    """How high the names to choose from are, of the `whole` height; 0 where they are left out."""
    wished = float(screen.ids.choices.height)
    left_over = whole - dp(GAP + SET_OFF) - _words_high(screen)
    if screen.stage != "answered":
        return min(wished, max(MOST_CHOICES * whole, left_over))
    # By now the explanation matters more than the names, of which it tells what matters.
    if pictured(screen) or (screen.drawing is not None and left_over < wished):
        return 0.0
    return min(wished, MOST_CHOICES * whole, max(LEAST_CHOICES * whole, left_over))


def _across_string(screen: DrillScreen, width: float, top: float, rows: bool) -> None:
    """Words above, actions beside them, the string across the foot."""
    pad = screen.pad
    pad.upright = False
    high = pad.wished_px(screen.height)
    _put(pad, 0, 0, width, high)
    _words_beside_actions(screen, width, top, high + dp(GAP), rows=rows)


def _words_beside_actions(
    screen: DrillScreen, width: float, top: float, foot: float, *, rows: bool
) -> None:
    """Words, with the saptaks below them, and the actions at their side."""
    parts = screen.ids
    drawn = _contour(screen) is not None
    left, whole = _whole(width)
    actions_at, broad = _hand_side(screen, width)
    words = whole - broad - dp(theme.WIDE)
    if look.left_handed:
        left += broad + dp(theme.WIDE)
    room = _actions_room(screen)
    _put(parts.actions, actions_at, foot + room - parts.actions.height, broad, None)
    if rows:
        _put(parts.saptaks, left, foot, min(words, dp(theme.COLUMN) * look.scale), None)
        foot += parts.saptaks.height + dp(GAP)
    broad = words if drawn else min(words, dp(theme.COLUMN) * look.scale)
    _put(parts.roll, left, foot, broad + dp(BAR), top - foot)


def _beside_choices(screen: DrillScreen, width: float, top: float) -> None:
    """Words on one side, the choices on the side of the hand that answers, and below them the
    actions, where there is room."""
    parts = screen.ids
    left, whole = _whole(width)
    half = (whole - dp(theme.WIDE)) / 2
    words_x, choices_x = left, left + half + dp(theme.WIDE)
    if look.left_handed:
        words_x, choices_x = choices_x, words_x
    foot = dp(MARGIN)
    room = min(parts.choices.height, top - dp(theme.THIN) - foot)
    begin = top - dp(theme.THIN) - room
    _put(parts.choices_roll, choices_x, begin, half + dp(BAR), room)
    actions = _actions_room(screen)
    if begin >= foot + actions + dp(GAP + SET_OFF) and not pictured(screen):
        x, broad = _hand_side(screen, width)
        _put(parts.actions, x, foot + actions - parts.actions.height, broad, None)
    else:
        _put(parts.actions, words_x, foot + actions - parts.actions.height, half, None)
        foot += actions + dp(GAP)
    _put(parts.roll, words_x, foot, half + dp(BAR), top - foot)


def _with_string(screen: DrillScreen, left: float, right: float, top: float, *, rows: bool) -> None:
    """A pad with a string of its own: beside it where that stands upright, else above it."""
    parts, string = screen.ids, screen.ids.phrase_string
    row = parts.phrase_saptaks if rows else None
    if screen.height >= screen.width:
        _above_pad(screen, left, right, top, row)
        return
    string.upright = False
    high = string.wished_px(screen.height)
    _put(string, 0, 0, screen.width, high)
    _beside_pad(screen, parts.phrase, screen.width, top, PAD_PART, below=high, row=row)


def _above_pad(screen: DrillScreen, left: float, right: float, top: float, row: Any = None) -> None:
    """Words, then the pad, a row of plates if there is one, and the actions at the foot."""
    parts, pad = screen.ids, screen.ids[PADS[screen.answers_on]]
    x, broad = _middle(left, right)
    foot = dp(MARGIN)
    _put(parts.actions, x, foot, broad, None)
    foot += parts.actions.height + dp(GAP)
    if row is not None:
        _put(row, x, foot, broad, None)
        foot += row.height + dp(GAP)
    part = TAPS_WORDS_PART if screen.answers_on == "taps" else WORDS_PART
    words = min(_words_high(screen), part * (top - foot))
    if screen.answers_on == "sargam":  # much is made there: its prompt may roll
        _ask_as_large(screen, broad, lambda: top - foot - dp(GAP) - pad.all_px(broad))
        left_over = top - foot - dp(GAP) - pad.least_px(broad)
        words = min(_words_high(screen), max(LEAST_PROMPT * (top - foot), left_over))
    pad.fit(broad, top - foot - words - dp(GAP))
    foot = max(foot, _begins(screen, foot, top) - pad.height)
    pad.pos = x - pad.edge_px, foot
    foot += pad.height + dp(GAP)
    _put(parts.roll, x, foot, broad + dp(BAR), top - foot)


def _beside_pad(
    screen: DrillScreen,
    pad: Any,
    width: float,
    top: float,
    part: float,
    *,
    below: float = 0.0,
    row: Any = None,
) -> None:
    """Words on one side, the pad on the side of the hand that answers; a row of plates under the
    words, if there is one. All stand above what is `below`.

    While it is asked, what plays the cue stands under the words; else what leads on has its place.
    """
    parts = screen.ids
    left, whole = _whole(width)
    room = whole - dp(theme.WIDE)
    words_broad, pad_broad = (1.0 - part) * room, part * room
    words_x, pad_x = left, left + words_broad + dp(theme.WIDE)
    if look.left_handed:
        words_x, pad_x = left + pad_broad + dp(theme.WIDE), left
    foot = below + dp(GAP) if below else dp(MARGIN)
    actions = parts.actions.height if below else _actions_room(screen)
    if screen.stage != "asking":
        x, broad = _hand_side(screen, width)
        _put(parts.actions, x, foot + actions - parts.actions.height, broad, None)
        pad_foot = foot + actions + dp(GAP)
    else:
        _put(parts.actions, words_x, foot + actions - parts.actions.height, words_broad, None)
        pad_foot, foot = foot, foot + actions + dp(GAP)
    if row is not None:
        _put(row, words_x, foot, words_broad, None)
        foot += row.height + dp(GAP)
    if screen.answers_on == "sargam":
        pad.set_brief(False)
        if pad.all_px(pad_broad) > top - pad_foot:
            pad.set_brief(True)
        _ask_as_large(screen, words_broad, lambda: top - foot)
    pad.fit(pad_broad, top - pad_foot)
    pad.pos = pad_x - pad.edge_px, top - pad.height
    _put(parts.roll, words_x, foot, words_broad + dp(BAR), top - foot)


def _ask_as_large(screen: DrillScreen, broad: float, room: Callable[[], float]) -> None:
    """Set a question in the largest type in which all of it has room, as what is wished stands at
    its end; in the usual one keys say less where that helps."""
    pad = screen.ids.phrase
    is_above = screen.height >= screen.width
    for role, brief in ROLES_TRIED:
        if is_above:
            pad.set_brief(brief)
        font, size_sp = ROLES[role]
        high = text_high(screen.prompt, font, type_px(size_sp), broad)
        screen.asked_role = role
        if (is_above or not brief) and high + dp(WORDS_AIR + GAP) <= room():
            return


@lru_cache(maxsize=32)
def text_high(text: str, font: str, size_px: float, broad: float) -> float:
    """How high a text is, set so broad, in pixels."""
    lines = {"text_size": (broad, None), "line_height": LINE_HEIGHT}
    image = TextImage(text, font_name=font, font_size=size_px, **lines)
    image.refresh()
    return float(image.texture.size[1])


def _words_high(screen: DrillScreen) -> float:
    """How high the words are at least, with a little air, and with a wheel below them."""
    wheel = wheel_least() + dp(GAP) if pictured(screen) else 0.0
    return _words_least(screen) + dp(WORDS_AIR) + wheel
