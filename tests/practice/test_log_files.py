"""A student's answers come to another device whole, once, and into the right log, or not at all."""

import os
import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from audio.tuning import load_tuning
from practice import Practice, log_files
from practice import students as students_module
from practice.alone import alone
from practice.errors import StudentsError
from practice.log_files import hand_over_log, log_file_name, look_at_log, take_log
from practice.settings import Settings, load_settings, save_settings
from practice.students import Students
from practice.sync_words import shown
from practice.told import take_told, told_of, with_told
from scheduler import (
    Log,
    LogError,
    Memory,
    RowConflictError,
    UnwritableLogError,
    bringing,
    recalled,
)
from scheduler.carrying import open_log_file
from scheduler.errors import LockedLogError
from scheduler.history import History
from scheduler.log import Log as LogClass
from tests.practice.all_damaged_logs import Damaging, dump_of
from tests.scheduler.conftest import START, make_answer, make_note
from tests.scheduler.test_union import IN_MEMORY

NOW = datetime(2026, 11, 29, 17, 30, tzinfo=UTC)
MIRA = Settings(
    student_id="student-mira",
    device_id="tablet",
    student_name="मीरा",
    sa_hz=140.0,
    course="first-path",
    lesson_day="thursday",
    lesson_ragas=("yaman",),
    volume_db=-20.0,
)


def answers(count, *, first=0, **changes):
    given = {"student": MIRA.student_id, "device": "tablet", **changes}
    return [make_answer("abc"[day % 3], day=day, **given) for day in range(first, first + count)]


def notes(count, *, first=0):
    given = {"student": MIRA.student_id, "key": "three"}
    return [make_note("palta", minute, **given) for minute in range(first, first + count)]


def put(folder, rows, settings=MIRA):
    """A student's folder in which these rows are."""
    save_settings(settings, folder)
    with Log(folder / "log.sqlite") as log:
        log.append_all(rows)
    return folder


def rows_in(folder):
    with Log.reading(folder / "log.sqlite") as log:
        return list(log.answers()), log.leavings(), log.notes()


@pytest.fixture
def tablet(tmp_path):
    """Mira's, who has left a session out and played two paltas."""
    folder = put(tmp_path / "tablet", [*answers(5), *notes(2)])
    with Log(folder / "log.sqlite") as log:
        log.leave_out("day 1", student=MIRA.student_id, device="tablet", utc=START)
    return folder


@pytest.fixture
def path(tablet, tmp_path):
    return hand_over_log(tablet, tmp_path / "mira.zip", NOW).path


@pytest.fixture
def desk(tmp_path):
    """A teacher's, on which the teacher has practised."""
    settings = Settings(student_id="student-guru", device_id="desk", volume_db=-9.0)
    return put(tmp_path / "desk", answers(2, student="student-guru", device="desk"), settings)


def test_a_student_who_is_new_here_comes_with_what_the_file_tells(tablet, path, desk):
    seen = look_at_log(path, desk)
    assert (seen.new, seen.known, seen.is_new_student, seen.name) == (5, 0, True, "मीरा")
    assert not (desk / "students").exists()
    taken = take_log(path, desk, NOW)
    assert taken == seen
    assert taken.folder == desk / "students" / "student-mira"
    assert (taken.first, taken.last) == (START, START + timedelta(days=4))
    assert rows_in(taken.folder) == rows_in(tablet)
    # What is the student's goes along, what is the device's stays.
    settings = load_settings(taken.folder)[0]
    assert settings == replace(MIRA, device_id="desk", volume_db=-9.0)
    assert [each.id for each in Students(desk).all()] == ["student-mira", "student-guru"]


def test_on_a_device_that_nobody_has_used_all_come_to_have_one_device(path, tmp_path):
    taken = take_log(path, tmp_path / "new", NOW)
    ids = {load_settings(folder)[0].device_id for folder in (tmp_path / "new", taken.folder)}
    assert len(ids) == 1


def test_brought_in_twice_it_is_here_once(path, desk, tablet):
    folder = take_log(path, desk, NOW).folder
    for work in (look_at_log(path, desk), take_log(path, desk, NOW)):
        assert (work.new, work.known, work.is_new_student) == (0, 5, False)
    assert rows_in(folder) == rows_in(tablet)


