"""What goes with a student's answers from device to device: name, course, Sa, tuning, lesson.

All else in the settings belongs to a device, and stays there. Where a student practises elsewhere
only, as on a teacher's device, these settings follow what their files tell; what has been set here
stays until the student has set it anew.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

from audio.tuning import needs_no_file
from practice.called import LONGEST_NAME, can_be_seen, cleaned
from practice.errors import SettingsError
from practice.given import tuning_of
from practice.settings import Settings, save_settings
from practice.small_files import put_table, table_in
from practice.whose import settings_of
from scheduler.carrying import Carried

TAKEN_NAME = "taken.json"
"""Beside settings and log: what the last file told of the student."""
_TOLD = (
    "student_name",
    "course",
    "sa_hz",
    "tuning",
    "gap_names",
    "lesson_day",
    "lesson_date",
    "lesson_time",
    "lesson_ragas",
)


def told_of(settings: Settings) -> dict[str, Any]:
    """What a file is to tell of the student of these settings."""
    told = {name: getattr(settings, name) for name in _TOLD}
    tuning, trouble = tuning_of(settings.tuning)  # written out: another device has no such file
    if trouble:
        del told["tuning"]
    else:
        told["tuning"] = tuning
    return {**told, "device_id": settings.device_id}


def with_told(
    settings: Settings, about: Mapping[str, Any], before: Mapping[str, Any] | None = None
) -> Settings:
    """The settings with what a file tells otherwise than the one `before` it; what cannot be used
    stays as it is."""
    for name in _TOLD:
        value: Any = about.get(name)
        if value is None or (before is not None and before.get(name) == value):
            continue
        if name == "tuning" and not _is_tuning(value):
            continue
        if name == "student_name" and isinstance(value, str):
            seen = "".join(sign if can_be_seen(sign) else " " for sign in value)
            value = cleaned(seen)[:LONGEST_NAME]
        try:
            settings = replace(settings, **{name: value})
        except (SettingsError, TypeError):
            continue
    return settings


def _is_tuning(value: Any) -> bool:
    """Whether it is a tuning that is told without any file of this device's."""
    return isinstance(value, str) and needs_no_file(value) and not tuning_of(value)[1]


def take_told(carried: Carried, folder: Path, now: datetime) -> str:
    """Let the settings in `folder` follow a file; returns what is to be said where that fails."""
    if not carried.about:
        return ""
    try:
        settings = settings_of(folder)
        if settings.student_id != carried.student:
            return ""
        noted = _noted(folder)
        if noted is not None and carried.written < noted[0]:
            return ""  # an older file that came late
        changed = with_told(settings, carried.about, noted and noted[1])
        if changed != settings:
            save_settings(changed, folder)
        note_told(carried, folder, now)
    except (SettingsError, OSError) as error:
        return f"All answers were taken, but not the student's settings ({error})."
    return ""


def note_told(carried: Carried, folder: Path, now: datetime) -> None:
    """Remember what a file told, to see what the next tells otherwise. Raises OSError."""
    # A clock that was ahead for once shall not make all later files seem old.
    written = min(carried.written, now)
    told = {"written": written.isoformat(), "about": dict(carried.about)}
    put_table(folder / TAKEN_NAME, told)


def _noted(folder: Path) -> tuple[datetime, Mapping[str, Any]] | None:
    """When the last file was written and what it told; None where that is not known."""
    try:
        table = table_in(folder / TAKEN_NAME)
        written, about = datetime.fromisoformat(table["written"]), table["about"]
    except (ValueError, KeyError, TypeError):
        return None
    return (written, about) if written.tzinfo and isinstance(about, dict) else None
