"""A question of a deck as a student will see it: asked on the drill, and kept nowhere."""

from __future__ import annotations

from typing import Any

from kivy.properties import StringProperty

from screens.drill import DrillScreen
from screens.drill_parts import AnsweredActions, NewWords, Part
from screens.look import load_kv
from words import say


class PreviewNewWords(NewWords):
    """The answer is shown first, and why that is so."""


class PreviewAnsweredActions(AnsweredActions):
    """Listen again, be asked again, or go back to the form."""

    onward_words = StringProperty("")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **{"onward_words": say("Back to the form"), **kwargs})

    def go_on(self) -> None:
        """Back to the form."""
        self.screen.finish()


INSTEAD: dict[type[Part], type[Part]] = {
    NewWords: PreviewNewWords,
    AnsweredActions: PreviewAnsweredActions,
}
"""What stands here in place of a part of the drill."""


class PreviewScreen(DrillScreen):
    """`on_done` leads back to the form, whatever was answered."""

    def parts(self) -> tuple[type[Part], type[Part] | None]:
        words, actions = super().parts()
        return INSTEAD.get(words, words), actions and INSTEAD.get(actions, actions)

    def leave(self) -> None:
        """Straight back: there is nothing that could be lost."""
        self.finish()

    def let_go(self) -> None:
        session = self.drop()
        if session is not None:
            session.end()

    def _tick(self, *_: Any) -> None:
        super()._tick()
        self.time_part, self.time_text = 0.0, say("Preview")


load_kv("preview")
