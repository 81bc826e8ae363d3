"""Settings take hold at once, are kept, and say why where something cannot be had."""

from dataclasses import replace

import pytest

from practice.settings import load_settings
from tests.window import opened
from tests.window.hands import Finger, frames, key, tab_to, touch, wait_for

pytestmark = pytest.mark.window


SHOWN = ("text", "value", "words", "options", "closed", "steps", "disabled", "hidden", "opacity")
SHOWN += ("focus", "focused", "state", "height", "scroll_y", "said", "trouble")


def state_of(screen):
    """All that a student sees of the settings or that a key or a touch could meet in them."""
    from kivy.properties import Property

    def now(thing, name):
        value = getattr(thing, name, None)
        return tuple(value) if isinstance(value, list) else value

    parts = [
        (type(part).__name__, *(now(part, name) for name in SHOWN))
        for part in screen.walk(restrict=True)
    ]
    own = {
        name: now(screen, name)
        for name, what in vars(type(screen)).items()
        if isinstance(what, Property)
    }
    return parts, own, screen._told, screen._away


def files_in(folder):
    return {path: path.is_file() and path.read_bytes() for path in folder.rglob("*")}


class KeptSettings:
    """One app at its settings for all tests of this module. Each is checked to have left nothing:
    once set back, all that is shown and every file of the student is as at first."""

    size = (600, 960)

    def __init__(self, app):
        self.app, self._usual = app, app.practice.settings
        self.enter()
        self._at_first, self._files = state_of(self.screen), files_in(app.practice.home)

    @property
    def screen(self):
        return self.app.manager.get_screen("settings")

    def enter(self, **settings):
        """Come to the settings from the first screen, with these above the usual ones."""
        app = self.app
        app.go("practice")
        frames(2)
        app.practice.save(replace(self._usual, **settings))
        app.take_look()
        app._screen("settings").speaker_options = []
        app.go("settings")
        wait_for(lambda: len(self.screen.speaker_options) > 1, what="the list of speakers")
        frames(4)

    def set_back(self):
        from screens.keys import focus_on
        from screens.look import look

        app = self.app
        opened.draw_what_is_new(app.root)
        app._screen("drill").drop()
        app.practice.end()
        focus_on(self.screen, None)
        look.by_keys = False
        self.screen._told = self.screen.trouble = ""
        for path in sorted(files_in(app.practice.home).keys() - self._files.keys(), reverse=True):
            path.rmdir() if path.is_dir() else path.unlink()
        self.enter()
        assert state_of(self.screen) == self._at_first
        assert files_in(app.practice.home) == self._files


@pytest.fixture(scope="module")
def kept_settings(window, tmp_path_factory):
    from practice import Practice

    practice = Practice(tmp_path_factory.mktemp("settings") / "student", speaker="silence")
    practice.save(replace(practice.settings, cautions_seen=True))
    with opened.app_on(practice, KeptSettings.size) as app:
        yield KeptSettings(app)
    practice.close()


@pytest.fixture
def settings_of(kept_settings):
    """The app at its settings: `settings_of(**settings)` gives (app, screen)."""

    def open_it(**settings):
        if settings:
            kept_settings.enter(**settings)
        return kept_settings.app, kept_settings.screen

    yield open_it
    kept_settings.set_back()


def kept(app):
    return load_settings(app.practice.folder)[0]


def bring_up(screen, thing):
    screen.ids.roll.scroll_to(thing, animate=False)
    frames(6)


def choose(screen, row, value):
    plate = next(p for p in row.children if p.value == value)
    bring_up(screen, plate)
    touch(plate)
    frames(2)


def test_sa_goes_to_the_next_note_by_touch(settings_of):
    app, screen = settings_of(sa_hz=138.59)
    bring_up(screen, screen.ids.note)
    touch(screen.ids.note.children[0])
    assert kept(app).sa_hz == pytest.approx(146.83, abs=0.01)
    assert "D3" in screen.note_words


def test_sa_is_drawn_fine_along_the_slide(settings_of):
    app, screen = settings_of(sa_hz=138.59)
    slide = screen.ids.sa
    bring_up(screen, slide)
    x, y = slide.to_window(slide.center_x, slide.center_y)
    finger = Finger(x - 40, y).go_down()
    wait_for(lambda: slide.touched, what="the touch on the slide")
    finger.slide_to(x, y)
    finger.come_up()
    frames(2)
    assert kept(app).sa_hz == pytest.approx((98 + 330) / 2, abs=1.0)


