"""`main.py --student` opens another student's practice; what cannot be opened is told."""

import pytest

import main
from practice.errors import StudentsError
from practice.settings import Settings, save_settings
from practice.students import Students
from scheduler import LogError


@pytest.fixture
def home(tmp_path):
    save_settings(Settings(student_id="student-mira", student_name="Mira"), tmp_path)
    return tmp_path


def opened(home, *words):
    """The name of who practises, and what is told."""
    given = ["--folder", str(home), "--speaker", "silence", *words]
    practice, trouble = main.opened(main.read_arguments().parse_args(given), home)
    practice.close()
    assert practice.home == home
    return practice.settings.student_name, trouble


def test_one_who_is_named_practises_from_then_on(home):
    Students(home).add("Asha")
    assert opened(home) == ("Mira", "")
    assert opened(home, "--student", "asha") == ("Asha", "")
    assert opened(home) == ("Asha", "")


def test_one_who_is_not_there_is_not_made(home):
    with pytest.raises(StudentsError, match="nobody called 'Ravi'"):
        opened(home, "--student", "Ravi")
    assert len(Students(home).all()) == 1


def test_where_the_last_ones_log_cannot_be_opened_the_first_practises_and_it_is_told(home):
    asha = Students(home).add("Asha")
    opened(home, "--student", "Asha")
    (asha.folder / "log.sqlite").unlink()
    (asha.folder / "log.sqlite").mkdir()
    name, trouble = opened(home)
    assert name == "Mira"
    assert "Asha cannot practise now" in trouble
    assert str(asha.folder) in trouble
    with pytest.raises(LogError):
        opened(home, "--student", "Asha")


def test_where_the_last_ones_folder_is_gone_the_first_practises_and_it_is_told(home):
    asha = Students(home).add("Asha")
    Students(home).choose(asha.folder)
    asha.folder.rename(home / "elsewhere")
    name, trouble = opened(home)
    assert name == "Mira"
    assert asha.id in trouble
