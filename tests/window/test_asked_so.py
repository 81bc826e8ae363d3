"""Where a question stands, how it says that it is answered, and where what leads on stands."""

import time

import pytest

from audio.speakers import Playing
from tests.window.hands import frames, key, touch
from tests.window.one_app import asking
from tests.window.scripted import FIVE, GAPS, ScriptedSession, step
from tests.window.test_drill import plate, texts_in
from tests.window.written import ORDER, line_step, name_step, order_step, shares_step

pytestmark = pytest.mark.window

GAP = step(GAPS[0], met=GAPS)
VARIED, MADE = step("make:loudness"), step("raga-make:meend:yaman")
HOW = {
    "Touch its fret on the string.": step("swara:G", met=FIVE),
    "Touch your answer.": GAP,
    "Touch the keys one after another, then Answer.": line_step("da ra"),
    "Draw each to its place, then Answer.": order_step(ORDER),
    "Draw the borders until each has its share, then Answer.": shares_step(
        {"a": "Alap", "b": "Jor"}, (20, 8)
    ),
    "Tap along while it sounds; your taps are the answer.": step("tap:tali:jhaptal"),
    "Touch its point on the wheel, then Answer.": step("sam:mark:tintal"),
    "Touch the string, or slide.": MADE,
}


@pytest.fixture(scope="module")
def ask(window, tmp_path_factory):
    with asking(tmp_path_factory.mktemp("student")) as ask:
        yield ask


@pytest.mark.parametrize("how", HOW)
def test_each_way_of_answering_is_said_where_it_is_asked(ask, how):
    drill, _ = ask(HOW[how])
    assert how in texts_in(drill)


def test_how_it_is_answered_is_said_three_times_in_a_practice_and_in_the_next_again(ask):
    drill, _ = ask(*[GAP] * 4)
    said = []
    for _ in range(4):
        said.append("Touch your answer." in texts_in(drill))
        key("1")
        key("enter")
        frames(1)
    assert said == [True, True, True, False]
    drill.manager.current = "drill"
    drill.begin(ScriptedSession(GAP))
    assert "Touch your answer." in texts_in(drill)


def top_of(drill, text):
    """Where the words on view with this text begin, from the window's foot."""
    found = [part for part in drill.ids.words.walk() if getattr(part, "text", "") == text]
    assert len(found) == 1
    return round(found[0].to_window(found[0].x, found[0].top)[1])


@pytest.mark.parametrize("size", [(600, 960), (1280, 800)])
def test_the_question_stands_at_one_place_and_stays_above_the_verdict(ask, size):
    asked = (name_step("Which?", ["Sa", "Re"]), name_step("Which?", list("abcdefg")), MADE, GAP)
    tops = set()
    for each in (*asked, step("swara:G", met=FIVE), order_step(ORDER)):
        drill, _ = ask(each, size=size)
        tops.add(top_of(drill, drill.prompt))
        drill.give(each.question.right[0])
        frames(4)
        tops.add(top_of(drill, drill.prompt))
        assert top_of(drill, drill.verdict) < min(tops)
    assert len(tops) == 1


@pytest.mark.parametrize("left_handed", [False, True])
def test_in_a_landscape_window_next_stands_at_one_place_under_the_hand(ask, left_handed):
    places = set()
    told = step("palta:continue:compound", met=("palta:continue:compound",))
    for each in (GAP, step("swara:G", met=FIVE), order_step(ORDER), told, step("tala:dhamar")):
        drill, _ = ask(each, size=(1280, 800), left_handed=left_handed)
        drill.give(each.question.right[0])
        frames(4)
        onward = plate(drill, "Next")
        x, y = onward.to_window(*onward.pos)
        string = drill.pad.height if each.question.answer_on == "string" else 0
        places.add((round(x), round(onward.width), y > string))
        assert (onward.center_x < 640) == left_handed
    assert len(places) == 1


def test_an_order_asks_for_its_answer_once_it_is_heard_or_moved_but_takes_it_before(ask):
    one = step("theka:order:dhamar")
    drill, _ = ask(one)
    answer = drill.ordering.ids.answer
    assert not answer.second  # what this session plays has ended as soon as it begins
    session = ScriptedSession(one)
    session.playing = Playing(time.monotonic() + 60)
    drill.begin(session)
    frames(2)
    assert answer.second
    key("1")
    assert answer.second
    key("2")
    assert not answer.second
    drill.way.offer(one.question)
    assert answer.second
    touch(answer)
    assert drill.stage == "answered"


def test_where_swaras_are_to_stay_there_is_no_string_and_no_key_for_them(ask):
    drill, _ = ask(VARIED)
    assert drill.ids.phrase_string.disabled
    assert drill.ids.phrase_saptaks.disabled
    assert "Swaras" not in texts_in(drill.ids.phrase)
    drill, _ = ask(MADE)
    assert not drill.ids.phrase_string.disabled
    assert "Swaras" in texts_in(drill.ids.phrase)


def test_all_keys_for_a_phrase_are_on_view_where_they_say_less(ask):
    for text_size in ("usual", "largest"):
        drill, _ = ask(MADE, text_size=text_size)
        grid, roll = drill.ids.phrase.ids.grid, drill.ids.phrase.ids.keys_roll
        assert len(grid.children) == 14
        assert grid.height <= roll.height + 1
