"""The class page: all are on it once, with what is theirs; what is shared is shared by several."""

from contextlib import ExitStack
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import pytest

from practice.pages.class_page import ClassPage, Unread, class_page
from practice.pages.class_sheet import class_paper
from practice.pages.gathering import whole_class
from practice.pages.states import States
from practice.settings import FILE_NAME, Settings, save_settings
from practice.standing import LOG_NAME
from practice.students import Students
from scheduler import Log
from scheduler.history import Day
from tests import taken
from tests.practice.pages.stood import FULL, NOW, SWARAS, some_of, stood

READY = dict.fromkeys(range(4), FULL)


def page_of(*standings):
    return class_page(standings, NOW)


def test_students_stand_by_name_each_with_what_is_theirs():
    page = page_of(
        stood(some_of(firm=3, shaky=2), days=READY, name="noor"),
        Unread("student-1", "Zia", "log.sqlite: it is damaged"),
        stood(some_of(firm=4, coming=1), days=READY, name="Mira"),
        stood(some_of(firm=1, unheard=1), days={9: FULL}, name="asha"),
        Unread("student-2", "Bela"),
    )
    assert [(one.name, one.state) for one in page.students] == [
        ("asha", "away"), ("Bela", "none"), ("Mira", "ready"), ("noor", "not yet"),
        ("Zia", "unread"),
    ]  # fmt: skip
    assert [one.states for one in page.students[2:4]] == [States(4, 1), States(3, 0, 2)]
    assert page.students[-1].trouble == "log.sqlite: it is damaged"
    told = [one for _, those in page.summary for one in those]
    assert sorted(one.name for one in told) == sorted(one.name for one in page.students)
    for said, those in page.summary:
        assert f"{len(those)} {said.lower()}" in page.counts


@pytest.mark.parametrize(("later", "of_days"), [(0, 28), (1, 22), (3, 24)])
def test_time_spent_is_counted_from_the_monday_three_weeks_before(later, of_days):
    """29 November 2026 is a Sunday; the day after, another week begins."""
    now = NOW + timedelta(days=later)
    days = {ago: Day(asked=10 + ago, seconds=60.0 * ago) for ago in (0, 5, of_days - 1)}
    days[of_days] = Day(asked=900, seconds=9000.0)  # a day too early
    (one,) = class_page([stood(some_of(firm=1), days=days, now=now)], now).students
    asked, minutes = 30 + 5 + of_days - 1, 5 + of_days - 1
    assert one.spent == (3, of_days, pytest.approx(minutes), asked)
    assert one.spent.words == f"3 of {of_days} days, {minutes} minutes, {asked} questions"


def test_what_is_shaky_for_several_is_shared_and_for_one_is_not():
    shaky, firm = ("shaky", 0.3), ("firm", 0.9)
    page = page_of(
        stood({"swara:r": shaky, "swara:d": shaky, "swara:n": shaky, "swara:g": shaky}, name="Zia"),
        stood({"swara:r": shaky, "swara:d": shaky, "swara:n": firm, "swara:g": shaky}, name="asha"),
        stood({"swara:r": shaky, "swara:d": firm, "swara:n": "unheard"}, name="Mira"),
    )
    assert [(one.words, one.figure, one.who) for one in page.shaky] == [
        ("Komal Re", "shaky for 3 of 3 who have begun it", "asha, Mira and Zia"),
        ("Komal Ga", "shaky for 2 of 2 who have begun it", "asha and Zia"),
        ("Komal Dha", "shaky for 2 of 3 who have begun it", "asha and Zia"),
    ]


def test_all_that_is_shared_stands_on_paper_too():
    both = [stood(dict.fromkeys(SWARAS, "shaky"), name=name) for name in ("Mira", "Noor")]
    page = page_of(*both)
    shown = {run.text for sheet in class_paper(page).sheets for run in sheet.runs}
    assert len(page.shaky) >= 6
    assert {one.words for one in page.shaky} <= shown


def test_it_is_told_when_the_lesson_is_and_by_what_one_is_ready():
    given = {"lesson_day": "thursday", "lesson_time": "17:30"}
    (one,) = page_of(stood(some_of(firm=4, shaky=1), days=READY, **given)).students
    assert "Lesson: Thursday at 17:30" in one.why
    assert "4 of the last 7 days" in one.why
    assert "5 skills are begun, 1 of them shaky" in one.why
    (without,) = page_of(stood(some_of(firm=4, shaky=1), days=READY)).students
    assert "Lesson" not in without.why


