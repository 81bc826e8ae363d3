"""A teacher's word on talas: it stands above what the files say, or is refused with the remedy."""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quizzes.errors import TalaError
from quizzes.ragas import ragas
from quizzes.stages.tradition import form
from quizzes.talas import talas
from quizzes.talas.asking import asked_talas
from quizzes.talas.reading import FACTS
from quizzes.talas.tradition import SOURCE
from quizzes.tradition import load_tradition

KNOWN = talas()
NEW = """
[tala.champak]
name = "Champak"
vibhags = [3, 2]
khali = [4]
laya = ["madhya"]
[[tala.champak.theka]]
bols = "dha dhin na | tin na"
"""


def changed(text):
    """The ids of the talas that a text changes."""
    told = talas(text)
    return {name for name in told if told[name] != KNOWN.get(name)}


def test_no_word_leaves_all_as_it_is():
    assert talas("") is KNOWN
    assert changed('[durga]\nvadi = "D"\nsamvadi = "R"') == set()


def test_a_sam_that_is_clapped_is_told_by_its_waves_alone():
    tala = talas("[tala.rupak]\nkhali = []")["rupak"]
    assert (tala.tali, tala.khali, tala.form_source) == ((1, 4, 6), (), SOURCE)
    assert tala.variants == ()
    assert tala.thekas == KNOWN["rupak"].thekas
    assert (tala.laya_source, tala.name) == (KNOWN["rupak"].laya_source, "Rupak")
    assert talas("[tala.rupak]\ntali = [1, 4, 6]")["rupak"] == tala
    assert changed("[tala.rupak]\nkhali = []") == {"rupak"}


def test_a_theka_takes_the_place_of_all_that_are_known():
    bols = "dha din din dha | dha din din dha | na tin tin na | na din din dha"
    tala = talas(f'[[tala.tintal.theka]]\nbols = "{bols}"')["tintal"]
    assert [(each.bols, each.source) for each in tala.thekas] == [(bols, SOURCE)]
    assert tala.variants == ()
    assert tala.form == KNOWN["tintal"].form


def test_other_vibhags_move_the_bars_of_the_thekas():
    tala = talas("[tala.ektal]\nvibhags = [3, 3, 3, 3]\nkhali = [7]")["ektal"]
    assert tala.theka.startswith("dhin dhin dhage | tirakita tu na | kat ta dhage |")
    assert len(tala.thekas) == len(KNOWN["ektal"].thekas)
    assert tala.tali == (1, 4, 10)


def test_other_vibhags_move_the_bars_of_what_is_said_too():
    dhamar = talas("[tala.dhamar]\nvibhags = [3, 2, 2, 3, 4]\nkhali = [8]\n")["dhamar"]
    shipped = talas()["dhamar"].thekas[0]
    assert dhamar.thekas[0].said == "ka dhi ta | dhi ta | dha - | ga ti ta | ti ta ta -"
    assert dhamar.thekas[0].said.replace("|", "").split() == shipped.said.replace("|", "").split()


@pytest.mark.parametrize(
    ("name", "number"),
    [
        (name, number)
        for name, tala in KNOWN.items()
        for number, variant in enumerate(tala.variants)
        if variant.form != tala.form and (variant.bols or variant.form.matras == tala.matras)
    ],
)
def test_every_variant_can_be_a_teachers_own_with_its_theka(name, number):
    variant = KNOWN[name].variants[number]
    vibhags, khali = map(list, (variant.form.vibhags, variant.form.khali))
    tala = talas(f"[tala.{name}]\nvibhags = {vibhags}\nkhali = {khali}")[name]
    assert tala.form == variant.form
    assert tala.confidence == "A"
    assert variant.bols in (None, tala.theka)


def test_what_is_disputed_is_asked_once_the_teacher_has_confirmed_it():
    assert "matta" not in asked_talas(KNOWN)
    told = talas('[tala.matta]\nconfirmed = ["form", "laya"]')
    assert "matta" in asked_talas(told)
    assert told["matta"].form == KNOWN["matta"].form
    assert (told["matta"].laya_source, told["matta"].variants) == (SOURCE, ())
    assert told["matta"].character_source == KNOWN["matta"].character_source


def test_a_laya_alone_makes_nothing_else_sure():
    tala = talas('[tala.matta]\nlaya = ["drut"]')["matta"]
    assert (tala.laya, tala.laya_source) == (("drut",), SOURCE)
    assert (tala.confidence, tala.form_source) == ("C", KNOWN["matta"].form_source)
    assert tala.variants == KNOWN["matta"].variants


