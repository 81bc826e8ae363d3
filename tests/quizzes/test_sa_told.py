"""What is told of a phrase without a drone, read back against what it would be over another Sa."""

import re
from functools import cache

from quizzes import KINDS, Setting, make_question
from quizzes.kept import skills_of
from tests.quizzes.raga_oracle import all_ragas, letter, line

NAMES = {
    "komal Re": "r", "shuddha Re": "R", "komal Ga": "g", "shuddha Ga": "G", "shuddha Ma": "m",
    "tivra Ma": "M", "Pa": "P", "komal Dha": "d", "shuddha Dha": "D", "komal Ni": "n",
    "shuddha Ni": "N", "Sa": "S",
}  # fmt: skip


@cache
def told():
    """Of every third raga a question, with the explanation of each wrong answer."""
    found = []
    for seed, skill in enumerate(skills_of("raga-sa")[::3]):
        question = make_question(skill.id, seed=seed, setting=Setting(138.59))
        for choice in question.choices:
            if choice.id not in question.right:
                found.append((question, KINDS["raga-sa"].explain(question, choice.id)))
    return found


def test_a_swara_that_would_be_foreign_is_one_that_would_be_heard():
    names = set()
    for question, explanation in told():
        raga = all_ragas()[question.skill.partition(":")[2]]
        foreign = re.search(r"it would have (.+?), which is foreign to", explanation.why)
        if foreign is not None:
            names.add(foreign[1])
            assert NAMES[foreign[1]] in map(letter, line(explanation.given_written))
            assert NAMES[foreign[1]] not in raga.notes
    assert len(names) > 5


def test_over_another_sa_it_is_written_as_near_as_can_be_to_where_it_lies():
    moves = set()
    for _, explanation in told():
        was, would_be = line(explanation.right_written), line(explanation.given_written)
        (moved,) = {after - before for before, after in zip(was, would_be, strict=True)}
        moves.add(moved)
    assert max(map(abs, moves)) <= 6
    assert min(moves) < 0 < max(moves)
