"""Whether all that is on view has room: what is cut off, broken, laid over something, drawn as an
empty box or smaller than a finger, each told in a line.

To be imported after the window is set up.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from typing import Any

from fontTools.ttLib import TTFont
from kivy.core.text import Label as TextPicture
from kivy.core.text import LabelBase
from kivy.core.window import Window
from kivy.uix.label import Label
from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget

from screens.look import OF_SCRIPT
from tests.window.reach import too_small, touchable_in

Box = tuple[float, float, float, float]
"""Left, bottom, right and top, in pixels of the window."""
NEAR = 1.5
"""What lies over another thing by less than so many pixels does not."""
UNSEEN = {*"\n\t\u200b\u200c\u200d\u2060\u00ad\ufe0e\ufe0f"}
"""Signs that are not drawn, but say how others are."""


def view_of(root: Any) -> Any:
    """What is to be looked at of a screen: the sheet that lies over it, or all of it."""
    return getattr(root, "lies_over", None) or root


def box_of(part: Widget) -> Box:
    """As much of a thing as is on view: what rolls may show a part of it, or nothing."""
    left, bottom = part.to_window(*part.pos)
    right, top = left + part.width, bottom + part.height
    above = part.parent
    while above is not None and above.parent is not above:
        if isinstance(above, ScrollView):
            x, y = above.to_window(*above.pos)
            left, right = max(left, x), min(right, x + above.width)
            bottom, top = max(bottom, y), min(top, y + above.height)
        above = above.parent
    return left, bottom, right, top


def _is_seen(box: Box) -> bool:
    left, bottom, right, top = box
    return right - left > 1 and top - bottom > 1 and right > 0 and top > 0


def labels_in(root: Any) -> Iterator[tuple[Label, Box]]:
    """Every text on view, with where it is."""
    for part in view_of(root).walk(restrict=True):
        if isinstance(part, Label) and part.text.strip() and _shows(part):
            box = box_of(part)
            if _is_seen(box):
                yield part, box


def _shows(part: Widget) -> bool:
    """Whether it and all that it stands in can be seen."""
    above = part
    while above is not None and above.parent is not above:
        if above.opacity == 0:
            return False
        above = above.parent
    return True


@cache
def word_px(font: str, script: str, size: float, word: str) -> float:
    """How broad a word is in one line, in pixels."""
    image = TextPicture(font_name=font, font_size=size, font_script_name=script)
    return float(image.get_extents(word)[0])


def longest_word_px(label: Label) -> float:
    """How broad the broadest word of a text is, in pixels."""
    words = re.split(r"[\s/\u200b]", label.text)
    if label.markup:
        words = re.split(r"[\s/\u200b]", re.sub(r"\[/?\w+(=[^\]]*)?\]", "", label.text))
    font = label.font_name, label.font_script_name, label.font_size
    return max(word_px(*font, word) for word in words)


@cache
def signs_in(font: str) -> frozenset[int]:
    """The signs that a font, by Kivy's name of it, can draw."""
    path = LabelBase._fonts[font][0] if font in LabelBase._fonts else font
    with TTFont(path, lazy=True) as file:
        return frozenset(file.getBestCmap())


def not_drawn(text: str, font: str) -> str:
    """The signs of a text that would be empty boxes in a font."""
    return "".join(sorted({s for s in text if s not in UNSEEN and ord(s) not in signs_in(font)}))


def _told(part: Any) -> str:
    what = getattr(part, "text", "") or ""
    return f"{type(part).__name__} {what[:60]!r} in {type(part.parent).__name__}"


def _of_text(label: Label, box: Box) -> Iterator[str]:
    """What is wrong with one text by itself."""
    left, bottom, right, top = box
    if label.texture_size[0] > label.width + 1 or label.texture_size[1] > label.height + 1:
        size = f"{label.texture_size} in {label.width:.0f} x {label.height:.0f}"
        yield f"cut off ({size}): {_told(label)}"
    room = (label.text_size[0] or label.width) - label.padding[0] - label.padding[2]
    if (longest := longest_word_px(label)) > room + 1:
        yield f"a word is broken ({longest:.0f} in {room:.0f}): {_told(label)}"
    if left < -1 or bottom < -1 or right > Window.width + 1 or top > Window.height + 1:
        yield f"beyond the window: {_told(label)}"
    if (
        OF_SCRIPT in label.font_name
        and label.font_name.split(OF_SCRIPT)[1] != label.font_script_name
    ):
        yield f"shaped as {label.font_script_name} in {label.font_name}: {_told(label)}"
    if boxes := not_drawn(label.text, label.font_name):
        yield f"no sign for {boxes!r}: {_told(label)}"
    if label.shorten and label.texture_size[0] < longest_line_px(label) - 1:
        yield f"ellipsis: {_told(label)}"


def longest_line_px(label: Label) -> float:
    """How broad the text is with all its words in one line."""
    return word_px(label.font_name, label.font_script_name, label.font_size, label.text)


def _within(one: Widget, other: Widget) -> bool:
    """Whether one stands in the other, or the other way round."""
    for inner, outer in ((one, other), (other, one)):
        above = inner
        while above is not None and above.parent is not above:
            if above is outer:
                return True
            above = above.parent
    return False


def _apart(a: Box, b: Box) -> bool:
    across = a[2] <= b[0] + NEAR or b[2] <= a[0] + NEAR
    return across or a[3] <= b[1] + NEAR or b[3] <= a[1] + NEAR


def _inked(label: Label, box: Box) -> Box:
    """Where the words of a text are, as far as its place of them is known: not all its widget."""
    left, bottom, right, top = box
    spare = max(0.0, label.height - label.texture_size[1])
    if spare and label.valign in ("middle", "center"):
        bottom, top = bottom + spare / 2, top - spare / 2
    return left, bottom, right, top


def _laid_over(root: Any, labels: list[tuple[Label, Box]]) -> Iterator[str]:
    """Texts over texts, and what can be touched over either; but what is being dragged may be."""
    parts: list[tuple[Widget, Box]] = [(label, _inked(label, box)) for label, box in labels]
    known = {label for label, _ in labels}
    for thing in touchable_in(view_of(root)):
        box = box_of(thing)
        if thing not in known and _is_seen(box):
            parts.append((thing, box))
    for number, (one, a) in enumerate(parts):
        for other, b in parts[number + 1 :]:
            held = any(getattr(part, "lifted", False) for part in (one, other))
            if not held and not _apart(a, b) and not _within(one, other):
                yield f"laid over each other: {_told(one)} and {_told(other)}"


def _beyond(root: Any) -> Iterator[str]:
    for thing in touchable_in(view_of(root)):
        left, bottom, right, top = box_of(thing)
        if not _is_seen((left, bottom, right, top)):
            continue
        if left < -1 or bottom < -1 or right > Window.width + 1 or top > Window.height + 1:
            yield f"beyond the window: {_told(thing)}"


def faults(root: Any) -> list[str]:
    """All that is wrong with what is on view of a screen."""
    labels = list(labels_in(root))
    found = [] if labels else ["there is nothing to be read"]
    for label, box in labels:
        found += _of_text(label, box)
    found += _laid_over(root, labels)
    found += _beyond(root)
    for kind, words, size in too_small(view_of(root)):
        found.append(f"too small to touch: {kind} {words[:40]!r} {size}")
    return list(dict.fromkeys(found))
