"""Choosing a file, or a folder to write one into: Kivy's own way of listing, on our plates."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

from kivy.properties import BooleanProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.filechooser import FileChooserController
from kivy.uix.widget import Widget

from screens import theme
from screens.keys import KaanScreen, focus_on
from screens.look import load_kv
from screens.widgets import Touchable
from words import say, to_say

UP = to_say("Up to {folder}")


class FilePlate(Touchable, BoxLayout):
    """A file, a folder, or the way up, in a list."""

    text = StringProperty("")
    size_words = StringProperty("")
    is_folder = BooleanProperty(False)
    path = StringProperty("")
    selected = BooleanProperty(False)
    """Asked for by what lists it."""
    locked = BooleanProperty(False)
    """A folder that may not be looked into."""

    def on_locked(self, *_: Any) -> None:
        self.disabled = self.locked

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        if self.disabled or self.state == "down":
            return super().paint()
        return theme.CLEAR, theme.CLEAR, theme.BRASS if self.is_folder else theme.INK


class Files(FileChooserController):
    """Lists a folder into `column`; folders are opened, a file is handed to `taker`."""

    column = ObjectProperty(None)
    taker = ObjectProperty(None)

    def _create_entry_widget(self, ctx: dict[str, Any]) -> FilePlate:
        folder = bool(ctx["isdir"])
        is_up = ctx["path"].startswith("..") or ctx["name"].startswith("..")
        name = ctx["name"]
        if is_up:
            above = Path(self.path).resolve().parent
            name = say(UP, folder=above.name or above)
        plate = FilePlate(
            text=name,
            is_folder=folder,
            path=ctx["path"],
            size_words="" if folder else self.get_nice_size(ctx["path"]),
        )
        plate.bind(on_release=self._touched)
        return plate

    def _touched(self, plate: FilePlate) -> None:
        if plate.is_folder:
            self.open_entry(plate)
        elif self.taker is not None:
            self.taker(Path(plate.path))

    def on_entry_added(self, node: FilePlate, parent: Any = None) -> None:
        self.column.add_widget(node)

    def on_entries_cleared(self) -> None:
        self.column.clear_widgets()

    def _show_progress(self) -> None:
        """A list of a folder comes soon enough without a word."""
        self._progress: _Unseen | None = _Unseen()

    def _hide_progress(self) -> None:
        self._progress = None


class _Unseen:
    """Takes what a sign of progress would be told."""

    total = index = 0


class ChooserScreen(KaanScreen):
    """Opened by `choose_file` or `choose_folder`; what was chosen is handed on once."""

    title = StringProperty("")
    hint = StringProperty("")
    folder = StringProperty("")
    accept = StringProperty("")
    """What the plate that takes the folder on view says; "" where a file is wanted."""
    none = BooleanProperty(False)
    """Whether nothing of the kind wanted lies in the folder."""

    def __init__(self, *, at: Path | None = None, **kwargs: Any) -> None:
        self._on_chosen: Callable[[Path], None] | None = None
        self._on_close: Callable[[], None] = lambda: None
        super().__init__(**kwargs)
        self.files = Files(column=self.ids.column, taker=self._chosen, path=str(at or _home()))
        self.files.bind(path=self._at, files=self._at)

    def choose_file(
        self,
        title: str,
        endings: tuple[str, ...],
        *,
        on_chosen: Callable[[Path], None],
        on_close: Callable[[], None],
    ) -> None:
        """Let a file that ends in one of `endings`, such as ".toml", be chosen."""
        self.accept, self.title = "", title
        self.hint = say("Files that end in {endings}.", endings=", ".join(endings))
        self._open(lambda _, name: name.lower().endswith(endings), on_chosen, on_close)

    def choose_folder(
        self,
        title: str,
        accept: str,
        *,
        on_chosen: Callable[[Path], None],
        on_close: Callable[[], None],
    ) -> None:
        """Let a folder be chosen; `accept` is what the plate says that takes the one on view."""
        self.accept, self.title, self.hint = accept, title, ""
        self._open(lambda *_: False, on_chosen, on_close)

    def _open(
        self,
        wanted: Callable[[str, str], bool],
        on_chosen: Callable[[Path], None],
        on_close: Callable[[], None],
    ) -> None:
        self._on_chosen, self._on_close = on_chosen, on_close
        self.files.filters = [wanted]
        if not os.path.isdir(self.files.path):  # also where it may not be looked into any more
            self.files.path = str(_home())
        self.files._trigger_update()  # files may have come since
        self._at()

    def _at(self, *_: Any) -> None:
        self.folder = self.files.path
        plates = self.ids.column.children
        self.none = not self.accept and all(plate.is_folder for plate in plates)
        self.ids.roll.scroll_y = 1.0
        focus_on(self, None)

    def _chosen(self, path: Path) -> None:
        chosen, self._on_chosen = self._on_chosen, None
        if chosen is not None:
            chosen(path)

    def take_folder(self) -> None:
        """Take the folder on view."""
        self._chosen(Path(self.files.path))

    def home(self) -> None:
        """Show the user's own folder."""
        self.files.path = str(_home())

    def back(self) -> None:
        self._on_chosen = None
        self._on_close()

    def main_thing(self) -> Widget | None:
        return self.ids.accept if self.accept else None


def _home() -> Path:
    home = Path.home()
    return home if home.is_dir() else Path.cwd()


load_kv("chooser")
