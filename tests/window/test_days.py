"""So far: the days and thresholds are told, and drawn as they were."""

import threading
from dataclasses import replace
from datetime import timedelta

import pytest

from practice.progress import DayDone
from scheduler.history import lately
from tests.window.hands import frames, key, tab_to, touch, wait_for
from tests.window.so_far import NOW

pytestmark = pytest.mark.window


def test_days_are_told_by_touch_and_by_keys_and_thresholds_over_time(open_tab):
    screen, tab = open_tab("days")
    wait_for(lambda: not tab.waiting, what="thresholds")
    bars = tab.ids.bars
    touch(bars)
    assert "November:" in tab.told
    assert "questions" in tab.told
    tab_to(lambda: bars.focused)
    at = bars.at
    key("left")
    assert bars.at == at - 1
    key("right")
    assert bars.at == at
    frames(2)
    (row,) = tab.ids.thresholds.children
    assert row.name == "Pa in tune"
    assert row.words.startswith("You hear it from about")
    assert row.words == row.words.strip()
    assert screen.panel.parent is None


def test_days_are_those_of_the_same_weeks_as_all_other_pictures(open_tab):
    from screens.days import DaysTab, total_said

    screen, _ = open_tab("days")
    for now in (NOW, NOW + timedelta(days=1)):  # a Sunday; a Monday, on which a week begins
        standing = replace(screen._standing, now=now)
        gone = DaysTab.work_out(standing)
        weeks = standing.history.weeks.values()
        asked = sum(w[n].asked for w in weeks for n in lately(now) if n in w)
        assert sum(day.asked for day in gone.days) == asked
        assert f" {asked} questions" in total_said(gone.days)
        assert f"since Monday {gone.days[0].date.day} November" in total_said(gone.days)


def test_minutes_on_the_instrument_are_told_beside_questions_or_alone():
    from screens.days import day_said, total_said

    day = DayDone(NOW.date(), 8, 6, 1, 3.0, 20.0)
    alone = replace(day, asked=0, right=0, shown=0, minutes=0.0)
    at = f"{NOW:%A} {NOW.day} November"
    asked = "3 minutes, 8 questions, 6 right, 1 only shown"
    assert day_said(day) == f"{at}: {asked}; 20 minutes on the instrument."
    assert day_said(replace(day, on_instrument=0.0)) == f"{at}: {asked}."
    assert day_said(alone) == f"{at}: 20 minutes on the instrument."
    assert "8 questions, 6 right; 40 minutes on the instrument. Touch" in total_said([day, alone])
    assert total_said([alone]) == "In the last four weeks: 20 minutes on the instrument."


def test_all_thresholds_end_today_and_an_old_one_is_told_as_old(open_tab):
    from screens.days import series_said
    from screens.threshold_chart import ThresholdChart

    _, tab = open_tab("days")
    wait_for(lambda: not tab.waiting, what="thresholds")
    shown = tab.ids.thresholds.children[0].series
    today, old = NOW.date(), shown.points[:3]
    chart = ThresholdChart(series=replace(shown, points=old), today=today, size=(500, 100))
    whole = ThresholdChart(series=shown, today=today, size=(500, 100))
    for each in (chart, whole):
        each._drawn()
    assert whole.x_of(today) == chart.x_of(today) > chart.x_of(old[-1].at) + 100
    assert whole.x_of(old[-1].at) == chart.x_of(old[-1].at)
    assert chart.x_of(old[0].at) > chart.x_of(chart.first)
    steps = [chart.y_of(level) for level in (10.0, 20.0, 40.0)]
    assert steps[2] - steps[1] == pytest.approx(steps[1] - steps[0])  # as ears are
    assert steps[0] < steps[1]
    said = series_said(chart.series, today)
    assert said.startswith(f"On {old[-1].at.day} {old[-1].at:%B}: you heard it from about")
    assert series_said(shown, today).startswith("You hear it from about")


def test_once_left_no_threshold_is_waited_for(open_tab, monkeypatch):
    may_go_on = threading.Event()
    monkeypatch.setattr("screens.days.threshold_series", lambda _: may_go_on.wait(30.0) and ())
    screen, tab = open_tab("days")
    assert tab.waiting
    screen.on_leave()
    assert not tab.waiting
    tab.heard = "as it was"
    may_go_on.set()
    for thread in threading.enumerate():
        if thread.name == "at-work":
            thread.join(30.0)
    frames(6)
    assert tab.heard == "as it was"


def test_a_bar_is_as_high_as_its_day(open_tab, monkeypatch):
    from practice.progress import DayDone

    _, tab = open_tab("days")
    drawn, bars = [], tab.ids.bars
    monkeypatch.setattr("screens.day_bars.squares", lambda placed, _: drawn.append(list(placed)))
    monday = NOW.date()
    bars.show(
        (
            DayDone(monday, 50, 25, 0, 20.0),
            DayDone(monday, 100, 100, 0, 40.0),
            DayDone(monday, 0, 0, 0, 0.0, 20.0),
            DayDone(monday, 0, 0, 0, 20.0, 20.0),
        )
    )
    bars._drawn()
    minutes, played, _, right, wrong = ([box for box, _ in each] for each in drawn[:5])
    # Those on the instrument stand on those by ear, or on the line where there are none.
    assert [box[3] for box in played] == pytest.approx([minutes[0][3]] * 2)
    assert played[0][1] == pytest.approx(minutes[0][1])
    assert played[1][1] == pytest.approx(minutes[2][1] + minutes[2][3])
    assert minutes[1][3] == pytest.approx(2 * minutes[0][3])
    assert right[1][3] == pytest.approx(4 * right[0][3])
    assert wrong[0][3] == pytest.approx(right[0][3])  # as many; of the second day there are none
    assert len(wrong) == 1
    assert minutes[0][1] == pytest.approx(right[0][1] + right[0][3])  # from the line both ways
    assert right[0][1] == pytest.approx(wrong[0][1] + wrong[0][3])


def test_what_became_firm_and_what_slipped_and_no_threshold_are_told(open_tab):
    from concurrent.futures import Future

    from practice.progress import Changed
    from practice.summary import Moved
    from screens.days import NO_THRESHOLDS

    _, tab = open_tab("days")
    wait_for(lambda: not tab.waiting, what="thresholds")
    moved = (Moved("swara:R", "Re", "coming", "firm"),), (Moved("swara:S", "Sa", "firm", "shaky"),)
    tab._tell_changed(Changed(NOW.date(), *moved))
    said = [words.text for words in tab.ids.moved.children[::-1]]
    assert said == ["Became firm: 1", "Re", "Slipped: 1", "Sa: shaky now"]
    nothing = Future()
    nothing.set_result(())
    tab._found(NOW.date(), nothing)
    assert tab.heard == NO_THRESHOLDS
