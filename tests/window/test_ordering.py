"""Stages and other things are put in order by dragging and by the keyboard, and told in places."""

import pytest

from quizzes.stages.tradition import form
from tests.window.hands import Finger, frames, hold, key, touch, touch_at, wait_for
from tests.window.one_app import asking
from tests.window.practising import drag, give, give_by_keys
from tests.window.scripted import step
from tests.window.test_drill import texts_in
from tests.window.test_room import check, check_targets
from tests.window.test_writing import told
from tests.window.written import ORDER, PAIRS, STAGES, TURNS, order_step

pytestmark = pytest.mark.window

SIX = "order:performance:6"


@pytest.fixture(scope="module")
def ask(window, tmp_path_factory):
    with asking(tmp_path_factory.mktemp("student")) as ask:
        yield ask


def plates(drill):
    return {plate.key_id: plate for plate in drill.ordering.ids.places.children}


def grip(drill, key_id):
    part = plates(drill)[key_id].ids.grip
    return part.to_window(*part.center)


def from_above(drill):
    """The labels and numbers of the plates as they stand, from above."""
    standing = sorted(plates(drill).values(), key=lambda plate: -plate.y)
    return [(plate.number, plate.label) for plate in standing]


def with_one_pair_broken(question):
    """An order that is right but for two neighbours, and their names."""
    order = form(question.setting.tradition).order
    right = question.written(question.right[0])
    for at in range(len(right) - 1):
        line = [*right[:at], right[at + 1], right[at], *right[at + 2 :]]
        if len(order.broken(line)) == 1:
            return " ".join(line), [question.choice(right[at + far]).label for far in (0, 1)]
    raise AssertionError(f"no neighbours of {right} have to stay so")


@pytest.mark.parametrize(
    ("answer", "size", "seed"), [(give, (600, 960), 5), (give_by_keys, (960, 600), 6)]
)
def test_six_stages_put_in_order_get_part_credit_and_the_broken_pair_is_told(
    ask, answer, size, seed
):
    drill, session = ask(step(SIX, seed=seed), size=size)
    question = drill._step.question
    assert [label for _, label in from_above(drill)] == [c.label for c in question.choices]
    slipped, names = with_one_pair_broken(question)
    answer(drill, slipped)
    frames(2)
    assert session.given == [slipped]
    assert (drill.stage, drill.verdict_mark) == ("answered", "partly")
    assert drill.verdict == "Partly right: 14 of 15 pairs in order"
    lines = [text for text in texts_in(drill) if all(n.lower() in text.lower() for n in names)]
    assert lines, (names, texts_in(drill))
    assert drill.explained.splitlines()[0] in lines


def test_the_others_make_room_for_what_is_dragged_and_outside_it_returns(ask):
    drill, session = ask(order_step(TURNS))
    offered = list(drill.ordering.line)
    finger = Finger(*grip(drill, offered[0])).go_down()
    assert plates(drill)[offered[0]].lifted
    x, y = grip(drill, offered[2])
    finger.slide_to(x, y)
    assert drill.ordering.line == [*offered[1:3], offered[0], offered[3]]
    assert [number for number, _ in from_above(drill)] == [1, 2, 3, 4]
    finger.slide_to(x, 5)
    finger.come_up()
    assert drill.ordering.line == offered
    assert not drill.ordering.lifted
    drag(drill.ordering, offered[3], offered[0])
    assert drill.ordering.line == [offered[3], *offered[:3]]
    touch(drill.ordering.ids.answer)
    assert session.given == [" ".join([offered[3], *offered[:3]])]


def test_who_cannot_drag_touches_a_plate_and_then_its_place(ask):
    drill, _ = ask(order_step(TURNS))
    offered = list(drill.ordering.line)
    places = {number: grip(drill, key_id) for number, key_id in enumerate(offered, 1)}
    touch_at(*places[4])
    assert drill.ordering.lifted == offered[3]
    touch_at(*places[2])
    assert drill.ordering.line == [offered[0], offered[3], *offered[1:3]]
    touch_at(*places[1])
    touch_at(*places[1])
    assert drill.ordering.line == [offered[0], offered[3], *offered[1:3]]
    assert not drill.ordering.lifted


