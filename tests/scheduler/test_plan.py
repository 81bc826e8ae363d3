"""A practice from the first pick to the last, with students made up for the purpose."""

from __future__ import annotations

import itertools
import random
from datetime import datetime, timedelta

import pytest

from scheduler import Item, Lesson, Meeting, Memory, Plan, PlanError, families_of
from scheduler.answer import milliseconds_of


def meeting(item, when, credit, *, session="today", heard=None):
    return Meeting(
        skill=item.skill,
        kind=item.kind,
        credit=credit,
        heard=heard,
        chance=item.chance,
        response_ms=2500,
        utc_ms=milliseconds_of(when),
        monotonic_s=when.timestamp(),
        device="tablet",
        session=session,
    )


def practise(plan, answer, *, session="today"):
    """Play `plan` through; `answer(pick, number)` gives the credit. All picks, in order."""
    picks, now = [], plan.started
    while (pick := plan.pick(now)) is not None:
        now += timedelta(seconds=pick.item.seconds)
        credit = float(answer(pick, len(picks)))
        picks.append(pick)
        plan.answered(meeting(pick.item, now, credit, session=session))
        assert len(picks) < 1000
    return picks


def always(pick, number):
    return True


def never(pick, number):
    return False


def by_luck(share, seed=1):
    rng = random.Random(seed)
    return lambda pick, number: rng.random() < share


def remembered(course, start, *, days=6, share=0.85, minutes=15.0):
    """The memory of a student after some days of practice."""
    memory = Memory(families=families_of(course))
    for day in range(days):
        began = start - timedelta(days=days - day)
        plan = Plan(course, memory, minutes=minutes, started=began, seed=day)
        practise(plan, by_luck(share, seed=day), session=f"day {day}")
        memory = plan.memory
    return memory


def fresh(course):
    return Memory(families=families_of(course))


def test_the_very_first_question_is_the_first_of_the_course(course, start):
    pick = Plan(course, fresh(course), minutes=15, started=start).pick(start)
    assert (pick.skill, pick.is_new) == (course[0].skill, True)
    assert str(pick.reason) == "new"


def test_a_first_session_brings_new_skills_in_steps_and_asks_each_again(course, start):
    plan = Plan(course, fresh(course), minutes=15, started=start)
    picks = practise(plan, always)
    new = [pick.skill for pick in picks if pick.is_new]
    assert new == [item.skill for item in course[: len(new)]]
    assert 10 <= len(new) <= 24
    time = sum(pick.item.seconds for pick in picks if pick.is_new)
    assert 2.5 * time <= 0.75 * 15 * 60  # told at length and asked once; all was right
    times = [sum(pick.skill == skill for pick in picks) for skill in new]
    assert min(times[:8]) >= 3
    assert min(times[:-1]) >= 2
    numbers = [number for number, pick in enumerate(picks) if pick.is_new]
    assert numbers[:2] == [0, 1]  # two at once, so that they can be interleaved
    assert all(later - earlier >= 2 for earlier, later in itertools.pairwise(numbers[1:]))


def test_the_longer_a_round_of_all_that_is_begun_takes_the_rarer_something_new(start):
    items = [Item(f"s{i}", "k", "facts", f"c{i}", 0.25, 10.0) for i in range(900)]
    shares = []
    for begun in (30, 120, 600):
        memory = fresh(items)
        for item in items[:begun]:
            for days in (9, 6, 2):
                when = start - timedelta(days=days)
                memory = memory.after(meeting(item, when, 1.0, session=f"{item.skill} {days}"))
        picks = practise(Plan(items, memory, minutes=10, started=start), always)
        shares.append(sum(pick.is_new for pick in picks) / len(picks))
    assert shares == sorted(shares, reverse=True)
    assert shares[0] > 0.2
    assert shares[2] < 0.11  # a round takes ten days: every eleventh question


@pytest.mark.parametrize("share", [0.0, 0.4, 0.7, 0.95])
@pytest.mark.parametrize("days", [0, 1, 5])
def test_a_skill_is_never_asked_twice_in_a_row(course, start, share, days):
    memory = remembered(course, start, days=days)
    picks = practise(Plan(course, memory, minutes=15, started=start), by_luck(share))
    skills = [pick.skill for pick in picks]
    assert all(one != other for one, other in itertools.pairwise(skills))


