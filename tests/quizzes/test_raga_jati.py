"""Jati and omitted swaras, asked only of ragas of which everybody says the same."""

import pytest

from quizzes import KINDS, Setting, kind_of, make_question
from quizzes.ragas import ragas
from quizzes.ragas.ways import agreed_ragas, changed_ways, gaps_of, jati_of

SETTING = Setting(sa_hz=138.59)
# Common practice.
COMMON = {
    "bhupali": ("audav-audav", "both", "MN"),
    "durga": ("audav-audav", "both", "GN"),
    "malkauns": ("audav-audav", "both", "RP"),
    "hansadhwani": ("audav-audav", "both", "MD"),
    "marwa": ("shadav-shadav", "both", "P"),
    "gujari_todi": ("shadav-shadav", "both", "P"),
    "multani": ("audav-sampurna", "up", "RD"),
    "patdeep": ("audav-sampurna", "up", "RD"),
    "asavari": ("audav-sampurna", "up", "GN"),
    "bhairavi": ("sampurna-sampurna", "both", ""),
}


@pytest.mark.parametrize("raga", COMMON)
def test_jatis_and_gaps_are_those_of_common_practice(raga):
    jati, way, gaps = COMMON[raga]
    assert ragas()[raga] in agreed_ragas()
    assert jati_of(ragas()[raga]) == jati
    assert "".join(gaps_of(ragas()[raga])[way]) == gaps


def test_what_is_taught_in_two_ways_is_not_asked():
    """Yaman climbs with and without Pa, Kedar has two Ma on one way, Pahadi takes in anything."""
    asked = {raga.id for raga in agreed_ragas()}
    assert not asked & {"yaman", "kedar", "bihag", "pahadi"}


def test_only_what_is_left_out_is_right():
    for skill in KINDS["raga-jati"].skills():
        for seed in range(2):
            question = make_question(skill.id, seed=seed, setting=SETTING)
            raga = ragas()[skill.id.rpartition(":")[2]]
            if ":jati:" in skill.id:
                assert question.right == (jati_of(raga),)
                continue
            gaps = gaps_of(raga)[question.detail["way"]]
            out = {choice.id for choice in question.choices if choice.id in gaps}
            assert out == set(question.right) - {"none"}
            assert (question.right == ("none",)) == (not gaps)


def test_none_is_always_offered_and_sometimes_right():
    skills = [skill.id for skill in KINDS["raga-jati"].skills() if ":out:" in skill.id]
    asked = [make_question(skill, seed=3, setting=SETTING) for skill in skills * 2]
    assert all("none" in {choice.id for choice in question.choices} for question in asked)
    assert 0 < sum(question.right == ("none",) for question in asked) < len(asked) / 2


def test_a_degree_is_put_in_and_left_out_where_it_belongs():
    multani = ragas()["multani"]
    letters = [note.swara.letter for note in changed_ways(multani, "up", "R", added=True).notes()]
    assert "".join(letters) == "NSrgMPNS" + "SNdPMgrS"
    letters = [
        note.swara.letter for note in changed_ways(multani, "down", "P", added=False).notes()
    ]
    assert "".join(letters) == "NSgMPNS" + "SNdMgrS"


def test_explanations_say_how_many_and_which():
    question = make_question("raga-jati:jati:multani", seed=1, setting=SETTING)
    why = kind_of(question.skill).explain(question, question.right[0]).why
    assert why == (
        "Multani leaves out Re and Dha going up and nothing coming down: "
        "five swaras up, audav, and seven down, sampurna."
    )
    question = make_question("raga-jati:jati:bhupali", seed=1, setting=SETTING)
    why = kind_of(question.skill).explain(question, question.right[0]).why
    assert why == "Bhupali leaves out Ma and Ni both ways: five swaras, audav."
    question = make_question("raga-jati:out:bhupali", seed=1, setting=SETTING)
    explanation = kind_of(question.skill).explain(question, "none")
    assert explanation.why == "Bhupali leaves out Ma and Ni altogether."
    assert explanation.given_plays in ("its way up and down with Ma", "its way up and down with Ni")
