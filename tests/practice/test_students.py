"""Several students of one device: each with a folder of their own, none ever lost."""

import json

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from practice import Practice
from practice.called import LONGEST_NAME, checked_name
from practice.errors import StudentsError
from practice.log_files import hand_over_log, take_log
from practice.settings import FILE_NAME, Settings, load_settings, save_settings
from practice.students import CHOSEN_NAME, Students
from scheduler import Log
from tests.practice.devices import NOON
from tests.taken import row


@pytest.fixture
def home(tmp_path):
    """A device on which Mira has practised alone so far."""
    save_settings(Settings(student_id="student-mira", student_name="Mira", volume_db=-12), tmp_path)
    return tmp_path


def names(students):
    return [one.name for one in students]


def test_before_the_first_practice_there_is_one_student_and_no_file(tmp_path):
    students = Students(tmp_path / "home")
    (only,) = students.all()
    assert students.current() == only
    assert (only.folder, only.name, only.trouble) == (tmp_path / "home", "", "")
    assert not (tmp_path / "home").exists()


def test_who_was_alone_stays_the_first_and_the_one_who_practises(home):
    students = Students(home)
    assert names(students.all()) == ["Mira"]
    assert students.ready(students.current()) == home
    assert not (home / CHOSEN_NAME).exists()


def test_another_has_own_settings_and_log_on_the_same_device(home):
    students = Students(home)
    asha = students.add("Asha")
    added, first = load_settings(asha.folder)[0], load_settings(home)[0]
    assert added.device_id == first.device_id
    assert added.student_id != first.student_id
    assert (added.volume_db, added.sa_hz) == (-12, Settings().sa_hz)
    practice = Practice(students.ready(asha), home=home, speaker="silence")
    practice.close()
    assert practice.settings.student_id == asha.id
    assert (asha.folder / "log.sqlite").exists()
    assert not (home / "log.sqlite").exists()


def test_the_one_chosen_is_found_when_the_device_is_opened_next(home):
    students = Students(home)
    students.choose(students.add("Asha").folder)
    assert Students(home).current().name == "Asha"
    students.choose(home)
    assert Students(home).current().name == "Mira"


@pytest.mark.parametrize(
    "spoilt",
    [
        "",
        "[]",
        "{",
        '{"student": 7}',
        '{"student": "../.."}',
        '{"student": "nobody"}',
        "\0",
        "[" * 9999,
    ],
    ids=range(8),
)
def test_a_spoilt_choice_is_the_first_ones(home, spoilt):
    Students(home).add("Asha")
    (home / CHOSEN_NAME).write_text(spoilt)
    assert Students(home).current().name == "Mira"


def test_it_is_told_when_the_folder_of_the_one_chosen_is_gone(home):
    students = Students(home)
    asha = students.add("Asha")
    students.choose(asha.folder)
    asha.folder.rename(home / "elsewhere")
    assert students.current().name == "Mira"
    assert asha.id in students.trouble


def test_forty_are_listed_by_name_in_any_script_those_without_one_last(home):
    students = Students(home)
    for number in range(37):
        students.add(f"Student {number:02}")
    for name in ("राम", "আশা", "अ‍आ"):
        students.add(name)
    nameless = students.add("x")
    save_settings(Settings(student_id=nameless.id), nameless.folder)
    listed = names(students.all())
    assert len(listed) == 42
    assert (listed[0], listed[-1]) == ("Mira", "")
    assert {"राम", "আশা", "अ‍आ"} < set(listed)
    assert students.named("राम").name == "राम"


def test_two_of_one_name_are_told_apart_by_their_ids(home):
    students = Students(home)
    one, two = students.add("Asha"), students.add("  ASHA ")
    with pytest.raises(StudentsError, match=f"(?s)2 students.*{min(one.id, two.id)}|{one.id}"):
        students.named("asha")
    assert students.named(two.id).folder == two.folder


def test_a_name_that_nobody_has_is_answered_with_those_that_there_are(home):
    Students(home).add("Asha")
    with pytest.raises(
        StudentsError, match="nobody called 'Ravi' practises here, but Asha and Mira"
    ):
        Students(home).named("Ravi")


@given(st.text(max_size=80))
def test_every_name_is_kept_on_one_line_and_found_again_or_refused_with_the_remedy(text):
    try:
        name = checked_name(text)
    except StudentsError:
        assert not text.strip() or len(text) > LONGEST_NAME or not text.isprintable()
        return
    assert name == checked_name(name)
    assert len(name.encode().decode().splitlines()) == 1


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.text(min_size=1, max_size=20).filter(lambda text: text.strip()))
def test_who_was_added_is_listed_under_that_name(homes, name):
    students = Students(next(homes))
    try:
        added = students.add(name)
    except StudentsError:
        return
    assert added in students.all()
    assert students.named(added.name).name.casefold() == added.name.casefold()


@pytest.mark.parametrize("spoilt", [b"{", b"[]", b"\xff", None], ids=range(4))
def test_a_student_whose_settings_cannot_be_read_is_listed_with_the_reason(home, spoilt):
    students = Students(home)
    asha = students.add("Asha")
    path = asha.folder / FILE_NAME
    path.unlink()
    if spoilt is not None:
        path.write_bytes(spoilt)
    (found,) = (one for one in students.all() if one.folder == asha.folder)
    assert (found.id, found.name) == (asha.folder.name, "")
    assert str(path) in found.trouble
    assert path.exists() == (spoilt is not None)  # looking has changed nothing
    practice = Practice(students.ready(found), home=home, speaker="silence")
    practice.close()
    if spoilt is None:
        assert practice.settings.student_id == asha.id


