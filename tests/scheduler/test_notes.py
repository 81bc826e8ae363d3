"""Notes stand beside answers: only ever added, the same in all logs, and teaching nothing."""

import shutil
import sqlite3
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlite_utils import Database

from scheduler import AnswerError, Log, LogError, Note, RowConflictError
from scheduler.notes import MOST_DATA_BYTES
from scheduler.schema import migrations
from tests.scheduler.conftest import START, make_note
from tests.scheduler.test_opening import FIRST_FORMAT, tear
from tests.scheduler.test_union import DEVICES, IN_MEMORY


@pytest.fixture
def log(tmp_path):
    with Log(tmp_path / "log.db") as log:
        yield log


def test_notes_come_back_as_they_went_in_by_student_and_word(log, answer_to):
    notes = [make_note("palta", minute, key=f"three {minute}") for minute in range(3)]
    phrase = make_note("phrase", 9, sargam="S R ग", cents=[0.5, None], deep={"a": (1, 2)})
    ravi = make_note("palta", 4, student="Ravi")
    log.append_all([notes[0], answer_to("a"), *notes[1:], phrase, ravi])
    assert log.notes("Mira", "palta") == notes
    assert log.notes("Mira") == [*notes, phrase]
    assert log.notes(what="palta") == [*notes, ravi]
    assert log.notes("Mira", "phrase")[0].data["deep"] == {"a": [1, 2]}
    assert log.notes("Mira", "minutes") == []
    assert phrase.utc == START + timedelta(minutes=9)
    assert (log.noted_on("Mira", "tablet"), log.noted_on("Mira", "desk")) == (4, 0)


def test_a_note_is_no_answer(log, answer_to):
    log.append(answer_to("a"))
    told = (log.numbers(), log.count(), list(log.meetings("Mira")), log.sessions("Mira"))
    log.append_all([make_note("minutes", minutes=20)])
    assert (log.numbers(), log.count(), list(log.meetings("Mira")), log.sessions("Mira")) == told


def test_whoever_has_only_notes_is_a_student_too(log, answer_to):
    assert (log.is_empty(), log.students(), log.last_student()) == (True, (), "")
    log.append_all([make_note("minutes", student="Ravi", device="desk")])
    assert (log.is_empty(), log.students(), log.last_student()) == (False, ("Ravi",), "Ravi")
    assert log.has_any_of("Ravi", "desk")
    assert not log.has_any_of("Ravi", "tablet")
    log.append(answer_to("a"))
    assert (log.students(), log.last_student()) == (("Mira", "Ravi"), "Mira")


def test_the_same_note_is_kept_once_and_another_under_its_uuid_is_refused(log):
    note = make_note("palta", uuid="one", key="three")
    assert log.append_all([note, note]) == 1
    assert log.append_all([note]) == 0
    with pytest.raises(RowConflictError, match="another note stands under uuid one"):
        log.append_all([make_note("minutes"), make_note("palta", uuid="one", key="four")])
    assert log.notes() == [note]


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"uuid": ""}, "uuid=''"),
        ({"student": None}, "student=None"),
        ({"what": ""}, "what=''"),
        ({"what": "w" * 41}, "40 signs or less"),
        ({"data": [1]}, "give an object"),
        ({"data": {"a": float("nan")}}, "NaN"),
        ({"data": {"a": "\ud800"}}, "does not go into JSON"),
        ({"data": {"a": object()}}, "does not go into JSON"),
        ({"data": {"a": "x" * MOST_DATA_BYTES}}, f"{MOST_DATA_BYTES} at most"),
        ({"data": {"a": [[[[[[[[[[[[[[[[[[[[[]]]]]]]]]]]]]]]]]]]]]}}, "nested deeply"),
        ({"utc_ms": 1.5}, r"utc_ms=1\.5"),
        ({"utc_ms": 10**18}, "of no year"),
        ({"offset_min": 1441}, "offset_min=1441"),
    ],
)
def test_what_no_log_may_hold_is_refused(changes, said):
    with pytest.raises(AnswerError, match=said):
        make_note(**{"what": "palta", **changes})


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE notes SET data = '{}'",
        "DELETE FROM notes",
        "REPLACE INTO notes SELECT * FROM notes",
        "INSERT INTO notes VALUES ('u', 'Mira', 'palta', '[1]', 0, 0, '')",
    ],
)
def test_a_foreign_program_cannot_change_a_note(log, statement):
    log.append_all([make_note("palta", key="three")])
    with (
        closing(sqlite3.connect(log.path)) as conn,
        pytest.raises(sqlite3.IntegrityError, match=r"never (changed|deleted|replaced)|CHECK"),
    ):
        conn.execute(statement)
    assert [note.data for note in log.notes()] == [{"key": "three"}]