def test_only_what_is_new_is_added_and_counted(path, desk, tablet, tmp_path):
    folder = take_log(path, desk, NOW).folder
    with Log(tablet / "log.sqlite") as log:
        log.append_all(answers(3, first=9))
        log.put_back("day 1", student=MIRA.student_id, device="tablet", utc=START)
    later = hand_over_log(tablet, tmp_path, NOW).path
    assert (look_at_log(later, desk).new, take_log(later, desk, NOW).new) == (3, 3)
    assert rows_in(folder) == rows_in(tablet)
    # The one of before comes late, and takes nothing back.
    assert take_log(path, desk, NOW).new == 0
    assert rows_in(folder) == rows_in(tablet)


def test_memory_and_history_are_afterwards_those_of_the_rows(tablet, desk, tmp_path):
    """While the app knows them from what lies beside the log."""
    put(
        desk / "students" / "m", answers(4, device="desk", first=2), replace(MIRA, device_id="desk")
    )
    practice = Practice(desk / "students" / "m", home=desk, speaker="silence")
    try:
        take_log(hand_over_log(tablet, tmp_path, NOW).path, desk, NOW)
        practice.refresh()
        with Log.reading(practice.folder / "log.sqlite") as log:
            sorting = {"families": practice._memory.families, "kin": practice._memory.kin}
            meetings = list(log.meetings(MIRA.student_id))
            told = History().after(Memory(**sorting), meetings)
            kept = recalled(log, MIRA.student_id, **sorting)
        assert len(meetings) == 8  # one of five is left out
        assert (practice._memory, practice._history) == told
        assert (kept.memory, kept.history, kept.doubt) == (*told, None)
    finally:
        practice.close()


def test_a_practice_that_is_open_elsewhere_goes_on(tablet, desk, tmp_path, path):
    take_log(path, desk, NOW)
    put(tablet, answers(2, first=7))
    with Log(desk / "students" / "student-mira" / "log.sqlite") as held:
        later = hand_over_log(tablet, tmp_path, NOW).path
        assert take_log(later, desk, NOW).new == 2
        held.append_all(answers(1, first=20, device="desk"))
        assert held.count() == 8


