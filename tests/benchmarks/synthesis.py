"""How fast and how lean the voices are, beside peers in the same run. Run by hand:

    .venv/bin/python tests/benchmarks/synthesis.py [--pictures FOLDER]

Times on a shared machine vary by several times; ratios to a peer hold better. `x` is times faster
than real time. `--pictures` also writes spectrograms (needs matplotlib).
"""

from __future__ import annotations

import argparse
import statistics
import subprocess
import sys
import time
import tracemalloc
from collections.abc import Callable, Iterable
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from audio import render
from audio.format import BLOCK_FRAMES, SAMPLE_RATE
from audio.mizrab import pitches_in, read_bols, strokes_of
from audio.score import Drone, Score, Stroke, TablaStroke
from audio.theka import read_theka, theka_strokes
from audio.tuning import SITAR_SA_HZ
from audio.voices.tabla import SOUNDS
from tests.benchmarks import peers

NOTE_S = 3.0
PITCHES = (43, 57, 69, 84)
SA_HZ = SITAR_SA_HZ
PATH = ((0.0, 0.0), (0.8, 0.0), (1.1, 200.0), (1.6, 200.0), (1.9, 0.0))


def midi_hz(midi: float) -> float:
    return 440.0 * 2.0 ** ((midi - 69) / 12)


def note(midi: int) -> Score:
    """A note of 3 s with a meend."""
    return Score(midi_hz(midi), (Stroke(0.0, NOTE_S, PATH),))


def alap(length_s: float) -> Score:
    """Slow strokes of 1.5 s, each with its own meend."""
    strokes = tuple(
        Stroke(
            1.5 * i,
            1.5,
            ((0.0, 100.0 * (i * 5 % 12)), (0.4, 100.0 * (i * 5 % 12)), (0.8, 100.0 * (i * 7 % 12))),
            level_db=(i % 3) - 1.0,
            brightness=(i % 5) / 5 - 0.4,
        )
        for i in range(round(length_s / 1.5))
    )
    return Score(SA_HZ, strokes, drone=Drone())


TINTAL = "dha dhin dhin dha | dha dhin dhin dha | dha tin tin ta | ta dhin dhin dha"
JHALA_TEMPO = 500


def jhala(length_s: float, *, tabla: bool = True, sa_hz: float = SA_HZ) -> Score:
    """One stroke on the playing string and three on the chikari, over tintal, fast."""
    bols = read_bols("da chikari chikari chikari " * round(length_s * JHALA_TEMPO / 240))
    cents = [100.0 * (i * 7 % 12) for i in range(pitches_in(bols))]
    strokes = strokes_of(bols, cents, sa_hz=sa_hz, matras_per_min=JHALA_TEMPO)
    theka = theka_strokes(read_theka(TINTAL), matras_per_min=JHALA_TEMPO, matras=len(bols))
    return Score(sa_hz, strokes, Drone(), tabla=theka if tabla else ())


def times_s(work: Callable[[], object], repeats: int = 9) -> list[float]:
    taken = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return taken


def factor(work: Callable[[], object], sound_s: float, repeats: int = 9) -> float:
    """Of the best of some runs: what else the machine does only ever adds."""
    return sound_s / min(times_s(work, repeats))


def drain(pieces: Iterable[np.ndarray]) -> None:
    for _ in pieces:
        pass


def to_16_bit(score: Score) -> int:
    return sum(
        len(np.rint(piece * 32767.0).astype("<i2").tobytes()) for piece in render.blocks(score)
    )


def show(ask: str, figure: str, target: str) -> None:
    print(f"  {ask:<46} {figure:>26}   {target}")


def notes_beside_peers() -> None:
    print(f"\na {NOTE_S:.0f} s note with a meend (peers: steady)")
    columns = ("MIDI", "chunks", "whole", "Python", "lfilter", "FluidSynth")
    print("  " + "".join(f"{column:>12}" for column in columns))
    ours, whole_notes = [], []
    for midi in PITCHES:
        score, hz = note(midi), midi_hz(midi)
        chunks = factor(lambda score=score: drain(render.blocks(score)), NOTE_S)
        whole = factor(lambda score=score: render.render(score), NOTE_S)
        plain = factor(lambda hz=hz: peers.python_string(hz, NOTE_S), NOTE_S, 3)
        lfilter = factor(lambda hz=hz: peers.lfilter_string(hz, NOTE_S), NOTE_S, 3)
        fluid = peers.fluidsynth_factor(midi)
        ours.append(chunks)
        whole_notes.append(whole)
        row = [f"{midi}", f"{chunks:.0f} x", f"{whole:.0f} x"]
        for peer in (plain, lfilter, fluid):
            row.append("not here" if peer is None else f"{peer:.0f} ({chunks / peer:.1f})")
        print("  " + "".join(f"{cell:>12}" for cell in row))
    print("  (in brackets: our chunks beside that peer)")
    show("median in 93 ms chunks", f"{statistics.median(ours):.0f} x", ">= 500 x, floor 300 x")
    show("median whole", f"{statistics.median(whole_notes):.0f} x", ">= 1000 x")