def test_sa_moves_by_a_tenth_of_a_hertz_with_the_arrow_keys(settings_of):
    app, screen = settings_of(sa_hz=140.0)
    tab_to(lambda: screen.ids.sa.focused)
    key("right")
    assert kept(app).sa_hz == pytest.approx(140.1)


def test_volume_cannot_be_set_above_full_level(settings_of):
    app, screen = settings_of(volume_db=-1.0)
    tab_to(lambda: screen.ids.volume.focused)
    for _ in range(3):
        key("right")
    assert kept(app).volume_db == 0.0
    assert app.practice.speaker.volume_db == 0.0


def test_text_size_takes_hold_at_once(settings_of):
    app, screen = settings_of()
    before = screen.ids.done.font_size
    choose(screen, screen.ids.size, "largest")
    assert screen.ids.done.font_size == pytest.approx(before * 1.4)
    assert kept(app).text_size == "largest"


def test_the_left_hand_is_kept(settings_of):
    app, screen = settings_of()
    choose(screen, screen.ids.hand, True)
    assert kept(app).left_handed


@pytest.mark.parametrize("name", ["body", "tarab"])
def test_what_rings_along_is_switched_on_and_off(settings_of, name):
    app, screen = settings_of()
    row = screen.ids[name]
    usual = getattr(kept(app), name)
    assert row.value is usual
    choose(screen, row, not usual)
    assert getattr(kept(app), name) is not usual
    choose(screen, row, usual)
    assert getattr(kept(app), name) is usual


def test_hear_it_sounds_on_the_sitar_that_is_set(settings_of, monkeypatch):
    from audio import render

    voices = []
    real = render.blocks

    def listen(score):
        voices.append({stroke.voice for stroke in score.strokes})
        return real(score)

    monkeypatch.setattr(render, "blocks", listen)
    _, screen = settings_of(body=False, tarab=True)
    screen.hear()
    screen.change(body=True, tarab=False)
    screen.hear()
    assert voices == [{"string", "tarab"}, {"sitar"}]


def test_a_scala_file_is_read_and_used(settings_of, tmp_path):
    path = tmp_path / "twelve.scl"
    steps = "\n".join(f"{100.0 * step:.1f}" for step in range(1, 12))
    path.write_text(f"! a comment\ntwelve equal\n12\n{steps}\n2/1\n")
    app, screen = settings_of()
    choose(screen, screen.ids.tuning, "scl")
    screen.ids.scl.text = str(path)
    screen.set_scl(screen.ids.scl.text)
    assert kept(app).tuning == str(path)
    assert "in use" in screen.tuning_words


def test_a_scala_file_that_is_not_there_is_named_and_nothing_changes(settings_of, tmp_path):
    app, screen = settings_of()
    choose(screen, screen.ids.tuning, "scl")
    screen.set_scl(str(tmp_path / "none.scl"))
    assert "none.scl" in screen.tuning_words
    assert kept(app).tuning == "just"


def test_what_is_usual_is_offered_first_and_a_speaker_that_cannot_be_had_with_its_reason(
    settings_of,
):
    from audio.speakers import SpeakerChoice

    found = (
        SpeakerChoice("stream", "Stream", False, "No sound device answers."),
        SpeakerChoice("silence", "No sound", True, None),
    )
    app, screen = settings_of()
    wait_for(lambda: len(screen.speaker_options) > 1, what="the list of speakers")
    screen._show_speakers(found)
    frames(3)
    assert [value for value, _ in screen.speaker_options] == ["auto", "silence"]
    assert screen.speaker_words == ""
    bring_up(screen, screen.ids.more_speakers)
    touch(screen.ids.more_speakers)
    frames(3)
    assert "Stream: No sound device answers." in screen.speaker_words
    plates = {plate.value: plate for plate in screen.ids.speaker.children}
    assert plates["stream"].disabled
    assert not plates["silence"].disabled
    choose(screen, screen.ids.speaker, "silence")
    assert kept(app).speaker == "silence"