def test_two_of_one_name_are_told_apart():
    first, second = (
        stood(some_of(firm=1), days={ago: Day(asked=9)}, name="Mira", student_id=f"student-{ago}")
        for ago in (0, 3)
    )
    other = stood(some_of(firm=1), name="Noor")
    names = [one.name for one in page_of(first, second, other).students]
    assert len(set(names)) == 3
    assert [name.split()[0] for name in names] == ["Mira", "Mira", "Noor"]
    assert names[2] == "Noor"


def rows_of(*mistakes, asked=24, **more):
    """Of each thing this one was given for it so often."""
    return [
        taken.row(f"swara:{right}", right, heard if n < count else right,
                  at=NOW - timedelta(days=1, seconds=9 * n), number=-n, **more)
        for right, heard, count in mistakes
        for n in range(asked)
    ]  # fmt: skip


def test_what_several_take_for_the_same_other_is_told_in_counts(tmp_path):
    """A slip is none, though all have made it, nor is what one alone mistakes."""
    students = {
        "Mira": rows_of(("r", "R", 15), ("G", "g", 14), ("S", "P", 1)),
        "Noor": rows_of(("r", "R", 14), ("G", "g", 16), ("d", "D", 20), ("S", "P", 1)),
        "Zia": rows_of(("r", "R", 13), ("S", "P", 1)),
        "Bela": rows_of(("S", "P", 1)) + rows_of(("P", "S", 12), asked=250),
        "Ravi": rows_of(("d", "D", 8), asked=20, chance=0.5),  # no more than by guessing
    }
    with ExitStack() as opened:
        standings = []
        for name, rows in students.items():
            rows.sort(key=lambda row: row.utc)
            known = taken.standing_of(tmp_path / name, rows, now=NOW, skills=SWARAS)
            one = opened.enter_context(known)
            standings.append(replace(one, settings=replace(one.settings, student_name=name)))
        page = page_of(*standings)
    assert [(one.words, one.who) for one in page.confused] == [
        ("Komal Re heard as Re", "Mira, Noor and Zia"),
        ("Ga heard as komal Ga", "Mira and Noor"),
    ]
    assert [one.figure for one in page.confused] == [
        "3 students, together 42 of 72 times",
        "2 students, together 30 of 48 times",
    ]
    worst = {one.name: one.worst for one in page.students}
    assert worst["Bela"] == worst["Ravi"] == ""
    assert worst["Noor"].startswith("Komal Dha heard as Dha: 20 of 24 (")
    assert worst["Mira"].startswith("Komal Re heard as Re: 15 of 24 (")


def home_of(tmp_path, *names, first=""):
    """A home in which the first student has this name, and others are added to it."""
    save_settings(Settings(student_id="first", student_name=first, course="ragas"), tmp_path)
    return [Students(tmp_path).add(name) for name in names]


def test_of_all_on_a_device_nobody_is_left_out_for_what_is_wrong_with_one(tmp_path):
    mira, noor, zia, bela, _ = home_of(tmp_path, "Mira", "Noor", "Zia", "Bela", "Ravi")
    with Log(mira.folder / LOG_NAME) as log:
        log.append_all(taken.rows(SWARAS, 30, until=NOW, student=mira.id))
    Log(bela.folder / LOG_NAME).close()  # has begun and answered nothing
    (noor.folder / LOG_NAME).write_bytes(b"no log" * 999)
    (zia.folder / FILE_NAME).write_text("{")
    heard = []
    page = whole_class(tmp_path, NOW, on_each=lambda *told: heard.append(told))
    assert isinstance(page, ClassPage)
    states = {one.id: one.state for one in page.students}
    assert sorted(states.values()) == ["none", "none", "not yet", "unread", "unread"]
    assert {states[mira.id], states[noor.id]} == {"not yet", "unread"}
    for one in page.students:
        assert bool(one.trouble) == (one.state == "unread")
    assert {at for _, at, _ in heard} == set(range(len(Students(tmp_path).all())))
    assert all(one[1] < two[1] for one, two in pairwise(heard))


@pytest.mark.parametrize(("name", "answers", "count"), [("", 0, 0), ("", 1, 1), ("Asha", 0, 0)])
def test_the_first_of_a_device_is_in_class_once_there_is_an_answer(tmp_path, name, answers, count):
    home_of(tmp_path, first=name)
    with Log(tmp_path / LOG_NAME) as log:
        log.append_all(taken.rows(["swara:S"], answers, until=NOW, student="first"))
    assert len(whole_class(tmp_path, NOW).students) == count
