"""A log leaves as one file that any tool reads, and a file that is at fault is refused."""

import gzip
import hashlib
import json
import os
import shutil
import sqlite3
import subprocess
import sys
import zipfile
from datetime import UTC, datetime

import pytest

from scheduler import FullDiskError, Log, LogError, NotALogError, UnwritableLogError
from scheduler import carrying as carrying_module
from scheduler import entries as entries_module
from scheduler.carrying import is_log_file, read_log_file, write_log_file
from scheduler.errors import (
    DamagedLogFileError,
    LogFileError,
    NewerLogFileError,
    NotALogFileError,
)
from scheduler.lines import line_of
from scheduler.notes import MOST_DATA_BYTES
from tests.scheduler.conftest import START, make_answer, make_note

NOW = datetime(2026, 11, 29, 17, 30, tzinfo=UTC)
MIRA = {"student": "Mira", "device": "tablet", "utc": START}
ABOUT = {"student_name": "मीरा", "sa_hz": 138.59}


@pytest.fixture(scope="module")
def log(tmp_path_factory):
    """Answers of Mira's on two devices, one session left out, and one of Ravi's."""
    with Log(tmp_path_factory.mktemp("log") / "log.sqlite") as log:
        log.append_all(make_answer(skill, day=day) for day, skill in enumerate("abca"))
        log.append_all(make_answer("x", day=day, device="desk") for day in (1.5, 0.5))
        log.append(make_answer("a", student="Ravi"))
        log.leave_out("day 1", "day 2", **MIRA)
        log.put_back("day 2", **MIRA)
        yield log


@pytest.fixture
def path(log, tmp_path):
    path = tmp_path / "mira.zip"
    assert write_log_file(path, log, "Mira", ABOUT, now=NOW) == 6
    return path


def contents(path):
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def packed(path, entries, **how):
    """A zip file of these entries, as other programs pack it."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, **how) as archive:
        for name, content in entries.items():
            archive.writestr(name, content)
    return path


def told_anew(path, **entries):
    """The file with other content, of which about.json tells truly."""
    all_of_it = {**contents(path), **{f"{name}.jsonl": text for name, text in entries.items()}}
    about = json.loads(all_of_it["about.json"])
    for name, told in about["entries"].items():
        told["rows"] = all_of_it[name].count(b"\n")
        told["bytes"] = len(all_of_it[name])
        told["sha256"] = hashlib.sha256(all_of_it[name]).hexdigest()
    return packed(path, {**all_of_it, "about.json": json.dumps(about)})


def about_with(path, change):
    """The file with another about.json; `change` changes what it tells."""
    about = json.loads(contents(path)["about.json"])
    changed = change(about)
    text = json.dumps(about) if changed is None else changed
    return packed(path, {**contents(path), "about.json": text})


def test_it_comes_back_as_it_went_out_whole_and_in_order(log, path):
    carried = read_log_file(path)
    assert list(carried.answers()) == list(log.answers("Mira"))
    assert list(carried.leavings()) == log.leavings("Mira")
    assert list(carried.rows()) == [*carried.answers(), *carried.leavings()]
    assert (carried.student, carried.about, carried.written) == ("Mira", ABOUT, NOW)
    days = [answer.utc for answer in log.answers("Mira")]
    assert carried.span() == (6, min(days), max(days))


@pytest.fixture
def noted(log, tmp_path):
    """A log that holds Mira's notes, too, and its file."""
    with Log(tmp_path / "noted.sqlite") as noted:
        noted.append_all([*log.answers("Mira"), *log.leavings("Mira")])
        noted.append_all(make_note("palta", minute, key="ती") for minute in (0, 7, 3))
        noted.append_all([make_note("minutes", student="Ravi", minutes=5)])
        write_log_file(tmp_path / "noted.zip", noted, "Mira", ABOUT, now=NOW)
        yield noted, tmp_path / "noted.zip"


