"""A page that was written before is kept: another one goes beside it."""

from datetime import UTC, datetime

import pytest

from practice.pages.sheets import Paper, Sheet, Stroke
from tests.window.hands import wait_for

pytestmark = pytest.mark.window

MADE = datetime(2026, 11, 29, 18, tzinfo=UTC)


@pytest.mark.parametrize("sheets", [1, 2])
def test_writing_twice_leaves_both(window, tmp_path, sheets):
    from kivy.uix.screenmanager import ScreenManager

    from screens.page_screen import OnPaper, PageScreen

    class OfOnePaper(PageScreen):
        def on_pre_enter(self):
            """Nothing is read for it."""

        def on_paper(self):
            line = Stroke(20.0, 20.0, 20.0 + self.length, 20.0, 1.0)
            return OnPaper("Mira", Paper("Mira", (Sheet((line,)),) * sheets), MADE)

    screen = OfOnePaper(
        practice=None, on_folder=lambda take, _: take(tmp_path), on_close=lambda: None, name="page"
    )
    ScreenManager().add_widget(screen)
    kept = {}
    for length in (10.0, 90.0, 50.0):
        screen.length = length
        screen.write(".png")
        wait_for(lambda: screen.done.startswith("Written"), what="the page")
        found = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
        assert len(found) == len(kept) + sheets
        assert kept.items() <= found.items()
        assert all(name in screen.done for name in found.keys() - kept.keys())
        kept = found
    assert len(set(kept.values())) == 3
