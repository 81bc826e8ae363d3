"""A teacher's word on ragas: it stands above ours, and makes sure what we know from memory."""

from pathlib import Path

import pytest

from quizzes.errors import QuizError, RagaError
from quizzes.fresh import Fresh
from quizzes.ragas import admits, grow, ragas, surely_breaks
from quizzes.ragas.movement import own_turns
from quizzes.ragas.taught import LISTS
from quizzes.ragas.tradition import CONFIRMED, TEACHER, read_tradition
from quizzes.tradition import TraditionError, load_tradition, read_words

SHIPPED = ragas()


def taught(text):
    return ragas(text)


def test_no_word_leaves_all_as_it_is():
    assert ragas("") is SHIPPED


def test_a_vadi_that_is_taught_otherwise_stands_alone():
    # Durga's pair differs widely: our file has several beside its own.
    assert len(SHIPPED["durga"].pairs) > 2
    durga = taught('[durga]\nvadi = "D R"')["durga"]
    assert durga.pairs == (("D", "R"),)
    assert (durga.vadi.confidence, durga.vadi.source) == (TEACHER, "your teacher")
    assert durga.vadi.sure
    assert durga.others("hours") == SHIPPED["durga"].others("hours")


def test_vadi_and_samvadi_may_stand_each_in_its_own_field():
    # As the files of the ragas have them.
    spoken = taught('[desh]\nvadi = "P"\nsamvadi = "R"')["desh"]
    assert spoken.pairs == (("P", "R"),) == taught('[desh]\nvadi = "P R"')["desh"].pairs
    assert spoken.vadi.sure


def test_other_ragas_are_not_touched():
    spoken = taught('[durga]\nvadi = "D R"')
    assert {raga for raga in SHIPPED if spoken[raga] != SHIPPED[raga]} == {"durga"}


@pytest.mark.parametrize("field", [field for field in CONFIRMED if field not in LISTS])
def test_what_is_confirmed_is_sure_and_the_same(field):
    raga = "jog"
    said = getattr(taught(f'[{raga}]\nconfirmed = ["{field}"]')[raga], field)
    assert said.sure
    assert said.value == getattr(SHIPPED[raga], field).value
    assert said.source == "your teacher"


@pytest.mark.parametrize(("raga", "field"), [("jog", "phrases"), ("asavari", "forbidden")])
def test_lines_that_are_confirmed_are_sure_where_they_were_not(raga, field):
    shipped = getattr(SHIPPED[raga], field)
    assert any(line.confidence == "C" for line in shipped)
    for before, line in zip(
        shipped, getattr(taught(f'[{raga}]\nconfirmed = ["{field}"]')[raga], field), strict=True
    ):
        assert line.confidence == (TEACHER if before.confidence == "C" else before.confidence)


def test_a_way_that_is_confirmed_leaves_no_other_teaching():
    # With Yaman's way up confirmed, a run over Pa is no longer one that others allow.
    climb = [swara for swara in SHIPPED["yaman"].scale.value.avaroha[::-1] if swara.letter in "MPD"]
    assert surely_breaks(SHIPPED["yaman"], climb) is None
    strict = taught('[yaman]\nconfirmed = ["scale"]')["yaman"]
    assert surely_breaks(strict, climb) is not None


def test_ways_notes_and_rests_can_be_taught_otherwise():
    spoken = taught(
        """
        [bhupali]
        notes = "S R G P D N"
        aroha = "S R G P D N S'"
        nyas = "G N"
        andolan = "G"
        register = "mandra"
        gait = "light"
        hours = "21-24"
        first_string = "N"
        """
    )["bhupali"]
    assert spoken.own == set("SRGPDN")
    assert " ".join(map(str, spoken.scale.value.aroha)) == "S R G P D N S'"
    assert spoken.scale.value.avaroha == SHIPPED["bhupali"].scale.value.avaroha
    assert spoken.nyas.value == ("G", "N")
    assert spoken.andolan.value == ("G",)
    assert (spoken.register.value, spoken.gait.value) == (("mandra",), ("light",))
    assert spoken.all_hours == ((21, 24),)
    assert spoken.drone == "N"
    assert SHIPPED["bhupali"].drone == "P"
    assert admits(spoken, spoken.scale.value.aroha)
    assert own_turns(spoken) != own_turns(SHIPPED["bhupali"])


