"""Modes: each asks what it says and nothing else, and what is known stays as it is."""

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from practice import Mode, ModeError
from practice.lesson import ragas_asked
from practice.settings import Settings, save_settings
from scheduler import Meeting
from tests.missed import miss_some
from tests.steps import ask, wrong


def meeting(item, clock, *, right=True):
    """An answer to `item` at this moment, as the log would have it."""
    return Meeting(
        skill=item.skill,
        kind=item.kind,
        credit=1.0 if right else 0.0,
        heard=None,
        chance=item.chance,
        response_ms=2500,
        utc_ms=round(clock().timestamp() * 1000),
        monotonic_s=clock().timestamp(),
        device="tablet",
        session=clock().date().isoformat(),
    )


def planned(practice, mode, clock, *, minutes=15, right=lambda number: True):
    """What a practice in this mode asks, in order, without its sound."""
    asked = practice.modes().asked(mode)
    plan = practice._plan(asked, asked.minutes_of(minutes), clock())
    skills, left_s = [], plan.minutes * 60
    while pick := plan.pick(clock(), seconds_left=left_s):
        left_s -= pick.item.seconds
        clock.forward(seconds=pick.item.seconds)
        plan.answered(meeting(pick.item, clock, right=right(len(skills))))
        skills.append(pick.skill)
    return skills


@pytest.fixture
def practice(open_practice, tmp_path):
    """On the first day of a short course, which opens quickly."""
    (tmp_path / "student").mkdir()
    save_settings(Settings(course="sitar-certificate"), tmp_path / "student")
    return open_practice()


@pytest.fixture
def with_misses(practice):
    """A practice on the third day of a student who has missed some."""
    miss_some(practice)
    return practice


def lesson_on(practice, day="thursday", ragas=(), **more):
    changed = replace(practice.settings, lesson_day=day, lesson_ragas=ragas, **more)
    practice.save(changed)


def choice(practice, mode):
    return next(c for c in practice.modes().choices() if c.id == mode)


def states(practice, clock):
    memory = practice._memory
    return {
        skill: (belief, memory.state(skill, clock())) for skill, belief in memory.beliefs.items()
    }


def test_the_day_comes_first_and_can_always_be_had(practice):
    first, *others = practice.modes().choices()
    assert (first.id, first.why_not) == ("day", None)
    assert {c.id for c in others} == {"before-lesson", "weak-spots", "kind", "part"}


def test_at_first_nothing_is_weak_and_no_lesson_set_and_both_say_so(practice):
    assert choice(practice, "weak-spots").why_not.startswith("No weak spots yet")
    before = choice(practice, "before-lesson")
    assert (before.first, before.why_not) == ("lesson", "Set the day of your lesson first.")
    for mode in ("weak-spots", "before-lesson"):
        with pytest.raises(ModeError, match=choice(practice, mode).why_not):
            practice.start(15, Mode(mode))
    lesson_on(practice)
    assert choice(practice, "before-lesson").why_not.startswith("Nothing is begun yet")


def test_weak_spots_are_asked_alone_and_end_when_each_was_asked_a_few_times(with_misses, clock):
    practice = with_misses
    weak = {item.skill for item in practice.modes().asked(Mode("weak-spots")).items}
    missed = {skill for skill, belief in practice._memory.beliefs.items() if belief.missed}
    assert missed <= weak < set(practice._memory.beliefs)
    outlook = practice.outlook(30, Mode("weak-spots"))
    assert " are enough: " in outlook.headline
    asked = planned(practice, Mode("weak-spots"), clock, minutes=30)
    assert set(asked) == weak
    assert len(asked) <= 4 * len(weak)


def test_a_few_new_skills_are_not_asked_without_end_either(practice, clock):
    part = Mode("part", practice.course.steps[0].name)
    asked = planned(practice, part, clock, minutes=30)
    assert practice.outlook(30, part).headline.startswith("3 minutes are enough: ")
    assert len(set(asked)) == 3
    assert len(asked) <= 7 * 3
    assert practice.modes().asked(Mode()).minutes_of(30) == 30