def test_a_skill_returns_within_three_questions_only_when_just_missed(course, start):
    plan = Plan(course, remembered(course, start), minutes=15, started=start)
    picks = practise(plan, by_luck(0.7))
    for number, pick in enumerate(picks):
        near = [other.skill for other in picks[max(0, number - 3) : number]]
        if pick.skill in near:
            assert pick.reason.code == "missed today"
            assert pick.skill not in near[-2:]


def test_a_miss_comes_back_soon(course, start):
    plan = Plan(course, remembered(course, start), minutes=15, started=start)
    picks = practise(plan, lambda pick, number: number != 5)
    again = [number for number, pick in enumerate(picks) if pick.skill == picks[5].skill][1]
    assert again == 8
    assert picks[again].reason.code == "missed today"


def test_misses_return_seldom_and_not_at_a_fixed_distance(course, start):
    memory, distances = remembered(course, start), set()
    for seed in range(16):
        plan = Plan(course, memory, minutes=15, started=start, seed=seed)
        picks = practise(plan, by_luck(0.4, seed))
        skills = [pick.skill for pick in picks]
        soon = [n for n in range(3, len(skills)) if skills[n] in skills[n - 3 : n]]
        assert all(picks[number].reason.code == "missed today" for number in soon)
        assert all(later - earlier >= 32 for earlier, later in itertools.pairwise(soon))
        firsts = {skill: number for number, skill in reversed(list(enumerate(skills)))}
        for skill, first in firsts.items():
            if skill in skills[first + 1 :]:
                distances.add(skills.index(skill, first + 1) - first)
    assert len(distances & set(range(3, 12))) >= 2


def test_nothing_new_while_much_of_what_is_begun_is_gone(start):
    items = [Item(f"s{i}", "k", "facts", f"c{i}", 0.25, 10.0) for i in range(60)]
    for credit, brings in ((1.0, True), (0.0, False)):
        memory = fresh(items)
        for item in items[:30]:
            for days in (32, 31, 30):
                when = start - timedelta(days=days)
                told = meeting(item, when, credit, session=f"{days}")
                memory = memory.after(told)
        picks = practise(Plan(items, memory, minutes=1.5, started=start), always)
        assert any(pick.is_new for pick in picks) == brings


def test_what_was_told_is_asked_before_more_is_told(course, start):
    """Five were shown three days ago and not asked: they come first, something new only then."""
    memory = remembered(course, start - timedelta(days=3), days=1)
    told = [item for item in course if item.skill not in memory.beliefs][:5]
    for item in told:
        when = start - timedelta(days=3)
        memory = memory.after(meeting(item, when, 1.0, session="told")._replace(chance=1.0))
    picks = practise(Plan(course, memory, minutes=15, started=start), always)
    firsts = [[pick.skill for pick in picks].index(item.skill) for item in told]
    new = [number for number, pick in enumerate(picks) if pick.is_new]
    assert max(firsts) <= 20
    assert sorted(firsts)[3] < min(new, default=99)


def test_an_outlook_leaves_the_plan_as_it_was(course, start):
    plan = Plan(course, remembered(course, start), minutes=10, started=start)
    other = plan.copy()
    practise(other, by_luck(0.5))
    again = Plan(course, remembered(course, start), minutes=10, started=start)
    assert practise(plan, always) == practise(again, always)


def test_setting_the_clock_during_a_practice_changes_nothing_of_what_is_asked(course, start):
    def asked(off):
        plan = Plan(course, remembered(course, start), minutes=8, started=start)
        skills, passed_s = [], 0.0
        while passed_s < 400.0:
            wall = start + timedelta(seconds=passed_s) + (off if passed_s > 100.0 else timedelta())
            pick = plan.pick(plan.now_at(passed_s, wall), seconds_left=480.0 - passed_s)
            passed_s += pick.item.seconds
            told = meeting(pick.item, wall, 1.0)._replace(monotonic_s=passed_s)
            plan.answered(told)
            skills.append(pick.skill)
        return skills

    assert asked(timedelta(days=-2)) == asked(timedelta()) == asked(timedelta(days=3))


