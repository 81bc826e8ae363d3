"""How often guessing takes one thing for another; what is surely no guess, and what may be one."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from practice.courses import item_of
from practice.guessed import at_least, guessed, is_surely_no_guess
from practice.pairs import matrix, worst_pairs
from quizzes.catalogue import skill_of
from tests import taken
from tests.practice.answering import Made, answers

NOW = datetime(2026, 11, 29, 18, tzinfo=UTC)
ORNAMENTS = ("kan", "sparsh", "meend", "krintan", "gamak", "andolan", "murki")


@pytest.fixture(scope="module")
def standing_of(tmp_path_factory):
    """How one stands who so answered real questions on ornaments in the last weeks."""
    skills = taken.skills_of("ornament", ORNAMENTS)

    def of(made):
        items = tuple(item_of(skill_of(skill)) for skill in skills)
        rows = answers(items, 400, student="asha", now=NOW, made=made)
        return taken.standing_of(
            tmp_path_factory.mktemp("log") / "log", rows, now=NOW, skills=skills
        )

    return of


def test_who_only_guesses_gives_each_answer_as_often_as_is_told(standing_of):
    with standing_of(Made(known=0.0, days=tuple(range(1, 20)))) as standing:
        shown = matrix(standing, "ornaments")
        assert not any(is_surely_no_guess(standing, p) for p in worst_pairs(standing, most=6))
        asked = [thing for thing, count in shown.asked.items() if count]
        rows = [[shown.pair(right, thing.id) for thing in shown.things] for right in asked]
        told = [[guessed(standing, pair) for pair in row] for row in rows]
    shares = [each.share for row in told for each in row]
    assert any(0.0 < share < 0.15 for share in shares)  # not all are always offered
    for pairs, row in zip(rows, told, strict=True):
        assert sum(each.share for each in row) == pytest.approx(1.0)  # one of them is given
        assert {each.questions for each in row} == {pairs[0].asked}
        for pair, each in zip(pairs, row, strict=True):
            assert each.offered == pair.asked or not pair.is_right
            assert binom.cdf(pair.count, pair.asked, each.share) > 1e-4
            assert binom.sf(pair.count - 1, pair.asked, each.share) > 1e-4


def test_what_is_taken_for_another_again_and_again_is_surely_no_guess(standing_of):
    made = Made(taken={("ornament:kan", "kan"): ("sparsh", 0.9)}, days=tuple(range(1, 20)))
    with standing_of(made) as standing:
        worst = worst_pairs(standing, most=1)[0]
        assert (worst.right, worst.given) == ("kan", "sparsh")
        assert worst.among > 1
        assert is_surely_no_guess(standing, worst)
        few = replace(worst, count=7, asked=7, before=(0, 0))
        assert not is_surely_no_guess(standing, few)
        assert is_surely_no_guess(standing, replace(few, count=8, asked=8))
        assert not is_surely_no_guess(standing, replace(few, count=8, asked=8, among=10**6))


@given(st.integers(0, 400), st.integers(0, 400), st.floats(0.001, 0.999))
def test_the_chance_of_so_many_is_the_binomials(count, more, share):
    # scipy: sf(k) is the chance of more than k.
    told = at_least(count, count + more, share)
    assert told == pytest.approx(binom.sf(count - 1, count + more, share), rel=1e-6, abs=1e-12)
