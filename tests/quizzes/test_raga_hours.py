"""Ragas in the order of their hours: the order is sure, and marks are for what is known."""

from itertools import combinations, pairwise, permutations

import pytest

from quizzes import Setting, make_question
from quizzes.kept import skills_of
from quizzes.kinds import KINDS
from quizzes.ragas import ragas
from quizzes.ragas.day import has_hours, hours_in_words

KIND = KINDS["raga-hours"]
SKILLS = tuple(skill.id for skill in skills_of(KIND.name))
SETTING = Setting(sa_hz=277.18, met=SKILLS)


def some_questions():
    return [make_question(skill, seed=seed, setting=SETTING) for seed, skill in enumerate(SKILLS)]


def hours_after_six(raga):
    """Every hour of the day that is taught, counted from 6 o'clock."""
    return [(hour - 6) % 24 for begin, end in raga.all_hours for hour in range(begin, end)]


def test_all_taught_hours_of_one_lie_before_all_of_the_next():
    for question in some_questions():
        order = [ragas()[one] for one in question.right[0].split(" ")]
        assert question.skill.rpartition(":")[2] in {raga.id for raga in order}
        assert {raga.id for raga in order} == {choice.id for choice in question.choices}
        for earlier, later in pairwise(order):
            assert max(hours_after_six(earlier)) < min(hours_after_six(later))
        assert all(raga.hours.sure for raga in order)


def test_what_every_handbook_has_in_this_order_is_asked_and_so():
    # Common practice: Bhairav at dawn, Todi before noon, Multani in the afternoon, Yaman at
    # nightfall, Malkauns late at night.
    usual = ["bhairav", "todi", "multani", "yaman", "malkauns"]
    place = {one: at for at, one in enumerate(usual)}
    met = tuple(f"raga-hours:three:{one}" for one in usual)
    seen = set()
    for skill in met:
        if skill not in SKILLS:
            continue
        for seed in range(5):
            question = make_question(skill, seed=seed, setting=Setting(sa_hz=277.18, met=met))
            order = [one for one in question.right[0].split(" ") if one in place]
            assert order == sorted(order, key=place.get)
            seen.update(order)
    assert {"todi", "multani", "yaman"} <= seen


def test_ragas_of_a_season_or_of_any_hour_are_left_out():
    # Common practice: Basant and the Malhars are played at any hour in their season, Bhairavi
    # closes a concert at any hour.
    for one in ("basant", "bahar", "megh", "miyan_malhar", "bhairavi"):
        assert not has_hours(ragas()[one])
        assert not any(skill.endswith(f":{one}") for skill in SKILLS)


def test_ragas_before_sunrise_are_left_out():
    # Common practice: Lalit, Sohni and Bhatiyar belong to the watch before sunrise, which begins
    # the day for a teacher and ends it on the clock.
    for one in ("lalit", "sohni", "bhatiyar", "paraj"):
        assert not any(skill.endswith(f":{one}") for skill in SKILLS)
    for raga in filter(has_hours, ragas().values()):
        assert not {3, 4, 5} & {hour % 24 for b, e in raga.all_hours for hour in range(b, e)}


def test_a_line_in_part_is_worth_what_it_is_above_a_guess():
    for question in some_questions()[::7]:
        right = question.right[0].split(" ")
        credits = {}
        for order in permutations(right):
            kept = sum(order.index(a) < order.index(b) for a, b in combinations(right, 2)) / len(
                list(combinations(right, 2))
            )
            credits[order] = KIND.mark(question, " ".join(order)).credit
            assert credits[order] == pytest.approx(max(0.0, 2 * kept - 1))
        assert credits.pop(tuple(right)) == 1.0
        assert max(credits.values()) < 1.0
        assert len(credits) + 1 == question.lines
        assert KIND.mark(question, " ".join([right[0]] * len(right))).credit < 0.5


def test_the_explanation_names_the_first_pair_that_was_turned_round():
    question = make_question(SKILLS[-1], seed=1, setting=SETTING)
    right = question.right[0].split(" ")
    names = {choice.id: choice.label for choice in question.choices}
    turned = [right[0], right[2], right[1], *right[3:]]
    explained = KIND.explain(question, " ".join(turned))
    assert explained.why.endswith(f"; {names[right[1]]} comes before {names[right[2]]}.")
    assert all(hours_in_words(ragas()[one]) in explained.why for one in right)
    assert "before" not in KIND.explain(question, question.right[0]).why


def test_hours_are_told_as_they_are_taught():
    assert hours_in_words(ragas()["todi"]) == "from 9 in the morning to noon"
    joined = ragas('[todi]\nhours = "21-24"')["todi"]
    assert hours_in_words(joined) == "from 9 at night to midnight"
    evening = ragas('[todi]\nhours = "18-21"')["todi"]
    assert hours_in_words(evening) == "from 6 to 9 in the evening"
    late = ragas('[todi]\nhours = "00-03"')["todi"]
    assert hours_in_words(late) == "from midnight to 3 at night"


def test_a_teachers_hours_stand_above_ours():
    word = '[todi]\nhours = "18-21"'
    setting = Setting(sa_hz=277.18, met=SKILLS, tradition=word)
    for seed in range(20):
        question = make_question("raga-hours:three:todi", seed=seed, setting=setting)
        order = [ragas(word)[one] for one in question.right[0].split(" ")]
        for earlier, later in pairwise(order):
            assert max(hours_after_six(earlier)) < min(hours_after_six(later))
        assert "Todi from 6 to 9 in the evening" in KIND.explain(question, question.right[0]).why


def test_a_teacher_who_gives_it_all_hours_leaves_it_askable():
    word = '[todi]\nhours = "00-24"'
    setting = Setting(sa_hz=277.18, tradition=word)
    assert make_question("raga-hours:four:todi", seed=1, setting=setting).lines == 24
