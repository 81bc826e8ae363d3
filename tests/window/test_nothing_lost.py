"""Nothing is lost where the tablet is turned or put away, or ends the app in mid-question."""

import pytest

from practice import Practice
from tests.window import opened
from tests.window.hands import frames, key, touch, wait_for
from tests.window.written import line_step

pytestmark = pytest.mark.window


def test_what_is_written_so_far_stays_when_the_tablet_is_turned(ask):
    from kivy.core.window import Window

    drill, _ = ask(line_step("da ra da ra"), size=(600, 960))
    for name in ("1", "2"):
        key(name)
    before = list(drill.writing.line)
    assert len(before) == 2
    Window.size = 960, 600
    frames(4)
    assert list(drill.writing.line) == before
    assert drill.stage == "asking"
    Window.size = 600, 960
    frames(4)
    assert list(drill.writing.line) == before


def test_a_practice_is_gone_on_with_at_its_question_after_the_app_was_ended(open_app, tmp_path):
    app = open_app(seed=11)
    touch(app.manager.current_screen.ids.begin)
    drill = app._screen("drill")
    wait_for(lambda: drill._step, what="the first question")
    if drill.stage == "new":
        touch(drill.main_thing())
        frames(2)
    drill.give(drill._step.question.right[0])
    frames(2)
    touch(drill.main_thing())
    wait_for(lambda: drill._step.number == 2, what="the second question")
    asked = drill._step.question
    app.on_pause()
    # The system ends the app now: another one is opened on what is on disk.
    practice = Practice(tmp_path / "student", speaker="silence")
    try:
        with opened.app_on(practice, (960, 600)) as later:
            first = later.manager.current_screen
            assert (first.name, first.going_on) == (
                "practice",
                "Go on where you were: 15 minutes left",
            )
            touch(first.ids.go_on)
            drill = later._screen("drill")
            wait_for(lambda: drill._step, what="the question")
            assert drill._step.question == asked
            key("escape")
            touch(drill.main_thing())
            frames(2)
            later.go("practice")
            frames(2)
            assert first.going_on == ""
    finally:
        practice.close()
