"""A log that is open stays whole when it is opened once more, here or by another program."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from scheduler import DamagedLogError, Log, checked
from scheduler.carrying import is_log_file

ROOT = Path(__file__).resolve().parents[2]
OPEN_AND_CLOSE = "import sys; from scheduler import Log; print(Log(sys.argv[1]).count())"
TEAR = """
import sys
from pathlib import Path
from scheduler import opening
from tests.scheduler.test_opening import tear
opening._LOOKED_AT_S = 0.1
tear(Path(sys.argv[1]))
"""


def another_program(path):
    """Opens the log for writing, says how many answers it sees, and closes it."""
    command = [sys.executable, "-c", OPEN_AND_CLOSE, str(path)]
    return int(subprocess.run(command, cwd=ROOT, capture_output=True, check=True).stdout)


def open_and_close(path):
    Log(path).close()


def read_and_close(path):
    Log.reading(path).close()


@pytest.mark.parametrize("once_more", [open_and_close, read_and_close, is_log_file])
def test_what_is_answered_after_it_was_opened_twice_is_not_lost(tmp_path, answer_to, once_more):
    """Closing any other handle on the file would take away SQLite's locks, by which the other
    program sees that the newest rows are still in use (sqlite.org/howtocorrupt.html, 2.2)."""
    path = tmp_path / "log.db"
    Log(path).close()  # so that it was found whole already
    with Log(path) as log:
        once_more(path)
        assert another_program(path) == 0
        log.append(answer_to())
        assert another_program(path) == 1
    assert (tmp_path / "log.db.checked").exists()


def test_a_damaged_log_is_not_set_aside_under_who_holds_it(tmp_path, answer_to):
    path = tmp_path / "log.db"
    with Log(path) as log:
        log.append_all(answer_to(f"skill {number}") for number in range(300))
    with Log(path):
        with path.open("rb+") as file:
            file.seek(4096)
            file.write(b"\xff" * 4096)
        with pytest.raises(DamagedLogError):
            Log(path)
        assert not list(tmp_path.glob("*.damaged-*"))


def test_what_is_answered_in_a_log_that_was_just_read_is_not_lost(tmp_path, answer_to):
    """As by a page that is worked out on a thread while its student is chosen."""
    path, noted = tmp_path / "log.db", checked._open.total()
    with Log(path) as log:
        log.append_all(answer_to(f"skill {number}") for number in range(3))
    with Log.reading(path) as read:
        rows = read.answers()
        next(rows)
        log = Log(path)
        assert is_log_file(path)
    with log:
        log.append(answer_to())
        assert another_program(path) == 4
        log.append(answer_to())
        assert another_program(path) == 5
    assert checked._open.total() == noted


@pytest.mark.skipif(os.name != "posix", reason="there an open file cannot be set aside anyway")
def test_a_damaged_log_is_not_set_aside_under_another_program_that_holds_it(tmp_path, answer_to):
    path = tmp_path / "log.db"
    with Log(path) as log:
        log.append_all(answer_to(f"skill {number}") for number in range(300))
    with Log(path) as log:
        log.append(answer_to())
        command = [sys.executable, "-c", f"{TEAR}{OPEN_AND_CLOSE}", str(path)]
        found = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
        assert "another program or window has it open. Close that one" in found.stderr
        assert not list(tmp_path.glob("*.damaged-*"))
        log.append(answer_to())
    with Log(path) as log:
        assert log.count() == 302
        assert "could not be used" in log.trouble
