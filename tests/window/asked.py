"""The app asking one question, in a process of its own, for the tests with a real mouse.

.venv/bin/python -m tests.window.asked SKILL SEED FOLDER

FOLDER/state.json says, whenever it changes, what stands where: (x, y) from the upper left corner.
"""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from pathlib import Path

from screens.start import prepare

SKILL, SEED, FOLDER = sys.argv[1], int(sys.argv[2]), Path(sys.argv[3])
prepare(FOLDER)

from kivy.clock import Clock  # noqa: E402 - after the window is set up
from kivy.core.window import Window  # noqa: E402

from practice import Practice  # noqa: E402
from screens.app import KaanApp  # noqa: E402
from tests.window.scripted import ScriptedSession, step  # noqa: E402


class AskingApp(KaanApp):
    """Begins with its question."""

    def on_start(self) -> None:
        self.session = ScriptedSession(step(SKILL, seed=SEED))
        self.go("drill")
        self.drill = self.manager.get_screen("drill")
        self.drill.begin(self.session)
        self.told = ""
        Clock.schedule_interval(self.tell, 0.05)

    def tell(self, *_: object) -> None:
        """Write what stands where, whole or not at all."""
        ordering = self.drill.ordering
        state = {
            "stage": self.drill.stage,
            "line": list(ordering.line),
            "lifted": ordering.lifted,
            "given": self.session.given,
            "verdict": self.drill.verdict,
            "why": self.drill.explained,
            "plates": {p.key_id: middle(p) for p in ordering.ids.places.children},
            "answer": middle(ordering.ids.answer),
        }
        told = json.dumps(state)
        if told != self.told:
            self.told = told
            (FOLDER / "state.part").write_text(told)
            (FOLDER / "state.part").rename(FOLDER / "state.json")


def middle(part) -> tuple[float, float]:
    x, y = part.to_window(*part.center)
    return x, Window.height - y


practice = Practice(FOLDER / "student", speaker="silence")
practice.save(replace(practice.settings, cautions_seen=True))
AskingApp(practice).run()
