"""Pictures of what the hands do: a spectrogram of each ornament with its pitch path laid over.

    .venv/bin/python tests/benchmarks/ornament_pictures.py FOLDER [NAME ...]

Needs matplotlib. Above each spectrogram stands the energy over 30 ms, in which there should be one
onset for each stroke of the mizrab. The path is drawn at the pitch itself and at its third
partial, where a bend is wider.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import matplotlib

matplotlib.use("Agg")
import matplotlib.pyplot as plt
import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from audio.format import SAMPLE_RATE
from audio.mizrab import pitches_in, read_bols, strokes_of
from audio.playing import score_of
from audio.render import render
from audio.resonance import resounding
from audio.sargam import parse
from audio.score import Score
from audio.tuning import JUST, SITAR_SA_HZ
from audio.voices.path import PitchPath

LINES = {
    "plain": "S G m P",
    "meend": "S/R - S/G - m\\G -",
    "meend-of-five": "S/m - - m\\S - -",
    "sparsh": "S<R - G<m -",
    "krintan": "R>S - m>G>R -",
    "ghaseet": "S//P - - P\\\\S - -",
    "kan": "(P)m - (S)R -",
    "murki": "(RSN,)S - - (PmG)m - -",
    "andolan": "g~ - - -",
    "gamak": "R~~ - - -",
    "zamzama": "{SR} - {mP} -",
}
RIGHT_HAND = "da ra dir dra"
JHALA = "da chikari chikari chikari da chikari chikari chikari"
PA_CENTS = 702.0
TOP_HZ = 5000.0


def sargam(line: str) -> Score:
    return score_of(parse(line), JUST, sa_hz=SITAR_SA_HZ, matras_per_min=90.0)


def bols(line: str, matras_per_min: float) -> Score:
    read = read_bols(line)
    pitches = [PA_CENTS] * pitches_in(read)
    strokes = strokes_of(read, pitches, sa_hz=SITAR_SA_HZ, matras_per_min=matras_per_min)
    return Score(SITAR_SA_HZ, strokes)


def scores() -> dict[str, Score]:
    plain = sargam("S - m - - -")
    return {
        **{name: sargam(line) for name, line in LINES.items()},
        "right-hand": bols(RIGHT_HAND, 90.0),
        "chikari": sargam("c - c - c - -"),
        "jhala": bols(JHALA, 360.0),
        "body-on": plain,
        "body-off": resounding(plain, body=False, tarab=False),
        "tarab-on": resounding(plain, body=True, tarab=True),
        "tarab-alone": Score(
            plain.sa_hz,
            tuple(
                stroke
                for stroke in resounding(plain, body=True, tarab=True).strokes
                if stroke.voice == "tarab"
            ),
        ),
    }


def energy_db(sound: np.ndarray) -> np.ndarray:
    window = np.hanning(round(0.03 * SAMPLE_RATE))
    power = np.convolve(np.asarray(sound, np.float64) ** 2, window / window.sum(), "same")
    return 10 * np.log10(power + 1e-9)


def draw(name: str, score: Score, path: Path) -> None:
    sound = render(score)
    times_s = np.arange(len(sound)) / SAMPLE_RATE
    figure, (above, below) = plt.subplots(
        2, 1, figsize=(12, 8), sharex=True, height_ratios=(1, 4), constrained_layout=True
    )
    above.plot(times_s[::64], energy_db(sound)[::64], color="black", linewidth=0.8)
    above.set(ylim=(-70, -10), ylabel="energy, dB", title=name)
    for stroke in score.strokes:
        above.axvline(stroke.onset_s, color="tab:red", linewidth=0.5)
    power, hz, at_s = plt.mlab.specgram(
        sound + 1e-9, NFFT=2048, Fs=SAMPLE_RATE, noverlap=1792, pad_to=8192
    )
    level_db = 10 * np.log10(power / power.max() + 1e-12)
    shown = hz < TOP_HZ
    below.pcolormesh(at_s, hz[shown], level_db[shown], vmin=-70, vmax=0, cmap="magma")
    for stroke in score.strokes:
        since_s = np.arange(0.0, stroke.duration_s, 0.002)
        pitch_hz = PitchPath(stroke.path, sa_hz=score.sa_hz).hz(since_s)
        for partial in (1, 3):
            below.plot(stroke.onset_s + since_s, partial * pitch_hz, color="cyan", linewidth=0.7)
    below.set(ylim=(0, TOP_HZ), xlabel="seconds", ylabel="hertz")
    figure.savefig(path, dpi=65)
    plt.close(figure)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("names", nargs="*", help="which to draw; all where none is named")
    chosen = parser.parse_args()
    chosen.folder.mkdir(parents=True, exist_ok=True)
    for name, score in scores().items():
        if not chosen.names or name in chosen.names:
            path = chosen.folder / f"{name}.png"
            draw(name, score, path)
            print(f"wrote {path}")


if __name__ == "__main__":
    main()
