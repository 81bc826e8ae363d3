"""Questions of a teacher's deck at the window: several names at once, swaras, and silence."""

import pytest

from quizzes.decks.asking import entry_text
from quizzes.decks.deck import Asked, Before, Cue, Offered
from quizzes.decks.posed import Posed
from tests.quizzes.decks.made import DECK, choices
from tests.window.hands import key, tab_to, touch
from tests.window.practising import give, give_by_keys, main_plate
from tests.window.scripted import step
from tests.window.test_drill import texts_in

pytestmark = pytest.mark.window

PORTRAIT, LANDSCAPE = (600, 960), (1120, 760)
WIDE = Asked(
    "wide",
    "write-swaras",
    "Write the swaras from low to high.",
    "All",
    Cue(sargam="S R G"),
    lines=(" ".join(f"{letter}{mark}" for mark in (",", "", "'") for letter in "SRGmPDN"),),
)


def asked(entry_id, **more):
    skill = f"deck:mine:{entry_id}"
    return step(skill, deck=entry_text(DECK, skill), **more)


def plates(drill):
    return {plate.choice_id: plate for plate in drill.ids.choices.children}


@pytest.mark.parametrize("size", [PORTRAIT, LANDSCAPE])
def test_several_are_chosen_left_again_and_sent_together(ask, size):
    drill, session = ask(asked("stages"), size=size)
    assert drill.main_thing().disabled  # nothing is chosen yet
    touch(drill.main_thing())
    for name in ("alap", "drut-gat", "jor", "drut-gat", "tan-over-the-theka"):
        touch(plates(drill)[name])
    assert {name for name, plate in plates(drill).items() if plate.tick == "chosen"} == {
        "alap", "jor", "tan-over-the-theka",
    }  # fmt: skip
    assert session.given == []
    touch(drill.main_thing())
    order = [choice.id for choice in drill._step.question.choices]
    chosen = ["alap", "jor", "tan-over-the-theka"]
    assert session.given == [" ".join(sorted(chosen, key=order.index))]
    assert {name: plate.mark for name, plate in plates(drill).items()} == {
        "alap": "right",
        "jor": "right",
        "jhala": "was",
        "tan-over-the-theka": "otherwise",
        "drut-gat": "aside",
    }
    assert drill.verdict == "Partly right: 2 of 3 found, 1 too many"
    assert "The tabla joins with the gat." in texts_in(drill)


def test_several_are_answered_by_the_keyboard_too(ask):
    drill, session = ask(asked("stages"), asked("stages", seed=5))
    right = drill._step.question.right[0]
    give_by_keys(drill, right)
    assert session.given == [right]
    assert drill.verdict == "Right"
    key("enter")
    # And by walking to them.
    for name in drill._step.question.right[0].split():
        tab_to(lambda name=name: plates(drill)[name].focused)
        key("enter")
    tab_to(lambda: drill.main_thing().focused)
    key("enter")
    assert session.given[1] == drill._step.question.right[0]


def test_more_than_nine_names_are_chosen_by_letters(ask):
    names = choices(right=2, count=9)
    many = Asked(
        "many", "choose-several", "Which?", "Many", offered=(*names, Offered("Da"), Offered("Ra"))
    )
    drill, session = ask(step("deck:mine:many", deck=Posed(many).text))
    right = drill._step.question.right[0]
    give_by_keys(drill, right)
    assert session.given == [right]


def test_of_a_silent_question_there_is_nothing_to_listen_to(ask):
    drill, session = ask(asked("stages", new=True))
    told = texts_in(drill)
    assert "Nothing is asked yet." in told
    assert not {"Hear it again", "Listen again"} & set(told)
    touch(main_plate(drill))
    assert "Listen again" not in texts_in(drill)
    give(drill, drill._step.question.right[0])
    assert session.played == 2  # it counts as heard all the same
    assert not {"Listen again", "Slower"} & set(texts_in(drill))
    assert "Next" in texts_in(drill)


def test_a_right_order_is_shown_right_however_many_there_are(ask):
    things, pair = tuple("abcdefghi"), (Before("a", "i"),)
    many = Asked("many", "put-in-order", "?", "Many", things=things, before=pair)
    put = " ".join("hgfedcbai")  # one of 9!/2, and the question lists the first 1000
    drill, _ = ask(step("deck:mine:many", deck=Posed(many).text))
    drill.give(put)
    assert drill.verdict == "Right"
    assert all(place.was_right and place.given_right for place in drill.told)


def test_swaras_are_written_by_touch_and_by_their_letters_and_marks(ask):
    drill, session = ask(asked("write"), asked("write", seed=5))
    give(drill, "N, R G M D N S'")
    assert drill.verdict == "Right"
    key("enter")
    for letter in "NRGMDNS":
        key(letter)
        if letter == "N" and len(drill.writing.line) == 1:
            key(",")
    key("backspace")
    key("s")  # Sa has one form
    key("'")
    key("enter")
    assert session.given == ["N, R G M D N S'"] * 2


@pytest.mark.parametrize("size", [PORTRAIT, LANDSCAPE])
def test_a_pad_of_three_saptaks_is_all_in_reach(ask, size):
    drill, _ = ask(step("deck:mine:wide", deck=Posed(WIDE).text), size=size, text_size="largest")
    pad = drill.writing
    keys = pad.ids.grid.children
    assert len(keys) == 24
    for plate in (*keys, pad.ids.answer, pad.ids.back):
        x, y = plate.to_window(*plate.pos)
        assert x >= 0
        assert y >= 0
        assert x + plate.width <= size[0]
        assert y + plate.height <= size[1]
        assert min(plate.size) >= 47.9
