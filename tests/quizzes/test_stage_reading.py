"""Reading the files of the stages: what they hold, and how a fault is told."""

import pytest

from quizzes.errors import StageError
from quizzes.stages.reading import STAGES, load_form

STAGE_FILE = """\
ragas = ["yaman"]

[[stage]]
id = "dawn"
name = "Dawn"
also = ["Break of day"]
about = "invented: slow and alone"
purpose = "begin"
confidence = "B"
source = "a book"
[stage.heard]
strokes = [0.5, 1]
chikari = [0.0, 0.2]
ornaments = [0.2, 0.8]
register = ["mandra", "madhya"]
confidence = "C"
source = "from memory"

[[stage]]
id = "noon"
name = "Noon"
about = "invented: in a tala"
purpose = "go on"
may_lack = true
instead_of = ["dawn"]
confidence = "B"
source = "a book"
[stage.heard]
tempo = [40, 60]
strokes = [0.5, 1]
chikari = [0.0, 0.2]
ornaments = [0.2, 0.8]
register = ["madhya"]
talas = ["tintal"]
bols = "masitkhani"
confidence = "C"
source = "from memory"

[[division]]
id = "day"
name = "a day"
parts = ["dawn", "noon"]
source = "a book"
"""
ORDER_FILE = """\
[[pair]]
first = "dawn"
then = "noon"
strength = "fixed"
why = "the sun rises"
confidence = "B"
source = "a book"
"""
DUSK = STAGE_FILE[
    STAGE_FILE.index('[[stage]]\nid = "dawn"') : STAGE_FILE.index('[[stage]]\nid = "noon"')
]


@pytest.fixture
def loaded(tmp_path):
    def load(stages=STAGE_FILE, order=ORDER_FILE):
        (tmp_path / "stages.toml").write_text(stages, "utf-8")
        (tmp_path / "order.toml").write_text(order, "utf-8")
        return load_form(tmp_path)

    return load


def test_all_that_the_files_tell_is_read(loaded):
    read = loaded()
    dawn, noon = read.stages.values()
    assert (dawn.name, dawn.also, dawn.about) == (
        "Dawn",
        ("Break of day",),
        "invented: slow and alone",
    )
    assert (dawn.may_lack, noon.may_lack, noon.instead_of) == (False, True, ("dawn",))
    assert (dawn.heard.pulse, dawn.heard.tabla, dawn.heard.tempo) == (False, False, None)
    assert (noon.heard.tempo, noon.heard.talas, noon.heard.bols) == (
        (40, 60),
        ("tintal",),
        "masitkhani",
    )
    assert dawn.heard.register == ("mandra", "madhya")
    assert (read.whole_of("noon").id, read.divisions["day"].ordered) == ("day", True)
    assert read.order.pair("dawn", "noon").why == "the sun rises"
    assert read.ragas == ("yaman",)


