"""The lesson page and the class page, as a teacher types them."""

from datetime import UTC, datetime, timedelta

import pytest

from main import main
from practice import Practice
from practice.settings import Settings, save_settings
from practice.students import Students
from tests.practice.answering import answers


@pytest.fixture
def home(tmp_path):
    """Mira has practised, Noor has not."""
    home = tmp_path / "home"
    save_settings(Settings(student_name="Mira"), home)
    practice = Practice(home, speaker="silence")
    items = tuple(item for item in practice.standing().items if item.kind == "swara")[:4]
    now = datetime.now(UTC) - timedelta(hours=1)
    student = practice.settings.student_id
    practice._log.append_all(answers(items, 24, student=student, now=now))
    practice.close()
    Students(home).add("Noor")
    return home


@pytest.fixture
def call(home, tmp_path, capsys):
    def run(*words, out="page.pdf"):
        try:
            code = main(["--folder", str(home), *words, "--out", str(tmp_path / out)])
        except SystemExit as end:
            code = end.code
        return code, "".join(capsys.readouterr())

    return run


def test_a_page_is_written_for_who_practises_and_by_name(call, tmp_path):
    code, said = call("lesson-page")
    assert code == 0
    assert said.startswith(f"{tmp_path / 'page.pdf'}: Mira: for the lesson. ")
    assert (tmp_path / "page.pdf").read_bytes().startswith(b"%PDF")
    assert call("lesson-page", "MIRA", out="page.PNG")[0] == 0
    assert (tmp_path / "page.PNG").read_bytes().startswith(b"\x89PNG")


def test_the_class_is_written_with_who_has_no_answers(call, tmp_path):
    code, said = call("class-page", out="class.png")
    assert code == 0
    assert "The class. Of 2: 1 " in said
    assert "1 without practice in the last 7 days." in said
    assert (tmp_path / "class.png").exists()


def test_whom_a_student_named_before_the_command_is_meant(home, tmp_path, capsys):
    noor = Students(home).named("Noor")
    practice = Practice(noor.folder, home=home, speaker="silence")
    items = tuple(item for item in practice.standing().items if item.kind == "swara")[:4]
    given = {"student": practice.settings.student_id, "now": datetime.now(UTC)}
    practice._log.append_all(answers(items, 3, **given))
    practice.close()
    out = str(tmp_path / "page.png")
    for words in (["--student", "Noor", "lesson-page"], ["lesson-page", "Noor"]):
        assert main(["--folder", str(home), *words, "--out", out]) == 0
        assert ": Noor: for the lesson. " in capsys.readouterr().out
    assert main(["--folder", str(home), "--student", "Zia", "lesson-page", "--out", out]) != 0
    assert "nobody called 'Zia'" in capsys.readouterr().err


def test_where_nobody_was_chosen_it_is_asked_whose_page_is_meant(tmp_path, capsys):
    home, out = tmp_path / "home", str(tmp_path / "page.pdf")
    mira = Students(home).ready(Students(home).add("Mira"))
    practice = Practice(mira, home=home, speaker="silence")
    items = tuple(item for item in practice.standing().items if item.kind == "swara")[:4]
    given = {"student": practice.settings.student_id, "now": datetime.now(UTC)}
    practice._log.append_all(answers(items, 3, **given))
    practice.close()
    assert main(["--folder", str(home), "lesson-page", "--out", out]) != 0
    assert capsys.readouterr().err == "Say whose page it is to be: Mira.\n"


@pytest.mark.parametrize("command", ["lesson-page", "class-page"])
def test_a_folder_that_is_not_there_is_refused(tmp_path, capsys, command):
    home, out = tmp_path / "nowhere", tmp_path / "page.pdf"
    assert main(["--folder", str(home), command, "--out", str(out)]) != 0
    assert f"there is no folder {home}" in capsys.readouterr().err
    assert not home.exists()
    assert not out.exists()


@pytest.mark.parametrize(
    ("words", "out", "wrong"),
    [
        (("lesson-page", "Zia"), "page.pdf", "nobody called 'Zia' practises here"),
        (("lesson-page", "Noor"), "page.pdf", "Noor has not practised here yet: "),
        (("lesson-page",), "page.txt", "should end in .pdf or .png"),
        (("class-page",), "none/page.pdf", "there is no folder "),
    ],
)
def test_what_cannot_be_written_is_told(call, tmp_path, words, out, wrong):
    code, said = call(*words, out=out)
    assert code != 0
    assert wrong in said
    assert not list(tmp_path.glob("*.*"))
