"""Courses of a teacher's own: decks, kinds, a pace, ids of their own, and all faults at once."""

import random
from collections import Counter
from itertools import zip_longest
from pathlib import Path

import pytest

from quizzes.courses import COURSES, courses, load_course, read_course
from quizzes.decks.deck import Asked, Deck, Narrowed, Offered
from quizzes.errors import CourseError
from quizzes.kept import skills_of
from tests.quizzes.broken_courses import broken, judge

HEAD = 'name = "A"\nabout = "B"\n'
TWO = (Offered("Ga", right=True), Offered("Re"))
DECK = Deck(
    "gaps",
    "Gaps",
    (
        Asked("rest", "choose-one", "Where does it rest?", "Rest", offered=TWO),
        Narrowed("up", "gap", "Up", ("gap:S-G:up", "gap:S-P:up")),
    ),
)
TALA = """
[tala.my_tala]
name = "My tala"
vibhags = [3, 2]
khali = [4]
laya = ["madhya"]

[[tala.my_tala.theka]]
bols = "dhin na na | tin na"
"""


def read(*steps, head=HEAD, **given):
    text = head + "".join(f'[[step]]\nname = "{n}"\n{step}\n' for n, step in enumerate(steps))
    return read_course(text, Path("mine.toml"), **given)


def ids(step):
    return [skill.id for skill in step.skills]


def of_kind(kind):
    return [skill.id for skill in skills_of(kind)]


def test_a_kind_is_met_in_its_usual_order_and_what_is_asked_narrows_it():
    whole, narrow = read('kinds = ["tune"]', 'kinds = ["gap"]\nask = ["gap:R-", "gap:S-P"]').steps
    assert ids(whole) == of_kind("tune")
    gaps = of_kind("gap")
    assert ids(narrow) == [s for b in ("gap:R-", "gap:S-P") for s in gaps if s.startswith(b)]


def test_what_one_step_mixes_takes_turns_and_is_met_once():
    course = read(
        'skills = ["gap:S-P:up"]\ndecks = ["gaps"]\nragas = ["yaman"]\nkinds = ["tune"]',
        'decks = ["gaps"]',
        decks={"gaps": DECK},
    )
    mixed, after = course.steps
    yaman = [skill for skill in ids(mixed) if skill.endswith("yaman")]
    rows = zip_longest(["deck:gaps:rest", "gap:S-G:up"], yaman, of_kind("tune"))
    assert ids(mixed) == ["gap:S-P:up", *(skill for row in rows for skill in row if skill)]
    assert len(yaman) > 10
    assert after.skills == ()  # no fault: a deck may come to ask nothing more


def test_a_deck_that_is_not_there_is_told_and_the_rest_goes_on():
    course = read('decks = ["gaps", "lost"]', 'decks = ["lost"]', decks={"gaps": DECK})
    assert ids(course.steps[0]) == ["deck:gaps:rest", "gap:S-G:up", "gap:S-P:up"]
    assert [step.missing for step in course.steps] == [("lost",), ("lost",)]
    assert course.missing == ("lost",)
    assert course.decks == {"gaps", "lost"}


def test_what_only_the_teacher_has_may_be_named():
    with pytest.raises(CourseError, match="'my_tala' is no tala known here"):
        read('talas = ["my_tala"]')
    course = read('talas = ["my_tala"]', 'skills = ["khali:dadra"]', tradition=TALA)
    assert "theka:write:my_tala" in ids(course.steps[0])
    assert all("my_tala" in skill.split(":") for skill in ids(course.steps[0]))
    (of_kind,) = read('kinds = ["khali"]', tradition=TALA).steps
    assert {"khali:dadra", "khali:my_tala"} <= set(ids(of_kind))


def test_a_pace_is_a_whole_number_of_skills_a_day_and_may_be_left_out():
    assert read('kinds = ["tune"]', head=f"{HEAD}pace = 4\n").pace == 4
    assert read('kinds = ["tune"]').pace is None
    for wrong in ("0", "51", "2.5", "true", '"4"'):
        with pytest.raises(CourseError, match="line 3: pace: should be a whole number from 1 to"):
            read('kinds = ["tune"]', head=f"{HEAD}pace = {wrong}\n")


