"""How long from the start of the process to the first frame, beside a bare Kivy app as the peer.

    .venv/bin/python tests/benchmarks/start_to_frame.py [--runs 7]

Both open a window without a display (SDL's offscreen driver) and say when its first frame has been
drawn; ours by `main.py`, as a student opens it who has read the cautions. The peer shows one Label.
Prints medians of seconds on the wall and of seconds on the processor, which a busy machine moves
less, their ratio, and how long Python itself takes to start.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent

FIRST_FRAME = """
def say_when():
    from kivy.app import App
    from kivy.clock import Clock
    from kivy.core.window import Window
    def seen(*_):
        import time
        print(time.time(), time.process_time(), flush=True)
        Window.unbind(on_flip=seen)
        Clock.schedule_once(lambda _: App.get_running_app().stop())
    Window.bind(on_flip=seen)
"""

PEER = f"""
{FIRST_FRAME}
from kivy.app import App
from kivy.uix.label import Label
say_when()
class Bare(App):
    def build(self):
        return Label(text="Kaan")
Bare().run()
"""

OURS = f"""
{FIRST_FRAME}
import runpy, sys
from screens import start
prepare = start.prepare
def prepared(folder):
    prepare(folder)
    say_when()
start.prepare = prepared
sys.argv[:] = [{str(ROOT / "main.py")!r}]
runpy.run_path(sys.argv[0], run_name="__main__")
"""

NOTHING = "import time; print(time.time(), time.process_time())"
SETTINGS = {"cautions_seen": True, "speaker": "silence"}


def run_once(program: str, folder: Path) -> tuple[float, float]:
    """Seconds from the start of a process until it has drawn, and what it computed until then."""
    environment = {
        **os.environ,
        "SDL_VIDEODRIVER": "offscreen",
        "KIVY_HOME": str(folder / "kivy"),
        "KIVY_NO_ARGS": "1",
        "KIVY_NO_FILELOG": "1",
        "KIVY_LOG_MODE": "PYTHON",
        "KAAN_HOME": str(folder),
        "PYTHONPATH": str(ROOT),
    }
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # an app that is installed is compiled
    script = folder / "started.py"  # Kivy looks for an app's own file
    script.write_text(program)
    begun = time.time()
    done = subprocess.run(
        [sys.executable, str(script)],
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        cwd=ROOT,
    )
    seen, computed = map(float, done.stdout.split()[-2:])
    return seen - begun, computed


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=7)
    runs = parser.parse_args().runs
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "settings.json").write_text(json.dumps(SETTINGS))
        programs = {"python": NOTHING, "bare Kivy": PEER, "Kaan": OURS}
        times: dict[str, list[tuple[float, float]]] = {title: [] for title in programs}
        for program in programs.values():
            run_once(program, folder)  # warms the disk cache and makes the folders
        for _ in range(runs):  # in turn, so that a busy moment meets all alike
            for title, program in programs.items():
                times[title].append(run_once(program, folder))
    middle = {}
    for title, values in times.items():
        wall, computed = (sorted(column) for column in zip(*values, strict=True))
        middle[title] = statistics.median(wall), statistics.median(computed)
        print(
            f"{title:10} {middle[title][0]:6.2f} s   ({wall[0]:.2f} to {wall[-1]:.2f}), "
            f"{middle[title][1]:.2f} s computed ({computed[0]:.2f} to {computed[-1]:.2f})"
        )
    ratio = middle["Kaan"][0] / middle["bare Kivy"][0]
    print(f"Kaan takes {ratio:.2f} times as long as a bare Kivy app, median of {runs} runs")


if __name__ == "__main__":
    main()
