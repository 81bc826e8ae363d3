"""How long from the start of the process to the first frame, beside a bare Kivy app as the peer.

    .venv/bin/python tests/benchmarks/start_to_frame.py [--runs 7]

Both open a window without a display (SDL's offscreen driver), draw one frame and end. The peer
shows one Label. Prints medians, their ratio, and how long Python itself takes to start.
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent

FIRST_FRAME = """
from kivy.clock import Clock
from kivy.core.window import Window
def leave(*_):
    Clock.schedule_once(lambda _: App.get_running_app().stop())
Window.bind(on_flip=leave)
"""

PEER = f"""
from kivy.app import App
from kivy.uix.label import Label
{FIRST_FRAME}
class Bare(App):
    def build(self):
        return Label(text="Kaan")
Bare().run()
"""

OURS = f"""
import sys
from pathlib import Path
from practice import Practice
from screens.start import prepare
prepare(Path(sys.argv[1]))
from screens.app import KaanApp
from kivy.app import App
{FIRST_FRAME}
practice = Practice(Path(sys.argv[1]), speaker="silence")
KaanApp(practice).run()
practice.close()
"""

NOTHING = "pass"


def run_once(program: str, folder: Path) -> float:
    """Seconds from start to end of one process."""
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
    script = folder / "started.py"  # Kivy looks for an app's own file
    script.write_text(program)
    begun = time.perf_counter()
    subprocess.run(
        [sys.executable, str(script), str(folder)],
        env=environment,
        check=True,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        cwd=ROOT,
    )
    return time.perf_counter() - begun


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=7)
    runs = parser.parse_args().runs
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        programs = {"python": NOTHING, "bare Kivy": PEER, "Kaan": OURS}
        times: dict[str, list[float]] = {title: [] for title in programs}
        for program in programs.values():
            run_once(program, folder)  # warms the disk cache and makes the folders
        for _ in range(runs):  # in turn, so that a busy moment meets all alike
            for title, program in programs.items():
                times[title].append(run_once(program, folder))
    for title, values in times.items():
        low, high = min(values), max(values)
        print(f"{title:10} {statistics.median(values):6.2f} s   ({low:.2f} to {high:.2f})")
    ratio = statistics.median(times["Kaan"]) / statistics.median(times["bare Kivy"])
    print(f"Kaan takes {ratio:.2f} times as long as a bare Kivy app, median of {runs} runs")


if __name__ == "__main__":
    main()
