"""Vadi and samvadi: what anybody teaches is never wrong, and the letters tell nothing."""

from collections import Counter

from audio.sargam import parse
from quizzes import Setting, make_question
from quizzes.kept import skills_of
from quizzes.kinds import KINDS
from quizzes.ragas import ragas, swaras_of

KIND = KINDS["raga-vadi"]
SKILLS = tuple(skill.id for skill in skills_of(KIND.name))
SETTING = Setting(sa_hz=277.18, met=SKILLS)


def raga_of(question, tradition=""):
    return ragas(tradition)[question.skill.rpartition(":")[2]]


def pairs(question):
    return {choice.id: tuple(choice.id.split("-")) for choice in question.choices}


def test_one_taught_pair_is_offered_beside_three_that_nobody_teaches_either_way_round():
    for seed, skill in enumerate(SKILLS):
        question = make_question(skill, seed=seed, setting=SETTING)
        taught = {frozenset(pair) for pair in raga_of(question).pairs}
        offered = pairs(question)
        assert len(offered) == 4
        assert offered[question.right[0]] in raga_of(question).pairs
        assert sum(frozenset(pair) in taught for pair in offered.values()) == 1
        assert len({frozenset(pair) for pair in offered.values()}) == 4


def test_every_printed_pair_has_its_turn_and_the_others_are_told():
    # Durga: Ma and Sa, Dha and Re, Pa and Sa are all met with (common practice).
    seen = set()
    for seed in range(60):
        question = make_question("raga-vadi:durga", seed=seed, setting=SETTING)
        seen.add(question.right[0])
        for answer in pairs(question):
            why = KIND.explain(question, answer).why
            assert why.startswith("Ma is the vadi of Durga and Sa its samvadi; others teach ")
            assert "Dha as vadi and Re as samvadi" in why
    assert {"m-S", "D-R"} <= seen


def test_a_teachers_pair_is_the_right_one_and_ours_is_no_wrong_one():
    word = '[durga]\nvadi = "D R"\n[yaman]\nvadi = "G D"'
    setting = Setting(sa_hz=277.18, met=SKILLS, tradition=word)
    for seed in range(40):
        question = make_question("raga-vadi:durga", seed=seed, setting=setting)
        assert question.right == ("D-R",)
        assert not {"m-S", "S-m", "P-S", "S-P"} & set(pairs(question))
        yaman = make_question("raga-vadi:yaman", seed=seed, setting=setting)
        assert yaman.right == ("G-D",)
        assert "G-N" not in pairs(yaman)


def test_what_is_known_from_memory_only_is_not_asked():
    asked = {skill.rpartition(":")[2] for skill in SKILLS}
    assert asked == {raga.id for raga in ragas().values() if raga.vadi.sure}
    assert asked != set(ragas())


def test_wrong_pairs_are_mostly_of_the_ragas_own_swaras():
    foreign = Counter()
    for seed, skill in enumerate(SKILLS):
        question = make_question(skill, seed=seed, setting=SETTING)
        own = raga_of(question).own
        foreign[sum(not set(pair) <= own for pair in pairs(question).values())] += 1
    assert foreign[0] + foreign[1] > 0.9 * len(SKILLS)


def test_a_pair_is_about_as_often_wrong_as_three_times_right():
    right, offered = Counter(), Counter()
    for seed, skill in enumerate(SKILLS * 4):
        question = make_question(skill, seed=seed, setting=SETTING)
        right.update(question.right)
        offered.update(list(pairs(question)))
    usual = [pair for pair, times in right.items() if times > 0.03 * right.total()]
    assert len(usual) >= 6
    for pair in usual:
        # By its letters alone a pair would be right once in four.
        assert 0.15 < right[pair] / offered[pair] < 0.42


def test_both_swaras_of_the_right_pair_are_heard_and_dwelt_on_afterwards():
    heard = 0
    for seed, skill in enumerate(SKILLS):
        question = make_question(skill, seed=seed, setting=SETTING)
        right = set(pairs(question)[question.right[0]])
        letters = [swara.letter for swara in swaras_of(parse(question.sargam))]
        heard += right <= set(letters)
        drawn = KIND.explain(question, question.right[0]).drawn
        marked = [letters[at] for at, each in enumerate(drawn) if each.deciding]
        assert set(marked) == right & set(letters)
        longest = max(each.end_s - each.start_s for each in drawn)
        assert all(each.end_s - each.start_s > 0.99 * longest for each in drawn if each.deciding)
    assert heard > 0.9 * len(SKILLS)
