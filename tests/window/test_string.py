"""The string: touched, slid off, played by keys, and marked after the answer."""

from itertools import pairwise

import pytest

from tests.window.hands import Finger, frames, key, touch, touch_fret
from tests.window.scripted import FIVE, TWELVE, WIDE, step

pytestmark = pytest.mark.window

SIZES = [(600, 960), (960, 600)]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("text_size", ["usual", "largest"])
def test_every_touch_zone_is_at_least_48_dp_with_all_thirteen_frets(ask, size, text_size):
    drill, _ = ask(step("swara:P", met=TWELVE), size=size, text_size=text_size)
    pad = drill.pad
    narrowest = min((zone.end - zone.start) * pad.length_px for zone in pad.zones())
    assert len(pad.zones()) == 13
    assert narrowest >= 48
    assert min(pad.size) >= 48


@pytest.mark.parametrize(("size", "upright"), [((600, 960), True), ((960, 600), False)])
def test_the_string_fills_the_long_side_of_the_window(ask, size, upright):
    drill, _ = ask(step("swara:P", met=TWELVE), size=size)
    pad = drill.pad
    assert pad.upright is upright
    assert pad.length_px > 0.9 * max(size)


def test_the_nut_lies_above_or_to_the_left_and_to_the_right_for_the_left_hand(ask, open_app):
    drill, _ = ask(step("swara:P", met=TWELVE), size=(600, 960))
    assert drill.pad.along(0.0) > drill.pad.along(1.0)
    assert drill.pad.center_x > 300


def test_the_left_handed_string_is_mirrored(ask):
    drill, _ = ask(step("swara:P", met=TWELVE), size=(960, 600), left_handed=True)
    assert drill.pad.along(0.0) > drill.pad.along(1.0)


def test_the_left_handed_upright_string_stands_on_the_left(ask):
    drill, _ = ask(step("swara:P", met=TWELVE), size=(600, 960), left_handed=True)
    assert drill.pad.x == 0


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("left_handed", [False, True])
def test_a_touch_on_a_fret_answers_with_its_swara(ask, size, left_handed):
    swaras = ["S", "R", "P", "N", "S'"]
    steps = [step("swara:P", met=TWELVE)] * len(swaras)
    drill, session = ask(*steps, size=size, left_handed=left_handed)
    for number, swara in enumerate(swaras, 1):
        assert drill.stage == "asking"
        touch_fret(drill.pad, swara)
        assert session.given == swaras[:number]
        assert drill.stage == "answered"
        key("enter")


def test_a_finger_presses_the_string_and_answers_only_when_lifted(ask):
    drill, session = ask(step("swara:P", met=FIVE))
    finger = Finger(*drill.pad.middle_of("G")).go_down()
    frames(2)
    assert drill.pad.pressed == "G"
    assert session.given == []
    finger.come_up()
    assert session.given == ["G"]


def test_sliding_off_a_fret_takes_the_touch_back(ask):
    drill, session = ask(step("swara:P", met=FIVE))
    finger = Finger(*drill.pad.middle_of("G")).go_down()
    finger.slide_to(*drill.pad.middle_of("R"))
    frames(2)
    assert drill.pad.pressed == ""
    finger.come_up()
    frames(2)
    assert session.given == []
    assert drill.stage == "asking"


def test_a_second_finger_does_not_answer_while_the_first_is_down(ask):
    drill, session = ask(step("swara:P", met=FIVE))
    first = Finger(*drill.pad.middle_of("G")).go_down()
    second = Finger(*drill.pad.middle_of("R")).go_down()
    second.come_up()
    assert session.given == []
    first.come_up()
    assert session.given == ["G"]


def test_a_fret_not_offered_cannot_be_touched(ask):
    drill, _ = ask(step("swara:P", met=FIVE))
    with pytest.raises(KeyError):
        drill.pad.middle_of("r")
    # A touch where it would stand belongs to a neighbour that is offered.
    assert {str(zone.fret.swara) for zone in drill.pad.zones()} == set("SRGmP")


def test_after_the_answer_the_right_fret_is_marked_and_the_given_one(ask):
    drill, _ = ask(step("swara:P", met=FIVE))
    touch_fret(drill.pad, "m")
    assert (drill.pad.was, drill.pad.heard) == ("P", "m")


