"""A whole copy each day of use, whatever else happens; the right ones are kept."""

import gzip
import os
import re
import resource
import signal
import sqlite3
import threading
from contextlib import closing
from datetime import date, timedelta

import pytest

from scheduler import DamagedLogError, Log, LogError, StoppedError, UnwritableLogError, backups
from scheduler.backups import LAST, MANY, back_up, backups_of, bring_back
from tests.scheduler.dying import killed_at_each_step
from tests.scheduler.test_opening import tear

DAY = date(2026, 11, 29)


@pytest.fixture
def log(tmp_path, answer_to):
    with Log(tmp_path / "log.sqlite") as log:
        log.append_all(answer_to(f"skill {n}") for n in range(40))
        yield log


def unpacked(packed, into):
    """By the standard library's gzip and SQLite alone."""
    into.write_bytes(gzip.decompress(packed.read_bytes()))
    with closing(sqlite3.connect(into)) as conn:
        assert conn.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        return conn.execute("SELECT * FROM answers ORDER BY rowid").fetchall()


def names(log):
    return sorted(path.name for path in (log.path.parent / "backups").glob("*.gz"))


def test_a_backup_is_a_packed_log_that_any_tool_unpacks(log, tmp_path):
    made = log.back_up(DAY)
    assert made == tmp_path / "backups" / "log-2026-11-29.sqlite.gz"
    rows = log._db.execute("SELECT * FROM answers ORDER BY rowid").fetchall()
    assert unpacked(made, tmp_path / "copy.sqlite") == rows
    with Log.reading(tmp_path / "copy.sqlite") as copy:
        assert list(copy.answers()) == list(log.answers())
    assert [(one.day, one.holds) for one in backups_of(log.path)] == [("2026-11-29", 40)]


def test_one_is_due_each_day_on_which_something_is_new(log, answer_to):
    assert log.back_up(DAY)
    assert log.back_up(DAY) is None
    assert log.back_up(DAY + timedelta(1)) is None  # nothing was answered
    log.append(answer_to())
    assert log.back_up(DAY) is None
    assert log.back_up(DAY + timedelta(1))
    log.append_all(answer_to() for _ in range(MANY))
    assert log.back_up(DAY + timedelta(1)).name == "log-2026-11-30-2.sqlite.gz"
    log.append_all(answer_to() for _ in range(MANY))
    assert log.back_up(DAY + timedelta(1)).name == "log-2026-11-30-3.sqlite.gz"
    with Log(log.path.with_name("empty.sqlite")) as empty:
        assert empty.back_up(DAY) is None


def test_the_last_seven_are_kept_and_the_newest_of_each_month(log, answer_to):
    days = [date(2026, 9, 27) + timedelta(n) for n in range(0, 64, 2)]
    for day in days:
        log.append(answer_to())
        log.back_up(day)
    kept = [re.sub(r"log-|\.sqlite\.gz", "", name) for name in names(log)]
    assert kept[-LAST:] == [f"{day}" for day in days[-LAST:]]
    assert kept[:-LAST] == ["2026-09-29", "2026-10-31"]


def test_the_newest_is_the_one_that_holds_most_whatever_the_clock_said(log, answer_to, tmp_path):
    days = [DAY, date(2036, 1, 1), date(2020, 1, 1), *(DAY + timedelta(n) for n in range(1, 12))]
    for day in days:
        log.append(answer_to())
        log.back_up(day)
    assert [one.day for one in backups_of(log.path)[:LAST]] == [
        f"{day}" for day in days[: -LAST - 1 : -1]
    ]
    for one in backups_of(log.path)[:LAST]:
        one.path.unlink()
    found = bring_back(log.path, tmp_path / "draft")
    assert (found.day, found.holds) == ("2026-11-30", 44)  # and not that of 2036
    for _ in range(2):  # on a device whose clock begins anew each day
        log.append_all(answer_to() for _ in range(MANY))
        assert log.back_up(date(2020, 1, 1)) in {one.path for one in backups_of(log.path)}


def test_one_of_a_log_begun_anew_is_kept_beside_fuller_ones(log, answer_to, tmp_path):
    for day in range(LAST + 2):
        log.append(answer_to())
        log.back_up(DAY + timedelta(day))
    log.close()
    with Log(tmp_path / "other.sqlite") as other:
        other.append(answer_to())
    os.replace(other.path, log.path)
    for day in range(30, 33):
        with Log(log.path) as anew:
            anew.append(answer_to())
            assert anew.back_up(DAY + timedelta(day)).exists()


def left_over(log):
    return [path for path in (log.path.parent / "backups").iterdir() if path.name[0] == "."]


def test_a_disk_that_is_full_is_told_and_leaves_nothing_behind(log, answer_to):
    """The system's own bound on the size of a file stands for the disk (setrlimit, POSIX)."""
    log.append_all(answer_to(setting={"noise": os.urandom(2000).hex()}) for _ in range(40))
    before = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    try:
        resource.setrlimit(resource.RLIMIT_FSIZE, (50_000, hard))
        with pytest.raises(LogError, match=r"disk.*room"):
            back_up(log.path, DAY)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
        signal.signal(signal.SIGXFSZ, before)
    assert (names(log), left_over(log)) == ([], [])
    log.append(answer_to())
    assert log.back_up(DAY)