def test_arrows_walk_and_carry_escape_puts_back_and_enter_sends(ask):
    drill, session = ask(order_step(TURNS))
    offered = list(drill.ordering.line)
    for name in ("down", "down", "space", "down", "down", "down"):
        key(name)
    assert drill.ordering.line == [offered[0], *offered[2:], offered[1]]
    key("escape")
    assert drill.ordering.line == offered
    assert not drill.leaving
    for name in ("enter", "up", "enter"):
        key(name)
    moved = [offered[1], offered[0], *offered[2:]]
    assert (drill.ordering.line, drill.ordering.lifted) == (moved, "")
    assert session.played == 1  # the space was meant for the plate
    for name in ("down", "down", "down", "down", "enter"):
        key(name)  # beyond the last plate stands Answer
    assert session.given == [" ".join(moved)]


def test_numbers_lift_and_place_and_leaving_waits_for_neither(ask):
    drill, session = ask(order_step(TURNS))
    offered = list(drill.ordering.line)
    key("3")
    key("escape")
    key("escape")
    assert drill.leaving
    key("1")
    finger = Finger(*grip(drill, offered[0])).go_down()
    finger.slide_to(*grip(drill, offered[2]))
    finger.come_up()
    assert (drill.ordering.line, drill.ordering.lifted) == (offered, "")
    assert not drill.leaving  # a finger beside what is asked stays, and moves nothing
    for name in ("9", "4", "1", "enter"):
        key(name)
    assert session.given == [" ".join([offered[3], *offered[:3]])]


def test_leave_asks_at_once_and_who_stays_finds_what_is_lifted(ask):
    drill, _ = ask(order_step(TURNS))
    offered = list(drill.ordering.line)
    touch_at(*grip(drill, offered[2]))
    touch(drill.ids.leave)
    assert drill.leaving
    touch(drill.ids.leave)
    touch_at(*grip(drill, offered[0]))
    assert drill.ordering.line == [offered[2], *offered[:2], offered[3]]


def test_who_taps_answer_twice_or_holds_enter_is_still_told(ask):
    drill, _ = ask(*[order_step(STAGES)] * 2, size=(1120, 760))
    answer = drill.ordering.ids.answer
    x, y = answer.to_window(answer.right, answer.center_y)
    touch_at(x - 150, y)
    assert drill.stage == "answered"
    second = Finger(x - 150, y)
    second.is_double_tap = True  # as Kivy says of a touch so soon after another in its place
    second.go_down().come_up()
    frames(2)
    assert drill.stage == "answered"
    touch_at(x - 150, y)  # by now it is meant for Next, which stands there
    assert drill.stage == "asking"
    hold("enter", 4)
    assert drill.stage == "answered"
    key("enter")
    assert drill.stage == "waiting"


def test_what_was_put_can_be_heard_before_a_long_reason(ask):
    from screens.widgets import AnswerPlate

    drill, _ = ask(order_step(STAGES, why=PAIRS * 4))
    keys = list(STAGES)
    drill.give(" ".join([*keys[1:], keys[0]]))
    frames(4)
    roll = drill.ids.roll
    plates_heard = [
        part for part in drill.ids.words.walk(restrict=True) if isinstance(part, AnswerPlate)
    ]
    assert len(plates_heard) == 2
    assert all(part.to_window(*part.pos)[1] >= roll.y for part in plates_heard)
    assert roll.height < drill.ids.words.height  # and the reason can be rolled to


def test_what_comes_after_something_rolled_down_begins_at_its_top(ask):
    steps = [order_step(STAGES, why=PAIRS, new=True) for _ in range(2)]
    drill, _ = ask(*steps, size=(960, 600), text_size="largest")
    roll = drill.ids.roll
    for stage in ("new", "asking", "answered", "new"):
        frames(5)
        assert (drill.stage, roll.scroll_y) == (stage, 1.0)
        for _ in range(9):
            key("pagedown")
        if stage == "answered":
            assert roll.scroll_y < 0.1
        key("enter")


