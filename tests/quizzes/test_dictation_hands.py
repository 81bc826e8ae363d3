"""What the left hand does in a phrase that is to be written can be played and heard apart."""

from functools import cache
from itertools import pairwise

import pytest

from audio.sargam import parse
from quizzes import Setting, make_question
from quizzes.dictation.marking import rows_of
from quizzes.dictation.places import places_of
from quizzes.kinds.write import asked
from quizzes.ragas import ragas
from tests.quizzes.all_written_phrases import MET

BEGUN = Setting(138.59, met=MET, ragas=("marwa",))
SKILLS = ("write:hands:3", "write:hands:4", "write:hands:5", "write:hands:7", "write:all:8")


@cache
def phrases():
    """Of scales and of every other raga: whether of a raga, the most ornaments, and the places."""
    found = []
    names = [*ragas()][::2]
    for number in range(120):
        skill = SKILLS[number % len(SKILLS)]
        begun = (names[number % len(names)],) if number % 3 else ()
        question = make_question(skill, seed=number, setting=Setting(138.59, met=MET, ragas=begun))
        of_raga = any(f"of {ragas()[each].name} (" in question.prompt for each in begun)
        found.append((of_raga, asked(skill)[1].ornaments, places_of(parse(question.right[0]))))
    assert 30 < sum(of_raga for of_raga, _, _ in found) < 90
    return found


def test_no_phrase_has_more_ornaments_than_are_met_and_each_has_one():
    for _, most, places in phrases():
        assert 1 <= sum(not place.is_plain for place in places) <= most


def test_no_swara_has_two_things_done_to_it_at_once():
    for _, _, places in phrases():
        for place in places:
            tone = place.tone
            assert bool(tone.by) + bool(tone.touches) + bool(tone.sway) + bool(tone.shaken) <= 1


def test_sa_and_pa_do_not_swing():
    # As they are fixed (achala; common practice).
    swings = [place for _, _, places in phrases() for place in places if place.tone.sway]
    assert len(swings) > 5
    assert not {place.swara.letter for place in swings} & set("SP")


def test_in_a_scale_ornaments_stand_apart_and_a_kan_is_not_of_what_sounded_just_before():
    for of_raga, _, places in phrases():
        for before, place in pairwise(places):
            if not of_raga:
                assert before.is_plain or place.is_plain
            assert place.tone.touches[:1] != (before.swara,)


@pytest.mark.parametrize(
    ("right", "written"),
    [
        ("S S:2 S S:2 S", "S:2 S S:2 S S"),
        ("S S~~ S S~~ S S~~", "S~~ S S~~ S S~~ S"),
        ("R:2 S R S:2 R:2 S R", "R S:2 R:2 S R S:2 R"),
    ],
)
def test_lines_of_the_same_swaras_lie_swara_by_swara(right, written):
    one, other = (places_of(parse(line)) for line in (right, written))
    assert all(was is not None and gave is not None for was, gave, _ in rows_of(one, other))


def test_two_swaras_are_no_phrase_of_a_raga():
    for seed in range(12):
        question = make_question("write:swaras:2", seed=seed, setting=BEGUN)
        assert "Marwa" not in question.prompt
        longer = make_question("write:swaras:4", seed=seed, setting=BEGUN)
        told = "of Marwa (" in longer.prompt
        assert told == ("P" not in {choice.id for choice in longer.choices})


def test_where_saptaks_are_written_the_first_swara_does_not_tell_which_is_outside():
    first = set()
    for seed in range(24):
        question = make_question("write:saptaks:5", seed=seed, setting=Setting(138.59, met=MET))
        places = places_of(parse(question.right[0]))
        assert any(place.swara.octave for place in places)
        first.add(places[0].swara.octave)
    assert 0 in first
    assert len(first) > 1
