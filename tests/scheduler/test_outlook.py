"""What a practice is said to hold before it starts."""

import itertools
from datetime import timedelta

from scheduler import Memory, Plan, families_of, outlook
from scheduler.outlook import _likeliest


def plan_of(course, start, memory=None, minutes=14):
    return Plan(
        course, memory or Memory(families=families_of(course)), minutes=minutes, started=start
    )


def test_a_first_outlook_is_of_new_skills_in_the_order_of_the_course(course, start):
    seen = outlook(plan_of(course, start))
    assert seen.minutes == 14
    assert seen.new == tuple(item.skill for item in course[: len(seen.new)])
    assert all(str(planned.reason) == "new" for planned in seen.planned)
    assert sum(planned.times for planned in seen.planned) == seen.questions
    assert sum(count for _, count in seen.kinds) == len(seen.planned)


def test_looking_ahead_changes_nothing(course, start):
    plan = plan_of(course, start)
    before = repr(plan.memory), plan.pick(start)
    assert outlook(plan) == outlook(plan)
    assert (repr(plan.memory), plan.pick(start)) == before


def test_a_practice_that_goes_as_foretold_holds_what_was_foretold(course, start):
    plan = plan_of(course, start, minutes=10)
    foretold, left, skills = outlook(plan), 600.0, []
    while pick := plan.pick(start + timedelta(seconds=600.0 - left), seconds_left=left):
        skills.append(pick.skill)
        left -= pick.item.seconds * (1.5 if pick.is_new else 1.0)  # shown and heard first
        plan.answered(_likeliest(pick, plan.memory, plan, 600.0 - left))
    assert len(skills) == foretold.questions
    assert tuple(dict.fromkeys(skills)) == tuple(planned.skill for planned in foretold.planned)


def test_what_was_missed_last_time_is_told_as_that(course, start, answer_to):
    memory = Memory(families=families_of(course))
    for day, number in itertools.product((2, 1), range(8)):
        when = start - timedelta(days=day, minutes=-number)
        credit = float((day, number) != (1, 2))
        told = answer_to(course[number].skill, utc=when, credit=credit, session=f"{day}")
        memory = memory.after(told.meeting)
    planned = {one.skill: one for one in outlook(plan_of(course, start, memory)).planned}
    assert str(planned[course[2].skill].reason) == "missed before 1"
    assert list(planned).index(course[2].skill) < 4
