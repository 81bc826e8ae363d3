"""Commands of the desk, run as a teacher runs them."""

import json
import math
import subprocess
import sys
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import numpy as np
import parselmouth
import pytest

from audio.sargam import parse
from audio.wav import read_wav
from main import main
from quizzes.kinds import OWN_KINDS

ROOT = Path(__file__).parent.parent.parent


def kaan(*arguments, **more):
    return subprocess.run(
        [sys.executable, "main.py", *map(str, arguments)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=60,
        **more,
    )


@pytest.fixture
def here(capsys, monkeypatch):
    """Runs a command in this process: the same code as `kaan`, without starting Python anew."""
    monkeypatch.chdir(ROOT)

    def run(*arguments):
        try:
            code = main(list(map(str, arguments)))
        except SystemExit as refused:  # by the reader of arguments
            code = refused.code
        out, err = capsys.readouterr()
        return subprocess.CompletedProcess(arguments, code, out, err)

    return run


def pitch_at(samples, at_s):
    """Pitch in hertz in the 0.3 s from `at_s`, by Praat's autocorrelation."""
    part = samples[round(at_s * 44_100) : round((at_s + 0.3) * 44_100)].astype(np.float64)
    track = parselmouth.Sound(part, 44_100).to_pitch_ac(pitch_floor=75, pitch_ceiling=900)
    return float(np.median(track.selected_array["frequency"]))


def test_a_line_of_sargam_becomes_a_sound_file_with_its_pitches(tmp_path):
    out = tmp_path / "phrase.wav"
    done = kaan("sound", "N, R G R S", "--sa", 146.83, "--out", out)
    assert done.returncode == 0, done.stderr
    samples = read_wav(out)
    # Just ratios as handbooks print them.
    for beat, ratio in enumerate(("15/16", "9/8", "5/4", "9/8", "1")):
        off_cents = 1200 * math.log2(pitch_at(samples, beat + 0.3) / 146.83 / Fraction(ratio))
        assert abs(off_cents) < 1.0


def test_tempo_tuning_and_drone_are_heard(tmp_path, here):
    quick, slow, droned = (tmp_path / f"{name}.wav" for name in ("quick", "slow", "droned"))
    here("sound", "S R G m", "--matras", 240, "--tuning", "equal", "--out", quick)
    here("sound", "S R G m", "--matras", 60, "--out", slow)
    here("sound", "S R G m", "--matras", 60, "--drone", "Sa-Pa", "--out", droned)
    assert len(read_wav(slow)) - len(read_wav(quick)) == pytest.approx(3 * 44_100, rel=0.01)
    ending = read_wav(quick)[round(0.8 * 44_100) :]
    # Ma at 500 cents, not 498: equal temperament.
    assert pitch_at(ending, 0.1) == pytest.approx(277.18 * 2 ** (5 / 12), rel=3e-4)
    lead = read_wav(droned)[44_100:60_000]
    assert 0.001 < np.sqrt(np.mean(lead**2)) < 0.1


def onsets_s(samples):
    """When the sound's high part, in pieces of 5 ms, rises by 3 dB and more within 10 ms."""
    high = np.diff(samples.astype(np.float64), 2)
    frames = len(high) // 220
    power = np.mean(high[: 220 * frames].reshape(frames, 220) ** 2, axis=1)
    rise = 10 * np.log10((power[2:] + 1e-9) / (power[:-2] + 1e-9))
    times = [(index + 1) * 220 / 44_100 for index in np.flatnonzero(rise > 3.0)]
    return [time for before, time in pairwise([-1.0, *times]) if time - before > 0.05]


def test_bols_of_the_mizrab_are_heard_at_their_matras(tmp_path, here):
    out = tmp_path / "bols.wav"
    assert here("strokes", "da dir da -", "--matras", 60, "--out", out).returncode == 0
    # The first stroke begins with the file.
    assert onsets_s(read_wav(out))[-3:] == pytest.approx([1.0, 1.5, 2.0], abs=0.01)


def test_a_gat_over_its_theka_lasts_one_cycle(tmp_path, here):
    gat, theka = tmp_path / "gat.wav", tmp_path / "theka.wav"
    line = "dir da dir da ra da da ra"
    here("strokes", line, "--times", 2, "--theka", "tintal", "--from", 12, "--matras", 240,
         "--out", gat)  # fmt: skip
    here("strokes", "--theka", "tintal", "--matras", 240, "--out", theka)
    for path in (gat, theka):
        assert 4.0 < len(read_wav(path)) / 44_100 < 6.5


def test_body_and_sympathetic_strings_can_be_chosen(tmp_path, here):
    plain, bare, ringing = (tmp_path / f"{name}.wav" for name in ("plain", "bare", "ringing"))
    here("sound", "S/R -", "--out", plain)
    here("sound", "S/R -", "--no-body", "--out", bare)
    here("sound", "S/R -", "--tarab", "--out", ringing)
    assert len({path.read_bytes() for path in (plain, bare, ringing)}) == 3


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("sound", "S X", "--out", "x.wav"), "'X' is not a swara"),
        (("sound", "S", "--sa", "20", "--out", "x.wav"), "give hertz from 98 to 330"),
        (("sound", "S", "--tuning", "no.scl", "--out", "x.wav"), "write just, equal, or the path"),
        (("sound", "S:900", "--matras", "10", "--out", "x.wav"), "at most 30 can be written"),
        (("sound", "S", "--out", "nowhere/at/all/x.wav"), "there is no folder nowhere/at/all"),
        (("sound", "S", "--out", "x.mp3"), "should end in .wav"),
        (("strokes", "--out", "x.wav"), "nothing to play"),
        (("strokes", "da dum", "--out", "x.wav"), "bol 2, 'dum', is not known"),
        (("strokes", "da", "--swaras", ".", "--out", "x.wav"), "no swara to strike"),
        (("strokes", "da", "--swaras", "S~", "--out", "x.wav"), "swaras are struck plainly"),
        (("strokes", "da", "--from", "3", "--out", "x.wav"), "give --theka, too"),
        (("strokes", "--theka", "rupak", "--from", "8", "--out", "x.wav"), "one from 1 to 7"),
        (("questions", "gap", "--skill", "swara:S"), "no skill of gap"),
        (("--text", "--minutes", "0"), "give minutes, a whole number from 1 to 60"),
        (("questions", "gap", "--skill", "gap:P-S:up"), "main.py kinds gap"),
        (("questions", "gap", "--count", "0"), "a whole number from 1"),
        (("questions", "melody"), "invalid choice"),
        (("questions", "gap", "--tradition", "t.toml"), "a teacher's word on ragas"),
        (("questions", "raga-vadi", "--tradition", "t.toml"), "No such file"),
        (("raga", "yamna"), "did you mean yaman?"),
    ],
)
def test_a_faulty_wish_is_told_plainly(arguments, said, here):
    done = here(*arguments)
    assert done.returncode != 0
    assert said in done.stdout + done.stderr
    assert "Traceback" not in done.stderr
    assert not (ROOT / "x.wav").exists()


