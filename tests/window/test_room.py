"""Nothing is clipped, broken within a word, or laid over something else, at any size of text."""

import re
from functools import cache
from pathlib import Path

import pytest

from quizzes.stages.asking import THEN
from screens.theme import FONT_FILES
from tests.missed import miss_some
from tests.window.hands import frames, key, touch, wait_for
from tests.window.scripted import FIVE, GAPS, TWELVE, WIDE, step
from tests.window.written import (
    BOLS,
    LONG,
    STAGES,
    SWARA_LABELS,
    SWARAS,
    line_step,
    name_step,
)

pytestmark = pytest.mark.window

ASSETS = Path(__file__).resolve().parent.parent.parent / "assets"
SIZES = [(600, 960), (960, 600), (1920, 1200)]
TEXT_SIZES = ["usual", "largest"]

at_text_sizes = pytest.mark.parametrize("text_size", TEXT_SIZES)
# The largest text in the largest window lies as the usual text does in a window of half the size.
at_sizes = pytest.mark.parametrize(
    ("size", "text_size"),
    [(size, text) for size in SIZES for text in TEXT_SIZES if (size[0], text) != (1920, "largest")],
)


def seen(screen):
    """Every Label on view with the rectangle of it that is, in window pixels."""
    from kivy.uix.label import Label
    from kivy.uix.scrollview import ScrollView

    for part in screen.walk(restrict=True):
        if not isinstance(part, Label) or not part.text or not part.opacity:
            continue
        left, bottom = part.to_window(*part.pos)
        right, top = left + part.width, bottom + part.height
        above = part.parent
        while above is not None and above is not screen:
            if isinstance(above, ScrollView):
                x, y = above.to_window(*above.pos)
                left, right = max(left, x), min(right, x + above.width)
                bottom, top = max(bottom, y), min(top, y + above.height)
            above = above.parent
        if right - left > 1 and top - bottom > 1 and right > 0:
            yield part, (left, bottom, right, top)


def longest_word_px(label):
    words = re.split(r"[\s/]", label.text)
    return max(word_px(label.font_name, label.font_size, word) for word in words)


@cache
def word_px(font_name, font_size, word):
    from kivy.core.text import Label as TextImage

    return TextImage(font_name=font_name, font_size=font_size).get_extents(word)[0]


def check(screen):
    from kivy.core.window import Window

    labels = list(seen(screen))
    assert labels
    for label, (left, bottom, right, top) in labels:
        what = f"{label.text!r} in {type(label.parent).__name__}"
        assert label.texture_size[0] <= label.width + 1, what
        assert label.texture_size[1] <= label.height + 1, what
        room = label.width - label.padding[0] - label.padding[2]
        assert longest_word_px(label) <= room + 1, f"{what}: a word is broken"
        assert -1 <= left <= right <= Window.width + 1, what
        assert -1 <= bottom <= top <= Window.height + 1, what
    for number, (one, a) in enumerate(labels):
        for other, b in labels[number + 1 :]:
            apart = a[2] <= b[0] + 1 or b[2] <= a[0] + 1 or a[3] <= b[1] + 1 or b[3] <= a[1] + 1
            assert apart, f"{one.text!r} lies over {other.text!r}"


def check_targets(screen):
    """Everything that can be touched is at least 48 dp either way."""
    for part in screen.walk(restrict=True):
        if hasattr(part, "press") and not part.disabled and part.opacity and part.height:
            assert part.width >= 48, part
            assert part.height >= 48, part


@at_sizes
def test_the_first_start_cautions_and_the_first_screen_have_room(open_app, size, text_size):
    app = open_app(size, text_size=text_size, cautions_seen=False)
    frames(4)
    welcome = app.manager.current_screen
    for step_ in ("who", "loud", "sa", "course"):
        assert welcome.step == step_
        for place in (1.0, 0.0):
            welcome.ids.roll.scroll_y = place
            frames(2)
            check(welcome)
        check_targets(welcome)
        touch(welcome.ids.later if step_ == "course" else welcome.ids.onward)
        frames(4)
    app.go("cautions")
    frames(4)
    check(app.manager.current_screen)
    key("escape")
    frames(4)
    assert app.manager.current == "practice"
    check(app.manager.current_screen)
    check_targets(app.manager.current_screen)


@at_sizes
def test_settings_have_room_from_top_to_end_and_so_has_the_end_of_a_session(
    open_app, size, text_size
):
    app = open_app(size, text_size=text_size)
    miss_some(app.practice)
    app.go("settings")
    screen = app.manager.current_screen
    wait_for(lambda: len(screen.speaker_options) > 1, what="the list of speakers")
    for place in (1.0, 0.75, 0.5, 0.25, 0.0):
        screen.ids.roll.scroll_y = place
        frames(4)
        check(screen)
    check_targets(screen)
    screen = end_a_session(app)
    for screen.left_out in (False, True):
        screen._tell()
        frames(4)
        check(screen)
        check_targets(screen)


