"""Another course: it begins with the next practice, and nothing that was answered is lost."""

import shutil
from dataclasses import replace
from functools import partial

import pytest

import practice.courses
from practice import SettingsError, course_choices
from practice.settings import Settings, load_settings, save_settings
from quizzes.courses import COURSES, courses, load_course
from scheduler import Log
from tests.steps import ask, wrong


def take(practice, course):
    practice.save(replace(practice.settings, course=course))


def drill(practice, count):
    """Answer so many questions, each second one wrongly; the skills asked."""
    session, asked = practice.start(5), []
    for number in range(count):
        step = ask(session)
        session.answer(wrong(step) if number % 2 else step.question.right[0])
        asked.append(step.question.skill)
    practice.end()
    return asked


def beliefs(practice):
    return dict(practice._memory.beliefs)


def rows(practice):
    with Log.reading(practice.folder / "log.sqlite") as log:
        return [answer.skill for answer in log.answers()]


def test_another_course_is_asked_from_the_next_practice_on(open_practice):
    practice = open_practice()
    first = drill(practice, 3)
    take(practice, "ragas")
    then = drill(practice, 3)
    assert {skill.partition(":")[0] for skill in first} <= {"swara", "gap", "wider"}
    assert set(then) <= {skill.id for skill in load_course("ragas").skills}
    assert practice.course.name == "Ragas by ear"
    assert rows(practice) == first + then


def test_what_was_learnt_in_a_course_is_there_when_it_is_taken_again(open_practice):
    practice = open_practice()
    drill(practice, 4)
    before = beliefs(practice)
    take(practice, "ragas")
    assert set(beliefs(practice)) == set(before)
    drill(practice, 2)
    take(practice, "first-path")
    assert {skill: belief for skill, belief in beliefs(practice).items() if skill in before} == (
        before
    )
    assert beliefs(open_practice()) == beliefs(practice)


def test_a_session_that_runs_goes_on_in_its_course_and_counts(open_practice):
    practice = open_practice()
    session = practice.start(5)
    step = ask(session)
    take(practice, "ragas")
    session.answer(step.question.right[0])
    assert ask(session).question.skill in {skill.id for skill in load_course().skills}
    practice.end()
    assert step.question.skill in beliefs(practice)
    assert ask(practice.start(5)).question.kind.startswith("raga-")


def test_a_course_that_is_not_there_is_refused_with_those_that_are(open_practice):
    practice = open_practice()
    with pytest.raises(SettingsError, match="'palace' is not known; give one of first-path, "):
        take(practice, "palace")
    assert practice.settings.course == practice.course.id == "first-path"
    assert load_settings(practice.folder)[0].course == "first-path"


@pytest.fixture
def broken(tmp_path, monkeypatch):
    """A folder of courses, one of which cannot be read: its id."""
    folder = tmp_path / "courses"
    shutil.copytree(COURSES, folder)
    (folder / "torn.toml").write_text('name = "Torn"\nabout = "x"\n[[step]]\nname = "a"\n')
    monkeypatch.setattr(practice.courses, "courses", partial(courses, folder=folder))
    monkeypatch.setattr(practice.courses, "load_course", partial(load_course, folder=folder))
    return "torn"


def test_a_broken_course_is_refused_with_file_place_and_remedy(open_practice, broken):
    practice = open_practice()
    with pytest.raises(SettingsError, match=r"torn\.toml, line 3: step 1, skills: "):
        take(practice, broken)
    assert practice.course.id == practice.settings.course == "first-path"
    (torn,) = [choice for choice in course_choices() if choice.why_not]
    assert (torn.id, torn.why_not.partition("step 1")[1]) == (broken, "step 1")


@pytest.mark.parametrize("course", ["torn", "gone"])
def test_a_course_broken_or_gone_since_is_told_and_practice_goes_on(
    open_practice, broken, tmp_path, course
):
    save_settings(Settings(course=course), tmp_path / "student")
    practice = open_practice()
    (trouble,) = practice.troubles
    assert course in trouble
    assert "Until then the usual course is taken." in trouble
    assert len(drill(practice, 1)) == 1


def test_all_courses_are_offered_with_name_and_about_the_usual_one_first():
    choices = course_choices()
    assert choices[0].id == "first-path"
    assert {choice.id for choice in choices} == set(courses())
    for choice in choices:
        course = load_course(choice.id)
        assert (choice.name, choice.why_not) == (course.name, None)
        assert choice.about.split() == course.about.split()
