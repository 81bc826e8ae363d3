"""Rows that another version of the program wrote otherwise, though they are the same, are known."""

import json
import sqlite3
from contextlib import closing

from practice.log_files import hand_over_log, look_at_log, take_log
from practice.settings import Settings
from tests.practice.test_log_files import NOW, answers, notes, put, rows_in


def test_a_row_whose_json_is_spaced_otherwise_is_the_same_row(tmp_path):
    tablet = put(tmp_path / "tablet", [*answers(2), *notes(2)])
    path = hand_over_log(tablet, tmp_path / "mira.zip", NOW).path
    desk = tmp_path / "desk"
    folder = put(desk / "students" / "student-mira", [])
    # The rows of the tablet, as a program might have kept them that puts JSON on lines of its own.
    with (
        closing(sqlite3.connect(tablet / "log.sqlite")) as there,
        closing(sqlite3.connect(folder / "log.sqlite")) as here,
    ):
        for table, column in (("answers", "setting"), ("notes", "data")):
            rows = there.execute(f"SELECT * FROM {table}")
            names = [each[0] for each in rows.description]
            changed = names.index(column)
            for row in rows:
                spaced = json.dumps(json.loads(row[changed]), indent=1, ensure_ascii=False)
                assert spaced != row[changed]
                values = (*row[:changed], spaced, *row[changed + 1 :])
                here.execute(
                    f"INSERT INTO {table} ({', '.join(names)}) "
                    f"VALUES ({', '.join('?' * len(names))})",
                    values,
                )
        here.commit()
    put(desk, [], Settings(student_id="student-guru", device_id="desk"))
    for work in (look_at_log(path, desk), take_log(path, desk, NOW)):
        assert (work.new, work.known) == (0, 2)
    assert rows_in(folder) == rows_in(tablet)
