"""The groups of a palta as they are written: one way in a row, a line under what begins a matra."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.properties import NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.label import Label

from practice.palta_written import Group, plain
from screens import theme
from screens.look import text_px, type_px

LINE_PART = 1.4
"""From one line of groups to the next, of the size of their type."""


class GroupWords(Label):
    """One group of a palta, which is never broken; a line under what begins a matra."""

    type_sp = NumericProperty(theme.TITLE)


class GroupRow(BoxLayout):
    """The groups of one way beside its name, one after another."""

    head = StringProperty("")
    type_sp = NumericProperty(theme.TITLE)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._groups: tuple[str, ...] = ()

    def show(self, groups: Sequence[Group]) -> None:
        """Show these in place of those before."""
        self._groups = tuple(map(plain, groups))
        self.opacity = 1.0 if groups else 0.0
        self.ids.groups.clear_widgets()
        for group in groups:
            self.ids.groups.add_widget(GroupWords(text=_marked(group), type_sp=self.type_sp))

    def on_type_sp(self, *_: Any) -> None:
        """The groups follow."""
        for group in self.ids.groups.children:
            group.type_sp = self.type_sp

    def high(self, width: float, type_sp: float) -> float:
        """How high it would be in type of this size."""
        gap, lines = self.ids.groups.spacing[0], 1
        room = width - self.ids.head.width - self.spacing
        used = -gap
        for group in self._groups:
            broad = gap + text_px(group, theme.SERIF, type_sp)
            if used + broad > room:
                used, lines = -gap, lines + 1
            used += broad
        return lines * type_px(type_sp) * LINE_PART


def _marked(group: Group) -> str:
    """A group as markup."""
    return " ".join(
        "".join(f"[u]{cell.text}[/u]" if cell.on_matra else cell.text for cell in note)
        for note in group
    )
