"""What of a screen can be touched, and how large it is; and how its texts stand out."""

from __future__ import annotations

from kivy.metrics import dp
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.label import Label
from kivy.uix.textinput import TextInput

from screens import theme
from screens.widgets import Panel, Touchable


def is_on_view(thing):
    """Whether it and all that it stands in can be seen and used."""
    above = thing
    while above is not None and above.parent is not above:
        if above.opacity == 0 or above.disabled:
            return False
        above = above.parent
    return min(thing.size) > 0


def touchable_in(root):
    """Everything on view that a finger may mean: buttons, fields, and what has keys of its own."""
    return [
        thing
        for thing in root.walk(restrict=True)
        if isinstance(thing, (ButtonBehavior, TextInput)) or getattr(thing, "can_focus", False)
        if is_on_view(thing)
    ]


def too_small(root, least=theme.LEAST_TOUCH):
    """What of a screen is less than so many dp high or broad: (its class, its words, its size).

    48 dp is what the makers of tablets ask for (common practice); WCAG 2.2, success criterion
    2.5.5, asks for 44 CSS pixels.
    """
    return [
        (
            type(thing).__name__,
            getattr(thing, "text", ""),
            tuple(round(a / dp(1)) for a in thing.size),
        )
        for thing in touchable_in(root)
        if min(thing.size) < dp(least) - 0.5
    ]


def ground_of(thing):
    """The colour that lies beneath a text: of the nearest plate or panel that is filled."""
    above = thing
    while above is not None and above.parent is not above:
        if isinstance(above, Touchable) and above.fill[3]:
            return tuple(above.fill)
        if isinstance(above, Panel):
            return theme.PANEL
        above = above.parent
    return theme.GROUND


def texts_on_grounds(root):
    """(text, its colour, the colour beneath it) of every label on view with words in it."""
    for thing in root.walk(restrict=True):
        if isinstance(thing, Label) and thing.text.strip() and min(thing.size) > 0:
            colour = thing.disabled_color if thing.disabled else thing.color
            yield thing.text, tuple(colour), ground_of(thing)
