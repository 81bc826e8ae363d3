"""Handing a file to other programs by a tablet's own share sheet, where there is one."""

from __future__ import annotations

import importlib
import importlib.util
from pathlib import Path

from kivy.utils import platform

LIBRARY = "androidstorage4kivy"
"""There on Android alone."""


def can_share() -> bool:
    """Whether this device has a share sheet that can be opened."""
    return platform == "android" and importlib.util.find_spec(LIBRARY) is not None


def share(path: Path) -> None:
    """Let it be chosen where a copy of the file goes; that copy stays among the device's shared
    files, where other programs may read it. Raises OSError where that fails."""
    try:
        library = importlib.import_module(LIBRARY)
        shared = library.SharedStorage().copy_to_shared(str(path))
        if shared is None:
            raise OSError("it could not be copied to where other programs may read")
        library.ShareSheet().share_file(shared)
    except OSError:
        raise
    except Exception as error:  # Java's own come through as they are
        raise OSError(f"{path.name} could not be shared ({error})") from error
