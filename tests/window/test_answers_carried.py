"""Answers leave by the settings and come in by a file that is looked at before it is taken."""

import json
import sys
import tempfile
import types
import zipfile
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from threading import Event

import pytest

from practice.log_files import Taken, hand_over_log
from practice.settings import Settings, save_settings
from practice.students import Students
from scheduler import Log
from tests.scheduler.conftest import make_answer
from tests.window.hands import frames, touch, wait_for

pytestmark = pytest.mark.window


@pytest.fixture
def file_of(tmp_path):
    """A file of so many answers of a student of another device."""

    def make(student, name, count, first=0):
        folder = tmp_path / f"{student} {count}"
        save_settings(Settings(student_id=student, student_name=name), folder)
        with Log(folder / "log.sqlite") as log:
            rows = (
                make_answer("swara:S", day=day, student=student, uuid=f"{student} {day}")
                for day in range(first, first + count)
            )
            log.append_all(rows)
        return hand_over_log(folder, folder, datetime.now(UTC)).path

    return make


def drop(app, path):
    """Let a file fall onto the window, and wait for what is said of it."""
    app._dropped(None, str(path).encode())
    frames(2)
    screen = app.manager.current_screen
    wait_for(lambda: not screen.busy, what="the look at it")
    frames(3)
    return screen


def take(screen):
    touch(screen.ids.take)
    wait_for(lambda: not screen.busy, what="the taking")
    frames(3)


def said_on(screen):
    return " ".join(part.text for part in screen.walk() if getattr(part, "text", ""))


def answered(app):
    """Let whoever practises have an answer of their own."""
    settings = app.practice.settings
    row = make_answer("swara:S", student=settings.student_id, device=settings.device_id)
    app.practice._log.append(row)
    app.practice.refresh()


def test_the_answers_of_another_are_looked_at_then_taken_and_counted(open_app, file_of):
    app = open_app(student_name="Mira")
    answered(app)
    screen = drop(app, file_of("student-asha", "आशा", 3))
    assert screen.name == "arriving log"
    assert {"आशा", "3 answers, new here."} <= {
        part.text for part in screen.walk() if hasattr(part, "text")
    }
    assert len(Students(app.practice.home).all()) == 1  # nothing is taken yet
    take(screen)
    assert app.manager.current == "desk"
    assert "3 new answers" in app.manager.current_screen.done
    asha = Students(app.practice.home).named("आशा")
    with Log.reading(asha.folder / "log.sqlite") as log:
        assert (log.students(), log.count()) == (("student-asha",), 3)
    screen = drop(app, file_of("student-asha", "आशा", 5))
    said = said_on(screen)
    assert "2 answers that are new here." in said
    assert "3 answers that are here already." in said


def test_ones_own_answers_of_another_device_are_known_of_at_once(open_app, file_of):
    app = open_app(student_id="student-mira", student_name="Mira")
    screen = drop(app, file_of("student-mira", "Mira", 4))
    assert "whoever practises now" in said_on(screen)
    take(screen)
    assert "swara:S" in app.practice.standing().memory.beliefs
    assert len(Students(app.practice.home).all()) == 1


def test_who_brings_the_first_answers_to_a_device_may_practise_on_it(open_app, file_of):
    app = open_app()
    screen = drop(app, file_of("student-asha", "Asha", 3))
    take(screen)
    assert (screen.take_words, screen.leave_words) == ("", "Go on as before")
    touch(screen.offer)
    frames(4)
    assert app.practice.settings.student_id == "student-asha"
    assert app.manager.current == "welcome"
    home = app.practice.home
    assert [one.name for one in Students(home).all()] == ["Asha"]
    assert [one.folder for one in Students(home).aside()] == [home]


def test_files_that_come_together_are_looked_at_in_turn(open_app, file_of):
    app = open_app(student_name="Mira")
    answered(app)
    first, second = file_of("student-asha", "Asha", 3), file_of("student-ravi", "Ravi", 2)
    app._dropped(None, str(first).encode())
    screen = drop(app, second)
    assert screen.file == str(first)
    take(screen)
    wait_for(lambda: not screen.busy, what="the look at the other")
    assert screen.file == str(second)
    frames(3)
    take(screen)
    assert app.manager.current == "desk"
    said = app.manager.current_screen.done
    assert "3 new answers of Asha" in said
    assert "2 new answers of Ravi" in said


def test_others_that_wait_are_not_lost_where_nobody_has_practised_yet(open_app, file_of):
    from screens.drawn import shortened

    app = open_app()
    first, second = file_of("student-asha", "Asha", 3), file_of("student-ravi", "रवि", 2)
    screen = drop(app, first)
    take(screen)
    app._dropped(None, str(second).encode())
    touch(screen.offer)
    wait_for(lambda: not screen.busy, what="the look at the other")
    assert screen.file == shortened(str(second))
    frames(3)
    take(screen)
    said = app.manager.current_screen.done
    assert "3 new answers of Asha" in said
    assert "2 new answers of रवि" in said
    assert {one.name for one in Students(app.practice.home).all()} == {"", "Asha", "रवि"}


