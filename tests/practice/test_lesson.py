"""The next lesson, by the clock on the wall wherever the student is.

What is expected comes from zoneinfo (the IANA zones of the system or of the package tzdata); Kaan
asks the system's own clock, which the environment sets here.
"""

import time
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from practice import Settings, SettingsError
from practice.lesson import (
    dates_for,
    lesson_words,
    next_lesson,
    ragas_asked,
    ragas_to_choose,
    read_lesson,
    skills_for,
)
from practice.settings import DAYS
from scheduler import Item

BERLIN, KOLKATA, ADELAIDE = "Europe/Berlin", "Asia/Kolkata", "Australia/Adelaide"


@pytest.fixture
def travel(monkeypatch):
    """`travel(zone)`: from now on the device is there."""
    yield lambda zone: monkeypatch.setenv("TZ", zone)
    monkeypatch.undo()
    time.tzset()


def on_wall(zone, *wall, fold=0):
    return datetime(*wall, tzinfo=ZoneInfo(zone), fold=fold).astimezone(UTC)


def weekly(day="thursday", at="17:30", ragas=()):
    return Settings(lesson_day=day, lesson_time=at, lesson_ragas=ragas)


def test_without_a_day_there_is_none(travel):
    travel(BERLIN)
    assert next_lesson(Settings(), datetime.now(UTC)) is None
    assert lesson_words(Settings(), datetime.now(UTC)) == ""


@pytest.mark.parametrize("zone", [BERLIN, KOLKATA, ADELAIDE])
def test_it_is_on_its_day_at_its_time_here(travel, zone):
    travel(zone)
    monday = on_wall(zone, 2026, 3, 2, 18, 0)
    assert next_lesson(weekly(), monday) == on_wall(zone, 2026, 3, 5, 17, 30)


@pytest.mark.parametrize(
    ("hour", "minute", "day"), [(17, 29, 5), (17, 30, 12), (23, 59, 12)], ids=str
)
def test_a_lesson_of_today_that_has_begun_is_over(travel, hour, minute, day):
    travel(BERLIN)
    now = on_wall(BERLIN, 2026, 3, 5, hour, minute)
    assert next_lesson(weekly(), now) == on_wall(BERLIN, 2026, 3, day, 17, 30)


@pytest.mark.parametrize(
    ("day", "changes_on"), [((2026, 3, 27), (2026, 3, 31)), ((2026, 10, 23), (2026, 10, 27))]
)
def test_it_stays_at_its_hour_when_the_clocks_change(travel, day, changes_on):
    travel(BERLIN)  # in 2026 on 29 March and 25 October (EU directive 2000/84/EC: last Sundays)
    friday = on_wall(BERLIN, *day, 20, 0)
    lesson = next_lesson(weekly("tuesday"), friday)
    assert lesson == on_wall(BERLIN, *changes_on, 17, 30)
    hours = (lesson - friday) / timedelta(hours=1)
    assert hours in (3 * 24 + 21.5 - 1, 3 * 24 + 21.5 + 1)


def test_a_time_that_the_clocks_leave_out_is_an_hour_later_and_one_twice_the_first(travel):
    travel(BERLIN)
    saturday = on_wall(BERLIN, 2026, 3, 28, 12, 0)
    assert next_lesson(weekly("sunday", "02:30"), saturday) == datetime(
        2026, 3, 29, 1, 30, tzinfo=UTC
    )
    saturday = on_wall(BERLIN, 2026, 10, 24, 12, 0)
    assert next_lesson(weekly("sunday", "02:30"), saturday) == datetime(
        2026, 10, 25, 0, 30, tzinfo=UTC
    )


def test_who_travels_has_it_at_the_same_hour_there(travel):
    now = datetime(2026, 3, 4, 9, 0, tzinfo=UTC)
    for zone in (BERLIN, KOLKATA, ADELAIDE, BERLIN):
        travel(zone)
        assert next_lesson(weekly(), now) == on_wall(zone, 2026, 3, 5, 17, 30)


def test_a_clock_set_back_brings_the_lesson_before_again(travel):
    travel(KOLKATA)
    after = next_lesson(weekly(), on_wall(KOLKATA, 2026, 3, 5, 18, 0))
    assert after == on_wall(KOLKATA, 2026, 3, 12, 17, 30)
    before = next_lesson(weekly(), on_wall(KOLKATA, 2026, 2, 20, 18, 0))
    assert before == on_wall(KOLKATA, 2026, 2, 26, 17, 30)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    now=st.datetimes(datetime(2000, 1, 1), datetime(2037, 12, 1)),
    day=st.sampled_from(DAYS),
    minute=st.integers(0, 24 * 60 - 1),
    zone=st.sampled_from([BERLIN, KOLKATA, ADELAIDE, "America/New_York", "Pacific/Apia"]),
)
def test_it_is_always_to_come_and_at_most_a_week_away(travel, now, day, minute, zone):
    travel(zone)
    now = now.replace(tzinfo=UTC)
    lesson = next_lesson(weekly(day, f"{minute // 60:02}:{minute % 60:02}"), now)
    assert timedelta(0) < lesson - now <= timedelta(days=8)
    there = lesson.astimezone(ZoneInfo(zone))
    minutes_off = abs(there.hour * 60 + there.minute - minute)
    assert minutes_off in (0, 60) or there.date().isoformat() in ("2011-12-30", "2011-12-31")


