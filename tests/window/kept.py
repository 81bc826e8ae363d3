"""Phrases in a student's log, as they are kept after an answer."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from practice.phrases import PHRASE
from scheduler import Note

WISH = "Make a phrase: begin on the swara that sounds, and end where the raga rests."


def noted(app: Any, line: str, *, raga: str = "yaman", minute: int = 0, wish: str = WISH) -> None:
    """One more, of whoever practises, kept in India at so many minutes after 17:30."""
    settings = app.practice.settings
    data = {"sargam": line, "sa_hz": 138.59, "tempo": 72.0, "tuning": "just"}
    data |= {"raga": raga, "wish": wish, "drone": "P"}
    at = round(datetime(2026, 11, 28, 12, minute, tzinfo=UTC).timestamp() * 1000)
    note = Note(
        uuid=f"phrase {minute}",
        student=settings.student_id,
        what=PHRASE,
        data=data,
        utc_ms=at,
        offset_min=330,
        device=settings.device_id,
    )
    app.practice._log.append_all([note])
