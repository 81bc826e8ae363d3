"""A line is written key by key, by touch and by the keyboard, mended, sent, and told in places."""

import pytest

from tests.window.hands import Finger, frames, key, tab_to, touch
from tests.window.practising import give, give_by_keys
from tests.window.scripted import GAPS, step
from tests.window.test_drill import plate, texts_in
from tests.window.written import BOLS, SWARA_LABELS, SWARAS, line_step

pytestmark = pytest.mark.window

EIGHT = "da dir da ra da ra dir chikari"


def pad_key(drill, key_id):
    return next(plate for plate in drill.writing.ids.grid.children if plate.key_id == key_id)


def written(drill):
    """The words in the places, from the left, and the shape of each place."""
    places = drill.writing.ids.places.children[::-1]
    return [place.text for place in places if place.text], [place.stage for place in places]


def tool(drill, words):
    return next(plate for plate in drill.writing.ids.tools.children if plate.text == words)


def told(drill):
    """Each row after the answer: whose it is, and (label, mark) of its places."""
    from screens.lines import ToldPlace, ToldRow

    rows = [row for row in drill.walk() if isinstance(row, ToldRow)]
    return [
        (row.head, [(p.text, p.mark) for p in row.children[::-1] if isinstance(p, ToldPlace)])
        for row in rows
    ]


def test_touched_keys_fill_the_places_from_the_left(ask):
    drill, _ = ask(line_step(EIGHT))
    for stroke in ["da", "dir", "da"]:
        touch(pad_key(drill, stroke))
    words, shapes = written(drill)
    assert words == ["da", "dir", "da"]
    assert shapes == ["written"] * 3 + ["next"] + ["open"] * 12


def test_nothing_is_answered_until_answer_is_touched(ask):
    drill, session = ask(line_step("da ra"))
    assert tool(drill, "Answer").disabled
    touch(tool(drill, "Answer"))
    touch(pad_key(drill, "da"))
    touch(pad_key(drill, "ra"))
    assert session.given == []
    touch(tool(drill, "Answer"))
    assert session.given == ["da ra"]
    assert drill.stage == "answered"


def test_take_back_empties_the_last_place_and_clear_all(ask):
    drill, _ = ask(line_step(EIGHT))
    for stroke in ["da", "dir", "ra"]:
        touch(pad_key(drill, stroke))
    touch(tool(drill, "Take back"))
    assert written(drill)[0] == ["da", "dir"]
    touch(tool(drill, "Clear"))
    assert written(drill)[0] == []
    assert tool(drill, "Take back").disabled
    assert tool(drill, "Clear").disabled


def test_two_fingers_may_overlap(ask):
    drill, _ = ask(line_step(EIGHT))
    first, second = pad_key(drill, "da"), pad_key(drill, "ra")
    one = Finger(*first.to_window(*first.center)).go_down()
    two = Finger(*second.to_window(*second.center)).go_down()
    frames(2)
    two.come_up()
    one.come_up()
    frames(2)
    assert written(drill)[0] == ["ra", "da"]


def test_a_finger_that_slides_off_its_key_writes_nothing(ask):
    drill, _ = ask(line_step(EIGHT))
    da = pad_key(drill, "da")
    x, y = da.to_window(*da.center)
    finger = Finger(x, y).go_down()
    frames(2)
    finger.slide_to(x, y + 300)
    finger.come_up()
    frames(2)
    assert written(drill)[0] == []


def test_no_more_is_written_than_there_are_places(ask):
    drill, session = ask(line_step("da ra da ra", places=4))
    for _ in range(6):
        touch(pad_key(drill, "da"))
        key("2")
    assert written(drill)[0] == ["da", "ra", "da", "ra"]
    assert pad_key(drill, "da").disabled
    key("enter")
    assert session.given == ["da ra da ra"]


def test_numbers_letters_backspace_and_enter_write_and_answer(ask):
    drill, session = ask(line_step("da ra chikari"))
    for name in ["1", "3", "backspace", "r", "c", "1", "backspace"]:
        key(name)
    assert written(drill)[0] == ["da", "ra", "chikari"]
    key("enter")
    assert session.given == ["da ra chikari"]
    assert drill.verdict == "Right"


def test_a_line_that_must_be_full_is_answered_only_when_it_is(ask):
    drill, session = ask(line_step("da ra da ra", places=4, fewest=4))
    for name in ["1", "2", "1"]:
        key(name)
    assert drill.writing.ids.answer.disabled
    key("enter")
    assert session.given == []
    key("2")
    key("enter")
    assert session.given == ["da ra da ra"]


def test_enter_answers_nothing_while_nothing_is_written(ask):
    drill, session = ask(line_step("da ra"))
    key("enter")
    key("backspace")
    assert session.given == []
    assert drill.stage == "asking"


def test_a_letter_with_which_two_keys_begin_writes_nothing(ask):
    drill, _ = ask(line_step("da ra"))
    key("d")
    assert written(drill)[0] == []


