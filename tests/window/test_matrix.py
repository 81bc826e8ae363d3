"""So far: any cell of a matrix is picked by touch and by keys; the days and thresholds are told."""

import threading
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from practice import Practice
from practice.pairs import matrix
from quizzes.kinds.swara import SwaraKind
from scheduler.history import lately
from tests import taken
from tests.window import opened
from tests.window.hands import Finger, frames, key, tab_to, touch, touch_at, wait_for
from tests.window.test_room import check, check_targets

pytestmark = pytest.mark.window

PORTRAIT, LANDSCAPE = (600, 960), (1120, 760)
NOW = datetime(2026, 11, 29, 18, tzinfo=UTC)
SKILLS = [
    *(skill.id for skill in SwaraKind().skills()),
    *taken.skills_of("raga-from-phrase:note", ("bhupali", "yaman", "durga", "alhaiya_bilawal")),
    *taken.skills_of("ornament", ("kan", "sparsh", "meend", "span:3", "span:4", "span:5")),
]


@pytest.fixture(scope="module")
def heard(window, tmp_path_factory):
    """The app of a student who takes some things for others; one for all."""
    folder = tmp_path_factory.mktemp("taken") / "student"
    practice = Practice(folder, speaker="silence", now=lambda: NOW)
    practice.save(replace(practice.settings, cautions_seen=True))
    student = practice.settings.student_id
    rows = taken.rows(SKILLS, 1000, until=NOW, student=student)
    rows += taken.tuned("tune:P", 120, (30.0, 10.0), until=NOW, student=student)
    practice._log.append_all(sorted(rows, key=lambda row: row.utc))
    with opened.app_on(practice, PORTRAIT) as app:
        yield app
    practice.close()


@pytest.fixture
def open_tab(heard):
    """A tab in a window of this size: (screen, tab)."""
    from kivy.app import App
    from kivy.core.window import Window

    from screens import theme
    from screens.look import look

    def open_it(name, size=PORTRAIT, *, text_size="usual"):
        Window.size = size
        App._running_app = heard
        look.text, look.by_keys = theme.TEXT_SIZES[text_size], False
        heard.go("practice")
        heard.go("weak")
        screen = heard.manager.current_screen
        wait_for(lambda: not screen.waiting, what="what the answers tell")
        screen.take_tab(name)
        wait_for(lambda: not screen.waiting, what="what the tab shows")
        frames(6)
        return screen, screen._tabs[name]

    yield open_it
    look.text = 1.0


def point_of(tab, right, given):
    """The middle of a cell, in pixels of the window."""
    cells = tab.board.cells
    x, y, side, _ = cells.box_of(*cells.cell_of(right, given))
    return cells.to_window(x + side / 2, y + side / 2)


def is_on_view(tab, right, given):
    x, y = point_of(tab, right, given)
    return tab.board.pane.collide_point(*tab.board.to_widget(x, y))


@pytest.mark.parametrize(
    ("size", "cell"),
    [(PORTRAIT, ("r", "R")), (LANDSCAPE, ("r", "r")), (PORTRAIT, ("R", "r"))],
    ids=["otherwise", "right", "empty"],
)
def test_a_touch_picks_a_cell_an_empty_one_too(open_tab, size, cell):
    screen, tab = open_tab("swaras", size)
    tab.board.pane.reveal(*tab.board.cells.cell_of(*cell))
    frames(4)
    touch_at(*point_of(tab, *cell))
    wait_for(lambda: screen.panel.parent, what="what is said of it")
    frames(3)
    pair = screen.panel._told.pair
    assert (pair.right, pair.given) == cell
    assert pair.count == matrix(screen._standing, "swaras").cells.get(cell, 0)
    assert (tab.board.rows.picked, tab.board.columns.picked) == tab.board.cells.at
    touch(screen.panel.ids.shut)
    frames(3)
    assert tab.board.cells.at is None


def test_a_touch_that_slides_rolls_and_picks_nothing(open_tab):
    screen, tab = open_tab("swaras")
    x, y = point_of(tab, "d", "D")
    before = tab.board.pane.scroll_y
    finger = Finger(x, y).go_down()
    for step in range(1, 6):
        finger.slide_to(x, y + 20 * step)
        frames(1)
    finger.come_up()
    frames(4)
    assert tab.board.pane.scroll_y < before
    assert screen.panel.parent is None