@pytest.mark.parametrize("kind", OWN_KINDS)
def test_questions_are_json_lines(kind, here):
    done = here("questions", kind, "--count", 6, "--seed", 7)
    lines = [json.loads(line) for line in done.stdout.splitlines()]
    assert len(lines) == 6
    for line in lines:
        assert set(line) == {
            "kind", "skill", "seed", "prompt", "answer_on", "choices", "places", "whole", "cycle",
            "right", "why", "cue", "sa_hz", "detail",
        }  # fmt: skip
        assert line["kind"] == kind
        if line["answer_on"] == "shares":
            shares = [list(map(int, right.split(" "))) for right in line["right"]]
            assert {(len(each), sum(each)) for each in shares} == {
                (len(line["choices"]), line["whole"])
            }
            continue
        if line["answer_on"] == "taps":
            for right in line["right"]:
                moments = list(map(int, right.split(" ")))
                assert moments == sorted(set(moments))
            continue
        if line["answer_on"] == "wheel":
            ids = [choice["id"] for choice in line["choices"]]
            assert ids == [str(matra) for matra in range(1, line["cycle"]["matras"] + 1)]
        if line["answer_on"] == "sargam":
            for right in line["right"]:
                notes = list(parse(right).notes())
                letters = {swara.letter for note in notes for swara in note.tone.swaras}
                assert len(notes) <= line["places"]
                assert letters <= {choice["id"] for choice in line["choices"]}
            continue
        words = {word for right in line["right"] for word in right.split(" ")}
        assert words <= {choice["id"] for choice in line["choices"]}


def test_the_same_seed_gives_the_same_questions(here):
    # In another process, where sets of names may come in another order.
    first, again, other = (
        run("questions", "gap", "--count", 6, "--seed", seed).stdout
        for run, seed in ((here, 7), (kaan, 7), (here, 8))
    )
    assert first == again != other


def test_a_teachers_word_reaches_the_questions(tmp_path, here):
    word = tmp_path / "teacher.toml"
    word.write_text('[yaman]\nvadi = "G D"\n')
    asked = ("questions", "raga-vadi", "--skill", "raga-vadi:yaman", "--count", 1)
    ours, theirs = (json.loads(here(*asked, *more).stdout) for more in ((), ("--tradition", word)))
    assert (ours["right"], theirs["right"]) == (["G-N"], ["G-D"])


def test_cues_are_written_as_they_are_heard(tmp_path, here):
    done = here("questions", "swara", "--count", 2, "--sound", tmp_path / "cues")
    for line in map(json.loads, done.stdout.splitlines()):
        samples = read_wav(Path(line["sound"]))
        assert len(samples) > 44_100
        assert 0.01 < np.abs(samples).max() < 10 ** (-1 / 20)


def test_kinds_are_listed_and_so_are_the_skills_of_one(here):
    lines = here("kinds").stdout.splitlines()
    assert [line.split()[0] for line in lines if not line.startswith(" ")] == list(OWN_KINDS)
    assert max(map(len, lines)) <= 80
    skills = here("kinds", "gap").stdout.splitlines()
    assert len(skills) == 234
    assert any(line.split() == ["gap:R-P:up", "Re", "up", "to", "Pa"] for line in skills)


@pytest.mark.parametrize(
    "command", [(), ("sound",), ("strokes",), ("raga",), ("questions",), ("kinds",)]
)
def test_help_can_be_read(command, here):
    done = here(*command, "--help")
    assert done.returncode == 0
    assert "usage: main.py" in done.stdout


def test_without_a_display_one_line_points_to_the_terminal(tmp_path):
    environment = {"PATH": "/usr/bin:/bin", "KAAN_HOME": str(tmp_path), "HOME": str(tmp_path)}
    done = kaan(env=environment)
    assert done.returncode == 1
    assert done.stderr.splitlines() == [
        "No window can be opened here; `python main.py --text` gives the same practice in the "
        "terminal."
    ]


def test_a_reader_that_has_enough_is_no_fault():
    command = f"{sys.executable} main.py questions wider --count 3000 | head -1"
    done = subprocess.run(command, shell=True, cwd=ROOT, capture_output=True, text=True)
    assert json.loads(done.stdout)["kind"] == "wider"
    assert done.stderr == ""