def test_what_is_taught_goes_before_what_is_confirmed():
    spoken = taught('[durga]\nconfirmed = ["vadi"]\nvadi = "P S"')["durga"]
    assert spoken.pairs == (("P", "S"),)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('[durgaa]\nvadi = "D R"', r"line 1: durgaa: is no raga known here; .* lists them by id"),
        ('[durga]\nvady = "D R"', r"line 2: durga, vady: is not known; known are about, also,"),
        ('[durga]\nvadi = "D"', r"line 2: durga, vadi: should be vadi and samvadi, such as G D"),
        ('[durga]\nvadi = "D Q"', r"line 2: durga, vadi: 'Q' should be one of S r R"),
        ('[durga]\nvadi = "D G"', r"line 2: durga, vadi: G should stand in notes as well, or not"),
        ('[desh]\nsamvadi = "R"', r"line 2: desh, samvadi: stands alone; give the vadi beside it"),
        ('[desh]\nvadi = "P"\nsamvadi = "Q"', r"line 3: desh, samvadi: 'Q' should be one of S r"),
        ('[desh]\nvadi = "P R"\nsamvadi = "R"', r"line 2: desh, vadi: should be vadi and samvadi"),
        ('\n[raga.desh]\nvadi = "P R"', r"line 2: raga: .* bears its id alone: \[desh\]"),
        ('[durga]\nnyas = "N"', r"line 2: durga, nyas: N should stand in notes as well, or not"),
        ('[durga]\naroha = "S R m"', r"line 2: durga, aroha: has 3 degrees; a raga has five"),
        ('[durga]\naroha = "S R x"', r"line 2: durga, aroha: 'x' is not a swara"),
        ('[durga]\n\nhours = "night"', r"line 3: durga, hours: should be two hours of the day"),
        ('[durga]\nregister = "low"', r"line 2: durga, register: 'low' should be one of mandra"),
        ('[durga]\ngait = "slow"', r"line 2: durga, gait: 'slow' should be one of grave"),
        ('[durga]\nfirst_string = "S"', r"line 2: durga, first_string: 'S' is .* one of P, m, N"),
        ('[durga]\nconfirmed = ["jati"]', r"line 2: durga, confirmed: 'jati' should be of notes"),
        ('[durga]\nconfirmed = "vadi"', r"line 2: durga, confirmed: should be a list of texts"),
        ("durga = 7", r"line 1: durga: should be a table \[durga\]"),
        ("[durga", r"mend the file, it should be TOML in UTF-8"),
    ],
)
def test_a_fault_is_told_with_file_line_field_and_remedy(tmp_path, text, told):
    path = tmp_path / "mine.toml"
    path.write_text(text, "utf-8")
    with pytest.raises(TraditionError, match=rf"mine\.toml.*{told}"):
        load_tradition(path)


def test_a_file_gives_its_text_when_all_of_it_is_understood(tmp_path):
    path = tmp_path / "mine.toml"
    text = '[durga]\nvadi = "D R"\n'
    path.write_text(text, "utf-8")
    assert load_tradition(path) == text


def test_a_file_that_is_not_there_is_told(tmp_path):
    with pytest.raises(QuizError, match=r"none\.toml.*should be a file of TOML in UTF-8"):
        load_tradition(tmp_path / "none.toml")


def test_a_swara_foreign_to_the_way_down_is_told_too():
    with pytest.raises(RagaError, match=r"line 2: durga, avaroha: N should stand in notes"):
        read_tradition('[durga]\navaroha = "S\' N D P m R S"', SHIPPED, Path("mine.toml"))


def test_a_phrase_goes_with_the_swara_that_is_left_out():
    # Some leave Pa out of Gorakh Kalyan (common practice).
    text = """
        [gorakh_kalyan]
        notes = "S R m D n"
        avaroha = "S' n D m R S"
        """
    spoken = taught(text)["gorakh_kalyan"]
    assert spoken.omitted == ("G", "P")
    assert 0 < len(spoken.phrases) < len(SHIPPED["gorakh_kalyan"].phrases)
    for seed in range(20):
        grown = grow(Fresh("gorakh_kalyan", seed), spoken)
        assert "P" not in {swara.letter for swara in grown}


def test_notes_in_which_no_phrase_lies_are_told():
    text = """[bhupali]
        notes = "S r g P d"
        aroha = "S r g P d S'"
        avaroha = "S' d P g r S"
        vadi = "g d"
        nyas = "g P"
        """
    with pytest.raises(RagaError, match=r"line 2: bhupali, notes: no phrase of the raga lies in"):
        read_tradition(text, SHIPPED, Path("mine.toml"))


def test_what_is_wrong_is_not_told_again_as_missing():
    (fault,) = read_words('[[order]]\nfirst = "none"\nthen = "jor"\n').faults
    assert (fault.line, fault.field) == (2, "order 1, first")