@pytest.mark.parametrize("spoilt", [b"{", b'{"sa_hz": 140.0}', None], ids=range(3))
def test_where_settings_are_lost_the_log_tells_whose_it_is(home, spoilt):
    """Of the first student, and of one whose folder is not called by the id."""
    students = Students(home)
    other = home / "students" / "of-asha"
    save_settings(Settings(student_id="asha", student_name="Asha"), other)
    for folder, student in ((home, "mira"), (other, "asha")):
        with Log(folder / "log.sqlite") as log:
            log.append(row("swara:R", "R", "R", at=NOON, student="a friend"))
            log.append(row("swara:R", "R", "R", at=NOON, student=student))
        (folder / FILE_NAME).unlink()
        if spoilt is not None:
            (folder / FILE_NAME).write_bytes(spoilt)
    assert {one.id for one in students.all()} == {"mira", "asha"}
    path = hand_over_log(other, home.parent, NOON).path if spoilt != b"{" else None
    for one in sorted(students.all(), key=lambda one: one.folder != home):
        practice = Practice(students.ready(one), home=home, speaker="silence")
        assert practice.settings.student_id == one.id
        assert set(practice.standing().memory.beliefs) == {"swara:R"}
        assert practice.settings.student_name == ""
        if one.folder == home and spoilt is None:
            assert "nothing that was answered is lost" in practice.troubles[0]
        practice.close()
    if path is not None:
        assert take_log(path, home, NOON).folder == other


def test_a_student_is_called_otherwise_and_keeps_all_else(home):
    students = Students(home)
    asha = students.add("Asha")
    save_settings(Settings(student_id=asha.id, student_name="Asha", sa_hz=120.0), asha.folder)
    students.rename(asha, "Asha Rao")
    kept = load_settings(asha.folder)[0]
    assert (kept.student_name, kept.sa_hz, kept.student_id) == ("Asha Rao", 120.0, asha.id)


def test_who_is_set_aside_is_listed_no_more_and_can_be_put_back_whole(home):
    students = Students(home)
    asha = students.add("Asha")
    (asha.folder / "log.sqlite").write_bytes(b"answers")
    students.set_aside(asha)
    assert names(students.all()) == ["Mira"]
    (aside,) = students.aside()
    assert aside.folder.parent == home / "set-aside"
    assert (aside.folder / "log.sqlite").read_bytes() == b"answers"
    students.put_back(aside)
    assert names(students.all()) == ["Asha", "Mira"]
    assert (asha.folder / "log.sqlite").read_bytes() == b"answers"
    assert students.aside() == ()


def test_the_first_one_is_set_aside_without_moving_what_all_share(home):
    students = Students(home)
    asha = students.add("Asha")
    students.choose(asha.folder)
    (home / "decks").mkdir()
    before = sorted(home.iterdir())
    students.set_aside(students.named("Mira"))
    assert sorted(home.iterdir()) == before
    assert (names(students.all()), names(students.aside())) == (["Asha"], ["Mira"])
    assert Students(home).current().name == "Asha"
    students.put_back(students.aside()[0])
    assert names(students.all()) == ["Asha", "Mira"]


def test_the_first_one_practises_again_where_no_other_folder_is_left(home):
    students = Students(home)
    asha = students.add("Asha")
    students.choose(asha.folder)
    students.set_aside(students.named("Mira"))
    asha.folder.rename(home / "elsewhere")
    assert students.current().name == "Mira"


def test_who_practises_cannot_be_set_aside(home):
    students = Students(home)
    asha = students.add("Asha")
    with pytest.raises(StudentsError, match="Mira practises now"):
        students.set_aside(students.named("Mira"))
    students.choose(asha.folder)
    with pytest.raises(StudentsError, match="Asha practises now"):
        students.set_aside(asha)
    assert names(students.all()) == ["Asha", "Mira"]


def test_who_came_in_anew_meanwhile_is_not_put_back_beside(home):
    students = Students(home)
    asha = students.add("Asha")
    students.set_aside(asha)
    save_settings(Settings(student_id=asha.id, student_name="Asha"), asha.folder)
    (aside,) = students.aside()
    with pytest.raises(StudentsError, match="log export --folder"):
        students.put_back(aside)
    assert aside.folder.exists()


def test_what_is_half_made_or_no_folder_is_not_listed(home):
    students = Students(home)
    students.add("Asha")
    (home / "students" / ".coming-1").mkdir()
    (home / "students" / "notes.txt").write_text("not a student")
    assert names(students.all()) == ["Asha", "Mira"]


def test_a_place_that_cannot_be_written_to_is_named(home):
    (home / "students").write_text("a file where a folder should be")
    with pytest.raises(StudentsError, match=r"students.*could not be written"):
        Students(home).add("Asha")


def test_the_file_of_who_is_chosen_is_plain_json(home):
    students = Students(home)
    asha = students.add("Asha")
    students.choose(asha.folder)
    assert json.loads((home / CHOSEN_NAME).read_text()) == {
        "student": asha.id,
        "first_aside": False,
    }
