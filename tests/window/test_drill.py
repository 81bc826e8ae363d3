"""The drill: new things first heard and read, answers by touch and key, and a way out."""

from dataclasses import replace

import pytest

from tests.window.hands import frames, key, tab_to, touch, wait_for
from tests.window.scripted import FIVE, GAPS, WIDE, step
from tests.window.written import name_step

pytestmark = pytest.mark.window


def texts_in(widget):
    return [part.text for part in widget.walk() if getattr(part, "text", "")]


def plate(screen, text):
    """The one touchable thing with this text."""
    found = [
        part
        for part in screen.walk()
        if hasattr(part, "press")
        and text in (getattr(part, "text", ""), getattr(part, "label", ""))
    ]
    assert len(found) == 1, (text, found)
    return found[0]


def test_a_question_sounds_as_soon_as_it_is_shown(ask):
    _, session = ask(step(GAPS[0], met=GAPS))
    assert session.played == 1


@pytest.mark.parametrize(
    ("once_more", "title"), [(False, "Something new"), (True, "Once more")], ids=str
)
def test_a_new_skill_is_presented_before_it_is_asked(ask, once_more, title):
    drill, session = ask(replace(step(GAPS[0], met=GAPS, new=True), once_more=once_more))
    assert drill.stage == "new"
    assert drill.introduction in texts_in(drill)
    assert title in texts_in(drill)
    assert drill.ids.choices_roll.disabled
    key("1")
    assert session.given == []


def test_a_new_note_is_shown_on_the_string_and_no_longer_when_asked(ask):
    drill, session = ask(step("swara:G", met=FIVE, new=True))
    assert drill.pad.shown == "G"
    touch(plate(drill, "Ask me"))
    assert drill.pad.shown == ""
    assert drill.stage == "asking"
    assert session.played == 2


def test_a_touch_on_a_name_answers(ask):
    drill, session = ask(step(GAPS[0], met=GAPS))
    chosen = drill.ids.choices.children[0]
    touch(chosen)
    assert session.given == [chosen.choice_id]


@pytest.mark.parametrize("number", ["1", "2", "3"])
def test_a_number_key_answers(ask, number):
    drill, session = ask(step(GAPS[0], met=GAPS))
    wanted = next(p.choice_id for p in drill.ids.choices.children if p.key == number)
    key(number)
    assert session.given == [wanted]


def test_many_short_names_stand_in_two_columns_and_are_marked_by_shape_alone(ask):
    drill, session = ask(name_step("Which matra?", [f"Matra {n}" for n in range(1, 9)]))
    plates = drill.ids.choices.children[::-1]
    assert plates[0].y == plates[1].y > plates[2].y
    key("8")
    frames(2)
    assert session.given == ["7"]
    assert [plate.mark for plate in plates] == ["was", *["aside"] * 6, "otherwise"]
    assert "heard" not in texts_in(drill)


@pytest.mark.parametrize(
    "labels", [["Sa", "Re", "Ga"], [f"{n} is quite a long name" for n in "12345678"]]
)
def test_few_names_and_long_names_stand_in_one_column(ask, labels):
    drill, _ = ask(name_step("Which?", labels), size=(960, 600))
    assert len({plate.x for plate in drill.ids.choices.children}) == 1


@pytest.mark.parametrize(
    ("label", "beside"), [("Matra 1", True), ("A long name of many words " * 3, False)]
)
def test_what_was_and_what_was_heard_stand_side_by_side_unless_they_are_long(ask, label, beside):
    drill, _ = ask(name_step("Which?", [label, "Matra 2"]))
    key("2")
    frames(3)
    pair = [p for p in drill.walk() if getattr(p, "word", "") in ("It was", "You heard")]
    assert (pair[0].y == pair[1].y) == beside


def test_tab_and_enter_answer_too(ask):
    drill, session = ask(step(GAPS[0], met=GAPS))
    for _ in range(10):
        key("tab")
        if any(p.focused and p.key == "2" for p in drill.ids.choices.children):
            break
    key("enter")
    wanted = next(p.choice_id for p in drill.ids.choices.children if p.key == "2")
    assert session.given == [wanted]