def test_kinds_are_mixed(course, start):
    plan = Plan(course, remembered(course, start), minutes=15, started=start)
    kinds = [pick.item.kind for pick in practise(plan, by_luck(0.8))]
    assert set(kinds) == {"swara", "gap", "stage"}
    assert max(len(list(run)) for _, run in itertools.groupby(kinds)) <= 3


def test_what_was_missed_last_time_comes_earlier_and_says_so(course, start):
    memory = remembered(course, start, days=4, share=0.9)
    asked = list(memory.beliefs)
    firsts: dict[float, list[int]] = {0.0: [], 1.0: []}
    for skill in asked[:12]:
        item = next(item for item in course if item.skill == skill)
        for credit, numbers in firsts.items():
            after = memory.after(meeting(item, start - timedelta(hours=20), credit, session="last"))
            picks = practise(Plan(course, after, minutes=15, started=start), always)
            numbers.append([pick.skill for pick in picks].index(skill))
            if not credit:
                reason = picks[numbers[-1]].reason
                assert str(reason) == "missed before 1" or reason.code in ("contrast", "confused")
    assert sum(firsts[0.0]) / 12 < 0.7 * sum(firsts[1.0]) / 12


def test_nothing_new_while_what_is_begun_falls_apart(course, start):
    plan = Plan(course, remembered(course, start, days=3), minutes=15, started=start)
    picks = practise(plan, never)
    assert not any(pick.is_new for pick in picks[6:])
    following = Plan(course, plan.memory, minutes=15, started=start + timedelta(days=1))
    assert not practise(following, by_luck(0.3), session="next")[0].is_new


def test_a_beginner_who_gets_everything_wrong_is_given_a_few_to_tell_apart(course, start):
    plan = Plan(course, fresh(course), minutes=15, started=start)
    practise(plan, never)
    assert 5 <= len(plan.memory.beliefs) <= 8


def test_after_a_missed_month_old_skills_come_before_new_ones(course, start):
    memory = remembered(course, start - timedelta(days=40), days=3)
    picks = practise(Plan(course, memory, minutes=15, started=start), always)
    assert len(set(memory.beliefs) & {pick.skill for pick in picks}) == len(memory.beliefs)
    assert not any(pick.is_new for pick in picks[:8])


def test_a_confused_pair_is_set_side_by_side(course, start):
    memory = remembered(course, start, share=1.0)
    items = {item.skill: item for item in course}
    one, other = list(memory.beliefs)[:2]
    for minute in range(3):
        when = start - timedelta(hours=30, minutes=-10 * minute)
        memory = memory.after(meeting(items[one], when, 0.0, session="y", heard=other))
        memory = memory.after(meeting(items[one], when, 1.0, session="y"))
    picks = practise(Plan(course, memory, minutes=15, started=start), always)
    skills = [pick.skill for pick in picks]
    assert other in skills[skills.index(one) + 1 :][:3]
    contrasts = [pick for pick in picks if pick.reason.code == "contrast"]
    assert (contrasts[0].skill, contrasts[0].reason.skills) == (other, (one,))


def test_pairs_are_set_against_each_other_where_that_is_the_purpose(course, start):
    memory = remembered(course, start, share=1.0)
    items = {item.skill: item for item in course}
    begun = list(memory.beliefs)[:12]
    for one, other in zip(begun[::2], begun[1::2], strict=True):
        for minute in range(2):
            when = start - timedelta(hours=30, minutes=-10 * minute)
            memory = memory.after(meeting(items[one], when, 0.0, session="y", heard=other))
    weak = [items[skill] for skill in begun]

    def beside(**how):
        """How often a skill was followed at once by the other side of its pair."""
        picks = practise(Plan(weak, memory, minutes=6, started=start, **how), by_luck(0.7))
        pairs = itertools.pairwise(begun.index(pick.skill) for pick in picks)
        return sum(one ^ 1 == other for one, other in pairs)

    assert beside(side_by_side=True) >= 6
    assert beside() <= 5


