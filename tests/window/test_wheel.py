"""A matra is chosen on the wheel by touch and by keys; the wheel lights up in time with the sound
and shows what was and what was answered."""

import time
from dataclasses import replace
from fractions import Fraction

import pytest

from audio.speakers import Playing
from quizzes.explanation import Explanation
from quizzes.wheel import Turning, Wheel
from tests.window import written
from tests.window.hands import Finger, frames, key, tab_to, touch, touch_at, wait_for
from tests.window.one_app import asking
from tests.window.practising import give, give_by_keys
from tests.window.scripted import step
from tests.window.test_ordering import in_shapes
from tests.window.test_room import check, check_targets
from tests.window.wheels import (
    BLIND,
    LEAD_S,
    LONGEST,
    PER_MIN,
    SPANNED,
    TINTAL,
    WOUND,
    cue,
    second_of,
    turning,
)
from tests.window.written import PAIRS, wheel_step

pytestmark = pytest.mark.window

STEP_S = 60 / float(PER_MIN)
PLAIN = Wheel(TINTAL)
TURNING = Wheel(TINTAL, turning=turning(16))


@pytest.fixture(scope="module")
def ask(window, tmp_path_factory):
    with asking(tmp_path_factory.mktemp("student")) as ask:
        yield ask


def at(drill, matra):
    """The point of the window where a matra stands."""
    face = drill.wheel.ids.face
    return face.to_window(*face.point_of(matra))


def sound(session, play, matras, cue):
    """Let what is played have come so many matras far in its cue, and hold it there for a frame."""
    session.playing = Playing(time.monotonic() + cue.duration_s - LEAD_S - matras * STEP_S)
    play()
    frames(1)


def check_face(drill):
    """No word of the wheel leaves it or lies over another, and no number over a point."""
    face = drill.wheel.ids.face
    drawn = face.face
    boxes = drawn.boxes
    assert boxes
    for number, (text, x, y, width, height) in enumerate(boxes):
        # The lines of a font stand apart by more than its letters are high.
        low, high = y + 0.12 * height, y + 0.88 * height
        assert face.x - 1 <= x <= x + width <= face.right + 1, text
        assert face.y - 1 <= low <= high <= face.top + 1, text
        for other, ox, oy, owidth, oheight in boxes[number + 1 :]:
            beside = x + width <= ox + 1 or ox + owidth <= x + 1
            above = high <= oy + 0.12 * oheight or oy + 0.88 * oheight <= low
            assert beside or above, (text, other)
        for matra in range(1, drawn.wheel.matras + 1):
            px, py = drawn.point(matra)
            near = x - 1 < px < x + width + 1 and low - 1 < py < high + 1
            assert not near, (text, matra)


def test_a_matra_is_touched_slid_from_and_sent(ask):
    drill, session = ask(wheel_step(PLAIN, 9))
    answer = drill.wheel.ids.answer
    touch(answer)
    assert session.given == []
    finger = Finger(*at(drill, 8)).go_down()
    assert answer.text == "Answer: matra 8"
    finger.slide_to(*at(drill, 9))
    assert answer.text == "Answer: matra 9, khali"
    x, y = at(drill, 1)
    finger.slide_to(x, y - drill.wheel.ids.face.height / 2)  # the hub changes nothing
    finger.come_up()
    frames(2)
    assert session.given == []
    assert answer.text == "Answer: matra 9, khali"
    touch(answer)
    assert session.given == ["9"]
    assert drill.verdict == "Right"


@pytest.mark.parametrize("wheel", [Wheel(LONGEST), BLIND], ids=["eighteen", "blind"])
def test_every_matra_is_found_where_it_is_drawn(ask, wheel):
    drill, _ = ask(wheel_step(wheel, 1))
    for matra in range(1, wheel.matras + 1):
        Finger(*at(drill, matra)).go_down().come_up()
        assert drill.wheel.ids.face.chosen == matra
    touch_at(*drill.wheel.ids.face.to_window(*drill.wheel.ids.face.center))
    assert drill.wheel.ids.face.chosen == wheel.matras


def test_tab_comes_to_the_wheel_and_enter_sends_what_was_chosen_there(ask):
    drill, session = ask(step("sam:mark:tintal"))
    face = drill.wheel.ids.face
    tab_to(lambda: face.focused)
    key("right")
    key("right")
    assert face.focused
    key("enter")
    assert session.given == ["2"]
    assert not face.focused


