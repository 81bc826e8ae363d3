"""The command `palta`, as a teacher uses it."""

import pytest

from audio.wav import read_wav
from main import main
from quizzes.paltas import grades, layouts, paltas, run_in_raga
from quizzes.ragas import ragas


@pytest.fixture
def told(capsys):
    """What a command prints, or says where it fails."""

    def run(*arguments):
        code = main(["palta", *map(str, arguments)])
        printed = capsys.readouterr()
        return code, printed.out, printed.err

    return run


def listed(printed):
    return [line.split()[0] for line in printed.splitlines() if line.startswith("   ")]


def test_all_paltas_are_listed_grade_by_grade_with_their_first_group(told):
    code, printed, _ = told()
    assert code == 0
    assert listed(printed) == list(paltas())
    assert all(f"({grade.id})" in printed for grade in grades())
    assert f"Layouts: {', '.join(layouts())}" in printed
    (line,) = (line for line in printed.splitlines() if line.split()[0] == "bottom-top-middle")
    assert line.split() == ["bottom-top-middle", "SGR", "bottom,", "top,", "middle"]


def test_those_are_listed_that_run_in_a_raga(told):
    code, printed, said = told("--raga", "Gaud Sarang")
    raga = ragas()["gaud_sarang"]
    assert (code, said) == (0, "")
    assert listed(printed) == [id for id, palta in paltas().items() if run_in_raga(palta, raga)]


def test_a_palta_is_told_up_and_down_in_its_layout_with_its_source(told):
    code, printed, _ = told("thirds", "--scale", "kalyan", "--layout", "dotted")
    assert code == 0
    assert "up    S--G R--M G--P M--D P--N D--S'" in printed
    assert "down  S'--D N--P D--M P--G M--R G--S" in printed
    assert f"{paltas()['thirds'].confidence}  {paltas()['thirds'].source}" in printed
    assert "two and four" in printed


def test_it_runs_by_its_name_in_a_raga_by_any_name(told):
    _, printed, _ = told("bottom, middle, top", "--raga", "Bhoop")
    assert "up    SRG RGP GPD PDS'" in printed
    assert "the Sangitaratnakara calls it aksepa" in printed


def test_it_is_played_into_a_file(told, tmp_path):
    out = tmp_path / "palta.wav"
    code, printed, _ = told("three-up", "--matras", 120, "--out", out)
    assert code == 0
    assert str(out) in printed
    samples = read_wav(out)
    # Twelve groups, one to a matra of half a second, and what rings on.
    assert 6.0 < len(samples) / 44_100 < 9.0


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["treeup"], "'treeup' is no palta known here; did you mean three-up"),
        (["three-up", "--layout", "six"], "'six' is no layout known here; give three, two,"),
        (["three-up", "--scale", "major"], "'major' is no that known here; give Bilawal, Kalyan"),
        (["three-up", "--raga", "zzz"], "'zzz' is no raga known here"),
        (["fifths", "--raga", "desh"], "A fifth does not run in Desh; `main.py palta"),
        (["thirds", "--raga", "kedar"], "Kedar goes by its phrases, not by steps. A third does"),
        (["--out", "palta.wav"], "Say which palta is to be played"),
    ],
)
def test_what_cannot_be_done_is_told_with_the_remedy(told, arguments, said):
    code, printed, error = told(*arguments)
    assert (code, printed) == (1, "")
    assert said in error
