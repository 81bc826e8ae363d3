"""What the pictures of so far show when they are really drawn: their pixels are looked at."""

from datetime import date, timedelta
from types import SimpleNamespace

import numpy as np
import pytest

from scheduler import Threshold
from tests.window.hands import frames

pytestmark = pytest.mark.window

SIDE = 60
MONDAY = date(2026, 11, 23)


@pytest.fixture(autouse=True)
def usual(window):
    """Everything at its usual size, for a right hand."""
    from screens.look import look

    look.text, look.by_keys, look.left_handed = 1.0, False, False
    window.size = (600, 600)
    frames(2)
    yield
    look.left_handed = False


def picture(widget):
    """A widget as (height, width, 3), 0 to 1, the top row first."""
    from kivy.graphics import ClearBuffers, ClearColor, Fbo, Translate

    from screens import theme

    width, height = map(round, widget.size)
    fbo = Fbo(size=(width, height), with_stencilbuffer=True)
    with fbo:
        ClearColor(*theme.GROUND)
        ClearBuffers()
        Translate(-widget.x, -widget.y)
    fbo.add(widget.canvas)
    fbo.draw()
    pixels = np.frombuffer(fbo.pixels, np.uint8).reshape(height, width, 4)
    fbo.remove(widget.canvas)
    return pixels[::-1, :, :3] / 255.0


def drawn(widget):
    widget._drawn()
    return picture(widget)


def like(pixels, colour, *, within=0.03):
    """Where pixels have this colour."""
    return np.abs(pixels - np.asarray(colour[:3])).max(axis=-1) < within