def test_arrows_walk_round_digits_choose_and_enter_sends(ask):
    drill, session = ask(wheel_step(PLAIN, 9), size=(960, 600))
    face = drill.wheel.ids.face
    chosen = []
    for name in (
        "left",
        "right",
        "down",
        "up",
        "up",
        "1",
        "2",
        "9",
        "1",
        "right",
        "7",
        "backspace",
    ):
        key(name)
        chosen.append(int(face.chosen))
    # 1 and 2 are twelve; of 12 and 9, 129 is no matra, so that 9 begins anew, as does 1 after it.
    assert chosen == [16, 1, 2, 1, 16, 1, 12, 9, 1, 2, 7, 0]
    key("enter")
    assert session.given == []
    key("1")
    key("0")
    key("enter")
    assert session.given == ["10"]


def test_a_student_answers_by_touch_and_by_keys(ask):
    for answer in (give, give_by_keys):
        drill, session = ask(wheel_step(BLIND, 13, told=TURNING))
        answer(drill, "13")
        assert session.given == ["13"]


def test_nothing_is_chosen_before_it_is_asked_nor_after_the_answer(ask):
    drill, session = ask(wheel_step(PLAIN, 9, new=True, told=PLAIN), wheel_step(PLAIN, 3))
    face = drill.wheel.ids.face
    touch_at(*at(drill, 5))  # what is shown of the new skill is only looked at
    assert (face.wheel, face.chosen) == (PLAIN, 0)
    key("5")
    assert face.chosen == 0
    drill.ask_me()
    frames(3)
    key("5")
    key("enter")
    frames(4)
    assert session.given == ["5"]
    assert (face.was, face.given) == ([9], 5)
    touch_at(*at(drill, 7))
    assert face.chosen == 0
    assert session.given == ["5"]
    drill.next()
    frames(3)
    assert (face.was, face.given, face.chosen) == ([], 0, 0)


# Light.


@pytest.mark.parametrize(
    ("wheel", "matras", "lit"),
    [(TURNING, 5.5, 6), (BLIND, 5.5, 6), (replace(BLIND, blind=False), 5.5, 10)],
    ids=["named", "blind", "from matra 5"],
)
def test_the_matra_that_sounds_is_lit_while_it_is_asked(ask, wheel, matras, lit):
    sounds = cue(16)
    drill, session = ask(wheel_step(wheel, 1, cue=sounds))
    face = drill.wheel.ids.face
    assert face.lit == 0
    sound(session, drill.listen, matras, sounds)
    assert face.lit == lit
    session.playing.end_by(time.monotonic())
    frames(2)
    assert face.lit == 0


def test_a_wheel_that_does_not_turn_stays_dark(ask):
    sounds = cue(16)
    drill, session = ask(wheel_step(PLAIN, 1, cue=sounds))
    sound(session, drill.listen, 5.5, sounds)
    assert drill.wheel.ids.face.lit == 0


def test_the_light_steps_within_a_frame_of_the_sound(ask):
    """Each step comes after its exact moment, and in the frame before that was still to come."""
    per_min = Fraction(1200)
    sounds = cue(16, per_min=per_min)
    wheel = Wheel(TINTAL, turning=turning(16, per_min=per_min))
    drill, session = ask(wheel_step(wheel, 1, cue=sounds))
    face, seen, shown = drill.wheel.ids.face, [], [time.monotonic()]
    face.bind(lit=lambda _, lit: seen.append((int(lit), time.monotonic(), shown[-2])))
    began = time.monotonic()
    session.playing = Playing(began + sounds.duration_s)
    drill.listen()
    while session.playing.ends_at > time.monotonic():
        shown.append(time.monotonic())
        frames(1)
    lit = [matra for matra, _, _ in seen if matra]
    assert lit == sorted(set(lit))
    assert len(lit) >= 12  # a frame that takes long may step over one
    for matra, moment, frame_before in seen:
        if matra:
            due = began + second_of(wheel.turning, matra - 1)
            assert frame_before <= due <= moment


