"""Where a raga may rest, and how its phrases end: right ones surely, wrong ones surely not."""

from itertools import pairwise

import pytest

from audio.sargam import parse
from audio.tuning import Swara
from quizzes import Setting, kind_of, make_question
from quizzes.kept import skills_of
from quizzes.ragas import admits, ragas, surely_breaks, swaras_of
from quizzes.ragas.resting import never_rests, sure_rests, why_no_rest

SETTING = Setting(sa_hz=138.59)


def asked(kind, *, seeds=1, of=""):
    """Questions of every other skill, the others with the next seed; or of this raga's alone."""
    for seed in range(seeds):
        for skill in skills_of(kind)[seed % 2 :: 2]:
            if skill.id.endswith(of):
                question = make_question(skill.id, seed=seed, setting=SETTING)
                yield question, ragas()[skill.id.rpartition(":")[2]]


# Common practice, as any teacher of these ragas has it: rests, and swaras that are only passed.
COMMON = {
    "bihag": ("G N", "R D"),
    "bhimpalasi": ("m", "R D"),
    "bageshri": ("m", ""),
    "multani": ("P", "r d"),
    "marwa": ("r D", ""),
    "todi": ("d g", ""),
}


@pytest.mark.parametrize("raga", COMMON)
def test_rests_are_those_of_common_practice(raga):
    rests, passed = (set(letters.split()) for letters in COMMON[raga])
    assert rests <= set(sure_rests(ragas()[raga]))
    assert set(never_rests(ragas()[raga])) == passed


def test_only_one_choice_is_a_rest_of_the_raga():
    for question, raga in asked("raga-rest"):
        (right,) = question.right
        assert right in raga.nyas.value
        for choice in question.choices:
            weighty = {letter for pair in raga.pairs for letter in pair}
            if choice.id != right:
                assert choice.id not in weighty | set(raga.nyas.value)
                assert choice.id not in raga.ever or choice.id in never_rests(raga)


def test_own_swaras_alone_are_offered_where_they_are_asked_for():
    for question, raga in asked("raga-rest"):
        if ":own:" in question.skill:
            wrong = {choice.id for choice in question.choices} - set(question.right)
            assert len(wrong) >= 2
            assert wrong <= set(never_rests(raga))


@pytest.mark.parametrize("kind", ["raga-rest", "raga-finish"])
def test_a_natural_swara_is_never_called_as_if_it_were_the_komal_one(kind):
    bare = {"re", "ga", "ma", "dha", "ni"}
    forms = {"komal", "shuddha", "tivra"}
    for question, _ in asked(kind):
        for choice in question.choices:
            *before, swara = choice.label.lower().split()
            assert bool(forms & set(before)) == (swara in bare)


@pytest.mark.parametrize("kind", ["raga-rest", "raga-finish"])
def test_what_is_heard_rests_nowhere_and_its_end_is_heard_after_the_answer(kind):
    for question, raga in asked(kind):
        onsets = [stroke.onset_s for stroke in question.cue.strokes]
        steps = [later - earlier for earlier, later in pairwise(onsets)]
        assert max(steps) == pytest.approx(min(steps), abs=0.01)
        begun = swaras_of(parse(question.sargam))
        drawn = kind_of(question.skill).explain(question, question.right[0]).drawn
        assert [each.deciding for each in drawn] == [False] * len(begun) + [True]
        last = Swara.read(question.detail.get("rests_on", question.right[0]))
        assert admits(raga, (*begun, last))


def test_with_a_wrong_ending_the_raga_breaks_or_stops_where_it_does_not_rest():
    for question, raga in asked("raga-finish"):
        begun = swaras_of(parse(question.sargam))
        for choice in question.choices:
            swara = Swara.read(choice.id)
            if choice.id not in question.right:
                broken = surely_breaks(raga, (*begun, swara)) is not None
                assert broken or (":rest:" in question.skill and swara.letter in never_rests(raga))


def test_swaras_of_the_raga_are_offered_as_ends_where_a_rest_is_asked():
    for question, raga in asked("raga-finish", seeds=2):
        if ":rest:" in question.skill:
            wrong = {Swara.read(choice.id).letter for choice in question.choices} - {
                Swara.read(question.right[0]).letter
            }
            assert len(wrong & raga.own) >= 2, (question.skill, question.seed)


def test_a_run_that_the_raga_does_not_make_is_named():
    # Common practice: Asavari leaves komal Ni out on its way up, and turns on it to come down.
    found = 0
    for question, raga in asked("raga-finish", seeds=20, of=":asavari"):
        begun = swaras_of(parse(question.sargam))
        for choice in question.choices:
            swara = Swara.read(choice.id)
            if choice.id not in question.right and swara.letter in raga.own:
                broken = surely_breaks(raga, (*begun, swara))
                why = kind_of(question.skill).explain(question, choice.id).why
                out = " it leaves komal Ni out on the way up to "
                assert why.endswith("does not stay on it.") if broken is None else out in why
                found += broken is not None
    assert found


def test_nothing_is_surely_no_rest_that_a_phrase_of_the_raga_passes_all_the_same():
    """Basant's printed way up has no Ni, its phrases have; Pahadi is light and free."""
    assert "N" not in never_rests(ragas()["basant"])
    assert never_rests(ragas()["pahadi"]) == ()


def test_why_a_swara_is_no_rest():
    assert why_no_rest(ragas()["bihag"], "D") == (
        "leaves shuddha Dha out on the way up and does not stay on it"
    )
    assert why_no_rest(ragas()["yaman"], "n") == "has no komal Ni"
    assert why_no_rest(ragas()["yaman"], "m") == "has no shuddha Ma"


def test_the_names_of_the_choices_do_not_tell_the_rest():
    """Sa is never offered, and Pa, on which most ragas rest, is often wrong as well."""
    offered, right = [], []
    for question, _ in asked("raga-rest", seeds=2):
        offered += [choice.id for choice in question.choices]
        right += question.right
    assert "S" not in offered
    assert right.count("P") < 0.7 * offered.count("P")


def test_a_teachers_rest_is_sure():
    taught = Setting(sa_hz=138.59, tradition='[bihag]\nnyas = "P"\nvadi = "G N"\n')
    for seed in range(5):
        question = make_question("raga-rest:note:bihag", seed=seed, setting=taught)
        assert question.right == ("P",)
