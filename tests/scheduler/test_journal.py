"""Every new row stands in the journal of its day once more; what is torn there costs no other."""

import json
import os
import random
import sqlite3
import zlib
from datetime import timedelta

import pytest

from scheduler import Log, journal
from scheduler.answer import Answer
from scheduler.journal import PACKED, PLAIN, files_of, last_numbers, lines_in, pack
from tests.scheduler.conftest import START, make_note

MIRA = {"student": "Mira", "device": "tablet", "utc": START}
LONG_AGO = 1_000_000_000


@pytest.fixture
def log(tmp_path):
    with Log(tmp_path / "log.sqlite") as log:
        yield log


def rows(log):
    return [line.row() for line in lines_in(log.path)]


def file(log, tail=PLAIN):
    (found,) = files_of(log.path, tail)
    return found.path


def is_over(log):
    """Its day is over: that was long ago."""
    for path, day in files_of(log.path, PLAIN):
        past = path.with_name(path.name.replace(day, "2001-09-09"))
        path.rename(past)
        os.utime(past, (LONG_AGO, LONG_AGO))


def test_what_is_new_is_written_once_with_its_number(log, answer_to):
    answers = [answer_to(skill) for skill in "abc"]
    log.append(answers[0])
    log.append_all([answers[0], *answers[1:]])
    log.append(answers[1])
    log.leave_out("day 0", **MIRA)
    note = make_note("palta", key="three")
    log.append_all([answers[2], note])
    assert [(line.number, line.row()) for line in lines_in(log.path)] == [
        *((number, answer) for number, answer in enumerate(answers, 1)),
        (1, log.leavings()[0]),
        (1, note),
    ]


def test_any_tool_reads_its_lines_and_their_checksums(log, answer_to):
    """JSON (RFC 8259) by Python's own reader; the CRC-32 of ITU-T V.42 by zlib, whose value for
    the nine digits is that of the catalogue of parametrised CRCs."""
    assert zlib.crc32(b"123456789") == 0xCBF43926
    log.append(answer_to("a", given="क", heard=None))
    (line,) = file(log).read_bytes().splitlines()
    read = json.loads(line)
    assert list(read) == ["crc", "row", "answers"]
    assert read["answers"]["given"] == "क"
    assert read["answers"]["setting"]["sa_hz"] == 138.59
    assert int(read["crc"], 16) == zlib.crc32(line.partition(b",")[2])


@pytest.mark.parametrize("left", [1, 40, 300, -1])
def test_a_line_that_was_cut_off_costs_only_itself(log, answer_to, left):
    answers = [answer_to(skill) for skill in "abc"]
    log.append_all(answers[:2])
    log.close()
    whole = file(log).read_bytes()
    first = whole.index(b"\n") + 1
    file(log).write_bytes(whole[: first + left] if left > 0 else whole[:-1])
    with Log(log.path, keeps_journal=False) as other:
        other._journal = journal.Journal(log.path)
        other._journal._is_caught_up = True
        other.append(answers[2])
    assert [row.skill for row in rows(log)] == (["a", "c"] if left > 0 else ["a", "b", "c"])


def test_what_a_program_did_not_come_to_write_is_written_with_the_next(log, answer_to):
    answers = [answer_to(f"skill {n}") for n in range(5)]
    log.append(answers[0])
    with Log(log.path, keeps_journal=False) as killed:  # between its commit and its journal
        killed.append_all(answers[1:4])
        killed.leave_out("day 0", **MIRA)
    with Log(log.path) as later:
        later.append(answers[4])
        assert [row for row in rows(log) if isinstance(row, Answer)] == answers
        later.leave_out("day 0", **{**MIRA, "utc": START + timedelta(1)})
    with Log(log.path, keeps_journal=False) as killed:
        killed.put_back("day 0", **{**MIRA, "utc": START + timedelta(2)})
    with Log(log.path) as later:
        later.back_up(START.date())  # as it is opened, though nothing is answered
        assert [row for row in rows(log) if row in later.leavings()] == later.leavings()


def test_it_is_written_with_the_next_where_all_before_it_is_packed_or_torn(log, answer_to):
    answers = [answer_to(f"skill {n}") for n in range(4)]
    log.append(answers[0])
    log.close()
    is_over(log)
    pack(log.path)
    with Log(log.path, keeps_journal=False) as killed:
        killed.append(answers[1])
    with Log(log.path) as later:
        later.append(answers[2])
    assert rows(log) == answers[:3]
    file(log).write_bytes(file(log).read_bytes()[:-9])
    with Log(log.path) as later:
        later.append(answers[3])
    assert sorted({row.skill for row in rows(log)}) == [row.skill for row in answers]


