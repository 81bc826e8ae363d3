"""Every screen has room at two sizes in three scripts, and is reached, used and left by touch alone
and by keys alone.

English is looked at in the tests of each screen. What is least for a finger: see `reach.too_small`;
a focus that is seen, and no trap for the keys: WCAG 2.2, W3C, success criteria 2.4.7 and 2.1.2.
"""

from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from practice.log_files import hand_over_log
from screens.keys import focus_on, focused_in, row_of, things_in
from screens.said import Toast
from tests.window.every_screen import EveryScreen
from tests.window.hands import KEYS, Finger, frames, wait_for
from tests.window.practising import give, give_by_keys
from tests.window.room import box_of, faults
from words import language, say

pytestmark = pytest.mark.window

PORTRAIT, LANDSCAPE = (600, 960), (1280, 800)
DECKS = Path(__file__).resolve().parents[2] / "assets" / "decks"
NEAR = 3
"""So many keys before a thing it is walked to."""
LETTERS = {"hi": "devanagari", "bn": "bengali"}


@contextmanager
def app_in(folder, language, size):
    """The app of a student who reads this language."""
    from practice import Practice
    from tests.window import opened

    practice = Practice(folder, speaker="silence")
    said = {"language": language, "letters": LETTERS[language]}
    practice.save(replace(practice.settings, cautions_seen=True, **said))
    try:
        with opened.app_on(practice, size) as app:
            yield app
    finally:
        practice.close()
        said_as_usual()


def said_as_usual():
    """Let what comes after be said and drawn as it was before."""
    from practice.settings import Settings
    from screens.look import take_look

    take_look(Settings())


class Looking:
    """Looks whether all that is on view has room; `found` holds what has none. In Hindi, which
    has the longer words, it looks at the other size as well."""

    def __init__(self, app):
        self.app, self.found = app, {}

    def look(self, name):
        from kivy.core.window import Window

        for _ in range(2 if language() == "hi" else 1):
            for fault in faults(self.app.manager.current_screen):
                self.found.setdefault(fault, f"{name} {tuple(Window.size)}")
            if language() == "hi":
                Window.size = LANDSCAPE if tuple(Window.size) == PORTRAIT else PORTRAIT
                frames(3)


def test_a_text_is_measured_as_it_will_be_drawn_before_anything_was(window):
    """A conjunct is narrower than the letters it is made of (Unicode, 12.2, Bengali)."""
    from screens import theme
    from screens.look import TextImage

    size = 41.5  # at which nothing else is drawn
    conjunct, letters = (
        TextImage(text, font_name=theme.SANS, font_size=size).get_extents(text)[0]
        for text in ("স্ব", "সব")
    )
    assert conjunct < 0.8 * letters


class Touching:
    """Uses a screen by fingers alone."""

    def press(self, screen, thing):
        """Roll it into view and touch it."""
        roll_to(screen, thing)
        finger = Finger(*thing.to_window(*thing.center)).go_down()
        wait_for(lambda: taken(finger, thing), what=f"the touch on {thing}", patience_s=5)
        finger.come_up()
        frames(2)

    def leave(self, screen, way):
        self.press(screen, way)


class Typing:
    """Uses a screen by keys alone; whatever they stand on is seen to be stood on."""

    def press(self, screen, thing):
        things, here = things_in(screen), focused_in(screen)
        assert thing in things, f"the keys do not come to {thing}"
        at = things.index(thing)
        if abs(at - (things.index(here) if here in things else -1)) > NEAR:
            # Tab goes from each thing to the next; most of the way to this one takes seconds.
            focus_on(screen, things[max(0, at - NEAR)])
        strikes = 0
        while focused_in(screen) is not thing and strikes < 3 * NEAR:
            things, here = things_in(screen), focused_in(screen)
            back = here in things and things.index(here) > things.index(thing)
            if row_of(thing) is not None and row_of(here) is row_of(thing):  # one stop of Tab
                strike("left" if back else "right")
            else:
                strike("tab", *(["shift"] if back else []))
            strikes += 1
        assert focused_in(screen) is thing
        frames(2)  # it is rolled into view
        assert seen_to_be_focused(thing) == (True, True, True), thing
        strike("enter")
        frames(2)

    def leave(self, screen, way):
        """Back from the field that is written in and from what was said in passing, then from the
        screen: each is a step."""
        toasts = [part for part in screen.walk(restrict=True) if isinstance(part, Toast)]
        for lies_over in (getattr(focused_in(screen), "focus", False), any_shown(toasts)):
            if lies_over:
                strike("escape")
                assert screen.manager.current_screen is screen
        strike("escape")
        frames(2)


def any_shown(toasts):
    return any(toast.shown for toast in toasts)


def strike(name, *held):
    from kivy.core.window import Window

    Window.dispatch("on_key_down", KEYS[name], KEYS[name], None, list(held))
    Window.dispatch("on_key_up", KEYS[name], KEYS[name])
    frames(1)


