"""How to practise is chosen by touch and by keys, and nothing else is asked then."""

import pytest

from practice import Mode
from practice.settings import Settings, load_settings, save_settings
from tests.missed import miss_some
from tests.window.hands import frames, key, tab_to, touch, wait_for
from tests.window.practising import begin, give, leave, pass_introduction
from tests.window.test_room import check, check_targets

pytestmark = pytest.mark.window


@pytest.fixture
def open_with_misses(open_app, tmp_path):
    save_settings(Settings(course="sitar-certificate"), tmp_path / "student")  # read in no time

    def open_it(size=(600, 960), **settings):
        app = open_app(size, **settings)
        miss_some(app.practice)
        first = app.manager.get_screen("practice")
        first.take(Mode())
        wait_for(lambda: first.ids.lines.children, what="what today holds")
        frames(2)
        return app, first

    return open_it


def plate_of(screen, text):
    return next(p for p in screen.walk() if getattr(p, "text", "") == text and hasattr(p, "press"))


def listed(app):
    """The screen on which one of many is chosen, with all of them in it."""
    screen = app.manager.current_screen
    wait_for(lambda: not screen.waiting, what="the whole list")
    frames(3)
    return screen


def choose_kind_by_touch(app, first):
    touch(plate_of(first, "One kind"))
    gaps = next(p for p in listed(app).ids.plates.children if p.which == "gap")
    touch(gaps)
    wait_for(lambda: app.manager.current == "practice", what="the first screen")


def choose_part_by_keys(app, first):
    plate = plate_of(first, "One part")
    tab_to(lambda: plate.focused)
    key("enter")
    plates = listed(app).ids.plates.children[::-1]
    tab_to(lambda: plates[1].focused)
    key("enter")


def choose_weak_spots_by_touch(app, first):
    touch(plate_of(first, "Weak spots"))


def choose_lesson_by_keys(app, first):
    """Without a lesson it is set first, without typing; then it is prepared for."""
    plate = plate_of(first, "Before the lesson")
    tab_to(lambda: plate.focused)
    key("enter")
    screen = app.manager.current_screen
    assert app.manager.current == "lesson"
    day = next(p for p in screen.ids.day.children if p.value == "friday")
    tab_to(lambda: day.focused)
    key("enter")
    tab_to(lambda: screen.ids.hour.focused)
    key("left")
    key("escape")
    kept = load_settings(app.practice.folder)[0]
    assert (kept.lesson_day, kept.lesson_time) == ("friday", "17:15")


def test_each_mode_is_chosen_and_nothing_else_is_asked_in_it(open_with_misses):
    app, first = open_with_misses()
    for choose, mode in (
        (choose_weak_spots_by_touch, Mode("weak-spots")),
        (choose_kind_by_touch, Mode("kind", "gap")),
        (choose_part_by_keys, Mode("part", "Sa, Ma, Pa")),
        (choose_lesson_by_keys, Mode("before-lesson")),
    ):
        before = first.headline
        choose(app, first)
        frames(3)
        assert app.manager.current == "practice"
        assert first.mode == mode
        wait_for(lambda: first.ids.lines.children, what="what it holds")
        assert first.headline != before
        assert first.minutes == (10 if mode.id == "before-lesson" else 15)
        may_be = {item.skill for item in app.practice.modes().asked(mode).items}
        assert may_be < {item.skill for item in app.practice._items}
        drill = begin(app)
        pass_introduction(drill)
        assert drill._step.question.skill in may_be
        give(drill, drill._step.question.right[0])
        assert drill.stage == "answered"
        assert leave(app, drill).answered in (
            "1 answer: 1 asked in earnest, 1 right.",
            "1 answer: 1 shown for the first time.",
            "1 answer: 1 shown again.",
        )
        key("enter")


def test_a_mode_that_is_gone_when_begin_is_touched_gives_way_to_the_day_and_says_why(
    open_with_misses,
):
    app, first = open_with_misses()
    weak = plate_of(first, "Weak spots")
    touch(weak)
    app.practice._memory = type(app.practice._memory)()
    touch(first.ids.begin)
    assert app.manager.current == "practice"
    assert first.mode == Mode()
    assert weak.disabled
    assert first.closed == "No weak spots yet: what you miss will be there."
    touch(weak)
    assert first.mode == Mode()


def test_what_takes_long_to_look_at_shows_a_sign_of_life(open_with_misses, monkeypatch):
    from threading import Event

    app, first = open_with_misses()
    may_go_on, real = Event(), app.practice.outlook

    def slowly(minutes, mode):
        may_go_on.wait(10)
        return real(minutes, mode)

    monkeypatch.setattr(app.practice, "outlook", slowly)
    touch(plate_of(first, "Weak spots"))
    assert first.headline == "15 minutes: working out what they hold"
    assert not first.ids.lines.children
    may_go_on.set()
    wait_for(lambda: first.ids.lines.children, what="what it holds")
    assert "working out" not in first.headline


def test_the_lesson_is_set_from_the_settings_by_touch_with_its_ragas(open_with_misses):
    app, _ = open_with_misses()

    def touched(thing, fact):
        """What a touch of something in a roll has set: it may take it for the start of a drag."""
        screen.ids.roll.scroll_to(thing, animate=False)
        frames(4)
        touch(thing)
        wait_for(lambda: fact(load_settings(app.practice.folder)[0]), what=f"a touch of {thing}")

    app.go("settings")
    settings = app.manager.current_screen
    settings.ids.roll.scroll_to(settings.ids.lesson, animate=False)
    frames(4)
    touch(settings.ids.lesson)
    wait_for(lambda: app.manager.current == "lesson", what="the lesson")
    screen = app.manager.current_screen
    wait_for(lambda: not screen._waiting, what="all the ragas")
    assert screen.ids.time.disabled
    tuesday = next(p for p in screen.ids.day.children if p.value == "tuesday")
    touched(tuesday, lambda kept: kept.lesson_day == "tuesday")
    touched(plate_of(screen.ids.time, "+"), lambda kept: kept.lesson_time == "17:45")
    yaman = plate_of(screen, "Yaman")
    touched(yaman, lambda kept: kept.lesson_ragas == ("yaman",))
    touched(yaman, lambda kept: kept.lesson_ragas == ())
    touch(screen.ids.done)
    assert app.manager.current == "settings"
    assert settings.lesson_words.startswith("Tuesday at 17:45, ")


@pytest.mark.parametrize(
    ("size", "text_size"),
    [
        ((600, 960), "largest"),
        ((960, 600), "usual"),
        ((2560, 1600), "large"),
    ],
)
def test_whatever_is_chosen_has_room(open_with_misses, size, text_size):
    ragas = ("yaman", "bhupali", "khamaj", "kafi")
    app, first = open_with_misses(
        size, text_size=text_size, lesson_day="wednesday", lesson_ragas=ragas
    )
    for mode in (Mode("before-lesson"), Mode("kind", "gap"), Mode("weak-spots")):
        first.take(mode)
        frames(4)
        check(first)
        check_targets(first)
    touch(plate_of(first, "One kind"))
    which = listed(app)
    check(which)
    check_targets(which)
    key("escape")
    app.go("lesson")
    lesson = app.manager.current_screen
    wait_for(lambda: not lesson._waiting, what="all the ragas")
    for place in (1.0, 0.0):
        lesson.ids.roll.scroll_y = place
        frames(4)
        check(lesson)
    check_targets(lesson)