def test_a_stage_that_is_added_to_the_files_takes_no_code(loaded):
    dusk = DUSK.replace("dawn", "dusk").replace("Dawn", "Dusk").replace("Break of day", "Nightfall")
    day = STAGE_FILE.replace("[[division]]", dusk + "[[division]]").replace(
        '"noon"]', '"noon", "dusk"]'
    )
    later = ORDER_FILE + ORDER_FILE.replace('"noon"', '"dusk"').replace('"dawn"', '"noon"')
    assert list(loaded(day, later).order.orders(("dusk", "noon", "dawn"))) == [
        ("dawn", "noon", "dusk")
    ]


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('["yaman"]', '["yamen"]', "line 1: ragas: 'yamen' is no raga known here"),
        ("ragas =", "raga =", "line 1: raga: is not known; known are division, ragas, stage"),
        ('name = "Dawn"', "name = 7", "line 5: stage 1, name: should be a text in quotes"),
        ('name = "Noon"', 'name = "break of day"', "line 21: stage 2, name: .* is a name already"),
        ('"Break of day"', '"Dawn"', "line 6: stage 1, also: 'Dawn' is a name already; give it to"),
        ("purpose =", "purpos =", "line 8: stage 1, purpos: is not known; known are about, also"),
        ('id = "noon"', 'id = "dawn"', "line 20: stage 2, id: dawn stands twice; give each"),
        ("may_lack = true", 'may_lack = "yes"', "line 24: stage 2, may_lack: should be true or"),
        ('of = ["dawn"]', 'of = ["dusk"]', "line 25: stage 2, instead_of: 'dusk' is no stage"),
        ("instead_of", 'needs = ["dusk"]\ninstead_of', "line 25: stage 2, needs: 'dusk' is no st"),
        ("instead_of", 'needs = ["noon"]\ninstead_of', "line 25: stage 2, needs: noon cannot need"),
        ('of = ["dawn"]', 'of = ["noon"]', "line 25: stage 2, instead_of: noon cannot stand for"),
        ("[0.5, 1]", "[1, 0.5]", "line 12: stage.heard 1, strokes: should be two numbers, from"),
        ("[0.0, 0.2]", "[0.0, 1.2]", "line 13: stage.heard 1, chikari: .* of 0 to 0.9; given"),
        ('"mandra", ', '"low", ', "line 15: stage.heard 1, register: 'low' should be one of"),
        ("tempo = [40, 60]\n", "", "line 33: stage.heard 2, talas: needs a tempo beside it"),
        ('["tintal"]', '["teen"]', "line 34: stage.heard 2, talas: 'teen' should be one of ada_ch"),
        ('["tintal"]', '["ektal"]', "line 34: stage.heard 2, talas: should be tintal alone, or"),
        ('"masitkhani"', '"masit"', "line 35: stage.heard 2, bols: 'masit' is not known; it"),
        ('confidence = "B"', 'confidence = "sure"', "line 9: stage 1, confidence: 'sure' is not"),
        ('"dawn", "noon"]', '"dawn"]', "line 20: stage 2, id: noon is a part of no .*; name it"),
        ('"dawn", "noon"]', '"dawn", "none"]', "line 42: division 1, parts: 'none' is no stage"),
        ('"dawn", "noon"]', '"noon", "noon"]', "line 42: division 1, parts: noon stands twice;"),
        ('parts =', 'of = "dusk"\nparts =', "line 42: division 1, of: 'dusk' is no stage; known"),
        ('parts =', 'of = "dawn"\nparts =', "line 42: division 1, of: dawn cannot be a part of it"),
        ("[[division]]", "[[division]", "mend the file, it should be TOML in UTF-8"),
    ],
)  # fmt: skip
def test_a_fault_of_a_stage_is_told_with_file_line_field_and_remedy(loaded, old, new, told):
    assert old in STAGE_FILE
    with pytest.raises(StageError, match=rf"stages\.toml.*{told}"):
        loaded(STAGE_FILE.replace(old, new, 1))


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('"noon"', '"dusk"', "line 3: pair 1, then: 'dusk' is not known; it should be one of dawn"),
        ('"noon"', '"dawn"', "line 3: pair 1, then: dawn cannot come before itself; name"),
        ('"fixed"', '"often"', "line 4: pair 1, strength: 'often' is not known; .* free, usual"),
        ("why =", "reason =", "line 5: pair 1, reason: is not known; known are confidence, first"),
        ('why = "the sun rises"\n', "", "line 1: pair 1, why: should be a text in quotes"),
        ("[[pair]]\n", ORDER_FILE + "[[pair]]\n", "line 9: pair 2, first: dawn and noon are told"),
    ],
)  # fmt: skip
def test_a_fault_of_a_pair_is_told_with_file_line_field_and_remedy(loaded, old, new, told):
    assert old in ORDER_FILE
    with pytest.raises(StageError, match=rf"order\.toml.*{told}"):
        loaded(order=ORDER_FILE.replace(old, new, 1))


def test_pairs_that_go_round_in_a_circle_are_told(tmp_path):
    (tmp_path / "stages.toml").write_text((STAGES / "stages.toml").read_text("utf-8"), "utf-8")
    shipped = (STAGES / "order.toml").read_text("utf-8")
    turned = ORDER_FILE.replace("dawn", "jhala-plain").replace("noon", "jhala-three")
    back = ORDER_FILE.replace("dawn", "jhala-three").replace("noon", "jhala-five-three")
    round_ = ORDER_FILE.replace("dawn", "jhala-five-three").replace("noon", "jhala-plain")
    (tmp_path / "order.toml").write_text(shipped + turned + back, "utf-8")
    assert load_form(tmp_path).order.pair("jhala-plain", "jhala-five-three")
    (tmp_path / "order.toml").write_text(shipped + turned + back + round_, "utf-8")
    with pytest.raises(StageError, match=r"order\.toml: jhala-.* before jhala-.*; remove one or"):
        load_form(tmp_path)


def test_a_folder_without_files_is_told(tmp_path):
    with pytest.raises(StageError, match=r"stages\.toml: there is no such file; known are none"):
        load_form(tmp_path)