def roll_to(screen, thing):
    above = thing.parent
    while above is not screen and above is not None and above.parent is not above:
        if hasattr(above, "scroll_to"):
            above.scroll_to(thing, padding=30, animate=False)
            frames(2)
            return
        above = above.parent


def taken(finger, thing):
    """Whether a touch has come through to a thing, for which a roll waits a while."""
    return any(grabbed() is thing for grabbed in finger.grab_list) or thing.state == "down"


def seen_to_be_focused(thing):
    """Whether it has been come to by keys, is on view, and has a ring or a mark of its own."""
    from screens import theme
    from screens.look import look

    left, foot, right, top = box_of(thing)
    on_view = right - left > 1 and top - foot > 1
    ring = getattr(thing, "ring", None)
    return look.by_keys, on_view, ring is None or tuple(ring) == tuple(theme.FOCUS)


def way_back(screen):
    """The thing on a screen that leads back."""
    if "bar" in screen.ids and "back" in screen.ids.bar.ids:
        return screen.ids.bar.ids.back.__self__
    for name in ("back", "close", "leave", "done", "read"):
        if name in screen.ids:
            return screen.ids[name].__self__
    things = (each for each in screen.walk(restrict=True) if hasattr(each, "press"))
    return next(each for each in things if getattr(each, "text", "") == say("Back"))


class Walk:
    """A walk through the app with one sort of hand, which says at each step where it is."""

    def __init__(self, app, hand):
        self.app, self.hand = app, hand
        self.been, self.looking = set(), Looking(app)

    @property
    def here(self):
        return self.app.manager.current_screen

    def press(self, thing):
        """Press something here, found by its id or by a function of the screen."""
        screen = self.here
        thing = screen.ids[thing] if isinstance(thing, str) else thing
        self.hand.press(screen, getattr(thing, "__self__", thing))  # what ids hold are proxies
        return screen

    def go(self, thing, to):
        """To the next screen by a thing on this one."""
        self.press(thing)
        self.must_be(to)
        self.been.add(to)
        self.settle()
        self.looking.look(to)

    def back(self, to):
        """One step back by the thing that leads there or, with keys, by Escape."""
        self.hand.leave(self.here, way_back(self.here))
        self.must_be(to)
        self.settle()

    def settle(self):
        """Let come what is still to come on view here."""
        for name in ("waiting", "_coming"):
            wait_for(lambda name=name: not getattr(self.here, name, None), what="what comes later")
        frames(3)

    def must_be(self, name):
        wait_for(lambda: self.app.manager.current == name, what=f"the screen {name}")


def walk_through(walk, practice):
    """Each screen is come to, its main thing is done, and it is left one step back."""
    walk.go("cautions", "cautions")
    walk.back("practice")
    settings_of(walk, practice)
    walk.go("instrument", "instrument")
    assert walk.press("main").exercise.is_playing
    walk.back("practice")
    so_far_of(walk, practice)
    walk.go("phrases", "phrases")
    walk.press(walk.here.rows[0].ids.plate)
    wait_for(lambda: walk.here.rows[0].sounding is not None, what="the phrase")
    walk.back("practice")
    kinds_of(walk)
    practice_of(walk, practice)
    desk_of(walk, practice)


def settings_of(walk, practice):
    walk.go("settings", "settings")
    wait_for(lambda: len(walk.here.speaker_options) > 1, what="the list of speakers")
    frames(3)
    other = next(p for p in walk.here.ids.gaps.children if not p.chosen)
    walk.press(other)
    assert practice.settings.gap_names == other.value
    walk.go("students", "students")
    walk.press("new")
    assert walk.here.adding
    walk.hand.leave(walk.here, way_back(walk.here))
    assert (walk.app.manager.current, walk.here.adding) == ("students", False)
    walk.back("settings")
    walk.go("measure", "tap test")
    walk.press(walk.here.ids.actions.children[-1])
    assert walk.here.stage == "tapping"
    walk.back("settings")
    walk.go("lesson", "lesson")
    walk.press(walk.here.ids.day.children[0])
    assert practice.settings.lesson_day
    walk.back("settings")
    walk.back("practice")


def so_far_of(walk, practice):
    walk.go("so_far", "weak")
    for plate in walk.here.ids.tabs.children[::-1]:
        walk.press(plate)
        assert walk.here.tab_id == plate.mode
    walk.go("page", "lesson page")
    wait_for(lambda: walk.here.page, what="the page")
    walk.go("png", "chooser")
    walk.here.files.path = str(practice.folder)
    frames(3)
    walk.press("accept")
    walk.must_be("lesson page")
    wait_for(lambda: walk.here.done, what="the picture")
    walk.go("phrases", "student phrases")
    walk.go(walk.here.rows[0].ids.act, "which deck")
    walk.back("student phrases")
    walk.back("lesson page")
    walk.back("weak")
    walk.back("practice")