def test_a_confused_pair_is_not_set_side_by_side_twice_in_three_questions(course, start):
    """One miss a day ago is enough where that is the purpose, and each time the other waits."""
    memory = remembered(course, start, share=1.0)
    items = {item.skill: item for item in course}
    begun = list(memory.beliefs)[:12]
    for one, other in zip(begun[::2], begun[1::2], strict=True):
        told = meeting(items[one], start - timedelta(hours=30), 0.0, session="y", heard=other)
        memory = memory.after(told)
    weak = [items[skill] for skill in begun]
    plan = Plan(weak, memory, minutes=8, started=start, side_by_side=True)
    picks = practise(plan, by_luck(0.7))
    beside = [n for n, pick in enumerate(picks) if pick.reason.code == "contrast"]
    assert len(beside) >= 4
    assert all(later - earlier >= 3 for earlier, later in itertools.pairwise(beside))


def test_a_skill_heard_as_another_says_so(course, start):
    memory = remembered(course, start, share=1.0)
    items = {item.skill: item for item in course}
    one, other = list(memory.beliefs)[:2]
    for minute in range(2):
        when = start - timedelta(hours=50, minutes=-20 * minute)
        memory = memory.after(meeting(items[one], when, 0.0, session="y", heard=other))
    memory = memory.after(meeting(items[one], start - timedelta(hours=49), 1.0, session="y"))
    memory = memory.after(meeting(items[other], start - timedelta(hours=30), 1.0, session="z"))
    picks = practise(Plan(course, memory, minutes=15, started=start), always)
    (first, *_) = [pick for pick in picks if pick.skill == one]
    assert str(first.reason) == f"confused 2 {other}"


@pytest.mark.parametrize("minutes", [0.5, 3, 5.5, 15, 40])
def test_practice_ends_by_the_time_asked_for(course, start, minutes):
    memory = remembered(course, start, days=2)
    plan = Plan(course, memory, minutes=minutes, started=start)
    spent = sum(pick.item.seconds for pick in practise(plan, by_luck(0.8)))
    shortest = min(item.seconds for item in course)
    assert spent <= minutes * 60
    # Should every short question be among the last three, up to two of the longest stay unused.
    assert spent > minutes * 60 - 2 * 14.0 - shortest


def test_seconds_left_may_come_from_a_better_clock(course, start):
    plan = Plan(course, fresh(course), minutes=15, started=start)
    assert plan.pick(start + timedelta(days=400)) is None
    assert plan.pick(start + timedelta(days=400), seconds_left=60.0) is not None
    assert plan.pick(start, seconds_left=5.0) is None


def test_a_clock_set_back_during_practice_does_not_make_it_endless(course, start):
    plan = Plan(course, remembered(course, start, days=2), minutes=5, started=start)
    back, number = start - timedelta(days=3), 0
    while (pick := plan.pick(back)) is not None:
        number += 1
        plan.answered(meeting(pick.item, back + timedelta(seconds=number), 1.0))
        assert number < 60
    assert number >= 5 * 60 / 14 - 1


def test_asking_again_before_an_answer_says_the_same(course, start):
    plan = Plan(course, remembered(course, start), minutes=15, started=start)
    assert plan.pick(start) == plan.pick(start)


def test_the_same_seed_lays_out_the_same_practice(course, start):
    memory = remembered(course, start)

    def skills(seed):
        plan = Plan(course, memory, minutes=15, started=start, seed=seed)
        return [pick.skill for pick in practise(plan, always)]

    assert skills(3) == skills(3)


def test_ties_are_broken_by_the_seed(start):
    items = [Item(f"s{i}", "k", "facts", f"c{i}", 0.25, 10.0) for i in range(8)]
    memory = fresh(items)
    for item in items:  # all alike
        memory = memory.after(meeting(item, start - timedelta(days=2), 1.0, session=item.skill))
    firsts = {
        Plan(items, memory, minutes=5, started=start, seed=seed).pick(start).skill
        for seed in range(30)
    }
    assert len(firsts) > 3