def test_hear_it_plays_at_the_sa_that_is_set(settings_of, monkeypatch):
    app, screen = settings_of(sa_hz=138.59)
    lengths = []
    real = app.practice.speaker.play
    monkeypatch.setattr(
        app.practice.speaker,
        "play",
        lambda blocks, *, frames: lengths.append(frames) or real(blocks, frames=frames),
    )
    hear = next(p for p in screen.walk() if getattr(p, "text", "") == "Hear it")
    bring_up(screen, hear)
    touch(hear)
    assert len(lengths) == 1
    assert lengths[0] > 44_100


def test_a_name_is_typed_and_letters_do_nothing_else(settings_of):
    app, screen = settings_of()
    touch(screen.ids.name)
    assert screen.ids.name.focus
    from kivy.core.window import Window

    for letter in "Mira":
        key(letter)
        Window.dispatch("on_textinput", letter)
    key("enter")
    frames(2)
    assert kept(app).student_name == "Mira"
    assert app.manager.current == "settings"


def test_escape_leads_back_and_keeps_what_was_typed(settings_of):
    app, screen = settings_of()
    screen.ids.name.text = "Asha"
    key("escape")
    assert app.manager.current == "practice"
    assert kept(app).student_name == "Asha"


def test_tab_walks_through_everything_and_comes_round_a_row_of_choices_being_one_thing(settings_of):
    """A row of choices as the WAI-ARIA Authoring Practices have it for groups of radio buttons."""
    from screens.controls import OptionRow
    from screens.keys import focused_in, stops_in, things_in

    _, screen = settings_of()
    wait_for(lambda: len(screen.speaker_options) > 1, what="the list of speakers")
    frames(3)
    things = stops_in(screen)
    met = []
    for _ in things:
        key("tab")
        met.append(focused_in(screen))
    assert met == things
    rows = {thing.parent for thing in things_in(screen) if isinstance(thing.parent, OptionRow)}
    chosen = [plate for row in rows for plate in row.children if plate.chosen]
    assert len(rows) > 9
    assert {thing for thing in met if thing.parent in rows} == set(chosen)
    assert len(met) + sum(len(row.children) - 1 for row in rows) == len(things_in(screen))
    key("tab")
    assert focused_in(screen) is things[0]


def test_arrows_go_round_in_a_row_of_choices_and_space_takes_one(settings_of):
    from screens.keys import focused_in

    app, screen = settings_of()
    row = screen.ids.size
    tab_to(lambda: focused_in(screen) in row.children)
    assert focused_in(screen).value == row.value
    before = kept(app).text_size
    for name in ("right", "down", "left", "up", "left", "left"):
        key(name)
        assert focused_in(screen) in row.children
    assert kept(app).text_size == before
    standing_on = focused_in(screen).value
    assert standing_on != before
    key("space")
    assert kept(app).text_size == standing_on


def test_keys_typed_into_a_field_change_nothing_else(settings_of):
    app, screen = settings_of(sa_hz=138.59)
    tab_to(lambda: screen.ids.note.children[-1].focused)
    choose(screen, screen.ids.tuning, "scl")
    bring_up(screen, screen.ids.scl)
    touch(screen.ids.scl)
    assert screen.ids.scl.focus
    for name in ("space", "left", "space"):
        key(name)
    assert kept(app).sa_hz == 138.59
    key("escape")
    assert not screen.ids.scl.focus
    assert app.manager.current == "settings"


def test_a_path_is_taken_over_when_its_field_is_left(settings_of, tmp_path):
    path = tmp_path / "twelve.scl"
    steps = "\n".join(f"{100.0 * step:.1f}" for step in range(1, 12))
    path.write_text(f"twelve equal\n12\n{steps}\n2/1\n")
    app, screen = settings_of()
    choose(screen, screen.ids.tuning, "scl")
    bring_up(screen, screen.ids.scl)
    touch(screen.ids.scl)
    screen.ids.scl.text = str(path)
    touch(screen.ids.done)
    assert kept(app).tuning == str(path)
    assert app.manager.current == "practice"


def test_a_path_that_cannot_be_used_is_shown_once_more_before_leaving(settings_of, tmp_path):
    app, screen = settings_of()
    choose(screen, screen.ids.tuning, "scl")
    screen.ids.scl.text = str(tmp_path / "none.scl")
    touch(screen.ids.done)
    assert app.manager.current == "settings"
    assert "none.scl" in screen.tuning_words
    touch(screen.ids.done)
    assert app.manager.current == "practice"
    assert kept(app).tuning == "just"