def test_all_that_is_wrong_is_told_in_the_order_of_the_lines():
    text = 'name = ""\nabout = "B"\nmood = "glad"\n' + "".join(
        f"[[step]]\n{step}\n"
        for step in (
            'name = "one"\nkinds = ["gap", "gasp"]',
            'name = "two"\nkinds = ["deck"]',
            'ask = ["gap:"]\nskills = ["swara:X", "swara:S", "swara:S"]',
            'name = "four"\nkinds = ["gap"]\nask = ["tune"]',
            'name = "five"\nkinds = ["gap"]',
            'name = "six"',
            f'name = "{"x" * 81}"\ndecks = []',
        )
    )
    with pytest.raises(CourseError) as caught:
        read_course(text, Path("mine.toml"))
    lines = str(caught.value).splitlines()
    assert all(line.startswith("mine.toml, line ") for line in lines)
    assert [line.removeprefix("mine.toml, line ") for line in lines] == [
        "1: name: should be a text in quotes",
        "3: mood: is not known; known are about, name, pace, source, step",
        "6: step 1, kinds: 'gasp' is no kind known here; `main.py kinds` lists them",
        "9: step 2, kinds: 'deck' is no kind known here; `main.py kinds` lists them",
        "10: step 3, name: should be a text in quotes",
        "11: step 3, ask: narrows ragas, talas or kinds; give one of these beside it",
        "12: step 3, skills: 'swara:X' is not asked; `main.py kinds swara` lists what is",
        "12: step 3, skills: swara:S stands twice in the course; remove one",
        "16: step 4, ask: nothing that is asked of these kinds begins with 'tune'",
        "19: step 5, kinds: nothing new is asked of these kinds so; remove the step",
        "20: step 6, skills: is missing; a step needs one of skills, decks, ragas, talas, kinds",
        "23: step 7, name: is 81 letters long; 80 are allowed",
        "24: step 7, decks: is empty; it should name at least one",
    ]
    assert [at.number for at in caught.value.faults] == [0, 0, 1, 2, 3, 3, 3, 3, 4, 5, 6, 7, 7]


def test_own_courses_stand_behind_the_shipped_and_may_not_bear_their_ids(tmp_path):
    step = '[[step]]\nname = "one"\nkinds = ["tune"]\n'
    for name in ("my-term", "ragas", "My term"):
        (tmp_path / f"{name}.toml").write_text(HEAD + step, encoding="utf-8")
    known = courses(own=tmp_path)
    assert known == (*courses(), "My term", "my-term")
    assert load_course("my-term", own=tmp_path).id == "my-term"
    assert load_course("ragas", own=tmp_path) == load_course("ragas")
    with pytest.raises(CourseError, match=r"its name should be of small letters.* first-term"):
        load_course("My term", own=tmp_path)
    with pytest.raises(CourseError, match=r"no such file; known are first-path, .*, my-term"):
        load_course("gone", own=tmp_path)
    for outside in ("../my-term", str(tmp_path / "my-term"), ""):
        with pytest.raises(CourseError):
            load_course(outside, own=tmp_path / "below")
    assert all((COURSES / f"{course}.toml").is_file() for course in courses())


def test_broken_courses_are_read_or_refused_by_our_own_error():
    chance = random.Random(8)
    came = Counter(judge(broken(chance)) for _ in range(150))
    assert came.keys() == {"read", "faulty", "no TOML"}


def test_a_sign_that_cannot_be_seen_is_told():
    for head in ('name = "A\\u0007"\nabout = "B"\n', 'name = "A\\n"\nabout = "B\\u0007"\n'):
        with pytest.raises(CourseError, match="holds a sign that cannot be seen"):
            read('kinds = ["tune"]', head=head)
    assert read('kinds = ["tune"]', head='name = "A"\nabout = "B\\nC"\n').about == "B\nC"


def test_a_huge_file_is_no_course(tmp_path):
    (tmp_path / "huge.toml").write_text(f"# {'x' * 200_000}\n{HEAD}", encoding="utf-8")
    with pytest.raises(CourseError, match="larger than 200 kB"):
        load_course("huge", own=tmp_path)
