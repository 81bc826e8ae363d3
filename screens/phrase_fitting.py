"""How the things of a pad for phrases share its room: notation, keys in groups, and tools."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.metrics import dp

from screens import theme
from screens.grid import evenly, fitting
from screens.look import look, text_px
from screens.phrase_keys import groups_of, keys_of
from screens.sargam_pad import LEAST_KEY

if TYPE_CHECKING:
    from screens.phrase_pad import PhrasePad

MOST_ROWS = 3
"""So many rows of notation are on view at most; more roll."""
CUT = 0.25
"""Of the second row of keys, what a long prompt may take."""
KEY_AIR = 6
"""Beside the words of a key, in dp."""
KEYS_APART = 6
"""In dp."""


def least_px(pad: PhrasePad, width: float) -> float:
    """How high the pad should be in this width, to have its notation, up to two rows of it, and a
    row of keys and most of the next."""
    keys, strip = min(_fit_keys(pad, width), _rows_px(pad, 2 - CUT)), pad.ids.strip
    strip.room_px = width
    return _fixed_px(pad, width) + keys + min(2, strip.rows) * float(strip.row_px)


def all_px(pad: PhrasePad, width: float) -> float:
    """How high the pad would be in this width with all keys on view, and up to two rows of
    notation."""
    strip = pad.ids.strip
    strip.room_px = width
    keys = _fit_keys(pad, width)
    return _fixed_px(pad, width) + keys + min(2, strip.rows) * float(strip.row_px)


def fit(pad: PhrasePad, width: float, room: float) -> None:
    """Lay the pad out in this width, in as much of the height `room` as it can use."""
    pad.width = width + 2 * pad.edge_px
    strip, roll, keys_roll = pad.ids.strip, pad.ids.roll, pad.ids.keys_roll
    strip.room_px = width
    fixed, keys = _fixed_px(pad, width), _fit_keys(pad, width)
    room -= fixed
    rows = min(MOST_ROWS, max(2, strip.rows))
    # All keys are on view before a row of notation is kept free.
    for_keys = min(keys, max(_rows_px(pad, 2 - CUT), room - min(2, strip.rows) * strip.row_px))
    roll.height = max(strip.row_px, min(rows * strip.row_px, room - for_keys))
    keys_roll.height = min(keys, max(_rows_px(pad, 1), room - roll.height))
    pad.height = fixed + roll.height + keys_roll.height


def _fixed_px(pad: PhrasePad, width: float) -> float:
    """How high all is that has one height, with the gaps."""
    words = float(pad.ids.words.height)
    return _fit_tools(pad, width) + _fit_tabs(pad, width) + words + 4 * dp(theme.THIN)


def _fit_tabs(pad: PhrasePad, width: float) -> float:
    tabs = pad.ids.tabs
    if not tabs.children:
        tabs.height = 0.0
        return 0.0
    words = max(text_px(tab.text, tab.font_name, tab.type_sp) for tab in tabs.children)
    tabs.cols = evenly(len(tabs.children), fitting(width, words + dp(14), dp(theme.THIN)))
    return _heighten(tabs)


def _fit_tools(pad: PhrasePad, width: float) -> float:
    """As many beside each other as their words leave room for, in smaller type where all can then
    stand in one row; the height of them all."""
    tools, usual, small = pad.ids.tools, theme.BODY, theme.SMALL + 1
    cols = {}
    for size_sp in (usual, small):
        words = max(text_px(tool.text, tool.font_name, size_sp) for tool in tools.children)
        most = fitting(width, words + dp(18), dp(theme.THIN))
        cols[size_sp] = evenly(len(tools.children), most)
    size_sp = small if cols[small] == len(tools.children) > cols[usual] else usual
    tools.cols = cols[size_sp]
    pad.set_tools()
    for tool in tools.children:
        tool.type_sp = size_sp
    return _heighten(tools)


def _heighten(grid: Any) -> float:
    """Make rows of plates as high as can be touched well; how high they are."""
    rows = -(-len(grid.children) // grid.cols)
    high = max(dp(theme.TOUCH) * look.room, *(plate.texture_size[1] for plate in grid.children))
    grid.height = rows * high + (rows - 1) * dp(theme.THIN)
    return float(grid.height)


def _fit_keys(pad: PhrasePad, width: float) -> float:
    """As many keys in a row as their words leave room for; how high the keys of that group are
    which needs the most, so that nothing moves when another comes on view."""
    question = pad.question
    assert question is not None  # else nothing is laid out
    inner, most = width - 2 * pad.edge_px, 1
    for group in groups_of(question.signs):
        keys = keys_of(group, question.choices, question.signs)
        told = () if pad.brief else (text_px(key.about, theme.SANS, theme.SMALL) for key in keys)
        words = max(told, default=0.0)
        broad = max(dp(LEAST_KEY) * look.room, words + dp(KEY_AIR))
        cols = evenly(len(keys), fitting(inner, broad, dp(KEYS_APART)))
        most = max(most, -(-len(keys) // cols))
        if group == pad.group:
            pad.ids.grid.cols = cols
    return _rows_px(pad, most)


def _rows_px(pad: PhrasePad, rows: float) -> float:
    """How high so many rows of keys are."""
    key = max(plate.height for plate in pad.ids.grid.children)
    return float(rows * key + (rows - 1) * dp(KEYS_APART) + 2 * pad.edge_px)
