"""The pages on students in the window: one's own, the class, and writing them."""

import errno
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from practice import Practice
from practice.students import Students
from tests.practice.answering import Made, answers
from tests.window.hands import frames, key, tab_to, touch, wait_for
from tests.window.written_in import press

pytestmark = pytest.mark.window

CONFUSED = Made(taken={("swara:", "G"): ("g", 0.8)}, days=(1, 2, 4))


def practise(practice, count):
    """So many answers up to yesterday."""
    items = tuple(item for item in practice.standing().items if item.kind == "swara")[:8]
    now = datetime.now().astimezone() - timedelta(hours=1)
    student = practice.settings.student_id
    practice._log.append_all(answers(items, count, student=student, now=now, made=CONFUSED))
    practice.refresh()


def come_to(app, name):
    """The screen of this name, once its page is there."""
    assert app.manager.current == name
    screen = app.manager.current_screen
    wait_for(lambda: screen.page is not None or screen.trouble, what="the page")
    wait_for(lambda: not screen.waiting, what="all rows")
    frames(3)
    return screen


def texts_of(screen):
    return [part.text for part in screen.walk() if getattr(part, "text", "")]


def write_here(app, folder):
    """Choose the folder and write into it."""
    chooser = app.manager.current_screen
    chooser.files.path = str(folder)
    frames(3)
    touch(chooser.ids.accept)
    frames(3)


def test_the_page_is_read_written_as_pdf_and_as_a_picture_and_left(open_app, tmp_path, monkeypatch):
    app = open_app(student_name="Mira")
    from screens import page_screen  # after Kivy has its window

    practise(app.practice, 120)
    app.go("weak")
    frames(3)
    touch(app.manager.current_screen.ids.page)
    screen = come_to(app, "lesson page")
    shown = texts_of(screen)
    page = screen.page
    assert "Mira" in shown
    assert f"{page.ready.headline}." in shown
    assert "Ga heard as komal Ga" in shown
    for suggestion in page.suggestions:
        assert suggestion.text in shown
    rows, more = screen._rows.ids.rows, screen._rows.ids.more
    before = len(rows.children)
    press(screen, more)
    wait_for(lambda: not screen.waiting, what="more parts")
    assert len(rows.children) == before + 24
    assert more.text == "Show 24 more parts of the course"
    for plate, ending, begins in (
        (screen.ids.pdf, "pdf", b"%PDF"),
        (screen.ids.png, "png", b"\x89PNG"),
    ):
        touch(plate)
        write_here(app, tmp_path)
        assert app.manager.current == "lesson page"
        assert screen.page is page  # it was not read again
        wait_for(lambda: screen.done.startswith("Written"), what="the file")
        path = Path(screen.done.removeprefix("Written: "))
        assert path.name == f"mira-{page.made:%Y-%m-%d}.{ending}"
        assert path.read_bytes().startswith(begins)
    # Where there is a share sheet, it is given the file; a full disk is told.
    shared = []
    monkeypatch.setattr(page_screen, "can_share", lambda: True)
    monkeypatch.setattr(page_screen, "share", lambda path: shared.append(path.read_bytes()[:4]))
    touch(screen.ids.pdf)
    wait_for(lambda: shared and not screen.busy, what="the share sheet")
    assert shared == [b"%PDF"]
    monkeypatch.setattr(page_screen, "write_paper", full)
    touch(screen.ids.png)
    wait_for(lambda: screen.trouble, what="a word of the trouble")
    assert screen.trouble == "No space left on device: make room, or choose another folder"
    touch(screen.ids.close)
    assert app.manager.current == "weak"


def full(*_, **__):
    raise OSError(errno.ENOSPC, "No space left on device")


def test_the_class_leads_to_each_students_page_by_keys(open_app):
    app = open_app((1120, 760), student_name="Mira")
    practise(app.practice, 120)
    home = app.practice.home
    noor = Students(home).add("Noor")
    other = Practice(noor.folder, home=home, speaker="silence")
    practise(other, 60)
    other.close()
    Students(home).add("Zia")
    app.go("desk")
    frames(2)
    touch(app.manager.current_screen.ids.students)
    screen = come_to(app, "class page")
    rows = {row.name: row for row in screen.ids.rows.children if hasattr(row, "name")}
    assert set(rows) == {"Mira", "Noor", "Zia"}
    assert rows["Zia"].disabled  # there is no answer of hers yet
    assert "Ga heard as komal Ga" in texts_of(screen)
    assert rows["Mira"].about.startswith("Practised on ")  # why, and then how much
    tab_to(lambda: rows["Noor"].focused)
    key("enter")
    page = come_to(app, "lesson page").page
    assert (page.student, page.asked) == ("Noor", 60)
    key("escape")
    assert app.manager.current == "class page"
    assert screen.page is not None
    press(screen, screen.ids.bring)
    assert app.manager.current == "chooser"
    key("escape")
    come_to(app, "class page")
    rows = {row.name: row for row in screen.ids.rows.children if hasattr(row, "name")}
    before = screen.page
    tab_to(lambda: rows["Noor"].focused)
    key("enter")
    come_to(app, "lesson page")
    app.go("desk")  # by another way, as when a file is dropped
    frames(2)
    touch(app.manager.current_screen.ids.students)
    assert come_to(app, "class page").page is not before
    key("escape")
    assert app.manager.current == "desk"
    app.practice.save(replace(app.practice.settings, student_name=""))
    app.go("lesson page")
    shown = texts_of(come_to(app, "lesson page"))
    assert "For the lesson" in shown
    assert any("under “Your name”" in text for text in shown)
