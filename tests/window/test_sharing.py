"""Minutes are shared out on a bar and in a list, by touch and by the keyboard, and told as bars."""

import pytest

from tests.window.hands import Finger, frames, key, touch, touch_at
from tests.window.one_app import asking
from tests.window.practising import give_by_keys
from tests.window.scripted import skills_that_begin, step
from tests.window.test_drill import texts_in
from tests.window.test_ordering import SHAPES, go_through, in_shapes
from tests.window.written import PAIRS, STAGES, shares_step

pytestmark = pytest.mark.window

FEW = {key: STAGES[key] for key in ("jor", "alap-jhala", "vilambit-gat")}
USUAL = (20, 8, 12)


@pytest.fixture(scope="module")
def ask(window, tmp_path_factory):
    with asking(tmp_path_factory.mktemp("student")) as ask:
        yield ask


def border(drill, at):
    """A point of the window on the border after the thing `at`."""
    bar = drill.sharing.ids.bar
    return bar.to_window(bar.x_of(sum(drill.sharing.shares[: at + 1])), bar.center_y)


def minutes_px(drill):
    return drill.sharing.ids.bar.width / sum(drill.sharing.shares)


def bars(drill):
    """Head, shape and shares of each bar after the answer."""
    from screens.share_bar import ShareBar
    from screens.shared import ToldHead

    heads = [part for part in drill.ids.words.walk(restrict=True) if isinstance(part, ToldHead)]
    drawn = [part for part in drill.ids.words.walk(restrict=True) if isinstance(part, ShareBar)]
    return [(h.text, h.mark, tuple(b.shares)) for h, b in zip(heads, drawn, strict=True)]


def test_a_border_is_dragged_by_whole_minutes_and_pushes_the_next_before_it(ask):
    drill, session = ask(shares_step(FEW, USUAL, why=PAIRS))
    assert drill.sharing.shares == [14, 13, 13]
    x, y = border(drill, 0)
    finger = Finger(x, y).go_down()
    finger.slide_to(x + 3.4 * minutes_px(drill), y + 5)
    assert drill.sharing.shares == [17, 10, 13]
    finger.slide_to(x + 15 * minutes_px(drill), y)
    assert drill.sharing.shares == [29, 1, 10]
    finger.slide_to(x - 2 * minutes_px(drill), y - 100)
    finger.come_up()
    assert drill.sharing.shares == [12, 15, 13]  # what was pushed has come back
    touch(drill.sharing.ids.answer)
    assert session.given == ["12 15 13"]
    frames(2)
    assert bars(drill) == [
        ("Usual", "was", USUAL),
        ("You shared", "otherwise", (12, 15, 13)),
    ]
    assert drill.verdict == "Partly right"
    assert set(PAIRS) <= set(texts_in(drill))  # each line stands by itself
    assert {"20 min", "12 min", *FEW.values()} <= set(texts_in(drill))


def test_of_borders_that_lie_together_the_finger_takes_the_one_that_can_go_its_way(ask):
    drill, _ = ask(shares_step(STAGES, (10,) * 9))
    drill.sharing.shares = [10, 1, 1, 28, 10, 10, 10, 10, 10]
    x, y = border(drill, 1)
    for far, shares in ((5, [10, 1, 6, 23]), (-4, [6, 5, 6, 23])):
        finger = Finger(x, y).go_down()
        finger.slide_to(x + far * minutes_px(drill), y)
        finger.come_up()
        assert drill.sharing.shares[:4] == shares
        x, y = border(drill, 0)


def test_minutes_are_given_and_taken_in_the_list(ask):
    drill, _ = ask(shares_step(FEW, USUAL))
    jor, jhala, gat = drill.sharing.ids.rows.children[::-1]
    for plate in (jor.ids.more, jor.ids.more, gat.ids.less, jhala.ids.less):
        touch(plate)
    assert drill.sharing.shares == [16, 11, 13]
    assert [row.minutes for row in (jor, jhala, gat)] == [16, 11, 13]
    drill.sharing.shares = [1, 38, 1]
    assert jor.ids.less.disabled
    assert gat.ids.less.disabled
    assert not jor.ids.more.disabled


def test_arrows_walk_and_share_and_enter_sends(ask):
    drill, session = ask(shares_step(FEW, USUAL), size=(960, 600))
    for name in ("right", "up", "up", "right", "+", "right", "-", "left", "down", "3", "up"):
        key(name)
    assert drill.sharing.shares == [16, 11, 13]
    key("enter")
    assert session.given == ["16 11 13"]


def test_a_right_share_is_shown_once(ask):
    drill, _ = ask(shares_step(FEW, USUAL, new=True))
    assert drill.stage == "new"
    drill.ask_me()
    give_by_keys(drill, "20 8 12")
    frames(2)
    assert bars(drill) == [("Usual", "right", USUAL)]
    assert "You shared" not in texts_in(drill)


def test_after_the_answer_colour_marks_a_bar_and_no_single_share(ask):
    from kivy.graphics import Color

    from screens import theme
    from screens.share_bar import ShareBar

    drill, _ = ask(shares_step(FEW, USUAL))
    drill.give("12 15 13")
    frames(2)
    grounds = {theme.WAS_GROUND, theme.OTHERWISE_GROUND, theme.PANEL, theme.NECK, theme.RAISED}
    drawn = [
        {tuple(part.rgba) for part in bar.canvas.children if isinstance(part, Color)} & grounds
        for bar in drill.ids.words.walk(restrict=True)
        if isinstance(bar, ShareBar)
    ]
    assert drawn == [{theme.WAS_GROUND}, {theme.OTHERWISE_GROUND}]


@pytest.mark.parametrize("left_handed", [False, True])
def test_less_and_more_lie_under_the_hand_that_answers(ask, left_handed):
    drill, _ = ask(shares_step(FEW, USUAL), left_handed=left_handed)
    row = drill.sharing.ids.rows.children[-1]
    assert (row.ids.more.right < row.ids.words.x) == left_handed
    assert row.ids.less.right <= row.ids.more.x
    touch(row.ids.more)
    assert drill.sharing.shares == [15, 12, 13]


def test_a_real_layout_is_shared_marked_and_told(ask):
    drill, session = ask(step(skills_that_begin("layout")[0]), size=(960, 600))
    even = list(drill.sharing.shares)
    x, y = border(drill, 0)
    touch_at(x, y)
    assert drill.sharing.shares == even
    touch(drill.sharing.ids.answer)
    frames(2)
    assert session.given == [" ".join(map(str, even))]
    assert [shares for _, _, shares in bars(drill)][-1] == tuple(even)
    assert set(drill.explained.splitlines()) <= set(texts_in(drill))


@in_shapes(SHAPES[:2])
def test_shares_of_long_names_have_room_through_all_their_stages(ask, size, text_size, left_handed):
    asked = shares_step(STAGES, (20, 8, 5, 15, 6, 6, 10, 14, 36), why=PAIRS, new=True)
    drill, _ = ask(asked, size=size, text_size=text_size, left_handed=left_handed)
    go_through(drill, "4-9+", "3 10 10 1 1 30 10 20 35")
