"""What the four words are said to mean is what the scheduler reckons by."""

import pytest

from practice.gaps import STATES
from practice.meanings import MEANINGS, all_meanings, meaning_of
from scheduler.belief import FIRM_DAYS, Belief, knowledge, state
from scheduler.figures import FAMILIES

DAY, FAMILY = 86_400.0, FAMILIES["perception"]
NEW = Belief(8.0, 0.1, 0.0, met=3, right=3, missed=False, recalled=0, was_firm=False)
MET = NEW._replace(met=4)


@pytest.mark.parametrize(
    ("belief", "days", "word", "because"),
    [
        (None, 0, "unheard", "not asked yet"),
        (NEW, 0, "coming", "begun"),
        (
            NEW._replace(recalled=1),
            0,
            "firm",
            "at least once after a night",
        ),
        (NEW._replace(missed=True), 0, "coming", "begun"),
        (MET._replace(missed=True), 0, "shaky", "met four times or more, and missed last time"),
        (MET, 9000, "shaky", "by now more likely forgotten than known"),
        (MET._replace(recalled=1, was_firm=True), 9000, "shaky", "firm once and no more"),
    ],
)
def test_a_word_is_told_as_it_is_reckoned(belief, days, word, because):
    assert state(belief, days * DAY, FAMILY) == word
    assert because in meaning_of(word)
    if days:
        assert knowledge(belief, days * DAY, FAMILY) < 0.5


def test_each_of_the_four_is_told_once():
    assert set(MEANINGS) == set(STATES)
    assert FIRM_DAYS == 3.0
    assert "three days" in MEANINGS["firm"]
    assert all(all_meanings().count(meaning_of(state)) == 1 for state in STATES)
