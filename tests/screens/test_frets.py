"""Frets stand where a string must be stopped, and every touch belongs to one fret."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from audio.tuning import EQUAL, JUST, Swara
from screens.frets import END_ROOM, fret_at, frets_of, octaves_of, place_of, zones_of

SOUNDING_PARTS = {
    # The part of the string that sounds, as divided by ear since the monochord: 8/9 a tone,
    # 3/4 the fourth, 2/3 the fifth, 1/2 the octave (Euclid, Sectio canonis, prop. 19 and 20),
    # 4/5 and 5/6 the pure thirds, 3/5 the pure sixth (Zarlino, Le istitutioni harmoniche, 1558).
    "S": Fraction(1),
    "R": Fraction(8, 9),
    "g": Fraction(5, 6),
    "G": Fraction(4, 5),
    "m": Fraction(3, 4),
    "P": Fraction(2, 3),
    "D": Fraction(3, 5),
    "S'": Fraction(1, 2),
}


@pytest.mark.parametrize(("swara", "sounding"), SOUNDING_PARTS.items())
def test_a_just_fret_divides_the_string_as_the_monochord_does(swara, sounding):
    places = {str(fret.swara): fret.place for fret in frets_of(JUST, 0)}
    # The saptak shown is half of the string, stretched to 1.
    assert places[swara] == pytest.approx(float(2 * (1 - sounding)), abs=1e-12)


def test_equal_frets_leave_the_same_part_of_the_rest_between_them():
    # A luthier's rule: each fret takes 1/17.817 of what is left (2^(1/12)/(2^(1/12)-1) = 17.817).
    places = [fret.place / 2 for fret in frets_of(EQUAL, 0)]
    for here, after in pairwise(places):
        assert (after - here) / (1 - here) == pytest.approx(1 / 17.817, rel=1e-4)


def test_frets_draw_closer_towards_the_bridge_in_equal_tuning():
    places = [fret.place for fret in frets_of(EQUAL, 0)]
    gaps = [after - here for here, after in pairwise(places)]
    assert gaps == sorted(gaps, reverse=True)


@pytest.mark.parametrize("octave", [-1, 0, 1])
def test_every_saptak_shows_thirteen_frets_from_its_sa_to_the_sa_above(octave):
    frets = frets_of(JUST, octave)
    assert len(frets) == 13
    assert (frets[0].swara, frets[-1].swara) == (Swara(0, octave), Swara(0, octave + 1))
    assert (frets[0].place, frets[-1].place) == (0.0, pytest.approx(1.0))


@given(st.sets(st.integers(0, 12), min_size=1), st.floats(-END_ROOM, 1.0 + END_ROOM - 1e-9))
def test_every_place_on_the_string_shown_belongs_to_the_nearest_fret(offered, place):
    frets = [frets_of(JUST, 0)[number] for number in sorted(offered)]
    found = fret_at(place, frets)
    nearest = min(abs(fret.place - place) for fret in frets)
    assert found is not None
    assert abs(found.place - place) == pytest.approx(nearest)


def test_zones_meet_without_gap_or_overlap():
    zones = zones_of(frets_of(JUST, 0))
    for here, after in pairwise(zones):
        assert here.end == after.start


def test_beyond_the_string_there_is_no_fret():
    assert fret_at(1.0 + END_ROOM + 0.01, frets_of(JUST, 0)) is None
    assert fret_at(-END_ROOM - 0.01, frets_of(JUST, 0)) is None


def test_no_frets_have_no_zones():
    assert zones_of(()) == ()


@pytest.mark.parametrize(
    ("texts", "octaves"),
    [
        ("S R G m P", (0,)),
        ("S P S'", (0,)),
        ("S S'", (0,)),
        ("N, S R", (-1, 0)),
        ("P, S", (-1,)),
        ("G R'", (0, 1)),
        ("m, P R'", (-1, 0, 1)),
        ("S", (0,)),
    ],
)
def test_no_more_saptaks_are_shown_than_the_choices_need(texts, octaves):
    assert octaves_of([Swara.read(text) for text in texts.split()]) == octaves


def test_an_octave_is_half_of_the_string_wherever_it_begins():
    assert place_of(1200.0) == pytest.approx(1.0)
