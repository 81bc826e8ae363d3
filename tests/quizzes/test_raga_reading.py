"""Reading the files of ragas: what they hold, and how a fault is told."""

import shutil

import pytest

from audio.tuning import Swara
from quizzes.errors import RagaError
from quizzes.ragas.reading import RAGAS, SOURCES, load_raga, load_ragas

WHOLE = """\
name = "Purvi of the Hills"
also = ["Pahadi Purvi"]
about = "Invented: it rests on Ga."
season = "rainy season"

[that]
is = "none"
confidence = "B"
source = "a table"

[notes]
is = "S r G m M P d N"
confidence = "A"
source = "a table; a book"

[occasional]
is = "n"
confidence = "C"
source = "from memory"

[scale]
aroha = "N, r G M P d N S'"
avaroha = "S' N d P M G r S"
confidence = "B"
source = "a book"

[vadi]
is = "G"
samvadi = "N"
confidence = "A"
source = "a table; a book"

[nyas]
is = "G P"
confidence = "C"
source = "from memory"

[andolan]
is = "r"
confidence = "C"
source = "from memory"

[register]
is = "mandra madhya"
confidence = "C"
source = "from memory"

[gait]
is = "grave"
confidence = "C"
source = "from memory"

[mood]
is = ["grave", "calm"]
confidence = "C"
source = "from memory"

[hours]
is = "15-18"
confidence = "B"
source = "a book"

[[phrase]]
sargam = "P M G m G"
confidence = "B"
source = "a book"

[[phrase]]
sargam = "N, r G"
confidence = "C"
source = "from memory"

[[near]]
raga = "purvi"
apart = "lower"

[[forbidden]]
turn = "r P"
confidence = "C"
source = "from memory"

[[required]]
swara = "m"
turns = ["G m G"]
confidence = "B"
source = "a book"

[[variant]]
of = "aroha"
is = "S r G M d N S'"
source = "a table"

[[variant]]
of = "hours"
is = "18-21"
source = "a table"
"""


@pytest.fixture
def file(tmp_path):
    def write(text):
        path = tmp_path / "hills.toml"
        path.write_text(text, "utf-8")
        return path

    return write


def swaras(text):
    return tuple(map(Swara.read, text.split()))


def test_a_file_is_read_with_every_fact_its_confidence_and_its_source(file):
    raga = load_raga(file(WHOLE))
    assert (raga.id, raga.name, raga.also) == ("hills", "Purvi of the Hills", ("Pahadi Purvi",))
    assert (raga.about, raga.season) == ("Invented: it rests on Ga.", "rainy season")
    assert raga.that.value == ""
    assert raga.notes.value == ("S", "r", "G", "m", "M", "P", "d", "N")
    assert (raga.notes.confidence, raga.notes.source) == ("A", "a table; a book")
    assert raga.occasional.value == ("n",)
    assert raga.scale.value.aroha == swaras("N, r G M P d N S'")
    assert raga.vadi.value == ("G", "N")
    assert raga.nyas.value == ("G", "P")
    assert raga.register.value == ("mandra", "madhya")
    assert raga.mood.value == ("grave", "calm")
    assert raga.hours.value == (15, 18)
    assert [str(phrase) for phrase in raga.phrases] == ["P M G m G", "N, r G"]
    assert (raga.near[0].raga, raga.near[0].apart) == ("purvi", "lower")
    assert raga.forbidden[0].turn == swaras("r P")
    assert (raga.required[0].letter, raga.required[0].turns) == ("m", (swaras("G m G"),))
    assert raga.others("aroha") == ("S r G M d N S'",)
    assert raga.all_hours == ((15, 18), (18, 21))


def without(table):
    """The file without one of its tables."""
    head, _, rest = WHOLE.partition(f"[{table}]\n")
    return head + rest[rest.index("\n\n") + 2 :]


@pytest.mark.parametrize("table", ["occasional", "andolan"])
def test_what_a_raga_need_not_have_may_be_left_out(file, table):
    fact = getattr(load_raga(file(without(table))), table)
    assert (fact.value, fact.sure) == ((), False)