def test_one_kind_asks_that_kind_and_brings_new_ones_in_the_order_of_the_course(practice, clock):
    asked = planned(practice, Mode("kind", "gap"), clock)
    gaps = [item.skill for item in practice._items if item.kind == "gap"]
    firsts = list(dict.fromkeys(asked))
    assert firsts == gaps[: len(firsts)]
    assert len(firsts) > 3
    assert all(one != other for one, other in pairwise(asked[4:]))


def test_one_part_asks_the_skills_of_that_part(practice, clock):
    step = practice.course.steps[4]
    asked = planned(practice, Mode("part", step.name), clock, minutes=5)
    assert set(asked) <= {skill.id for skill in step.skills}
    assert len(set(asked)) > 2


def test_before_the_lesson_nothing_new_comes_unless_ragas_are_named(with_misses, clock):
    practice = with_misses
    begun = set(practice._memory.beliefs)
    lesson_on(practice)
    assert set(planned(practice, Mode("before-lesson"), clock)) <= begun
    lesson_on(practice, ragas=("yaman",))
    asked = practice.modes().asked(Mode("before-lesson"))
    new = {item.skill for item in asked.items} - begun
    assert new
    assert all("yaman" in ragas_asked(skill) for skill in new)
    assert asked.lesson.skills == {s.skill for s in asked.items if "yaman" in ragas_asked(s.skill)}
    weak = {item.skill for item in practice.modes().asked(Mode("weak-spots")).items}
    assert {item.skill for item in asked.items} & begun == weak
    found = planned(practice, Mode("before-lesson"), clock)
    assert any("yaman" in ragas_asked(skill) for skill in found)
    assert set(found) <= {item.skill for item in asked.items}


def test_the_plan_of_the_day_knows_the_lesson(with_misses):
    assert with_misses.modes().asked(Mode()).lesson is None
    lesson_on(with_misses, ragas=("yaman",))
    lesson = with_misses.modes().asked(Mode()).lesson
    assert lesson.at > with_misses._now()
    assert "raga-from-phrase:note:yaman" in lesson.skills


def test_choosing_a_mode_and_looking_ahead_leave_what_is_known_as_it_is(with_misses, clock):
    practice = with_misses
    lesson_on(practice)
    before = states(practice, clock)
    for mode in (
        Mode("weak-spots"), Mode("kind", "gap"), Mode("part", "Sa and Pa"), Mode("before-lesson")
    ):  # fmt: skip
        practice.outlook(10, mode)
    practice.start(10, Mode("weak-spots"))
    practice.end()
    assert states(practice, clock) == before


def test_an_answer_moves_what_is_known_alike_in_every_mode(practice, open_practice, clock):
    """The log alone is remembered: rebuilt from it, memory is what each mode has left."""
    for mode, right in (
        (Mode("part", "Sa and Pa"), False),
        (Mode("weak-spots"), True),
    ):
        session = practice.start(5, mode)
        while (step := ask(session)).introduction:  # what is told says nothing of the student
            session.answer(step.question.right[0])
        session.answer(step.question.right[0] if right else wrong(step))
        practice.end()
        clock.forward(hours=1)
    assert practice._memory.beliefs == open_practice()._memory.beliefs


def test_the_end_is_told_of_what_was_asked_in_the_mode(with_misses, clock):
    session = with_misses.start(15, Mode("weak-spots"))
    step = ask(session)
    session.answer(step.question.right[0])
    summary = session.end()
    assert (summary.answered, summary.right) == (1, 1)
    assert {moved.skill for moved in summary.moved} <= {step.question.skill}


