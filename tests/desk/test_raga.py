"""The command `raga`, as a teacher uses it."""

import pytest

from audio.wav import read_wav
from main import main
from quizzes.ragas import ragas


@pytest.fixture
def told(capsys):
    """What a command prints, or says where it fails."""

    def run(*arguments):
        code = main(["raga", *map(str, arguments)])
        printed = capsys.readouterr()
        return code, printed.out, printed.err

    return run


def test_all_ragas_are_listed_by_id_and_names(told):
    code, printed, _ = told()
    lines = printed.splitlines()
    assert code == 0
    assert [line.split()[0] for line in lines] == list(ragas())
    assert any(line.startswith("bhupali ") and "Bhoop" in line for line in lines)


def test_every_fact_stands_with_its_confidence_and_source(told):
    _, printed, _ = told("yaman")
    rows = " ".join(printed.split())
    raga = ragas()["yaman"]
    for fact in (raga.that, raga.notes, raga.scale, raga.vadi, raga.nyas, raga.gait, raga.hours):
        assert f"{fact.confidence} {fact.source}" in rows
    for phrase in raga.phrases:
        assert f"{phrase} {phrase.confidence} {phrase.source}" in rows


def test_what_others_teach_stands_beside_it(told):
    for raga in list(ragas().values())[::9]:
        _, printed, _ = told(raga.id)
        rows = " ".join(printed.split())
        for variant in raga.variants:
            assert " ".join(variant.source.split()) in rows
            if variant.of in ("notes", "aroha", "avaroha"):
                assert variant.value in rows


def test_what_is_taken_for_a_slip_is_said_to_be_one(told):
    slips = {raga.id: sum(v.slip for v in raga.variants) for raga in ragas().values()}
    assert any(slips.values())
    for one in (*[one for one, count in slips.items() if count][:5], "yaman"):
        _, printed, _ = told(one)
        words = " ".join(printed.split())
        assert words.count(", taken for a slip of that source") == slips[one]


def test_near_ragas_are_told_apart_both_ways(told):
    for one, other in (("yaman", "yaman_kalyan"), ("yaman_kalyan", "yaman")):
        _, printed, _ = told(one)
        rows = " ".join(printed.split())
        for near in (*ragas()[one].near, *ragas()[other].near):
            if {near.raga} <= {one, other}:
                assert near.apart in rows


def test_no_line_is_wider_than_the_sheet(told):
    for one in ragas():
        _, printed, _ = told(one)
        assert max(map(len, printed.splitlines())) <= 80


@pytest.mark.parametrize(
    ("name", "title"),
    [("Bhoop", "Bhupali"), ("miyan ki todi", "Todi"), ("gaud-sarang", "Gaud Sarang"),
     ("Kalyan", "Yaman"), ("YAMAN_KALYAN", "Yaman Kalyan")],
)  # fmt: skip
def test_a_raga_is_found_by_any_of_its_names(told, name, title):
    _, printed, _ = told(name)
    assert printed.startswith(f"{title} (")


@pytest.mark.parametrize(
    ("name", "title"),
    [("Vrindavani", "Vrindavani Sarang"), ("Raga Yaman", "Yaman"), ("Bhoopali", "Bhupali"),
     ("Mian Malhar", "Miyan Malhar"), ("raag  pooriya dhanashree", "Puriya Dhanashri")],
)  # fmt: skip
def test_one_evident_raga_is_taken_and_said(told, name, title):
    code, printed, said = told(name)
    assert code == 0
    assert printed.startswith(f"{title} (")
    assert said.startswith(f"{name!r} is taken for {title} (")


def test_of_several_ragas_it_asks_which(told):
    code, printed, said = told("sarang")
    assert (code, printed) == (1, "")
    named = said.partition(" may be ")[2].removesuffix("; say which.\n")
    assert sorted(named.replace(" or ", ", ").split(", ")) == [
        one for one in sorted(ragas()) if one.endswith("_sarang")
    ]


def test_an_unknown_name_is_met_with_the_nearest(told):
    code, printed, said = told("yamna")
    assert (code, printed) == (1, "")
    assert "did you mean yaman?" in said
    _, _, said = told("zzzz")
    assert said == "'zzzz' is no raga known here; `main.py raga` lists all.\n"


def test_a_teachers_word_stands_above_ours(told, tmp_path):
    word = tmp_path / "teacher.toml"
    word.write_text('[durga]\nvadi = "D R"\nfirst_string = "m"\nconfirmed = ["nyas"]\n')
    _, printed, _ = told("durga", "--tradition", word)
    rows = " ".join(printed.split())
    assert "vadi, samvadi Dha, Re T your teacher" in rows
    assert "first string Ma T your teacher" in rows
    assert rows.count("T your teacher") == 3 + 1  # the last tells what T is
    word.write_text('[durga]\nvadi = "D X"\n')
    code, _, said = told("durga", "--tradition", word)
    assert code == 1
    assert f"{word}, line 2" in said


def test_an_alap_phrase_is_written_again_alike_from_its_seed(told, tmp_path):
    lines, sounds = [], []
    for number, seed in enumerate((1, 1, 2)):
        out = tmp_path / f"{number}.wav"
        code, printed, _ = told("malkauns", "--play", "--seed", seed, "--out", out)
        assert code == 0
        lines.append(printed.splitlines()[0])
        sounds.append(out.read_bytes())
    assert lines[0] == lines[1] != lines[2]
    assert sounds[0] == sounds[1] != sounds[2]
    assert 8.0 < len(read_wav(out)) / 44_100 < 25.0


def test_the_drone_is_the_ragas_own_unless_told(told, tmp_path):
    sounds = {}
    for drone in ("", "Sa-Ma", "Sa-Pa", "none"):
        out = tmp_path / f"with-{drone}.wav"
        told("malkauns", "--play", "--out", out, *(("--drone", drone) if drone else ()))
        sounds[drone] = out.read_bytes()
    assert sounds[""] == sounds["Sa-Ma"]
    assert len(set(sounds.values())) == 3


@pytest.mark.parametrize("arguments", [("yaman", "--play"), ("yaman", "--out", "x.wav")])
def test_a_phrase_needs_both_the_wish_and_the_file(told, arguments, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    code, _, said = told(*arguments)
    assert code == 1
    assert "--play and --out FILE" in said
    assert not list(tmp_path.iterdir())


def test_a_raga_says_what_it_welcomes_and_forbids_in_a_phrase(told):
    code, printed, _ = told("yaman", "--says", "N, R G m P")
    rows = [" ".join(line.split()) for line in printed.splitlines()]
    assert code == 0
    assert any(row.startswith("no Yaman has tivra Ma, not shuddha Ma (the fourth") for row in rows)
    assert any(row == "yes N, R G is the raga's own way up." for row in rows)


@pytest.mark.parametrize(
    ("arguments", "wanted"),
    [
        (("yaman", "--says", "N, R X"), "'X' is not a swara"),
        (("yaman", "--says", "."), "no swara"),
        (("--says", "S R"), "which raga is meant"),
    ],
)
def test_what_is_no_phrase_of_a_raga_is_refused_with_a_remedy(told, arguments, wanted):
    code, printed, said = told(*arguments)
    assert code != 0
    assert not printed
    assert wanted in said
