"""A teacher's word on the stages of a performance: it stands above what the files say."""

import pytest

from quizzes.errors import StageError
from quizzes.fresh import Fresh
from quizzes.ragas import ragas
from quizzes.stages.fitting import fits
from quizzes.stages.passages import bears, passage
from quizzes.stages.tradition import form

GATS = ("vilambit-gat", "madhya-gat", "drut-gat", "closing-jhala")
RENAMED = '[stage.jor-fast]\nname = "Dugun"\n'
MOVED = '[[order]]\nfirst = "drut-gat"\nthen = "vilambit-gat"\n'


def test_no_word_leaves_all_as_it_is():
    assert form("") is form()


def test_a_name_that_is_taught_stands_first_and_the_usual_one_is_still_a_name():
    shipped, taught = form().stages, form(RENAMED).stages
    fast = taught["jor-fast"]
    assert (fast.name, fast.source, fast.confidence) == ("Dugun", "your teacher", "A")
    assert fast.also == ("Drut jor", *shipped["jor-fast"].also)
    assert fast.heard == shipped["jor-fast"].heard
    # Some call the whole jor so; for this teacher's student it means one stage alone.
    assert "Dugun" in shipped["jor"].also
    assert "Dugun" not in taught["jor"].also
    assert {name for name in taught if taught[name] != shipped[name]} == {"jor-fast", "jor"}


@pytest.mark.parametrize("stage", form().stages)
def test_any_stage_may_be_called_otherwise(stage):
    assert form(f'[stage.{stage}]\nname = "Kutup"').stages[stage].name == "Kutup"


def test_what_is_heard_may_be_taught_otherwise():
    taught = form("[stage.alap.heard]\nstrokes = [0.2, 0.6]").stages["alap"].heard
    assert (taught.strokes, taught.source) == ((0.2, 0.6), "your teacher")
    assert taught.register == form().stages["alap"].heard.register


def test_a_gat_that_is_moved_comes_where_the_teacher_has_it():
    assert list(form().order.orders(GATS)) == [GATS]
    order = form(RENAMED + MOVED).order
    ((first, second, third, last),) = order.orders(GATS)
    assert (first, second, third, last) == (
        "madhya-gat",
        "drut-gat",
        "vilambit-gat",
        "closing-jhala",
    )
    assert order.pair("drut-gat", "vilambit-gat").why == "so your teacher has it"
    # What was fixed stays: alap, jor and jhala before all gats.
    assert order.pair("alap-jhala", "drut-gat").strength == "fixed"


def test_two_gats_that_may_come_either_way_are_both_right():
    order = form(MOVED.replace("drut", "madhya") + 'strength = "free"').order
    assert set(order.orders(GATS)) == {GATS, ("madhya-gat", "vilambit-gat", *GATS[2:])}


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('[stage.dusk]\nname = "Dusk"', "line 1: stage, dusk: is no stage known here; known are"),
        ('[stage.jor]\nneeds = ["dusk"]', "line 2: stage.jor, needs: 'dusk' is no stage; known"),
        ('[stage.jor]\nnaem = "Jod"', "line 2: stage.jor, naem: is not known; known are about"),
        ('[stage.jor.heard]\ntempo = "slow"', "line 2: stage.jor.heard, tempo: should be two"),
        (MOVED.replace("drut-gat", "dusk"), "line 2: order 1, first: 'dusk' is not known; it"),
        (MOVED + 'strength = "often"', "line 4: order 1, strength: 'often' is not known"),
        (
            MOVED + '[[order]]\nfirst = "vilambit-gat"\nthen = "drut-gat"\n',
            "line 5: order 2, first: goes round in a circle with your other pairs; remove one",
        ),
        ("[stage", "mend the file, it should be TOML in UTF-8"),
    ],
)
def test_a_fault_in_a_tradition_is_told_with_line_field_and_remedy(text, told):
    with pytest.raises(StageError, match=f"tradition.*{told}"):
        form(text)


def test_one_name_is_not_given_to_two_stages():
    with pytest.raises(StageError, match=r"line 2: stage\.jor, name: 'Alap' is the name of alap"):
        form('[stage.jor]\nname = "Alap"')
    swapped = form('[stage.jor]\nname = "Alap"\n[stage.alap]\nname = "Vistar"').stages
    assert (swapped["jor"].name, swapped["alap"].name) == ("Alap", "Vistar")


def test_a_purpose_may_be_written_as_a_sentence():
    said = form('[stage.jor]\npurpose = "Let the raga walk."').stages["jor"].purpose
    assert said == "let the raga walk"


@pytest.mark.parametrize(
    "heard",
    [
        "chikari = [0, 0]",
        "ornaments = [0, 0]",
        "strokes = [1, 1]",
        "tempo = [60, 60]",
        'register = ["tar", "mandra"]',
        'ends = "tihai"',
    ],
)
def test_whatever_is_taught_of_what_is_heard_can_be_played(heard):
    for stage in ("jor-middle", "gat-vistar", "tan-gamak"):
        taught = form(f"[stage.{stage}.heard]\n{heard}").stages[stage]
        raga = next(raga for raga in ragas().values() if bears(taught, raga))
        made = passage(Fresh(stage, 1), taught, raga, sa_hz=138.59, tuning="just")
        assert len(made.score.strokes) > 3


def test_what_no_raga_could_carry_is_told():
    with pytest.raises(StageError, match=r"line 1: stage\.tan-sapat, heard: no raga known here"):
        form('[stage.tan-sapat.heard]\nregister = ["mandra"]')
    with pytest.raises(StageError, match=r"chikari: should be two numbers.*0 to 0\.9"):
        form("[stage.jor.heard]\nchikari = [1, 1]")


def test_a_stage_is_accompanied_by_the_theka_that_the_teacher_has():
    taught = '[[tala.tintal.theka]]\nbols = "ge na na na | ge na na na | ke na na na | ge na na na"'
    raga = ragas()["yaman"]
    made, shipped = (
        passage(
            Fresh("theka", 2),
            form().stages["madhya-gat"],
            raga,
            sa_hz=138.59,
            tuning="just",
            tradition=tradition,
        )
        for tradition in (taught, "")
    )
    assert {stroke.bol for stroke in made.score.tabla} <= {"ge", "ke", "na"}
    assert "dhin" in {stroke.bol for stroke in shipped.score.tabla}


OWN_TALA = """
[tala.sevens]
name = "Sevens"
vibhags = [4, 3]
khali = [5]
laya = ["vilambit", "drut"]
[[tala.sevens.theka]]
bols = "dha dhin dhin dha | tin tin ta"
"""


def test_a_tala_of_the_teachers_own_may_carry_a_stage_and_suit_a_gat():
    taught = OWN_TALA + (
        '[stage.gat-vistar.heard]\ntalas = ["sevens"]\n'
        '[[fit]]\nasks = "tala"\nid = "fast"\nsuits = ["sevens", "tintal"]\n'
    )
    stage = form(taught).stages["gat-vistar"]
    made = passage(
        Fresh("own", 1), stage, ragas()["yaman"], sa_hz=138.59, tuning="just", tradition=taught
    )
    assert made.tala == "sevens"
    assert fits(taught)["tala", "fast"].suits == ("sevens", "tintal")
    with pytest.raises(StageError, match="'eights' should be one of"):
        form(taught.replace('talas = ["sevens"]', 'talas = ["eights"]'))