def test_kinds_and_parts_are_those_of_the_course_with_how_much_is_begun(with_misses):
    modes = with_misses.modes()
    kinds = {which.id: which for which in modes.which("kind")}
    assert set(kinds) == {item.kind for item in with_misses._items}
    assert kinds["gap"].name == f"{sum(i.kind == 'gap' for i in with_misses._items)} gaps"
    parts = modes.which("part")
    assert [part.id for part in parts] == [step.name for step in with_misses.course.steps]
    assert parts[0].about == "3 of 3 begun."
    assert parts[-1].about.startswith("0 of ")


@pytest.mark.parametrize(
    ("text", "mode"),
    [
        ("day", Mode("day")),
        ("weak-spots", Mode("weak-spots")),
        ("kind:gap", Mode("kind", "gap")),
        ("part:Sa and Pa", Mode("part", "Sa and Pa")),
        ("part: sa AND pa", Mode("part", "sa AND pa")),
    ],
)
def test_a_mode_is_read_as_it_is_written(text, mode):
    assert Mode.read(text) == mode


def test_a_part_is_found_however_its_name_is_written(practice):
    asked = [
        practice.modes().asked(Mode("part", name)).items for name in ("Sa and Pa", "sa AND pa")
    ]
    assert asked[0] == asked[1]


@pytest.mark.parametrize("text", ["", "weak", "kind", "kind:", "part", "day:gap", "weak-spots:S"])
def test_what_is_no_mode_is_told_with_what_there_is(text):
    with pytest.raises(ModeError, match="is no way to practise; there are day, before-lesson"):
        Mode.read(text)


def test_a_kind_or_part_that_the_course_has_not_is_told_with_those_that_it_has(practice):
    with pytest.raises(ModeError, match=r"kind:gaps is not asked in .*; asked are swara, gap, "):
        practice.start(15, Mode("kind", "gaps"))
    with pytest.raises(ModeError, match="its parts are\n  Sa and Pa\n  Sa, Ma, Pa\n"):
        practice.outlook(15, Mode("part", "The third part"))


def test_these_are_asked_side_by_side_with_enough_beside_them_that_nothing_is_foretold(
    with_misses, clock
):
    practice = with_misses
    gaps = [s for s in practice._memory.beliefs if s.startswith("gap:")][:2]
    mode = Mode.read("these:" + " ".join(gaps))
    assert mode == Mode.of_these(gaps)
    items = [item.skill for item in practice.modes().asked(mode).items]
    assert set(items[:2]) == set(gaps)
    begun = set(practice._memory.beliefs)
    assert len(items) == min(4, sum(skill.startswith("gap:") for skill in begun))
    assert set(items) <= begun
    asked = planned(practice, mode, clock, right=lambda number: number % 2 == 0)
    assert set(gaps) <= set(asked) <= set(items)
    assert asked[0] in gaps
    assert sum(skill in gaps for skill in asked) >= len(asked) / 2  # the others come between
    assert any(skill not in gaps for skill in asked)
    assert "these" not in {c.id for c in practice.modes().choices()}
    with pytest.raises(ModeError, match=r"these:gap:x: none of these skills is asked"):
        practice.modes().asked(Mode("these", "gap:x"))
    for text in ("these", "these:", "day:x"):
        with pytest.raises(ModeError, match="no way to practise"):
            Mode.read(text)


def test_before_the_lesson_ten_minutes_are_offered_else_the_usual_ones():
    assert Mode("before-lesson").minutes_of(25) == 10
    assert Mode().minutes_of(25) == Mode("weak-spots").minutes_of(25) == 25


def test_a_title_ends_before_what_is_said_of_it(open_practice, tmp_path):
    (tmp_path / "student").mkdir()
    save_settings(Settings(course="paltas"), tmp_path / "student")
    about = [each.about for each in open_practice().modes().kinds()]
    assert any("Prastara" in each for each in about)
    assert all(re.search(r"[.?!] \d+ of \d+ ", each) for each in about)
