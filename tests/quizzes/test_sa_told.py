"""What is told of a phrase without a drone, read back against what it would be over another Sa."""

import math
import re
from functools import cache
from itertools import pairwise

from audio.tuning import SA_HZ_LOWEST
from quizzes import KINDS, Setting, make_question
from quizzes.kept import skills_of
from tests.quizzes.raga_oracle import all_ragas, letter, line

NAMES = {
    "komal Re": "r", "Re": "R", "shuddha Re": "R", "komal Ga": "g", "Ga": "G", "shuddha Ga": "G",
    "Ma": "m", "shuddha Ma": "m", "tivra Ma": "M", "Pa": "P", "komal Dha": "d", "Dha": "D",
    "shuddha Dha": "D", "komal Ni": "n", "Ni": "N", "shuddha Ni": "N", "Sa": "S",
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


def test_why_it_leaves_the_raga_is_what_would_be_heard():
    ways = set()
    for question, explanation in told():
        raga = all_ragas()[question.skill.partition(":")[2]]
        heard = line(explanation.given_written)
        letters = [letter(each) for each in heard]
        why = explanation.why
        if foreign := re.search(r"it would have (.+?), which is foreign to", why):
            assert NAMES[foreign[1]] in letters
            assert NAMES[foreign[1]] not in raga.notes
            continue
        name, way = re.search(r"it would pass (.+?) on the way (up|down), where", why).groups()
        sign = 1 if way == "up" else -1
        assert any(
            letters[at] == NAMES[name]
            and sign * heard[at - 1] < sign * heard[at] < sign * heard[at + 1]
            for at in range(1, len(heard) - 1)
        ), why
        ways.add(way)
    assert ways  # in most, a foreign swara would be heard; in some of so many it is a way


def test_over_another_sa_it_is_written_as_near_as_can_be_to_where_it_lies():
    moves = set()
    for _, explanation in told():
        was, would_be = line(explanation.right_written), line(explanation.given_written)
        (moved,) = {after - before for before, after in zip(was, would_be, strict=True)}
        moves.add(moved)
    assert max(map(abs, moves)) <= 6
    assert min(moves) < 0 < max(moves)


def test_sa_comes_from_all_of_an_octave_and_is_never_too_low_to_sing():
    for sa_hz in (SA_HZ_LOWEST, 138.59):
        moves = []
        for seed in range(80):
            question = make_question("raga-sa:yaman", seed=seed, setting=Setting(sa_hz))
            assert question.cue.sa_hz >= SA_HZ_LOWEST
            moves.append(12 * math.log2(question.cue.sa_hz / sa_hz) % 12)
        moves.sort()
        gaps = [after - one for one, after in pairwise([*moves, moves[0] + 12])]
        assert max(gaps) < 1.9  # wider ones are met by chance in one of 10,000 such draws