def test_the_worst_stands_first_is_on_view_and_leads_to_its_cell(open_tab):
    screen, tab = open_tab("swaras")
    worst = matrix(screen._standing, "swaras").worst(1)[0]
    assert is_on_view(tab, worst.right, worst.given)
    row = tab.rows.children[-1]
    assert (row.pair.right, row.pair.given) == (worst.right, worst.given)
    touch(row)
    frames(4)
    assert screen.panel.title == f"{worst.right_label}, heard as {worst.given_label}"
    assert tab.board.cells.at == tab.board.cells.cell_of(worst.right, worst.given)
    assert is_on_view(tab, worst.right, worst.given)


def test_the_keys_go_from_cell_to_cell_tell_of_each_and_lead_out_again(open_tab):
    screen, tab = open_tab("swaras", LANDSCAPE)
    cells = tab.board.cells
    tab_to(lambda: cells.focused)
    row, column = cells.first()
    assert cells.at == (row, column)
    key("up")
    assert cells.at == (row - 1, column)
    for left in range(1, column + 1):
        key("left")
        assert cells.at == (row - 1, column - left)
        pair = [cells.things[at] for at in cells.at]
        assert is_on_view(tab, *pair)
        assert matrix(screen._standing, "swaras").pair(*pair).right_label in tab.said
    key("left")  # beyond the edge
    assert not cells.focused
    tab_to(lambda: cells.focused)
    key("enter")
    frames(3)
    assert screen.panel.parent is not None
    assert screen.panel._told.pair.right == cells.things[cells.at[0]]
    key("escape")
    frames(2)
    assert screen.panel.parent is None


def test_things_that_are_never_offered_together_stand_in_matrices_of_their_own(open_tab):
    _, tab = open_tab("ornaments")
    names = [plate.mode for plate in tab.groups.children]
    assert len(names) == 2
    touch(next(plate for plate in tab.groups.children if plate.mode == "How far a meend went"))
    frames(3)
    assert set(tab.board.cells.things) == {"span:3", "span:4", "span:5"}
    touch(next(row for row in tab.rows.children if row.pair.right == "kan"))
    frames(3)
    assert set(tab.board.cells.things) == {"kan", "sparsh", "meend"}


def test_before_any_answer_it_says_what_will_be_there(open_tab):
    _, tab = open_tab("talas")
    assert "Nothing of this was asked yet" in tab.said
    assert tab.board.parent is None


@pytest.mark.parametrize(
    ("size", "text_size"),
    [(PORTRAIT, "usual"), (LANDSCAPE, "largest"), ((400, 800), "largest"), ((800, 400), "usual")],
)
def test_all_has_room(open_tab, size, text_size):
    for name in ("ragas", "days"):
        screen, tab = open_tab(name, size, text_size=text_size)
        check(screen)
        check_targets(screen)
        if name == "ragas":
            assert tab.board.cells.side >= 48
            assert tab.board.pane.height >= tab.board.cells.side
            tab.pick(matrix(screen._standing, name).worst(1)[0])
            frames(4)
            check_targets(screen)


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
    frames(6)
    assert tab.heard == "as it was"


def test_trifles_are_not_listed_as_the_worst_and_what_stands_beside_is_as_high(open_tab):
    from screens.matrix import to_list

    _, tab = open_tab("ornaments")
    frames(4)
    first, second = tab.rows.children[::-1][:2]
    assert first.top == second.top
    assert first.height == second.height
    assert first.height > min(row.ids.said.height for row in (first, second)) + 14
    worst = tab._worst[0]
    rare, once = replace(worst, count=2, asked=127), replace(worst, count=1, asked=9)
    assert to_list((worst, once, rare)) == (worst,)
    assert to_list((once, once, once, rare)) == (once, once)
    assert to_list((rare,)) == ()


def test_where_all_rolls_a_cell_is_picked_and_the_matrix_rolls_within(open_tab):
    screen, tab = open_tab("swaras", (420, 560))
    assert tab.board.parent is tab.ids.column.__self__
    tab.ids.beside.scroll_to(tab.board.pane, animate=False)
    frames(4)
    pane = tab.board.pane
    x, y = pane.to_window(pane.center_x, pane.y + 0.3 * pane.height)
    outer, inner = tab.ids.beside.scroll_y, pane.scroll_y
    rolled = tab.ids.beside.effect_y
    assert rolled.value == pytest.approx(outer * rolled.max, abs=0.5)  # it rests where it is
    assert 0.0 <= outer <= 1.0
    finger = Finger(x, y).go_down()
    for step in range(1, 6):
        finger.slide_to(x, y + 18 * step)
        frames(1)
    finger.come_up()
    frames(4)
    assert pane.scroll_y < inner
    assert tab.ids.beside.scroll_y == outer
    touch_at(x, y)
    wait_for(lambda: screen.panel.parent, what="what is said of it")
