"""All students of this device, opened one after the other, for the class page."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

from practice.errors import SettingsError
from practice.given import Given, given_in
from practice.pages.class_page import ClassPage, Unread, class_page
from practice.shelf import Shelf
from practice.standing import LOG_NAME, Standing, Taken, standing_in
from practice.students import Students
from scheduler import LogError
from words import in_english

OnEach = Callable[[str, int, int], None]
"""Told whose answers are read next, how many were read and how many there are."""


@in_english()
def whole_class(
    home: Path,
    now: datetime,
    *,
    given: Given | None = None,
    on_each: OnEach = lambda name, at, count: None,
) -> ClassPage:
    """The class page of all who practise in `home`; takes a while where there are many. One whose
    log cannot be read is on it with what is wrong; a device's first student, who may be the
    teacher, is not as long as there is no answer."""
    if given is None:
        given, _ = given_in(Shelf(home))
    return class_page(_each(home, now, given, on_each), now.astimezone())


def _each(home: Path, now: datetime, given: Given, on_each: OnEach) -> Iterator[Standing | Unread]:
    students = Students(home).all()
    taken: Taken = {}
    for at, known in enumerate(students):
        on_each(known.words, at, len(students))
        if known.trouble or not (known.folder / LOG_NAME).exists():
            if known.trouble or known.folder != home:
                yield Unread(known.id, known.words, known.trouble)
            continue
        try:
            with standing_in(known.folder, now, home=home, given=given, taken=taken) as standing:
                if standing.history.days or known.folder != home:
                    yield standing
        except (LogError, SettingsError, OSError) as error:
            yield Unread(known.id, known.words, str(error))
