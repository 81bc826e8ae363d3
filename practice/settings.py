"""What a student has set: Sa, tuning, minutes, lesson, sound, look; one small JSON file.

A file that cannot be read is set aside under another name, never overwritten, and the student is
told; practice goes on with the usual settings.
"""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable
from dataclasses import asdict, dataclass, field, fields, replace
from datetime import date
from pathlib import Path
from typing import Any

from audio.tuning import SA_HZ_HIGHEST, SA_HZ_LOWEST, SITAR_SA_HZ
from practice.errors import SettingsError
from practice.small_files import put_table, set_aside, table_in
from words import LANGUAGES, LETTERS

FILE_NAME = "settings.json"
LEAST_MINUTES, MOST_MINUTES = 1, 60
MINUTE_CHOICES = (5, 10, 15, 20, 25, 30)
"""What the screens offer."""
LOWEST_VOLUME_DB, USUAL_VOLUME_DB = -40.0, -6.0
LEAST_LATENCY_MS, MOST_LATENCY_MS = -100.0, 800.0
"""A tap may come before the beat by habit; a wireless loudspeaker is late by half a second."""
SWARA_LETTERS = ("latin", *LETTERS)
TEXT_SIZES = ("usual", "large", "largest")
GAP_NAMES = ("swara", "size")
DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_RAGA = re.compile("[a-z][a-z0-9_]*")
_TIME = re.compile("([01][0-9]|2[0-3]):[0-5][0-9]")


@dataclass(frozen=True, slots=True)
class Settings:
    """Raises SettingsError for a value out of range."""

    student_id: str = field(default_factory=lambda: f"student-{secrets.token_hex(4)}")
    device_id: str = field(default_factory=lambda: f"device-{secrets.token_hex(4)}")
    student_name: str = ""
    course: str = "first-path"
    sa_hz: float = round(SITAR_SA_HZ, 2)
    tuning: str = "just"
    """"just", "equal", or the path of a Scala file."""
    gap_names: str = "swara"
    minutes: int = 15
    lesson_day: str = ""
    """The day of the week on which the student has a lesson; "" where there is none."""
    lesson_date: str = ""
    """The day, as in "2027-01-15", of a lesson out of turn, which is then the next one; "" for
    none. Once it is past it says nothing."""
    lesson_time: str = "17:30"
    """By the clock on the wall, from "00:00" to "23:59"."""
    lesson_ragas: tuple[str, ...] = ()
    """Ids of the ragas that the lesson is about, where it is known."""
    speaker: str = "auto"
    volume_db: float = USUAL_VOLUME_DB
    """Against full level; low at first, and never above 0."""
    body: bool = True
    """Whether the body of the sitar colours the playing string."""
    tarab: bool = False
    """Whether sympathetic strings ring along."""
    tap_latency_ms: float = 0.0
    """How late the device is from sound to touch, as the tap test has measured it."""
    language: str = "en"
    """The code of the language in which all is said."""
    letters: str = ""
    """In which letters swaras are read: "latin", "devanagari" or "bengali"; "" for those of the
    language."""
    text_size: str = "usual"
    high_contrast: bool = False
    still: bool = False
    """Whether nothing moves by itself but what shows time."""
    left_handed: bool = False
    cautions_seen: bool = False

    def __post_init__(self) -> None:
        for name, fits, remedy in _RULES:
            value = getattr(self, name)
            if not fits(value):
                raise SettingsError(f"{name}: {value!r} cannot be used; {remedy}")
        object.__setattr__(self, "lesson_ragas", tuple(self.lesson_ragas))  # JSON has lists


def _between(low: float, high: float) -> Callable[[Any], bool]:
    return lambda value: (
        isinstance(value, int | float) and not isinstance(value, bool) and low <= value <= high
    )


def _is_text(value: Any) -> bool:
    return isinstance(value, str)


def _is_named(value: Any) -> bool:
    return isinstance(value, str) and bool(value.strip())


def _is_switch(value: Any) -> bool:
    return isinstance(value, bool)


def _is_time(value: Any) -> bool:
    return isinstance(value, str) and _TIME.fullmatch(value) is not None


def _is_date(value: Any) -> bool:
    try:
        return bool(value == "" or date.fromisoformat(value).isoformat() == value)
    except (TypeError, ValueError):
        return False


def _are_ragas(value: Any) -> bool:
    return (
        isinstance(value, list | tuple)
        and all(isinstance(raga, str) and _RAGA.fullmatch(raga) for raga in value)
        and len(set(value)) == len(value)
    )