def runs_of(along):
    """How long each run of true values is."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], along.astype(int), [0]))))
    return list(edges[1::2] - edges[::2])


@pytest.fixture
def cells():
    """What each of six things was heard as: all of 40, or of 10, or a part of 40."""
    from screens.cells import Cells

    counts = {"aa": 40, "ba": 40, "cc": 10, "da": 10, "ea": 4, "ee": 36}
    asked = dict.fromkeys("abe", 40) | dict.fromkeys("cd", 10)
    shown = Cells(side=SIDE, size=(5 * SIDE, 5 * SIDE))
    matrix = SimpleNamespace(
        cells={tuple(cell): n for cell, n in counts.items()}, asked=asked, wrong=()
    )
    shown.show(matrix, tuple("abcde"))
    return shown


def test_a_disc_is_what_was_heard_right_a_tile_what_was_not_and_of_few_there_is_an_edge_only(cells):
    from screens import theme

    pixels = drawn(cells)

    def at(cell, x, y):
        """The colour so far from the middle of a cell, to the right and down."""
        row, column = ("abcde".index(thing) for thing in cell)
        return pixels[round((row + 0.5) * SIDE + y), round((column + 0.5) * SIDE + x)]

    right, wrong = (theme.WAS_GROUND, theme.WAS), (theme.OTHERWISE_GROUND, theme.OTHERWISE)
    for cell, (filling, edge), is_disc, is_hollow in (
        ("aa", right, True, False),
        ("ba", wrong, False, False),
        ("cc", right, True, True),
        ("da", wrong, False, True),
    ):
        ground = theme.PANEL if is_disc else theme.GROUND
        assert like(at(cell, 0, 20), ground if is_hollow else filling), cell
        assert like(at(cell, 0, 26), edge, within=0.12), cell
        assert like(at(cell, 19, 19), filling) == (not is_disc and not is_hollow), cell
    assert like(at("bb", 0, 20), theme.PANEL)  # in which nothing stands


def test_the_larger_a_share_the_larger_its_mark(cells):
    from screens import theme

    pixels = drawn(cells)
    often, seldom = (
        like(pixels[row * SIDE : (row + 1) * SIDE, :SIDE], theme.OTHERWISE_GROUND).sum()
        for row in (1, 4)
    )
    assert often > 2 * seldom > 0


def test_numbers_are_drawn_as_any_other_text_is():
    from kivy.core.text import Label
    from kivy.graphics import Color, Rectangle
    from kivy.uix.widget import Widget

    from screens import theme
    from screens.cell_marks import Digits

    ours, plain = Widget(size=(160, 40)), Widget(size=(160, 40))
    digits, text = Digits(theme.SANS, 20), Label("1029384756", font_name=theme.SANS, font_size=20)
    text.refresh()
    with ours.canvas:
        Color(*theme.INK)
        digits.placed([(1029384756, 80, 20)])
    with plain.canvas:
        Color(*theme.INK)
        width, height = text.texture.size
        corner = round(80 - width / 2), round(20 - height / 2)
        Rectangle(texture=text.texture, pos=corner, size=(width, height))
    one, other = (picture(each)[..., 0] for each in (ours, plain))
    assert other.std() > 0.1
    assert np.corrcoef(one.ravel(), other.ravel())[0, 1] > 0.9


def test_a_day_is_as_high_as_its_minutes_and_as_deep_as_its_questions():
    from practice.progress import DayDone
    from screens import theme
    from screens.day_bars import DayBars

    days = [(40, 30, 40.0), (80, 80, 20.0), (0, 0, 0.0), (20, 0, 5.0)]
    bars = DayBars(size=(400, 300))
    bars.show(
        tuple(
            DayDone(MONDAY + timedelta(days=at), asked, right, 0, minutes)
            for at, (asked, right, minutes) in enumerate(days)
        )
    )
    pixels = drawn(bars)
    middle = [round(bars._left + (at + 0.5) * bars._each) for at in range(4)]
    minutes, right, edge = (
        [int(like(pixels[:, x], colour).sum()) for x in middle]
        for colour in (theme.BRASS_DIM, theme.WAS, theme.FAINT_INK)
    )
    assert minutes == pytest.approx([minutes[0], minutes[0] / 2, 0, minutes[0] / 8], abs=2)
    assert right == pytest.approx([3 / 8 * right[1], right[1], 0, 0], abs=2)
    assert min(minutes[0], right[1]) > 80
    assert [count > 0 for count in edge] == [True, False, False, True]  # an edge and no filling
    assert max(edge) <= 4
    line = np.flatnonzero(like(pixels[:, middle[0]], theme.BRASS_DIM))[-1]
    below = np.flatnonzero(like(pixels[:, middle[0]], theme.WAS))
    assert below[0] - line < 5  # both ways from one line


def test_names_stand_beside_their_rows_and_upright_ones_are_read_from_below():
    from screens import theme
    from screens.heads import Heads

    rows, columns = Heads(size=(90, 120)), Heads(size=(40, 90))
    rows.show(["I", "Yaman", "I"], 40, "rows")
    columns.show(["Yaman"], 40, "upright")
    rows.pick(1)
    level, upright = drawn(rows), drawn(columns)
    ink = 1 - like(level, theme.GROUND, within=0.1)
    first, second, third = (ink[at * 40 : (at + 1) * 40].sum() for at in range(3))
    assert second > 3 * max(first, third) > 0
    assert like(level[40:80], theme.BRASS).any()
    assert not like(level[:40], theme.BRASS).any()
    # Turned by a quarter to the right, the upright name reads as the level one does.
    turned = np.rot90(upright, -1)[..., 1]
    found = [
        np.corrcoef(np.roll(turned, shift, axis=(0, 1)).ravel(), level[40:80, :, 1].ravel())[0, 1]
        for shift in ((dy, dx) for dy in range(-4, 5) for dx in range(0, 60))
    ]
    assert max(found) > 0.8


def point(at, level, trials):
    return SimpleNamespace(
        at=at, known=Threshold(level, level / 1.5, level * 1.5, trials), is_few=trials < 20
    )


def test_a_finer_threshold_stands_lower_and_one_of_few_answers_is_hollow():
    from screens import theme
    from screens.threshold_chart import ThresholdChart

    sunday = MONDAY - timedelta(days=1)
    points = (point(sunday - timedelta(weeks=3), 40.0, 12), point(sunday, 10.0, 60))
    chart = ThresholdChart(
        series=SimpleNamespace(points=points), today=MONDAY + timedelta(days=3), size=(400, 160)
    )
    pixels = drawn(chart)
    places = [(chart.x_of(each.at), 160 - chart.y_of(each.known.level)) for each in points]
    (early, high), (late, low) = places
    assert early < late
    assert high < low  # from the top on
    middles = [pixels[round(y), round(x)] for x, y in places]
    assert like(middles[1], theme.WAS)
    assert not like(middles[0], theme.WAS)
    band = like(pixels, theme.WAS_GROUND)
    spread = [np.flatnonzero(band[:, round(x)]) for x in (early + 8, late - 8)]
    assert spread[0].mean() < spread[1].mean()


@pytest.mark.parametrize("counts", [(3, 0, 0, 1), (1, 0, 0, 3), (0, 0, 0, 4)])
def test_a_bar_is_filled_as_far_as_skills_are_firm(counts):
    from screens import theme
    from screens.page_parts import StatesBar

    bar = StatesBar(counts=list(counts), size=(200, 12))
    bar._draw()
    assert like(picture(bar)[6], theme.INK).sum() == pytest.approx(50 * counts[0], abs=4)


def test_strokes_of_what_is_shaky_and_coming_are_broken_and_of_what_is_firm_whole():
    from screens import theme
    from screens.gaps_tab import StateSign

    pieces, breadth = {}, {}
    for state in ("shaky", "coming", "firm", "unheard"):
        pixels = drawn(StateSign(state=state, size=(46, 20)))
        inked = np.abs(pixels - np.asarray(theme.GROUND[:3])).max(axis=-1) > 0.05
        pieces[state] = len(runs_of(inked.any(axis=0)))
        breadth[state] = inked.any(axis=1).sum()
    assert pieces["firm"] == pieces["unheard"] == 1
    assert 1 < pieces["shaky"] < pieces["coming"]
    assert breadth["shaky"] > breadth["coming"] > breadth["unheard"]


@pytest.mark.parametrize("left_handed", [False, True])
def test_arcs_rise_from_the_string_on_the_side_of_the_hand(left_handed):
    from practice.gaps import gaps_of
    from screens.gap_arcs import GapArcs
    from screens.look import look
    from tests.practice.pages.stood import stood

    look.left_handed = left_handed
    gap = gaps_of(stood({"gap:S-P:up": "coming"}))[0]
    arcs = GapArcs(upright=True, gaps=(gap,), size=(360, 500))
    arcs._drawn()
    neck, line = arcs.pad, arcs.line_of(gap)
    assert (neck.x, neck.right)[not left_handed] == (arcs.x, arcs.right)[not left_handed]
    for x, _ in (line[0], line[-1]):
        assert neck.x < x < neck.right
    top = line[len(line) // 2][0]
    assert arcs.x < top < arcs.right
    assert (top > neck.right) if left_handed else (top < neck.x)