def test_a_list_longer_than_its_room_rolls_by_itself_under_what_is_dragged(ask):
    drill, _ = ask(order_step(STAGES), size=(960, 600), text_size="largest")
    ordering, roll = drill.ordering, drill.ordering.ids.roll
    offered = list(ordering.line)
    assert ordering.ids.places.height > roll.height + 40
    x, y = grip(drill, offered[1])
    finger = Finger(x, y).go_down()
    finger.slide_to(x, roll.to_window(*roll.pos)[1] + 2)
    wait_for(lambda: roll.scroll_y == 0.0, what="the end of the list")
    finger.come_up()
    assert ordering.line == [offered[0], *offered[2:], offered[1]]
    for name in ("1", "1"):
        key(name)
    assert roll.scroll_y == 1.0  # what the keys stand on is brought into view


def test_of_several_right_orders_the_nearest_is_shown_as_one_that_could_be(ask):
    keys = list(TURNS)
    also = " ".join([keys[1], keys[0], *keys[2:]])
    drill, _ = ask(order_step(TURNS, also=(also,)), order_step(TURNS, also=(also,)))
    drill.give(" ".join([keys[1], keys[0], keys[3], keys[2]]))
    frames(3)
    assert "It was" not in texts_in(drill)
    labels = [TURNS[each] for each in also.split()]
    standing = dict(told(drill)).get("Could be") or [row[1][0] for row in told(drill)]
    assert [label for label, _ in standing][:2] == labels[:2]
    drill.next()
    frames(2)
    drill.give(also)
    frames(3)
    assert drill.verdict == "Right"
    assert not {"It was", "Could be"} & set(texts_in(drill))


def test_a_misplaced_order_is_told_place_by_place_with_what_keeps_its_order(ask):
    drill, _ = ask(order_step(TURNS))
    drill.give("rise fall bend rest")
    frames(3)
    assert drill.verdict == "Partly right: 5 of 6 pairs in order"
    marks = [mark for head, places in told(drill) if head == "You put" for _, mark in places]
    assert sorted(marks[1:3]) == ["otherwise", "right"]
    assert marks[::3] == ["right", "right"]


def test_long_names_stand_one_below_the_other_where_hardly_two_fit_beside_each_other(ask):
    from screens.lines import ToldPlace

    drill, _ = ask(order_step(ORDER), text_size="largest")
    keys = list(ORDER)
    drill.give(" ".join([*keys[1:], keys[0]]))
    frames(5)
    shown = [place for place in drill.walk() if isinstance(place, ToldPlace)]
    was, given = shown[::2], shown[1::2]
    assert [place.text for place in was] == list(ORDER.values())
    assert len({place.x for place in was}) == len({place.x for place in given}) == 1
    assert {"It was", "You put"} <= set(texts_in(drill))


SHAPES = [
    ((600, 960), "largest", True),
    ((960, 600), "largest", False),
    ((2560, 1600), "large", True),
]


def in_shapes(shapes):
    return pytest.mark.parametrize(("size", "text_size", "left_handed"), shapes)


def go_through(drill, names, given):
    """New, asked, while it is answered by some keys, and told from top to end."""
    check(drill)
    drill.ask_me()
    frames(3)
    check(drill)
    check_targets(drill)
    for name in names:
        key(name)
    check(drill)
    drill.give(given)
    frames(4)
    check(drill)
    drill.ids.roll.scroll_y = 0.0
    frames(2)
    check(drill)
    check_targets(drill)


@in_shapes(SHAPES)
def test_an_order_of_long_names_has_room_through_all_its_stages(ask, size, text_size, left_handed):
    also = " ".join(list(STAGES)[::-1])
    asked = order_step(STAGES, why=PAIRS, also=(also,), new=True)
    drill, _ = ask(asked, size=size, text_size=text_size, left_handed=left_handed)
    go_through(drill, "413", " ".join([*list(STAGES)[1:], "alap-mandra"]))
