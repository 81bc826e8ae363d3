"""A bridge has all the swaras in which two ragas differ; no other raga offered has them."""

from audio.sargam import parse
from quizzes import Setting, kind_of, make_question
from quizzes.kept import skills_of
from quizzes.ragas import admits, ragas, swaras_of

SKILLS = [skill.id for skill in skills_of("raga-bridge")]
SETTING = Setting(sa_hz=138.59, met=tuple(SKILLS))


def asked(seeds):
    return [
        make_question(skill, seed=seed, setting=SETTING)
        for skill in SKILLS
        for seed in range(seeds)
    ]


def test_only_the_right_raga_has_all_in_which_the_two_differ():
    for question in asked(4):
        first, second = ragas()[question.detail["from"]], ragas()[question.detail["to"]]
        apart = first.own ^ second.own
        assert {letter.swapcase() for letter in first.own - second.own} & second.own
        for choice in question.choices:
            raga = ragas()[choice.id]
            if choice.id in question.right:
                assert apart <= raga.own
            else:
                assert not apart <= raga.ever


def test_both_ragas_are_heard_each_as_itself_with_what_sets_it_apart():
    for question in asked(3):
        names = question.detail["from"], question.detail["to"]
        parts = question.sargam.split("|")
        for name, other, part in zip(names, reversed(names), parts, strict=True):
            swaras = swaras_of(parse(part))
            assert admits(ragas()[name], swaras)
            assert {swara.letter for swara in swaras} - ragas()[other].own


def test_another_bridge_is_offered_that_is_right_elsewhere():
    asked_for = {skill.partition(":")[2] for skill in SKILLS}
    wrong = set()
    for question in asked(10):
        bridges = {choice.id for choice in question.choices} & asked_for
        assert len(bridges) == 2
        wrong |= bridges - set(question.right)
    assert wrong == asked_for


def test_jaijaiwanti_is_the_bridge_from_shuddha_to_komal_ga():
    """Common practice: it is the raga that is called a parmel-praveshak."""
    said = [
        (question, kind_of(question.skill).explain(question, "jaijaiwanti").why)
        for seed in range(30)
        if (question := make_question("raga-bridge:jaijaiwanti", seed=seed, setting=SETTING))
    ]
    for question, why in said:
        leads = "G" in ragas()[question.detail["from"]].own
        assert (" is called a parmel-praveshak" in why) == leads
    # It takes shuddha Ga up and down, komal Ga in coming down to Re (common practice).
    uses = "shuddha Ga on the way up and down"
    assert any(
        f"komal Ga; Jaijaiwanti has both: komal Ga on the way down, {uses}" in why
        for _, why in said
    )


def test_no_other_raga_is_said_to_lead_from_the_one_to_the_other():
    for question in asked(2):
        words = question.prompt + kind_of(question.skill).explain(question, question.right[0]).why
        assert "leads from" not in words or question.right == ("jaijaiwanti",)


def test_what_a_wrong_raga_lacks_is_said():
    question = make_question("raga-bridge:bihag", seed=1, setting=SETTING)
    wrong = next(choice.id for choice in question.choices if choice.id not in question.right)
    explanation = kind_of(question.skill).explain(question, wrong)
    assert f"; {ragas()[wrong].name} has no " in explanation.why
    assert explanation.given_plays == f"a phrase of {ragas()[wrong].name}"