def test_a_log_that_another_program_holds_is_told_and_stays(tablet, desk, path, monkeypatch):
    folder = take_log(path, desk, NOW).folder
    put(tablet, answers(2, first=7))
    hand_over_log(tablet, path, NOW)
    before = rows_in(folder)
    usual = LogClass.__init__
    monkeypatch.setattr(LogClass, "__init__", lambda s, p, **how: usual(s, p, wait_s=0.05, **how))
    with closing(sqlite3.connect(folder / "log.sqlite", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(LockedLogError, match=r"another program holds it.*then try again"):
            take_log(path, desk, NOW)
    assert rows_in(folder) == before
    assert take_log(path, desk, NOW).new == 2


def test_where_one_says_otherwise_than_the_other_it_is_refused_whole(tablet, desk, path, tmp_path):
    folder = take_log(path, desk, NOW).folder
    uuid = rows_in(folder)[0][3].uuid
    other = put(tmp_path / "other", [*answers(3, first=9), *answers(1, uuid=uuid, credit=0.0)])
    clashing = hand_over_log(other, tmp_path / "other.zip", NOW).path
    before = dump_of(folder)
    for work in (look_at_log, lambda *args: take_log(*args, NOW)):
        with pytest.raises(RowConflictError) as caught:
            work(clashing, desk)
        assert f"{clashing}: another answer stands under uuid {uuid} here" in str(caught.value)
        assert "Nothing of it was taken" in str(caught.value)
    assert dump_of(folder) == before


def test_a_student_whose_file_cannot_be_taken_whole_is_not_added(path, desk, monkeypatch):
    def full(*_):
        raise LogError("log.sqlite", wrong="the disk is full", remedy="Free some room")

    monkeypatch.setattr(LogClass, "append_all", full)
    with pytest.raises(LogError, match="the disk is full"):
        take_log(path, desk, NOW)
    assert list((desk / "students").iterdir()) == []


def test_a_student_whom_two_add_at_once_is_here_once(path, desk, monkeypatch):
    """The folder in step adds one while a file that was dropped is still being read."""
    real = log_files._brought

    def slow(carried, folder):
        monkeypatch.setattr(log_files, "_brought", real)
        assert take_log(path, desk, NOW).is_new_student
        return real(carried, folder)

    monkeypatch.setattr(log_files, "_brought", slow)
    taken = take_log(path, desk, NOW)
    assert (taken.is_new_student, taken.new, taken.known) == (False, 0, 5)
    assert [each.id for each in Students(desk).all()] == ["student-mira", "student-guru"]


def test_one_who_is_set_aside_while_a_file_is_read_is_not_begun_anew(path, desk, monkeypatch):
    take_log(path, desk, NOW)
    students, real = Students(desk), log_files._brought

    def slow(carried, folder):
        brought = real(carried, folder)
        students.set_aside(students.named("student-mira"))
        return brought

    monkeypatch.setattr(log_files, "_brought", slow)
    with pytest.raises(StudentsError, match="is set aside"):
        take_log(path, desk, NOW)
    assert [each.id for each in students.all()] == ["student-guru"]


def test_nobody_is_set_aside_while_a_file_is_taken_in(path, desk, monkeypatch):
    take_log(path, desk, NOW)
    monkeypatch.setattr(students_module, "_WAIT_S", 0.01)
    students = Students(desk)
    with alone(desk, 1.0), pytest.raises(StudentsError, match="being brought in"):
        students.set_aside(students.named("student-mira"))
    students.set_aside(students.named("student-mira"))


def test_settings_that_are_another_students_are_left(path, desk, tablet):
    folder = take_log(path, desk, NOW).folder
    save_settings(Settings(student_id="student-asha", student_name="Asha"), folder)
    take_told(open_log_file(path), folder, NOW)
    assert load_settings(folder)[0].student_name == "Asha"


def test_a_torn_log_of_one_who_practises_elsewhere_is_mended_by_their_next_file(path, desk, tablet):
    folder = take_log(path, desk, NOW).folder
    (folder / "log.sqlite").write_bytes(b"garbage")
    with pytest.raises(LogError):
        look_at_log(path, desk)
    put(tablet, answers(3, first=5))
    taken = take_log(hand_over_log(tablet, path.parent / "more.zip", NOW).path, desk, NOW)
    assert (taken.new, "A new one was put together of 5 answers" in taken.trouble) == (3, True)
    assert rows_in(folder) == rows_in(tablet)


def test_where_it_cannot_be_told_who_is_here_nobody_is_added(path, desk):
    (desk / "settings.json").write_text("{")
    log = (desk / "log.sqlite").read_bytes()
    (desk / "log.sqlite").write_bytes(b"garbage")
    with pytest.raises(StudentsError, match="Let them practise once, which mends it"):
        take_log(path, desk, NOW)
    (desk / "log.sqlite").write_bytes(log)
    assert take_log(path, desk, NOW).is_new_student
    assert {each.id for each in Students(desk).all()} == {"student-mira", "student-guru"}


def test_an_answer_given_while_many_come_in_finds_the_log_free(tablet, path, desk, monkeypatch):
    """More than are held in memory, in portions; one is given in the midst of them."""
    monkeypatch.setattr(bringing, "MOST_HELD", 2)
    monkeypatch.setattr(bringing, "_ROWS_AT_ONCE", 2)
    taken = take_log(path, desk, NOW)
    put(tablet, [*answers(20, first=5), *notes(5, first=2)])
    path = hand_over_log(tablet, path.parent / "more.zip", NOW).path
    real, given = LogClass.append_all, answers(1, first=40)
    practice = Log(taken.folder / "log.sqlite", wait_s=0.0)

    def append_all(log, rows):
        count = real(log, rows)
        if log is not practice:
            real(practice, given)
        return count

    with practice, monkeypatch.context() as patched:
        patched.setattr(LogClass, "append_all", append_all)
        found = take_log(path, desk, NOW)
        assert (found.new, found.new_notes) == (20, 5)
    rows, *beside = rows_in(taken.folder)
    assert sorted(rows, key=lambda row: row.utc) == [*rows_in(tablet)[0], *given]
    assert beside == [*rows_in(tablet)[1:]]


@pytest.mark.parametrize(
    "student", ["../../evil", "/evil", "CON", "a/b", "a\\b", ".", "मीरा", "x" * 200]
)
def test_an_id_that_may_be_no_folder_gets_one_all_the_same(tmp_path, student):
    settings = replace(MIRA, student_id=student)
    source = put(tmp_path / "source", answers(2, student=student), settings)
    path, home = hand_over_log(source, tmp_path, NOW).path, tmp_path / "home"
    taken = take_log(path, home, NOW)
    assert taken.folder.parent == home / "students"
    assert taken.folder.name.isascii()
    assert load_settings(taken.folder)[0].student_id == student
    assert take_log(path, home, NOW).known == 2
    assert {each.name for each in tmp_path.iterdir()} == {"source", "home", path.name}


def test_one_who_is_set_aside_is_put_back_first(path, desk, tablet):
    take_log(path, desk, NOW)
    students = Students(desk)
    students.set_aside(students.named("student-mira"))
    for work in (look_at_log, lambda *args: take_log(*args, NOW)):
        with pytest.raises(StudentsError, match="मीरा is set aside on this device"):
            work(path, desk)
    students.put_back(students.aside()[0])
    assert take_log(path, desk, NOW).known == 5


def test_what_was_coming_when_the_program_was_killed_is_removed_in_time(path, desk):
    old, new = (desk / "students" / f".coming-{age}" for age in ("old", "new"))
    for left in (old, new):
        put(left, answers(1))
    os.utime(old, (1.0, 1.0))
    take_log(path, desk, NOW)
    assert not old.exists()
    assert new.exists()  # perhaps it is still coming
    assert [each.id for each in Students(desk).all()] == ["student-mira", "student-guru"]


def test_a_folder_in_the_way_is_never_touched(path, desk):
    (desk / "students" / "student-mira").mkdir(parents=True)
    (desk / "students" / "student-mira" / "settings.json").write_text('{"student_id": "x"}')
    taken = take_log(path, desk, NOW)
    assert taken.folder.name != "student-mira"
    assert not (desk / "students" / "student-mira" / "log.sqlite").exists()


def test_settings_follow_the_student_where_nobody_answers_here(tablet, path, desk, tmp_path):
    folder = take_log(path, desk, NOW).folder
    # The teacher gives her a name of his own; she comes to have another Sa.
    save_settings(replace(load_settings(folder)[0], student_name="Mira, Tuesdays"), folder)
    save_settings(replace(MIRA, sa_hz=147.0), tablet)
    later = hand_over_log(tablet, tmp_path / "later.zip", NOW + timedelta(days=1)).path
    taken = take_log(later, desk, NOW + timedelta(days=1))
    settings = load_settings(folder)[0]
    assert (settings.student_name, settings.sa_hz, taken.name) == (
        "Mira, Tuesdays", 147.0, "Mira, Tuesdays",
    )  # fmt: skip
    # An older file that comes late changes nothing; a newer name of hers does.
    take_log(path, desk, NOW)
    assert load_settings(folder)[0] == settings
    save_settings(replace(MIRA, sa_hz=147.0, student_name="Mira"), tablet)
    hand_over_log(tablet, later, NOW + timedelta(days=2))
    assert take_log(later, desk, NOW + timedelta(days=2)).name == "Mira"


def test_a_clock_that_was_ahead_keeps_no_later_file_from_telling(tablet, path, desk):
    hand_over_log(tablet, path, NOW + timedelta(days=900))
    folder = take_log(path, desk, NOW).folder
    save_settings(replace(MIRA, sa_hz=147.0), tablet)
    hand_over_log(tablet, path, NOW + timedelta(days=1))
    take_log(path, desk, NOW + timedelta(days=1))
    assert load_settings(folder)[0].sa_hz == 147.0


def test_settings_stay_where_the_student_has_answered(path, tmp_path):
    """As on a second device of the student's own."""
    own = replace(MIRA, device_id="phone", sa_hz=150.0)
    home = put(tmp_path / "phone", answers(1, first=30, device="phone"), own)
    assert take_log(path, home, NOW).folder == home
    assert load_settings(home)[0] == own
    assert len(rows_in(home)[0]) == 6


@pytest.mark.parametrize("tuning", ["just", "equal", "mine.scl"])
def test_a_tuning_goes_along_and_needs_no_file_there(tablet, desk, tmp_path, tuning):
    """A scale of Scala's format (huygens-fokker.org/scala/scl_format.html, from memory)."""
    steps = "\n".join(f"{100 * step + 3}.0" for step in range(1, 12))
    (tmp_path / "mine.scl").write_text(f"! mine\nmine\n12\n{steps}\n2/1\n")
    choice = str(tmp_path / tuning) if tuning == "mine.scl" else tuning
    save_settings(replace(MIRA, tuning=choice), tablet)
    cents = load_tuning(choice).cents
    path = hand_over_log(tablet, tmp_path, NOW).path
    (tmp_path / "mine.scl").unlink()
    taken = load_settings(take_log(path, desk, NOW).folder)[0].tuning
    assert load_tuning(taken).cents == pytest.approx(cents)


@pytest.mark.parametrize("told", ["/etc/passwd", "mine.scl", 7, "places 1 2", {"a": 1}])
def test_a_tuning_that_needs_a_file_or_is_none_is_passed_over(told):
    assert with_told(Settings(), {"tuning": told}).tuning == "just"


def test_a_tuning_whose_file_is_gone_is_not_told(tmp_path):
    assert "tuning" not in told_of(replace(MIRA, tuning=str(tmp_path / "mine.scl")))


def test_a_log_as_it_lies_on_its_device_is_taken_too(tablet, desk):
    taken = take_log(tablet / "log.sqlite", desk, NOW)
    assert (taken.new, taken.name, taken.is_new_student) == (5, "", True)
    assert rows_in(taken.folder) == rows_in(tablet)


def test_nothing_but_another_log_is_written_over(tablet, path, tmp_path):
    assert hand_over_log(tablet, path, NOW).answers == 5
    for kept in (tablet / "log.sqlite", tablet / "settings.json"):
        before = kept.read_bytes()
        with pytest.raises(UnwritableLogError, match="Choose another name"):
            hand_over_log(tablet, kept, NOW)
        assert kept.read_bytes() == before


def test_answers_of_another_student_are_never_written_over(tablet, path, tmp_path):
    """Two may have one name, and hand over into one folder on one day."""
    other = replace(MIRA, student_id="student-other")
    other = put(tmp_path / "other", answers(2, student="student-other"), other)
    into = tmp_path / "into"
    into.mkdir()
    handed = [hand_over_log(one, into, NOW).path for one in (tablet, other, tablet, other)]
    assert [one.name for one in handed[:2]] == [
        "kaan-मीरा-2026-11-29.zip",
        "kaan-मीरा-2026-11-29-2.zip",
    ]
    assert handed[2:] == handed[:2]
    before = path.read_bytes()
    with pytest.raises(UnwritableLogError, match="answers of another student stand there"):
        hand_over_log(other, path, NOW)
    assert path.read_bytes() == before


def test_a_name_keeps_what_joins_its_letters(tablet, tmp_path, desk):
    """As in Unicode 16, chapter 12.1: the zero width joiner and non-joiner shape conjuncts."""
    name = "श्री\u200dराम"
    save_settings(replace(MIRA, student_name=f"{name}\u202e\x07"), tablet)
    assert take_log(hand_over_log(tablet, tmp_path, NOW).path, desk, NOW).name == name
    assert shown(f"{name}\u202e") == f"{name}…"


def test_who_has_answered_nothing_has_nothing_to_hand_over(tmp_path):
    save_settings(MIRA, tmp_path / "new")
    with pytest.raises(LogError, match=r"answered nothing yet. Practise first"):
        hand_over_log(tmp_path / "new", tmp_path, NOW)
    put(tmp_path / "new", answers(1, student="student-other"))
    with pytest.raises(LogError, match=r"answered nothing yet. Practise first"):
        hand_over_log(tmp_path / "new", tmp_path, NOW)


def test_a_practice_hands_over_while_it_is_open(tablet, tmp_path):
    practice = Practice(tablet, speaker="silence")
    try:
        handed = hand_over_log(practice, tmp_path, NOW)
    finally:
        practice.close()
    assert (handed.answers, handed.path.name) == (5, "kaan-मीरा-2026-11-29.zip")


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("Mira  B./x", "mira-b-x"),
        ("", "student-mira"),
        ("///", "student-mira"),
        ("Ö" * 99, "ö" * 40),
    ],
)
def test_the_files_name_says_whose_it_is(name, said):
    assert log_file_name(replace(MIRA, student_name=name), NOW) == f"kaan-{said}-2026-11-29.zip"


def test_a_thousand_damages_change_nothing():
    """More, by hand: python -m tests.practice.all_damaged_logs."""
    with TemporaryDirectory(dir=IN_MEMORY) as folder, Damaging(Path(folder)) as damaging:
        for seed in range(1000):
            damaging.judge(seed)
        refused, taken = damaging.count["refused"], damaging.count["taken"]
    assert refused + taken == 1000
    assert refused > 900
    assert taken > 0  # such as one whose entries are merely dated otherwise
