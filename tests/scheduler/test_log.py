"""Answers go in, come out the same, and stay."""

import sqlite3
import threading
from datetime import timedelta

import pytest

from scheduler import Log, RowConflictError
from scheduler.rows import _STUDENTS
from tests.scheduler.conftest import START


@pytest.fixture
def log(tmp_path):
    with Log(tmp_path / "log.db") as log:
        yield log


def test_an_answer_comes_back_as_it_went_in(log, answer_to):
    answers = [
        answer_to("a"),
        answer_to("b", credit=0.25, heard="a", given="क", response_ms=-20),
        answer_to("c", setting={"met": ("a", "b"), "deep": {"x": [1, None, 0.1]}}),
    ]
    for answer in answers:
        log.append(answer)
    assert list(log.answers()) == answers
    assert [meeting.skill for meeting in log.meetings()] == ["a", "b", "c"]
    assert list(log.meetings()) == [answer.meeting for answer in answers]


def test_answers_are_told_apart_by_student(log, answer_to):
    log.append_all([answer_to("a"), answer_to("b", student="Ravi"), answer_to("c")])
    assert [answer.skill for answer in log.answers("Mira")] == ["a", "c"]
    assert log.students() == ("Mira", "Ravi")
    assert log.count() == 3


def test_order_is_that_of_appending_even_with_a_clock_set_back(log, answer_to):
    log.append_all([answer_to("a", day=5), answer_to("b", day=2), answer_to("c", day=3)])
    assert [answer.skill for answer in log.answers()] == ["a", "b", "c"]


def test_two_devices_are_merged_by_time_each_in_its_own_order(log, answer_to):
    log.append_all(answer_to(skill, day=day) for skill, day in [("a", 1), ("b", 4), ("c", 3.9)])
    log.append_all(
        answer_to(skill, day=day, device="desk") for skill, day in [("x", 2), ("y", 3), ("z", 5)]
    )
    assert [answer.skill for answer in log.answers()] == ["a", "x", "y", "b", "c", "z"]


def test_what_came_in_later_is_read_alone_and_in_order(log, answer_to):
    log.append_all(answer_to(skill, day=day) for skill, day in [("a", 1), ("b", 4), ("c", 2)])
    log.append_all(
        answer_to(skill, day=day, device="desk") for skill, day in [("x", 3), ("y", 9), ("z", 6)]
    )
    late = log.dated_meetings("Mira", after=2, until=5, latest_ms={"tablet": 10**15})
    assert [(one.meeting.skill, one.device) for one in late] == [
        ("x", "desk"),
        ("y", "desk"),
        ("c", "tablet"),
    ]
    everything = log.dated_meetings("Mira")
    assert [one.meeting for one in everything] == list(log.meetings("Mira"))
    assert list(log.dated_meetings("Ravi")) == []


def test_the_latest_answers_on_a_skill_come_newest_first(log, answer_to):
    answers = [answer_to(skill) for skill in "abab"] + [answer_to("a", student="Ravi")]
    log.append_all(answers)
    assert log.latest("Mira", "a", 9) == [answers[2], answers[0]]
    assert log.latest("Mira", "a", 1) == [answers[2]]
    assert log.latest("Mira", "c", 9) == []


def test_the_latest_answers_may_be_those_of_one_right_id_one_given_or_before_a_moment(
    log, answer_to
):
    said = [(("x",), "x"), (("x",), "y"), (("y",), "y"), (("x", "y"), "y"), (("x",), "y")]
    log.append_all(
        answer_to("a", day=n, right=right, given=given) for n, (right, given) in enumerate(said)
    )

    def days(**wanted):
        return [(one.utc - START).days for one in log.latest("Mira", "a", 9, **wanted)]

    assert days(right="x") == [4, 1, 0]
    assert days(given="y") == [4, 3, 2, 1]
    assert days(right="x", given="y") == [4, 1]
    assert days(until=START + timedelta(days=2)) == [1, 0]
    assert days(right="y", given="x") == []


def test_students_and_latest_answers_are_found_without_reading_the_whole_log(log):
    """By SQLite's own account: https://www.sqlite.org/eqp.html"""
    of_tables = (_STUDENTS.format(table=table) for table in ("answers", "notes"))
    for query in (*of_tables, "SELECT * FROM answers WHERE student = '' AND skill = ''"):
        plan = [row[3] for row in log._db.execute(f"EXPLAIN QUERY PLAN {query}")]
        assert [step for step in plan if step.startswith(("SCAN answers", "SCAN notes"))] == []


