"""A fresh question of both sides is asked as this student's are, and sets one against the other."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from practice.both import both_sides
from practice.given import NOTHING, Given
from practice.pairs import matrix
from practice.settings import Settings
from tests import taken
from tests.quizzes.taught_raga import ID, as_tradition

NOW = datetime(2026, 11, 29, 18, tzinfo=UTC)
OWN = Given(as_tradition())


@pytest.fixture
def both_of(tmp_path):
    """`both_of("gaps", "R-P:up", "S-N:up", **settings)`; the seeds are always the same."""

    def of(subject, right, heard, given=NOTHING, **settings):
        with taken.standing_of(tmp_path / "log", [], now=NOW, given=given) as standing:
            standing = replace(standing, settings=Settings(**settings))
            pair = matrix(standing, subject).pair(right, heard)
            return both_sides(standing, pair, seeds=iter(range(1, 99)).__next__)

    return of


@pytest.mark.parametrize(
    ("right", "heard", "told"),
    [
        ("R-P:up", "S-N:up", "Sa up to Ni is 590 cents wider"),  # 15/8 above 4/3
        ("S-R:up", "S-N:up", "Sa up to Ni is 884 cents wider"),  # 15/8 above 9/8
        ("S-N:down", "S-R:down", "Re down to Sa is 884 cents narrower"),
    ],
)
def test_what_is_far_apart_is_told_in_one_sentence(both_of, right, heard, told):
    assert told in both_of("gaps", right, heard).why


@pytest.mark.parametrize(("tuning", "fourth"), [("just", 498.045), ("equal", 500.0)])
def test_it_sounds_in_the_students_tuning(both_of, tuning, fourth):
    """A fourth of 4/3, or of five equal semitones."""
    both = both_of("gaps", "R-P:up", "R-m:up", tuning=tuning)
    pitches = {cents for stroke in both.was.score.strokes for _, cents in stroke.path}
    assert max(pitches) - min(pitches) == pytest.approx(fourth, abs=0.001)
    assert f"{fourth:.0f} cents" in both.why


def test_a_raga_of_the_teachers_own_is_played_as_the_teacher_has_it(both_of):
    both = both_of("ragas", ID, "yaman", given=OWN)
    assert (both.was.label, both.heard.label) == ("Mangal Lehar", "Yaman")
    assert both.was.score != both.heard.score
    assert both_of("ragas", ID, "yaman") is None  # nobody else knows it
