"""The gallery: every widget in all its states, looked at as it is chosen at its head."""

from dataclasses import replace

import pytest

from practice.settings import Settings
from quizzes.signs import script_of
from tests.screens.test_theme import contrast


@pytest.fixture
def gallery(window):
    """Gives `show(settings)`, which shows it and gives its screen."""
    from screens.gallery import GalleryApp
    from screens.look import take_look
    from tests.window import opened
    from tests.window.hands import frames

    app = GalleryApp()

    def show(**settings):
        app.settings = replace(app.settings, **settings)
        with opened.showing(app.build(), (600, 960)):
            frames(5)
            yield app.manager.current_screen

    shown = []

    def show_once(**settings):
        shown.append(show(**settings))
        return next(shown[-1])

    yield app, show_once
    for one in shown:
        next(one, None)
    app._keys.close()
    take_look(Settings())


def low(screen, least):
    """Texts that stand out by less."""
    from tests.window.reach import texts_on_grounds

    found = list(texts_on_grounds(screen))
    assert len(found) > 100  # else it was not looked at
    return {(text, round(contrast(*two), 1)) for text, *two in found if contrast(*two) < least}


def test_what_can_be_touched_is_48_dp_large_and_all_texts_stand_out_in_every_state(gallery):
    """WCAG 2.2, W3C: success criterion 1.4.3 (AA)."""
    from tests.window.reach import too_small, touchable_in

    _, show = gallery
    screen = show()
    assert len(touchable_in(screen)) > 60
    assert too_small(screen) == []
    assert low(screen, 4.5) == set()


@pytest.mark.parametrize(
    ("text", "file"),
    [
        ("Sa, Ré", "NotoSans-Regular.ttf"),
        ("Sa सा", "KaanSans-Regular-Deva.ttf"),
        ("सा Sa", "KaanSans-Regular-Deva.ttf"),
        ("সা।", "KaanSans-Regular-Beng.ttf"),
    ],
)
def test_a_text_is_drawn_by_the_font_that_has_its_script(window, text, file):
    from kivy.core.text import LabelBase

    from screens import theme
    from screens.look import face

    for font in (theme.SANS, face(theme.SANS, "क"), face(theme.SANS, "ক")):
        assert LabelBase._fonts[face(font, text)][0].endswith(file)


def test_a_choice_at_its_head_makes_all_anew_and_touches_no_folder(gallery, tmp_path, monkeypatch):
    """In high contrast, by WCAG 2.2, W3C, success criterion 1.4.6 (AAA)."""
    from screens import gallery as module
    from screens.look import look
    from tests.window.hands import frames
    from words import language

    monkeypatch.setenv("KAAN_HOME", str(tmp_path))
    app, show = gallery
    with monkeypatch.context() as brief:
        brief.setattr(module, "GROUPS", ())
        before = show(high_contrast=True, still=True)
    heads = {group.title: group.children[0] for group in before.ids.head.children}
    heads["Language"].dispatch("on_choose", "hi")
    frames(5)
    after = app.manager.current_screen
    assert (after is before, len(app.manager.screens)) == (False, 1)
    assert (language(), look.still) == ("hi", True)
    labels = [each for each in after.walk() if hasattr(each, "font_name")]
    drawn = [each.font_name for each in labels if script_of(each.text) == "Deva"]
    assert len(drawn) > 20
    assert {font.rpartition(" ")[2] for font in drawn} == {"Deva"}
    assert low(after, 7.0) == set()
    assert list(tmp_path.iterdir()) == []


def test_a_name_stands_within_a_sentence_only_in_a_script_that_its_font_draws(window):
    from screens.drawn import plainly
    from words import use

    told = {}
    for language in ("hi", "bn", "en"):
        use(language)
        told[language] = [plainly(name, "-") for name in ("Mira", "मीरा", "মীরা", "મીરા", "")]
    assert told["en"] == ["Mira", "-", "-", "-", "-"]
    assert told["hi"] == ["Mira", "मीरा", "-", "-", "-"]
    assert told["bn"] == ["Mira", "-", "মীরা", "-", "-"]