def kinds_of(walk):
    """A kind is chosen, a part is not."""
    for mode in ("kind", "part"):
        walk.go(next(p for p in walk.here.ids.modes.children if p.mode == mode), mode)
        if mode == "part":
            walk.back("practice")
            continue
        chosen = walk.here.ids.plates.children[-1]
        which = chosen.which
        walk.press(chosen)
        walk.must_be("practice")
        assert (walk.here.mode.id, walk.here.mode.which) == (mode, which)
        walk.settle()
    walk.press(next(p for p in walk.here.ids.modes.children if p.mode == "day"))


def practice_of(walk, practice):
    """A question answered, the practice ended, and its end read."""
    walk.go("begin", "drill")
    drill = walk.here
    wait_for(lambda: drill.stage in ("new", "asking"), what="the first question")
    if drill.stage == "new":
        walk.press(drill.main_thing())
    right = drill._step.question.right[0]
    (give_by_keys if isinstance(walk.hand, Typing) else give)(drill, right)
    assert drill.stage == "answered"
    walk.hand.leave(drill, drill.ids.leave)
    assert drill.lies_over is not None
    walk.hand.leave(drill, drill.lies_over.main)
    assert (drill.lies_over, walk.app.manager.current) == (None, "drill")
    walk.hand.leave(drill, drill.ids.leave)
    walk.press(drill.lies_over.ids.ways.children[-1])
    walk.must_be("summary")
    walk.been.add("summary")
    frames(3)
    walk.back("practice")


def desk_of(walk, practice):
    walk.go("desk", "desk")
    wait_for(lambda: walk.here.ids.rows.children, what="the decks")
    walk.go(walk.here.ids.rows.children[0].ids.plate, "deck")
    deck = walk.here
    wait_for(lambda: len(deck.rows.children) == len(deck.editing.entries), what="its rows")
    walk.go("add", "adding")
    walk.back("deck")
    walk.go(deck.rows.children[-1].ids.plate, "question")
    walk.go("preview", "preview")
    walk.back("question")
    walk.back("deck")
    walk.back("desk")
    log = hand_over_log(practice.folder, practice.folder, datetime.now(UTC)).path
    for path, to in ((DECKS / "first-gaps.toml", "arriving"), (log, "arriving log")):
        walk.go("bring", "chooser")
        walk.here.files.path = str(path.parent)
        frames(3)
        plates = walk.here.ids.column.children
        walk.go(next(each for each in plates if each.text.startswith(path.stem)), to)
        wait_for(lambda: not getattr(walk.here, "busy", False), what="the look at it")
        walk.back("desk")
    walk.go("tradition", "tradition")
    walk.press(walk.here.ids.names.children[-1])
    assert walk.here.chosen
    walk.hand.leave(walk.here, way_back(walk.here))
    assert (walk.here.name, walk.here.chosen) == ("tradition", "")
    walk.back("desk")
    courses_of(walk)
    walk.go("students", "class page")
    walk.back("desk")
    walk.back("practice")


def courses_of(walk):
    walk.go("courses", "courses")
    wait_for(lambda: walk.here.ids.shipped.children, what="the courses")
    walk.go(walk.here.ids.shipped.children[-1], "course look")
    walk.back("courses")
    walk.go("new", "course")
    course = walk.here
    walk.go("add", "course adding")
    ticks = walk.here.ids.part.children[0].ticks
    walk.press(next(each for each in ticks.walk() if hasattr(each, "press")))
    assert ticks.ticked
    walk.press(walk.here.main_thing())
    walk.must_be("course")
    walk.settle()
    wait_for(lambda: course.ids.rows.children, what="the step")
    frames(3)
    walk.go(course.ids.rows.children[0].ids.plate, "course step")
    walk.back("course")
    walk.back("courses")
    walk.back("desk")


@pytest.mark.parametrize(
    ("hand", "language", "size"), [(Touching, "hi", PORTRAIT), (Typing, "bn", LANDSCAPE)]
)
def test_each_screen_has_room_and_is_reached_used_and_left_one_step_back(
    window, tmp_path, hand, language, size
):
    from tests.missed import miss_some
    from tests.window.kept import noted

    with app_in(tmp_path / "student", language, size) as app:
        practice = app.practice
        miss_some(practice)
        noted(app, "S r G m P")
        practice.shelf.take(practice.shelf.look(DECKS / "first-gaps.toml"))
        practice.take_given()
        app.go("settings")
        app.go("practice")
        frames(3)
        walk = Walk(app, hand())
        walk_through(walk, practice)
        EveryScreen(app, walk.looking.look).ways_of_answering()
        assert walk.looking.found == {}
        assert set(app._later) - walk.been == {"welcome"}  # of which test_welcome.py tells
