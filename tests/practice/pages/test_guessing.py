"""In which kinds guessing shows: the plainest first, of these weeks and of answers enough."""

from dataclasses import replace

from practice.pages.guessing import guessing_in
from scheduler.history import Tally, bin_of, lately
from tests.practice.pages.stood import NOW, some_of, stood

QUICK, SLOW = bin_of(500), bin_of(4000)
KNOWN = Tally(60, 55, 15.0)
KINDS = {
    "gap": {QUICK: Tally(40, 10, 10.0), SLOW: KNOWN},
    "swara": {QUICK: Tally(60, 15, 15.0), SLOW: KNOWN},
    "ornament": {QUICK: KNOWN, SLOW: KNOWN},
    "tala": {QUICK: Tally(30, 8, 7.5), SLOW: Tally(30, 7, 7.5)},
    "tune": {QUICK: Tally(10, 2, 2.5), SLOW: Tally(20, 18, 5.0)},
}
"""In a quarter of all cases luck alone is right."""


def told_of(kinds, weeks_ago=0):
    standing = stood(some_of(firm=1))
    week = lately(NOW)[-2] - weeks_ago
    hurried = {kind: {week: bins} for kind, bins in kinds.items()}
    return guessing_in(replace(standing, history=replace(standing.history, hurried=hurried)))


def test_kinds_answered_by_luck_come_first_then_those_in_which_most_was_quick():
    told = told_of(KINDS)
    assert [one.kind for one in told.found] == ["Talas by ear", "Swaras", "Gaps"]
    assert told.looked_at == 4  # of one there are too few
    assert told.found[1].figure.startswith("15 of 60 (16 to 37 %) right within 0.5 s, luck alone")
    assert told.found[1].figure.endswith("later: 55 of 60 (82 to 96 %)")  # Wilson by scipy


def test_where_slow_answers_are_known_and_quick_ones_too_nothing_is_said():
    told = told_of({"ornament": KINDS["ornament"]})
    assert told.found == ()
    assert told.words.startswith("Nothing points to guessing in the one kind")


def test_what_is_surely_more_than_luck_is_no_guess_though_it_is_little():
    """Of many answers, 28 to 34 % right where luck gives 25 %."""
    slow = Tally(1000, 950, 250.0)
    assert told_of({"gap": {QUICK: Tally(1000, 310, 250.0), SLOW: slow}}).found == ()
    assert told_of({"gap": {QUICK: Tally(1000, 270, 250.0), SLOW: slow}}).found


def test_what_was_long_ago_says_nothing():
    assert told_of(KINDS, weeks_ago=3).found
    told = told_of(KINDS, weeks_ago=4)
    assert (told.found, told.looked_at) == ((), 0)
