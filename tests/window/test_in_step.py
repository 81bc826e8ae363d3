"""The folder kept in step, chosen and looked into from the settings."""

import pytest

from practice.device import load_device
from practice.students import Students
from tests.practice.devices import Device, files_in
from tests.window.hands import frames, key, tab_to, touch, wait_for

pytestmark = pytest.mark.window


@pytest.fixture
def cloud(tmp_path):
    """With answers of Mira, who does not practise here."""
    other = Device(tmp_path / "tablet").keep(tmp_path / "cloud")
    other.answer(12)
    other.look()
    return tmp_path / "cloud"


@pytest.fixture
def shown(open_app):
    """The app on its settings, with the folder kept in step brought up: (app, that part)."""

    def show(size=(600, 960)):
        app = open_app(size)
        app.go("settings")
        return app, app.manager.current_screen.ids.in_step

    return show


def press(app, plate):
    frames(10)  # in which what has come is shown
    app.manager.current_screen.ids.roll.scroll_to(plate, animate=False)
    frames(4)
    touch(plate)


def looked(part):
    wait_for(lambda: not part.is_looking, what="a look into the folder")


def test_a_folder_is_chosen_and_a_student_found_there_is_taken_in(shown, cloud):
    app, part = shown()
    assert part.words == "No folder is kept in step."
    press(app, part.ids.choose)
    chooser = app.manager.current_screen
    assert chooser.name == "chooser"
    chooser.files.path = str(cloud)
    frames(4)
    touch(chooser.ids.accept)
    assert app.manager.current == "settings"
    assert load_device(app.practice.home)[0].sync_folder == str(cloud)
    looked(part)
    (row,) = part.ids.strangers.children
    assert (row.text, part.taken) == ("Mira", "Nothing was taken in yet.")
    press(app, row.ids.take)
    looked(part)
    assert part.taken.endswith(": 12 new answers of Mira.")
    assert not part.ids.strangers.children
    assert part.said.startswith("Listed from now on")
    assert app.manager.current_screen.students_words == "Two students."
    assert "Mira" in [student.name for student in Students(app.practice.home).all()]
    press(app, part.ids.stop)
    assert part.words == "No folder is kept in step."
    assert files_in(cloud) == ["mira.tablet.zip"]


def test_a_teacher_has_every_student_taken_in_by_keys(shown, cloud):
    app, part = shown((1120, 760))
    part.keep(cloud)
    looked(part)
    (teach,) = (plate for plate in part.ids.takes_all.children if plate.value)
    tab_to(lambda: teach.focused)
    key("enter")
    looked(part)
    assert part.taken.endswith(": 12 new answers of Mira.")
    assert load_device(app.practice.home)[0].takes_all


def test_what_cannot_be_is_said_beside_it(shown, cloud):
    app, part = shown()
    part.keep(app.practice.home)
    assert "Kaan keeps its own data there" in part.trouble
    assert load_device(app.practice.home)[0].sync_folder == ""
    part.keep(cloud)
    looked(part)
    (cloud / "ravi.zip").write_bytes((cloud / "mira.tablet.zip").read_bytes()[:300])
    press(app, part.ids.look)
    looked(part)
    assert "ravi.zip: it may not be here whole yet" in part.faults
    cloud.rename(cloud.parent / "unplugged")
    press(app, part.ids.look)
    looked(part)
    assert "is not there. If it lies on a drive" in part.trouble
    app.go("practice")
    assert str(cloud) in app.manager.current_screen.troubles


def test_the_first_screen_follows_what_is_taken_in(shown, cloud):
    app, part = shown()
    student = app.practice.settings.student_id
    part.keep(cloud)
    looked(part)
    app.go("practice")
    first, refreshed = app.manager.current_screen, []
    first.choose_minutes(25)
    refresh = app.practice.refresh
    app.practice.refresh = lambda: refreshed.append(refresh())
    other = Device(cloud.parent / "phone", student, "Asha").keep(cloud)
    other.answer(3, student)
    other.look()
    app.practice.syncing.look()
    wait_for(lambda: refreshed, what="what was taken in")
    assert app.practice._looked() == app.practice._seen
    assert first.headline
    assert first.minutes == 25  # what was chosen stays
