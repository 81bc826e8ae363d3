"""Whose settings and log lie in a folder; where the settings are lost, the log still tells."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from practice.settings import FILE_NAME, Settings, read_settings
from practice.small_files import table_in
from scheduler import Log, LogError

LOG_NAME = "log.sqlite"


def id_in_settings(folder: Path) -> str:
    """The id of the student whose settings are kept there; "" where they do not tell it."""
    try:
        told = table_in(folder / FILE_NAME).get("student_id")
    except (OSError, ValueError):
        return ""
    return told if isinstance(told, str) else ""


def id_in(folder: Path) -> str:
    """The id of the student whose folder it is; "" where neither settings nor log tell it."""
    return id_in_settings(folder) or _id_in_log(folder / LOG_NAME)


def settings_of(folder: Path) -> Settings:
    """The settings kept there, every value that fits; those of the student who has answered last
    where they do not tell whose they are. Raises SettingsError where they cannot be read at all."""
    settings, _ = read_settings(folder)
    return replace(settings, student_id=id_in(folder) or settings.student_id)


def _id_in_log(path: Path) -> str:
    if not path.is_file():
        return ""
    try:
        with Log.reading(path) as log:
            return log.last_student()
    except (LogError, OSError):
        return ""
