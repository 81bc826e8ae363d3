"""What is kept of a memory never makes it another one than the log tells."""

import json
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

from scheduler import Log, Memory, kept
from scheduler.kept import keep, kept_path, recalled
from tests.scheduler.conftest import START

FAMILIES = {"a": "perception", "b": "facts", "c": "orders", "d": "perception"}
KIN = {"a": "x", "d": "x"}
SORTING = {"families": FAMILIES, "kin": KIN}


def moment(day):
    return START + timedelta(days=day)


def told_by(log, student="Mira"):
    return repr(Memory.rebuilt(log.meetings(student), **SORTING))


def some_answers(answer_to, count, *, seed=1):
    rng = random.Random(seed)
    return [
        answer_to(
            rng.choice("abcde"),
            day=number // 5,
            credit=rng.choice([0.0, 0.4, 1.0, 1.0]),
            heard=rng.choice([None, "a", "c"]),
            response_ms=rng.randrange(500, 9000),
            monotonic_s=9.0 * number,
        )
        for number in range(count)
    ]


@pytest.fixture
def log(tmp_path, answer_to):
    """A log of thirty answers, with what it tells of Mira kept beside it."""
    with Log(tmp_path / "log.db") as log:
        log.append_all(some_answers(answer_to, 30))
        assert keep(recalled(log, "Mira", **SORTING), log).is_kept
        yield log


def test_what_was_kept_is_gone_on_from(log, answer_to):
    found = recalled(log, "Mira", **SORTING)
    assert (found.doubt, found.is_kept) == (None, True)
    log.append_all([answer_to("a", day=6, credit=0.0), answer_to("b", day=6, student="Ravi")])
    found = recalled(log, "Mira", **SORTING)
    assert (found.doubt, found.is_kept) == (None, False)
    assert repr(found.memory) == told_by(log)
    log.append(answer_to("c", day=7))
    later = recalled(log, "Mira", **SORTING, since=found)
    assert later.doubt is None
    assert repr(later.memory) == told_by(log)


# Steps of a log's life: so many answers on one device or another, whose clock is so many days
# ahead; then whether a session is left out or put back, and which, counted from the last; then
# whether the memory is kept, or the program opened anew.
STEPS = st.lists(
    st.tuples(
        st.sampled_from(["desk", "tablet", "phone"]),
        st.integers(0, 6),
        st.sampled_from([0.0, 0.0, 0.0, -9.0, 9.0]),
        st.tuples(st.sampled_from([None, None, True, False]), st.integers(1, 4)),
        st.booleans(),
        st.booleans(),
    ),
    max_size=7,
)


