"""The first start: four short steps to the first question, by touch or by keys alone."""

import time
from dataclasses import replace

import pytest

from practice.listening import LEAD_S, NOTE_S, volume_for
from practice.settings import LOWEST_VOLUME_DB, load_settings
from tests.window.hands import Finger, frames, key, tab_to, touch, wait_for
from tests.window.practising import answer, leave, pass_introduction

pytestmark = pytest.mark.window


@pytest.fixture
def start(open_app):
    """The first start, at its first step: (app, screen)."""
    app = open_app(cautions_seen=False)
    frames(3)
    return app, app.manager.current_screen


def kept(app):
    return load_settings(app.practice.folder)[0]


def onward(screen):
    """To the next step, or to the end of the cautions and then there."""
    step = screen.step
    for _ in range(4):
        if screen.step == step:
            touch(screen.ids.onward)
            frames(3)


def test_four_touches_lead_from_the_first_start_to_the_first_question(start):
    app, screen = start
    assert app.manager.current == "welcome"
    key("escape")
    assert (app.manager.current, screen.step) == ("welcome", "who")
    for step in ("who", "loud", "sa", "course"):
        assert screen.step == step
        onward(screen)
    assert app.manager.current == "drill"
    assert kept(app).cautions_seen
    drill = app.manager.current_screen
    wait_for(lambda: drill._step, what="the first question")
    assert drill._step.question.skill.startswith("swara:")


def test_from_the_end_of_the_first_practice_it_goes_to_the_first_screen(start):
    app, screen = start
    for _ in ("who", "loud", "sa", "course"):
        onward(screen)
    drill = app.manager.current_screen
    wait_for(lambda: drill._step, what="the first question")
    pass_introduction(drill)
    answer(drill)
    leave(app, drill)
    assert app.manager.current == "summary"
    key("enter")
    assert app.manager.current == "practice"


def test_keys_alone_do_the_same(start):
    app, screen = start
    tab_to(lambda: screen.part.ids.name.focused)
    key("f1")  # while it is written
    assert screen.lies_over is not None
    key("f1")
    assert screen.lies_over is None
    key("enter")
    assert screen.step == "loud"
    key("enter")  # the check begins
    assert screen.part.check == "rising"
    assert screen.ids.onward.disabled
    key("enter")  # its note is heard
    assert screen.part.check == "set"
    while screen.step == "loud":  # cautions are read to their end
        key("enter")
        frames(2)
    tab_to(lambda: screen.part.ids.sa.focused)
    key("right")
    assert kept(app).sa_hz == pytest.approx(277.3)
    key("escape")
    assert screen.step == "loud"
    tab_to(lambda: screen.ids.onward.focused)
    for _ in range(6):
        key("enter")
        frames(2)
    assert app.manager.current == "drill"


def _sounded(screen, seconds):
    """As if the notes of the check had sounded for so long by now."""
    screen.part._sounding.end_by(time.monotonic() + screen.part._lasts_s - seconds)


def test_the_check_does_not_rise_before_its_first_note_sounds(start):
    from screens.welcome_loud import START_DB

    app, screen = start
    onward(screen)
    touch(screen.part.ids.check)
    _sounded(screen, -3.0)  # a player that makes all of it first, on a slow tablet
    screen.part._rise()
    assert app.practice.speaker.volume_db == LOWEST_VOLUME_DB
    assert screen.part.check == "rising"
    app.on_pause()
    assert (screen.part.check, screen.busy) == ("ready", False)
    app.on_resume()
    assert app.practice.speaker.volume_db == kept(app).volume_db == START_DB


def test_the_check_starts_at_the_least_volume_and_sets_one_a_little_above_what_was_heard(start):
    app, screen = start
    onward(screen)
    speaker = app.practice.speaker
    touch(screen.part.ids.check)
    assert speaker.volume_db == LOWEST_VOLUME_DB
    _sounded(screen, LEAD_S + 3.5 * NOTE_S)
    wait_for(lambda: speaker.volume_db == LOWEST_VOLUME_DB + 9.0, what="the volume")
    touch(screen.part.ids.check)
    assert kept(app).volume_db == volume_for(LOWEST_VOLUME_DB + 9.0)
    assert speaker.volume_db == kept(app).volume_db
    touch(screen.part.ids.check)
    _sounded(screen, 60.0)  # nothing was ever heard
    wait_for(lambda: screen.part.check == "unheard", what="the end of the check")
    assert speaker.volume_db == kept(app).volume_db


