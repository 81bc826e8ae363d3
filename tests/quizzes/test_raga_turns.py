"""The turns of a vakra raga: one order alone is right, and part of an order counts in part."""

from functools import cache
from itertools import pairwise, permutations

import pytest

from audio.sargam import parse
from quizzes import KINDS, Setting, make_question
from quizzes.kept import skills_of
from quizzes.ragas import swaras_of
from quizzes.ragas.turns import sharpest, step_to
from tests.quizzes.raga_oracle import DOWN, UP, all_ragas, written

KIND = KINDS["raga-turns"]
SKILLS = tuple(skill.id for skill in skills_of(KIND.name))


@cache
def questions(count=1):
    return tuple(asked(SKILLS[n % len(SKILLS)], n) for n in range(count * len(SKILLS)))


def asked(skill, seed):
    return make_question(skill, seed=seed, setting=Setting(sa_hz=138.59))


def line_of(question):
    return [swara.steps for swara in swaras_of(parse(question.sargam))]


def pieces_of(question):
    texts = question.detail["pieces"].items()
    return {key: [swara.steps for swara in swaras_of(parse(text))] for key, text in texts}


def test_one_order_of_the_pieces_alone_makes_the_line_that_was_heard():
    for question in questions():
        keys = [choice.id for choice in question.choices]
        assert 3 <= len(keys) == question.places == question.fewest <= 5
        pieces, line = pieces_of(question), line_of(question)
        orders = [
            order for order in permutations(keys) if [s for k in order for s in pieces[k]] == line
        ]
        assert [" ".join(order) for order in orders] == list(question.right)
        assert question.lines == len(orders_open_to_who_has_not_heard(question)) >= 2


def orders_open_to_who_has_not_heard(question):
    """All orders of the pieces with those ends in place that tell themselves."""
    pieces, line = pieces_of(question), line_of(question)
    begin, *_, end = question.right[0].split()
    firsts = [key for key, piece in pieces.items() if piece[0] == line[0]]
    lasts = [key for key, piece in pieces.items() if piece[-1] == line[-1]]
    tells_first = line[0] % 12 == 0 and firsts == [begin]
    tells_last = line[-1] % 12 == 0 and lasts == [end] and ":phrase:" not in question.skill
    return [
        order
        for order in permutations(pieces)
        if (order[0] == begin or not tells_first) and (order[-1] == end or not tells_last)
    ]


def test_the_pieces_are_no_stair_that_could_be_built_without_hearing_how_they_turn():
    for question in questions(3):
        pieces = pieces_of(question)
        ordered = [pieces[key] for key in question.right[0].split()]
        pairs = list(pairwise(ordered))
        assert any(max(low) > min(high) for low, high in pairs), question.skill
        assert any(min(high) < max(low) for high, low in pairs), question.skill


def test_only_sure_ways_that_turn_are_asked():
    for question in questions():
        _, way, name = question.skill.split(":")
        raga = all_ragas()[name]
        if way == "phrase":
            sure = [p["sargam"] for p in raga.table["phrase"] if p["confidence"] != "C"]
            assert written(line_of(question)) in [" ".join(text.split()) for text in sure]
        else:
            direction = UP if way == "up" else DOWN
            assert raga.sure("scale")
            assert raga.is_vakra(direction)
            assert tuple(line_of(question)) == (raga.aroha if way == "up" else raga.avaroha)


def test_keys_stand_in_no_order_that_tells():
    firsts = [question.right[0].split()[0] == "1" for question in questions(5)]
    # Pieces are three to five: the first one stands first in a third to a fifth of all cases.
    assert 0.18 < sum(firsts) / len(firsts) < 0.36


def test_part_of_an_order_counts_above_what_a_blind_guess_keeps():
    of_four = (asked("raga-turns:phrase:gara", seed) for seed in range(20))
    question = next(question for question in of_four if question.lines == 24)
    right = question.right[0].split()
    turned = [right[1], right[0], *right[2:]]
    assert KIND.mark(question, question.right[0]).credit == 1.0
    # Five of six pairs kept, where half are kept blindly.
    assert KIND.mark(question, " ".join(turned)).credit == pytest.approx(2 / 3)
    assert KIND.mark(question, " ".join(reversed(right))).credit == 0.0
    assert KIND.mark(question, " ".join([right[0]] * 4)).credit == 0.0


def test_a_guess_is_worth_nothing_in_the_mean_to_who_knows_the_ends_unheard():
    for question in questions():
        if question.lines < 24:
            marks = [
                KIND.mark(question, " ".join(order)).credit
                for order in orders_open_to_who_has_not_heard(question)
            ]
            assert marks.count(1.0) == 1
            assert marks.count(0.0) >= len(marks) / 2


def test_the_explanation_names_the_first_pair_that_was_turned_round():
    for question in questions():
        right = question.right[0].split()
        labels = [question.choice(key).label.replace(",", "") for key in right]
        given = " ".join([right[0], right[2], right[1], *right[3:]])
        explanation = KIND.explain(question, given)
        assert f" goes {labels[1]}, then {labels[2]}".lower() in explanation.why.lower()
        assert sum(swara.deciding for swara in explanation.drawn) == 2


def test_a_wrong_order_is_told_a_turn_that_it_lost_where_it_lost_one():
    question = asked("raga-turns:down:chhayanat", 1)
    why = KIND.explain(question, " ".join(reversed(question.right[0].split()))).why
    assert " then " in why
    assert ": it turns " in why


def test_tilak_kamod_is_told_as_its_teachers_tell_it():
    # Common practice: S R G S, R m P: Tilak Kamod goes back to Sa before it passes Ga.
    question = asked("raga-turns:up:tilak_kamod", 1)
    why = KIND.explain(question, question.right[0]).why
    assert why == "Tilak Kamod turns back from Ga to Sa before it goes on to Ma."


def test_a_step_is_told_with_its_sense():
    # Common practice: S R G m P, N D S' and S' N D P, M P D P, G m R S are Chhayanat's ways.
    up = swaras_of(parse("S R G m P N D S'"))
    assert step_to(up, 6, "up") == "turns back from Ni to Dha before it goes on to tar Sa"
    assert step_to(up, 5, "up") == "goes on up from Pa to Ni"
    assert step_to(up, 7, "up") == "turns up from Dha to tar Sa"
    down = swaras_of(parse("S' N D P M P D P G m R S"))
    assert step_to(down, sharpest(down, "down"), "down") == (
        "turns back from tivra Ma to Pa before it goes on to Ga"
    )


def test_a_way_that_a_teacher_straightens_can_still_be_asked():
    teaching = '[tilak_kamod]\naroha = "S R m P N S\'"\n'
    setting = Setting(sa_hz=138.59, tradition=teaching)
    assert make_question("raga-turns:up:tilak_kamod", seed=1, setting=setting).right