def test_a_lesson_out_of_turn_is_the_next_one_until_it_is_over(travel):
    travel(BERLIN)
    moved = replace(weekly(), lesson_date="2026-03-10")  # a Tuesday
    only = Settings(lesson_date="2026-03-10", lesson_time="09:00")
    monday = on_wall(BERLIN, 2026, 3, 2, 18, 0)
    assert next_lesson(moved, monday) == on_wall(BERLIN, 2026, 3, 10, 17, 30)
    assert lesson_words(moved, monday) == "Tuesday 10 March at 17:30, in 8 days"
    assert next_lesson(only, monday) == on_wall(BERLIN, 2026, 3, 10, 9, 0)
    over = on_wall(BERLIN, 2026, 3, 10, 17, 30)
    assert next_lesson(moved, over) == on_wall(BERLIN, 2026, 3, 12, 17, 30)
    assert lesson_words(moved, over) == "Thursday at 17:30, in 2 days"
    assert next_lesson(only, over) is None


def test_no_day_is_offered_on_which_the_hour_is_past(travel):
    travel(BERLIN)
    moved = replace(weekly(), lesson_date="2026-03-10")
    before, after = on_wall(BERLIN, 2026, 3, 3, 17, 29), on_wall(BERLIN, 2026, 3, 3, 17, 30)
    today = date(2026, 3, 3)
    assert dates_for(moved, before) == (today, today, date(2026, 3, 10))
    assert dates_for(weekly(), after) == (today, date(2026, 3, 4), None)


def test_a_lesson_out_of_turn_can_be_written(travel):
    travel(BERLIN)
    moved = read_lesson("2026-03-10 9", weekly())
    assert (moved.lesson_day, moved.lesson_date, moved.lesson_time) == (
        "thursday",
        "2026-03-10",
        "09:00",
    )
    assert read_lesson("friday", moved).lesson_date == ""
    assert read_lesson("none", moved).lesson_date == ""
    with pytest.raises(SettingsError, match="'2026-02-30' is no day; give it as in 2027-01-15"):
        read_lesson("2026-02-30", weekly())
    with pytest.raises(SettingsError, match="lesson_date: '20270115' cannot be used"):
        Settings(lesson_date="20270115")


def test_words_say_when_it_is_and_what_it_is_about(travel):
    travel(KOLKATA)

    def said(day, **more):
        return lesson_words(weekly(**more), on_wall(KOLKATA, 2026, 3, day, 12, 0))

    assert said(2) == "Thursday at 17:30, in 3 days"
    assert said(4) == "Thursday at 17:30, tomorrow"
    assert said(5) == "Thursday at 17:30, today"
    assert said(5, at="09:00") == "Thursday at 09:00, in 7 days"
    named = ("yaman", "bhupali", "durga", "desh", "kafi")
    assert said(5, ragas=named[:2]).endswith("today, on Yaman and Bhupali")
    assert said(5, ragas=named).endswith(", on Yaman, Bhupali, Durga and 2 more")


def test_skills_of_a_raga_are_found_in_every_kind_and_of_a_tala_of_its_name_in_none():
    assert ragas_asked("raga-from-phrase:note:yaman") == {"yaman"}
    assert ragas_asked("shade:bhairav-kalingada") == {"bhairav", "kalingada"}
    assert ragas_asked("register:home:darbari") == {"darbari"}
    for none in ("tala:basant", "gap:S-P:up", "gone:yaman"):
        assert ragas_asked(none) == frozenset()
    items = [
        Item(skill, skill.partition(":")[0], "facts", "c", 0.2, 9.0)
        for skill in ("raga-jati:yaman", "raga-jati:desh", "shade:bhairav-kalingada", "swara:S")
    ]
    assert skills_for(items, ["desh", "kalingada"]) == {"raga-jati:desh", "shade:bhairav-kalingada"}


def weekly_as(settings, day, at, *ragas):
    return replace(settings, lesson_day=day, lesson_time=at, lesson_ragas=ragas)


def test_ragas_chosen_come_first_and_begun_ones_before_the_others():
    items = [
        Item(f"raga-jati:{raga}", "raga-jati", "facts", "c", 0.2, 9.0)
        for raga in ("yaman", "bhupali", "desh", "kafi", "durga")
    ]
    named = ragas_to_choose(items, ["yaman"], ["raga-jati:kafi", "swara:S"])
    assert [name for _, name in named] == ["Yaman", "Kafi", "Bhupali", "Desh", "Durga"]
    assert ragas_to_choose([], [], ["swara:S"]) == ()


def test_a_lesson_is_read_from_a_line():
    usual = Settings()
    assert read_lesson("Thursday", usual).lesson_day == "thursday"
    read = read_lesson("friday 09:15 yaman desh", usual)
    assert (read.lesson_day, read.lesson_time) == ("friday", "09:15")
    assert read.lesson_ragas == ("yaman", "desh")
    assert read_lesson("monday bhupali", read).lesson_time == "09:15"
    assert read_lesson("Mon 9", usual) == read_lesson("monday 9:00", usual)
    assert read_lesson("thu 9.05 desh desh", usual) == weekly_as(usual, "thursday", "09:05", "desh")
    assert read_lesson("wednes 17", usual).lesson_time == "17:00"
    assert read_lesson("none", read).lesson_day == ""


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("someday", "lesson: 'someday' is no day; give monday, .* or sunday, or none where there"),
        ("th 9", "lesson: 'th' is no day; "),
        ("friday 25:00", "lesson: '25:00' is no time; give one such as 9, 9:30 or 17:30"),
        ("friday 9:75", "lesson: '9:75' is no time"),
        ("friday 17:30 yawning", "lesson: 'yawning' is no raga known here; give ids as `main.py r"),
    ],
)
def test_a_line_that_cannot_be_used_is_told_with_the_remedy(text, fault):
    with pytest.raises(SettingsError, match=fault):
        read_lesson(text, Settings())
