"""What today holds, in words."""

import re
from dataclasses import replace

import pytest

from practice import Mode
from practice.outlook import outlook_of
from practice.settings import Settings, save_settings
from scheduler import outlook
from tests.missed import miss_some
from tests.steps import ask, wrong


def test_a_first_day_holds_what_is_new(open_practice):
    outlook = open_practice().outlook(15)
    assert outlook.headline.startswith("15 minutes: ")
    assert outlook.lines[0] == ("Sa", "new to you")
    assert len(outlook.lines) == 5
    assert re.fullmatch("[0-9]+ new", outlook.counts)


def test_each_reason_is_told_before_a_second_of_its_kind(open_practice, clock):
    practice = open_practice()
    for day in range(3):
        session = practice.start(15)
        for number in range(20):
            step = ask(session)
            is_missed = number > 14 and step.introduction is None
            session.answer(wrong(step) if is_missed else step.question.right[0])
            clock.forward(seconds=10)
        practice.end()
        clock.forward(days=1 + day)
    reasons = [why for _, why in practice.outlook(15).lines]
    assert any(why.startswith("missed") for why in reasons)
    assert "new to you" in reasons
    assert len(set(reasons)) >= 3


def test_too_short_a_time_is_said_plainly(open_practice):
    practice = open_practice()
    assert "too short" not in practice.outlook(1).headline
    assert practice.outlook(1).headline.startswith("1 minute:")


def test_a_day_of_many_kinds_names_three_and_counts_the_rest(open_practice, clock):
    practice = open_practice()
    for _ in range(2):
        session = practice.start(30)
        for _ in range(25):
            step = ask(session)
            session.answer(step.question.right[0])
            clock.forward(seconds=10)
        practice.end()
        clock.forward(days=1)
    assert re.fullmatch(
        "30 minutes: [0-9]+ [^,]*, [0-9]+ [^,]*, [0-9]+ .* and [0-9]+ of other kinds",
        practice.outlook(30).headline,
    )


@pytest.fixture
def with_misses(open_practice, tmp_path):
    (tmp_path / "student").mkdir()
    save_settings(Settings(course="sitar-certificate"), tmp_path / "student")
    practice = open_practice()
    miss_some(practice)
    return practice


def test_what_is_announced_is_what_is_begun_until_the_day_or_the_minutes_change(with_misses, clock):
    practice = with_misses
    said = practice.outlook(15)
    assert practice.outlook(15, Mode("kind", "gap")) != said
    assert practice.outlook(15) == said
    practice.start(15)
    assert outlook_of(practice._plan_now, 15) == said
    practice.end()
    seeds = {practice._seed_for(15, Mode(), clock())}
    seeds |= {practice._seed_for(minutes, Mode(), clock()) for minutes in (10, 15)}
    clock.forward(days=1)
    seeds.add(practice._seed_for(15, Mode(), clock()))
    assert len(seeds) == 3


def test_how_much_is_new_missed_and_fading_is_counted_once_each(with_misses, clock):
    practice = with_misses
    counts = dict(reversed(part.split(" ", 1)) for part in practice.outlook(15).counts.split(", "))
    plan = practice._plan(
        practice.modes().asked(Mode()), 15, clock(), practice._seed_for(15, Mode(), clock())
    )
    found = outlook(plan)
    beliefs = practice._memory.beliefs
    missed = [one for one in found.planned if one.skill in beliefs and beliefs[one.skill].missed]
    assert int(counts["new"]) == len(found.new)
    assert int(counts["missed last time"]) == len(missed)
    assert sum(map(int, counts.values())) <= len(found.planned)


def test_what_the_lesson_is_about_comes_first(with_misses):
    practice = with_misses
    practice.save(replace(practice.settings, lesson_day="thursday", lesson_ragas=("yaman",)))
    said = practice.outlook(15, Mode("before-lesson"))
    assert re.match("15 minutes: [0-9]+ for your lesson on Yaman, ", said.headline)
    assert [why for _, why in said.lines[:3]] == ["new, for your lesson"] * 3
    assert {why for _, why in said.lines[3:]}.isdisjoint({"new, for your lesson"})
