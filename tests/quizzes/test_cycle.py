"""Places in a cycle, cues from anywhere in it, and a wheel that turns with them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from audio.theka import read_theka
from quizzes.fresh import Fresh
from quizzes.question import Setting
from quizzes.talas import load_tala
from quizzes.talas.asking import asked_talas, tala_for, talas_in
from quizzes.talas.cues import drawn_tempo, theka_cue
from quizzes.talas.cycle import matra_at, mixed, place_in, place_of, to_sam
from quizzes.talas.laya import layas
from quizzes.talas.tradition import talas
from quizzes.wheel import Wheel

QUARTERS = st.integers(-200, 200).map(lambda n: Fraction(n, 4))
SETTING = Setting(sa_hz=138.59)


@given(at=QUARTERS, matras=st.integers(3, 18))
def test_a_place_and_the_way_to_sam_make_whole_cycles(at, matras):
    place = place_in(at, matras)
    assert 0 <= place < matras
    assert (at - place) % matras == 0
    assert (place + to_sam(place, matras)) % matras == 0
    assert to_sam(place, matras) < matras
    assert matra_at(place_of(matra_at(place))) == matra_at(place)


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (Fraction(20, 3), "6 2/3"),
        (4, "4"),
        (Fraction(1, 2), "1/2"),
        (Fraction(-5, 4), "-1 1/4"),
        (0, "0"),
    ],
)
def test_fractions_are_written_as_they_are_read(number, text):
    assert mixed(number) == text


def test_signs_stand_over_the_matras_as_in_print():
    # Common practice: X 2 0 3 over tintal; rupak begins with 0 (facts.md: it starts with a wave).
    tintal, rupak = load_tala("tintal").form, load_tala("rupak").form
    assert [tintal.sign(matra) for matra in tintal.starts] == ["X", "2", "0", "3"]
    assert [rupak.sign(matra) for matra in rupak.starts] == ["0", "1", "2"]
    assert tintal.sign(2) == ""
    assert [tintal.vibhag_of(matra) for matra in (1, 4, 5, 16)] == [0, 0, 1, 3]


@given(seed=st.integers(0, 999), begins=st.integers(0, 9), matras=st.integers(1, 25))
def test_the_light_is_on_the_matra_whose_stroke_sounds(seed, begins, matras):
    tala, fresh = load_tala("jhaptal"), Fresh("light", seed)
    tempo = drawn_tempo(fresh, *layas()["madhya"].heard)
    cue = theka_cue(
        fresh, SETTING, tala, matras=matras, matras_per_min=tempo, from_place=begins, lands=True
    )
    bols = [parts[0] for parts in read_theka(cue.theka.bols).matras]
    assert len(cue.score.tabla) == matras + 1
    wheel = Wheel(tala.form, turning=cue.turning)
    for number, stroke in enumerate(cue.score.tabla):
        second = cue.score.lead_s + stroke.onset_s
        exact = cue.score.lead_s + float(number * 60 / tempo)
        assert second == pytest.approx(exact, abs=1e-9)
        assert float(cue.ms_of(number)) == pytest.approx(1000 * exact, abs=1e-6)
        place = (begins + number) % tala.matras
        assert stroke.bol == bols[place]
        lit = wheel.turning.place_at(second + 1e-6, wheel.matras)
        assert int(lit) == place  # that on which it lands, too
    assert wheel.turning.place_at(wheel.turning.begins_s - 0.01, wheel.matras) is None


def test_no_matra_of_a_cue_stands_out_by_its_loudness():
    tala = load_tala("tintal")
    louder = [
        sum(
            theka_cue(Fresh("loud", seed), SETTING, tala, matras=16, matras_per_min=Fraction(90))
            .score.tabla[matra]
            .level_db
            for seed in range(200)
        )
        / 200
        for matra in range(16)
    ]
    assert max(louder) - min(louder) < 0.4


@given(st.integers(0, 999), st.sampled_from([*layas().values()]))
def test_a_tempo_is_exact_and_within_what_is_heard(seed, laya):
    low, high = laya.heard
    tempo = drawn_tempo(Fresh("tempo", seed), low, high)
    assert isinstance(tempo, Fraction)
    assert tempo.denominator <= 10
    assert low <= tempo <= high


def test_a_question_of_no_one_tala_is_asked_in_one_that_is_begun():
    known = talas()
    assert talas_in(["tala:tintal", "theka:fill:rupak", "gap:S-P:up"], known) == {"tintal", "rupak"}
    begun = Setting(sa_hz=138.59, talas=("dadra", "jhaptal", "no_such_tala"))
    drawn = {tala_for(Fresh("any", seed), begun).id for seed in range(30)}
    assert drawn == {"dadra", "jhaptal"}
    assert {tala_for(Fresh("any", seed), begun, of=["jhaptal"]).id for seed in range(9)} == {
        "jhaptal"
    }
    assert tala_for(Fresh("any", 1), SETTING).id == "tintal"
    assert all(tala.confidence in ("A", "B") for tala in asked_talas(known).values())