@pytest.mark.parametrize(
    "table", ["that", "notes", "scale", "vadi", "nyas", "register", "gait", "mood", "hours"]
)
def test_a_table_that_is_missing_is_asked_for(file, table):
    with pytest.raises(RagaError, match=rf"hills\.toml, line \d+: {table}: should be a table"):
        load_raga(file(without(table)))


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('name = "Purvi of the Hills"', "name = 7", "line 1: name: should be a text in quotes"),
        ('season = "rainy season"', 'seeson = "rain"', "line 4: seeson: is not known; known are"),
        ('also = ["Pahadi Purvi"]', 'also = "Pahadi"', "line 2: also: should be a list of texts"),
        (
            '"S r G m M P d N"',
            '"S r G m M P d X"',
            "line 12: notes, is: 'X' should be one of S r R g",
        ),
        ('"S r G m M P d N"', '"S S r G m M P d N"', "line 12: notes, is: names a swara twice"),
        (
            'is = "S r G m M P d N"\nconfidence = "A"',
            'is = "S r G m M P d N"\nconfidence = "sure"',
            "line 13: notes, confidence: should be A, B or C; given 'sure'",
        ),
        ('source = "a table; a book"', "", "line 11: notes, source: should be a text in quotes"),
        ('is = "n"', 'iz = "n"', "occasional, iz: is not known; known are confidence, is, source"),
        (
            "N, r G M P d N S'",
            "N, r G M P d Q S'",
            "line 22: scale, aroha: 'Q' is not a swara",
        ),
        ('"S\' N d P M G r S"', '"S\' P r S"', "line 23: scale, avaroha: has 3 degrees; a raga"),
        (
            '"S\' N d P M G r S"',
            '"S\' N D P M G r S"',
            r"line 23: scale, avaroha: D should stand in \[notes\], or not here",
        ),
        ('samvadi = "N"', 'samvadi = "n"', r"line 28: vadi, is: n should stand in \[notes\]"),
        ('samvadi = "N"', "", "line 27: vadi, samvadi: should be a text in quotes"),
        ('is = "G P"', 'is = "g P"', r"line 34: nyas, is: g should stand in \[notes\]"),
        ('is = "r"', 'is = "R"', r"line 39: andolan, is: R should stand in \[notes\]"),
        (
            '"mandra madhya"',
            '"mandra middle"',
            "line 44: register, is: 'middle' should be one of mandra, madhya, tar",
        ),
        ('is = "grave"', 'is = "slow"', "line 49: gait, is: 'slow' should be one of grave, medium"),
        ('["grave", "calm"]', '"grave"', "line 54: mood, is: should be a list of texts"),
        ('["grave", "calm"]', "[]", "line 54: mood, is: is empty; it should name at least one"),
        ('is = "15-18"', 'is = "18-15"', "line 59: hours, is: should be two hours of the day"),
        ('is = "15-18"', 'is = "22-25"', "line 59: hours, is: should be two hours of the day"),
        ('is = "15-18"', 'is = "dusk"', "line 59: hours, is: should be two hours of the day"),
        (
            '"N, r G"',
            '"N, R G"',
            r"line 69: phrase 2, sargam: R should stand in \[notes\] or \[occasional\]",
        ),
        ('apart = "lower"', 'why = "lower"', "near 1, why: is not known; known are apart, raga"),
        ('apart = "lower"', "", "line 73: near 1, apart: should be a text in quotes"),
        (
            'turn = "r P"',
            'turn = "r D"',
            r"line 78: forbidden 1, turn: D should stand in \[notes\]",
        ),
        (
            'turns = ["G m G"]',
            'turns = ["G M G"]',
            "line 84: required 1, turns: each should hold m",
        ),
        (
            'turns = ["G m G"]',
            'turns = ["g m G"]',
            r"line 84: required 1, turns: g should stand in \[notes\]",
        ),
        ('turns = ["G m G"]', 'turns = ["G mm G"]', "line 84: required 1, turns: 'mm' is not"),
        ('of = "aroha"', 'of = "way up"', "line 89: variant 1, of: should be one of notes, aroha"),
        ('is = "18-21"', 'is = "evening"', "line 95: variant 2, is: should be two hours"),
        ('is = "18-21"\nsource = "a table"', 'is = "18-21"', "line 93: variant 2, source: should"),
        (
            'of = "hours"\nis = "18-21"',
            'of = "vadi"\nis = "G"',
            "line 95: variant 2, is: should be vadi and samvadi, such as G D",
        ),
        ("[vadi]", "[vadi", "mend the file, it should be TOML in UTF-8"),
    ],
)
def test_a_fault_is_told_with_file_line_field_and_remedy(file, old, new, told):
    assert old in WHOLE
    with pytest.raises(RagaError, match=rf"hills\.toml.*{told}"):
        load_raga(file(WHOLE.replace(old, new, 1)))


def test_a_raga_without_phrases_is_refused(file):
    head, rest = WHOLE.split("[[phrase]]", 1)
    with pytest.raises(RagaError, match=r"hills\.toml, line 1: phrase: a raga needs at least one"):
        load_raga(file(head + rest[rest.index("[[near]]") :]))


def test_a_file_that_is_not_there_is_told_with_those_that_are():
    with pytest.raises(RagaError, match=r"no such file; known are abhogi, adana"):
        load_raga(RAGAS / "no_such_raga.toml")


@pytest.fixture
def folder(tmp_path):
    copy = tmp_path / "ragas"
    shutil.copytree(RAGAS, copy)
    return copy


def test_a_file_laid_into_the_folder_is_a_raga_more(folder):
    (folder / "hills.toml").write_text(WHOLE, "utf-8")
    found = load_ragas(folder)
    assert len(found) == len(load_ragas()) + 1
    assert found["hills"].name == "Purvi of the Hills"


def test_ragas_come_in_the_order_of_the_alphabet_and_sources_are_none(folder):
    found = load_ragas(folder)
    assert list(found) == sorted(
        path.stem for path in folder.glob("*.toml") if path.stem != SOURCES
    )


def test_a_near_raga_that_has_no_file_is_told(folder):
    (folder / "purvi.toml").unlink()
    with pytest.raises(
        RagaError, match=r"basant\.toml|paraj\.toml, line \d+: near: 'purvi' has no file purvi.toml"
    ):
        load_ragas(folder)
