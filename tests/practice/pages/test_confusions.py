"""Which confusions are told to a teacher: what happens again and again, and not in rare cases."""

from datetime import timedelta

import pytest

from practice.pages.confusions import confusions_in
from practice.pages.topic import Topic
from tests import taken
from tests.practice.pages.stood import NOW


@pytest.mark.parametrize(
    ("count", "asked", "is_told"),
    [
        (1, 3, False),  # a slip
        (2, 24, True),
        (12, 250, False),  # Wilson: 3 to 8 %, which is surely less than one case of ten
        (12, 200, True),  # 3 to 10.2 %
    ],
)
def test_a_slip_and_what_is_surely_rare_are_not_told(tmp_path, count, asked, is_told):
    rows = [
        taken.row("swara:r", "r", "R" if number < count else "r", at=NOW - timedelta(hours=1),
                  number=number, seed=number)
        for number in range(asked)
    ]  # fmt: skip
    with taken.standing_of(tmp_path / "log", rows, now=NOW, skills=["swara:r"]) as standing:
        told = [one.words for one in confusions_in(standing, Topic())]
    assert told == (["Komal Re heard as Re"] if is_told else [])
