"""So far: the gaps on the string are picked by touch and by keys, heard, and drilled."""

import threading
import time
from dataclasses import replace

import pytest

from practice import Practice
from practice.gaps import counts_of, gaps_of, seen
from screens.arcs import STEPS, distance
from tests.gaps_heard import hear_gaps
from tests.window import opened
from tests.window.hands import Finger, frames, key, tab_to, touch, touch_at, wait_for
from tests.window.so_far import LANDSCAPE, PORTRAIT, show_tab
from tests.window.test_room import check, check_targets

pytestmark = pytest.mark.window

at_both = pytest.mark.parametrize("size", [PORTRAIT, LANDSCAPE])


@pytest.fixture(scope="module")
def heard(window, tmp_path_factory):
    """The app of a student who has answered on gaps and takes some for others; one for all."""
    practice = Practice(tmp_path_factory.mktemp("heard") / "student", speaker="silence")
    practice.save(replace(practice.settings, cautions_seen=True))
    hear_gaps(practice, 60)
    with opened.app_on(practice, PORTRAIT) as app:
        yield app
    practice.close()


@pytest.fixture
def open_weak(heard):
    """So far, in a window of this size: (app, screen, the tab of the gaps)."""
    from screens.look import look

    def open_it(size=PORTRAIT, *, text_size="usual"):
        screen, tab = show_tab(heard, "gaps", size, text_size=text_size)
        tab.take_way("all")
        frames(4)
        return heard, screen, tab

    yield open_it
    look.text = 1.0