def test_notes_go_along_and_a_file_without_any_is_as_older_versions_know_it(log, path, noted):
    carried = read_log_file(noted[1])
    assert list(carried.notes()) == noted[0].notes("Mira")
    assert list(carried.rows()) == [*carried.answers(), *carried.leavings(), *carried.notes()]
    told = [json.loads(contents(each)["about.json"]) for each in (path, noted[1])]
    assert [about["kaan-log"] for about in told] == [1, 2]
    assert [len(about["entries"]) for about in told] == [2, 3]
    assert list(read_log_file(path).notes()) == []
    assert list(read_log_file(noted[0].path, "Mira").notes()) == noted[0].notes("Mira")


def test_a_file_has_notes_just_where_its_format_says_so(path, noted):
    whole = contents(noted[1])
    without = packed(path, {name: text for name, text in whole.items() if name != "notes.jsonl"})
    with pytest.raises(DamagedLogFileError, match=r"notes.jsonl is not in it"):
        read_log_file(without)
    about_with(noted[1], lambda about: about.__setitem__("kaan-log", 1))
    with pytest.raises(DamagedLogFileError, match=r"should tell of answers.jsonl, left_out.jsonl"):
        read_log_file(noted[1])


def test_notes_that_are_not_as_told_are_refused_by_line_and_field(noted):
    lines = contents(noted[1])["notes.jsonl"]
    for old, new, said in (
        (b'"palta"', b"[]", r"notes.jsonl, line 1: what=\[\] cannot"),
        (b"Mira", b"Ravi", "notes.jsonl, line 1: student='Ravi'"),
    ):
        with pytest.raises(DamagedLogFileError, match=said):
            read_log_file(told_anew(noted[1], notes=lines.replace(old, new, 1)))


def test_many_notes_as_large_as_can_be_are_not_taken_for_a_trap(tmp_path):
    """Of one letter only, so that they are packed as small as can be."""
    with Log(tmp_path / "log.sqlite", keeps_journal=False) as log:
        data = {"a": "x" * (MOST_DATA_BYTES - 8)}
        log.append_all(make_note("phrase", data=data) for _ in range(100))
        write_log_file(tmp_path / "x.zip", log, "Mira", ABOUT)
    assert len(list(read_log_file(tmp_path / "x.zip").notes())) == 100


def test_other_tools_read_it(log, path, tmp_path):
    """By Python's zipfile, json and hashlib: lines of JSON of which about.json tells truly."""
    entries = contents(path)
    about = json.loads(entries.pop("about.json"))
    assert about["kaan-log"] == 1
    assert (about["student"], about["about"]) == ("Mira", ABOUT)
    assert datetime.fromisoformat(about["written"]) == NOW
    assert about["entries"] == {
        name: {
            "rows": len(content.decode().splitlines()),
            "bytes": len(content),
            "sha256": hashlib.sha256(content).hexdigest(),
        }
        for name, content in entries.items()
    }
    rows = [json.loads(line) for line in entries["answers.jsonl"].splitlines()]
    assert [row["uuid"] for row in rows] == [answer.uuid for answer in log.answers("Mira")]
    assert "मीरा" in contents(path)["about.json"].decode()


@pytest.mark.skipif(not shutil.which("unzip"), reason="needs unzip")
def test_unzip_finds_it_good_and_unpacks_it(path, tmp_path):
    run = ["unzip", "-tq", str(path)]
    assert "No errors detected" in subprocess.run(run, capture_output=True, text=True).stdout
    subprocess.run(["unzip", "-q", str(path), "-d", str(tmp_path / "out")], check=True)
    found = {each.name: each.read_bytes() for each in (tmp_path / "out").iterdir()}
    assert found == contents(path)
    assert all(each.stat().st_mode & 0o777 == 0o644 for each in (tmp_path / "out").iterdir())


def test_one_packed_again_by_a_file_manager_is_read_all_the_same(log, path):
    litter = {"__MACOSX/mira/._about.json": b"?", "mira/.DS_Store": b"?", "mira/": b""}
    packed(path, {**{f"mira/{n}": c for n, c in contents(path).items()}, **litter})
    assert list(read_log_file(path).answers()) == list(log.answers("Mira"))