def test_a_course_of_one_or_two_skills_still_works(course, start):
    alone = practise(Plan(course[:1], fresh(course), minutes=2, started=start), by_luck(0.5))
    assert {pick.skill for pick in alone} == {course[0].skill}
    both = practise(Plan(course[:2], fresh(course), minutes=2, started=start), by_luck(0.5))
    skills = [pick.skill for pick in both]
    assert all(one != other for one, other in itertools.pairwise(skills))


def test_what_can_only_be_told_is_told_no_more_than_twice_while_there_is_something_else(start):
    def items(*chances, others="gap"):
        kinds = ["gap", *[others] * (len(chances) - 1)]
        return [
            Item(f"{kind}:{n}", kind, "perception", kind, chance, 20.0)
            for n, (kind, chance) in enumerate(zip(kinds, chances, strict=True))
        ]

    def told(course):
        plan = Plan(course, Memory(families=families_of(course)), minutes=15.0, started=start)
        picks = [pick.skill for pick in practise(plan, always)]
        assert len(picks) > 30
        return picks.count("gap:0")

    assert told(items(1.0, 0.5, 0.5, 0.5)) <= 5  # at first, then once for each new one, and again
    assert told(items(1.0, 0.5, 0.5, 0.5, others="swara")) == 2
    assert told(items(0.5, 0.5, 0.5, 0.5)) > 5
    assert told(items(1.0)) > 30  # there is nothing else


def test_answers_to_skills_of_another_course_are_remembered_but_not_asked(course, start):
    plan = Plan(course, fresh(course), minutes=2, started=start)
    stranger = Item("raga:x", "raga", "facts", "r", 0.5, 10.0)
    plan.answered(meeting(stranger, start, 1.0))
    assert "raga:x" in plan.memory.beliefs
    assert "raga:x" not in {pick.skill for pick in practise(plan, always)}


def test_before_a_lesson_its_own_skills_come_first(course, start):
    memory = remembered(course, start, days=8, share=0.9)
    begun = list(memory.beliefs)
    with_it, without, reasons = [], [], set()
    for number in range(0, 16, 4):
        own = frozenset(begun[number : number + 4])
        lesson = Lesson(start + timedelta(hours=20), own)
        for found, told in ((with_it, lesson), (without, None)):
            plan = Plan(course, memory, minutes=12, started=start, lesson=told)
            picks = practise(plan, always)
            skills = [pick.skill for pick in picks]
            found += [skills.index(skill) if skill in skills else len(skills) for skill in own]
            reasons |= {str(pick.reason) for pick in picks if told}
    assert sum(with_it) < 0.75 * sum(without)
    assert "lesson 1" in reasons


def test_a_lesson_that_is_over_changes_nothing(course, start):
    memory = remembered(course, start)
    over = Lesson(start - timedelta(hours=1), frozenset(memory.beliefs))
    plans = [
        Plan(course, memory, minutes=5, started=start, lesson=lesson) for lesson in (over, None)
    ]
    assert practise(plans[0], always) == practise(plans[1], always)


def test_the_prediction_is_the_memory_s_own(course, start):
    memory = remembered(course, start)
    pick = Plan(course, memory, minutes=15, started=start).pick(start)
    assert pick.predicted == memory.predict(pick.skill, start, pick.item.chance)


def test_a_course_that_cannot_be_planned_is_refused(course, start):
    memory = fresh(course)
    with pytest.raises(PlanError, match="no skill"):
        Plan([], memory, minutes=5, started=start)
    with pytest.raises(PlanError, match=r"swara:0.*twice"):
        Plan([course[0], course[0]], memory, minutes=5, started=start)
    with pytest.raises(PlanError, match="minutes=0"):
        Plan(course, memory, minutes=0, started=start)
    with pytest.raises(PlanError, match="time zone"):
        Plan(course, memory, minutes=5, started=datetime(2026, 1, 1))
    bad = Item("x", "k", "facts", "c", 0.5, 0.0)
    with pytest.raises(PlanError, match=r"seconds=0\.0"):
        Plan([bad], memory, minutes=5, started=start)
