"""What an answer may hold."""

import uuid
from datetime import UTC, datetime, timedelta, timezone

import pytest

from scheduler import AnswerError, new_uuid
from scheduler.answer import milliseconds_of, moment_of


def test_times_are_kept_in_utc_to_the_millisecond(answer_to):
    india = timezone(timedelta(hours=5, minutes=30))
    answer = answer_to(utc=datetime(2026, 1, 5, 23, 30, 0, 123_999, tzinfo=india))
    assert answer.utc == datetime(2026, 1, 5, 18, 0, 0, 123_000, tzinfo=UTC)
    assert moment_of(milliseconds_of(answer.utc)) == answer.utc


def test_a_time_without_a_zone_is_refused(answer_to):
    with pytest.raises(AnswerError, match="no time zone"):
        answer_to(utc=datetime(2026, 1, 5))


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("credit", 1.01),
        ("credit", float("nan")),
        ("chance", -0.1),
        ("predicted", 2.0),
        ("seed", -1),
        ("seed", 2**63),
        ("monotonic_s", float("inf")),
        ("response_ms", 1.5),
        ("uuid", ""),
        ("student", ""),
        ("setting", {"far": float("inf")}),
        ("setting", {"what": object()}),
    ],
)
def test_a_value_that_no_log_may_hold_is_named(answer_to, field, value):
    with pytest.raises(AnswerError, match=field):
        answer_to(**{field: value})


def test_an_answer_before_the_end_of_the_cue_has_a_negative_time(answer_to):
    assert answer_to(response_ms=-350).meeting.response_ms == -350


def test_a_fresh_uuid_is_of_version_7_and_carries_its_time():
    """RFC 9562, section 5.7: 48 bits of milliseconds since 1970, version 7, variant 10."""
    before = milliseconds_of(datetime.now(UTC))
    made = uuid.UUID(new_uuid())
    assert made.version == 7
    assert made.variant == uuid.RFC_4122
    assert before <= made.int >> 80 <= milliseconds_of(datetime.now(UTC))
    assert new_uuid() != new_uuid()
