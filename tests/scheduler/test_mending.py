"""A log that is torn or gone is put together from backup, journals and what can still be read."""

import errno
import gzip
import multiprocessing
import os
import random
import resource
import shutil
import signal
import sqlite3
from contextlib import closing, suppress
from datetime import date, timedelta
from io import FileIO
from pathlib import Path

import pytest

from scheduler import FullDiskError, Log, LogError, Memory, keep, recalled, salvage
from scheduler import journal as journal_module
from scheduler import log as log_module
from scheduler.backups import BAD, LAST, backups_of
from scheduler.journal import PLAIN, files_of
from scheduler.kept import kept_path
from tests.scheduler.all_damaged_logs import KINDS, check, orders
from tests.scheduler.conftest import START, make_note
from tests.scheduler.dying import killed_at_each_step
from tests.scheduler.test_opening import tear

DAY = date(2026, 11, 29)
TAKES_ANY = {"families": {}, "kin": {}}


@pytest.fixture
def log(tmp_path, answer_to):
    """Of two devices in turn: 200 answers in one backup, 100 in another, 60 in neither; closed."""
    with Log(tmp_path / "log.sqlite") as log:
        for part, first, last in ((0, 0, 200), (1, 200, 300), (2, 300, 360)):
            log.append_all(
                answer_to(f"skill {n}", seed=n, device=("tablet", "desk")[n // 7 % 2], day=n // 30)
                for n in range(first, last)
            )
            log.append_all(make_note("palta", n, device="desk") for n in range(first, last, 20))
            if part < 2:
                log.back_up(DAY + timedelta(part))
        log.leave_out("day 0", student="Mira", device="tablet", utc=START)
    return log


def kept(log):
    """What a log holds."""
    with Log.reading(log.path) as found:
        return list(found.answers()), found.leavings(), found.notes(), orders(found)


@pytest.mark.parametrize("share", [0.0, 0.02, 0.3, 0.6, 0.98])
def test_a_torn_log_loses_nothing(log, share):
    before = kept(log)
    tear(log.path, at=int(log.path.stat().st_size * share))
    torn = log.path.read_bytes()
    with Log(log.path) as found:
        assert "300 from the backup of 30 November 2026, 60 from the journal" in found.trouble
        assert "A new one was put together of 360 answers: 300 from" in found.trouble
        assert "none is missing" in found.trouble
        assert found.numbers() == (1, 360)
        assert found._db.journal_mode == "wal"
    assert kept(log) == before
    (aside,) = log.path.parent.glob("log.damaged-*.sqlite")
    assert aside.read_bytes() == torn
    assert aside.name in found.trouble
    with Log(log.path) as found:
        assert found.trouble is None


def test_where_the_newest_backup_is_torn_an_older_one_is_taken(log):
    before = kept(log)
    newest = backups_of(log.path)[0].path
    tear(newest, at=newest.stat().st_size // 2, size=200)
    tear(log.path)
    with Log(log.path) as found:
        assert "200 from the backup of 29 November 2026, 160 from the journal" in found.trouble
        assert found.back_up(DAY + timedelta(1))
    assert kept(log) == before
    assert newest.with_name(f"{newest.name}{BAD}").exists()


def test_where_all_backups_are_torn_the_journals_have_it_all(log):
    before = kept(log)
    for backup in backups_of(log.path):
        backup.path.write_bytes(b"\x1f\x8b\x08")
    log.path.write_bytes(b"garbage")
    with Log(log.path) as found:
        assert "360 from the journal of each day. As far as" in found.trouble
    assert kept(log) == before


def test_where_the_journal_is_torn_too_what_is_missing_is_told(log):
    (journal,) = files_of(log.path, PLAIN)
    lines = journal.path.read_bytes().splitlines(keepends=True)
    lines[320:330] = [line[:40] for line in lines[320:330]]
    journal.path.write_bytes(b"".join(lines))
    log.path.write_bytes(b"garbage")
    with Log(log.path) as found:
        assert found.count() == 349  # the last of those cut short has taken the next with it
        assert "At least 11 answers could not be found again" in found.trouble
        assert [row.seed for row in found.answers() if row.device == "desk"] == sorted(
            row.seed for row in found.answers() if row.device == "desk"
        )


def test_that_notes_are_missing_is_told_too(log):
    (journal,) = files_of(log.path, PLAIN)
    lines = journal.path.read_bytes().splitlines(keepends=True)
    notes = [number for number, line in enumerate(lines) if b'"notes"' in line]
    assert len(notes) == 18
    lines[notes[-2]] = lines[notes[-2]][:30] + b"\n"
    journal.path.write_bytes(b"".join(lines))
    log.path.write_bytes(b"garbage")
    with Log(log.path) as found:
        assert len(found.notes()) == 17
        assert "Of what stood beside the answers, at least 1 row could not be" in found.trouble
        assert "As far as their numbers tell, none is missing" in found.trouble  # of the answers


def test_without_a_journal_the_torn_log_itself_is_read(log):
    before = kept(log)
    for journal in files_of(log.path, PLAIN):
        journal.path.unlink()
    tear(log.path, at=log.path.stat().st_size * 2 // 5, size=300)
    with Log(log.path) as found:
        assert "that could be read only from the damaged log" in found.trouble
        assert found.count() == 360
    assert kept(log)[0] == before[0]


def test_of_a_log_torn_in_several_places_only_what_stood_there_is_lost(tmp_path, answer_to):
    """Which pages hold answers, and how many, by https://www.sqlite.org/fileformat.html, 1.6: 13
    begins a leaf of a table, the two bytes after the third count its cells."""
    path, size = tmp_path / "log.sqlite", 4096
    with Log(path, keeps_journal=False) as log:
        log.append_all(answer_to(f"skill {n}", seed=n) for n in range(2000))
    file = path.read_bytes()
    pages = [at for at in range(size, len(file), size) if file[at] == 13]
    holding = [at for at in pages if file[at : at + size].count(b"skill ") > 3]
    torn = random.Random(3).sample(holding[1:-1], 5)
    for at in torn:
        tear(path, at=at, size=size)
    lost = sum(int.from_bytes(file[at + 3 : at + 5], "big") for at in torn)
    with Log(path) as log:
        assert log.count() == 2000 - lost < 2000
        assert f"At least {lost} answers could not be found again" in log.trouble
        seeds = [answer.seed for answer in log.answers()]
        assert seeds == sorted(seeds)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork a process")
def test_the_newest_rows_of_a_program_that_was_killed_are_read_beside_a_torn_log(log, answer_to):
    process = os.fork()
    if process == 0:
        with suppress(BaseException):
            killed = Log(log.path, keeps_journal=False)
            killed.append_all(answer_to(f"last {n}", device="desk") for n in range(5))
        os._exit(0)
    os.waitpid(process, 0)
    assert log.path.with_name("log.sqlite-wal").stat().st_size
    tear(log.path, at=log.path.stat().st_size * 4 // 10)
    with Log(log.path) as found:
        assert "5 that could be read only from the damaged log" in found.trouble
        assert found.count() == 365


def test_behind_what_the_disk_does_not_give_back_all_is_read(tmp_path, answer_to, monkeypatch):
    """As of a sector that has died: the system answers EIO (read, POSIX)."""
    path = tmp_path / "log.sqlite"
    with Log(path, keeps_journal=False) as log:
        log.append_all(answer_to(f"skill {n}", seed=n) for n in range(2000))
    file, real = path.read_bytes(), FileIO.read
    pages = [at for at in range(4096, len(file), 4096) if file[at] == 13]  # as above
    dead = next(at for at in pages[5:] if file[at : at + 4096].count(b"skill ") > 3)

    class Dying(FileIO):
        def read(self, size):
            if self.tell() == dead:
                raise OSError(errno.EIO, "Input/output error")
            return real(self, size)

    with monkeypatch.context() as patched:
        opened = Path.open
        patched.setattr(
            Path, "open", lambda self, *given, **more: Dying(self) if more else opened(self, *given)
        )
        rows = [row for _, row in salvage.readable_rows(path, {"answers": ("seed",)})]
    assert 1900 < len({seed for _, seed in rows}) < 2000
    assert not list(tmp_path.glob(".torn-*"))


@pytest.mark.parametrize("is_empty", [True, False])
def test_a_log_that_is_gone_is_brought_back(log, is_empty):
    before = kept(log)
    for path in log.path.parent.glob("log.sqlite*"):
        path.unlink()
    if is_empty:
        log.path.write_bytes(b"")
    with Log(log.path) as found:
        assert "it is gone or empty, though there are backups" in found.trouble
        assert ("It is kept as" in found.trouble) == is_empty
        assert found.trouble.endswith("To begin anew, remove the folder backups, too.")
    assert kept(log) == before
    shutil.rmtree(log.path.parent / "backups")
    log.path.unlink()
    with Log(log.path) as found:  # as it says: so one begins anew
        assert (found.trouble, found.count()) == (None, 0)


def test_a_file_of_another_program_among_the_backups_is_passed_over(log):
    before = kept(log)
    newest = backups_of(log.path)[0].path
    other = newest.with_name("log-2026-12-24.sqlite.gz")
    with gzip.open(other, "wb") as file:
        file.write(b"not a log")
    tear(log.path)
    Log(log.path).close()
    assert kept(log) == before


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork a process")
def test_killed_at_any_moment_of_mending_nothing_is_lost(log):
    before, home = kept(log), log.path.parent
    tear(log.path)
    shutil.copytree(home, home / "torn", ignore=lambda folder, names: ["torn"])
    told = []

    def check():
        with Log(log.path) as found:
            told.append(found.trouble)
        assert kept(log) == before
        left = [path.suffix for path in home.glob("log.sqlite.*")]
        assert not {".mended", ".ready"} & {*left}
        for path in home.glob("log.*"):
            path.unlink()
        shutil.rmtree(home / "backups")
        shutil.copytree(home / "torn", home, dirs_exist_ok=True)

    assert killed_at_each_step(lambda: Log(log.path).close(), check) > 5
    assert told[-1] is None
    assert any("before it could say so" in (text or "") for text in told)


def test_a_disk_that_is_full_leaves_the_torn_log_and_its_backups(log, monkeypatch):
    before = kept(log)
    tear(log.path)
    torn, files = log.path.read_bytes(), sorted(os.listdir(log.path.parent / "backups"))
    for step in ("unpacked", "pool"):
        with monkeypatch.context() as patched:
            full = FullDiskError(log.path, wrong="the disk is full", remedy="Free some room")

            def fail(*_, full=full):
                raise full

            name = {"unpacked": "check_backup", "pool": "lacking"}[step]
            module = log_module.backups if step == "unpacked" else log_module
            patched.setattr(module, name, fail)
            with pytest.raises(FullDiskError):
                Log(log.path)
        assert log.path.read_bytes() == torn
        assert sorted(os.listdir(log.path.parent / "backups")) == files
    Log(log.path).close()
    assert kept(log) == before


@pytest.mark.parametrize("name", ["backups_of", "_text_of", "unpacked"])
def test_what_cannot_be_read_just_now_is_neither_torn_nor_left_out(log, monkeypatch, name):
    def too_many(*_):
        raise OSError(errno.EMFILE, "Too many open files")

    before, files = kept(log), sorted(os.listdir(log.path.parent / "backups"))
    tear(log.path)
    torn = log.path.read_bytes()
    with monkeypatch.context() as patched:
        patched.setattr(
            journal_module if name == "_text_of" else log_module.backups, name, too_many
        )
        with pytest.raises(LogError, match=r"cannot be read just now.*Too many"):
            Log(log.path)
    assert log.path.read_bytes() == torn
    assert sorted(os.listdir(log.path.parent / "backups")) == files
    Log(log.path).close()
    assert kept(log) == before


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork a process")
def test_a_disk_that_fills_as_the_new_log_is_closed_loses_nothing(log, answer_to, monkeypatch):
    """SQLite's close tells nothing of a checkpoint that fails. The system's own bound on the size
    of a file stands for the disk (setrlimit, POSIX), but for the copy that is read elsewhere."""
    with Log(log.path, keeps_journal=False) as found:
        found.append_all(answer_to(f"later {n}", device="desk") for n in range(360))
    before, size = kept(log), log.path.stat().st_size
    tear(log.path)
    torn = log.path.read_bytes()
    monkeypatch.setattr(salvage, "_copy", os.symlink)

    def opened(share):
        """Whether it could be, by a process of its own."""
        process = os.fork()
        if process == 0:
            with suppress(BaseException):
                signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
                resource.setrlimit(resource.RLIMIT_FSIZE, (int(size * share), -1))
                with suppress(LogError):
                    Log(log.path).close()
                    os._exit(0)
            os._exit(1)
        return os.waitstatus_to_exitcode(os.waitpid(process, 0)[1]) == 0

    for share in (0.4, 0.8, 0.9):  # the backup has no room; the rows have, but not in the file
        assert not opened(share)
        assert log.path.read_bytes() == torn
    with Log(log.path) as found:
        assert "that could be read only from the damaged log" in found.trouble
    assert kept(log)[1:] == before[1:]
    assert len(kept(log)[0]) == len(before[0])


def _open(path, told):
    with Log(path) as log:
        told.put((log.trouble is not None, log.count()))


def test_two_programs_that_find_it_torn_put_it_together_once(log):
    tear(log.path)
    fork = multiprocessing.get_context("fork" if hasattr(os, "fork") else "spawn")
    told = fork.Queue()
    both = [fork.Process(target=_open, args=(log.path, told)) for _ in range(2)]
    for one in both:
        one.start()
    assert sorted(told.get(timeout=60)[1] for _ in both) == [360, 360]
    for one in both:
        one.join(60)
    assert len(list(log.path.parent.glob("log.damaged-*.sqlite"))) == 1


def test_what_was_kept_of_a_memory_is_not_relied_on_after_mending(log):
    with Log(log.path) as found:
        assert keep(recalled(found, "Mira", **TAKES_ANY), found).is_kept
        told = repr(Memory.rebuilt(found.meetings("Mira"), **TAKES_ANY))
    assert kept_path(log.path, "Mira").exists()
    tear(log.path)
    with Log(log.path) as found:
        assert not kept_path(log.path, "Mira").exists()
        again = recalled(found, "Mira", **TAKES_ANY)
        assert again.doubt == "nothing was kept"
        assert repr(again.memory) == told


def test_it_is_mended_again_after_some_were_lost_for_good(log, answer_to):
    """Numbers begin to run otherwise than in journals and backups of before."""
    for journal in files_of(log.path, PLAIN):
        journal.path.unlink()
    log.path.write_bytes(b"garbage")
    with Log(log.path) as found:
        assert found.count() == 300
        found.append_all(answer_to(f"later {n}", seed=400 + n, device="desk") for n in range(5))
        order = orders(found)
        for number in range(LAST):
            found.append(answer_to(f"last {number}", device="tablet"))
            found.back_up(DAY + timedelta(9 + number))
    log.path.write_bytes(b"garbage")
    with Log(log.path) as found:
        assert found.count() == 305 + LAST
        assert orders(found)["desk answers"] == order["desk answers"]


@pytest.mark.parametrize("kinds", KINDS, ids=str)
def test_torn_anywhere_all_is_saved_that_anything_whole_tells(kinds):
    assert check(random.Random(2), kinds) is not None


def test_names_torn_in_the_file_s_own_description_are_noticed(log):
    """Python cannot even read what SQLite says of them."""
    before, file = kept(log), log.path.read_bytes()
    log.path.write_bytes(file.replace(b"skill ON answers", b"skill ON \xa2nswers"))
    with closing(sqlite3.connect(log.path)) as conn, pytest.raises(UnicodeDecodeError):
        conn.execute("SELECT count(*) FROM answers")
    with Log(log.path) as found:
        assert "none is missing" in found.trouble
    assert kept(log) == before
