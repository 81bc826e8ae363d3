"""Answers leave, come in and become a sheet by a command, as a teacher types it."""

import csv
import json
import shutil
import subprocess
import zipfile

import pytest

from main import main
from practice.settings import Settings, save_settings
from scheduler import Log
from tests.practice.bundling import deck_text
from tests.scheduler.conftest import START, make_answer, make_note

MIRA = Settings(student_id="student-mira", device_id="tablet", student_name="Mira")


def practised(folder, settings, *skills):
    save_settings(settings, folder)
    with Log(folder / "log.sqlite") as log:
        for day, skill in enumerate(skills):
            given = {"student": settings.student_id, "device": settings.device_id}
            log.append(make_answer(skill, day=40 * day, given="=1+1", **given))
        log.leave_out("day 0", student=settings.student_id, device="tablet", utc=START)
    return folder


@pytest.fixture
def tablet(tmp_path):
    return practised(tmp_path / "tablet", MIRA, "gap:R-P:up", "swara:G", "gap:R-P:up")


@pytest.fixture
def run(capsys):
    def run(folder, *words):
        code = main(["--folder", str(folder), "log", *map(str, words)])
        return (code, *capsys.readouterr())

    return run


@pytest.fixture
def path(tablet, tmp_path, run):
    assert run(tablet, "export", "--out", tmp_path / "mira.zip")[0] == 0
    return tmp_path / "mira.zip"


def test_all_answers_go_into_one_file(tablet, tmp_path, run, monkeypatch):
    monkeypatch.chdir(tmp_path)
    code, out, _ = run(tablet, "export")
    name, said = out.strip().split(": ")
    assert (code, said) == (0, "3 answers of Mira")
    assert name.startswith("kaan-mira-")
    assert len(zipfile.ZipFile(tmp_path / name).read("answers.jsonl").splitlines()) == 3


def test_a_folder_that_is_not_there_is_no_file_to_write(tablet, tmp_path, run, capsys):
    with pytest.raises(SystemExit):
        run(tablet, "export", "--out", f"{tmp_path}/out/")
    assert f"there is no folder {tmp_path}/out/; make it first" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
    (tmp_path / "out").mkdir()
    assert run(tablet, "export", "--out", f"{tmp_path}/out/")[0] == 0


def test_files_come_in_each_by_itself_and_one_that_is_refused_keeps_none_out(
    path, tmp_path, run, tablet
):
    home, torn = tmp_path / "desk", tmp_path / "torn.zip"
    torn.write_bytes(path.read_bytes()[:-40])
    ravi = Settings(student_id="student-ravi", device_id="phone", student_name="Ravi")
    practised(tmp_path / "phone", ravi, "swara:G")
    run(tmp_path / "phone", "export", "--out", tmp_path / "ravi.zip")
    code, out, err = run(home, "import", "--dry-run", path)
    assert (code, err) == (0, "")
    assert out == (
        f"{path}: Mira, 3 answers of 5 January 2026 to 26 March 2026, 3 of them would be new. "
        f"New here: kept in {home / 'students' / 'student-mira'}.\n"
    )
    assert not home.exists()
    code, out, err = run(home, "import", path, torn, tmp_path / "ravi.zip", path)
    assert code == 1
    assert err.startswith(
        f"{torn}: the file was damaged on its way, and nothing of it was taken. Ask"
    )
    first, second, third = out.splitlines()
    assert "3 of them new. New here" in first
    assert f"{tmp_path / 'ravi.zip'}: Ravi, 1 answer of 5 January 2026, 1 of them new" in second
    assert third == f"{path}: Mira, 3 answers of 5 January 2026 to 26 March 2026, none of them new."


def test_whose_answers_are_meant_may_be_said(path, tmp_path, run):
    home = tmp_path / "desk"
    run(home, "import", path)
    code, _, err = run(home, "export", "--out", tmp_path / "x.zip")
    assert (code, "this student has answered nothing yet" in err) == (1, True)
    code, out, _ = run(home, "export", "--student", "mira", "--out", tmp_path / "x.zip")
    assert (code, out) == (0, f"{tmp_path / 'x.zip'}: 3 answers of Mira\n")
    code, _, err = run(home, "check", "--student", "nobody")
    assert (code, "nobody called 'nobody' practises here" in err) == (1, True)


