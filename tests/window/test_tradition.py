"""A teacher's tradition made in the window, by touch and keys, and asked at the next session."""

import errno
import tomllib

import pytest

from quizzes.tradition import load_words
from tests.window.hands import frames, key, touch, wait_for

pytestmark = pytest.mark.window


@pytest.fixture
def form(open_app):
    """The tradition's screen, reached from the desk."""

    def open_it(size=(600, 960), text="", **settings):
        app = open_app(size, **settings)
        if text:
            (app.practice.folder / "tradition.toml").write_text(text, "utf-8")
        app.go("desk")
        frames(4)
        touch(app.manager.current_screen.ids.tradition)
        frames(4)
        return app, app.manager.current_screen

    return open_it


def bring_up(screen, thing):
    screen.ids.roll.scroll_to(thing, animate=False)
    frames(6)


def press(screen, thing):
    bring_up(screen, thing)
    touch(thing)
    frames(4)


def row_of(screen, title):
    return next(row for row in screen._rows if row.fact.title == title)


def plates_in(row):
    """What can be touched in an open row, by its words."""
    return {thing.text: thing for thing in row.walk(restrict=True) if hasattr(thing, "dispatch")
            and getattr(thing, "text", "") and hasattr(thing, "press")}  # fmt: skip


def type_in(field, text):
    from kivy.core.window import Window

    for letter in text:
        Window.dispatch("on_textinput", letter)
        frames(1)


def leave(app):
    """To the list, then to the desk."""
    for _ in range(2):
        if app.manager.current == "tradition":
            touch(app.manager.current_screen.ids.bar.ids.back)
            frames(4)
    assert app.manager.current == "desk"


def full(*_):
    raise OSError(errno.ENOSPC, "No space left on device")


def in_file(app):
    return tomllib.loads((app.practice.folder / "tradition.toml").read_text("utf-8"))


def search(screen, text):
    press(screen, screen.ids.search)
    type_in(screen.ids.search, text)
    frames(4)


def name_plate(screen, key_):
    return next(plate for plate in screen.ids.names.children if plate.key == key_)


def test_another_teaching_is_chosen_and_taken_back_by_touch_and_asked_afterwards(form):
    app, screen = form(text="# kept\n[yaman]\nconfirmed = ['nyas']  # surely\n")
    search(screen, "durg")
    press(screen, name_plate(screen, "durga"))
    vadi = row_of(screen, "Vadi and samvadi")
    assert vadi.ids.plate.now == "Ma and Sa"
    press(screen, vadi.ids.plate)
    press(screen, plates_in(vadi)["Dha and Re"])
    assert in_file(app)["durga"] == {"vadi": "D R"}
    assert "# kept" in (app.practice.folder / "tradition.toml").read_text("utf-8")
    assert vadi.ids.plate.now == "Dha and Re"
    assert vadi.ids.plate.by == "Your word."
    touch(screen.ids.bar.ids.undo)
    assert "durga" not in in_file(app)
    key("Z", "ctrl")
    assert in_file(app)["durga"] == {"vadi": "D R"}
    rests = row_of(screen, "Rests on")
    press(screen, rests.ids.plate)
    press(screen, plates_in(rests)["Confirm it"])
    assert in_file(app)["durga"]["confirmed"] == ["nyas"]
    leave(app)
    assert app.practice.given.tradition.startswith("# kept\n[yaman]")
    assert "[durga]" in app.practice.given.tradition


def test_a_raga_is_added_with_touches_and_keys_and_what_is_wrong_is_told_where_it_is(form):
    app, screen = form((1120, 760))
    touch(screen.ids.add)
    frames(6)
    assert screen.chosen == "a_new_raga"
    name = row_of(screen, "Name")
    press(screen, name._fields[0])
    key("backspace")
    type_in(name._fields[0], " of ours")
    written = {
        "Swaras": "S R G M P D",
        "Aroha": "S R G P D S'",
        "Avaroha": "S' D P M G R S",
        "Vadi and samvadi": "G X",
        "Phrases": "S R G P M G R S",
    }
    for title, text in written.items():
        row = row_of(screen, title)
        press(screen, row.ids.plate)
        line = row._fields[0]
        press(screen, line.field)
        type_in(line.field, text)
        wait_for(lambda row=row: not row._take.is_triggered, what=f"the reading of {title}")
    vadi = row_of(screen, "Vadi and samvadi")
    assert "'X' should be one of S r R" in vadi.ids.plate.fault
    assert not screen.is_well
    field = vadi._fields[0].field
    press(screen, field)
    key("backspace")
    type_in(field, "D")
    wait_for(lambda: screen.is_well, what="a whole raga")
    leave(app)
    words = load_words(app.practice.folder / "tradition.toml")
    assert words.faults == ()
    skills = {item.skill for item in app.practice.modes().items}
    assert "raga-from-phrase:note:a_new_raga" in skills
    assert "ours" in app.practice.given.name_of("raga-vadi:a_new_raga")


def test_stages_are_put_in_another_order_and_everything_taken_back(form):
    app, screen = form(text_size="largest")
    press(screen, screen.ids.parts.children[0])
    press(screen, name_plate(screen, "jor"))
    pair = next(p for p in screen.ids.pairs.children if p.pair.then == "alap-jhala")
    free = next(p for p in pair.ids.strengths.children if p.value == "free")
    press(screen, free)
    assert pair.pair.mine  # what was touched is where it was
    assert in_file(app)["order"] == [{"first": "jor", "then": "alap-jhala", "strength": "free"}]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("practice.staging.os.fsync", full)
        press(screen, screen.ids.back_to_shipped)
        screen.back()
        screen.back()
        assert app.manager.current_screen is screen
        assert "No space left on device; see that there is room" in screen.trouble
        assert screen.trouble.endswith("Go back once more, and it is lost.")
        assert in_file(app)["order"]
    screen.back()
    assert app.manager.current == "desk"
    assert in_file(app) == {}
    assert not screen.is_mine


def test_a_file_that_is_no_toml_is_told_and_left_as_it_is(form):
    text = "[durga\n"
    app, screen = form(text=text)
    search(screen, "durga")
    assert "It can only be mended in its file" in screen.trouble
    assert not screen.can_add
    press(screen, name_plate(screen, "durga"))
    row = row_of(screen, "Vadi and samvadi")
    press(screen, row.ids.plate)
    press(screen, plates_in(row)["Dha and Re"])
    assert (app.practice.folder / "tradition.toml").read_text("utf-8") == text
