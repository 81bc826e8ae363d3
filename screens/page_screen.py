"""A screen with a page on view that can be written as PDF or as a picture, or shared."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from concurrent.futures import Future
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Any

from kivy.properties import BooleanProperty, StringProperty

from practice.pages.sheets import Paper
from practice.pages.writing import files_of, paper_name, write_paper
from screens.handing import free_path
from screens.keys import KaanScreen
from screens.on_thread import OnThread
from screens.share_sheet import can_share, share

OnFolder = Callable[[Callable[[Path], None], str], None]
"""Lets a folder be chosen for a file of a name, and hands it on."""
WRITING = "Being written …"


@dataclass(frozen=True, slots=True)
class OnPaper:
    """What is to be written, whose name its file bears, and when it was made."""

    name: str
    paper: Paper
    made: datetime


class PageScreen(KaanScreen):
    """`on_folder` lets it be chosen where to a page is written; `on_close` is called to go back."""

    done = StringProperty("")
    trouble = StringProperty("")
    busy = BooleanProperty(False)
    """Whether a file is being written."""

    def __init__(self, *, on_folder: OnFolder, on_close: Callable[[], None], **kwargs: Any) -> None:
        self._on_folder, self.on_close = on_folder, on_close
        self._writing = OnThread()
        self.is_choosing = False
        """Whether it is away only to let a folder be chosen."""
        super().__init__(**kwargs)

    def on_paper(self) -> OnPaper | None:
        """None while there is nothing yet."""
        raise NotImplementedError

    def write(self, ending: str) -> None:
        """To where the share sheet says, or into a folder that is chosen."""
        found = self.on_paper()
        if found is None or self.busy:
            return
        self.done = self.trouble = ""
        name = paper_name(found.name, found.made, ending)
        if can_share():
            folder = Path(tempfile.mkdtemp(prefix="kaan-page-"))
            self._write(found, folder / name, self._share)
        else:
            self.is_choosing = True
            self._on_folder(lambda folder: self._write(found, folder / name, self._tell), name)

    def _write(self, found: OnPaper, path: Path, then: Callable[[tuple[Path, ...]], None]) -> None:
        """On a thread: a tablet takes its time for it."""
        self.busy, self.done = True, WRITING
        free = free_path(path, partial(files_of, found.paper))
        work = partial(write_paper, found.paper, free, made=found.made)
        self._writing.do(work, partial(self._written, then))

    def _written(
        self, then: Callable[[tuple[Path, ...]], None], coming: Future[tuple[Path, ...]]
    ) -> None:
        self.busy, self.done = False, ""
        try:
            then(coming.result())
        except OSError as error:
            where = f"{error.filename}: " if error.filename else ""
            self.trouble = f"{where}{error.strerror or error}"

    def _tell(self, paths: tuple[Path, ...]) -> None:
        self.done = "Written: " + "\n".join(map(str, paths))

    def _share(self, paths: tuple[Path, ...]) -> None:
        """The sheet has copies of its own."""
        try:
            for path in paths:
                share(path)
        finally:
            with suppress(OSError):
                shutil.rmtree(paths[0].parent)

    def back(self) -> None:
        self.on_close()
