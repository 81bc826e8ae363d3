"""A private PulseAudio server with a null sink, whose monitor is recorded: sound without a card.

Use it in a test module by `pytest_plugins = ("tests.sound_device",)` and the fixture `null_sink`;
import it there for type checks only, since pytest warns of plug-ins imported before.
The server, its runtime folder and its cookie are its own; it is reached through PULSE_SERVER and
runs as root too, as containers do.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest

RATE = 44_100
SINK = "kaan_null"


def missing_part() -> str | None:
    """Which program of PulseAudio this machine lacks, None when all are here."""
    for program in ("pulseaudio", "parec", "pactl"):
        if shutil.which(program) is None:
            return f"{program} is not installed (Debian: pulseaudio, pulseaudio-utils)"
    return None


def _listen(environment: dict[str, str], output: int) -> subprocess.Popen[bytes]:
    """A process that writes the monitor's frames, mono float32 at RATE, to its standard output."""
    form = [f"--rate={RATE}", "--channels=1", "--format=float32le", "--raw"]
    return subprocess.Popen(
        ["parec", f"--device={SINK}.monitor", "--latency-msec=5", *form],
        env=environment,
        stdout=output,
        stderr=subprocess.DEVNULL,
    )


class Recording:
    """What the sink's monitor gave: `samples` is float32 of shape (n,), mono, at RATE.

    `arrivals` holds (time.monotonic(), frames received until then) for each chunk.
    """

    def __init__(self, environment: dict[str, str]) -> None:
        self._chunks: list[bytes] = []
        self.arrivals: list[tuple[float, int]] = []
        self._process = _listen(environment, subprocess.PIPE)
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self) -> None:
        assert self._process.stdout is not None
        pipe = self._process.stdout.fileno()
        bytes_read = 0
        while data := os.read(pipe, 65_536):
            bytes_read += len(data)
            self._chunks.append(data)
            self.arrivals.append((time.monotonic(), bytes_read // 4))

    def wait_until_running(self, timeout_s: float = 5.0) -> None:
        """Return when the first frames have come in."""
        end = time.monotonic() + timeout_s
        while not self.arrivals:
            if time.monotonic() > end or self._process.poll() is not None:
                raise RuntimeError("the null sink's monitor gives no frames")
            time.sleep(0.005)

    @property
    def samples(self) -> np.ndarray:
        data = b"".join(list(self._chunks))
        return np.frombuffer(data[: len(data) // 4 * 4], dtype=np.float32)

    def stop(self) -> np.ndarray:
        """End the recording; all samples, shape (n,)."""
        if self._process.poll() is None:
            self._process.terminate()
        self._process.wait(timeout=5)
        self._reader.join(timeout=5)
        assert self._process.stdout is not None
        self._process.stdout.close()
        return self.samples


class NullSink:
    """The server; `environment` is what a client process needs to reach it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._process: subprocess.Popen[bytes] | None = None
        self._listener: subprocess.Popen[bytes] | None = None
        runtime = folder / "run"
        runtime.mkdir(mode=0o700, parents=True, exist_ok=True)
        (folder / "home").mkdir(mode=0o700, exist_ok=True)
        self._socket = folder / "native"
        self.variables = {
            "HOME": str(folder / "home"),
            "XDG_RUNTIME_DIR": str(runtime),
            "PULSE_SERVER": f"unix:{self._socket}",
            "PULSE_COOKIE": str(folder / "cookie"),
            "SDL_AUDIODRIVER": "pulseaudio",
        }

    @property
    def environment(self) -> dict[str, str]:
        return {**os.environ, **self.variables}

    def start(self) -> None:
        """Start the server and return when it answers."""
        self._socket.unlink(missing_ok=True)
        environment = {k: v for k, v in self.environment.items() if k != "PULSE_SERVER"}
        with (self.folder / "server.txt").open("ab") as told:
            self._process = subprocess.Popen(
                [
                    "pulseaudio",
                    "-n",
                    "--daemonize=no",
                    "--exit-idle-time=-1",
                    "--use-pid-file=no",
                    "--log-target=stderr",
                    "--log-level=error",
                    "--disable-shm=yes",
                    "-L",
                    f"module-null-sink sink_name={SINK} rate={RATE} channels=2 format=float32le",
                    "-L",
                    f"module-native-protocol-unix socket={self._socket} auth-anonymous=1",
                ],
                env=environment,
                stdout=subprocess.DEVNULL,
                stderr=told,
            )
        self._wait_until_it_answers()
        self._set_going()

    def _wait_until_it_answers(self, timeout_s: float = 10.0) -> None:
        end = time.monotonic() + timeout_s
        while time.monotonic() < end:
            if self._asked("info") is not None:
                return
            time.sleep(0.05)
        self.kill()
        said = (self.folder / "server.txt").read_text(errors="replace")[-2000:]
        raise RuntimeError(f"the private PulseAudio server does not answer; it said: {said}")

    def _asked(self, *arguments: str) -> bytes | None:
        """What pactl answers, None if it fails."""
        ran = subprocess.run(["pactl", *arguments], env=self.environment, capture_output=True)
        return ran.stdout if ran.returncode == 0 else None

    def _set_going(self, timeout_s: float = 5.0) -> None:
        """Make the sink move in short steps, as a sound card does.

        Left alone it renders 2 s ahead, and what starts then waits for that to pass. A listener
        asks for short steps, and a pause makes the sink begin anew with them.
        """
        self._listener = _listen(self.environment, subprocess.DEVNULL)
        end = time.monotonic() + timeout_s
        while not self._asked("list", "short", "source-outputs"):
            if time.monotonic() > end:
                raise RuntimeError("the null sink's monitor cannot be listened to")
            time.sleep(0.02)
        self._asked("suspend-sink", SINK, "1")
        self._asked("suspend-sink", SINK, "0")

    def kill(self) -> None:
        """End the server at once, as a crash would."""
        self._end(signal.SIGKILL)

    def stop(self) -> None:
        self._end(signal.SIGTERM)

    def _end(self, how: signal.Signals) -> None:
        if self._listener is not None:
            self._listener.kill()
            self._listener.wait(timeout=5)
            self._listener = None
        if self._process is None:
            return
        if self._process.poll() is None:
            self._process.send_signal(how)
        try:
            self._process.wait(timeout=5)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait(timeout=5)
        self._process = None

    def freeze(self, frozen: bool) -> None:
        """Stop the server's clock, or let it go on, as a hung driver would."""
        assert self._process is not None
        self._process.send_signal(signal.SIGSTOP if frozen else signal.SIGCONT)

    @contextmanager
    def recording(self) -> Iterator[Recording]:
        """Record the monitor while the block runs; it runs from the first frame received."""
        recording = Recording(self.environment)
        try:
            recording.wait_until_running()
            yield recording
        finally:
            recording.stop()


@contextmanager
def serving() -> Iterator[NullSink]:
    """A running null sink, with this process's environment pointing to it."""
    folder = Path(tempfile.mkdtemp(prefix="kaan-sound-"))
    sink = NullSink(folder)
    before = {name: os.environ.get(name) for name in sink.variables}
    try:
        sink.start()
        os.environ.update(sink.variables)
        yield sink
    finally:
        for name, value in before.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value
        sink.stop()
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def null_sink() -> Iterator[NullSink]:
    """A private sound server; skipped only where PulseAudio is not installed."""
    missing = missing_part()
    if missing:
        pytest.skip(missing)
    with serving() as sink:
        yield sink