def test_sa_comes_from_the_list_the_slide_or_typed_hertz_and_nonsense_is_refused(start):
    app, screen = start
    for _ in range(2):
        onward(screen)
    ids = screen.part.ids
    touch(next(plate for plate in ids.note.children if plate.text == "C3"))
    assert kept(app).sa_hz == pytest.approx(130.81, abs=0.01)  # ISO 16: A4 = 440 Hz
    x, y = ids.sa.to_window(ids.sa.center_x, ids.sa.center_y)
    finger = Finger(x - 40, y).go_down()
    wait_for(lambda: ids.sa.touched, what="the touch on the slide")
    finger.slide_to(x, y)
    finger.come_up()
    frames(2)
    assert kept(app).sa_hz == pytest.approx((98 + 330) / 2, abs=1.0)
    assert ids.note.value is None  # 214 Hz lies between G# and A of ISO 16
    for typed in ("12", "abc", "-", "1e9"):
        ids.typed.text = typed
        onward(screen)
        assert screen.step == "sa"
        assert "98 to 330" in screen.part.fault
    ids.typed.text = "140,5 Hz"
    onward(screen)
    assert screen.step == "course"
    assert kept(app).sa_hz == 140.5
    touch(screen.ids.before)
    screen.part.ids.typed.text = "150"
    touch(screen.ids.before)
    assert (screen.step, kept(app).sa_hz) == ("loud", 150.0)


def test_cautions_are_read_to_their_end_before_it_goes_on(start):
    from practice import CAUTIONS

    app, screen = start
    app.practice.save(replace(app.practice.settings, text_size="largest"))
    app.take_look()
    onward(screen)
    frames(4)
    assert screen.onward == "Read on"
    touches = 0
    while screen.step == "loud":
        seen = screen.ids.roll.hidden
        touch(screen.ids.onward)
        frames(3)
        touches += 1
        assert screen.step != "loud" or screen.ids.roll.hidden < seen
    assert touches >= 2
    assert len(CAUTIONS) == 4
    app.practice.save(replace(app.practice.settings, text_size="usual"))
    app.take_look()


def test_text_and_contrast_are_there_for_who_sees_poorly(start):
    from screens import theme
    from screens.look import look

    app, screen = start
    ids = screen.part.ids
    touch(next(plate for plate in ids.size.children if plate.value == "largest"))
    assert look.text == theme.TEXT_SIZES["largest"]
    frames(3)
    screen.ids.roll.scroll_to(ids.contrast, animate=False)
    frames(3)
    ids.name.text = "Asha"
    touch(next(plate for plate in ids.contrast.children if plate.value is True))
    frames(3)
    assert (app.manager.current, kept(app).high_contrast) == ("welcome", True)
    assert kept(app).student_name == "Asha"
    screen = app.manager.current_screen
    app.practice.save(replace(app.practice.settings, text_size="usual", high_contrast=False))
    app.say_anew("welcome")
    assert screen is not app.manager.current_screen


def test_what_was_chosen_is_kept_where_the_app_is_closed_in_between(start):
    app, screen = start
    screen.part.ids.name.text = "Mira"
    onward(screen)
    onward(screen)
    touch(screen.part.ids.note.children[-1])
    app.on_pause()
    assert (kept(app).student_name, kept(app).cautions_seen) == ("Mira", False)
    assert kept(app).sa_hz == pytest.approx(98.0, abs=0.01)


def test_another_language_is_spoken_at_once(start):
    app, screen = start
    app.practice.save(replace(app.practice.settings, letters="bengali"))
    screen.part.ids.name.text = "Mira"
    touch(next(plate for plate in screen.part.ids.language.children if plate.value == "hi"))
    frames(3)
    screen = app.manager.current_screen
    assert (app.manager.current, screen.title) == ("welcome", "आप कौन हैं?")
    assert (kept(app).letters, kept(app).student_name) == (
        "",
        "Mira",
    )  # and the letters are its own
    touch(next(plate for plate in screen.part.ids.language.children if plate.value == "en"))
    frames(3)
    assert app.manager.current_screen.title == "Who are you?"