def test_a_log_as_it_lies_on_its_device_is_read_where_it_is_of_one_student(log, tmp_path):
    with pytest.raises(NotALogFileError, match="of 2 students"):
        read_log_file(log.path)
    assert list(read_log_file(log.path, "Ravi").answers()) == list(log.answers("Ravi"))
    with pytest.raises(NotALogFileError, match="no answers of 'Mary'"):
        read_log_file(log.path, "Mary")
    with Log(tmp_path / "one.sqlite") as one:
        one.append_all([*log.answers("Mira"), *log.leavings("Mira")])
    carried = read_log_file(tmp_path / "one.sqlite")
    assert list(carried.rows()) == [*log.answers("Mira"), *log.leavings("Mira")]
    assert (carried.student, carried.about) == ("Mira", {})


def test_an_id_that_cannot_be_shown_is_refused(tmp_path):
    with Log(tmp_path / "one.sqlite") as one:
        one.append(make_answer("a", student="\x1b[31m"))
    with pytest.raises(DamagedLogFileError, match="signs that can be seen"):
        read_log_file(tmp_path / "one.sqlite")


def test_what_stood_there_stays_until_all_is_written(log, path, monkeypatch):
    before = path.read_bytes()

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(FullDiskError, match=r"mira.zip: there is no room .* Free some room"):
        write_log_file(path, log, "Mira", ABOUT)
    assert path.read_bytes() == before
    assert [each.name for each in path.parent.glob("*.part")] == []
    assert [each.name for each in path.parent.glob(".*")] == []


def test_a_place_where_nothing_can_be_written_is_told(log, tmp_path):
    with pytest.raises(UnwritableLogError, match="Check that the folder is there"):
        write_log_file(tmp_path / "none" / "mira.zip", log, "Mira", ABOUT)


def test_a_file_written_over_while_it_is_used_is_noticed(log, path):
    carried = read_log_file(path)
    write_log_file(path, log, "Ravi", ABOUT)
    with pytest.raises(DamagedLogFileError, match=r"student='Ravi', in a file of 'Mira'"):
        list(carried.rows())


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "it is empty"),
        (b"hello", "it is no zip file"),
        (gzip.compress(b"x", mtime=0), "packed by gzip, as backups are"),
        (b"PK\3\4" + b"\0" * 999, "its end is missing"),
        (b"PK\5\6" + b"\0" * 18, "there is no about.json in it"),
    ],
)
def test_something_else_is_called_what_it_is(tmp_path, content, said):
    path = tmp_path / "x.zip"
    path.write_bytes(content)
    with pytest.raises(LogFileError, match=said):
        read_log_file(path)
    assert not is_log_file(path)


def test_a_bundle_of_decks_is_called_one(tmp_path):
    path = packed(tmp_path / "b.zip", {"decks/a.toml": "", "courses/a.toml": "", "a.wav": ""})
    with pytest.raises(NotALogFileError, match=r"holds decks and no log. Bring it in as a deck"):
        read_log_file(path)
    assert not is_log_file(path)


def test_a_database_of_another_program_is_no_log(tmp_path):
    with sqlite3.connect(tmp_path / "x.sqlite") as conn:
        conn.execute("CREATE TABLE a (b)")
    conn.close()
    with pytest.raises(NotALogError, match="another program"):
        read_log_file(tmp_path / "x.sqlite")


