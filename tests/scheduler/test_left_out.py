"""A session whose answers are left out counts for nothing, wherever it is read, until put back."""

import random
import shutil
import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler import Answer, AnswerError, Leaving, Log, LogError, RowConflictError
from tests.scheduler.conftest import START, whole_copy
from tests.scheduler.test_opening import FIRST_FORMAT, tear

MIRA = {"student": "Mira", "device": "tablet", "utc": START}


@pytest.fixture
def log(tmp_path, answer_to):
    """Three days of Mira's and one of Ravi's, in a session of the same name."""
    with Log(tmp_path / "log.db") as log:
        log.append_all(answer_to(skill, day=day) for day, skill in enumerate("aba"))
        log.append(answer_to("a", day=1, student="Ravi"))
        yield log


def test_what_is_left_out_is_in_the_log_and_counts_for_nothing_until_put_back(log):
    everything = list(log.answers())
    log.leave_out("day 1", "day 2", **MIRA)
    assert log.left_out("Mira") == {"day 1", "day 2"}
    assert [one.session for one in log.meetings("Mira")] == ["day 0"]
    assert [one.meeting.session for one in log.dated_meetings("Mira")] == ["day 0"]
    assert [one.session for one in log.latest("Mira", "a", 9)] == ["day 0"]
    assert list(log.answers()) == everything
    assert list(log.answers(with_left_out=False)) == [everything[0], everything[3]]  # Ravi's too
    assert log.left_out("Ravi") == frozenset()
    log.put_back("day 2", **MIRA)
    assert [one.session for one in log.meetings("Mira")] == ["day 0", "day 2"]
    assert [one.session for one in log.latest("Mira", "a", 9)] == ["day 2", "day 0"]


def test_what_is_said_last_holds_though_the_clock_was_set_back(log):
    log.leave_out("day 1", **MIRA)
    log.put_back("day 1", **{**MIRA, "utc": START - timedelta(days=300)})
    assert log.left_out("Mira") == frozenset()
    assert [one.is_out for one in log.leavings("Mira")] == [True, False]
    with pytest.raises(AnswerError, match="session=''"):
        log.leave_out("", **MIRA)


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE left_out SET out = 0",
        "DELETE FROM left_out",
        "REPLACE INTO left_out SELECT * FROM left_out",
        "INSERT INTO left_out VALUES ('u', 'Mira', 'day 1', 2, 0, '')",
    ],
)
def test_a_foreign_program_cannot_change_what_was_left_out(log, statement):
    log.leave_out("day 1", **MIRA)
    with (
        closing(sqlite3.connect(log.path)) as conn,
        pytest.raises(sqlite3.IntegrityError, match=r"never (changed|deleted|replaced)|CHECK"),
    ):
        conn.execute(statement)
    assert log.left_out("Mira") == {"day 1"}


def test_a_copy_has_it_and_an_older_program_still_reads_and_writes_the_file(
    log, answer_to, tmp_path
):
    log.leave_out("day 1", **MIRA)
    whole_copy(log, tmp_path / "copy.db")
    with Log.reading(tmp_path / "copy.db") as copy:
        assert list(copy.meetings()) == list(log.meetings())
        assert copy.leavings() == log.leavings()
    assert log._db.execute("PRAGMA user_version").fetchone() == (1,)  # of the first format
    with Log(tmp_path / "old.db") as old:  # what it knows of: the answers alone
        old.append_all([*log.answers(), answer_to("c", day=9)])
        log.append_all(old.answers())
    assert [one.session for one in log.meetings("Mira")] == ["day 0", "day 2", "day 9"]


def test_a_log_of_the_first_format_is_read_though_it_knows_of_nothing_left_out(tmp_path):
    path = tmp_path / "log.db"
    with closing(sqlite3.connect(path)) as conn:
        conn.executescript(FIRST_FORMAT + "PRAGMA application_id = 1264673134;")
    with Log.reading(path) as log:
        assert log.left_out("Mira") == frozenset()
        assert len(list(log.meetings())) == len(log.latest("Mira", "swara:R", 9)) == 1
        with pytest.raises(LogError):
            log.leave_out("s1", **MIRA)


def test_it_is_carried_over_from_a_damaged_log(tmp_path, answer_to):
    path = tmp_path / "log.db"
    with Log(path) as log:
        log.append_all(answer_to(f"skill {i}", day=i // 100) for i in range(300))
        log.leave_out("day 0", **MIRA)
        said = log.leavings()
    shutil.rmtree(tmp_path / "backups")
    tear(path)
    with Log(path) as log:
        assert "could still be read" in log.trouble
        assert log.leavings() == said
        assert {one.session for one in log.answers()} == {"day 0", "day 1", "day 2"}
        assert {one.session for one in log.meetings()} == {"day 1", "day 2"}


LEAVINGS = st.lists(
    st.builds(
        Leaving,
        uuid=st.uuids().map(str),
        student=st.just("Mira"),
        session=st.sampled_from(["day 0", "day 1", "day 2"]),
        is_out=st.booleans(),
        utc_ms=st.integers(0, 3),
        device=st.just("desk"),
    ),
    max_size=8,
    unique_by=lambda leaving: leaving.uuid,
)


@settings(  # the fixture keeps nothing between examples
    max_examples=10, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(leavings=LEAVINGS, seed=st.integers(0, 99))
def test_logs_put_together_in_any_order_leave_out_the_same(leavings, seed, answer_to):
    rng, answers = random.Random(seed), [answer_to("a", day=day) for day in range(3)]
    rows: list[Answer | Leaving] = [*answers, *leavings]
    found = []
    with TemporaryDirectory() as folder:
        for number in range(2):
            with Log(Path(folder) / f"{number}.db") as log:
                shuffled = rng.sample(rows, len(rows))
                half = rng.randrange(len(rows))
                log.append_all(shuffled[half:])
                assert log.append_all(shuffled) == half
                found.append(log.left_out("Mira"))
                counting = {one.session for one in log.meetings("Mira")}
                assert counting == {"day 0", "day 1", "day 2"} - found[-1]
    assert found[0] == found[1]
    for session in ("day 0", "day 1", "day 2"):
        said = [row for row in leavings if row.session == session]
        last = max(said, key=lambda row: (row.utc_ms, row.uuid), default=None)
        assert (session in found[0]) == (last is not None and last.is_out)


def test_another_row_under_a_uuid_that_stands_is_refused(log):
    log.leave_out("day 1", **MIRA)
    (row,) = log.leavings()
    other = Leaving(
        uuid=row.uuid, student="Mira", session="day 2", is_out=True, utc_ms=0, device=""
    )
    with pytest.raises(RowConflictError, match=f"what is left out stands under uuid {row.uuid}"):
        log.append_all([other])