def top_of(arcs, gap):
    """The point of an arc furthest from the string, in pixels of the window."""
    x, y = arcs.line_of(gap)[STEPS // 2]
    return arcs.to_window(float(x), float(y))


def texts(screen):
    return [part.text for part in screen.walk(restrict=True) if getattr(part, "text", "")]


@at_both
def test_a_touch_near_an_arc_picks_it_and_tells_of_it(open_weak, size):
    app, screen, tab = open_weak(size)
    gap = seen(gaps_of(app.practice.standing()), "all")[0]
    x, y = top_of(tab.arcs, gap)
    touch_at(x + 3, y + 3)
    wait_for(lambda: screen.panel.parent, what="what is said of it")
    frames(3)
    assert tab.arcs.picked == gap.id
    assert screen.panel.title == gap.name
    assert f"{gap.answered.right} of {gap.answered.asked} right" in " ".join(texts(screen.panel))
    assert set(tab.arcs.pad.lit) == {str(gap.low), str(gap.high)}
    touch(screen.panel.ids.shut)
    frames(3)
    assert screen.panel.parent is None
    assert tab.arcs.picked == ""


def test_a_touch_that_slides_off_picks_nothing_and_one_far_from_all_neither(open_weak):
    app, _, tab = open_weak(LANDSCAPE)
    gap = seen(gaps_of(app.practice.standing()), "all")[0]
    finger = Finger(*top_of(tab.arcs, gap)).go_down()
    finger.slide_to(*tab.arcs.to_window(tab.arcs.x + 4, tab.arcs.top - 4))
    finger.come_up()
    touch_at(*tab.arcs.to_window(tab.arcs.x + 4, tab.arcs.top - 4))
    frames(2)
    assert tab.arcs.picked == ""


def test_the_keys_walk_from_the_shakiest_and_back_and_lead_out_again(open_weak):
    app, screen, tab = open_weak(LANDSCAPE)
    gaps = [gap for gap in seen(gaps_of(app.practice.standing()), "all") if gap.state != "unheard"]
    tab_to(lambda: tab.arcs.focused)
    for name, wanted in (("right", 0), ("down", 1), ("right", 2), ("left", 1), ("up", 0)):
        key(name)
        assert tab.arcs.picked == gaps[wanted].id
        assert screen.panel.title == gaps[wanted].name
    key("escape")
    assert screen.panel.parent is None
    key("escape")
    assert app.manager.current == "practice"


def test_an_arrow_goes_to_the_shakiest_at_once_and_on_to_what_is_unheard(open_weak):
    _, _, tab = open_weak(LANDSCAPE)
    key("right")
    assert tab.arcs.focused
    assert tab.arcs.picked == tab.arcs.drawn[0].id
    begun = [gap for gap in tab.arcs.drawn if gap.state != "unheard"]
    assert begun == list(tab.arcs.drawn[: len(begun)])
    tab.arcs.picked = begun[-1].id
    key("down")
    assert tab.arcs.picked == tab.arcs.drawn[len(begun)].id
    key("up")
    assert tab.arcs.picked == begun[-1].id


def test_a_touch_on_an_unheard_arc_picks_it_unless_a_begun_one_is_close(open_weak):
    from screens.gap_arcs import BEFORE, REACH

    _, screen, tab = open_weak(LANDSCAPE)
    arcs = tab.arcs
    begun = [arcs.line_of(gap) for gap in arcs.drawn if gap.state != "unheard"]
    unheard = [gap for gap in arcs.drawn if gap.state == "unheard"]
    points = {gap.id: arcs.line_of(gap)[STEPS // 2] for gap in unheard}
    far = {gap.id: min(distance(points[gap.id], line) for line in begun) for gap in unheard}
    apart = next(gap for gap in unheard if BEFORE + 2 < far[gap.id] < REACH - 2)
    close = next(gap for gap in unheard if 2 < far[gap.id] < BEFORE - 2)
    touch_at(*top_of(arcs, apart))
    assert arcs.picked == apart.id
    screen.shut()
    frames(3)
    touch_at(*top_of(arcs, close))
    assert next(gap for gap in arcs.drawn if gap.id == arcs.picked).state != "unheard"


def test_the_screen_says_that_it_looks_and_lives_on_meanwhile(open_weak, monkeypatch):
    app, screen, tab = open_weak()
    may_go_on = threading.Event()

    def slow(standing):
        assert may_go_on.wait(30.0)
        return gaps_of(standing)

    monkeypatch.setattr("screens.gaps_tab.gaps_of", slow)
    app.go("practice")
    app.go("weak")
    frames(4)
    assert screen.waiting
    assert "Looking through your answers" in texts(screen)
    assert tab.parent is None
    screen.take_tab("days")  # what is not waited for stays away
    may_go_on.set()
    wait_for(lambda: not screen.waiting, what="the days")
    frames(4)
    assert tab.parent is None
    screen.take_tab("gaps")
    wait_for(lambda: not screen.waiting, what="the gaps")
    frames(4)
    assert tab.parent is not None
    assert "Looking through your answers" not in texts(screen)


@at_both
def test_both_sides_are_heard_in_turn_and_marked_while_they_sound(open_weak, size):
    _, screen, tab = open_weak(size)
    panel = screen.panel
    touch(tab.rows.children[-1])
    frames(3)
    assert panel.two
    touch(panel._hear_plate)
    played = []
    for plate in (panel._was, panel._heard):
        wait_for(lambda plate=plate: plate.sounding, what="its sound")
        played.append([panel._was.sounding, panel._heard.sounding])
        assert "sounds now" in plate.word
        panel._playing._playing.end_by(time.monotonic() - 1.0)  # else it takes its seconds
    wait_for(lambda: not panel._heard.sounding, what="silence")
    assert played == [[True, False], [False, True]]
    assert panel.why


def test_what_was_picked_is_drilled_at_once_and_nothing_else(open_weak):
    app, screen, tab = open_weak()
    touch(tab.rows.children[-1])
    frames(3)
    skills = set(screen.panel.skills)
    assert len(skills) == 2
    touch(screen.panel._drill_plate)
    drill = app.manager.current_screen
    assert drill.name == "drill"
    wait_for(lambda: drill.stage != "waiting", what="the first question")
    assert drill._step.question.skill in skills
    drill.finish()
    assert app.manager.current == "weak"
    assert skills <= set(app.practice._plan_now.items)
    drill.drop()
    app.practice.end()


def test_one_way_is_shown_alone(open_weak):
    app, _, tab = open_weak()
    gaps = gaps_of(app.practice.standing())
    for way in ("down", "all"):
        touch(next(plate for plate in tab.ways.children if plate.mode == way))
        frames(3)
        assert [gap.skill for gap in tab.arcs.gaps] == [gap.skill for gap in seen(gaps, way)]
        listed = [row.gap.way for row in tab.rows.children]
        assert way == "all" or set(listed) <= {way}
    assert len(listed) > 2


def test_before_anything_is_heard_it_says_what_will_be_there(open_app):
    app = open_app(PORTRAIT)
    first = app.manager.get_screen("practice")
    wait_for(lambda: first._coming is None, what="what the day holds")
    frames(4)
    touch(first.ids.so_far)
    screen = app.manager.current_screen
    wait_for(lambda: not screen.waiting, what="what the answers tell")
    tab = screen._tabs["gaps"]
    assert "Nothing heard yet" in texts(screen)
    assert any("broad and broken" in text for text in texts(screen))
    assert len(tab.arcs.drawn) > 30
    assert not tab.rows.children
    key("escape")
    app.practice.save(replace(app.practice.settings, course="ragas"))
    app.go("weak")
    wait_for(lambda: not screen.waiting, what="what the answers tell")
    assert "Your course asks no gaps." in texts(screen)
    assert not tab.arcs.drawn


def test_the_legend_counts_what_is_drawn_and_arcs_lean_from_the_hand(open_weak):
    from screens.look import look

    app, _, tab = open_weak()
    counts = counts_of(seen(gaps_of(app.practice.standing()), "all"))
    assert {item.state: item.count for item in tab.legend.children} == counts
    assert sum(counts.values()) > counts["unheard"]
    gap, arcs = tab.arcs.drawn[0], tab.arcs
    to_right = arcs.line_of(gap)
    look.left_handed = True
    frames(4)
    to_left = arcs.line_of(gap)
    look.left_handed = False
    assert to_left[:, 0] + to_right[:, 0] == pytest.approx(arcs.x + arcs.right)
    assert to_left[:, 1] == pytest.approx(to_right[:, 1])


def test_the_strokes_tell_the_states_apart_without_colour():
    from screens.gap_arcs import STROKES, breadth_of

    broken = [name for name, stroke in STROKES.items() if stroke.filled < 1.0]
    assert broken == ["shaky", "coming"]
    assert breadth_of("shaky", 0.0) > breadth_of("coming") > breadth_of("firm")
    assert STROKES["shaky"].pattern > 2 * STROKES["coming"].pattern


@pytest.mark.parametrize("text_size", ["usual", "largest"])
@pytest.mark.parametrize("size", [PORTRAIT, LANDSCAPE, (400, 800), (800, 400)])
def test_all_has_room(open_weak, size, text_size):
    _, screen, tab = open_weak(size, text_size=text_size)
    check(screen)
    check_targets(screen)
    tab.pick(tab.rows.children[-1].gap)
    frames(4)
    for place in (1.0, 0.0):
        screen.panel.scroll_y = place
        frames(3)
        check(screen)
    check_targets(screen)


def test_every_tab_is_shown_with_the_same_answers(open_weak):
    _, screen, _ = open_weak(LANDSCAPE)
    for plate in screen.ids.tabs.children[::-1]:
        touch(plate)
        wait_for(lambda: not screen.waiting, what="what the tab shows")
        frames(3)
        assert screen.tab_id == plate.mode
        assert screen._tabs[plate.mode].parent is screen.ids.body.__self__
