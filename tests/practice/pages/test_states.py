"""How the parts of a course stand, which are shown first, and what the lesson is about."""

from dataclasses import replace

import pytest

from practice.pages.states import Part, States, most_wanting, parts_in, states_of
from practice.pages.topic import topic_of
from quizzes.catalogue import skill_of
from quizzes.course import Step
from tests.practice.pages.stood import SWARAS, some_of, stood


@pytest.mark.parametrize(
    ("more", "less"),
    [
        (States(9, 0, 3), States(0, 0, 2)),  # more shaky skills
        (States(2, 0, 2), States(9, 0, 2)),  # as many, of fewer
        (States(0, 3), States(3, 2)),  # less that is firm
    ],
)
def test_the_shakiest_part_is_shown_before_others(more, less):
    newest = Part("newest", States(9))
    for parts in (
        [Part("more", more), Part("less", less)],
        [Part("less", less), Part("more", more)],
    ):
        shown, left = most_wanting([*parts, newest], 2)
        assert [part.name for part in shown] == ["more", "newest"]
        assert [part.name for part in left] == ["less"]


def test_states_are_counted_each_by_its_name():
    standing = stood(some_of(firm=4, coming=3, shaky=2, unheard=1))
    assert states_of(standing, SWARAS[:10]) == (4, 3, 2, 1)
    (besides,) = parts_in(standing)  # no part of the course names them
    assert besides.states == (4, 3, 2, 1)


def test_what_two_parts_ask_is_counted_once():
    skills = [skill_of(skill) for skill in ("swara:S", "swara:P", "swara:m")]
    steps = Step("First", tuple(skills[:2])), Step("Second", tuple(skills[1:]))
    standing = stood({"swara:S": "firm", "swara:P": "shaky", "swara:m": "coming"})
    standing = replace(standing, course=replace(standing.course, steps=steps))
    found = [(part.name, part.states) for part in parts_in(standing)]
    assert found == [("First", (1, 0, 1, 0)), ("Second", (0, 1, 0, 0))]


def test_a_lesson_is_about_its_ragas_once_it_is_set_and_the_course_asks_of_them():
    asked = {"raga-from-phrase:note:yaman": "coming", "swara:S": "firm"}
    for settings, about in (
        ({"lesson_day": "thursday", "lesson_ragas": ("yaman",)}, "Yaman"),
        ({"lesson_ragas": ("yaman",)}, ""),
        ({"lesson_day": "thursday", "lesson_ragas": ("durga",)}, ""),
        ({"lesson_day": "thursday"}, ""),
    ):
        topic = topic_of(stood(asked, **settings))
        assert topic.words == about
        assert topic.skills == ({"raga-from-phrase:note:yaman"} if about else set())