def test_space_plays_the_line_again_and_writes_nothing(ask):
    drill, session = ask(line_step("da ra"))
    key("1")
    key("space")
    assert session.played == 2
    assert written(drill)[0] == ["da"]


def test_every_key_is_reached_and_pressed_with_tab_and_enter(ask):
    drill, _ = ask(line_step("dha", BOLS, places=12))
    wanted = list(BOLS)
    for _ in range(40):
        key("tab")
        focused = [p.key_id for p in drill.writing.ids.grid.children if p.focused]
        if wanted and focused == wanted[:1]:
            key("enter")
            wanted.pop(0)
    assert written(drill)[0] == list(BOLS)


def test_the_arrow_down_walks_to_the_key_below(ask):
    drill, _ = ask(line_step("dha", BOLS, places=12))
    columns = drill.writing.ids.grid.cols
    assert columns > 1
    tab_to(lambda: pad_key(drill, BOLS[0]).focused)
    key("down")
    assert [p.key_id for p in drill.writing.ids.grid.children if p.focused] == [BOLS[columns]]
    key("up")
    assert [p.key_id for p in drill.writing.ids.grid.children if p.focused] == [BOLS[0]]


def test_after_a_written_letter_enter_sends_the_line_whatever_the_keys_stood_on(ask):
    drill, session = ask(line_step("da ra"))
    tab_to(lambda: pad_key(drill, "chikari").focused)
    key("1")
    key("enter")
    assert session.given == ["da"]


def test_a_slip_is_told_in_its_place_by_shape_and_shifts_nothing_else(ask):
    drill, _ = ask(line_step("da ra dir da"), size=(960, 600))
    for name in ["1", "3", "2"]:
        key(name)
    key("enter")
    frames(3)
    assert told(drill) == [
        ("It was", [("da", "right"), ("ra", "was"), ("dir", "right"), ("da", "was")]),
        ("You wrote", [("da", "right"), ("–", "otherwise"), ("dir", "right"), ("ra", "otherwise")]),
    ]


def test_a_key_too_many_has_no_place_in_the_line_that_was(ask):
    drill, _ = ask(line_step("da ra"))
    for name in ["1", "3", "2", "enter"]:
        key(name)
    frames(3)
    assert told(drill)[0] == ("It was", [("da", "right"), ("–", ""), ("ra", "right")])


def test_an_answer_right_in_part_is_told_with_its_share_and_a_shape_of_its_own(ask):
    drill, _ = ask(line_step(EIGHT))
    for name in ["1", "3", "1", "2", "1", "2", "enter"]:
        key(name)
    assert drill.verdict == "Partly right: 6 of 8"
    assert "Partly right: 6 of 8" in texts_in(drill)
    assert drill.verdict_mark == "partly"


def test_an_answer_without_credit_is_heard_otherwise(ask):
    drill, _ = ask(line_step("da ra"))
    key("c")
    key("enter")
    assert drill.verdict == "Heard otherwise"
    assert drill.verdict_mark == "otherwise"


def test_a_right_line_is_shown_once(ask):
    drill, _ = ask(line_step("da ra"))
    for name in ["1", "2", "enter"]:
        key(name)
    frames(3)
    assert told(drill) == [("It was", [("da", "right"), ("ra", "right")])]
    assert "You wrote" not in texts_in(drill)


def test_both_lines_can_be_heard(ask):
    drill, session = ask(line_step("da ra"))
    key("1")
    key("enter")
    frames(3)
    assert texts_in(drill).count("It was") == 1
    for text in ("Hear what it was", "Hear what you wrote"):
        touch(next(p for p in drill.walk() if getattr(p, "label", "") == text))
    assert (session.played_right, session.played_given) == (1, 1)


def test_turning_the_window_keeps_what_is_written(ask, window):
    drill, session = ask(line_step(EIGHT), size=(600, 960))
    touch(pad_key(drill, "da"))
    touch(pad_key(drill, "dir"))
    for size in [(960, 600), (1280, 800), (600, 960)]:
        window.size = size
        frames(6)
        assert written(drill)[0][:2] == ["da", "dir"]
        touch(pad_key(drill, "ra"))
    touch(tool(drill, "Answer"))
    assert session.given == ["da dir ra ra ra"]


def test_larger_text_keeps_what_is_written(ask):
    from screens.look import look

    drill, _ = ask(line_step(EIGHT))
    touch(pad_key(drill, "da"))
    look.text = 1.4
    frames(4)
    assert written(drill)[0] == ["da"]


def test_asking_whether_to_leave_and_staying_keeps_what_is_written(ask):
    drill, session = ask(line_step("da ra"))
    key("1")
    key("escape")
    key("2")
    assert written(drill)[0] == ["da"]
    touch(pad_key(drill, "ra"))  # beside the sheet, which that closes
    assert written(drill)[0] == ["da"]
    assert not drill.leaving
    key("2")
    key("enter")
    assert session.given == ["da ra"]


