"""What is found of a phrase that was made: a line each, with its mark; some can be heard."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.properties import BooleanProperty, ListProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from audio.score import Score
from quizzes.explanation import Finding
from screens import theme
from screens.look import load_kv
from screens.widgets import Column, Touchable


class FindingRow(Touchable, BoxLayout):
    """One finding: the shape of its mark, its words, and a triangle where it can be heard."""

    text = StringProperty("")
    kind = StringProperty("")
    plays = BooleanProperty(False)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.can_focus, self.disabled = self.plays, not self.plays
        self._repaint()

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        """A plate where it can be heard; else words alone."""
        if not self.plays:
            return theme.CLEAR, theme.CLEAR, theme.INK
        if self.state == "down":
            return theme.BRASS_TOUCHED, theme.BRASS_TOUCHED, theme.ON_BRASS
        return theme.RAISED, theme.BRASS_DIM, theme.INK


class FindingRows(Column):
    """All `findings`, in their order; `on_hear` is sent with the cue of one."""

    __events__ = ("on_hear",)

    findings: Sequence[Finding] = ListProperty()

    def on_findings(self, *_: Any) -> None:
        """Show these."""
        self.clear_widgets()
        for found in self.findings:
            row = FindingRow(text=found.text, kind=found.mark, plays=found.cue is not None)
            if found.cue is not None:
                row.bind(on_release=lambda _, cue=found.cue: self.dispatch("on_hear", cue))
            self.add_widget(row)

    def on_hear(self, cue: Score) -> None:
        """What was found is to be heard."""


load_kv("findings")