def test_a_wrong_answer_is_told_by_word_shape_and_both_sounds(ask):
    drill, session = ask(step(GAPS[0], met=GAPS))
    wrong = next(
        c for c in drill.ids.choices.children if c.choice_id not in drill._step.question.right
    )
    touch(wrong)
    frames(2)
    marks = {p.choice_id: p.mark for p in drill.ids.choices.children}
    assert marks[wrong.choice_id] == "otherwise"
    assert marks[drill._step.question.right[0]] == "was"
    assert "Heard otherwise" in texts_in(drill)
    assert {"was", "heard", "It was", "You heard"} <= set(texts_in(drill))
    pair = [p for p in drill.walk() if hasattr(p, "word") and p.word in ("It was", "You heard")]
    for answer in pair:
        touch(answer)
    assert (session.played_right, session.played_given) == (1, 1)


def test_a_right_answer_is_told_by_word_and_shape(ask):
    drill, _ = ask(step(GAPS[0], met=GAPS))
    right = drill._step.question.right[0]
    touch(next(c for c in drill.ids.choices.children if c.choice_id == right))
    frames(2)
    assert "Right" in texts_in(drill)
    assert drill.verdict_mark == "right"
    assert "You heard" not in texts_in(drill)


def test_the_explanation_stays_until_next_is_touched(ask):
    drill, _ = ask(step(GAPS[0], met=GAPS), step(GAPS[1], met=GAPS))
    key("1")
    assert drill.explained in texts_in(drill)
    frames(30)
    assert drill.stage == "answered"
    touch(plate(drill, "Next"))
    frames(2)
    assert drill.stage == "asking"


def test_why_it_is_asked_is_told_only_after_the_answer(ask):
    # "missed a moment ago" or "heard as Ga" before it would be half of the answer.
    drill, _ = ask(step(GAPS[0], met=GAPS))
    assert not any(drill.why in text for text in texts_in(drill))
    key("1")
    assert any(drill.why in text for text in texts_in(drill))


def test_an_answer_is_taken_once(ask):
    _, session = ask(step(GAPS[0], met=GAPS), step(GAPS[1], met=GAPS))
    key("1")
    key("2")
    assert len(session.given) == 1


def test_choices_stay_where_they_are_when_the_answer_is_given(ask):
    drill, _ = ask(step(GAPS[0], met=GAPS))
    before = {p.choice_id: p.to_window(*p.pos) for p in drill.ids.choices.children}
    key("1")
    frames(4)
    assert {p.choice_id: p.to_window(*p.pos) for p in drill.ids.choices.children} == before


def test_space_plays_the_cue_again_whatever_is_focused(ask):
    _, session = ask(step(GAPS[0], met=GAPS))
    key("tab")
    key("space")
    assert session.played == 2
    assert session.given == []


def test_enter_goes_on_after_the_answer(ask):
    drill, _ = ask(step(GAPS[0], met=GAPS), step(GAPS[1], met=GAPS))
    key("1")
    key("enter")
    frames(2)
    assert drill.stage == "asking"


def test_enter_alone_answers_nothing(ask):
    _, session = ask(step(GAPS[0], met=GAPS))
    key("enter")
    assert session.given == []


def test_escape_asks_before_leaving_and_again_stays(ask):
    drill, session = ask(step(GAPS[0], met=GAPS))
    key("escape")
    assert drill.leaving
    assert session.hushed == 1
    assert "End it" in texts_in(drill)
    key("1")
    assert session.given == []
    key("escape")
    assert not drill.leaving
    key("1")
    assert len(session.given) == 1
    assert not session.ended


def test_enter_while_leaving_stays(ask):
    drill, session = ask(step(GAPS[0], met=GAPS))
    key("escape")
    key("enter")
    assert not drill.leaving
    assert not session.ended


def test_the_string_can_be_answered_on_after_staying(ask):
    drill, session = ask(step("swara:G", met=FIVE))
    key("escape")
    key("G")
    assert session.given == []
    key("escape")
    key("G")
    assert session.given == ["G"]
    assert drill.stage == "answered"


def test_end_it_ends_the_session(ask):
    drill, session = ask(step(GAPS[0], met=GAPS))
    key("1")
    key("escape")
    touch(plate(drill, "End it"))
    assert session.ended
    assert drill.manager.current == "summary"