def test_rows_are_numbered(log, answer_to):
    assert log.numbers() == (1, 0)
    answers = [answer_to(skill) for skill in "abc"]
    log.append_all(answers)
    assert log.numbers() == (1, 3)
    assert log.uuids_at([3, 4, 1]) == [answers[2].uuid, None, answers[0].uuid]
    assert log.count_between(1, 9) == 2


def test_appending_an_answer_again_does_nothing(log, answer_to):
    answer = answer_to()
    log.append(answer)
    log.append(answer)
    assert log.append_all([answer, answer_to("b")]) == 1
    assert log.count() == 2


def test_another_answer_under_a_uuid_that_stands_is_refused(log, answer_to):
    answer = answer_to()
    log.append(answer)
    with pytest.raises(RowConflictError, match=answer.uuid):
        log.append(answer_to(uuid=answer.uuid, credit=0.0))
    assert list(log.answers()) == [answer]


def test_a_group_with_one_bad_answer_leaves_nothing_behind(log, answer_to):
    answer = answer_to()
    log.append(answer)
    with pytest.raises(RowConflictError):
        log.append_all([answer_to("b"), answer_to(uuid=answer.uuid, credit=0.0)])
    assert log.count() == 1


def test_a_log_opened_on_one_thread_may_be_used_on_another(log, answer_to):
    thread = threading.Thread(target=log.append, args=[answer_to()])
    thread.start()
    thread.join()
    assert log.count() == 1


def test_every_commit_reaches_the_disk(log):
    """Write-ahead with synchronous=FULL (2): https://www.sqlite.org/pragma.html#pragma_synchronous"""
    conn = log._db.conn
    assert conn.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    assert conn.execute("PRAGMA synchronous").fetchone() == (2,)
    assert conn.execute("PRAGMA foreign_keys").fetchone() == (1,)
    assert conn.execute("PRAGMA recursive_triggers").fetchone() == (1,)


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE answers SET credit = 0",
        "DELETE FROM answers",
        "INSERT OR REPLACE INTO answers SELECT * FROM answers",
        "REPLACE INTO answers SELECT * FROM answers LIMIT 1",
        "INSERT INTO answers SELECT * FROM answers WHERE true "
        "ON CONFLICT (uuid) DO UPDATE SET credit = 0",
    ],
)
def test_a_foreign_program_cannot_change_an_answer(log, answer_to, statement):
    log.append(answer_to())
    conn = sqlite3.connect(log.path)  # with recursive_triggers off, as SQLite has it
    with pytest.raises(
        sqlite3.IntegrityError, match=r"answers are never (changed|deleted|replaced)"
    ):
        conn.execute(statement)
    conn.close()
    assert next(log.answers()).credit == 1.0


def test_a_foreign_program_cannot_replace_by_row_number(log, answer_to):
    log.append(answer_to())
    conn = sqlite3.connect(log.path)
    columns = [row[1] for row in conn.execute("PRAGMA table_info(answers)")]
    names = ", ".join(f"[{name}]" for name in columns)
    values = ", ".join(["'another'", *(f"[{name}]" for name in columns[1:])])
    with pytest.raises(sqlite3.IntegrityError, match="never replaced"):
        conn.execute(
            f"REPLACE INTO answers (rowid, {names}) SELECT rowid, {values} FROM answers LIMIT 1"
        )
    conn.close()


@pytest.mark.parametrize(
    ("column", "value"),
    [("credit", 1.5), ("credit", "much"), ("choices", "{}"), ("setting", "{"), ("student", None)],
)
def test_a_row_that_makes_no_sense_is_refused_by_the_file_itself(log, answer_to, column, value):
    log.append(answer_to())
    conn = sqlite3.connect(log.path)
    row = list(conn.execute("SELECT * FROM answers").fetchone())
    columns = [info[1] for info in conn.execute("PRAGMA table_info(answers)")]
    row[0], row[columns.index(column)] = "another", value
    with pytest.raises(sqlite3.IntegrityError):
        conn.execute(f"INSERT INTO answers VALUES ({', '.join('?' * len(row))})", row)
    conn.close()