_RULES: tuple[tuple[str, Callable[[Any], bool], str], ...] = (
    ("student_id", _is_named, "give a text that is not empty"),
    ("device_id", _is_named, "give a text that is not empty"),
    ("student_name", _is_text, "give a text"),
    ("course", _is_named, "give the name of a course"),
    (
        "sa_hz",
        _between(SA_HZ_LOWEST, SA_HZ_HIGHEST),
        f"give a number of hertz from {SA_HZ_LOWEST:g} to {SA_HZ_HIGHEST:g}",
    ),
    ("tuning", _is_named, "give just, equal or the path of a .scl file"),
    ("gap_names", lambda v: v in GAP_NAMES, f"give one of {', '.join(GAP_NAMES)}"),
    (
        "minutes",
        lambda v: isinstance(v, int) and _between(LEAST_MINUTES, MOST_MINUTES)(v),
        f"give a whole number from {LEAST_MINUTES} to {MOST_MINUTES}",
    ),
    (
        "lesson_day",
        lambda v: v == "" or v in DAYS,
        f"give one of {', '.join(DAYS)}, or an empty text for none",
    ),
    (
        "lesson_date",
        _is_date,
        'give a day as in "2027-01-15", or an empty text for none',
    ),
    ("lesson_time", _is_time, 'give hours and minutes, from "00:00" to "23:59"'),
    (
        "lesson_ragas",
        _are_ragas,
        "give a list of the ids of ragas, each once, as `main.py raga` lists them",
    ),
    ("speaker", _is_named, "give auto or the name of a speaker"),
    (
        "volume_db",
        _between(LOWEST_VOLUME_DB, 0.0),
        f"give decibels from {LOWEST_VOLUME_DB:g} to 0",
    ),
    ("body", _is_switch, "give true or false"),
    ("tarab", _is_switch, "give true or false"),
    (
        "tap_latency_ms",
        _between(LEAST_LATENCY_MS, MOST_LATENCY_MS),
        f"give milliseconds from {LEAST_LATENCY_MS:g} to {MOST_LATENCY_MS:g}",
    ),
    ("language", lambda v: v in tuple(LANGUAGES), f"give one of {', '.join(LANGUAGES)}"),
    (
        "letters",
        lambda v: v == "" or v in SWARA_LETTERS,
        f"give one of {', '.join(SWARA_LETTERS)}, or an empty text for those of the language",
    ),
    ("high_contrast", _is_switch, "give true or false"),
    ("still", _is_switch, "give true or false"),
    ("text_size", lambda v: v in TEXT_SIZES, f"give one of {', '.join(TEXT_SIZES)}"),
    ("left_handed", _is_switch, "give true or false"),
    ("cautions_seen", _is_switch, "give true or false"),
)


def read_settings(folder: Path) -> tuple[Settings, tuple[str, ...]]:
    """The settings kept in `folder`, every value that fits, and what is wrong with the others; the
    file is left as it is. Raises SettingsError where it cannot be read at all."""
    path = folder / FILE_NAME
    if not path.exists():
        return Settings(), ()
    try:
        data = table_in(path)
    except (OSError, ValueError) as error:
        raise SettingsError(str(error)) from error
    told = {known.name: data[known.name] for known in fields(Settings) if known.name in data}
    try:
        return Settings(**told), ()
    except SettingsError:
        settings, faults = Settings(), []
    for name, value in told.items():
        try:
            settings = replace(settings, **{name: value})
        except SettingsError as error:
            faults.append(str(error))
    return settings, tuple(faults)


def load_settings(folder: Path) -> tuple[Settings, str | None]:
    """The settings kept in `folder`, and what had to be mended, in plain words, or None; a file
    that is not whole is set aside."""
    path = folder / FILE_NAME
    try:
        settings, faults = read_settings(folder)
    except SettingsError as error:
        aside = set_aside(path)
        return Settings(), (
            f"The settings in {path} could not be read ({error}). The file is kept as "
            f"{aside.name}; the usual settings are in use. Set your Sa again."
        )
    if not faults:
        return settings, None
    aside = set_aside(path)
    return settings, (
        f"In {path}: {'; '.join(faults)}. The usual value is in use; the file as it was is kept "
        f"as {aside.name}."
    )


def save_settings(settings: Settings, folder: Path) -> None:
    """Write the settings so that a power cut leaves the old file or the new one, whole.

    Raises SettingsError when they cannot be written.
    """
    path = folder / FILE_NAME
    try:
        put_table(path, asdict(settings))
    except OSError as error:
        raise SettingsError(
            f"{path} could not be written ({error.strerror or error}); see that there is room and "
            "that the folder may be written to, then set it again"
        ) from error