@settings(  # the fixture keeps nothing between examples
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(steps=STEPS, seed=st.integers(0, 1000))
def test_memory_is_the_same_as_rebuilt_however_answers_came_in_and_were_left_out(
    steps, seed, answer_to
):
    rng, day, found = random.Random(seed), 0.0, None
    with TemporaryDirectory() as folder, Log(Path(folder) / "log.db") as log:
        for device, count, ahead, (is_out, which), keeps, opens in steps:
            answers = []
            for _ in range(count):
                day += rng.choice([0.0, 0.01, 1.0])
                answers.append(
                    answer_to(
                        rng.choice("abcd"),
                        day=day + ahead,
                        credit=rng.choice([0.0, 0.5, 1.0]),
                        heard=rng.choice([None, "a"]),
                        device=device,
                        student=rng.choice(["Mira", "Mira", "Ravi"]),
                    )
                )
            log.append_all(answers)
            sessions = list(dict.fromkeys(answer.session for answer in log.answers()))
            if is_out is not None:
                say = log.leave_out if is_out else log.put_back
                say(*sessions[-which:][:1], student="Mira", device=device, utc=moment(day))
            found = recalled(log, "Mira", **SORTING, since=None if opens else found)
            assert repr(found.memory) == told_by(log)
            if keeps:
                found = keep(found, log)
        if steps and steps[-1][4]:
            assert recalled(log, "Mira", **SORTING).doubt is None
        if log.left_out("Mira"):
            with Log(Path(folder) / "without.db") as other:  # that never had it
                other.append_all(log.answers(with_left_out=False))
                assert told_by(other) == told_by(log)


def test_a_session_is_left_out_and_put_back_without_reading_again_what_came_before_it(
    log, answer_to
):
    before = recalled(log, "Mira", **SORTING)
    log.append_all(answer_to(skill, day=7, credit=0.0) for skill in "ab")
    whole = keep(recalled(log, "Mira", **SORTING, since=before), log)
    for say, is_as_before in ((log.leave_out, True), (log.put_back, False)) * 2:
        say("day 7", student="Mira", device="", utc=moment(8))
        assert recalled(log, "Mira", **SORTING, since=whole).doubt == (
            "answers were left out or put back" if is_as_before else None
        )
        found = recalled(log, "Mira", **SORTING, since=before)
        assert found.doubt is None
        assert (repr(found.memory) == repr(before.memory)) == is_as_before
        assert repr(found.memory) == told_by(log)
    log.leave_out("day 8", student="Mira", device="", utc=moment(8))
    kept_still = recalled(log, "Mira", **SORTING)  # nothing was answered in it yet
    assert (kept_still.doubt, kept_still.is_kept) == (None, False)


def test_three_hundred_damages_never_give_another_memory(log):
    path, rng = kept_path(log.path, "Mira"), random.Random(7)
    whole, told = path.read_bytes(), told_by(log)
    for _ in range(300):
        torn, at = bytearray(whole), rng.randrange(len(whole))
        length = rng.choice([1, 2, 30, len(whole)])
        match rng.randrange(5):
            case 0:
                torn[at] ^= 1 << rng.randrange(8)
            case 1:
                del torn[at : at + length]
            case 2:
                torn[at:at] = torn[: 1 + at // 2]
            case 3:
                torn[at : at + length] = bytes(len(torn[at : at + length]))
            case 4:
                torn[at] = ord("0") + (torn[at] + 1) % 10
        if torn == whole:
            continue
        path.write_bytes(torn)
        found = recalled(log, "Mira", **SORTING)
        assert found.doubt is not None
        assert repr(found.memory) == told
        assert repr(recalled(log, "Mira", **SORTING, since=found).memory) == told


def _with_a_digest(path, lines):
    content = "\n".join(json.dumps(line) for line in lines).encode()
    path.write_bytes(kept._digest(content) + b"\n" + content)


@pytest.mark.parametrize(
    "change",
    [
        lambda ground, learnt, counted: [ground, learnt],
        lambda ground, learnt, counted: [ground, {}, counted],
        lambda ground, learnt, counted: [ground, {**learnt, "beliefs": {"a": [1]}}, counted],
        lambda ground, learnt, counted: [{**ground, "more": 1}, learnt, counted],
        lambda ground, learnt, counted: [{**ground, "until": "last"}, learnt, counted],
        lambda ground, learnt, counted: [{**ground, "until": 9}, learnt, counted],
        lambda ground, learnt, counted: [{**ground, "student": "Ravi"}, learnt, counted],
        lambda ground, learnt, counted: [{**ground, "latest_ms": [1]}, learnt, counted],
        lambda ground, learnt, counted: [{**ground, "model": 0}, learnt, counted],
        lambda ground, learnt, counted: [{**ground, "left_out": ["day 1"]}, learnt, counted],
        lambda ground, learnt, counted: [{**ground, "left_out": 7}, learnt, counted],
        lambda ground, learnt, counted: [[[[]]], learnt, counted],
        lambda ground, learnt, counted: [ground, learnt, {}],
        lambda ground, learnt, counted: [ground, learnt, {**counted, "weeks": {"a": {"x": [1]}}}],
        lambda ground, learnt, counted: [ground, learnt, {**counted, "days": {"1": [1]}}],
        lambda ground, learnt, counted: [{**ground, "counting": 0}, learnt, counted],
    ],
)
def test_what_another_version_kept_is_not_believed(log, change):
    path = kept_path(log.path, "Mira")
    lines = [json.loads(line) for line in path.read_text().split("\n")[1:]]
    _with_a_digest(path, lines)
    assert recalled(log, "Mira", **SORTING).doubt is None
    _with_a_digest(path, change(*lines))
    found = recalled(log, "Mira", **SORTING)
    assert found.doubt is not None
    assert repr(found.memory) == told_by(log)


def test_another_model_rebuilds(log, monkeypatch):
    monkeypatch.setattr(kept, "MODEL", kept.MODEL + 1)
    assert "model" in recalled(log, "Mira", **SORTING).doubt


def test_another_sorting_of_skills_met_rebuilds(log):
    for sorting in (
        {"families": {**FAMILIES, "a": "facts"}, "kin": KIN},
        {"families": FAMILIES, "kin": {**KIN, "b": "x"}},
    ):
        found = recalled(log, "Mira", **sorting)
        assert "families or kin" in found.doubt
        assert repr(found.memory) == repr(Memory.rebuilt(log.meetings("Mira"), **sorting))
    more = {**FAMILIES, "not met": "facts"}
    found = recalled(log, "Mira", families=more, kin=KIN)
    assert (found.doubt, found.memory.families) == (None, more)


def test_answers_that_belong_before_those_seen_rebuild(log, answer_to):
    log.append(answer_to("a", day=0.5, device="desk", credit=0.0))
    found = recalled(log, "Mira", **SORTING)
    assert "before those seen" in found.doubt
    assert repr(found.memory) == told_by(log)


@pytest.mark.parametrize(
    ("device", "is_before"), [("desk", True), ("tablet", False), ("wall", False)]
)
def test_of_answers_at_one_time_those_of_the_device_named_first_come_first(
    log, answer_to, device, is_before
):
    log.append(answer_to("a", day=9))
    found = recalled(log, "Mira", **SORTING)
    log.append(answer_to("b", day=9, device=device, credit=0.0))
    later = recalled(log, "Mira", **SORTING, since=found)
    assert (later.doubt is not None) == is_before
    assert repr(later.memory) == told_by(log)
    log.append(answer_to("a", day=9.5, device="desk"))
    assert recalled(log, "Mira", **SORTING, since=later).doubt is None


def test_another_log_in_the_place_of_the_one_it_was_kept_for_rebuilds(log, answer_to, tmp_path):
    for count in (30, 10):
        with Log(tmp_path / f"{count}.db") as other:
            other.append_all(some_answers(answer_to, count, seed=2))
            shutil.copy(kept_path(log.path, "Mira"), kept_path(other.path, "Mira"))
            found = recalled(other, "Mira", **SORTING)
            assert "another" in found.doubt
            assert repr(found.memory) == told_by(other)


def test_rows_numbered_by_another_program_are_read_but_nothing_is_kept(log):
    with closing(sqlite3.connect(log.path)) as conn:
        columns = [row[1] for row in conn.execute("PRAGMA table_info(answers)")]
        names = ", ".join(f"[{name}]" for name in columns)
        others = ", ".join(f"[{name}]" for name in columns[1:])
        for number in (90, -5):
            conn.execute(
                f"INSERT INTO answers (rowid, {names}) SELECT {number}, 'u{number}', {others} "
                "FROM answers WHERE rowid = 3"
            )
            conn.commit()
            found = recalled(log, "Mira", **SORTING)
            assert repr(found.memory) == told_by(log)
            assert keep(found, log) == found
            assert not found.is_kept


def test_what_cannot_be_written_or_read_is_done_without(tmp_path, answer_to):
    with Log(tmp_path / "log.db") as log:
        log.append_all(some_answers(answer_to, 5))
        path = kept_path(log.path, "Mira")
        for folder in (path, path.with_name(f"{path.name}.draft")):
            folder.mkdir()
            assert not keep(recalled(log, "Mira", **SORTING), log).is_kept
            assert repr(recalled(log, "Mira", **SORTING).memory) == told_by(log)
            folder.rmdir()


@pytest.mark.parametrize("student", ["../Mira", "/", "मीरा", "NUL", "x" * 500])
def test_any_student_s_memory_is_kept_beside_the_log(tmp_path, answer_to, student):
    with Log(tmp_path / "log.db") as log:
        log.append(answer_to("a", student=student))
        assert keep(recalled(log, student, **SORTING), log).is_kept
        assert kept_path(log.path, student).parent == tmp_path
        assert recalled(log, student, **SORTING).is_kept
        assert recalled(log, "Mira", **SORTING).memory.beliefs == {}