def test_a_name_that_is_taught_stands_first_and_is_no_other_talas():
    told = talas('[tala.dhumali]\nname = "Pushto"')
    assert (told["dhumali"].name, told["dhumali"].also[0]) == ("Pushto", "Dhumali")
    assert "Pushto" in KNOWN["pashto"].also
    assert "Pushto" not in told["pashto"].also
    swapped = talas('[tala.tivra]\nname = "Rupak"\n[tala.rupak]\nname = "Tivra"')
    assert (swapped["tivra"].name, swapped["rupak"].name) == ("Rupak", "Tivra")


def test_a_new_tala_needs_no_more_than_what_makes_it():
    tala = talas(NEW)["champak"]
    assert (tala.matras, tala.tali, tala.khali, tala.confidence) == (5, (1,), (4,), "A")
    assert "champak" in asked_talas(talas(NEW))
    assert len(talas(NEW)) == len(KNOWN) + 1


def test_a_teacher_may_give_variants_and_sources_too():
    text = NEW + (
        '[tala.champak.source]\nform = "a book"\n'
        '[[tala.champak.variant]]\nabout = "waved at once"\ntali = [4]\nkhali = [1]\n'
    )
    tala = talas(text)["champak"]
    assert tala.form_source == "a book"
    assert [(each.form.khali, each.source) for each in tala.variants] == [((1,), SOURCE)]


