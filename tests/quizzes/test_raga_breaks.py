"""What breaks a raga: an odd phrase, a quick run, a student's slip; judged from the files alone."""

from functools import cache
from itertools import pairwise

import pytest

from audio.sargam import parse
from quizzes import KINDS, Setting, make_question
from quizzes.kept import skills_of
from quizzes.ragas import ragas, swaras_of
from tests.quizzes.raga_oracle import all_ragas

SKILLS = {
    kind: tuple(skill.id for skill in skills_of(kind))
    for kind in ("raga-odd", "raga-breaks", "raga-mend")
}
SA_HZ = 138.59


@cache
def questions(kind):
    """One of every other skill."""
    skills = SKILLS[kind]
    return tuple(
        make_question(skill, seed=seed, setting=Setting(sa_hz=SA_HZ, met=skills[seed % 5 :: 4]))
        for seed, skill in enumerate(skills[::2])
    )


def steps_of(text):
    return tuple(swara.steps for swara in swaras_of(parse(text)))


def phrases_of(question):
    return [steps_of(part) for part in question.sargam.split(" / ")]


def raga_of(question):
    return all_ragas()[question.skill.rpartition(":")[2]]


@pytest.mark.parametrize("kind", ["raga-odd", "raga-breaks"])
def test_one_phrase_is_left_by_the_sort_asked_and_the_others_are_the_ragas(kind):
    for question in questions(kind):
        raga, sort = raga_of(question), question.skill.split(":")[1]
        for place, phrase in enumerate(phrases_of(question), 1):
            if str(place) == question.right[0]:
                assert raga.left(phrase).by == sort
            else:
                assert raga.admits(phrase), (question.skill, question.seed, raga.slips(phrase))


@pytest.mark.parametrize("kind", ["raga-odd", "raga-breaks"])
def test_phrases_differ_are_alike_in_length_and_parted_by_a_clear_pause(kind):
    for question in questions(kind):
        phrases = phrases_of(question)
        assert len(set(phrases)) == len(phrases) == len(question.choices)
        assert len(set(map(len, phrases))) == 1
        strokes = question.cue.strokes
        between = [b.onset_s - a.end_s for a, b in pairwise(strokes)]
        assert sum(gap > 0.9 for gap in between) == len(phrases) - 1
        assert sum(gap > 0.01 for gap in between) == len(phrases) - 1


def test_the_odd_phrase_moves_as_the_raga_that_it_is_said_to_be_of():
    for question in questions("raga-odd"):
        other = all_ragas()[question.detail["other"]]
        odd = phrases_of(question)[int(question.right[0]) - 1]
        assert all(other.is_own(step) for step in pairwise(odd)), (question.skill, question.seed)


@pytest.mark.parametrize("kind", SKILLS)
def test_a_light_raga_is_never_broken_by_a_run(kind):
    # Common practice: light ragas take liberties with their ways up and down.
    for skill in SKILLS[kind]:
        _, sort, name = skill.split(":")
        assert sort != "run" or "light" not in ragas()[name].gait.value


def test_shuddha_kalyan_is_asked_of_no_quick_runs():
    # Common practice: it has Ma and Ni in falling glides only.
    assert not [skill for skill in SKILLS["raga-breaks"] if skill.endswith(":shuddha_kalyan")]


def test_runs_are_quick():
    for question in questions("raga-breaks"):
        onsets = [stroke.onset_s for stroke in question.cue.strokes]
        steps = sorted(b - a for a, b in pairwise(onsets))
        assert steps[len(steps) // 2] < 0.27


@pytest.mark.parametrize("kind", ["raga-breaks", "raga-mend"])
def test_what_breaks_it_is_one_swara_and_without_that_the_phrase_is_the_ragas(kind):
    for question in questions(kind):
        raga = raga_of(question)
        mended = steps_of(question.detail["mended"])
        if kind == "raga-mend":
            wrong, place = steps_of(question.sargam), int(question.right[0]) - 1
        else:
            wrong = phrases_of(question)[int(question.right[0]) - 1]
            place = question.detail["place"]
        assert raga.admits(mended)
        assert raga.left(wrong) is not None
        rest = mended[place:] if len(mended) < len(wrong) else mended[place + 1 :]
        assert (wrong[:place], wrong[place + 1 :]) == (mended[:place], rest)


def test_the_students_slip_is_a_foreign_swara_or_one_in_a_run_as_the_skill_says():
    for question in questions("raga-mend"):
        raga, wrong = raga_of(question), steps_of(question.sargam)
        left = raga.left(wrong)
        assert left.by == question.skill.split(":")[1]
        slip = int(question.right[0]) - 1
        assert left.at == (slip + 1 if left.by == "run" else slip)


def test_the_explanation_plays_the_students_phrase_and_then_as_the_raga_has_it():
    for question in questions("raga-mend"):
        wrong = next(choice.id for choice in question.choices if choice.id not in question.right)
        explanation = KINDS["raga-mend"].explain(question, wrong)
        played, mended = steps_of(question.sargam), steps_of(question.detail["mended"])
        assert len(explanation.right_cue.strokes) == len(played) + len(mended)
        assert len(explanation.given_cue.strokes) == len(played)
        assert explanation.right_cue.duration_s < 18.0
        # The wrong swara alone is marked, where it stood in what was played.
        marked = [place for place, swara in enumerate(explanation.drawn) if swara.deciding]
        assert marked == [int(question.right[0]) - 1]
        pause = explanation.drawn[len(played)].start_s - explanation.drawn[len(played) - 1].end_s
        assert pause > 1.5


@pytest.mark.parametrize("kind", SKILLS)
def test_an_introduction_plays_what_it_speaks_of(kind):
    question = questions(kind)[0]
    assert KINDS[kind].explain(question, question.right[0]).intro_cue == question.cue


def test_bihag_is_mended_as_its_teachers_do():
    # Common practice: Bihag leaves Re and Dha out on its way up and takes both on its way down.
    # S m G is printed among its phrases, too (AUTRIM).
    told = {
        KINDS["raga-mend"]
        .explain(question, question.right[0])
        .why.partition(": ")[2]
        .partition(". ")[0]
        for question in (
            make_question("raga-mend:run:bihag", seed=seed, setting=Setting(sa_hz=SA_HZ))
            for seed in range(40)
        )
    }
    assert told == {
        "Bihag leaves Dha out on the way up and goes from Pa straight to Ni",
        "Bihag leaves Re out on the way up and goes from Sa straight to Ga",
        "Bihag leaves Re out on the way up and goes from Sa straight to Ma",
    }


TEACHING = """
[bihag]
aroha = "S R G m P D N S'"
"""
"""A teacher whose Bihag climbs straight: nothing is left out any more."""


@pytest.mark.parametrize("kind", SKILLS)
def test_a_skill_can_be_asked_where_a_teacher_leaves_nothing_to_break(kind):
    for skill in SKILLS[kind]:
        if skill.endswith((":bihag", ":bihagda")):
            setting = Setting(sa_hz=SA_HZ, tradition=TEACHING)
            question = make_question(skill, seed=1, setting=setting)
            assert KINDS[kind].explain(question, question.right[0]).why


def test_what_a_teacher_allows_breaks_nothing():
    setting = Setting(sa_hz=SA_HZ, tradition='[yaman]\nnotes = "S R G m M P D N"\n')
    for seed in range(60):
        question = make_question("raga-mend:note:yaman", seed=seed, setting=setting)
        place = int(question.right[0]) - 1
        assert steps_of(question.sargam)[place] % 12 != 5
