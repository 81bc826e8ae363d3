"""The app in its tap test, in a process of its own, for the test with real clicks.

.venv/bin/python -m tests.window.tapped FOLDER

FOLDER/taps.txt holds the `time.monotonic()` moment of each tap, which is the same clock in every
process; its first line is where the plate is, from the upper left corner.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

from screens.start import prepare

FOLDER = Path(sys.argv[1])
prepare(FOLDER)

from kivy.clock import Clock  # noqa: E402 - after the window is set up
from kivy.core.window import Window  # noqa: E402

from practice import Practice  # noqa: E402
from screens.app import KaanApp  # noqa: E402


class TappedApp(KaanApp):
    """Begins with its test."""

    def on_start(self) -> None:
        self.go("tap test")
        screen = self.manager.current_screen
        screen.begin()
        self.told = (FOLDER / "taps.txt").open("w", buffering=1)
        screen.ids.plate.bind(on_tap=lambda _, moment: print(moment, file=self.told))
        Clock.schedule_interval(lambda _: self.tell_place(screen.ids.plate), 0.1)

    def tell_place(self, plate) -> bool:
        """For the clock: False once the plate is laid out and its place is told."""
        if plate.width < Window.width / 3:
            return True
        x, y = plate.to_window(*plate.center)
        print(round(x), round(Window.height - y), file=self.told)
        return False


practice = Practice(FOLDER / "student", speaker="silence")
practice.save(replace(practice.settings, cautions_seen=True))
TappedApp(practice).run()
