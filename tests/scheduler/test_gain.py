"""What a question is worth, one at a time and all at once."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler import Item, Lesson, Meeting, Memory, families_of, kin_of
from scheduler.belief import Belief, expected_after, knowledge
from scheduler.figures import FAMILIES
from scheduler.gain import LASTING, OPENING, gain, lesson_terms, round_days, round_terms
from scheduler.memory import seconds_of
from scheduler.worths import Worths

DAY = 86_400.0
NOW = datetime(2026, 3, 1, 18, tzinfo=UTC)
FAMILY = FAMILIES["perception"]
KINDS = ("perception", "facts", "orders")
ITEMS = tuple(
    Item(f"s{i}", "k", KINDS[i % 3], f"c{i // 3}", 0.25, 8.0 + i, f"kin{i // 2}") for i in range(8)
)
answers = st.lists(
    st.tuples(st.sampled_from(ITEMS[:6]), st.booleans(), st.floats(0.0, 20.0)),
    min_size=1,
    max_size=25,
)


def remembered(answers):
    memory = Memory(families=families_of(ITEMS), kin=kin_of(ITEMS))
    for number, (item, right, days_ago) in enumerate(sorted(answers, key=lambda one: -one[2])):
        at = NOW - timedelta(days=days_ago)
        stamp, session = round(at.timestamp() * 1000), f"{number // 4}"
        memory = memory.after(
            Meeting(
                item.skill, "k", float(right), None, 0.25, 2000, stamp, stamp / 1e3, "t", session
            )
        )
    return memory


def worths_of(memory, *, minutes=10.0, lesson=None):
    return Worths(ITEMS, memory, minutes=minutes, started=NOW, lesson=lesson)


def test_the_gain_is_knowledge_with_the_question_less_without_over_a_round():
    at_s, round_of = 2 * DAY, 3.0
    before = Belief(4.0, 1.0, 0.0, 3, 2, False, 1, False)
    strength, variance = expected_after(before, 2.0, FAMILY)
    after = before._replace(strength=strength, variance=variance, at_s=at_s)
    parts = [
        (knowledge(after, at_s + part * DAY, FAMILY), knowledge(before, at_s + part * DAY, FAMILY))
        for part in (0.3, 0.9, 1.5, 2.1, 2.7)  # a tenth, three tenths ... of three days
    ]
    gained = np.mean([one - other for one, other in parts])
    lasting = np.mean([one * (1.0 - one) for one, _ in parts]) * (strength - 4.0)
    expected = gained + LASTING * lasting
    assert gain(before, at_s, FAMILY, round_terms(round_of)) == pytest.approx(expected)
    assert sum(weight for _, weight in round_terms(round_of)) == pytest.approx(1.0)


def test_a_skill_begun_opens_the_rounds_to_come():
    """Taught and brought along, by hand: odds e^2.4 and e^(-1.8 + 0.8 ln 501) = 11.02 and 23.88,
    together ln 34.90 = 3.5525; known after a day and never met by `knowledge`."""
    at_once = knowledge(Belief(3.5525, 4.0, 0.0, 1, 0, False, 0, False), DAY, FAMILY)
    never = knowledge(None, 0.0, FAMILY)
    worth = gain(None, 0.0, FAMILY, ((1.0, 1.0),))
    assert worth == pytest.approx((1.0 + OPENING) * (at_once - never), rel=1e-3)


@given(answers, st.booleans())
def test_all_at_once_is_the_same_as_one_by_one(answers, has_lesson):
    memory = remembered(answers)
    lesson = Lesson(NOW + timedelta(days=2), frozenset({"s1", "s4"})) if has_lesson else None
    worths = worths_of(memory, lesson=lesson)
    found = worths.gains(seconds_of(NOW))
    seconds = sum(item.seconds for item in ITEMS if item.skill in memory.beliefs)
    for item, worth in zip(ITEMS, found, strict=True):
        own = lesson is not None and item.skill in lesson.skills
        terms = round_terms(round_days(seconds, 10.0)) + lesson_terms(lesson, NOW, focus=own)
        belief = memory.beliefs.get(item.skill)
        common, family = memory.common(item.skill), memory.family(item.skill)
        one = gain(belief, seconds_of(NOW), family, terms, common)
        if belief is None:
            assert worth == 0.0
            assert worths.gain_of_new(item.skill, memory, seconds_of(NOW)) == pytest.approx(one)
        else:
            assert worth == pytest.approx(one, abs=1e-6)
    known = [
        memory.knowledge(item.skill, NOW) if item.skill in memory.beliefs else 0.0 for item in ITEMS
    ]
    assert worths.known(seconds_of(NOW)) == pytest.approx(known, abs=1e-6)


@given(answers, st.lists(st.tuples(st.sampled_from(ITEMS), st.booleans()), max_size=6))
def test_worths_kept_up_are_those_made_afresh(answers, more):
    memory = remembered(answers)
    worths = worths_of(memory)
    for number, (item, right) in enumerate(more):
        stamp = round(NOW.timestamp() * 1000) + 10_000 * number
        memory = memory.after(
            Meeting(item.skill, "k", float(right), None, 0.25, 2000, stamp, stamp / 1e3, "t", "now")
        )
        worths.learn(item.skill, memory)
    later_s = seconds_of(NOW) + 90.0
    assert worths.gains(later_s) == pytest.approx(worths_of(memory).gains(later_s))
    assert worths.round_days == worths_of(memory).round_days


def test_a_round_is_as_long_as_all_that_is_begun_takes():
    assert round_days(3600.0, 15.0) == pytest.approx(4.0)
    assert round_days(10.0, 15.0) == 0.4  # the next practice at the soonest
    assert round_days(1e9, 5.0) == 20.0


def test_a_lesson_adds_its_own_day_and_weighs_its_own_skills_more():
    lesson = Lesson(NOW + timedelta(days=2))
    ((days, weight),) = lesson_terms(lesson, NOW, focus=False)
    ((_, own),) = lesson_terms(lesson, NOW, focus=True)
    assert days == pytest.approx(2.0)
    assert own > weight > lesson_terms(Lesson(NOW + timedelta(days=6)), NOW, focus=True)[0][1]
    assert lesson_terms(Lesson(NOW - timedelta(hours=1)), NOW, focus=True) == ()