def long_scores() -> None:
    print("\nscores")
    render.drone_loop(Drone(), sa_hz=SA_HZ)
    show(
        "30 s alap with drone, to 16 bit",
        f"{factor(lambda: to_16_bit(alap(30.0)), 30.0, 5):.0f} x",
        ">= 250 x",
    )
    taken = [min(times_s(lambda s=s: to_16_bit(alap(s)), 5)) / s for s in (15, 30, 60)]
    growth = ", ".join(f"{1e3 * each:.2f}" for each in taken)
    show("growth: ms a second at 15, 30, 60 s", growth, "all alike: linear")
    worst = []
    for _ in range(5):
        pieces = render.blocks(alap(15.0))
        worst.append(max(times_s(lambda pieces=pieces: next(pieces), 160)))
    share = 100 * statistics.median(worst) * SAMPLE_RATE / BLOCK_FRAMES
    show("worst chunk, share of its own duration", f"{share:.1f} %", "<= 10 %")


def fast_scores() -> None:
    print(f"\na jhala at {JHALA_TEMPO} matras a minute, to 16 bit")
    render.drone_loop(Drone(), sa_hz=SA_HZ)
    for name, tabla in (("strings and drone", False), ("with tabla", True)):
        score = jhala(30.0, tabla=tabla)
        speed = factor(lambda score=score: to_16_bit(score), 30.0, 5)
        show(f"30 s, {name}", f"{speed:.0f} x", "")
    drums = Score(SA_HZ, (), tabla=jhala(30.0).tabla)
    show("30 s, tabla alone", f"{factor(lambda: to_16_bit(drums), 30.0, 5):.0f} x", "")
    taken = [min(times_s(lambda s=s: to_16_bit(jhala(s)), 3)) / s for s in (15, 30, 60)]
    growth = ", ".join(f"{1e3 * each:.2f}" for each in taken)
    show("growth: ms a second at 15, 30, 60 s", growth, "all alike: linear")
    worst = []
    for _ in range(5):
        pieces = render.blocks(jhala(15.0))
        worst.append(max(times_s(lambda pieces=pieces: next(pieces), 160)))
    share = 100 * statistics.median(worst) * SAMPLE_RATE / BLOCK_FRAMES
    show("worst chunk, share of its own duration", f"{share:.1f} %", "<= 10 %")

    def first_block(sa_hz: float) -> float:
        drums = Score(sa_hz, (), tabla=jhala(1.0, sa_hz=sa_hz).tabla)
        return times_s(lambda: next(render.blocks(drums, block_frames=4410)), 1)[0]

    anew = min(first_block(200.0 + step) for step in range(9))
    show("first 100 ms of a theka, at a Sa never heard", f"{1e3 * anew:.2f} ms", "<= 20 ms")
    again = min(first_block(200.0) for _ in range(9))
    show("the same, at the Sa of the cue before", f"{1e3 * again:.2f} ms", "<= 2 ms")


COLD = """
import time
from audio import render
from audio.score import Score, Stroke
{before}
score = Score(220.0, (Stroke(0.0, 3.0, ((0.0, 0.0),), brightness=0.3),))
start = time.perf_counter()
next(render.blocks(score, block_frames=4410))
print(1e3 * (time.perf_counter() - start))
"""


def cold_ms(before: str = "") -> float:
    """In a process of its own, after the import."""
    program = COLD.format(before=before)
    root = Path(__file__).parents[2]
    runs = [
        subprocess.run(
            [sys.executable, "-c", program], cwd=root, capture_output=True, text=True, check=True
        )
        for _ in range(5)
    ]
    return statistics.median(float(run.stdout) for run in runs)


