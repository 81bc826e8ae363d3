"""Thekas in writing and as strokes: exact at any tempo, from anywhere in the cycle."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from audio.errors import ThekaError
from audio.theka import FASTEST, PHRASES, REST, SLOWEST, read_theka, theka_strokes
from audio.voices.tabla import BOLS, sound_of

# Thekas as handbooks print them (common practice).
TINTAL = "dha dhin dhin dha | dha dhin dhin dha | dha tin tin ta | ta dhin dhin dha"
EKTAL = "dhin dhin | dhage tirakita | tu na | kat ta | dhage tirakita | dhin na"
JHUMRA = (
    "dhin -dha tirakita | dhin dhin dhage tirakita | tin -ta tirakita | dhin dhin dhage tirakita"
)

parts = st.lists(st.sampled_from([*BOLS, REST]), min_size=1, max_size=5)
thekas = st.lists(parts.map("".join), min_size=1, max_size=20).map(" ".join)
struck = thekas.filter(lambda text: text.replace(REST, "").strip())
tempos = st.one_of(st.floats(SLOWEST, FASTEST), st.sampled_from([30, 120, 400, 700]))
shares = st.fractions(0, 1, max_denominator=24)


def test_a_word_is_a_matra_and_its_bols_divide_it_evenly():
    theka = read_theka(EKTAL)
    assert len(theka.matras) == 12
    assert theka.vibhags == (2,) * 6
    assert list(theka.onsets())[2:9] == [
        (2, "dha"),
        (Fraction(5, 2), "ge"),
        (3, "ti"),
        (Fraction(13, 4), "ra"),
        (Fraction(7, 2), "ki"),
        (Fraction(15, 4), "tta"),
        (4, "tu"),
    ]


def test_a_dash_is_a_part_in_which_nothing_is_struck():
    onsets = list(read_theka(JHUMRA).onsets())
    assert onsets[:2] == [(0, "dhin"), (Fraction(3, 2), "dha")]
    assert read_theka("dha - ge -").matras == (("dha",), ("-",), ("ge",), ("-",))


@pytest.mark.parametrize(
    ("word", "bols"),
    [
        ("dhagetite", "dha ge ti te"),
        ("dhina", "dhi na"),
        ("tina", "ti na"),
        ("tinna", "tin na"),
        ("katta", "kat ta"),
        ("kata", "ka ta"),
        ("gadigena", "ga di ge na"),
        ("dhagenatirakita", "dha ge na ti ra ki tta"),
        ("Dhatirkit", "dha ti ra ki tta"),
        ("dhitadhita", "dhi ta dhi ta"),
    ],
)
def test_bols_written_together_come_apart_as_they_are_spoken(word, bols):
    assert read_theka(word).matras == (tuple(bols.split()),)


@given(struck)
def test_any_bols_written_together_make_one_matra_that_can_be_played(text):
    theka = read_theka(text)
    assert len(theka.matras) == len(text.split())
    for matra in theka.matras:
        assert all(part == REST or sound_of(part) for part in matra)


@given(st.text(alphabet="dhagetinkru-| x", max_size=30))
def test_any_text_is_read_or_refused_with_its_matra(text):
    words = text.replace("|", " ").split()
    try:
        theka, matra = read_theka(text), 0
    except ThekaError as error:
        theka, matra = None, error.matra
    assert 0 <= matra <= len(words)
    assert theka is None or sum(theka.vibhags) == len(theka.matras) == len(words)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("dha blub na", "matra 2: 'blub' is not made of known bols; write .* dhage, from "),
        ("dha dhagee", "matra 2: 'dhagee'"),
        ("", "has 1 to 128 matras; this has 0; write one word for each matra"),
        ("dha " * 129, "this has 129"),
        ("dha | | na", "two bars stand together in 'dha | | na'; remove one"),
        ("- -", "nothing is struck in '- -'; write at least one bol"),
    ],
)
def test_a_bad_theka_is_refused_with_the_bol_the_matra_and_the_mend(text, said):
    with pytest.raises(ThekaError, match=said.replace("|", r"\|")):
        read_theka(text)


def test_every_phrase_is_spelt_in_bols_that_can_be_played():
    for phrase, bols in PHRASES.items():
        assert read_theka(phrase).matras == (bols,)
        assert all(bol in BOLS for bol in bols)


@given(struck, tempos, st.fractions(Fraction(1, 8), 60, max_denominator=12), shares)
def test_strokes_stand_where_the_matras_are_counted(text, tempo, matras, share):
    theka = read_theka(text)
    cycle = len(theka.matras)
    begin = share * cycle * Fraction(23, 24)
    strokes = theka_strokes(theka, matras_per_min=tempo, matras=matras, from_matra=begin)
    wanted = [
        (turn * cycle + at - begin, bol)
        for turn in range(int((begin + matras) / cycle) + 1)
        for at, bol in theka.onsets()
        if begin <= turn * cycle + at < begin + matras
    ]
    assert [stroke.bol for stroke in strokes] == [bol for _, bol in wanted]
    for stroke, (at, _) in zip(strokes, wanted, strict=True):
        exact_s = at * 60 / Fraction(tempo)
        assert abs(Fraction(stroke.onset_s) - exact_s) <= exact_s * Fraction(1, 2**53)


@given(struck, tempos, st.integers(1, 30), st.integers(1, 30))
def test_two_stretches_one_after_the_other_are_one(text, tempo, first, second):
    theka = read_theka(text)
    matra_s = 60.0 / tempo
    at = first % len(theka.matras)
    once = theka_strokes(theka, matras_per_min=tempo, matras=first + second)
    twice = theka_strokes(theka, matras_per_min=tempo, matras=first) + theka_strokes(
        theka, matras_per_min=tempo, matras=second, from_matra=at, onset_s=first * matra_s
    )
    assert [stroke.bol for stroke in once] == [stroke.bol for stroke in twice]
    for one, other in zip(once, twice, strict=True):
        assert one.onset_s == pytest.approx(other.onset_s, abs=1e-9)


def test_a_theka_may_begin_anywhere_even_between_matras():
    theka = read_theka(EKTAL)
    strokes = theka_strokes(
        theka, matras_per_min=60, matras=2, from_matra=Fraction(13, 4), onset_s=1.0, level_db=-3.0
    )
    assert [(stroke.onset_s, stroke.bol) for stroke in strokes] == [
        (1.0, "ra"),
        (1.25, "ki"),
        (1.5, "tta"),
        (1.75, "tu"),
        (2.75, "na"),
    ]
    assert {stroke.level_db for stroke in strokes} == {-3.0}


def test_jhaptal_in_tigun_reaches_sam_from_two_thirds_into_its_seventh_matra():
    # Layakari: said once in tigun, jhaptal takes 3 1/3 matras and must start after 6 2/3.
    theka = read_theka("dhi na | dhi dhi na | tin na | dhi dhi na")
    start = 10 - Fraction(10, 3)
    thrice = theka_strokes(
        theka, matras_per_min=3 * 60, matras=10, onset_s=float(start * 60 / 60), level_db=0.0
    )
    assert start == Fraction(20, 3)
    assert thrice[-1].onset_s + 1 / 3 == pytest.approx(10.0)


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"matras_per_min": 9.9}, "from 10 to 700: given 9.9"),
        ({"matras_per_min": 701}, "given 701"),
        ({"matras_per_min": float("nan")}, "given nan"),
        ({"from_matra": 16}, "from 0 to below 16: given 16"),
        ({"from_matra": Fraction(-1, 2)}, "from_matra lies"),
        ({"matras": 0}, "matras is above 0: given 0"),
    ],
)
def test_what_cannot_be_played_is_refused(asked, said):
    usual = {"matras_per_min": 120, "matras": 16}
    with pytest.raises(ValueError, match=said):
        theka_strokes(read_theka(TINTAL), **{**usual, **asked})


def test_a_theka_that_lands_has_one_stroke_more_on_the_very_matra():
    theka = read_theka("dhin--traka dha | -na tin")
    for matras, struck in ((1, True), (2, False), (4, True), (Fraction(9, 2), True), (9, True)):
        plain, landing = (
            theka_strokes(theka, matras_per_min=60, matras=matras, lands=lands)
            for lands in (False, True)
        )
        assert landing[: len(plain)] == plain
        more = landing[len(plain) :]
        assert [stroke.onset_s for stroke in more] == ([float(matras)] if struck else [])
