"""Where Kaan cannot begin, a window says why."""

import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from practice import Practice

pytestmark = pytest.mark.window
ROOT = Path(__file__).resolve().parent.parent.parent

READ_AND_CLOSE = """
import sys
from pathlib import Path
import main
from screens.start import prepare

folder = Path(sys.argv[1])
prepare(folder)
from kivy.app import App
from kivy.clock import Clock
from kivy.core.window import Window

def read(_):
    for part in App.get_running_app().root.walk():
        if getattr(part, "text", ""):
            print(part.text, flush=True)
    Window.dispatch("on_key_down", 13, 13, None, [])

Clock.schedule_once(read, 0.5)
raise SystemExit(main.main(["--folder", str(folder), "--speaker", "silence"]))
"""
"""Opens the app as `main.py` does, writes down what stands in its window, and strikes Enter."""


def opened_on(folder, **environment):
    """(exit code, what the window said, what the terminal was told)"""
    kept = {k: v for k, v in os.environ.items() if not k.startswith("KIVY")}
    done = subprocess.run(
        [sys.executable, "-c", READ_AND_CLOSE, str(folder)],
        cwd=ROOT,
        env={**kept, "SDL_VIDEODRIVER": "offscreen", **environment},
        capture_output=True,
        text=True,
        timeout=60,
    )
    return done.returncode, done.stdout, done.stderr


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


def test_a_folder_that_cannot_be_made_is_named_in_the_window_and_in_the_terminal(window, tmp_path):
    (tmp_path / "in the way").write_text("a file where the folder should be")
    code, seen, said = opened_on(tmp_path / "in the way" / "kaan")
    assert code == 1
    assert "in the way" in seen
    assert "Kaan cannot begin" in seen
    assert "in the way" in said
    assert "Traceback" not in said


def test_a_log_that_another_program_holds_is_named_in_the_window_and_in_the_terminal(
    window, tmp_path
):
    Practice(tmp_path, speaker="silence").close()
    with closing(sqlite3.connect(tmp_path / "log.sqlite", isolation_level=None)) as other:
        other.execute("PRAGMA locking_mode = EXCLUSIVE")
        other.execute("BEGIN EXCLUSIVE")
        code, seen, said = opened_on(tmp_path)
    assert code == 1
    assert "log.sqlite" in seen
    assert "log.sqlite" in said
    assert "Traceback" not in said


def test_a_long_reason_rolls_and_leaves_the_button_in_sight(window):
    from screens.refusal import SIZE, RefusalApp
    from tests.window.hands import frames
    from tests.window.opened import showing

    app = RefusalApp("A reason as long as this one fills more than the window. " * 30)
    with showing(app.build(), SIZE) as root:
        frames(4)
        close = root.current_screen.ids.close
        assert 0 <= close.y < close.top <= SIZE[1]
    app.on_stop()


def test_files_of_the_window_left_in_no_folder_are_removed_at_the_end(window, tmp_path):
    (tmp_path / "in the way").write_text("a file where the folder should be")
    temporary = tmp_path / "temporary"
    temporary.mkdir()
    opened_on(tmp_path / "in the way" / "kaan", TMPDIR=str(temporary))
    assert not list(temporary.glob("kaan-kivy-*"))