def test_a_bundle_of_decks_is_sent_where_it_belongs(tmp_path, run):
    with zipfile.ZipFile(tmp_path / "decks.zip", "w") as archive:
        archive.writestr("decks/one.toml", deck_text("one"))
    code, _, err = run(tmp_path, "import", tmp_path / "decks.zip")
    assert (code, "it holds decks and no log. Bring it in as a deck" in err) == (1, True)


def test_a_sheet_for_spreadsheets(path, tmp_path, run):
    sheet = tmp_path / "mira.csv"
    assert run(tmp_path, "csv", path, "--out", sheet)[:2] == (0, f"{sheet}: 3 answers\n")
    assert sheet.read_bytes().startswith(b"\xef\xbb\xbfdate,time,skill,")
    with sheet.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [row["name"] for row in rows[:2]] == ["Re up to Pa", "Ga"]
    assert [row["counts"] for row in rows] == ["no", "yes", "yes"]
    assert {row["given"] for row in rows} == {"'=1+1"}
    # Printed unless a file is named; of the student's own log unless one of somebody is.
    code, out, _ = run(tmp_path / "tablet", "csv")
    assert (code, out.replace("\n", "\r\n").encode()) == (0, sheet.read_bytes()[3:])


@pytest.mark.skipif(not shutil.which("sqlite3"), reason="needs sqlite3")
def test_sqlites_own_shell_reads_the_sheet(path, tmp_path, run):
    """Its .import follows RFC 4180 (https://sqlite.org/cli.html#csv)."""
    run(tmp_path, "csv", path, "--out", tmp_path / "mira.csv")
    asked = "SELECT skill, utc, count(*) OVER () FROM t ORDER BY utc"
    words = ["sqlite3", ":memory:", "-cmd", f".import --csv {tmp_path / 'mira.csv'} t", asked]
    out = subprocess.run(words, capture_output=True, text=True, check=True).stdout
    assert out.splitlines()[0] == "gap:R-P:up|2026-01-05T18:00:00.000+00:00|3"


def test_a_sheet_is_written_only_where_it_says_that_it_is_one(path, tmp_path, run):
    with pytest.raises(SystemExit):
        run(tmp_path, "csv", path, "--out", tmp_path / "tablet" / "log.sqlite")


def test_a_file_or_a_log_is_read_through(path, tablet, tmp_path, run):
    code, out, _ = run(tmp_path, "check", path)
    assert code == 0
    assert out.splitlines()[:3] == [
        f"{path}: whole; 3 answers of 5 January 2026 to 26 March 2026",
        'student   student-mira, called "Mira"',
        "left out  1 session",
    ]
    assert "beside" not in out
    assert run(tablet, "check")[1].startswith(f"{tablet / 'log.sqlite'}: whole; 3 answers of")
    path.write_bytes(path.read_bytes().replace(b"answers.jsonl", b"answers.jsons"))
    code, _, err = run(tmp_path, "check", path)
    assert (code, "answers.jsonl is not in it" in err) == (1, True)


def test_what_stands_beside_answers_is_counted_and_has_a_sheet_of_its_own(tablet, tmp_path, run):
    said = [("palta", {"key": "=three", "said": "given"}), ("minutes", {"minutes": 12.5})]
    with Log(tablet / "log.sqlite") as log:
        for minute, (what, data) in enumerate(said):
            log.append_all([make_note(what, minute, data=data, student=MIRA.student_id)])
    run(tablet, "export", "--out", tmp_path / "mira.zip")
    _, out, _ = run(tmp_path, "check", tmp_path / "mira.zip")
    line = "beside    2 rows beside answers: 1 palta given and 12 minutes on the instrument"
    assert line in out.splitlines()
    home = tmp_path / "desk"
    assert (
        "3 of them new; 2 rows beside answers new." in run(home, "import", tmp_path / "mira.zip")[1]
    )
    assert "none of them new." in run(home, "import", tmp_path / "mira.zip")[1]
    sheet = tmp_path / "beside.csv"
    said_of_it = run(tmp_path, "csv", tmp_path / "mira.zip", "--beside", "--out", sheet)[1]
    assert said_of_it == f"{sheet}: 2 rows beside answers\n"
    with sheet.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [(row["date"], row["time"], row["what"]) for row in rows] == [
        ("2026-01-05", "23:30:00", "palta"),
        ("2026-01-05", "23:31:00", "minutes"),
    ]
    assert [json.loads(row["data"]) for row in rows] == [data for _, data in said]
