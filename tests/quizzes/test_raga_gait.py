"""Grave or light: only clear opposites, and a teacher's word above ours."""

from audio.sargam import parse
from quizzes import Setting, make_question
from quizzes.kept import skills_of
from quizzes.kinds import KINDS
from quizzes.ragas import admits, ragas, swaras_of

KIND = KINDS["raga-gait"]
SKILLS = tuple(skill.id for skill in skills_of(KIND.name))
SETTING = Setting(sa_hz=277.18, met=SKILLS)
AMONG = [skill for skill in SKILLS if ":among:" in skill]


def gaits(one, tradition=""):
    return ragas(tradition)[one].gait.value


def test_all_offered_beside_the_right_one_are_its_clear_opposite():
    for seed, skill in enumerate(AMONG):
        question = make_question(skill, seed=seed, setting=SETTING)
        right, asked = question.right[0], question.prompt.split("?")[0].split()[-1]
        assert asked in gaits(right)
        for choice in question.choices:
            assert (asked in gaits(choice.id)) == (choice.id == right)
            assert not {"grave", "light"} <= set(gaits(choice.id))
        assert len(question.choices) == 4


def test_the_odd_one_is_grave_as_often_as_light():
    asked = [make_question(skill, seed=1, setting=SETTING).prompt for skill in AMONG]
    assert sum("is grave?" in prompt for prompt in asked) * 2 == len(asked)


def test_ragas_that_are_played_both_ways_are_not_asked():
    # Common practice: Bhairavi is played gravely and lightly, Yaman in every way.
    assert not [skill for skill in SKILLS if skill.endswith((":bhairavi", ":yaman"))]
    # Common practice: Darbari is the grave raga, Pilu a light one.
    alone = {
        one: make_question(f"raga-gait:alone:{one}", seed=1, setting=SETTING).right
        for one in ("darbari", "pilu")
    }
    assert alone == {"darbari": ("grave",), "pilu": ("light",)}


def test_a_grave_phrase_takes_longer_than_the_same_played_lightly():
    for seed, skill in enumerate(SKILLS):
        if ":alone:" not in skill:
            continue
        question = make_question(skill, seed=seed, setting=SETTING)
        (wrong,) = {"grave", "light"} - set(question.right)
        explained = KIND.explain(question, wrong)
        grave, light = explained.right_cue, explained.given_cue
        if wrong == "grave":
            grave, light = light, grave
        assert grave.duration_s > 1.1 * light.duration_s


def test_what_is_heard_is_the_ragas_own():
    for seed, skill in enumerate(SKILLS):
        question = make_question(skill, seed=seed, setting=SETTING)
        raga = ragas()[skill.rpartition(":")[2]]
        assert admits(raga, swaras_of(parse(question.sargam)))


def test_a_teachers_word_turns_the_answer():
    word = '[darbari]\ngait = "light"\n[todi]\ngait = "light grave"'
    setting = Setting(sa_hz=277.18, met=SKILLS, tradition=word)
    assert make_question("raga-gait:alone:darbari", seed=1, setting=setting).right == ("light",)
    for seed in range(30):
        question = make_question("raga-gait:among:darbari", seed=seed, setting=setting)
        assert "light" in question.prompt
        # Of Todi he says both: it is nobody's opposite any more.
        assert "todi" not in {choice.id for choice in question.choices}
