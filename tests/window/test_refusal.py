"""Where Kaan cannot begin, a window says why."""

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

pytestmark = pytest.mark.window
ROOT = Path(__file__).resolve().parent.parent.parent


def test_the_reason_is_read_in_the_window(window):
    from screens.refusal import RefusalApp
    from tests.window.hands import key
    from tests.window.opened import showing

    app = RefusalApp("The folder cannot be written to; choose another.")
    closed = []
    app.stop = lambda: closed.append(True)
    with showing(app.build(), (600, 960)) as root:
        texts = [part.text for part in root.walk() if getattr(part, "text", "")]
        assert "The folder cannot be written to; choose another." in texts
        key("enter")
        assert closed
    app.on_stop()


def test_a_folder_that_cannot_be_made_opens_that_window_and_tells_the_terminal(window, tmp_path):
    (tmp_path / "in the way").write_text("a file where the folder should be")
    environment = {k: v for k, v in os.environ.items() if k != "KIVY_HOME"}
    program = subprocess.Popen(
        [sys.executable, "main.py", "--folder", tmp_path / "in the way" / "kaan"],
        cwd=ROOT,
        env={**environment, "SDL_VIDEODRIVER": "offscreen"},
        stderr=subprocess.PIPE,
        text=True,
    )
    time.sleep(2.5)
    assert program.poll() is None  # the window waits to be read
    program.terminate()
    _, said = program.communicate(timeout=20)
    assert "Traceback (most recent call last)" not in said