def test_a_right_answer_marks_one_fret_only(ask):
    drill, _ = ask(step("swara:P", met=FIVE))
    touch_fret(drill.pad, "P")
    assert (drill.pad.was, drill.pad.heard) == ("P", "")


def test_the_string_is_silent_to_touch_after_the_answer(ask):
    drill, session = ask(step("swara:P", met=FIVE))
    touch_fret(drill.pad, "m")
    touch_fret(drill.pad, "R")
    assert session.given == ["m"]


def test_a_letter_key_answers_with_its_swara_and_sa_and_pa_need_no_shift(ask):
    letters = ["r", "R", "g", "G", "m", "M", "P", "d", "D", "n", "N", "S", "s", "p"]
    swaras = [*letters[:-2], "S", "P"]
    drill, session = ask(*[step("swara:P", met=TWELVE)] * len(letters))
    for number, letter in enumerate(letters, 1):
        assert drill.stage == "asking"
        key(letter)
        assert session.given == swaras[:number]
        assert drill.stage == "answered"
        key("enter")


def test_an_apostrophe_before_s_means_the_upper_sa(ask):
    _, session = ask(step("swara:P", met=TWELVE))
    key("'")
    key("S")
    assert session.given == ["S'"]


def test_a_letter_of_a_fret_not_offered_does_nothing(ask):
    drill, session = ask(step("swara:P", met=FIVE))
    key("r")
    assert session.given == []
    assert drill.stage == "asking"


@pytest.mark.parametrize(("size", "forward"), [((600, 960), "down"), ((960, 600), "right")])
def test_arrows_walk_from_fret_to_fret_and_enter_answers(ask, size, forward):
    drill, session = ask(step("swara:P", met=FIVE), size=size)
    for _ in range(3):
        key(forward)
    assert drill.pad.at_key == "G"
    key("enter")
    assert session.given == ["G"]


def test_several_saptaks_are_chosen_by_a_row_of_large_targets(ask):
    drill, session = ask(step("swara:P", met=WIDE))
    row = drill.ids.saptaks
    assert [plate.text for plate in reversed(row.children)] == ["Mandra", "Madhya", "Tar"]
    assert all(min(plate.size) >= 48 for plate in row.children)
    mandra = row.children[-1]
    touch(mandra)
    assert drill.pad.octave == -1
    touch_fret(drill.pad, "N,")
    assert session.given == ["N,"]


def test_keys_reach_another_saptak(ask):
    _, session = ask(step("swara:P", met=WIDE))
    key("'")
    key("R")
    assert session.given == ["R'"]


def test_an_answer_in_another_saptak_shows_both_saptaks_in_words(ask):
    drill, _ = ask(step("swara:P", met=WIDE))
    key(",")
    key("N")
    frames(2)
    texts = {plate.text for plate in drill.ids.saptaks.children}
    assert texts == {"Mandra\nheard", "Madhya\nwas", "Tar"}
    assert drill.pad.octave == 0


def test_one_saptak_needs_no_row(ask):
    drill, _ = ask(step("swara:P", met=TWELVE))
    assert drill.ids.saptaks.disabled
    assert drill.ids.saptaks.right < 0


@pytest.mark.parametrize(
    ("size", "text_size"),
    [
        (size, text_size)
        for size in (*SIZES, (800, 1280), (1920, 1200))
        for text_size in ("usual", "large", "largest")
        if (size[0], text_size) != (1920, "largest")  # lies as the usual at half the size
    ],
)
def test_names_of_frets_stand_apart_and_inside_the_pad(ask, size, text_size):
    drill, _ = ask(step("swara:P", met=TWELVE), size=size, text_size=text_size)
    pad, boxes = drill.pad, drill.pad.text_boxes
    assert len(boxes) == 13
    for name, x, y, width, height in boxes:
        assert pad.x <= x, name
        assert x + width <= pad.right + 1, name
        assert pad.y <= y, name
        assert y + height <= pad.top + 1, name
    along = sorted((y, y + h) if pad.upright else (x, x + w) for _, x, y, w, h in boxes)
    for here, after in pairwise(along):
        assert here[1] <= after[0] + 1
