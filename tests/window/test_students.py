"""Several students at one window: each with what they set and answered, and nothing of the others."""

import pytest

from practice.settings import load_settings
from practice.students import Students
from scheduler import Log
from tests.window.hands import frames, key, tab_to, touch
from tests.window.practising import answer, begin, pass_introduction

pytestmark = pytest.mark.window


@pytest.fixture
def students_of(open_app):
    """The app with its students on view, from the first screen."""

    def open_it(size=(600, 960), others=(), **settings):
        app = open_app(size, student_name="Mira", **settings)
        for name in others:
            Students(app.practice.home).add(name)
        app.go("students")
        frames(4)
        return app, app.manager.current_screen

    return open_it


def row_of(screen, name):
    (row,) = (row for row in screen.ids.rows.children if row.text == name)
    return row


def listed(screen):
    return [row.text for row in screen.ids.rows.children[::-1]]


def choose(app, name):
    """Let the student of this name practise, by touch, from any screen."""
    app.go("students")
    frames(3)
    touch(row_of(app.manager.current_screen, name).ids.plate)
    frames(3)


def read_cautions(app):
    assert app.manager.current == "cautions"
    touch(app.manager.current_screen.ids.read)
    frames(3)


def test_a_second_student_is_added_and_practises_with_own_settings_and_log(students_of):
    app, screen = students_of(sa_hz=120.0, text_size="large")
    first = app.practice
    touch(screen.ids.new)
    frames(2)
    screen.ids.name.text = "Asha"
    touch(screen.ids.new)
    frames(3)
    assert listed(screen) == ["Asha", "Mira"]
    assert "Added" in screen.done
    choose(app, "Asha")
    read_cautions(app)
    assert app.manager.current == "practice"
    assert app.practice is not first
    assert app.practice.settings.student_name == "Asha"
    assert app.practice.settings.text_size == "usual"
    drill = begin(app)
    pass_introduction(drill)
    answer(drill)
    drill.finish()
    app.go("practice")
    choose(app, "Mira")
    assert app.manager.current == "practice"
    assert (app.practice.settings.sa_hz, app.practice.folder) == (120.0, first.folder)
    asha = Students(app.practice.home).named("Asha")
    with Log.reading(asha.folder / "log.sqlite") as log:
        assert log.students() == (asha.id,)
    with Log.reading(first.folder / "log.sqlite") as log:
        assert log.count() == 0
    assert Students(app.practice.home).current().name == "Mira"
