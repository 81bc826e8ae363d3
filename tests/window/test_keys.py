"""Keys that every screen has: they are listed, lead back one step, and leave nothing unsaid."""

import pytest

from tests.window.hands import frames, key
from tests.window.scripted import FIVE, GAPS, step

F1, PAGE_DOWN, BACK_OF_A_TABLET = 282, 281, 1001


def strike(code, *held):
    from kivy.core.window import Window

    Window.dispatch("on_key_down", code, code, None, list(held))
    Window.dispatch("on_key_up", code, code)
    frames(2)


def listed(screen):
    """The keys on its sheet, with what they do."""
    return {row.head: row.text for row in screen.lies_over.ids.rows.children}


def test_f1_lists_the_keys_of_what_is_asked_and_escape_leads_back_first_from_there(ask):
    from screens.look import look

    drill, session = ask(step(GAPS[1], met=GAPS))
    asked = len(drill.ids.choices.children)
    for _ in range(2):
        strike(BACK_OF_A_TABLET)  # which has no other keys, and needs no sign of any
    assert (drill.leaving, look.by_keys) == (False, False)
    strike(F1)
    said = listed(drill)
    assert ", ".join(map(str, range(1, asked + 1))) in said
    assert {"Tab", "Enter", "Esc", "F1", "Space"} <= said.keys()
    assert look.by_keys
    shortcuts = []
    drill.take_shortcut = shortcuts.append
    key("1")  # what lies beneath is not answered
    strike(ord("z"), "ctrl")
    assert (session.given, shortcuts) == ([], [])
    strike(BACK_OF_A_TABLET)
    assert (drill.lies_over, drill.leaving) == (None, False)
    strike(ord("z"), "ctrl")
    assert shortcuts == ["z"]
    strike(BACK_OF_A_TABLET)
    assert drill.leaving


def test_a_question_mark_lists_them_too_and_enter_puts_the_list_away(ask):
    drill, _ = ask(step("swara:G", met=FIVE))
    strike(ord("/"), "shift")
    assert any(head.startswith("S r R") for head in listed(drill))
    key("enter")
    assert drill.lies_over is None
    strike(F1)
    drill.dispatch("on_leave")  # and it lies over nothing that is left
    assert drill.lies_over is None


def test_what_lies_beneath_a_sheet_is_not_touched_and_a_touch_beside_it_puts_it_away(
    ask, monkeypatch
):
    from screens.keys import focused_in
    from tests.window.hands import touch

    drill, session = ask(step(GAPS[1], met=GAPS))
    strike(F1)
    rolled = []
    monkeypatch.setattr("screens.keys.read_on", lambda roll, way: rolled.append((roll, way)))
    strike(PAGE_DOWN)
    assert rolled == [(drill.lies_over.ids.roll.__self__, -1)]
    panel = drill.lies_over.ids.panel
    assert panel.height <= drill.height
    for _ in range(3):  # Tab goes round on the sheet alone
        key("tab")
        assert focused_in(drill) is drill.lies_over.main
    touch(drill.lies_over.main)
    assert drill.lies_over is None
    strike(F1)
    covered = next(
        p for p in drill.ids.choices.children if panel.collide_point(*p.to_window(*p.center))
    )
    touch(covered)
    assert (session.given, drill.lies_over is not None) == ([], True)
    touch(drill.ids.leave)
    assert (drill.lies_over, drill.leaving) == (None, False)


def test_from_the_first_screen_the_back_key_of_a_tablet_puts_the_app_away(kept_app, monkeypatch):
    from types import SimpleNamespace

    from kivy.app import App

    paused = []
    running = SimpleNamespace(pause=lambda: paused.append(True))
    monkeypatch.setattr(App, "get_running_app", staticmethod(lambda: running))
    with kept_app.drill((600, 960)) as drill:
        drill.drop()
        drill.manager.current = "practice"
        strike(BACK_OF_A_TABLET)
        assert (paused, drill.manager.current) == ([True], "practice")


@pytest.mark.parametrize("still", [False, True])
def test_a_roll_that_is_let_go_rolls_on_and_springs_back_only_where_all_need_not_be_still(
    window, still
):
    from screens.look import look
    from screens.roll import Rolling

    look.still = still
    effect = Rolling(min=-500.0, max=0.0)
    effect.value = effect.max
    effect.start(0.0, t=0.0)
    for at in range(1, 9):
        effect.update(-20.0 * at, t=at / 60)
    effect.stop(-180.0, t=9 / 60)
    before = effect.value
    effect.update_velocity(1 / 60)
    assert (effect.value == before) == still
    effect.velocity = 0.0
    effect.value = 60.0  # a finger beyond the end
    assert (effect.scroll > effect.max) != still
    look.still = False