def test_after_the_answer_the_wheel_turns_with_what_it_was_and_with_nothing_else(ask, monkeypatch):
    sounds, slow = cue(16), cue(16, per_min=PER_MIN / 2)

    def explain(question, given):
        return Explanation("9", given, "So.", sounds, cue(3), slow_cue=slow, wheel=TURNING)

    monkeypatch.setattr(written, "explain", explain)
    drill, session = ask(wheel_step(PLAIN, 9, cue=cue(12)))
    drill.give("4")
    frames(3)
    face = drill.wheel.ids.face
    sound(session, drill.hear_right, 7.5, sounds)
    assert face.lit == 8
    drill.hear_given()
    assert face.lit == 0
    session.playing = Playing(time.monotonic() + slow.duration_s - LEAD_S - 2 * 5.05 * STEP_S)
    drill.hear_slowly()
    frames(1)
    assert face.lit == 6
    sound(session, drill.listen, 3.5, cue(12))  # the cue that was asked is another
    assert face.lit == 0


def test_hearing_the_cue_again_turns_the_wheel_where_it_is_what_it_was(ask):
    sounds = cue(16)
    drill, session = ask(wheel_step(PLAIN, 9, cue=sounds, told=TURNING))
    drill.give("4")
    frames(3)
    sound(session, drill.listen, 7.5, sounds)
    assert drill.wheel.ids.face.lit == 8


def test_an_introduction_turns_the_wheel_that_the_question_then_hides(ask):
    drill, session = ask(step("sam:mark:tintal", new=True))
    shown, wheel = session.shown, drill.wheel.wheel
    assert wheel == shown.wheel
    assert not drill.wheel.asks
    assert drill.wheel.opacity
    right, turns = shown.right_cue, wheel.turning
    session.playing = Playing(time.monotonic() + right.duration_s - second_of(turns, 1) - 0.01)
    drill.listen()
    frames(1)
    assert drill.wheel.ids.face.lit == int((turns.from_place + 1) % 16) + 1
    session.playing = Playing(0.0)
    drill.ask_me()
    frames(3)
    assert drill.wheel.wheel.blind
    assert drill.wheel.asks
    key("4")
    key("enter")
    assert session.given == ["4"]


@pytest.mark.parametrize("skill", ["tihai:chakradar:lands", "tihai:chakradar:gap"])
def test_the_words_of_a_question_are_whole_and_its_wheel_gives_way(ask, skill):
    drill, _ = ask(step(skill), size=(600, 960), text_size="largest")
    prompt = drill.ids.words.children[0].ids.above_wheel
    _, foot = prompt.to_window(*prompt.pos)
    _, top = prompt.to_window(prompt.x, prompt.top)
    _, edge = drill.ids.roll.to_window(*drill.ids.roll.pos)
    assert edge <= foot
    assert top <= drill.ids.roll.top
    assert drill.wheel.ids.face.height >= 150
    drill.ids.roll.scroll_y = 0.0
    frames(3)
    check(drill)
    check_face(drill)
    _, low = drill.wheel.to_window(*drill.wheel.pos)
    assert low >= drill.ids.choices_roll.top - 1  # all of it is on view, or can be rolled to


def test_told_plates_go_where_a_wheel_is_looked_at(ask):
    drill, _ = ask(step("layakari:start:jhaptal:chaugun"), size=(800, 1280), text_size="largest")
    assert drill.ids.choices_roll.opacity
    question = drill._step.question
    drill.give(next(c.id for c in question.choices if c.id not in question.right))
    frames(4)
    assert not drill.ids.choices_roll.opacity
    assert drill.wheel.ids.face.height >= 250


def test_where_spans_are_a_hand_sweeps_between_the_matras(ask):
    sounds = cue(16)
    drill, session = ask(wheel_step(PLAIN, 9, cue=sounds, told=SPANNED))
    drill.give("9")
    frames(4)
    face = drill.wheel.ids.face
    sound(session, drill.hear_right, 4.3, sounds)
    assert face.lit == 5
    first = list(face._hand.points)
    wait_for(lambda: face._hand.points != first, what="the hand to sweep on")
    assert face.lit == 5


# What is told.


@pytest.mark.parametrize(
    ("asked", "told", "given", "marks"),
    [
        (PLAIN, PLAIN, "11", [(9, "was"), (11, "otherwise")]),
        (PLAIN, PLAIN, "9", [(9, "right")]),
        (BLIND, TURNING, "11", [(13, "was"), (15, "otherwise")]),
        (BLIND, None, "11", [(9, "was"), (11, "otherwise")]),
    ],
    ids=["otherwise", "right", "blind", "no other wheel"],
)
def test_what_was_and_what_was_answered_are_marked(ask, asked, told, given, marks):
    drill, _ = ask(wheel_step(asked, 9, told=told))
    drill.give(given)
    frames(4)
    face = drill.wheel.ids.face.face
    assert list(face.answered) == marks
    assert face.wheel == (told or asked.still())


