"""A row comes back from its line as it went in, and a line that no log would write is refused."""

import json
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.leaving import Leaving
from scheduler.lines import (
    LineError,
    NewerLineError,
    answer_in,
    leaving_in,
    line_of,
    line_of_values,
    note_in,
)
from scheduler.schema import COLUMNS, NOTE_COLUMNS, note_row_of, row_of
from tests.scheduler.conftest import make_answer, make_note

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
NAMES = TEXTS.filter(lambda text: text[:1] not in ("", "\0"))
FITTING = st.floats(0, 1)
WHOLE = st.integers(-(2**63), 2**63 - 1)
JSON = st.recursive(
    st.none() | st.booleans() | WHOLE | st.floats(allow_nan=False, allow_infinity=False) | TEXTS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXTS, inner, max_size=3),
    max_leaves=8,
)
ANSWERS = st.builds(
    make_answer,
    NAMES,
    setting=st.dictionaries(TEXTS, JSON, max_size=4),
    choices=st.lists(TEXTS, max_size=4).map(tuple),
    right=st.lists(TEXTS, max_size=2).map(tuple),
    given=TEXTS.filter(lambda text: text[:1] != "\0"),
    heard=st.none() | NAMES,
    seed=st.integers(0, 2**63 - 1),
    credit=FITTING,
    chance=FITTING,
    predicted=FITTING,
    response_ms=WHOLE,
    monotonic_s=st.floats(allow_nan=False, allow_infinity=False),
    offset_min=st.integers(-1440, 1440),
    utc=st.datetimes(datetime(1970, 1, 1), datetime(9000, 1, 1), timezones=st.just(UTC)),
    session=NAMES,
)
SAID = st.builds(
    make_note,
    NAMES,
    data=st.dictionaries(TEXTS, JSON, max_size=4),
    utc_ms=st.integers(0, 10**13),
    offset_min=st.integers(-1440, 1440),
    student=NAMES,
    device=TEXTS.filter(lambda text: text[:1] != "\0"),
)
LINE = json.loads(line_of(make_answer("gap:R-P:up")))
LEFT = Leaving(student="Mira", session="day 1", is_out=True, utc_ms=7, device="tablet")


@given(ANSWERS)
def test_an_answer_comes_back_from_its_line_as_it_went_in(answer):
    line = line_of(answer)
    assert answer_in(line) == answer
    assert row_of(answer_in(line)) == row_of(answer)
    assert line.count(b"\n") == 1
    assert line.endswith(b"\n")
    # Read by Python's own reader, it holds just the columns, each meaning what it means.
    told = json.loads(line)
    assert tuple(told) == COLUMNS
    assert (told["setting"], told["choices"]) == (answer.setting, list(answer.choices))


def test_json_that_another_program_has_spread_over_lines_stays_on_one():
    values = list(row_of(make_answer("a")))
    values[COLUMNS.index("setting")] = '{"sa_hz":\n138.59}'
    line = line_of_values(values)
    assert line.count(b"\n") == 1
    assert answer_in(line).setting == {"sa_hz": 138.59}


def test_a_leaving_comes_back_from_its_line_as_it_went_in():
    assert leaving_in(line_of(LEFT)) == LEFT
    assert json.loads(line_of(LEFT))["out"] == 1


@given(SAID)
def test_a_note_comes_back_from_its_line_as_it_went_in(note):
    line = line_of(note)
    assert note_in(line) == note
    assert note_row_of(note_in(line)) == note_row_of(note)
    assert (line.count(b"\n"), line[-1:]) == (1, b"\n")
    told = json.loads(line)
    assert tuple(told) == NOTE_COLUMNS
    assert told["data"] == note.data


@pytest.mark.parametrize(
    "changes",
    [{"data": []}, {"data": "{}"}, {"utc_ms": 10**18}, {"offset_min": True}, {"what": ""}],
)
def test_a_note_that_no_log_would_hold_is_refused(changes):
    told = json.loads(line_of(make_note("palta")))
    with pytest.raises(LineError, match=f"{next(iter(changes))}="):
        note_in(json.dumps({**told, **changes}).encode())
    with pytest.raises(LineError, match="lacks data"):
        note_in(line_of(LEFT))


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"uuid": ""}, "uuid=''"),
        ({"uuid": 7}, "uuid=7"),
        ({"student": "\0x"}, "student="),
        ({"skill": None}, "skill=None"),
        ({"given": ["a"]}, "given="),
        ({"given": "\ud800"}, "no line of JSON"),
        ({"heard": 1.5}, "heard=1.5"),
        ({"seed": -1}, "seed=-1"),
        ({"seed": 2**63}, "seed=9223372036854775808"),
        ({"seed": 7.0}, "seed=7.0"),
        ({"seed": True}, "seed=True"),
        ({"credit": 1.01}, "credit=1.01"),
        ({"credit": "1"}, "credit='1'"),
        ({"credit": True}, "credit=True"),
        ({"chance": None}, "chance=None"),
        ({"predicted": -0.5}, "predicted=-0.5"),
        ({"response_ms": 10**30}, "response_ms=1000"),
        ({"utc_ms": 10**18}, "utc_ms=1000"),
        ({"utc_ms": -(10**15)}, "utc_ms=-1000"),
        ({"offset_min": 1441}, "offset_min=1441"),
        ({"setting": []}, "setting="),
        ({"setting": "{}"}, "setting="),
        ({"choices": {}}, "choices="),
        ({"right": ["a", 1]}, "right="),
        ({"version": 0}, "version=0"),
        ({"more": 1}, "has a field 'more'"),
    ],
)
def test_what_no_log_would_hold_is_refused_by_its_field(changes, said):
    with pytest.raises(LineError, match=said):
        answer_in(json.dumps({**LINE, **changes}).encode())


@pytest.mark.parametrize(
    "line",
    [
        b"",
        b"null",
        b"[]",
        b'"a"',
        b"{",
        b"\xff{}",
        b"[" * 100_000,
        b'{"uuid":"a"}',
        b'{"a":' * 100_000,
        json.dumps({**LINE, "setting": {"level": float("nan")}}).encode(),
        json.dumps({**LINE, "monotonic_s": float("-inf")}).encode(),
        json.dumps(LINE).replace("138.59", "1e999").encode(),
        json.dumps(LINE).replace("138.59", "9" * 5000).encode(),
        json.dumps(LINE).replace("138.59", "[" * 101 + "]" * 101).encode(),
    ],
)
def test_a_line_that_is_no_row_is_refused(line):
    for row_in in (answer_in, leaving_in, note_in):
        with pytest.raises(LineError):
            row_in(line)


def test_a_row_of_a_newer_version_is_told_from_one_that_is_wrong():
    with pytest.raises(NewerLineError, match="version=2 is newer than 1"):
        answer_in(json.dumps({**LINE, "version": 2}).encode())


@pytest.mark.parametrize("changes", [{"out": 2}, {"out": True}, {"session": ""}, {"utc_ms": None}])
def test_a_leaving_that_no_log_would_hold_is_refused(changes):
    with pytest.raises(LineError, match=f"{next(iter(changes))}="):
        leaving_in(json.dumps({**json.loads(line_of(LEFT)), **changes}).encode())