def test_a_file_with_talas_beside_ragas_and_stages_is_read_by_all(tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text(NEW + '[durga]\nvadi = "D S"\n[stage.jor]\nname = "Jod alap"\n', "utf-8")
    text = load_tradition(path)
    assert talas(text)["champak"].name == "Champak"
    assert ragas(text)["durga"].vadi.value == ("D", "S")
    assert form(text).stages["jor"].name == "Jod alap"


THEKA = NEW[NEW.index("[[") :]
SHORT = NEW.replace("[3, 2]", "[1, 1]").replace("[4]", "[2]").replace("dhin na | tin ", "| ")
BAD = [
    ("[tala", "mend the file, it should be TOML in UTF-8"),
    ("tala = 3", "line 1: tala: should be a table [tala]"),
    ("[[tala]]\nname = 1", "line 1: tala: should be a table [tala]"),
    ("[tala]\nrupak = 7", "line 2: tala, rupak: should be a table [tala.rupak]"),
    ("[tala.teental]\nkhali = []", "line 1: tala, teental: is no tala known here; did you mean ti"),
    ("[tala.dusk]\nkhali = []", "line 1: tala, dusk: is no tala known here; `main.py tala` lists"),
    ('[tala.Dusk]\nname = "Dusk"', "line 1: tala, Dusk: should be of small letters, figures and"),
    ('[tala."a b"]\nname = "Dusk"', "tala, a b: should be of small letters"),
    ("[tala.rupak]\nkali = []", "line 2: tala.rupak, kali: is not known; known are also, char"),
    ("[tala.rupak]\nkhali = 1", "line 2: tala.rupak, khali: should be a list of whole numbers"),
    ("[tala.rupak]\nkhali = [2]", "line 2: tala.rupak, khali: [2] should rise and be first mat"),
    ("[tala.rupak]\nkhali = [6, 4]", "line 2: tala.rupak, khali: [6, 4] should rise"),
    ("[tala.rupak]\ntali = [1]\nkhali = [4]", "line 3: tala.rupak, khali: matra 6 begins a vib"),
    ("[tala.rupak]\nmatras = 8", "line 2: tala.rupak, matras: needs vibhags beside it"),
    ("[tala.rupak]\nvibhags = []", "line 2: tala.rupak, vibhags: is empty; say how long each is"),
    ("[tala.rupak]\nvibhags = [2, 2, 3]", "vibhags: begin on [1, 3, 5]; say which of these are wa"),
    ("[tala.rupak]\nvibhags = [3.5, 3.5]", "vibhags: should be a list of whole numbers above 0"),
    (
        "[tala.rupak]\nmatras = 7\nvibhags = [3, 3]\nkhali = []",
        "line 3: tala.rupak, vibhags: [3, 3] make 6 matras, not 7; mend vibhags or matras",
    ),
    (
        "[tala.rupak]\nvibhags = [4, 4]\nkhali = []",
        "line 1: tala.rupak, theka: none is known of 8 matras; write [[tala.rupak.theka]] with",
    ),
    (
        "[tala.rupak]\nvibhags = [20, 20]\nkhali = []",
        "line 2: tala.rupak, vibhags: make a cycle of 40 matras; it should have 3 to 32",
    ),
    ('[tala.rupak]\nlaya = ["slow"]', "line 2: tala.rupak, laya: 'slow' is not one of vilambit"),
    ("[tala.rupak]\nlaya = []", "line 2: tala.rupak, laya: is empty"),
    ('[tala.rupak]\nconfirmed = ["tali"]', "line 2: tala.rupak, confirmed: 'tali' should be of fo"),
    ("[tala.rupak]\nconfirmed = true", "line 2: tala.rupak, confirmed: should be a list of texts"),
    ('[tala.rupak]\nname = ""', "line 2: tala.rupak, name: should be a text in quotes"),
    ('[tala.rupak]\nname = "a\\u0007b"', "name: 'a\\x07b' should be letters on one line"),
    ('[tala.rupak]\nalso = [" "]', "line 2: tala.rupak, also: ' ' should be letters on one line"),
    ('[tala.rupak]\nname = "tin tal"', "name: 'tin tal' is the name of tintal, too; give that"),
    ('[tala.rupak]\nalso = ["Tivra"]', "also: 'Tivra' is the name of tivra, too"),
    ('[tala.rupak]\nsource = "me"', "line 2: tala.rupak, source: should be a table [tala.rupak.so"),
    ("[tala.rupak.source]\nbook = 1", "line 2: tala.rupak.source, book: is not known; known are"),
    ('[tala.rupak]\ntheka = "dha"', "line 2: tala.rupak, theka: should be tables [[tala.rupak.the"),
    ('[tala.rupak.theka]\nbols = "dha"', "line 1: tala.rupak, theka: should be tables [[tala.rup"),
    ("[[tala.rupak.theka]]", "line 1: tala.rupak.theka 1, bols: should be a text in quotes"),
    (
        '[[tala.rupak.theka]]\nbols = "tin tin na | dhi na | dhi na"\n'
        '[[tala.rupak.theka]]\nbols = "tin tin na | dhi na | dhi blub"',
        "line 4: tala.rupak.theka 2, bols: matra 7: 'blub' is not made of known bols",
    ),
    (
        '[[tala.rupak.theka]]\nbols = "tin tin na dhi na dhi na"',
        "line 2: tala.rupak.theka 1, bols: between its bars it has [7] matras, the vibhags have",
    ),
    (
        '[[tala.rupak.theka]]\nbols = "tin tin na | dhi na | dhi na"\nlaya = ["slow"]',
        "line 3: tala.rupak.theka 1, laya: 'slow' is not one of",
    ),
    ("[[tala.rupak.variant]]\nkhali = []", "line 2: tala.rupak.variant 1, khali: matra 1 begins"),
    (NEW.replace("vibhags = [3, 2]\n", ""), "line 2: tala.champak, vibhags: should be a list of"),
    (NEW.replace("khali = [4]\n", ""), "line 4: tala.champak, vibhags: begin on [1, 4]; say which"),
    (NEW.replace('laya = ["madhya"]\n', ""), "line 2: tala.champak, laya: should be a list of tex"),
    (NEW.replace(THEKA, ""), "line 2: tala.champak, theka: a tala needs at least one [[theka]]"),
    (NEW.replace('name = "Champak"\n', ""), "line 2: tala, champak: is no tala known here"),
    (NEW.replace("Champak", "Tintal"), "line 3: tala.champak, name: 'Tintal' is the name of"),
    (SHORT, "line 4: tala.champak, vibhags: make a cycle of 2 matras; it should have 3 to 32"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "said"), BAD)
def test_a_fault_is_told_with_file_line_field_and_remedy(text, said):
    with pytest.raises(TalaError) as caught:
        talas(text)
    assert str(caught.value).startswith("tradition")
    assert said in str(caught.value)


values = st.one_of(
    st.booleans(),
    st.integers(-2, 40),
    st.lists(st.integers(-1, 9), max_size=4),
    st.lists(st.sampled_from(["madhya", "form", "x", ""]), max_size=2),
    st.sampled_from(["dha dhin na | tin na", "Rupak", "A", "", "a\nb"]),
    st.just({"bols": "dha | na"}),
    st.just([{"bols": "tin tin na | dhi na | dhi na"}]),
)
fields = st.sampled_from(sorted({*FACTS, "confirmed", "x"}))


def written(value):
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {written(each)}" for key, each in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(written, value)) + "]"
    return str(value) if isinstance(value, int) else '"' + value.replace("\n", "\\n") + '"'


@given(st.sampled_from(["rupak", "matta", "champak"]), st.dictionaries(fields, values, max_size=4))
def test_whatever_is_written_is_read_or_refused_in_words(name, told):
    text = f"[tala.{name}]\n" + "\n".join(f"{key} = {written(each)}" for key, each in told.items())
    tomllib.loads(text)
    try:
        tala, said = talas(text)[name], "tradition, line "
    except TalaError as error:
        tala, said = None, str(error)
    assert said.startswith("tradition, line ")
    if tala is not None:
        assert sum(tala.vibhags) == tala.matras
        assert all(each.theka.vibhags == tala.vibhags for each in tala.thekas)
