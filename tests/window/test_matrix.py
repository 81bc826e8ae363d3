"""So far: any cell of a matrix is picked by touch and by keys, and drawn as it was counted."""

import time
from dataclasses import replace

import pytest

from practice.pairs import matrix
from practice.standing import LOG_NAME
from quizzes.catalogue import make_question
from quizzes.question import Setting
from scheduler import Log
from tests import taken
from tests.window.hands import Finger, frames, key, tab_to, touch, touch_at, wait_for
from tests.window.so_far import LANDSCAPE, NOW, PORTRAIT
from tests.window.test_room import check, check_targets

pytestmark = pytest.mark.window


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


def test_an_arrow_goes_to_the_worst_cell_at_once(open_tab):
    _, tab = open_tab("swaras")
    key("down")
    assert tab.board.cells.focused
    assert tab.board.cells.at == tab.board.cells.first()


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


def test_trifles_are_not_listed_as_the_worst_and_what_stands_beside_is_as_high(open_tab):
    from screens.matrix import to_list

    _, tab = open_tab("ornaments")
    frames(4)
    first, second = tab.rows.children[::-1][:2]
    assert first.top == second.top
    assert first.height == second.height
    assert first.height > min(row.ids.texts.height for row in (first, second)) + 14
    worst = tab._worst[0]
    rare, once = replace(worst, count=2, asked=127), replace(worst, count=1, asked=9)
    assert to_list((worst, once, rare)) == (worst,)
    assert to_list((once, once, once, rare)) == (once, once)
    assert to_list((rare,)) == ()


def test_a_mark_is_as_large_as_its_share_and_hollow_of_few(open_tab, monkeypatch):
    from screens.cell_marks import LEAST, MOST

    _, tab = open_tab("swaras")
    cells, marks = tab.board.cells, []
    monkeypatch.setattr("screens.cells.marks_mesh", lambda mark, boxes: marks.append((mark, boxes)))
    asked = {thing: (12, 100)[at % 2] for at, thing in enumerate(cells.things)}
    shown = replace(cells.matrix, asked=asked)
    cells.show(shown, cells.things)
    cells._drawn()
    drawn = {}
    for mark, boxes in marks:
        for x, y, width, height in boxes:
            right, given = map(
                cells.things.__getitem__, cells.cell_at(x + width / 2, y + height / 2)
            )
            drawn[right, given] = (mark.kind, mark.hollow, (width / cells.side) ** 2)
    assert set(drawn) == set(shown.cells)
    for (right, given), (kind, hollow, surface) in drawn.items():
        share = shown.cells[right, given] / asked[right]
        assert kind == ("disc" if right == given else "tile")
        assert hollow == (asked[right] < 20)
        assert surface == pytest.approx(LEAST**2 + (MOST**2 - LEAST**2) * share)
    assert "Touch any cell" in tab.said


def test_names_over_columns_are_read_from_below(open_tab):
    from kivy.graphics import Rectangle

    _, tab = open_tab("ragas")
    heads = tab.board.columns
    heads.show(["Yaman"], 60, "upright")
    heads._drawn()
    (name,) = (each for each in heads.canvas.children if isinstance(each, Rectangle))
    left, foot, right, _, _, top, *_ = name.texture.tex_coords
    corners = [tuple(name.tex_coords[at : at + 2]) for at in (0, 2, 4, 6)]  # from lower left on
    assert corners == [(left, top), (left, foot), (right, foot), (right, top)]


def test_what_cannot_be_heard_or_drilled_is_told(open_tab, monkeypatch):
    from practice import PracticeError
    from practice.both import Both, Side
    from scheduler import LogError

    screen, tab = open_tab("swaras")
    touch(tab.rows.children[-1])
    frames(3)
    panel = screen.panel
    monkeypatch.setattr(
        "screens.pair_panel.both_sides",
        raising(LogError("log", wrong="gone", remedy="look for it")),
    )
    panel.hear_both()
    wait_for(lambda: not panel.waiting, what="why not")
    assert "gone" in panel.trouble
    assert "look for it" in panel.trouble
    monkeypatch.setattr(screen, "_on_drill", raising(PracticeError("Nothing asks it.")))
    touch(panel._drill_plate)
    assert panel.trouble == "Nothing asks it."
    question = make_question("swara:r", seed=1, setting=Setting(sa_hz=140.0, met=("swara:R",)))
    panel._both, panel._wanted = Both(Side("a", question.cue), Side("b", None), ""), (1,)
    panel._play()
    assert (panel._was.disabled, panel._heard.disabled) == (False, True)
    assert panel.trouble == "This side has no sound of its own."


def raising(error):
    def fails(*_):
        raise error

    return fails


def test_a_pause_lies_between_the_two_sides():
    from types import SimpleNamespace

    from screens.in_turn import PAUSE_S, InTurn

    turn = InTurn(None, SimpleNamespace(submit=lambda *_: None), lambda _: None)
    turn._left = [(1, None)]
    for ended_s, goes_on in ((PAUSE_S / 2, False), (PAUSE_S + 0.1, True)):
        turn._playing = SimpleNamespace(ends_at=time.monotonic() - ended_s)
        turn._mind()
        assert (turn._playing is None) == goes_on


def test_what_another_program_has_written_is_there_when_one_comes_back(open_tab, heard):
    screen, tab = open_tab("swaras")
    before = tab._matrix.asked["S"]
    heard.go("practice")
    row = taken.row("swara:S", "S", "S", at=NOW, student=heard.practice.settings.student_id)
    with Log(heard.practice.folder / LOG_NAME) as log:
        log.append_all([row])
    heard.go("weak")
    wait_for(lambda: not screen.waiting, what="what the tab shows")
    assert tab._matrix.asked["S"] == before + 1


def test_where_all_rolls_a_cell_is_picked_and_the_matrix_rolls_within(open_tab):
    screen, tab = open_tab("swaras", (420, 560))
    assert tab.board.parent is tab.ids.column.__self__
    pane = tab.board.pane
    tab.ids.beside.to_top()
    frames(2)
    tab.ids.beside.scroll_to(pane, animate=False)
    frames(4)
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
