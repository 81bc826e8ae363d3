"""Phrases that a student has kept are listed, heard, and set as questions, by a command."""

import wave

import numpy as np
import pytest

from audio.format import SAMPLE_RATE
from main import main
from practice.phrases import LET_GO
from practice.settings import Settings, save_settings
from quizzes.decks.draft import Draft
from scheduler import Log
from tests.audio.meters import cents_between, fft_pitch
from tests.quizzes.taught_raga import ID, SHORT
from tests.scheduler.conftest import make_note

MIRA = Settings(student_id="student-mira", device_id="tablet", student_name="Mira")
PHRASE = {"sa_hz": 138.59, "tempo": 72.5, "tuning": "just", "raga": "yaman", "drone": "N"}
OWN = SHORT.replace("G", "g").replace("]\n", ']\nalso = ["Darbari"]\n', 1)
TAUGHT = f'[darbari]\nname = "Nagari"\n{OWN}'
"""A raga of the teacher's own, which goes by the name of one with a low komal Ga."""


def kept(minute, sargam, wish="", **changes):
    data = {**PHRASE, "sargam": sargam, "wish": wish, **changes}
    return make_note("phrase", minute, data=data, student=MIRA.student_id, uuid=f"uuid {minute}")


@pytest.fixture
def home(tmp_path):
    save_settings(MIRA, tmp_path / "home")
    with Log(tmp_path / "home" / "log.sqlite") as log:
        gone = make_note(LET_GO, 9, data={"phrase": "uuid 2"}, student=MIRA.student_id)
        rows = [kept(0, "N, R G", "Three swaras."), kept(1, "G:2 R/G", raga="", drone="")]
        log.append_all([*rows, kept(2, "S S S"), gone])
    return tmp_path / "home"


@pytest.fixture
def phrases(home, capsys):
    def run(*words):
        code = main(["--folder", str(home), "phrases", *map(str, words)])
        return (code, *capsys.readouterr())

    return run


def test_they_are_listed_the_newest_first(phrases):
    code, out, _ = phrases()
    assert (code, out.splitlines()) == (
        0,
        [
            "  1  5 January 2026  G:2 R/G",
            "  2  5 January 2026  Yaman  N, R G",
            "     Three swaras.",
        ],
    )
    assert phrases(2)[1].startswith("  2  5 January")
    assert phrases("--student", "mira")[0] == 0


def test_one_is_played_into_a_file(phrases, tmp_path):
    code, out, _ = phrases(2, "--out", tmp_path / "x.wav")
    assert (code, out.startswith(f"{tmp_path / 'x.wav'}: 3.5 s")) == (0, True)
    with wave.open(str(tmp_path / "x.wav")) as file:
        assert file.getnframes() / file.getframerate() == pytest.approx(
            3 * 60 / 72.5 + 1.0, abs=0.1
        )


def test_some_are_set_as_questions_of_a_deck_made_or_there(phrases, tmp_path):
    path = tmp_path / "ours.toml"
    assert phrases(1, "--deck", path)[:2] == (0, f"{path}: one question more, 1 in all\n")
    path.write_text(f"# By hand.\n{path.read_text()}")
    assert phrases(2, 1, "--deck", path)[1] == f"{path}: two questions more, 3 in all\n"
    assert path.read_text().startswith("# By hand.")
    draft = Draft(path.read_text(), path.name)
    assert draft.faults() == ()
    first, second, third = draft.entries()
    assert (first["sargam"], first["counts"]) == ("G:2 R/G", ["lengths", "ornaments"])
    assert (second["sargam"], second["tempo"], second["drone"]) == ("N, R G", 72.5, "Sa-Ni")
    assert "counts" not in second
    assert first["drone"] == "none"
    assert len({first["id"], second["id"], third["id"]}) == 3


def off_komal_ga(path):
    """By how many cents the second second of a phrase is off 6/5, its place in just intonation."""
    with wave.open(str(path)) as file:
        frames = np.frombuffer(file.readframes(file.getnframes()), "<i2").astype(float)
        sound = frames.reshape(-1, file.getnchannels())[:, 0]
    komal_ga = PHRASE["sa_hz"] * 6 / 5
    return cents_between(fft_pitch(sound[SAMPLE_RATE : 2 * SAMPLE_RATE], komal_ga), komal_ga)


def test_a_raga_of_the_teachers_own_is_named_set_and_tuned_as_the_teacher_has_it(
    home, phrases, tmp_path
):
    with Log(home / "log.sqlite") as log:
        log.append_all([kept(3, "S g:3", raga=ID, drone="")])
    words = [1, "--deck", tmp_path / "ours.toml", "--out", tmp_path / "x.wav"]
    assert phrases(1)[1] == "  1  5 January 2026  S g:3\n"
    phrases(*words)
    assert off_komal_ga(tmp_path / "x.wav") == pytest.approx(0.0, abs=2.0)
    (home / "tradition.toml").write_text(TAUGHT, encoding="utf-8")
    assert phrases(1)[1] == "  1  5 January 2026  Mangal Lehar  S g:3\n"
    phrases(*words)
    assert -60 < off_komal_ga(tmp_path / "x.wav") < -5  # as of Darbari (assets/shades.toml)
    first, second = Draft((tmp_path / "ours.toml").read_text(), "ours.toml").entries()
    assert (first.get("name"), second["name"]) == (None, "A phrase of Mangal Lehar")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((3,), "There is no phrase 3: Mira has kept two phrases."),
        (("--out", "x.wav"), "Say which one is to be played"),
        ((1, 2, "--out", "x.wav"), "--out takes one number"),
        (("--deck", "x.toml"), "Say which are to be questions"),
    ],
)
def test_what_is_not_meant_is_told(phrases, words, said, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    code, out, err = phrases(*words)
    assert (code, out, said in err) == (1, "", True)
    assert not list(tmp_path.glob("x.*"))


def test_a_deck_that_is_at_fault_is_left_as_it_is(phrases, tmp_path):
    path = tmp_path / "ours.toml"
    path.write_text('deck = "ours"\nname = 7\n')
    code, _, err = phrases(1, "--deck", path)
    assert (code, "Nothing was put into the deck" in err) == (1, True)
    assert path.read_text() == 'deck = "ours"\nname = 7\n'


def test_who_has_kept_none_is_told(tmp_path, capsys):
    save_settings(MIRA, tmp_path)
    assert main(["--folder", str(tmp_path), "phrases"]) == 1
    assert "Mira has not practised here yet" in capsys.readouterr().err
    Log(tmp_path / "log.sqlite").close()
    assert main(["--folder", str(tmp_path), "phrases"]) == 1
    assert "Mira: no phrase is kept yet." in capsys.readouterr().err
