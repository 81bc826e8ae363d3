"""Keeps ALSA, Linux's lowest layer of sound, from printing pages when there is no sound card."""

from __future__ import annotations

import ctypes
import logging
import sys
from typing import Any

LOG = logging.getLogger(__name__)

_handler: Any = None  # ALSA keeps the address, so the handler must live as long as the process.


def hush_alsa() -> None:
    """Give ALSA a handler for its messages that drops them; nothing happens where it is absent."""
    global _handler
    if _handler is not None or not sys.platform.startswith("linux"):
        return
    kind = ctypes.CFUNCTYPE(
        None, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p
    )
    _handler = kind(lambda *_: None)
    try:
        ctypes.CDLL("libasound.so.2").snd_lib_error_set_handler(_handler)
    except (OSError, AttributeError):
        LOG.debug("no ALSA to hush")
