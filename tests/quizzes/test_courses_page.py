"""`COURSES.md` against the loader: its example, its keys and its limits."""

import re
from pathlib import Path

import pytest

from quizzes import course, courses
from quizzes.courses import read_course
from quizzes.decks.deck import Deck

PAGE = (Path(__file__).parent.parent.parent / "COURSES.md").read_text(encoding="utf-8")
LIMITS = {
    "bytes of a file": courses.MOST_BYTES,
    "steps": course.MOST_STEPS,
    "texts in one list": course.MOST_NAMED,
    "letters of a name": course.LONGEST_NAME,
    "letters of `about` or `source`": course.LONGEST_ABOUT,
    "new skills a day": course.MOST_PACE,
}


def keys_of(heading):
    section = PAGE.partition(f"## {heading}\n")[2].partition("\n## ")[0]
    return re.findall(r"^\| `(\w+)` \|", section, re.MULTILINE)


def test_the_example_is_a_course():
    (example,) = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)
    found = read_course(example, Path("june.toml"))
    assert found.pace == 4
    assert found.missing == ("phrases-of-june",)
    assert all(len(step.skills) > 2 for step in found.steps)
    deck = {"phrases-of-june": Deck("phrases-of-june", "Phrases", ())}
    assert read_course(example, Path("june.toml"), decks=deck).missing == ()


def test_every_key_stands_on_the_page_and_no_other():
    assert keys_of("The head") == list(course.HEAD)
    assert keys_of("A step") == ["name", *course.LISTS, "ask"]


@pytest.mark.parametrize("what", LIMITS)
def test_the_limits_on_the_page_are_those_that_are_kept(what):
    assert f"| {LIMITS[what]} | {what} |\n" in PAGE
    limits = PAGE.partition("## Limits\n")[2]
    assert len(re.findall(r"^\| \d+ \|", limits, re.MULTILINE)) == len(LIMITS)
