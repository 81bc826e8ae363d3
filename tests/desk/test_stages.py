"""The command `stages`, as a teacher uses it."""

import re

import pytest

from audio.wav import read_wav
from main import main
from quizzes.stages.tradition import form

KNOWN = form()


@pytest.fixture
def told(capsys):
    """What a command prints, or says where it fails."""

    def run(*arguments):
        code = main(["stages", *map(str, arguments)])
        printed = capsys.readouterr()
        return code, " ".join(printed.out.split()), printed.err

    return run


def test_every_stage_and_every_pair_is_told_with_its_reason(told):
    code, printed, _ = told()
    assert code == 0
    for stage in KNOWN.stages.values():
        assert f"{stage.id} {stage.name}" in printed
    for pair in KNOWN.order.told:
        assert pair.why in printed


def test_a_stage_is_told_with_what_is_heard_and_what_it_is_for(told):
    for stage in KNOWN.stages.values():
        code, printed, _ = told(stage.id)
        assert code == 0
        assert stage.about in printed
        assert stage.purpose in printed
        assert f"strokes {stage.heard.strokes[0]:g} to {stage.heard.strokes[1]:g}" in printed


def test_any_name_of_a_stage_is_understood(told):
    for stage in KNOWN.stages.values():
        for name in (stage.name, *stage.also):
            assert f"({stage.id})" in told(name.upper())[1]


def test_a_teachers_names_and_order_are_told_as_the_teachers(told, tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text(
        '[stage.jor]\nname = "Madhya alap"\n[[order]]\nfirst = "drut-gat"\nthen = "vilambit-gat"\n'
    )
    _, printed, _ = told("madhya alap", "--tradition", path)
    assert "Madhya alap (jor), also called Jor" in printed
    assert "T your teacher" in printed
    _, printed, _ = told("--tradition", path)
    drut, vilambit = (KNOWN.stages[one].name for one in ("drut-gat", "vilambit-gat"))
    assert f"{drut} before {vilambit}, usually" in printed
    assert f"{vilambit} before {drut}" not in printed


@pytest.mark.parametrize(
    ("stage", "said"),
    [
        ("alap", r"no pulse"),
        ("jor", r"\d+ pulses a minute"),
        ("drut-gat", r"Tintal, \d{3} matras a minute; sam at [\d., and]+ s"),
    ],
)
def test_a_passage_is_played_into_a_file_and_measured(told, tmp_path, stage, said):
    path = tmp_path / "stage.wav"
    code, printed, _ = told(stage, "--raga", "yaman", "--play", "--out", path)
    assert code == 0
    assert re.search(said, printed)
    assert len(read_wav(path)) > 8 * 44100


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("tanda",), "no stage known here; `main.py stages` lists all"),
        (("jor", "--play"), "give both --play and --out"),
        (("--play", "--out", "x.wav"), "Say which stage"),
        (("tan-sapat", "--raga", "bihag", "--play", "--out", "x.wav"), "Bihag does not move so"),
        (("jor", "--raga", "abc", "--play", "--out", "x.wav"), "`main.py raga` lists all"),
    ],
)
def test_what_cannot_be_done_is_told_with_the_remedy(told, arguments, said):
    code, _, error = told(*arguments)
    assert code == 1
    assert said in error