def end_a_session(app):
    """The screen at the end of a session in which there is all to be told."""
    from practice import Moved, Summary

    moved = tuple(
        Moved(skill, name, "coming", "shaky")
        for skill, name in (("a", "komal Dha down to komal Ga"), ("b", "Re of the tar saptak"))
    )
    lines = ("Tivra Ma in tune: you hear it from about 12 cents (9 to 17, 22 answers)",)
    app._screen("summary").show(
        Summary(41, 29, 21.3, moved, lines, "That was long. Rest your ears and hands.", 3, 2)
    )
    app.go("summary")
    frames(4)
    assert app.manager.current == "summary"
    return app.manager.current_screen


@at_sizes
def test_a_question_on_the_string_has_room_through_all_its_stages(ask, size, text_size):
    drill, _ = ask(
        step("swara:d", met=WIDE, new=True),
        size=size,
        text_size=text_size,
        left_handed=text_size == "largest",
    )
    check(drill)
    drill.ask_me()
    frames(4)
    check(drill)
    check_targets(drill)
    key(",")
    key("D")
    frames(4)
    assert drill.stage == "answered"
    check(drill)
    check_targets(drill)


@at_sizes
def test_a_question_with_names_to_choose_has_room_through_all_its_stages(ask, size, text_size):
    names = "size" if text_size == "largest" else "swara"
    drill, _ = ask(step(GAPS[1], met=GAPS, names=names, new=True), size=size, text_size=text_size)
    check(drill)
    drill.ask_me()
    frames(4)
    check(drill)
    check_targets(drill)
    key("a" if names == "size" else "1")
    frames(4)
    assert drill.stage == "answered"
    check(drill)
    check_targets(drill)


PADS = {
    "bols": line_step(" ".join(BOLS), BOLS, places=12),
    "swaras": line_step(" ".join(SWARAS), SWARAS, places=15, labels=SWARA_LABELS),
}


def test_a_prompt_that_shows_an_order_by_arrows_wraps_between_its_stages(ask):
    shown = THEN.join(STAGES.values())
    prompt = f"{shown}. Which of them does not stand where it belongs?"
    drill, _ = ask(name_step(prompt, list(STAGES.values())[:5]), text_size="largest")
    check(drill)


@pytest.mark.parametrize("font", FONT_FILES["Latn"])
def test_whatever_is_written_of_stages_and_ragas_is_in_the_fonts(window, font):
    from kivy.core.text import Label as TextImage

    def drawn(sign):
        image = TextImage(text=sign, font_name=font, font_size=40)
        image.refresh()
        return image.texture.size, image.texture.pixels

    files = [*(ASSETS / "stages").glob("*.toml"), *(ASSETS / "ragas").glob("*.toml")]
    signs = {sign for file in files for sign in file.read_text() if ord(sign) > 126} | {"›"}
    nothing = drawn("\ufffe")
    assert [sign for sign in sorted(signs) if drawn(sign) == nothing] == []
    assert drawn("↔") == nothing  # a sign that is not in them


@pytest.mark.parametrize(
    ("size", "text_size", "pad"),
    [
        (size, text_size, pad)
        for size in ((600, 960), (960, 600), (2560, 1600))
        for text_size, pad in (("usual", "swaras"), ("largest", "swaras"), ("largest", "bols"))
        if (size[0], text_size) != (2560, "largest")
    ],
)
def test_a_line_to_write_has_room_through_all_its_stages(ask, size, text_size, pad):
    left_handed = text_size == "largest"
    drill, _ = ask(PADS[pad], size=size, text_size=text_size, left_handed=left_handed)
    check(drill)
    check_targets(drill)
    for name in "1234332115":
        key(name)
    frames(4)
    check(drill)
    key("enter")
    frames(4)
    assert drill.stage == "answered"
    check(drill)
    check_targets(drill)


@pytest.mark.parametrize("size", [(600, 960), (960, 600)], ids=["portrait", "landscape"])
@at_text_sizes
@pytest.mark.parametrize("name", [name for name, *_ in LONG])
def test_long_names_have_room_through_all_stages(ask, size, text_size, name):
    prompt, labels = next(rest for known, *rest in LONG if known == name)
    drill, _ = ask(name_step(prompt, labels, new=True), size=size, text_size=text_size)
    check(drill)
    drill.ask_me()
    frames(4)
    check(drill)
    check_targets(drill)
    key("2")
    frames(4)
    check(drill)
    check_targets(drill)


@at_sizes
def test_asking_whether_to_leave_has_room(ask, size, text_size):
    drill, _ = ask(step("swara:G", met=FIVE), size=size, text_size=text_size)
    key("escape")
    frames(4)
    check(drill.lies_over)


def test_a_window_that_is_turned_keeps_everything_in_place(ask, window):
    drill, _ = ask(step("swara:P", met=TWELVE), size=(600, 960))
    window.size = (960, 600)
    frames(6)
    assert not drill.pad.upright
    check(drill)
