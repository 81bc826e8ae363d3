"""The app as a student starts it: its own process, a display, a mouse and a keyboard."""

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from contextlib import ExitStack
from pathlib import Path

import pytest

from scheduler import Log
from tests.window.scripted import step
from tests.window.test_ordering import with_one_pair_broken

pytestmark = pytest.mark.window

ROOT = Path(__file__).resolve().parent.parent.parent
SCREEN = 1120, 760
PATIENCE_S = 60.0


def missing():
    return next((name for name in ("Xvfb", "xdotool") if shutil.which(name) is None), None)


class Desk:
    """A display of its own, and the app on it; `xdotool` moves mouse and keys."""

    def __init__(self, folder, *command):
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
            [sys.executable, *command],
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
def desk_with(tmp_path):
    if (part := missing()) is not None:
        pytest.skip(f"{part} is not installed (Debian: xvfb, xdotool)")
    with ExitStack() as stack:

        def open_it(*command):
            desk = Desk(tmp_path, *command)
            stack.callback(desk.close)
            return desk

        yield open_it


@pytest.fixture
def desk(desk_with):
    return desk_with("main.py", "--speaker", "silence")


def test_mouse_and_keyboard_drive_the_app_as_a_student_would(desk):
    window = desk.wait_for_window()
    time.sleep(1.0)
    desk.tool("windowfocus", window)
    # Who; the listening check begins, its note is heard, on; Sa; the course and the first question.
    for _ in range(6):
        desk.press("Return")
        time.sleep(0.3)
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


def test_the_mouse_drags_six_stages_into_order_and_the_broken_pair_is_told(desk_with, tmp_path):
    skill, seed = "order:performance:6", 5
    asked = step(skill, seed=seed).question
    slipped, names = with_one_pair_broken(asked)
    desk = desk_with("-m", "tests.window.asked", skill, str(seed), str(tmp_path))
    window = desk.wait_for_window()

    def state():
        file = tmp_path / "state.json"
        return json.loads(file.read_text()) if file.exists() else {}

    def wait_until(fact):
        end = time.monotonic() + PATIENCE_S
        while not fact(state()):
            assert desk.app.poll() is None, desk.said()
            assert time.monotonic() < end, (state(), desk.said())
            time.sleep(0.05)

    def is_laid_out(now):
        heights = [y for _, y in now.get("plates", {}).values()]
        return len({y for y in heights if 48 < y < SCREEN[1]}) == 6 and now["stage"] == "asking"

    wait_until(is_laid_out)
    desk.tool("windowfocus", window)
    time.sleep(1.0)  # as above: a window that has just come may miss the first click
    for at, stage in enumerate(slipped.split()):
        line = state()["line"]
        if line[at] == stage:
            continue
        where = state()["plates"]
        desk.tool("mousemove", *map(round, where[stage]), "mousedown", 1)
        # What moves before the next frame, Kivy takes for its beginning.
        wait_until(lambda now, stage=stage: now["lifted"] == stage)
        desk.tool("mousemove", *map(round, where[line[at]]))
        wait_until(lambda now, at=at, stage=stage: now["line"][at] == stage)
        desk.tool("mouseup", 1)
        wait_until(lambda now: not now["lifted"])
        assert state()["line"] == [*line[:at], stage, *(k for k in line[at:] if k != stage)]
    desk.click(*map(round, state()["answer"]))
    wait_until(lambda now: now["stage"] == "answered")
    told = state()
    assert told["given"] == [slipped]
    assert told["verdict"] == "Partly right: 14 of 15 pairs in order"
    assert all(name.lower() in told["why"].lower() for name in names)
    assert "Traceback" not in desk.said()