def test_no_file_a_folder_or_a_pipe_is_told(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(LogFileError, match=r"none: it cannot be read \(No such file"):
        read_log_file(tmp_path / "none")
    for name in ("pipe", ""):
        with pytest.raises(NotALogFileError, match="it is no file"):
            read_log_file(tmp_path / name)


def test_a_newer_format_is_refused_with_advice_whatever_else_it_holds(path):
    about = {"kaan-log": 3, "more": []}
    packed(path, {"about.json": json.dumps(about), "answers.bin": b"\0"})
    with pytest.raises(NewerLogFileError, match=r"format is 3, newer than 2. Update this program"):
        read_log_file(path)
    assert is_log_file(path)


def test_rows_of_a_newer_version_are_refused_with_advice(path, log):
    lines = contents(path)["answers.jsonl"].replace(b'"version":1', b'"version":2')
    with pytest.raises(NewerLogFileError, match=r"answers.jsonl, line 1: version=2 .* Update"):
        read_log_file(told_anew(path, answers=lines))


def test_rows_of_another_student_are_refused(path, log):
    ravi = line_of(next(log.answers("Ravi")))
    with pytest.raises(DamagedLogFileError, match=r"line 7: student='Ravi', in a file of 'Mira'"):
        read_log_file(told_anew(path, answers=contents(path)["answers.jsonl"] + ravi))
    left = contents(path)["left_out.jsonl"].replace(b"Mira", b"Ravi")
    with pytest.raises(DamagedLogFileError, match=r"left_out.jsonl, line 1: student='Ravi'"):
        read_log_file(told_anew(path, left_out=left, answers=b""))


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (b'"credit":1.0', b'"credit":NaN', "line 1: it is no line of JSON: NaN"),
        (b'"seed":7', b'"seed":9223372036854775808', "line 1: seed=9223372036854775808 cannot"),
        (b'"seed":7', b'"seed":"7"', "line 1: seed='7' cannot be"),
        (b'"heard":null', b'"heard":{}', "line 1: heard={} cannot be"),
        (b"\n", b"", "line 1: it is no line of JSON"),
        (b"\n", b"\n\n", "line 2: it is no line of JSON"),
    ],
)
def test_rows_that_no_log_would_write_are_refused_by_line_and_field(path, old, new, said):
    lines = contents(path)["answers.jsonl"].replace(old, new)
    if not lines.endswith(b"\n"):
        lines += b"\n"
    with pytest.raises(DamagedLogFileError, match=said):
        read_log_file(told_anew(path, answers=lines))


def test_a_line_without_an_end_is_not_gathered_for_ever(path, monkeypatch):
    monkeypatch.setattr(entries_module, "LONGEST_LINE", 600)
    monkeypatch.setattr(entries_module, "_CHUNK", 100)
    lines = contents(path)["answers.jsonl"].replace(b'"given":"a"', b'"given":"%b"' % (b"a" * 999))
    with pytest.raises(DamagedLogFileError, match="line 1: it is longer than a line may be"):
        read_log_file(told_anew(path, answers=lines))


def test_half_a_log_is_told_as_one(path):
    path.write_bytes(path.read_bytes()[:200])
    assert is_log_file(path)
    with pytest.raises(
        DamagedLogFileError, match="damaged on its way, and nothing of it was taken"
    ):
        read_log_file(path)


def test_a_last_line_without_an_end_is_cut_off(path):
    lines = contents(path)["answers.jsonl"]
    with pytest.raises(DamagedLogFileError, match=r"answers.jsonl, line 7: it is cut off"):
        read_log_file(told_anew(path, answers=lines + lines[:40]))


def _put(*keys, to):
    def change(about):
        *way, last = keys
        for key in way:
            about = about[key]
        about[last] = to

    return change


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda _: "[]", "about.json: it is not Kaan's"),
        (lambda _: '{"a":1}', "about.json: it is not Kaan's"),
        (lambda _: "{" * 9999, "about.json: it is no JSON"),
        (lambda _: '{"kaan-log":1,"kaan-log":1}', "a name stands twice"),
        (lambda _: " " * 2**17, r"about.json is longer than 65536"),
        (_put("kaan-log", to=True), "not Kaan's"),
        (_put("kaan-log", to=0), "no format"),
        (_put("student", to=""), "student: should be a text"),
        (_put("student", to="\ud800"), "no JSON"),
        (_put("student", to="x" * 201), "student: should be at most 200 signs"),
        (_put("student", to="a\nb"), "student: should be at most 200 signs"),
        (_put("written", to=NOW.timestamp()), "written: should be a time"),
        (_put("written", to="2026-11-29"), "written: should be a time"),
        (_put("written", to="0001-01-01T00:00:00+14:00"), "written: should be a time"),
        (_put("about", to=None), "about: should be an object"),
        (
            _put("about", to={"a": [[[[[[[[[]]]]]]]]]}),
            "about: should be an object that is not nested",
        ),
        (_put("about", to={"sa_hz": float("inf")}), "no JSON"),
        (_put("entries", to={}), "entries: should tell of answers.jsonl, left_out.jsonl"),
        (_put("entries", "answers.jsonl", to=[]), "should tell rows, bytes and sha256"),
        (_put("entries", "answers.jsonl", "rows", to=-1), "rows=-1 cannot be"),
        (_put("entries", "answers.jsonl", "bytes", to=2**40), "bytes=1099511627776 cannot"),
        (_put("entries", "answers.jsonl", "sha256", to="A" * 64), "sha256='AAA"),
        (_put("entries", "answers.jsonl", "rows", to=5), "line 6: there should be 5 lines"),
        (_put("entries", "answers.jsonl", "rows", to=7), "6 lines, and there should be 7"),
        (_put("entries", "answers.jsonl", "bytes", to=9), "is longer than 9 bytes"),
        (_put("entries", "left_out.jsonl", "sha256", to="a" * 64), "not what was written"),
    ],
)
@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_an_about_that_tells_otherwise_is_refused(path, change, said):
    with pytest.raises(LogFileError, match=said):
        read_log_file(about_with(path, change))