def test_all_that_would_have_been_right_is_marked(ask):
    for given, marks in (("1", ["was", "was", "otherwise"]), ("7", ["was", "right"])):
        asked = wheel_step(PLAIN, "3", told=PLAIN)
        drill, _ = ask(replace(asked, question=replace(asked.question, right=("3", "7"))))
        drill.give(given)
        frames(4)
        assert [mark for _, mark in drill.wheel.ids.face.face.answered] == marks


def test_a_wheel_among_words_is_looked_at_and_not_answered_on(ask):
    drill, session = ask(wheel_step(PLAIN, 2, labels=("five", "six", "seven"), told=SPANNED))
    face = drill.wheel.ids.face
    touch_at(*at(drill, 3))
    assert (face.chosen, session.given) == (0, [])
    assert "Answer" not in {part.text for part in drill.wheel.walk() if hasattr(part, "text")}
    key("2")
    frames(3)
    assert session.given == ["2"]
    assert face.face.answered == ()
    assert face.wheel == SPANNED


def test_the_wheel_of_a_question_is_gone_with_the_next(ask):
    drill, _ = ask(wheel_step(PLAIN, 9, told=PLAIN), written.name_step("Which?", ["a", "b"]))
    drill.give("9")
    drill.next()
    frames(3)
    assert drill.wheel.wheel is None
    assert drill.wheel.opacity == 0


SAID = ((1, "it ends on sam"), (9, "it begins here"))
PICTURES = {
    "longest": (Wheel(LONGEST), Wheel(LONGEST, marked=((17, "khali"), (3, "you touched")))),
    "blind": (BLIND, Wheel(TINTAL, turning=BLIND.turning, marked=((1, "sam"),))),
    "wound": (replace(SPANNED, marked=SAID), replace(WOUND, marked=SAID)),
}


@in_shapes(
    [
        ((600, 960), "largest", True),
        ((960, 600), "usual", False),
        ((960, 600), "largest", True),
    ]
)
@pytest.mark.parametrize(("name", "labels"), [("longest", ()), ("blind", ()), ("wound", "abcd")])
def test_a_wheel_has_room_through_all_its_stages(ask, name, labels, size, text_size, left_handed):
    asked, told = PICTURES[name]
    labels = [f"It lands on matra {label}" for label in labels]
    drill, _ = ask(
        wheel_step(asked, 2, told=told, labels=labels, why=PAIRS[:2], new=True),
        size=size,
        text_size=text_size,
        left_handed=left_handed,
    )
    check(drill)
    drill.ask_me()
    frames(4)
    key("1")
    frames(3)
    check(drill)
    check_targets(drill)
    check_face(drill)
    drill.give("3")
    frames(5)
    check(drill)
    check_targets(drill)
    check_face(drill)
    assert drill.wheel.ids.face.height >= 0.25 * min(size)


@pytest.mark.parametrize("skill", ["sam:mark:tintal", "khali:jhaptal", "matra:rupak"])
def test_real_questions_are_asked_and_told_on_the_wheel(ask, skill):
    drill, session = ask(step(skill))
    question = drill._step.question
    key("4")
    key("enter")
    frames(4)
    assert session.given == ["4"]
    face = drill.wheel.ids.face
    assert face.face.answered[0][0] in range(1, question.wheel.matras + 1)
    check_face(drill)
    right = drill._explanation.right_cue
    turns: Turning = drill._explanation.wheel.turning
    session.playing = Playing(time.monotonic() + right.duration_s - second_of(turns, 1) - 0.01)
    drill.hear_right()
    frames(1)
    assert face.lit == int((turns.from_place + 1) % question.wheel.matras) + 1
    cue, asked = question.cue, question.wheel.turning
    if asked is not None:  # heard again, the cue tells where in the cycle it began
        session.playing = Playing(time.monotonic() + cue.duration_s - second_of(asked, 2) - 0.01)
        drill.listen()
        frames(1)
        assert face.lit == int((asked.from_place + 2) % question.wheel.matras) + 1
