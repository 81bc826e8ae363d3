"""Settles what Kivy must know before it is first imported."""

from __future__ import annotations

import atexit
import gc
import logging
import os
import shutil
import sys
import tempfile
from pathlib import Path

from screens import theme

NEEDLESS = "Cutbuffer"
"""Where no program hands on what is marked with the mouse, nothing is lost."""


def prepare(folder: Path) -> None:
    """Set Kivy up, unless its window is there already.

    Kivy keeps its own files under `folder`, leaves the command line alone, writes no log files,
    does not quit on Escape, and draws no red dots for a right click.
    """
    if "kivy.core.window" in sys.modules:
        return
    os.environ.setdefault("KIVY_HOME", str(folder / "kivy"))
    try:
        Path(os.environ["KIVY_HOME"]).mkdir(parents=True, exist_ok=True)
    except OSError:  # what is wrong with the folder is told in the window, which needs this
        os.environ["KIVY_HOME"] = home = tempfile.mkdtemp(prefix="kaan-kivy-")
        atexit.register(shutil.rmtree, home, ignore_errors=True)
    os.environ.setdefault("KIVY_NO_ARGS", "1")
    os.environ.setdefault("KIVY_NO_FILELOG", "1")
    os.environ.setdefault("KIVY_LOG_MODE", "PYTHON")  # quiet, but tracebacks are seen
    logging.getLogger("kivy").addFilter(_is_ours)
    from kivy.config import Config

    Config.set("kivy", "exit_on_escape", "0")
    Config.set("input", "mouse", "mouse,disable_multitouch")
    for side in ("minimum_width", "minimum_height"):
        Config.set("graphics", side, str(theme.LEAST_SIDE))
    Config.set("graphics", "width", "1120")
    Config.set("graphics", "height", "760")
    Config.set("graphics", "multisamples", "4")


_YOUNG = 700, 10, 1_000_000_000
"""As Python has it, but what has outlived two looks is looked through by `sweep` alone."""


def settle() -> None:
    """Look for garbage from now on, if that was put off, but never among what is there by now."""
    if not gc.isenabled():
        gc.freeze()
        gc.enable()
        gc.set_threshold(*_YOUNG)


def sweep(*, keep: bool) -> None:
    """Look for garbage among all that came since the last sweep that was to `keep` what is there,
    as screens are; it takes as long as a frame or two. Python would do it at any moment, as in the
    midst of a slide along the string."""
    if gc.get_threshold() == _YOUNG:
        gc.collect()
        if keep:
            gc.freeze()


def unsettle() -> None:
    """What was kept is thrown away now: look through all of it at the next sweep."""
    if gc.get_threshold() == _YOUNG:
        gc.unfreeze()


def _is_ours(record: logging.LogRecord) -> bool:
    """Keep Kivy's own chatter from the terminal; what ends the program is an exception, not this.

    What a student has to know, such as that no sound device was found, the screens say.
    """
    return record.levelno >= logging.CRITICAL and not record.getMessage().startswith(NEEDLESS)
