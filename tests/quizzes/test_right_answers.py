"""Right answers, found again from the sound's own score by an oracle that knows only ratios.

The oracle works from the cue's cents and from the just ratios as handbooks print them (Ellis's
table in Helmholtz, from memory; the same ratios stand in the Scala archive's indian.scl).
"""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quizzes import Setting, kind_of, make_question
from quizzes.kept import skills_of
from quizzes.kinds.tune import fair_level

RATIOS = {
    "S": "1", "r": "16/15", "R": "9/8", "g": "6/5", "G": "5/4", "m": "4/3",
    "M": "45/32", "P": "3/2", "d": "8/5", "D": "5/3", "n": "9/5", "N": "15/8",
}  # fmt: skip

seeds = st.integers(0, 2**63 - 1)


def skills(kind):
    return st.sampled_from([skill.id for skill in skills_of(kind)])


def cents(swara):
    octave = swara.count("'") - swara.count(",")
    return 1200 * (math.log2(Fraction(RATIOS[swara[0]])) + octave)


def heard(question):
    return [stroke.path[0][1] for stroke in sorted(question.cue.strokes, key=lambda s: s.onset_s)]


def nearest(place_cents, swaras):
    return min(swaras, key=lambda swara: abs(cents(swara) - place_cents))


@given(skills("swara"), seeds)
def test_the_swara_that_sounds_is_the_right_one(skill, seed):
    met = tuple(s.id for s in skills_of("swara"))
    question = make_question(skill, seed=seed, setting=Setting(sa_hz=138.59, met=met))
    (place,) = heard(question)
    offered = [choice.id for choice in question.choices]
    assert nearest(place, offered) == question.right[0]
    assert abs(cents(question.right[0]) - place) < 1e-6
    assert offered == sorted(offered, key=cents)


@given(skills("gap"), seeds, st.sampled_from(["up", "down", "together"]))
def test_the_gap_that_sounds_is_the_right_one_and_no_other_choice_fits(skill, seed, direction):
    skill = f"{skill.rsplit(':', 1)[0]}:{direction}"
    met = tuple(s.id for s in skills_of("gap"))
    question = make_question(skill, seed=seed, setting=Setting(sa_hz=138.59, met=met))
    places = heard(question)
    if direction == "down":
        assert places[0] > places[1]
    fitting = [
        choice.id
        for choice in question.choices
        if all(
            abs(cents(swara) - place) < 20
            for swara, place in zip(choice.id.split("-"), sorted(places), strict=True)
        )
    ]
    assert fitting == list(question.right)


@given(skills("wider"), seeds, st.sampled_from(["just", "equal"]))
def test_the_wider_gap_is_wider_by_a_clear_measure_or_both_are_the_same(skill, seed, tuning):
    question = make_question(skill, seed=seed, setting=Setting(sa_hz=138.59, tuning=tuning))
    one, two, three, four = heard(question)
    first, second = abs(two - one), abs(four - three)
    truth = "same" if abs(first - second) < 1 else "first" if first > second else "second"
    assert question.right == (truth,)
    assert truth == "same" or abs(first - second) > 40
    assert (one, two) != (three, four)  # the same gap, never the same sound


@given(skills("tune"), seeds, st.floats(2, 60))
def test_tune_is_off_by_what_it_says_and_to_the_side_it_says(skill, seed, level):
    setting = Setting(sa_hz=138.59, level=level)
    question = make_question(skill, seed=seed, setting=setting)
    (place,) = heard(question)
    off = place - cents(skill.partition(":")[2])
    side = {"low": -1, "true": 0, "high": 1}[question.right[0]]
    assert off == pytest.approx(side * question.detail["level"], abs=1e-6)


# The 22 shrutis by swara, as the Scala archive's indian.scl has them (ratios).
SHRUTIS = {
    "S": "1", "r": "256/243 16/15", "R": "10/9 9/8", "g": "32/27 6/5", "G": "5/4 81/64",
    "m": "4/3 27/20", "M": "45/32 729/512", "P": "3/2", "d": "128/81 8/5", "D": "5/3 27/16",
    "n": "16/9 9/5", "N": "15/8 243/128",
}  # fmt: skip


@given(skills("tune"), seeds, st.floats(2, 60))
def test_what_is_called_off_is_no_other_shruti_of_the_swara(skill, seed, level):
    setting = Setting(sa_hz=138.59, level=level)
    question = make_question(skill, seed=seed, setting=setting)
    (place,) = heard(question)
    if question.right == ("true",):
        return
    letter = skill.partition(":")[2][0]
    for ratio in SHRUTIS[letter].split():
        shruti = 1200 * math.log2(Fraction(ratio)) % 1200
        distance = abs((place - shruti + 600) % 1200 - 600)
        # Only the just place itself may be near, and then by no less than was asked for.
        is_just = Fraction(ratio) == Fraction(RATIOS[letter])
        assert distance >= (min(level, 8) - 1e-6 if is_just else 7.9) or (
            not is_just and question.detail["level"] <= 13.6
        )


def test_the_shrutis_above_are_those_of_the_published_scale():
    from pathlib import Path

    import music21

    from audio.tuning import read_scl

    path = Path(music21.__file__).parent / "scale" / "scala" / "scl" / "indian.scl"
    published = set(read_scl(path.read_text("latin-1"), name=path.name).ratios)
    ours = {Fraction(r) for ratios in SHRUTIS.values() for r in ratios.split()} - {Fraction(1)}
    assert ours == published - {Fraction(2)}


def test_beats_are_counted_where_two_partials_meet():
    # Ga, 5/4, 12 cents low: its 2nd partial against the 5th of low Sa, at 5/2 of Sa.
    # The beat rate is the difference of the two (handbook acoustics).
    setting = Setting(sa_hz=200.0, level=12.0)
    made = (make_question("tune:G", seed=seed, setting=setting) for seed in range(1000))
    question = next(question for question in made if question.right == ("low",))
    expected = 2.5 * question.cue.sa_hz * (1 - 2 ** (-12 / 1200))
    why = kind_of("tune:G").explain(question, "low").why
    assert f"{expected:.1f} beats a second against low Sa" in why


@pytest.mark.parametrize(
    ("swara", "string"),
    # The string that is a fifth, a fourth or an octave from the swara (common practice).
    [("P", "P"), ("m", "m"), ("D", "m"), ("d", "m"), ("M", "N"), ("N", "N"), ("R", "P")],
)
def test_the_drone_has_a_string_that_is_a_plain_consonance_of_the_swara(swara, string):
    question = make_question(f"tune:{swara}", seed=1, setting=Setting(sa_hz=138.59))
    assert question.cue.drone.first == string


def test_levels_near_a_comma_move_away_from_it_alike_on_both_sides():
    from audio.tuning import Swara

    assert fair_level(Swara.read("G"), 20.0) == 13.5
    assert fair_level(Swara.read("G"), 22.0) == 29.5
    assert fair_level(Swara.read("P"), 20.0) == 20.0
    assert fair_level(Swara.read("G"), 5.0) == 5.0
