"""Log files that are new, old, newer, foreign, torn, locked, full or out of reach."""

import json
import os
import shutil
import sqlite3
from contextlib import closing

import pytest
from sqlite_utils import Database

from scheduler import (
    DamagedLogError,
    FullDiskError,
    LockedLogError,
    Log,
    LogError,
    NewerLogError,
    NotALogError,
    UnwritableLogError,
    checked,
    opening,
)
from scheduler import log as log_module
from scheduler.schema import APPLICATION_ID, COLUMNS, migrations

# The file as the first version made it, by `sqlite3 log.db .dump`, less what SQLite adds itself.
FIRST_FORMAT = """
CREATE TABLE "_sqlite_migrations" (
   [id] INTEGER PRIMARY KEY, [migration_set] TEXT, [name] TEXT, [applied_at] TEXT);
CREATE UNIQUE INDEX [idx__sqlite_migrations_migration_set_name]
    ON [_sqlite_migrations] ([migration_set], [name]);
INSERT INTO _sqlite_migrations VALUES (1, 'kaan log', '0001 write ahead', '2026-01-01');
INSERT INTO _sqlite_migrations VALUES (2, 'kaan log', '0002 answers', '2026-01-01');
CREATE TABLE answers (
    uuid TEXT NOT NULL PRIMARY KEY, student TEXT NOT NULL, skill TEXT NOT NULL, kind TEXT NOT NULL,
    seed INTEGER NOT NULL, setting TEXT NOT NULL, choices TEXT NOT NULL, "right" TEXT NOT NULL,
    given TEXT NOT NULL, credit REAL NOT NULL, heard TEXT, chance REAL NOT NULL,
    predicted REAL NOT NULL, reason TEXT NOT NULL, response_ms INTEGER NOT NULL,
    utc_ms INTEGER NOT NULL, offset_min INTEGER NOT NULL, monotonic_s REAL NOT NULL,
    device TEXT NOT NULL, session TEXT NOT NULL, version INTEGER NOT NULL) STRICT;
INSERT INTO answers VALUES ('u1', 'Mira', 'swara:R', 'swara', 7, '{}', '["S","R"]', '["R"]', 'R',
    1.0, NULL, 0.5, 0.5, 'new', 900, 1767636000000, 330, 12.5, 'tablet', 's1', 1);
PRAGMA user_version = 1;
"""


