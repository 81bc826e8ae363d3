"""A list from which things can be removed; the last one can be put back, till it is left."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any, Protocol

from kivy.properties import StringProperty
from kivy.uix.widget import Widget

from practice import PracticeError
from screens.key_words import Said, undo_keys
from screens.keys import KaanScreen
from words import say


class Gone(Protocol):
    """What was removed, and is kept aside."""

    def put_back(self) -> None:
        """To where it was. Raises PracticeError and OSError."""

    def forget(self) -> None:
        """It is not wanted any more."""


class RemovingScreen(KaanScreen):
    """Its kv file has `new`, the plate that makes one more. A subclass lists all afresh in `show`,
    and says in `follow` what is done besides when one has gone or is back."""

    trouble = StringProperty("")
    removed = StringProperty("")
    """The name of what was removed last, while it can be put back."""

    def __init__(self, *, on_close: Callable[[], None], **kwargs: Any) -> None:
        self._on_close = on_close
        self._gone: Gone | None = None
        super().__init__(**kwargs)

    def show(self) -> None:
        """List all as it lies in the folder."""
        raise NotImplementedError

    def follow(self) -> None:
        """Let what is asked follow."""
        raise NotImplementedError

    def ask_to_remove(self, name: str, take_away: Callable[[], Gone]) -> None:
        """Ask, and then remove what is called so."""
        self.ask(
            say("Remove {name}?", name=name),
            say("What was answered stays in the log."),
            (say("Remove it"), partial(self.remove, name, take_away)),
            say("Keep it"),
        )

    def remove(self, name: str, take_away: Callable[[], Gone]) -> None:
        """Remove what is called so; `take_away` does that, and may raise PracticeError or
        OSError."""
        try:
            gone = take_away()
        except (PracticeError, OSError) as error:
            self.trouble = str(error)
            return
        self._forget()
        self._gone, self.removed = gone, name
        self.follow()
        self.show()

    def put_back(self) -> None:
        """Put back what was removed last."""
        if self._gone is None:
            return
        try:
            self._gone.put_back()
        except (PracticeError, OSError) as error:
            self.trouble = str(error)
            return
        self._forget()
        self.follow()
        self.show()

    def _forget(self) -> None:
        if self._gone is not None:
            self._gone.forget()
        self._gone, self.removed = None, ""

    def on_leave(self, *_: Any) -> None:
        """What was removed is gone for good once another screen was seen."""
        self._forget()

    def back(self) -> None:
        self._on_close()

    def take_shortcut(self, name: str) -> bool:
        if name != "z" or self._gone is None:
            return False
        self.put_back()
        return True

    def keys_said(self) -> Sequence[Said]:
        return undo_keys()[:1] if self._gone is not None else ()

    def main_thing(self) -> Widget | None:
        return self.ids.new