def test_a_log_of_an_older_version_has_none_until_it_is_opened_to_be_written(tmp_path, answer_to):
    path = tmp_path / "log.db"
    with closing(sqlite3.connect(path)) as conn:
        conn.executescript(FIRST_FORMAT + "PRAGMA application_id = 1264673134;")
    with Log.reading(path) as log:
        assert (log.notes("Mira"), log.students(), log.is_empty()) == ([], ("Mira",), False)
        assert (log.noted_on("Mira", "tablet"), log.has_any_of("Mira", "tablet")) == (0, True)
        with pytest.raises(LogError):
            log.append_all([make_note("palta")])
    with Log(path) as log:
        log.append_all([make_note("palta")])
        assert len(log.notes("Mira")) == 1
        # An older version asks for this, and goes on with the file.
        assert log._db.execute("PRAGMA user_version").fetchone() == (1,)


def test_an_older_version_goes_on_with_the_file_and_its_notes_stay(log, answer_to):
    """Such a version knows the migrations until then, and of answers and leavings alone."""
    log.append_all([answer_to("a"), make_note("palta")])
    log.close()
    with Database(log.path, execute_plugins=False, recursive_triggers=True) as db:
        assert [step.name for step in migrations.applied(db)][-1] == "0005 notes"
        with db.atomic():
            names = ", ".join(f"[{row[1]}]" for row in db.execute("PRAGMA table_info(answers)"))
            db.execute(f"INSERT INTO answers SELECT 'u', {names.partition(', ')[2]} FROM answers")
    with Log(log.path) as later:
        assert (later.trouble, later.count(), len(later.notes())) == (None, 2, 1)


def test_they_are_carried_over_from_a_damaged_log_that_has_no_copy(tmp_path, answer_to):
    path = tmp_path / "log.db"
    with Log(path) as log:
        log.append_all(answer_to(f"skill {i}", day=i // 100) for i in range(300))
        log.append_all(make_note("palta", minute, key=f"{minute}") for minute in range(20))
        said = log.notes()
    shutil.rmtree(tmp_path / "backups")
    tear(path)
    with Log(path) as log:
        assert "could still be read" in log.trouble
        assert log.notes() == said


def test_a_day_on_which_only_notes_came_has_its_backup(log):
    day = date(2026, 11, 29)
    assert log.back_up(day) is None
    log.append_all([make_note("minutes", minutes=3)])
    assert log.back_up(day)
    assert log.back_up(day + timedelta(1)) is None
    said = log.notes()
    log.close()
    log.path.write_bytes(b"garbage")
    for journal in (log.path.parent / "backups").glob("*.jsonl"):
        journal.unlink()
    with Log(log.path) as found:
        assert found.notes() == said


NOTES = st.lists(
    st.builds(
        Note,
        uuid=st.uuids().map(str),
        student=st.just("Mira"),
        what=st.sampled_from(["palta", "phrase"]),
        data=st.dictionaries(st.sampled_from("ab"), st.integers(0, 9) | st.text(max_size=3)),
        utc_ms=st.integers(0, 3),
        offset_min=st.integers(-1440, 1440),
        device=st.sampled_from(DEVICES),
    ),
    max_size=9,
    unique_by=lambda note: note.uuid,
)


@settings(max_examples=8, deadline=None)
@given(NOTES, st.randoms(use_true_random=False))
def test_logs_put_together_in_any_order_and_as_often_as_you_like_hold_the_same(notes, rng):
    """Union commutes, is associative and idempotent, where each device hands on its own in order;
    and a device's own notes stay in their order, whatever its clock said."""
    of = {name: [note for note in notes if note.device == name] for name in DEVICES}
    parts = [rows[:cut] for rows in of.values() for cut in (rng.randint(0, len(rows)), len(rows))]
    found = []
    with TemporaryDirectory(dir=IN_MEMORY) as folder:
        for number in range(2):
            with Log(Path(folder) / f"{number}.db", keeps_journal=False) as log:
                for part in rng.sample(parts, len(parts)):
                    log.append_all(part)
                    assert log.append_all(part) == 0
                found.append(log.notes("Mira"))
    assert found[0] == found[1]
    assert sorted(note.uuid for note in found[0]) == sorted(note.uuid for note in notes)
    for device, rows in of.items():
        assert [note for note in found[0] if note.device == device] == rows


def test_what_a_device_noted_stands_by_its_time_among_that_of_others(log):
    tablet = [make_note("palta", minute) for minute in (0, 4)]
    desk = [make_note("palta", minute, device="desk") for minute in (5, 2, 6)]  # a clock set back
    log.append_all([*desk, *tablet])
    assert log.notes() == [*tablet, *desk]
