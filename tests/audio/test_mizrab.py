"""Bols of the right hand: reading, timing, and the named patterns."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from audio.errors import BolError
from audio.mizrab import (
    CHIKARI,
    CHIKARI_HZ,
    FILE,
    REST,
    chikari_strokes,
    load_mizrab,
    matras_of,
    mizrab,
    pitches_in,
    read_bols,
    strokes_of,
)

NAMES = tuple(mizrab().bols)
texts = st.lists(st.sampled_from([*NAMES, REST]), max_size=20).map(
    lambda words: " ".join(["da", *words])
)


def played(text, *, matras_per_min=60.0, sa_hz=277.18):
    bols = read_bols(text)
    cents = [100.0 * number for number in range(pitches_in(bols))]
    return strokes_of(bols, cents, sa_hz=sa_hz, matras_per_min=matras_per_min)


def heard(text):
    """(matra, way) of all that is struck on the playing string."""
    return [(s.onset_s, s.tags[0]) for s in played(text) if s.voice == "sitar"]


def test_bols_last_as_the_manuals_say():
    # A Hindi sitar manual (Hindi Wikisource, "Sitar Malika", PDF p. 37): da and ra take a matra
    # each, dir is both in one matra, dar is da for one matra and ra for half of one.
    assert [mizrab().bols[name].matras for name in ("da", "ra", "dir", "dar")] == [1, 1, 1, 1.5]
    assert heard("dir da dar") == [(0, "da"), (0.5, "ra"), (1, "da"), (2, "da"), (3, "ra")]


def test_dra_is_one_quick_sweep():
    first, second = heard("dra")
    assert 0.0 < second[0] - first[0] < 0.25
    assert (first[1], second[1]) == ("da", "ra")


def test_masitkhani_is_eight_matras_twice_and_da_falls_on_sam():
    # Twice through tintal from matra 12 (public school syllabi and handbooks).
    gat = next(gat for gat in mizrab().gats if gat.name == "masitkhani")
    bols = read_bols(gat.bols)
    assert matras_of(bols) * gat.times == 16
    at_sam = (17 - gat.from_matra) % matras_of(bols)
    ways = [bol.name for bol in bols]
    assert ways[int(at_sam)] == "da"


@pytest.mark.parametrize("gat", mizrab().gats, ids=lambda gat: gat.name)
def test_every_gat_fills_its_cycle(gat):
    assert matras_of(read_bols(gat.bols)) * gat.times % 16 == 0
    assert gat.laya[0] < gat.laya[1]
    assert gat.source


@pytest.mark.parametrize("jhala", mizrab().jhalas, ids=lambda jhala: jhala.name)
def test_a_jhala_begins_on_the_playing_string(jhala):
    assert jhala.pattern[0] == "note"
    assert CHIKARI in jhala.pattern


@given(texts, st.floats(10, 700))
def test_each_string_rings_until_it_is_struck_again(text, matras_per_min):
    strokes = played(text, matras_per_min=matras_per_min)
    on_string = [stroke for stroke in strokes if stroke.voice == "sitar"]
    for one, other in pairwise(on_string):
        assert one.end_s == pytest.approx(other.onset_s)
    end_s = float(matras_of(read_bols(text))) * 60.0 / matras_per_min
    assert on_string[-1].end_s == pytest.approx(end_s)
    assert len(on_string) == sum(
        len(bol.hits) for bol in read_bols(text) if bol != REST and bol.name != CHIKARI
    )


@given(st.floats(98.0, 420.0))
def test_chikari_are_two_sas_near_c_sharp(sa_hz):
    lower, upper = (stroke.path[0][1] for stroke in chikari_strokes(0.0, 1.0, sa_hz=sa_hz))
    assert lower % 1200.0 == 0.0
    assert upper - lower == 1200.0
    assert 2**-0.5 <= sa_hz * 2 ** (lower / 1200.0) / CHIKARI_HZ <= 2**0.5


def test_a_bol_may_be_held_but_a_line_begins_with_a_stroke():
    (stroke,) = played("da - -")
    assert stroke.duration_s == 3.0
    with pytest.raises(BolError, match="begins with -"):
        read_bols("- da")


@pytest.mark.parametrize(
    ("text", "said"), [("da diri", "bol 2, 'diri', is not known"), ("", "this has 0")]
)
def test_a_word_that_is_no_bol_is_named_with_its_place(text, said):
    with pytest.raises(BolError, match=said):
        read_bols(text)


def test_a_pitch_too_many_is_refused():
    with pytest.raises(ValueError, match="1 pitches are needed: given 2"):
        strokes_of(read_bols("da chikari"), [0.0, 1.0], sa_hz=200.0, matras_per_min=60.0)


@pytest.mark.parametrize(
    ("was", "now", "said"),
    [
        ('hits = [["0", "in"]]', 'hits = [["1", "in"]]', r"\[bol.da\] hits begin at 0"),
        ('["1/2", "out"]', '["1", "out"]', r"\[bol.dir\] all hits lie within"),
        ('bols = "dir da dir da', 'bols = "dir dum dir da', "number 1 bol 2, 'dum'"),
        ('pattern = "note chikari"', 'pattern = "chikari note"', "number 5 a pattern begins"),
        ("brightness = 0.15", 'light = "x"', r"\[way.in\]"),
        ("[way.in]", "[way.in", "should be a TOML file"),
    ],
)
def test_a_file_of_bols_that_cannot_be_used_is_named(tmp_path, was, now, said):
    text = FILE.read_text(encoding="utf-8")
    assert was in text
    path = tmp_path / "mizrab.toml"
    path.write_text(text.replace(was, now, 1), encoding="utf-8")
    with pytest.raises(BolError, match=said) as caught:
        load_mizrab(path)
    assert str(path) in str(caught.value)


def test_exact_matras_are_fractions():
    assert matras_of(read_bols("dir dar - ra")) == Fraction(9, 2)