def tear(path, *, at=None, size=2000):
    """Overwrite part of a file with what no page can be; unless told where, of a page on which
    answers of a full log stand."""
    with path.open("r+b") as file:
        file.seek(path.stat().st_size * 3 // 5 if at is None else at)
        file.write(b"\xff" * size)


@pytest.fixture
def full_log(tmp_path, answer_to):
    """A closed log of 300 answers, all in its main file."""
    path = tmp_path / "log.db"
    with Log(path) as log:
        log.append_all(answer_to(f"skill {i}") for i in range(300))
    return path


@pytest.fixture
def lone_log(full_log):
    """That log without backups or journals, as an older version of this program left it."""
    shutil.rmtree(full_log.parent / "backups")
    return full_log


@pytest.fixture
def checks(monkeypatch):
    """The logs that were checked whole, one after another."""
    made, check_whole = [], opening._check_whole

    def counted(db, path):
        made.append(path.name)
        return check_whole(db, path)

    monkeypatch.setattr(opening, "_check_whole", counted)
    return made


def test_a_new_log_is_founded_with_its_folder(tmp_path):
    with Log(tmp_path / "new" / "folder" / "log.db") as log:
        assert log.count() == 0
        assert log.trouble is None
        assert migrations.pending(log._db) == []
        assert log._db.execute("PRAGMA application_id").fetchone() == (APPLICATION_ID,)


def test_a_log_of_the_first_format_opens_with_its_answers(tmp_path, answer_to):
    conn = sqlite3.connect(tmp_path / "log.db")
    conn.executescript(FIRST_FORMAT + f"PRAGMA application_id = {APPLICATION_ID};")
    conn.close()
    with Log(tmp_path / "log.db") as log:
        assert [answer.skill for answer in log.answers()] == ["swara:R"]
        log.append(answer_to())
        assert log.count() == 2


def test_a_log_cut_off_while_it_was_founded_is_finished(tmp_path, answer_to):
    path = tmp_path / "log.db"
    with Log(path) as log:
        pass
    path.unlink()
    with Database(path, execute_plugins=False) as db:
        migrations.apply(db, stop_before="0002 answers")
    with Log(path) as log:
        log.append(answer_to())
        assert log.trouble is None


@pytest.mark.parametrize("torn", [b"\xff002", b"0x02"])
def test_a_log_that_is_torn_where_it_tells_of_its_own_format_is_put_together_anew(full_log, torn):
    """As text it is of no structure, and `quick_check` finds nothing."""
    whole = full_log.read_bytes()
    assert whole.count(b"0002 answers") == 2  # in the table and its index
    full_log.write_bytes(whole.replace(b"0002 answers", torn + b" answers"))
    with Log(full_log) as log:
        assert "could not be used: it is damaged" in log.trouble
        assert log.count() == 300
    with Log(full_log) as log:
        assert log.trouble is None


def test_a_newer_format_is_left_alone(full_log):
    conn = sqlite3.connect(full_log)
    conn.execute("PRAGMA user_version = 99")
    conn.close()
    with pytest.raises(NewerLogError, match=r"format is 99.*Update"):
        Log(full_log)
    with pytest.raises(NewerLogError, match="99"):
        Log.reading(full_log)


def test_another_program_s_database_is_left_alone(tmp_path):
    path = tmp_path / "other.db"
    conn = sqlite3.connect(path)
    conn.execute("CREATE TABLE songs (name)")
    conn.close()
    before = path.read_bytes()
    for open_it in (Log, Log.reading):
        with pytest.raises(NotALogError, match="another program"):
            open_it(path)
    assert path.read_bytes() == before
    assert os.listdir(tmp_path) == ["other.db"]


def test_reading_a_file_that_is_no_database_says_so_and_leaves_it(tmp_path):
    path = tmp_path / "notes.db"
    path.write_text("not a log " * 500)
    with pytest.raises(NotALogError, match=r"notes\.db: it is not a database"):
        Log.reading(path)
    assert os.listdir(tmp_path) == ["notes.db"]


def test_reading_an_empty_database_or_no_file_says_so(tmp_path):
    with closing(sqlite3.connect(tmp_path / "empty.db")) as conn:
        conn.executescript("PRAGMA user_version = 0; VACUUM")
    with pytest.raises(NotALogError, match="no answers"):
        Log.reading(tmp_path / "empty.db")
    with pytest.raises(LogError, match="no such file"):
        Log.reading(tmp_path / "nowhere.db")


def test_a_log_open_for_reading_cannot_be_written(full_log, answer_to):
    with Log.reading(full_log) as log:
        assert log.count() == 300
        with pytest.raises(UnwritableLogError, match="may be read but not written"):
            log.append(answer_to())


def test_garbage_is_set_aside_and_kept_to_the_last_byte(tmp_path, answer_to):
    path = tmp_path / "log.db"
    path.write_bytes(b"garbage" * 1000)
    with Log(path) as log:
        log.append(answer_to())
        assert log.count() == 1
        assert "0 answers could still be read" in log.trouble
    (aside,) = tmp_path.glob("log.damaged-*.db")
    assert aside.name in log.trouble
    assert aside.read_bytes() == b"garbage" * 1000


def test_a_torn_log_is_set_aside_and_what_can_be_read_is_carried_over(lone_log, answer_to):
    before = lone_log.stat().st_size
    tear(lone_log)
    torn = lone_log.read_bytes()
    with Log(lone_log) as log:
        assert 100 < log.count() < 300
        assert f"{log.count()} answers could still be read" in log.trouble
        skills = [answer.skill for answer in log.answers()]
        assert skills == sorted(skills, key=lambda skill: int(skill.split()[1]))
        log.append(answer_to())
    (aside,) = lone_log.parent.glob("log.damaged-*.db")
    assert len(torn) == before
    assert aside.read_bytes() == torn
    with Log(lone_log) as log:
        assert log.trouble is None


@pytest.mark.parametrize("step", ["_carry_over", "set_aside"])
def test_a_mending_cut_off_leaves_the_damaged_log_for_the_next_time(lone_log, monkeypatch, step):
    def cut_off(*_):
        raise FullDiskError(lone_log, wrong="the disk is full", remedy="Free some room")

    tear(lone_log)
    torn = lone_log.read_bytes()
    with monkeypatch.context() as patched:
        patched.setattr(log_module.Log if step == "_carry_over" else log_module, step, cut_off)
        with pytest.raises(FullDiskError):
            Log(lone_log)
    assert lone_log.read_bytes() == torn
    (lone_log.parent / f"{lone_log.name}.mended").write_bytes(b"left by a program that was killed")
    with Log(lone_log) as log:
        assert f"{log.count()} answers could still be read" in log.trouble
        assert log.count() > 100
    (aside,) = lone_log.parent.glob("log.damaged-*.db")
    assert aside.read_bytes() == torn
    assert list(lone_log.parent.glob("*.mended*")) == []


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_a_log_cut_short_is_set_aside(full_log, share):
    size = int(full_log.stat().st_size * share)
    with full_log.open("r+b") as file:
        file.truncate(size)
    with Log(full_log) as log:
        assert log.trouble is not None
    (aside,) = full_log.parent.glob("log.damaged-*.db")
    assert aside.stat().st_size == size


def test_an_emptied_log_does_not_take_its_newest_rows_with_it(tmp_path, answer_to):
    """SQLite deletes the write-ahead file of an empty database when it opens it."""
    with Log(tmp_path / "whole.db") as log:
        log.append(answer_to())
        rows = (tmp_path / "whole.db-wal").read_bytes()
    (tmp_path / "log.db").write_bytes(b"")
    (tmp_path / "log.db-wal").write_bytes(rows)
    with Log(tmp_path / "log.db") as fresh:
        assert "newest rows" in fresh.trouble
    (aside,) = tmp_path.glob("log.damaged-*.db-wal")
    assert aside.read_bytes() == rows


def test_two_damaged_logs_on_one_day_are_both_kept(tmp_path):
    for number in range(2):
        (tmp_path / "log.db").write_bytes(b"garbage %d" % number * 500)
        Log(tmp_path / "log.db").close()
    assert len(list(tmp_path.glob("log.damaged-*.db"))) == 2


def test_a_log_that_another_program_holds_is_named(full_log, answer_to):
    with Log(full_log, wait_s=0.05) as log:
        other = sqlite3.connect(full_log, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(LockedLogError, match=r"log\.db: another program holds it.*Close"):
            log.append(answer_to())
        other.execute("ROLLBACK")
        other.close()
        log.append(answer_to())
        assert log.count() == 301


def test_a_full_disk_is_named_and_nothing_before_is_lost(full_log, answer_to):
    """SQLite reports its own bound on pages as it reports a full disk: SQLITE_FULL."""
    with Log(full_log) as log:
        pages = log._db.execute("PRAGMA page_count").fetchone()[0]
        log._db.execute(f"PRAGMA max_page_count = {pages}")
        many = [answer_to(f"more {i}", setting={"long": "x" * 3000}) for i in range(20)]
        with pytest.raises(FullDiskError, match=r"disk is full.*Free some room"):
            log.append_all(many)
        assert log.count() == 300
        log._db.execute("PRAGMA max_page_count = 1000000")
        assert log.append_all(many) == 20


def test_a_folder_that_cannot_be_made_is_named(tmp_path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(UnwritableLogError, match="folder cannot be made"):
        Log(tmp_path / "file" / "log.db")


def test_a_folder_in_the_place_of_the_file_is_named(tmp_path):
    (tmp_path / "log.db").mkdir()
    with pytest.raises(UnwritableLogError, match="cannot be opened"):
        Log(tmp_path / "log.db")


def test_a_log_that_was_closed_cleanly_is_not_checked_again(full_log, checks, answer_to):
    for _ in range(2):
        with Log(full_log) as log:
            log.append(answer_to())
    Log.reading(full_log).close()
    assert checks == []


def _touched(path):
    os.utime(path)


def _copied_with_its_dates(path):
    shutil.copy2(path, f"{path}.copy")
    os.replace(f"{path}.copy", path)


def _written_by_another_program(path):
    with closing(sqlite3.connect(path)) as conn:
        conn.execute("CREATE INDEX by_session ON answers (session)")


def _rows_left_beside_it(path):
    conn = sqlite3.connect(path, isolation_level=None)
    others = ", ".join(f"[{name}]" for name in COLUMNS[1:])
    conn.execute(f"INSERT INTO answers SELECT 'u', {others} FROM answers LIMIT 1")
    for companion in ("", "-wal"):
        shutil.copy2(f"{path}{companion}", f"{path.parent}/kept{companion}")
    conn.close()
    for companion in ("", "-wal"):
        os.replace(f"{path.parent}/kept{companion}", f"{path}{companion}")


def _mark_torn(path):
    tear(path.with_name(f"{path.name}.checked"), size=5)


def _mark_gone(path):
    path.with_name(f"{path.name}.checked").unlink()


def _mark_dated(change_s):
    def change(path):
        beside = path.with_name(f"{path.name}.checked")
        mark = json.loads(beside.read_text())
        beside.write_text(json.dumps({**mark, "checked_s": mark["checked_s"] + change_s}))

    return change


@pytest.mark.parametrize(
    "doubt",
    [
        _touched,
        _copied_with_its_dates,
        _written_by_another_program,
        _rows_left_beside_it,
        _mark_torn,
        _mark_gone,
        pytest.param(_mark_dated(-31 * 86_400), id="a month ago"),
        pytest.param(_mark_dated(86_400), id="in the future"),
    ],
)
def test_in_doubt_a_log_is_checked_whole(full_log, checks, doubt):
    doubt(full_log)
    Log(full_log).close()
    assert checks == [full_log.name]
    Log(full_log).close()
    assert len(checks) == 1


def test_a_log_open_elsewhere_or_left_open_is_checked(full_log, checks):
    with Log(full_log), Log(full_log):
        pass
    assert checks == [full_log.name]
    Log(full_log)._db.conn.close()  # as a program that was killed leaves it
    Log(full_log).close()
    assert len(checks) == 2


def test_a_file_put_in_the_place_of_an_open_log_is_checked(full_log, checks, tmp_path):
    with Log(full_log):
        shutil.copy(full_log, tmp_path / "other.db")
        os.replace(tmp_path / "other.db", full_log)
    Log(full_log).close()
    assert checks == [full_log.name]


def test_damage_that_no_date_tells_of_is_found_on_reading_and_set_aside_next_time(full_log):
    tear(full_log)
    checked.put(full_log, checked.made_now(full_log))  # as on a disk that lost what it held
    with Log(full_log) as log, pytest.raises(DamagedLogError, match="open it again"):
        list(log.answers())
    with Log(full_log) as log:
        assert "could not be used" in log.trouble