def test_leaving_before_any_answer_leads_back_to_the_start(ask):
    drill, _ = ask(step(GAPS[0], met=GAPS))
    key("escape")
    touch(plate(drill, "End it"))
    assert drill.manager.current == "practice"


def test_the_end_of_the_time_leads_to_the_summary(ask):
    drill, session = ask(step(GAPS[0], met=GAPS))
    key("1")
    key("enter")
    frames(2)
    assert session.ended
    assert drill.manager.current == "summary"


def test_a_question_that_is_late_is_announced_and_then_shown(ask):
    drill, session = ask(step(GAPS[0], met=GAPS), step(GAPS[1], met=GAPS))
    key("1")
    session.ready = False
    drill.next()
    drill._look_for_next(0.3)
    frames(2)
    assert any("tuned" in text for text in texts_in(drill))
    session.ready = True
    drill._look_for_next(0.1)
    assert drill.stage == "asking"


def test_after_an_answer_the_keys_walk_past_the_string(ask):
    from screens.keys import focused_in

    drill, _ = ask(step("swara:G", met=FIVE), step("swara:P", met=FIVE))
    key("G")
    for _ in range(6):
        key("tab")
        assert focused_in(drill) is not drill.pad
        assert focused_in(drill) is not None


def test_the_keys_stand_on_a_fret_in_sight_as_soon_as_they_reach_the_string(ask):
    drill, session = ask(step("swara:G", met=FIVE))
    tab_to(lambda: drill.pad.focused)
    assert drill.pad.at_key in {str(fret.swara) for fret in drill.pad.offered()}
    key("enter")
    assert len(session.given) == 1


def test_another_saptak_takes_the_keys_along(ask):
    drill, _ = ask(step("swara:G", met=WIDE))
    tab_to(lambda: drill.pad.focused)
    drill.pad.octave = 1
    assert drill.pad.at_key in {str(fret.swara) for fret in drill.pad.offered()}


def test_while_leaving_the_keys_walk_past_the_answers(ask):
    from screens.keys import things_in
    from screens.widgets import ChoicePlate

    drill, _ = ask(step(GAPS[0], met=GAPS))
    key("escape")
    assert not [thing for thing in things_in(drill) if isinstance(thing, ChoicePlate)]
    key("escape")
    assert [thing for thing in things_in(drill) if isinstance(thing, ChoicePlate)]


def test_no_ring_stays_on_the_name_that_was_answered_with(ask):
    drill, _ = ask(step(GAPS[0], met=GAPS))
    tab_to(lambda: any(plate.focused for plate in drill.ids.choices.children))
    key("enter")
    assert drill.stage == "answered"
    assert not any(plate.focused for plate in drill.ids.choices.children)


def words_in_sight(screen):
    """All text that lies in the window, not rolled away."""
    from tests.window.test_room import seen

    return [label.text for label, _ in seen(screen)]


def test_that_nothing_can_be_heard_is_in_sight_in_every_stage(ask):
    drill, _ = ask(step(GAPS[0], met=GAPS, new=True), step(GAPS[1], met=GAPS))
    drill._read_trouble = lambda: "No sound device was found."
    drill.listen()
    stages = []
    for name in ("enter", "1", "enter"):
        frames(3)
        stages.append(drill.stage)
        assert "No sound device was found." in words_in_sight(drill)
        key(name)
    assert stages == ["new", "asking", "answered"]


def test_a_device_that_fails_later_is_told_without_a_touch(ask):
    drill, _ = ask(step(GAPS[0], met=GAPS))
    drill._read_trouble = lambda: "The device went away."
    wait_for(lambda: "The device went away." in words_in_sight(drill), what="the word of it")


@pytest.mark.parametrize("size", [(600, 960), (960, 600)])
def test_without_sound_the_first_screen_says_so_before_begin(open_app, monkeypatch, size):
    from practice import Practice

    silent = "No sound device was found, so nothing can be heard. Connect headphones."
    monkeypatch.setattr(Practice, "sound_trouble", silent)
    first = open_app(size, text_size="largest").manager.get_screen("practice")
    assert silent in words_in_sight(first)
