"""What is set for this device, whoever practises on it, in one small JSON file: the folder in step.

It lies in the folder that all students of the device share. Reading never changes it; names that
are not known here stay in it, and one that cannot be read is set aside before another is written.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, fields, replace
from pathlib import Path

from practice.errors import SettingsError
from practice.small_files import put_table, set_aside, table_in

FILE_NAME = "device.json"


@dataclass(frozen=True, slots=True)
class Device:
    """Raises SettingsError for a value that cannot be used."""

    sync_folder: str = ""
    """The path of the folder kept in step; "" where there is none."""
    takes_all: bool = False
    """Whether students who are not on this device yet are taken in from there, as a teacher wants
    it; else only those are who practise here."""

    def __post_init__(self) -> None:
        if not isinstance(self.sync_folder, str) or "\0" in self.sync_folder:
            raise SettingsError(
                f"sync_folder: {self.sync_folder!r} cannot be used; give the path of a folder, or "
                "an empty text for none"
            )
        if not isinstance(self.takes_all, bool):
            raise SettingsError(f"takes_all: {self.takes_all!r} cannot be used; give true or false")


def load_device(home: Path) -> tuple[Device, str | None]:
    """What is set for the device, and what of it cannot be used, in plain words, or None."""
    path = home / FILE_NAME
    try:
        table = table_in(path)
    except (OSError, ValueError) as error:
        return Device(), (
            f"{path} could not be read ({error}), so no folder is kept in step. Choose it again "
            "in the settings; the file as it is will be kept beside."
        )
    device, faults = Device(), []
    for known in fields(Device):
        if known.name in table:
            try:
                device = replace(device, **{known.name: table[known.name]})
            except SettingsError as error:
                faults.append(str(error))
    if not faults:
        return device, None
    return device, f"In {path}: {'; '.join(faults)}. The usual value is in use."


def save_device(device: Device, home: Path) -> None:
    """Keep it. Raises SettingsError when it cannot be written."""
    path = home / FILE_NAME
    try:
        try:
            table = table_in(path)
        except ValueError:
            set_aside(path)
            table = {}
        put_table(path, table | asdict(device))
    except OSError as error:
        raise SettingsError(
            f"{path} could not be written ({error.strerror or error}); see that there is room and "
            "that the folder may be written to, then set it again"
        ) from error
