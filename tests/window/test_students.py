"""Several students at one window: each with what they set and answered, and none of the others'."""

import gc
import threading
import weakref
from dataclasses import replace

import pytest

from practice import Practice
from practice.settings import load_settings, save_settings
from practice.students import Students
from scheduler import Log
from tests.window.hands import frames, key, tab_to, touch, wait_for
from tests.window.opened import app_on
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


def take_first_steps(app):
    """To the end of the first start, without beginning yet."""
    assert app.manager.current == "welcome"
    for _ in range(6):
        if app.manager.current_screen.step != "course":
            touch(app.manager.current_screen.ids.onward)
            frames(3)
    touch(app.manager.current_screen.ids.later)
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
    take_first_steps(app)
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


def test_a_name_that_is_here_already_is_added_only_when_asked_for_twice(students_of):
    screen = students_of(others=["Leela"])[1]
    screen.begin_adding()
    screen.ids.name.text = "leela"
    touch(screen.ids.new)
    assert "leela practises here already" in screen.trouble
    assert listed(screen) == ["Leela", "Mira"]
    touch(screen.ids.new)
    frames(3)
    assert sorted(listed(screen)) == ["Leela", "Mira", "leela"]
    (row, other) = (row for row in screen.ids.rows.children if row.text.casefold() == "leela")
    assert row.about != other.about
    own = row_of(screen, "Mira")
    own.more = True
    (more,) = own.children[:1]
    assert (more.may_go, "let somebody else practise first" in more.words) == (False, True)


def test_the_name_on_the_first_screen_leads_to_the_others_where_there_are_any(open_app):
    app = open_app(student_name="मीरा Rao")
    who = app.manager.current_screen.ids.who
    assert (who.height, who.disabled) == (0, True)
    Students(app.practice.home).add("Asha")
    app.go("settings")
    app.go("practice")
    frames(4)
    first = app.manager.current_screen
    assert first.who == "मीरा Rao"
    parts = first.ids.who.ids.words.children[::-1]
    assert [part.text for part in parts] == ["मीरा", "Rao"]
    assert "Deva" in parts[0].font_name
    assert parts[0].font_script_name == "Deva"
    assert all(part.width > 10 for part in parts)
    touch(first.ids.who)
    assert app.manager.current == "students"
    key("escape")
    assert app.manager.current == "practice"


def test_by_keys_alone_one_is_added_chosen_and_the_other_set_aside(students_of):
    app, screen = students_of()
    key("enter")
    assert screen.ids.name.focus
    screen.ids.name.text = "Asha"
    screen.ids.name.dispatch("on_text_validate")
    frames(3)
    tab_to(lambda: row_of(screen, "Asha").ids.plate.focused)
    key("enter")
    take_first_steps(app)
    assert app.practice.settings.student_name == "Asha"
    app.go("students")
    frames(3)
    screen = app.manager.current_screen
    mira = row_of(screen, "Mira")
    tab_to(lambda: mira.ids.more.focused)
    key("enter")
    (more,) = (part for part in mira.children if hasattr(part, "may_go"))
    tab_to(lambda: more.ids.away.focused)
    key("enter")
    key("enter")  # what was asked is left as it is
    assert (screen.lies_over, listed(screen)) == (None, ["Asha", "Mira"])
    tab_to(lambda: more.ids.away.focused)
    key("enter")
    tab_to(lambda: screen.lies_over.ids.ways.children[-1].focused)
    key("enter")
    assert listed(screen) == ["Asha"]
    (aside,) = screen.ids.aside.children
    tab_to(lambda: aside.ids.back.focused)
    key("enter")
    assert listed(screen) == ["Asha", "Mira"]


def test_who_practises_now_is_called_otherwise_but_not_by_no_name(students_of):
    app, screen = students_of(others=["Asha"])
    touch(screen.ids.new)
    screen.ids.name.text = "  "
    touch(screen.ids.new)
    assert screen.trouble == "Write the name of who is to practise here."
    assert screen.ids.name.focus
    key("escape")
    key("escape")
    assert not screen.adding
    row = row_of(screen, "Mira")
    touch(row.ids.more)
    (more,) = (part for part in row.children if hasattr(part, "may_go"))
    assert more.ids.away.disabled
    more.ids.name.text = "Mira Rao"
    touch(more.ids.rename)
    assert listed(screen) == ["Asha", "Mira Rao"]
    assert app.practice.settings.student_name == "Mira Rao"
    assert load_settings(app.practice.folder)[0].student_name == "Mira Rao"


def test_among_many_a_name_is_looked_for(students_of):
    _, screen = students_of(others=[f"Student {number:02}" for number in range(9)])
    assert len(listed(screen)) == 10  # some came in the frame after
    screen.ids.find.text = "MIR"
    frames(2)
    assert listed(screen) == ["Mira"]
    screen.ids.find.text = "student 0"
    assert len(listed(screen)) == 9


def test_where_a_folder_cannot_be_opened_practice_goes_on_and_what_is_answered_is_kept(students_of):
    app, screen = students_of(others=["Asha"])
    asha = Students(app.practice.home).named("Asha")
    (asha.folder / "log.sqlite").mkdir()  # no log can be opened there
    before = app.practice
    touch(row_of(screen, "Asha").ids.plate)
    frames(3)
    assert app.manager.current == "students"
    assert "Asha cannot practise now" in screen.trouble
    assert Students(app.practice.home).current().name == "Mira"
    assert app.practice is before
    app.go("practice")
    frames(4)
    drill = begin(app)
    pass_introduction(drill)
    answer(drill)
    (asha.folder / "log.sqlite").rmdir()
    app.practise_as(asha)  # in the midst of a practice
    with Log.reading(before.folder / "log.sqlite") as log:
        assert log.students() == (before.settings.student_id,)


def test_of_screens_and_threads_of_others_nothing_is_left(students_of):
    app, _ = students_of(others=["Asha"])
    folders = [one.folder for one in Students(app.practice.home).all()]
    for folder in folders:
        save_settings(replace(load_settings(folder)[0], cautions_seen=True), folder)
    app.practice.save(replace(app.practice.settings, cautions_seen=True))
    seen, threads = [], []
    for name in ("Asha", "Mira", "Asha"):
        choose(app, name)
        wait_for(lambda: app.manager.current_screen._coming is None, what="what it holds")
        seen.append(weakref.ref(app.manager.current_screen))
        threads.append(threading.active_count())
    gc.collect()
    assert [screen() is None for screen in seen] == [True, True, False]
    assert max(threads) <= threads[0] + 1
    from screens.look import look

    assert len(look.get_property_observers("by_keys")) < 100


def test_what_kept_the_last_one_from_practising_is_read_first_of_all(window, tmp_path):
    practice = Practice(tmp_path, speaker="silence")
    Students(tmp_path).add("Asha")
    with app_on(practice, (600, 960), trouble="Asha cannot practise now: no room") as app:
        screen = app.manager.current_screen
        assert (screen.name, screen.trouble) == ("students", "Asha cannot practise now: no room")
        assert "Asha" in listed(screen)
    practice.close()
