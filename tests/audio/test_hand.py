"""The left hand's data, ranges and pitch paths, before any sound is made."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from audio.bending import Held, path_of
from audio.errors import OrnamentError
from audio.ornaments import JOINS, KAN, Hand, load_ornaments, ornaments
from audio.playing import chains_of, score_of
from audio.sargam import parse
from audio.tuning import EQUAL, JUST, Swara

FRETS = [100.0 * step for step in range(-24, 37)]
pitches = st.lists(
    st.builds(
        Held,
        st.integers(-12, 24).map(lambda step: 100.0 * step),
        st.floats(0.02, 3.0),
        st.sampled_from(["", "", "andolan", "gamak"]),
    ),
    min_size=1,
    max_size=6,
)


def at(path, time_s):
    """The pitch of a path at a time: straight from point to point, and still after the last."""
    for (from_s, before), (to_s, after) in pairwise(path):
        if from_s <= time_s <= to_s:
            return before + (after - before) * (time_s - from_s) / (to_s - from_s)
    return path[-1][1]


@given(pitches, st.data())
def test_every_pitch_is_there_when_its_time_begins(held, data):
    joins = [data.draw(st.sampled_from(sorted({*JOINS, KAN}))) for _ in held[1:]]
    path = path_of(held, joins, hand=Hand(), frets=FRETS)
    times = [time for time, _ in path]
    assert times[0] == 0.0
    assert times == sorted(set(times))
    begun_s = 0.0
    for pitch in held:
        gamak_s_low = Hand().gamak_cents if pitch.sway == "gamak" else 0.0
        assert at(path, begun_s) == pytest.approx(pitch.cents - gamak_s_low, abs=0.5)
        begun_s += pitch.length_s


@given(pitches)
def test_no_path_strays_further_than_its_hand(held):
    path = path_of(held, ["<"] * (len(held) - 1), hand=Hand(), frets=FRETS)
    lowest = min(pitch.cents for pitch in held) - Hand().gamak_cents
    highest = max(pitch.cents for pitch in held) + Hand().andolan_cents / 2
    assert all(lowest - 0.01 <= cents <= highest + 0.01 for _, cents in path)


@pytest.mark.parametrize("line", ["S", "S - - -", "P'"])
def test_a_still_swara_is_one_point(line):
    (stroke,) = score_of(parse(line), JUST, sa_hz=200.0).strokes
    assert len(stroke.path) == 1


def test_a_chain_is_one_stroke_and_all_else_is_struck():
    line = parse(r"S/R S<R> S (P)m r~ - {SR} S//P . R/ G\ R S")
    chains = [[str(note.swara) for note in chain] for chain in chains_of(line)]
    joined = ["S R", "S R S", "m", "r", "S", "S P", "R G R", "S"]
    assert chains == [swaras.split() for swaras in joined]


def test_strokes_carry_the_ornaments_they_are_played_with():
    line = parse(r"S/R S<R> S (P)m (mGR)m r~ r~~ {SR} S//P G/m~")
    tags = [stroke.tags for stroke in score_of(line, EQUAL, sa_hz=200.0).strokes]
    assert ("meend", "andolan") in tags
    assert {name for stroke in tags for name in stroke} == set(ornaments())


def test_a_ghaseet_stands_on_each_fret_between():
    (stroke,) = score_of(parse("S//P"), EQUAL, sa_hz=200.0, matras_per_min=30).strokes
    stood = {a for (_, a), (_, b) in pairwise(stroke.path) if a == b}
    assert stood == {100.0 * step for step in range(8)} - {700.0}
    assert stroke.path[-1][1] == 700.0


def test_a_long_zamzama_keeps_its_rate_and_a_short_one_turns_twice():
    def turns(line, tempo):
        (stroke,) = score_of(parse(line), EQUAL, sa_hz=200.0, matras_per_min=tempo).strokes
        return sum(a < 100.0 <= b for (_, a), (_, b) in pairwise(stroke.path))

    assert turns("{SR} -", 60) == math.floor(2.0 * Hand().zamzama_hz - 0.5)
    assert turns("{SR}", 400) == 2


@pytest.mark.parametrize("field", ["meend_s", "gamak_hz", "andolan_cents", "kan_s", "fret_s"])
def test_a_hand_out_of_range_is_told_its_range(field):
    for value in (1e-6, 1e6):
        with pytest.raises(OrnamentError, match=rf"{field} is .*; it lies from "):
            Hand(**{field: value})


def test_every_parameter_has_a_source_and_room_to_vary():
    for ornament in ornaments().values():
        assert ornament.about.endswith(".")
        assert ornament.source
        for parameter in ornament.parameters.values():
            assert parameter.least < parameter.usual < parameter.most
            assert parameter.source


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[meend", "should be a TOML file"),
        ("meend = 3", "meend should be a table"),
        ('[meend]\nsource = "x"', "needs about"),
        ('[meend]\nabout = "x"\nsource = "x"\n[meend.glide]\nusual = 3', "needs unit, usual"),
        (
            '[meend]\nabout = "x"\nsource = "x"\n'
            '[meend.glide]\nunit = "s"\nusual = 3\nleast = 4\nmost = 5\nsource = "x"',
            "least <= usual <= most",
        ),
    ],
)
def test_a_file_of_ornaments_that_cannot_be_used_is_named(tmp_path, text, said):
    path = tmp_path / "ornaments.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(OrnamentError, match=said) as caught:
        load_ornaments(path)
    assert str(path) in str(caught.value)


def test_the_tuning_decides_where_a_meend_ends():
    for tuning in (JUST, EQUAL):
        (stroke,) = score_of(parse("R/m"), tuning, sa_hz=200.0).strokes
        assert stroke.path[0][1] == tuning.cents_of(Swara.read("R"))
        assert stroke.path[-1][1] == tuning.cents_of(Swara.read("m"))