def test_what_is_left_or_damaged_or_no_log_changes_nothing(open_app, file_of, tmp_path):
    app = open_app()
    path = file_of("student-asha", "Asha", 40)
    touch(drop(app, path).ids.leave)
    assert (app.manager.current, app.manager.current_screen.done) == ("desk", "")
    data = bytearray(path.read_bytes())
    data[len(data) // 3] ^= 1
    path.write_bytes(data)
    screen = drop(app, path)
    assert screen.title == "This cannot be taken"
    assert "The file was damaged on its way, and nothing of it was taken." in said_on(screen)
    assert str(path) in said_on(screen)
    assert screen.take_words == ""
    touch(screen.ids.leave)
    bundle = tmp_path / "bundle.zip"
    with zipfile.ZipFile(bundle, "w") as file:
        file.writestr("notes.txt", "nothing for us")
    assert drop(app, bundle).name == "arriving"  # as decks would be
    assert len(Students(app.practice.home).all()) == 1


def at_answers(app):
    app.go("settings")
    frames(4)
    screen = app.manager.current_screen
    screen.ids.roll.scroll_to(screen.ids.answers, animate=False)
    frames(4)
    return screen, screen.ids.answers


def test_from_the_settings_answers_are_written_into_a_folder_and_brought_in(
    open_app, file_of, tmp_path
):
    app = open_app(student_name="Mira")
    screen, answers = at_answers(app)
    touch(answers.ids.hand_over)
    app.manager.current_screen._chosen(tmp_path)
    wait_for(lambda: not answers.busy, what="the reason")
    assert "ractise first" in answers.trouble
    answered(app)
    touch(answers.ids.hand_over)
    chooser = app.manager.current_screen
    assert "kaan-mira-" in chooser.title
    folder = tmp_path / "for the teacher"
    folder.mkdir()
    chooser.files.path = str(folder)
    touch(chooser.ids.accept)
    wait_for(lambda: not answers.busy, what="the file")
    assert app.manager.current_screen is screen
    (path,) = folder.iterdir()
    assert answers.said.startswith("1 answer.")
    assert str(path) in answers.said
    # PKWARE's zip and RFC 8259's JSON, read by the standard library's own readers.
    with zipfile.ZipFile(path) as file:
        (line,) = file.read("answers.jsonl").splitlines()
    assert json.loads(line)["student"] == app.practice.settings.student_id
    touch(answers.ids.bring)
    app.manager.current_screen._chosen(file_of("student-asha", "Asha", 3))
    arriving = app.manager.current_screen
    wait_for(lambda: not arriving.busy, what="the look at it")
    frames(3)
    take(arriving)
    assert app.manager.current_screen is screen
    assert "3 new answers of Asha" in answers.said


def test_what_was_written_for_another_student_is_not_shared(open_app, monkeypatch, tmp_path):
    from screens import own_answers

    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    begun, go_on, shared, done = Event(), Event(), [], Event()

    def slow(*given):
        begun.set()
        go_on.wait(30)
        try:
            return hand_over_log(*given)
        finally:
            done.set()

    monkeypatch.setattr(own_answers, "hand_over_log", slow)
    monkeypatch.setattr(own_answers, "can_share", lambda: True)
    monkeypatch.setattr(own_answers, "share", shared.append)
    app = open_app(student_name="Mira")
    answered(app)
    screen, answers = at_answers(app)
    touch(answers.ids.hand_over)
    begun.wait(30)
    screen.let_go()  # as where another is chosen
    go_on.set()
    done.wait(30)
    frames(6)
    assert shared == []
    assert not list(tmp_path.glob(f"{own_answers._PREFIX}*"))


@pytest.mark.parametrize("shared", ["content://kaan", None])
def test_on_a_tablet_the_share_sheet_takes_a_copy(open_app, monkeypatch, shared, tmp_path):
    from screens import share_sheet

    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    given = []

    class Storage:
        def copy_to_shared(self, path):
            assert zipfile.is_zipfile(path)
            given.append(Path(path))
            return shared

    class Sheet:
        def share_file(self, uri):
            given.append(uri)

    library = types.ModuleType(share_sheet.LIBRARY)
    library.SharedStorage, library.ShareSheet = Storage, Sheet
    library.__spec__ = types.SimpleNamespace()
    monkeypatch.setitem(sys.modules, share_sheet.LIBRARY, library)
    monkeypatch.setattr(share_sheet, "platform", "android")
    app = open_app(student_name="Mira")
    answered(app)
    screen, answers = at_answers(app)
    touch(answers.ids.hand_over)
    wait_for(lambda: not answers.busy, what="the sheet")
    assert app.manager.current_screen is screen
    assert not given[0].parent.exists()  # the copy is the sheet's own
    assert given[1:] == ([shared] if shared else [])
    assert ("A copy stays" in answers.said) is (shared is not None)
    assert bool(answers.trouble) is (shared is None)


def test_what_is_new_beside_answers_is_told(tmp_path):
    from screens.arriving_log import NOTED, lines_of, taken_words

    when = datetime(2026, 3, 2, tzinfo=UTC)
    found = Taken("student-mira", "Mira", 0, 4, False, tmp_path, when, when, new_notes=2)
    assert NOTED in lines_of(found)
    assert taken_words(found) == f"All answers of Mira in this file were here already. {NOTED}"
    nothing = replace(found, new_notes=0)
    assert NOTED not in (*lines_of(nothing), *taken_words(nothing).split(". "))