def test_a_disk_that_forgets_is_noticed_before_the_backup_is_relied_on(log, monkeypatch):

    def forgetful(path, mode):
        file = packed(path, mode)
        monkeypatch.setattr(file, "read", lambda size: b"")
        return file

    packed = gzip.open
    monkeypatch.setattr(gzip, "open", forgetful)
    with pytest.raises(UnwritableLogError, match="does not give back"):
        log.back_up(DAY)
    assert (names(log), left_over(log)) == ([], [])


def test_a_folder_that_cannot_be_made_is_told(log):
    for path in (log.path.parent / "backups").iterdir():
        path.unlink()
    (log.path.parent / "backups").rmdir()
    (log.path.parent / "backups").write_text("in the way")
    with pytest.raises(UnwritableLogError, match="no backup could be made there"):
        log.back_up(DAY)


def test_it_is_broken_off_when_nobody_waits_any_longer(log):
    stop = threading.Event()
    stop.set()
    with pytest.raises(StoppedError):
        log.back_up(DAY, stop)
    assert (names(log), left_over(log)) == ([], [])


@pytest.mark.parametrize("step", ["_reading", "_quick_check"])
def test_it_is_broken_off_in_the_midst_of_copying_or_checking(log, answer_to, monkeypatch, step):
    log.append_all(answer_to(f"skill {n}") for n in range(2000))
    monkeypatch.setattr(backups, "_STEPS_AT_ONCE", 100)
    monkeypatch.setattr(backups, "_PAGES_AT_ONCE", 5)
    stop, real, asked = threading.Event(), getattr(backups, step), []

    def stopping(*given):
        asked.append(given)
        if step == "_quick_check" or len(asked) == 2:  # the first is of what is due
            stop.set()
        return real(*given)

    monkeypatch.setattr(backups, step, stopping)
    monkeypatch.setattr(backups, "pack_into", None)  # it does not come to that
    with pytest.raises(StoppedError):
        log.back_up(DAY, stop)
    assert (names(log), left_over(log)) == ([], [])
    assert asked


def test_a_log_found_torn_is_not_backed_up_and_is_mended_at_the_next_opening(tmp_path, answer_to):
    path = tmp_path / "log.sqlite"
    with Log(path) as log:
        log.append_all(answer_to(f"skill {n}") for n in range(300))
    with Log(path) as log:
        tear(path)
        with pytest.raises(DamagedLogError, match="Close the program"):
            log.back_up(DAY)
        assert names(log) == []
    with Log(path) as log:
        assert "could not be used" in log.trouble
        assert log.count() == 300
        assert log.back_up(DAY)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork a process")
def test_killed_at_any_moment_a_backup_is_whole_or_not_there(tmp_path, answer_to):
    path, seen = tmp_path / "log.sqlite", []
    with Log(path, keeps_journal=False) as log:
        for day in range(LAST):
            log.append(answer_to())
            log.back_up(DAY + timedelta(day))
        log.append(answer_to())

    def check():
        found = backups_of(path)
        for one in found:
            assert len(unpacked(one.path, tmp_path / "copy")) == one.holds
        seen.append(len(found))
        assert found[-1].day == "2026-11-29" or found[0].day == "2026-12-06"

    killed = killed_at_each_step(lambda: back_up(path, DAY + timedelta(LAST)), check)
    assert killed >= 4
    assert seen[0] == LAST
    assert seen[-1] == LAST + 1  # of November the newest is kept beside the last seven
    assert backups_of(path)[0].day == "2026-12-06"


def test_what_a_killed_program_left_half_done_is_removed_after_a_day(log):
    folder = log.path.parent / "backups"
    for name in (".copy-old", ".copy-new"):
        (folder / name).mkdir()
        (folder / name / "copy").write_text("half")
    (folder / ".log.part").write_text("half")
    for name in (".copy-old", ".log.part"):
        os.utime(folder / name, (10**9, 10**9))
    log.back_up(DAY)
    assert [path.name for path in left_over(log)] == [".copy-new"]


def test_while_a_backup_is_made_two_programs_go_on_writing(log, answer_to, tmp_path):
    done = threading.Event()
    with Log(log.path) as other:

        def write():
            while not done.is_set():
                for one in (log, other):
                    one.append(answer_to())

        thread = threading.Thread(target=write)
        thread.start()
        try:
            made = [other.back_up(DAY + timedelta(n)) for n in range(4)]
        finally:
            done.set()
            thread.join()
        rows = log._db.execute("SELECT * FROM answers ORDER BY rowid").fetchall()
    for path in filter(None, made):
        copy = unpacked(path, tmp_path / "copy")
        assert copy == rows[: len(copy)]
    assert made[0] is not None
