"""A screen with a page that is read on a thread, put on view, and written as PDF or as a picture,
or shared."""

from __future__ import annotations

import errno
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

from kivy.properties import BooleanProperty, ObjectProperty, StringProperty
from kivy.uix.widget import Widget

from practice import Practice, PracticeError
from practice.pages.sheets import Paper
from practice.pages.writing import files_of, paper_name, write_paper
from scheduler import SchedulerError
from screens.filling import Filling
from screens.handing import free_path
from screens.keys import KaanScreen
from screens.on_thread import OnThread
from screens.share_sheet import can_share, share
from words import language, say, to_say

OnFolder = Callable[[Callable[[Path], None], str], None]
"""Lets a folder be chosen for a file of a name, and hands it on."""
WRITING = to_say("Being written …")
IN_ENGLISH = to_say("This page is in English, as it is printed for your teacher.")
"""Of pages that are read in another language."""


@dataclass(frozen=True, slots=True)
class OnPaper:
    """What is to be written, whose name its file bears, and when it was made."""

    name: str
    paper: Paper
    made: datetime


class PageScreen(KaanScreen):
    """`on_folder` lets it be chosen where to a page is written; `on_close` is called to go back."""

    page: Any = ObjectProperty(None, allownone=True)
    looking = StringProperty("")
    """What is said while the answers are read."""
    done = StringProperty("")
    trouble = StringProperty("")
    of_sheet = StringProperty("")
    """In which language it is, where that is not the student's."""
    busy = BooleanProperty(False)
    """Whether a file is being written."""

    def __init__(
        self,
        practice: Practice,
        *,
        on_folder: OnFolder,
        on_close: Callable[[], None],
        **kwargs: Any,
    ) -> None:
        self.practice, self._on_folder, self.on_close = practice, on_folder, on_close
        self._reading, self._writing, self._filling = OnThread(), OnThread(), Filling()
        self.is_choosing = False
        """Whether it is away only to let a folder be chosen, or to show what the page leads to."""
        self._away_at = ""
        """Where it then is."""
        of_sheet = "" if language() == "en" else say(IN_ENGLISH)
        super().__init__(of_sheet=of_sheet, **kwargs)

    def be_away(self, go: Callable[[], None]) -> None:
        """Leave for another screen; who comes back from there, and from no other, finds all as it
        was."""
        self.is_choosing, self._away_at = True, ""
        self.manager.bind(current=self._on_way)
        go()

    def _on_way(self, _: Widget, name: str) -> None:
        self._away_at = self._away_at or name
        if self.is_choosing and name not in (self.name, self._away_at):
            self.is_choosing = False
            self.be_left()

    def be_left(self) -> None:
        """Called when it was left for good."""

    def begin(self) -> str:
        """Called on the window's thread before it is read; gives what is said meanwhile."""
        raise NotImplementedError

    def read(self) -> Any:
        """The page; on a thread. May raise PracticeError, SchedulerError or OSError."""
        raise NotImplementedError

    def on_pre_enter(self, *_: Any) -> None:
        """Read afresh, but for who comes back."""
        if self.manager is not None:
            self.manager.unbind(current=self._on_way)
        if self.is_choosing:
            self.is_choosing = False
            return
        self.done = self.trouble = ""
        self.page = None
        self.ids.roll.to_top()
        self.looking = self.begin()
        self._reading.do(self.read, self._show)

    def on_leave(self, *_: Any) -> None:
        """Nothing is read any more."""
        self._reading.leave()
        if not self.is_choosing:
            self.be_left()

    def let_go(self) -> None:
        self._reading.leave()
        self._filling.leave()

    @property
    def waiting(self) -> bool:
        """Whether it is still being read, or rows are missing."""
        return bool(self.looking or self._filling.is_going_on)

    def _show(self, coming: Future[Any]) -> None:
        self.looking = ""
        try:
            self.page = coming.result()
        except (PracticeError, SchedulerError, OSError) as error:
            self.trouble = str(error)

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
            self.be_away(
                lambda: self._on_folder(
                    lambda folder: self._write(found, folder / name, self._tell), name
                )
            )

    def _write(self, found: OnPaper, path: Path, then: Callable[[tuple[Path, ...]], None]) -> None:
        """On a thread: a tablet takes its time for it."""
        self.busy, self.done = True, say(WRITING)
        free = free_path(path, partial(files_of, found.paper))
        work = partial(write_paper, found.paper, free, made=found.made)
        self._writing.do(work, partial(self._written, then))

    def _written(
        self, then: Callable[[tuple[Path, ...]], None], coming: Future[tuple[Path, ...]]
    ) -> None:
        self.busy, self.done = False, ""
        try:
            then(coming.result())
        except PracticeError as error:
            self.trouble = str(error)
        except OSError as error:
            where = f"{error.filename}: " if error.filename else ""
            remedy = (
                say("make room, or choose another folder")
                if error.errno == errno.ENOSPC
                else say("choose another folder")
            )
            self.trouble = f"{where}{error.strerror or error}: {remedy}"

    def _tell(self, paths: tuple[Path, ...]) -> None:
        self.done = say("Written: {files}", files="\n".join(map(str, paths)))

    def _share(self, paths: tuple[Path, ...]) -> None:
        """The sheet has copies of its own."""
        try:
            for path in paths:
                share(path)
        finally:
            with suppress(OSError):
                shutil.rmtree(paths[0].parent)

    def main_thing(self) -> Widget | None:
        return self.ids.pdf

    def back(self) -> None:
        self.on_close()
