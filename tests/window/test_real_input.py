"""The app as a student starts it: its own process, a display, a mouse and a keyboard."""

import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from scheduler import Log

pytestmark = pytest.mark.window

ROOT = Path(__file__).resolve().parent.parent.parent
SCREEN = 1120, 760
PATIENCE_S = 60.0


def missing():
    return next((name for name in ("Xvfb", "xdotool") if shutil.which(name) is None), None)


class Desk:
    """A display of its own, and the app on it; `xdotool` moves mouse and keys."""

    def __init__(self, folder):
        self.folder = folder
        read_end, write_end = os.pipe()
        self._display = subprocess.Popen(
            [
                "Xvfb",
                "-displayfd",
                str(write_end),
                "-screen",
                "0",
                f"{SCREEN[0]}x{SCREEN[1]}x24",
                "-noreset",
                "-nolisten",
                "tcp",
            ],
            pass_fds=(write_end,),
            stderr=subprocess.DEVNULL,
        )
        os.close(write_end)
        with os.fdopen(read_end) as told:
            number = told.readline().strip()  # to its end: Xvfb dies if we hang up before
        self.environment = {
            **{k: v for k, v in os.environ.items() if not k.startswith(("KIVY", "SDL_VIDEO"))},
            "DISPLAY": f":{number}",
            "KAAN_HOME": str(folder),
            "LIBGL_ALWAYS_SOFTWARE": "1",
        }
        self._out = (folder / "out.txt").open("w")
        self.app = subprocess.Popen(
            [sys.executable, "main.py", "--speaker", "silence"],
            cwd=ROOT,
            env=self.environment,
            stdout=self._out,
            stderr=subprocess.STDOUT,
        )

    def said(self):
        return (self.folder / "out.txt").read_text(errors="replace")[-3000:]

    def tool(self, *arguments):
        return subprocess.run(
            ["xdotool", *map(str, arguments)], env=self.environment, capture_output=True, text=True
        ).stdout.strip()

    def wait_for_window(self):
        end = time.monotonic() + PATIENCE_S
        while time.monotonic() < end:
            assert self.app.poll() is None, self.said()
            # Without a window manager a window is found by its class.
            if found := self.tool("search", "--onlyvisible", "--class", "."):
                return found.splitlines()[0]
            time.sleep(0.1)
        raise AssertionError(f"no window came: {self.said()}")

    def click(self, x, y):
        self.tool("mousemove", x, y)
        time.sleep(0.15)
        self.tool("click", 1)
        time.sleep(0.4)

    def press(self, name):
        self.tool("key", name)
        time.sleep(0.3)

    def rows(self):
        if not (self.folder / "log.sqlite").exists():
            return []
        log = Log(self.folder / "log.sqlite")
        try:
            return [row for student in log.students() for row in log.answers(student)]
        finally:
            log.close()

    def close(self):
        for process in (self.app, self._display):
            if process.poll() is None:
                process.send_signal(signal.SIGTERM)
                try:
                    process.wait(timeout=10)
                except subprocess.TimeoutExpired:
                    process.kill()
                    process.wait()
        self._out.close()


@pytest.fixture
def desk(tmp_path):
    if (part := missing()) is not None:
        pytest.skip(f"{part} is not installed (Debian: xvfb, xdotool)")
    desk = Desk(tmp_path)
    try:
        yield desk
    finally:
        desk.close()


def test_mouse_and_keyboard_drive_the_app_as_a_student_would(desk):
    window = desk.wait_for_window()
    time.sleep(1.0)
    desk.tool("windowfocus", window)
    desk.press("Return")  # the cautions are read
    desk.press("Return")  # begin
    answered, end = 0, time.monotonic() + PATIENCE_S
    # A new skill is asked after Enter; the first is one swara on the string: Sa or Pa.
    while answered < 2 and time.monotonic() < end:
        desk.press("Return")
        desk.press("s")
        answered = len(desk.rows())
    assert answered == 2, desk.said()
    # The string lies across the foot of this window: the mouse touches it at its Pa.
    before, end = answered, time.monotonic() + PATIENCE_S
    while len(desk.rows()) == before and time.monotonic() < end:
        desk.press("Return")
        desk.press("Return")
        desk.click(SCREEN[0] * 0.65, SCREEN[1] - 40)
    assert len(desk.rows()) > before, desk.said()
    desk.press("Escape")
    assert desk.app.poll() is None, "Escape must not quit"
    assert "Traceback" not in desk.said()


def test_kivy_keeps_its_files_in_the_apps_own_folder(desk):
    desk.wait_for_window()
    assert (desk.folder / "kivy").is_dir()
