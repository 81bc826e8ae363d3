"""Why a question is asked, in words."""

import pytest

from scheduler import Reason
from scheduler.reason import CODES, whole_days

EXAMPLES = {
    Reason("new"): "new to you",
    Reason("settling", (1,)): "met today, heard once so far",
    Reason("again", (2,)): "asked twice today; once more, so that it stays",
    Reason("missed today"): "missed a moment ago",
    Reason("missed before", (0,)): "missed earlier today",
    Reason("missed before", (1,)): "missed last time, 1 day ago",
    Reason("confused", (2,), ("gap:P-S:up",)): "taken twice in the last 7 days for Pa up to Sa",
    Reason("confused", (8,), ("gap:P-S:up",)): (
        "taken 8 times or more in the last 7 days for Pa up to Sa"
    ),
    Reason("heard for", (), ("gap:P-S:up",)): "heard lately where Pa up to Sa sounded",
    Reason("between"): "something else in between, as a surprise",
    Reason("contrast", (), ("gap:P-S:up",)): "set beside Pa up to Sa, which was taken for it",
    Reason("lesson", (0,)): "for today's lesson",
    Reason("lesson", (2,)): "for the lesson in 2 days",
    Reason("fading", (4, 61)): "last heard 4 days ago, about to fade",
    Reason("fading", (9, 30)): "last heard 9 days ago, perhaps gone",
    Reason("shaky", (5, 9)): "shaky: right 5 of 9 times",
    Reason("coming", (7,)): "still new: met 7 times so far",
    Reason("firm", (9,)): "known well, last heard 9 days ago: so that it stays",
}


@pytest.mark.parametrize(("reason", "sentence"), EXAMPLES.items(), ids=str)
def test_a_reason_is_one_short_sentence(reason, sentence):
    assert reason.sentence({"gap:P-S:up": "Pa up to Sa"}.__getitem__) == sentence
    assert Reason.read(str(reason)) == reason


def test_every_code_has_an_example_here():
    assert {reason.code for reason in EXAMPLES} == set(CODES)


def test_the_log_keeps_code_numbers_and_skills():
    assert str(Reason("confused", (2,), ("gap:P-S:up",))) == "confused 2 gap:P-S:up"
    assert str(Reason("new")) == "new"


def test_days_are_counted_as_people_do():
    assert [whole_days(days) for days in (0.0, 0.3, 0.45, 0.9, 1.4, 1.6, 9.9)] == [
        0,
        0,
        1,
        1,
        1,
        2,
        10,
    ]


@pytest.mark.parametrize("text", ["", "newer", "told so 3"])
def test_an_unknown_reason_is_refused(text):
    with pytest.raises(ValueError, match="is no reason; there are new, "):
        Reason.read(text)