def write(text):
    from kivy.core.window import Window

    for letter in text:
        key("space" if letter == " " else letter)
        Window.dispatch("on_textinput", letter)


def test_a_path_with_a_space_is_typed_and_read_while_sa_stays(settings_of, tmp_path):
    path = tmp_path / "a b.scl"
    steps = "\n".join(f"{100.0 * step:.1f}" for step in range(1, 12))
    path.write_text(f"twelve equal\n12\n{steps}\n2/1\n")
    app, screen = settings_of(sa_hz=138.59)
    choose(screen, screen.ids.tuning, "scl")
    screen.ids.note.children[-1].focused = True  # the keys stand on Sa's less
    bring_up(screen, screen.ids.scl)
    touch(screen.ids.scl)
    write(str(path))
    key("enter")
    assert kept(app).tuning == str(path)
    assert kept(app).sa_hz == 138.59


def test_a_name_in_its_field_is_kept_when_done_is_touched(settings_of):
    app, screen = settings_of()
    touch(screen.ids.name)
    write("Mira")
    touch(screen.ids.done)
    assert app.manager.current == "practice"
    assert kept(app).student_name == "Mira"


def test_what_is_wrong_with_a_path_has_the_colour_of_what_is_otherwise(settings_of):
    _, screen = settings_of()
    choose(screen, screen.ids.tuning, "scl")
    screen.set_scl("none.scl")
    assert screen.tuning_refused
    choose(screen, screen.ids.tuning, "just")
    assert not screen.tuning_refused


def test_enter_at_the_end_of_the_steps_does_not_leave(settings_of):
    app, screen = settings_of(minutes=25)
    stepper = screen.ids.minutes
    more = stepper.children[0]
    for _ in range(40):
        key("tab")
        if more.focused:
            break
    assert more.focused
    for _ in range(4):
        key("enter")
    assert kept(app).minutes == 30
    assert app.manager.current == "settings"


def test_another_course_is_taken_by_touch_and_asked_in_the_next_practice(settings_of):
    app, screen = settings_of()
    assert screen.ids.course.value == "first-path"
    before = screen.course_words
    choose(screen, screen.ids.course, "ragas")
    assert kept(app).course == "ragas"
    assert screen.course_words.startswith("For students who hear the twelve swaras already")
    assert screen.course_words != before
    touch(screen.ids.done)
    app.begin(5)
    drill = app._screen("drill")
    wait_for(lambda: drill.stage != "waiting", what="the first question")
    assert drill._step.question.kind.startswith("raga-")


def test_own_courses_are_offered_and_one_that_cannot_be_read_is_closed_with_the_reason(
    kept_settings, settings_of
):
    own = kept_settings.app.practice.folder / "courses"
    own.mkdir(parents=True)
    step = '[[step]]\nname = "Gaps"\nkinds = ["gap"]\n'
    (own / "mine.toml").write_text(f'name = "My term"\n{step}', encoding="utf-8")
    (own / "torn.toml").write_text(f'name = "Torn"\npace = 0\n{step}', encoding="utf-8")
    kept_settings.enter()
    app, screen = settings_of()
    assert screen.course_faults.startswith("torn cannot be taken: ")
    assert "torn.toml, line 2: pace: should be a whole number from 1 to 50" in screen.course_faults
    choose(screen, screen.ids.course, "torn")
    assert kept(app).course == "first-path"
    choose(screen, screen.ids.course, "mine")
    assert kept(app).course == app.practice.course.id == "mine"


def test_a_course_that_breaks_while_it_is_offered_is_told_and_the_old_one_stays(settings_of):
    app, screen = settings_of()
    screen.choose_course("gone since")
    assert "'gone since' is not known" in screen.trouble
    assert screen.ids.course.value == kept(app).course == "first-path"


def test_who_chooses_another_language_stays_where_they_were(settings_of):
    app, screen = settings_of()
    tab_to(lambda: screen.ids.contrast.children[0].focused)
    screen.ids.roll.scroll_y = rolled = 0.97
    frames(3)
    key("enter")
    frames(4)
    screen = app.manager.current_screen
    assert (screen.name, kept(app).high_contrast) == ("settings", True)
    plate = screen.ids.contrast.children[0]
    assert plate.focused
    assert screen.ids.roll.scroll_y == pytest.approx(rolled, abs=0.02)
    key("left")
    key("enter")
    frames(4)
    assert not kept(app).high_contrast
