"""The that which holds a raga is found by its swaras, whatever that the raga is counted in."""

import pytest

from audio.tuning import SWARAS
from quizzes import KINDS, Setting, kind_of, make_question
from quizzes.contours import THATS_BY_NAME
from quizzes.kinds.raga_that import right_that
from quizzes.ragas import ragas

SETTING = Setting(sa_hz=138.59)

# The numbers of the ten thats among the 72 melas (common practice).
MELAS = {
    "Bilawal": 29, "Kalyan": 65, "Khamaj": 28, "Bhairav": 15, "Purvi": 51,
    "Marwa": 53, "Kafi": 22, "Asavari": 20, "Bhairavi": 8, "Todi": 45,
}  # fmt: skip
PAIRS = [(1, 2), (1, 3), (1, 4), (2, 3), (2, 4), (3, 4)]
"""Two of four semitones for Re and Ga, and for Dha and Ni, in the order of the melas."""


@pytest.mark.parametrize("that", MELAS)
def test_thats_are_the_melas_of_their_numbers(that):
    place = MELAS[that] - 1
    lower, upper = PAIRS[place // 6 % 6], PAIRS[place % 6]
    middle = 5 if place < 36 else 6
    steps = [0, *lower, middle, 7, *(7 + step for step in upper)]
    assert [SWARAS[step] for step in steps] == THATS_BY_NAME[that].split()


# Common practice where a that is right; "none" follows from the swaras of these ragas.
COMMON = {
    "bhupali": "Kalyan", "deshkar": "Bilawal", "durga": "Bilawal", "malkauns": "Bhairavi",
    "bageshri": "Kafi", "darbari": "Asavari", "sohni": "Marwa", "multani": "Todi",
    "bairagi": "Bhairavi", "ahir_bhairav": "none", "charukeshi": "none", "kirwani": "none",
    "madhuvanti": "none", "patdeep": "none", "nat_bhairav": "none", "chandrakauns": "none",
}  # fmt: skip


@pytest.mark.parametrize("raga", COMMON)
def test_known_ragas_are_held_as_they_are_known_to_be(raga):
    assert right_that(ragas()[raga]) == COMMON[raga]
    question = make_question(f"raga-that:{raga}", seed=0, setting=SETTING)
    assert question.right == (COMMON[raga],)


def test_no_other_that_offered_holds_what_is_heard():
    for skill in KINDS["raga-that"].skills():
        question = make_question(skill.id, seed=2, setting=SETTING)
        heard = {letter for letter in question.sargam if letter in SWARAS}
        holding = [
            choice.id
            for choice in question.choices
            if choice.id != "none" and heard <= set(THATS_BY_NAME[choice.id].split())
        ]
        assert (holding or ["none"]) == list(question.right)


def test_two_forms_of_a_swara_are_not_asked():
    asked = {skill.id for skill in KINDS["raga-that"].skills()}
    assert not asked & {"raga-that:bihag", "raga-that:desh", "raga-that:kedar"}


def test_a_raga_that_is_counted_elsewhere_is_said_to_be():
    question = make_question("raga-that:ahir_bhairav", seed=1, setting=SETTING)
    why = kind_of(question.skill).explain(question, "none").why
    assert why == (
        "Bhairav has no shuddha Dha or komal Ni; no that has komal Re, shuddha Ga and komal Ni "
        "together, so none holds Ahir Bhairav, which is counted in Bhairav nevertheless."
    )


def test_no_that_joins_the_swaras_that_are_said_to_be_joined_by_none():
    # Common practice: Charukeshi has shuddha Ga with komal Dha, which no that but Bhairav's kin
    # has, and these have komal Re.
    question = make_question("raga-that:charukeshi", seed=1, setting=SETTING)
    why = kind_of(question.skill).explain(question, "none").why
    assert why.startswith("No that has shuddha Re, shuddha Ga and komal Dha together")