def first_sound() -> None:
    print("\nfirst 100 ms of a note")
    warm = max(
        statistics.median(times_s(lambda m=m: next(render.blocks(note(m), block_frames=4410))))
        for m in PITCHES
    )
    show("warm, slowest of the pitches", f"{1e3 * warm:.2f} ms", "<= 2 ms")
    show("cold, after import", f"{cold_ms():.1f} ms", "<= 20 ms")
    show("cold, after warm_up()", f"{cold_ms('render.warm_up()'):.1f} ms", "")
    show("warm_up()", f"{1e3 * statistics.median(warm_up_s()):.0f} ms", "")
    fresh = [
        times_s(lambda sa_hz=sa_hz: render.drone_loop(Drone(), sa_hz=sa_hz), 1)[0]
        for sa_hz in (130.0, 131.0, 132.0, 133.0, 134.0)
    ]
    show("a drone's loop, made anew", f"{1e3 * statistics.median(fresh):.0f} ms", "")


def warm_up_s() -> list[float]:
    program = (
        "import time; from audio import render; start = time.perf_counter(); render.warm_up();"
        "print(time.perf_counter() - start)"
    )
    command = [sys.executable, "-c", program]
    root = Path(__file__).parents[2]
    return [
        float(subprocess.run(command, cwd=root, capture_output=True, text=True).stdout)
        for _ in range(3)
    ]


def memory() -> None:
    print("\nmemory")
    loop = max(render.drone_loop(Drone(first), sa_hz=SA_HZ).nbytes for first in "PmN")
    for midi in (43, 69):
        tracemalloc.start()
        drain(render.blocks(note(midi)))
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        show(f"working set of a note in chunks, MIDI {midi}", f"{peak / 1e6:.2f} MB", "<= 1 MB")
    show("drone loop", f"{loop / 1e6:.2f} MB", "<= 2 MB")


def pictures(folder: Path) -> None:
    """Spectrograms of notes at three pitches, a meend, the drone, a jhala; and of each bol."""
    import matplotlib

    matplotlib.use("Agg")
    import matplotlib.pyplot as plt

    folder.mkdir(parents=True, exist_ok=True)
    sounds = {f"note-{midi}": (render.render(note(midi)), 9000) for midi in (43, 57, 74)}
    twice = np.tile(render.drone_loop(Drone(), sa_hz=SA_HZ), 2)
    sounds["drone"] = (twice[: 15 * SAMPLE_RATE], 5000)
    sounds["alap"] = (render.render(alap(12.0)), 6000)
    sounds["jhala"] = (render.render(jhala(5.0)), 6000)
    for name, (sound, top_hz) in sounds.items():
        figure, axes = plt.subplots(figsize=(12, 7))
        power, hz, at_s, _ = axes.specgram(sound + 1e-9, NFFT=4096, Fs=SAMPLE_RATE, noverlap=3584)
        axes.clear()
        level_db = 10 * np.log10(power / power.max() + 1e-12)
        axes.pcolormesh(at_s, hz, level_db, vmin=-75, vmax=0, cmap="magma")
        axes.set(ylim=(0, top_hz), xlabel="seconds", ylabel="hertz", title=name)
        figure.savefig(folder / f"{name}.png", dpi=70)
        plt.close(figure)
        print(f"wrote {folder / name}.png")
    bol_pictures(folder)


def bol_pictures(folder: Path) -> None:
    """Each bol: its spectrogram from 50 Hz up, and its first 40 ms as a curve."""
    import matplotlib.pyplot as plt

    for bol in SOUNDS:
        figure, (above, below) = plt.subplots(2, figsize=(9, 8), height_ratios=(2, 1))
        alone = render.render(Score(SA_HZ, (), tabla=(TablaStroke(0.0, bol),)))
        sound = np.pad(alone, (2205, 22_050))[: round(0.8 * SAMPLE_RATE)]
        power, hz, at_s, _ = above.specgram(sound + 1e-9, NFFT=2048, Fs=SAMPLE_RATE, noverlap=1984)
        above.clear()
        level_db = 10 * np.log10(power / power.max() + 1e-12)
        above.pcolormesh(at_s, hz, level_db, vmin=-70, vmax=0, cmap="magma")
        above.set(yscale="log", ylim=(50, 12_000), xlabel="seconds", ylabel="hertz", title=bol)
        start = sound[2205 - 220 : 2205 + 1_764]
        below.plot(1e3 * (np.arange(len(start)) - 220) / SAMPLE_RATE, start, linewidth=0.7)
        below.set(xlabel="ms", xlim=(-5, 40))
        figure.savefig(folder / f"bol-{bol}.png", dpi=60)
        plt.close(figure)
        print(f"wrote {folder / f'bol-{bol}'}.png")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--pictures", type=Path, metavar="FOLDER")
    chosen = parser.parse_args()
    if chosen.pictures:
        pictures(chosen.pictures)
        return
    render.warm_up()
    notes_beside_peers()
    long_scores()
    fast_scores()
    first_sound()
    memory()


if __name__ == "__main__":
    main()
