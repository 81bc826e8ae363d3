"""In the settings: one's own answers leave in one file, and come in from another device."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from concurrent.futures import Future
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, ObjectProperty, StringProperty

from practice import Practice, PracticeError
from practice.log_files import HandedOver, hand_over_log, log_file_name
from scheduler import SchedulerError
from screens.arriving_log import answers_words
from screens.drawn import shortened
from screens.look import load_kv
from screens.on_thread import OnThread
from screens.page_screen import WRITING
from screens.roll import Roll
from screens.share_sheet import can_share, share
from screens.widgets import Column
from words import say, to_say

SHARED = to_say(
    "Handed to the program that you have chosen. A copy stays among the files of this device that "
    "other programs may read; delete it there if you like."
)
_PREFIX = "kaan-handed-over-"


class OwnAnswers(Column):
    """`choose_folder` lets a folder be chosen for a file of a name, into which `write` then writes;
    `on_bring` lets a file be chosen that is brought in."""

    __events__ = ("on_bring",)

    practice: Practice = ObjectProperty(None)
    choose_folder: Callable[[Callable[[Path], None], str], None] = ObjectProperty(None)
    said = StringProperty("")
    """What is to be said in passing, by the screen that this stands on."""
    trouble = StringProperty("")
    busy = BooleanProperty(False)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._on_thread = OnThread()
        self.fbind("trouble", lambda *_: Clock.schedule_once(lambda _: self._bring_up(), 0))

    def _bring_up(self) -> None:
        """What is said stands at the foot of what rolls, as likely as not."""
        roll = next((part for part in self.walk_reverse() if isinstance(part, Roll)), None)
        if roll is not None:
            roll.scroll_to(self, animate=False)

    def hand_over(self) -> None:
        """To where the share sheet says, or into a folder that is chosen."""
        if self.busy:
            return
        name = log_file_name(self.practice.settings, datetime.now(UTC))
        if can_share():
            _sweep()
            self._write(Path(tempfile.mkdtemp(prefix=_PREFIX)) / name, self._share)
        else:
            self.choose_folder(lambda folder: self._write(folder, self._tell), name)

    def _write(self, to: Path, then: Callable[[HandedOver], None]) -> None:
        self.said, self.trouble, self.busy = say(WRITING), "", True
        work = partial(hand_over_log, self.practice.folder, to, datetime.now(UTC))
        self._on_thread.do(work, partial(self._written, then))

    def _written(self, then: Callable[[HandedOver], None], coming: Future[HandedOver]) -> None:
        self.said, self.busy = "", False
        try:
            then(coming.result())
        except (PracticeError, SchedulerError, OSError) as error:
            self.trouble = shortened(str(error))
        finally:
            _sweep()

    def let_go(self) -> None:
        """What is being written is not handed on any more: somebody else may practise then."""
        self._on_thread.leave()
        _sweep()

    def _tell(self, handed: HandedOver) -> None:
        self.said = say(
            "{answers}. Give this file to your teacher, or bring it in on your other device: "
            "{file}",
            answers=answers_words(handed.answers),
            file=shortened(str(handed.path)),
        )

    def _share(self, handed: HandedOver) -> None:
        """Other programs are given a copy."""
        share(handed.path)
        self.said = say(SHARED)

    def on_bring(self) -> None:
        """A file of answers is to be brought in."""


def _sweep() -> None:
    """Remove what was written to be shared, though the program was ended meanwhile."""
    for left in Path(tempfile.gettempdir()).glob(f"{_PREFIX}*"):
        shutil.rmtree(left, ignore_errors=True)


load_kv("own_answers")
