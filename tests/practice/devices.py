"""Devices with a folder of their own each, and answers that are given on them."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from practice.settings import Settings, save_settings
from practice.standing import LOG_NAME
from practice.students import Students
from practice.syncing import keep_in_step, look_around
from scheduler import Log, Note
from scheduler.answer import milliseconds_of
from tests.taken import row

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


class Device:
    """One with a first student; `off` is how far its clock is from the others'."""

    def __init__(self, home: Path, student="mira", name="Mira", *, off=timedelta()):
        self.home, self.now = home, NOON + off
        self.name = home.name
        settings = Settings(student_id=student, device_id=self.name, student_name=name)
        save_settings(settings, home)

    def keep(self, folder: Path, **more):
        folder.mkdir(parents=True, exist_ok=True)
        keep_in_step(self.home, folder, **more)
        return self

    def add(self, student: str, name: str) -> Path:
        """Another student of this device."""
        folder = self.home / "students" / student
        save_settings(Settings(student_id=student, device_id=self.name, student_name=name), folder)
        return folder

    def answer(self, many=1, student="mira", **more) -> set[str]:
        """Answers given on this device; their uuids."""
        rows = []
        for number in range(many):
            self.now += timedelta(seconds=20)
            answer = row("swara:R", "R", "R", at=self.now, number=number, student=student)
            rows.append(replace(answer, device=self.name, **more))
        with Log(self.folder_of(student) / LOG_NAME) as log:
            log.append_all(rows)
        return {row.uuid for row in rows}

    def note(self, many=1, student="mira") -> set[str]:
        """Notes made on this device, beside answers or without any; their uuids."""
        rows = []
        for number in range(many):
            self.now += timedelta(seconds=20)
            data = {"key": f"three {number}", "said": "given", "tempo": 0.0, "detail": {}}
            said = {"what": "palta", "data": data, "utc_ms": milliseconds_of(self.now)}
            rows.append(Note(student=student, offset_min=0, device=self.name, **said))
        with Log(self.folder_of(student) / LOG_NAME) as log:
            log.append_all(rows)
        return {row.uuid for row in rows}

    def leave_out(self, session: str, student="mira"):
        with Log(self.folder_of(student) / LOG_NAME) as log:
            log.leave_out(session, student=student, device=self.name, utc=self.now)

    def folder_of(self, student: str) -> Path:
        return next(s.folder for s in Students(self.home).all() if s.id == student)

    def look(self, **more):
        """Look into the folder; what came of it, which is well unless it is asked for."""
        return look_around(self.home, self.now, **more)

    def has(self, student="mira") -> list[str]:
        """The uuids of the student's answers here, in order."""
        path = self.folder_of(student) / LOG_NAME
        if not path.exists():
            return []
        with Log.reading(path) as log:
            return [each.uuid for each in log.answers(student)]

    def has_noted(self, student="mira") -> list[str]:
        """The uuids of what is noted of the student here, in order."""
        path = self.folder_of(student) / LOG_NAME
        if not path.exists():
            return []
        with Log.reading(path) as log:
            return [each.uuid for each in log.notes(student)]


def files_in(folder: Path) -> list[str]:
    """All that lies in a folder, hidden or not, by path."""
    return sorted(
        path.relative_to(folder).as_posix() for path in folder.rglob("*") if not path.is_dir()
    )