def test_a_new_line_is_presented_and_cannot_be_written_yet(ask):
    drill, session = ask(line_step("da ra", new=True))
    assert drill.stage == "new"
    assert drill.introduction in texts_in(drill)
    key("1")
    touch(plate(drill, "Ask me"))
    assert session.played == 2
    assert written(drill)[0] == []
    key("1")
    assert written(drill)[0] == ["da"]


def test_the_next_line_begins_empty_and_names_after_a_line_are_answered_as_ever(ask):
    drill, session = ask(line_step("da ra"), line_step("ra da"), step(GAPS[0], met=GAPS))
    for _ in range(2):
        assert written(drill)[0] == []
        key("1")
        key("enter")
        key("enter")
        frames(2)
    assert drill.answers_on == "choices"
    key("1")
    assert len(session.given) == 3


def test_an_answer_that_cannot_be_kept_stays_written(ask, monkeypatch):
    from scheduler import SchedulerError

    def full(given):
        raise SchedulerError("the disk is full")

    drill, session = ask(line_step("da ra"))
    key("1")
    with monkeypatch.context() as disk:
        disk.setattr(session, "answer", full)
        key("enter")
    assert "the disk is full" in texts_in(drill)[0]
    assert written(drill)[0] == ["da"]
    key("2")
    key("enter")
    assert session.given == ["da ra"]


@pytest.mark.parametrize("left_handed", [False, True])
def test_in_a_wide_window_the_pad_lies_under_the_hand_that_writes(ask, left_handed):
    drill, _ = ask(line_step(EIGHT), size=(960, 600), left_handed=left_handed)
    assert (drill.writing.center_x < 480) == left_handed
    answer, back = tool(drill, "Answer"), tool(drill, "Take back")
    assert (answer.x < back.x) == left_handed


def test_the_place_to_be_written_next_is_always_in_sight(ask):
    drill, _ = ask(
        line_step("S", SWARAS, places=15, labels=SWARA_LABELS),
        size=(960, 600),
        text_size="largest",
    )
    roll = drill.writing.ids.roll
    assert roll.height < drill.writing.ids.places.height
    for count in range(14):
        frames(2)
        place = drill.writing.ids.places.children[::-1][count]
        assert place.stage == "next"
        bottom = place.to_window(*place.pos)[1]
        assert roll.to_window(*roll.pos)[1] <= bottom + 1
        assert bottom + place.height <= roll.to_window(*roll.pos)[1] + roll.height + 1
        key("1")


def test_in_a_window_too_small_for_all_keys_they_roll_and_answer_stays_in_reach(ask):
    drill, session = ask(
        line_step("S", SWARAS, places=15, labels=SWARA_LABELS),
        size=(800, 480),
        text_size="largest",
    )
    pad = drill.writing
    assert pad.ids.grid.height > pad.ids.keys_roll.height
    tab_to(lambda: pad_key(drill, SWARAS[-1]).focused)
    frames(4)
    last = pad_key(drill, SWARAS[-1])
    assert last.to_window(*last.pos)[1] >= pad.ids.keys_roll.to_window(*pad.ids.keys_roll.pos)[1]
    touch(last)
    touch(tool(drill, "Answer"))
    assert session.given == [SWARAS[-1]]


def test_letters_write_swaras_as_they_do_on_the_string(ask):
    _, session = ask(line_step("S r R", SWARAS, places=15, labels=SWARA_LABELS))
    for name in ["s", "r", "R", "enter"]:
        key(name)
    assert session.given == ["S r R"]


REAL = "strokes:write:dir:8"


def test_a_line_of_the_right_hand_is_written_with_one_stroke_otherwise(ask):
    drill, session = ask(step(REAL, met=(REAL,)), size=(960, 600))
    line = drill._step.question.right[0].split()
    slipped = [*line[:4], "ra" if line[4] != "ra" else "da", *line[5:]]
    give(drill, " ".join(slipped[:-1]))
    assert session.given == []  # as many keys as the prompt says
    give(drill, slipped[-1])
    frames(3)
    assert session.given == [" ".join(slipped)]
    assert drill.verdict == "Partly right: 7 of 8"
    (_, was), (_, given) = told(drill)
    assert [label for label, _ in was] == line
    assert [label for label, mark in given if mark == "otherwise"] == [slipped[4]]


def test_a_line_of_the_right_hand_is_presented_asked_and_right(ask):
    drill, session = ask(step(REAL, new=True))
    key("enter")
    give_by_keys(drill, drill._step.question.right[0])
    assert drill.verdict == "Right"
    assert session.played == 2


def test_a_line_of_as_many_places_as_keys_may_have_a_key_twice(ask):
    drill, _ = ask(line_step("da ra", ("da", "ra"), places=2, fewest=2))
    for name in "11":
        key(name)
    assert drill.writing.line == ["da", "da"]