def test_entries_are_those_three_each_once(path):
    whole = contents(path)
    for lacking in ("answers.jsonl", "left_out.jsonl"):
        packed(path, {name: text for name, text in whole.items() if name != lacking})
        with pytest.raises(DamagedLogFileError, match=f"{lacking} is not in it"):
            read_log_file(path)
    packed(path, {**whole, "../../evil.py": b""})
    with pytest.raises(DamagedLogFileError, match=r"it holds 'evil.py' besides"):
        read_log_file(path)
    packed(path, {**whole, "other/answers.jsonl": b""})
    with pytest.raises(DamagedLogFileError, match="two entries in it have one name"):
        read_log_file(path)


def test_what_is_packed_too_well_is_refused_before_it_is_unpacked(path, monkeypatch):
    packed(path, {**contents(path), "about.json": b" " * 2**22}, compresslevel=9)
    monkeypatch.setattr(zipfile.ZipFile, "open", None)
    with pytest.raises(DamagedLogFileError, match="packed more than 200 times smaller"):
        read_log_file(path)


def test_an_entry_that_says_it_is_shorter_than_it_is_is_cut_off_there(path):
    """The sizes of an entry stand twice in a zip file (APPNOTE 4.3.7 and 4.3.12, from memory)."""
    entries = {**contents(path), "answers.jsonl": os.urandom(2**20)}
    packed(path, entries)
    data = path.read_bytes()
    size = (2**20).to_bytes(4, "little")
    assert data.count(size) == 2
    path.write_bytes(data.replace(size, (40).to_bytes(4, "little")))
    with pytest.raises(DamagedLogFileError, match=r"answers.jsonl"):
        read_log_file(path)


def test_a_zip_of_very_many_files_is_refused_before_its_list_is_read(tmp_path, monkeypatch):
    path = packed(tmp_path / "x.zip", {f"{number}.txt": b"" for number in range(400)})
    monkeypatch.setattr(zipfile, "ZipFile", None)
    with pytest.raises(NotALogFileError, match="more than 32 files"):
        read_log_file(path)


def test_a_locked_entry_is_told(path):
    data = bytearray(path.read_bytes())
    for mark, flags in ((b"PK\3\4", 6), (b"PK\1\2", 8)):
        data[data.index(mark) + flags] |= 1
    path.write_bytes(data)
    with pytest.raises(DamagedLogFileError, match=r"answers.jsonl is encrypted"):
        read_log_file(path)


def test_a_log_too_large_for_a_file_is_told(log, tmp_path, monkeypatch):
    monkeypatch.setattr(carrying_module, "MOST_BYTES", 1000)
    with pytest.raises(LogError, match="Please report this"):
        write_log_file(tmp_path / "x.zip", log, "Mira", ABOUT)
    assert not (tmp_path / "x.zip").exists()


@pytest.mark.parametrize("year", [1970, 2200])
def test_a_device_that_has_lost_the_time_hands_over_all_the_same(log, tmp_path, year):
    now = NOW.replace(year=year)
    write_log_file(tmp_path / "x.zip", log, "Mira", ABOUT, now=now)
    assert read_log_file(tmp_path / "x.zip").written == now


def test_pythons_own_tool_finds_it_good(path):
    run = subprocess.run(
        [sys.executable, "-m", "zipfile", "-t", str(path)], capture_output=True, text=True
    )
    assert run.stdout.strip() == "Done testing"