def test_notes_that_a_program_did_not_come_to_write_are_found_however_far_back_the_last_stands(log):
    notes = [make_note("palta", minute) for minute in range(6)]
    with Log(log.path, keeps_journal=False) as killed:  # before there was a journal at all
        killed.append_all(notes[:2])
    with Log(log.path) as later:
        later.append_all(notes[2:3])
    assert rows(log) == notes[:3]
    is_over(log)
    pack(log.path)
    with Log(log.path, keeps_journal=False) as killed:
        killed.append_all(notes[3:5])
    with Log(log.path) as later:
        later.append_all(notes[5:])
    # The last that is packed stands beside the new ones, to be found at once next time.
    assert rows(log) == [*notes[:3], *notes[2:]]
    assert last_numbers(log.path, ["notes"])["notes"] == 6


def test_a_journal_that_cannot_be_written_never_fails_an_answer(log, answer_to):
    answers = [answer_to(skill) for skill in "abcd"]
    (log.path.parent / "backups").write_text("in the way")
    log.append_all(answers[:2])
    log.append(answers[2])
    assert log.count() == 3
    assert "All answers are in the log" in log.journal_trouble
    (log.path.parent / "backups").unlink()
    log.append(answers[3])
    assert log.journal_trouble is None
    assert rows(log) == answers


def test_a_disk_that_is_full_in_the_middle_of_a_line_loses_none(log, answer_to, monkeypatch):
    answers, write = [answer_to(skill) for skill in "abc"], os.write

    def full(file, data):
        if len(data) < 200:
            raise OSError(28, "No space left on device")
        return write(file, data[: len(data) // 2])

    log.append(answers[0])
    with monkeypatch.context() as patched:
        patched.setattr(os, "write", full)
        log.append(answers[1])
    assert "No space left on device" in log.journal_trouble
    log.append(answers[2])
    assert rows(log) == answers


def test_two_programs_write_into_one_journal(log, answer_to):
    answers = [answer_to(f"skill {n}") for n in range(20)]
    with Log(log.path) as other:
        for number, answer in enumerate(answers):
            (log, other)[number % 3 == 0].append(answer)
    assert rows(log) == answers


def test_a_journal_is_packed_when_its_day_is_over(log, answer_to):
    answers = [answer_to(f"skill {n}") for n in range(40)]
    for part in (answers[:20], answers[20:30], answers[30:]):
        log.append_all(part)
        size = file(log).stat().st_size
        pack(log.path)
        assert file(log).stat().st_size == size  # today's goes on
        is_over(log)
        pack(log.path)
        assert files_of(log.path, PLAIN) == []
    assert file(log, PACKED).stat().st_size < size
    assert sorted(row.uuid for row in rows(log)) == sorted(answer.uuid for answer in answers)
    with Log(log.path) as other:  # as one to which answers are only brought in
        other.append(answer_to("more"))
        is_over(log)
    assert files_of(log.path, PLAIN) == []
    log.append(answer_to("later"))  # which had the file open that is packed now
    assert [row.skill for row in rows(log) if row not in answers] == ["more", "later"]
    assert file(log).name > "log-2026"


def test_no_damage_gives_another_row(log, answer_to):
    log.append_all(answer_to(f"skill {n}") for n in range(12))
    log.append_all(make_note("palta", key="three", tempo=60.0) for _ in range(3))
    log.leave_out("day 0", **MIRA)
    true = {repr((line.number, line.row())) for line in lines_in(log.path)}
    whole, rng, found = file(log).read_bytes(), random.Random(5), []
    for _ in range(150):
        torn, at = bytearray(whole), rng.randrange(len(whole))
        length = rng.choice([1, 2, 30, 3000])
        match rng.randrange(4):
            case 0:
                torn[at] ^= 1 << rng.randrange(8)
            case 1:
                del torn[at : at + length]
            case 2:
                torn[at : at + length] = bytes(len(torn[at : at + length]))
            case 3:
                torn[at:at] = torn[: 1 + at // 2]
        file(log).write_bytes(torn)
        rest = {repr((line.number, line.row())) for line in lines_in(log.path)}
        assert rest <= true
        assert last_numbers(log.path, ["answers"]).get("answers", 0) <= 12
        found.append(len(rest))
    assert max(found) >= 12
    assert sum(found) > 6 * len(found)


def test_a_row_by_another_program_keeps_none_from_being_written(log, answer_to):
    log.append(answer_to("a"))
    with sqlite3.connect(log.path) as conn:
        columns = [row[1] for row in conn.execute("PRAGMA table_info(answers)")][1:]
        names = ", ".join(f"[{name}]" for name in columns)
        values = names.replace("[setting]", "'[1]'")  # JSON, but not of names and values
        conn.execute(f"INSERT INTO answers SELECT 'u', {values} FROM answers")
    conn.close()
    with Log(log.path) as later:
        later.append(answer_to("b"))
        assert later.journal_trouble is None
    lines = [line for line in lines_in(log.path) if line.uuid != "u"]
    assert [line.row().skill for line in lines] == ["a", "b"]
