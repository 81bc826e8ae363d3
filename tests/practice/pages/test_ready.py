"""Who is called ready for the lesson: by days of practice, and by how much of what is begun is
shaky."""

import pytest

from practice.pages.ready import ready_in
from practice.pages.topic import Topic
from scheduler.history import Day
from tests.practice.pages.stood import FULL, some_of, stood

HOLDS = some_of(firm=4, shaky=1)


def said_of(states, days, topic=None):
    return ready_in(stood(states, days=days), topic or Topic()).state


@pytest.mark.parametrize(
    ("days", "said"),
    [
        ({0: FULL, 3: FULL, 6: FULL}, "ready"),
        ({0: FULL, 3: FULL, 7: FULL}, "not yet"),
        ({0: FULL, 8: FULL, 9: FULL, 10: FULL}, "not yet"),
        ({7: FULL, 8: FULL, 9: FULL, 10: FULL}, "away"),
        ({}, "none"),
    ],
    ids=["three of seven", "a week ago", "before", "away", "never"],
)
def test_three_days_of_the_last_seven_are_wanted(days, said):
    assert said_of(HOLDS, days) == said


@pytest.mark.parametrize(
    ("day", "said"),
    [
        (Day(asked=10), "ready"),
        (Day(asked=7, shown=3), "ready"),
        (Day(asked=8, seconds=300.0), "ready"),
        (Day(asked=9, seconds=299.0), "not yet"),
    ],
)
def test_a_day_is_one_of_practice_from_ten_answers_or_five_minutes_on(day, said):
    assert said_of(HOLDS, dict.fromkeys((0, 2, 4), day)) == said


@pytest.mark.parametrize(
    ("states", "said"),
    [
        ({"firm": 4, "shaky": 1}, "ready"),
        ({"firm": 3, "shaky": 1}, "not yet"),
        ({"firm": 7, "shaky": 2}, "not yet"),
        ({"firm": 1, "coming": 7, "shaky": 2}, "ready"),
        ({"firm": 3, "shaky": 1, "unheard": 8}, "not yet"),  # what is unheard outweighs nothing
    ],
)
def test_no_more_than_one_in_five_of_what_is_begun_may_be_shaky(states, said):
    assert said_of(some_of(**states), dict.fromkeys(range(4), FULL)) == said


def test_twenty_answers_are_needed_to_say_it():
    for count, said in ((19, "few"), (20, "ready")):
        days = {0: Day(asked=count - 2), 1: Day(asked=1, seconds=300.0), 2: Day(1, seconds=300.0)}
        assert said_of(HOLDS, days) == said


def test_of_a_lesson_on_some_ragas_these_alone_are_counted():
    states = some_of(firm=5, shaky=3)
    firm, shaky = (frozenset(s for s in states if states[s] == of) for of in ("firm", "shaky"))
    days = dict.fromkeys(range(4), FULL)
    assert said_of(states, days) == "not yet"
    assert said_of(states, days, Topic(words="Yaman", skills=firm)) == "ready"
    assert said_of(states, days, Topic(words="Yaman", skills=shaky)) == "not yet"
