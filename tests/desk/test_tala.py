"""The command `tala`, as a teacher uses it."""

import numpy as np
import pytest

from audio.format import SAMPLE_RATE
from audio.theka import read_theka
from audio.wav import read_wav
from desk.tala_sheet import cycle
from main import main
from quizzes.talas import talas
from tests.audio.meters import drum_onsets

KNOWN = talas()


@pytest.fixture
def told(capsys):
    """What a command prints, or says where it fails."""

    def run(*arguments):
        code = main(["tala", *map(str, arguments)])
        printed = capsys.readouterr()
        return code, printed.out, printed.err

    return run


def test_every_tala_is_listed_with_its_matras_and_laya(told):
    code, printed, _ = told()
    assert code == 0
    lines = {line.split()[0]: line for line in printed.splitlines() if " matras  " in line}
    assert set(lines) == set(KNOWN)
    for name, line in lines.items():
        tala = KNOWN[name]
        assert line.split()[1:4] == [str(tala.matras), "matras", tala.confidence]
        assert ", ".join(tala.laya) in line
        assert line.endswith(tala.name)
    lengths = [KNOWN[name].matras for name in lines]
    assert lengths == sorted(lengths)


@pytest.mark.parametrize("name", KNOWN)
def test_all_that_is_known_of_a_tala_is_told_with_its_sources(told, name):
    tala = KNOWN[name]
    code, printed, _ = told(name)
    assert code == 0
    assert all(len(line) <= 80 for line in printed.splitlines())
    words = " ".join(printed.split())
    for theka in tala.thekas:
        assert all(word in words for word in theka.bols.split())
        assert theka.about in words
        assert theka.source in words
    for variant in tala.variants:
        assert variant.about in words
        assert variant.source in words
        assert (
            f"{variant.form.matras} matras, {' + '.join(map(str, variant.form.vibhags))}" in words
        )


# As handbooks print them: X for sam, 0 for a wave, above the first bol of each vibhag.
PRINTED = {
    "tintal": [
        "  X                   2                   0                3",
        "  dha dhin dhin dha | dha dhin dhin dha | dha tin tin ta | ta dhin dhin dha",
    ],
    "rupak": ["  0            1        2", "  tin tin na | dhi na | dhi na"],
    "dhamar": [
        "  X                  2       0          3",
        "  ka dhi ta dhi ta | dha - | ga ti ta | ti ta ta -",
    ],
    "sultal": [
        "  X         0        2          3           0",
        "  dha dha | din ta | kite dha | tete kata | gadi gene",
    ],
}


@pytest.mark.parametrize("name", PRINTED)
def test_the_cycle_is_printed_with_its_signs_above_the_bols(told, name):
    lines = told(name)[1].splitlines()
    signs, bols = PRINTED[name]
    assert lines[lines.index(bols) - 1] == signs


@pytest.mark.parametrize("name", KNOWN)
def test_every_sign_stands_above_the_first_bol_of_its_vibhag(name):
    form = KNOWN[name].form
    for bols in (theka.bols for theka in KNOWN[name].thekas):
        lines = list(cycle(form, bols))
        found = []
        for signs, below in zip(lines[::2], lines[1::2], strict=True):
            starts = [n for n in range(2, len(signs)) if signs[n] != " " and signs[n - 1] == " "]
            assert all(below[n - 2 : n] in ("  ", "| ") for n in starts)
            assert below.count("|") == len(starts) - 1
            found += signs.split()
        assert found == [form.sign(start) for start in form.starts]
        assert " ".join(lines[1::2]).replace("|", " ").split() == bols.replace("|", " ").split()


def test_any_name_of_a_tala_in_any_spelling_is_understood(told):
    for tala in KNOWN.values():
        for name in (tala.name, *tala.also, tala.name.upper()):
            assert f"({tala.id})" in told(name)[1]
    for name, meant in {
        "teen taal": "tintal",
        "Jhap Taal": "jhaptal",
        "roopak": "rupak",
        "Chau Tal": "chautal",
        "kaherva": "keharwa",
        "soolthal": "sultal",
        "rudra-tala": "rudra",
    }.items():
        assert f"({meant})" in told(name)[1]


def test_a_teachers_word_is_told_as_the_teachers(told, tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text('[tala.rupak]\nname = "Roop"\nkhali = []\n', "utf-8")
    code, printed, _ = told("roop", "--tradition", path)
    assert code == 0
    assert "Roop (rupak), also called Rupak" in printed
    assert "T  your teacher" in printed
    assert "  X            2        3\n  tin tin na | dhi na | dhi na" in printed
    assert "Others:" not in printed


def test_cycles_of_a_theka_are_played_at_their_tempo(told, tmp_path):
    out = tmp_path / "dipchandi.wav"
    code, printed, _ = told("dipchandi", "--play", "--out", out, "--matras", "90", "--cycles", 2)
    assert code == 0
    assert "90 matras a minute; sam at 0.0 s and every 9.33 s from there" in printed
    places = [float(at) for at, _ in read_theka(KNOWN["dipchandi"].theka).onsets()]
    expected = [(turn * 14 + place) * 60 / 90 for turn in (0, 1) for place in places]
    found = drum_onsets(read_wav(out).astype(np.float64)) / SAMPLE_RATE
    # The first stroke begins the file: nothing before it shows that it does.
    assert len(found) == len(expected) - 1
    assert np.abs(found - expected[1:]).max() < 0.002


def test_a_theka_of_the_sheet_is_played_at_the_laya_that_it_is_for(told, tmp_path):
    out = tmp_path / "ektal.wav"
    code, printed, _ = told("ektal", "--theka", 3, "--cycles", 1, "--play", "--out", out)
    assert code == 0
    assert "dhin--------traka" in printed
    assert "Ektal, 50 matras a minute; sam at 0.0 s and every 14.40 s" in printed
    assert 14.4 <= len(read_wav(out)) / SAMPLE_RATE < 16.4


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("jhoomri",), "is no tala known here; did you mean jhumra? `main.py tala` lists all"),
        (("",), "'' is no tala known here; `main.py tala` lists all"),
        (("rupak", "--play"), "give both --play and --out"),
        (("rupak", "--out", "x.wav"), "give both --play and --out"),
        (("--play", "--out", "x.wav"), "Say which tala"),
        (("jhaptal", "--theka", "2", "--play", "--out", "x.wav"), "Jhaptal has 1 here; `main.py t"),
        (("lakshmi", "--matras", "10", "--cycles", "100", "--play", "--out", "x.wav"), "180 min"),
    ],
)
def test_what_cannot_be_done_is_told_with_the_remedy(told, arguments, said):
    code, _, error = told(*arguments)
    assert code == 1
    assert said in error


def test_a_fault_in_a_teachers_file_is_told(told, tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text("[tala.rupak]\nkhali = [2]\n", "utf-8")
    code, _, error = told("rupak", "--tradition", path)
    assert code == 1
    assert f"{path}, line 2: tala.rupak, khali: [2] should rise" in error
