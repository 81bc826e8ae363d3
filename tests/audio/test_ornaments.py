"""The ornaments of the left hand, by ear: what the sound does against what its line of sargam says.

Nothing here reads a path: pitch comes from the phase of the fundamental and from Praat, strokes
from energy. What is asked stands in the README's "Sargam in writing", in `assets/ornaments.toml`
and in the hand given. Lines are in equal temperament, so that a semitone is 100 cents.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from audio import render
from audio.errors import OrnamentError
from audio.format import SAMPLE_RATE
from audio.ornaments import Hand, ornaments
from audio.playing import score_of
from audio.sargam import parse
from audio.tuning import EQUAL, JUST
from tests.audio.meters import (
    cents_between,
    high_band,
    level_db,
    onsets_s,
    pitch_curve,
    praat_pitch,
    runs,
    swing,
)

SAS_HZ = (130.0, 196.0, 300.0)
LOW_AND_HIGH_HZ = (130.0, 300.0)
PLUCK_S = 0.02
"""The first moment of a stroke, in which the pluck hides the pitch."""
DAMPED_S = 0.06
"""The last moment, in which the string is damped."""


def sound(line, *, sa_hz=196.0, tempo=60.0, tuning=EQUAL, **hand):
    score = score_of(
        parse(line), tuning, sa_hz=sa_hz, matras_per_min=tempo, hand=Hand(**hand) if hand else None
    )
    return render.render(score).astype(np.float64)


def curve(samples, sa_hz, lowest, highest):
    """Cents above Sa, frame by frame, of a stroke that stays between two pitches in cents."""
    bounds = [sa_hz * 2 ** (cents / 1200) for cents in (lowest, highest)]
    return np.asarray(cents_between(pitch_curve(samples, *bounds), sa_hz))


def between(cents, from_s, to_s):
    return cents[round(from_s * SAMPLE_RATE) : round(to_s * SAMPLE_RATE)]


def settled(cents):
    return cents[round(PLUCK_S * SAMPLE_RATE) : -round(DAMPED_S * SAMPLE_RATE)]


def when_reached(cents, target, after_s, tolerance=3.0):
    """The last time, after another, at which a curve comes within so many cents of a target."""
    far = np.abs(between(cents, after_s, len(cents) / SAMPLE_RATE - DAMPED_S) - target) > tolerance
    return after_s + (int(np.flatnonzero(far)[-1]) + 1) / SAMPLE_RATE


def when_left(cents, start, after_s, tolerance=3.0):
    far = np.abs(between(cents, after_s, len(cents) / SAMPLE_RATE - DAMPED_S) - start) > tolerance
    return after_s + int(np.argmax(far)) / SAMPLE_RATE


# Meend

MEENDS = [
    ("S/r -", 0, 100),
    ("S/R -", 0, 200),
    ("S/g -", 0, 300),
    ("S/m -", 0, 500),
    ("N,\\M, -", -100, -600),
    ("R\\r -", 200, 100),
    ("R\\S -", 200, 0),
    ("g\\S -", 300, 0),
    ("D\\G -", 900, 400),
    ("S'/m' -", 1200, 1700),
    ("m,/d, -", -700, -400),  # from the open string
    ("P'/n' -", 1900, 2200),  # from the highest frets
]


@pytest.mark.parametrize("sa_hz", SAS_HZ)
@pytest.mark.parametrize(("line", "before", "after"), MEENDS)
def test_a_meend_spans_what_is_written_and_goes_there_straight(sa_hz, line, before, after):
    samples = sound(line, sa_hz=sa_hz)
    low, high = sorted((before, after))
    heard = curve(samples, sa_hz, low, high)
    assert np.median(between(heard, 0.05, 0.2)) == pytest.approx(before, abs=0.5)
    assert np.median(between(heard, 0.6, 1.9)) == pytest.approx(after, abs=0.5)
    # Never back, and never past: within what the meter ripples at the lowest pitches.
    way = between(heard, 0.2, 0.6) * (1 if after > before else -1)
    assert (np.maximum.accumulate(way) - way).max() < 2.0 + 0.01 * (high - low)
    assert between(heard, 0.2, 1.9).max() < high + 3.0
    assert between(heard, 0.2, 1.9).min() > low - 3.0
    assert len(onsets_s(samples)) == 1


@pytest.mark.parametrize("sa_hz", SAS_HZ)
@pytest.mark.parametrize(("line", "before", "after"), MEENDS[2:4] + MEENDS[7:])
def test_praat_hears_the_same_meend(sa_hz, line, before, after):
    middle_hz = sa_hz * 2 ** ((before + after) / 2400)
    times, hz = praat_pitch(sound(line, sa_hz=sa_hz), middle_hz)
    cents = cents_between(hz, sa_hz)
    began, ended = (times > 0.06) & (times < 0.2), (times > 0.6) & (times < 1.8)
    assert np.median(cents[began]) == pytest.approx(before, abs=1.0)
    assert np.median(cents[ended]) == pytest.approx(after, abs=1.0)


@pytest.mark.parametrize(("swara", "ratio"), [("r", 16 / 15), ("g", 6 / 5), ("m", 4 / 3)])
def test_a_meend_in_just_intonation_arrives_on_the_just_swara(swara, ratio):
    heard = curve(sound(f"S/{swara} -", tuning=JUST), 196.0, 0, 500)
    arrived = np.median(between(heard, 0.6, 1.9))
    assert arrived == pytest.approx(1200 * np.log2(ratio), abs=0.5)


@pytest.mark.parametrize("sa_hz", LOW_AND_HIGH_HZ)
@pytest.mark.parametrize(
    ("meend_s", "tempo"), [(0.08, 60.0), (0.25, 60.0), (0.6, 30.0), (1.5, 15.0)]
)
@pytest.mark.parametrize(("line", "before", "after"), [("S/m -", 0, 500), ("m\\S -", 500, 0)])
def test_a_glide_takes_as_long_as_the_hand_takes_and_arrives_with_its_swara(
    sa_hz, meend_s, tempo, line, before, after
):
    heard = curve(sound(line, sa_hz=sa_hz, tempo=tempo, meend_s=meend_s), sa_hz, 0, 500)
    boundary_s = 0.5 * 60 / tempo
    left = when_left(heard, before, 0.1, 5.0)
    reached = when_reached(heard, after, 0.1, 5.0)
    # A glide that starts and ends gently hides its ends: 5 cents of 500 are a sixteenth of it.
    assert 0.8 * meend_s - 0.005 < reached - left < meend_s + 0.005
    assert boundary_s - 0.1 * meend_s - 0.005 < reached < boundary_s + 0.005


@pytest.mark.parametrize("sa_hz", SAS_HZ)
@pytest.mark.parametrize(
    ("line", "pitches"),
    [
        ("S/R/m -", (0, 200, 500)),
        ("S/G\\R -", (0, 400, 200)),
        ("S/ R/ m\\ g -", (0, 200, 500, 300)),
        ("m\\S/R\\S", (500, 0, 200, 0)),
        ("N,/R\\S/R\\ | N, -", (-100, 200, 0, 200, -100)),
    ],
)
def test_a_chain_of_meends_rests_on_each_of_its_swaras_in_turn(sa_hz, line, pitches):
    samples = sound(line, sa_hz=sa_hz, tempo=30.0)
    low, high = min(pitches), max(pitches)
    heard = runs(settled(curve(samples, sa_hz, low, high)), sorted(set(pitches)), least_s=0.15)
    assert [pitch for pitch, _, _ in heard] == list(pitches)
    assert len(onsets_s(samples)) == 1


# Krintan and sparsh: two swaras on one stroke

STEPS = [
    ("R>S -", 200, 0),
    ("g>S -", 300, 0),
    ("P>m -", 700, 500),
    ("S<R -", 0, 200),
    ("N,<S -", -100, 0),
    ("m<P -", 500, 700),
]


@pytest.mark.parametrize("sa_hz", LOW_AND_HIGH_HZ)
@pytest.mark.parametrize("length_s", [0.004, 0.008, 0.02])
@pytest.mark.parametrize(("line", "before", "after"), STEPS)
def test_krintan_and_sparsh_change_the_pitch_at_once_on_one_stroke(
    sa_hz, length_s, line, before, after
):
    samples = sound(line, sa_hz=sa_hz, krintan_s=length_s, sparsh_s=length_s)
    heard = curve(samples, sa_hz, *sorted((before, after)))
    stays = runs(settled(heard), (before, after))
    assert [pitch for pitch, _, _ in stays] == [before, after]
    assert stays[1][1] + PLUCK_S == pytest.approx(0.5 - length_s / 2, abs=0.002)
    assert np.median(between(heard, 0.1, 0.4)) == pytest.approx(before, abs=0.5)
    assert np.median(between(heard, 0.6, 1.9)) == pytest.approx(after, abs=0.5)
    tenth = abs(after - before) / 10
    taken_s = when_reached(heard, after, 0.2, tenth) - when_left(heard, before, 0.2, tenth)
    assert taken_s < 0.02
    assert len(onsets_s(samples)) == 1


@pytest.mark.parametrize("sa_hz", [130.0, 165.0, 247.0, 300.0])
@pytest.mark.parametrize(("line", "before", "after"), STEPS)
def test_at_the_change_no_energy_comes_and_none_is_missing(sa_hz, line, before, after):
    samples = sound(line, sa_hz=sa_hz)
    levels = [level_db(samples, 0.395 + 0.03 * k, 0.425 + 0.03 * k) for k in range(7)]
    # From one 30 ms to the next a ringing string loses up to 1.2 dB; half a dB up would be
    # partials that meet again, a new stroke adds 3 dB and more.
    assert max(np.diff(levels)) < 0.5
    assert min(np.diff(levels)) > -2.0
    quarter = np.array([level_db(samples, at, at + 0.01) for at in np.arange(0.45, 0.54, 0.0025)])
    assert quarter.min() > level_db(samples, 0.45, 0.55) - 4.0  # nowhere a gap


# Zamzama


@pytest.mark.parametrize("sa_hz", LOW_AND_HIGH_HZ)
@pytest.mark.parametrize("rate_hz", [3.0, 4.5, 7.0])
@pytest.mark.parametrize(
    ("line", "upper"), [("{SR} - -", 200), ("{Sr} - -", 100), ("{Sg} - -", 300)]
)
def test_a_zamzama_alternates_at_its_rate_and_rests_on_the_lower_swara(sa_hz, rate_hz, line, upper):
    samples = sound(line, sa_hz=sa_hz, zamzama_hz=rate_hz)
    stays = runs(settled(curve(samples, sa_hz, 0, upper)), (0, upper))
    assert [pitch for pitch, _, _ in stays[::2]] == [0] * len(stays[::2])
    assert [pitch for pitch, _, _ in stays[1::2]] == [upper] * len(stays[1::2])
    assert len(stays) % 2 == 1
    assert np.median(between(curve(samples, sa_hz, 0, upper), 3.1, 3.9)) == pytest.approx(
        0, abs=0.5
    )
    rises = [begun for _, begun, _ in stays[1::2]]
    assert np.diff(rises) == pytest.approx(1 / rate_hz, abs=0.004)
    # In three matras, of a second each, as many whole turns as there is time for.
    assert len(rises) in (int(3 * rate_hz), int(3 * rate_hz) - 1)
    assert 2.7 - 1 / rate_hz < stays[-1][1] < 3.01
    assert len(onsets_s(samples)) == 1


# Kan and murki


@pytest.mark.parametrize("sa_hz", LOW_AND_HIGH_HZ)
@pytest.mark.parametrize("kan_s", [0.04, 0.07, 0.11])
@pytest.mark.parametrize(
    ("line", "touched", "meant"),
    [("(P)m -", 700, 500), ("(G)m -", 400, 500), ("(m)R -", 500, 200), ("(N,)S -", -100, 0)],
)
def test_a_kan_touches_its_swara_for_a_moment_and_leaves_it(sa_hz, kan_s, line, touched, meant):
    samples = sound(line, sa_hz=sa_hz, kan_s=kan_s)
    heard = curve(samples, sa_hz, *sorted((touched, meant)))
    tenth = abs(touched - meant) / 10
    assert abs(np.median(between(heard, 0.008, max(0.5 * kan_s, 0.016))) - touched) < tenth
    assert when_reached(heard, meant, 0.01, tenth) == pytest.approx(kan_s, abs=0.25 * kan_s)
    assert np.median(between(heard, 0.2, 1.9)) == pytest.approx(meant, abs=0.5)
    assert len(onsets_s(samples)) == 1


@pytest.mark.parametrize("sa_hz", LOW_AND_HIGH_HZ)
@pytest.mark.parametrize("murki_s", [0.06, 0.09, 0.14])
@pytest.mark.parametrize(
    ("line", "pitches"),
    [
        ("(RSN,)S -", (200, 0, -100, 0)),
        ("(PmG)m -", (700, 500, 400, 500)),
        ("(SR)S -", (0, 200, 0)),
        ("(gRSN,)S -", (300, 200, 0, -100, 0)),
    ],
)
def test_a_murki_plays_its_swaras_in_order_and_each_as_long_as_the_hand_does(
    sa_hz, murki_s, line, pitches
):
    samples = sound(line, sa_hz=sa_hz, murki_s=murki_s)
    heard = curve(samples, sa_hz, min(pitches), max(pitches))
    stays = runs(between(heard, 0.01, 1.9), sorted(set(pitches)))
    assert [pitch for pitch, _, _ in stays] == list(pitches)
    assert [begun + 0.01 for _, begun, _ in stays[1:]] == pytest.approx(
        [murki_s * index for index in range(1, len(pitches))], abs=0.008
    )
    assert len(onsets_s(samples)) == 1


# Andolan and gamak


@pytest.mark.parametrize("sa_hz", SAS_HZ)
@pytest.mark.parametrize(("rate_hz", "depth"), [(0.7, 140.0), (1.6, 70.0), (3.0, 30.0)])
def test_an_andolan_swings_about_its_swara(sa_hz, rate_hz, depth):
    samples = sound("r~ - - - -", sa_hz=sa_hz, andolan_hz=rate_hz, andolan_cents=depth)
    found = swing(between(curve(samples, sa_hz, 30, 170), PLUCK_S, 4.9))
    assert found.rate_hz == pytest.approx(rate_hz, rel=0.01)
    assert found.depth_cents == pytest.approx(depth, abs=2.0)
    assert found.mean_cents == pytest.approx(100.0, abs=1.0)
    assert len(onsets_s(samples)) == 1


@pytest.mark.parametrize("sa_hz", SAS_HZ)
@pytest.mark.parametrize(("rate_hz", "depth"), [(4.0, 350.0), (5.5, 200.0), (8.0, 100.0)])
def test_a_gamak_is_pulled_from_below_up_to_its_swara(sa_hz, rate_hz, depth):
    samples = sound("r~~ - - - -", sa_hz=sa_hz, gamak_hz=rate_hz, gamak_cents=depth)
    heard = curve(samples, sa_hz, 100 - depth, 100)
    found = swing(between(heard, PLUCK_S, 4.9))
    assert found.rate_hz == pytest.approx(rate_hz, rel=0.01)
    assert found.highest_cents == pytest.approx(100.0, abs=0.03 * depth)
    assert found.lowest_cents == pytest.approx(100.0 - depth, abs=0.03 * depth)
    assert np.median(between(heard, 0.01, 0.025)) < 100 - 0.6 * depth
    assert len(onsets_s(samples)) == 1


def test_the_slowest_gamak_is_faster_and_wider_than_a_usual_andolan():
    andolan = swing(between(curve(sound("r~ - - -"), 196.0, 0, 200), PLUCK_S, 3.9))
    gamak = swing(between(curve(sound("r~~ - - -"), 196.0, -100, 200), PLUCK_S, 3.9))
    assert gamak.rate_hz > 3 * andolan.rate_hz
    assert gamak.depth_cents > 2 * andolan.depth_cents


# Shapes


@pytest.mark.parametrize("rise", [0.35, 0.45, 0.6])
def test_a_gamak_rises_for_its_share_of_each_turn(rise):
    heard = curve(sound("r~~ - - -", gamak_hz=4.0, gamak_rise=rise), 196.0, -100, 100)
    turning = between(heard, 0.25, 2.25)  # eight whole turns
    assert np.mean(np.diff(turning) > 0) == pytest.approx(rise, abs=0.03)


@pytest.mark.parametrize("dwell", [0.0, 0.25, 0.5])
def test_an_andolan_stays_at_its_shades_as_it_dwells(dwell):
    samples = sound("r~ - - - -", andolan_hz=1.0, andolan_cents=100.0, andolan_dwell=dwell)
    swung = np.abs(between(curve(samples, 196.0, 30, 170), 0.25, 4.25) - 100.0) / 50.0
    # Of an even swing, |sin| is above 0.9 for 1 - 2/pi * arcsin(0.9) of the time.
    turn = np.abs(np.sin(np.linspace(0.0, 2 * np.pi, 10_000)))
    expected = np.mean(turn * (1 + dwell * (1 - turn**2)) > 0.9)
    assert np.mean(swung > 0.9) == pytest.approx(expected, abs=0.03)
    assert swung.max() == pytest.approx(1.0, abs=0.03)


def test_a_soft_meend_sets_out_and_arrives_more_slowly_than_an_even_one():
    def share_near_ends(softness):
        samples = sound("S/m -", tempo=30.0, meend_s=0.8, meend_softness=softness)
        gliding = between(curve(samples, 196.0, 0, 500), 0.2, 1.0)
        return np.mean((gliding < 50.0) | (gliding > 450.0))

    even, soft = share_near_ends(0.3), share_near_ends(1.0)
    # A raised cosine passes a tenth of its way in arccos(0.8)/pi of its time, at either end.
    assert soft == pytest.approx(2 * np.arccos(0.8) / np.pi, abs=0.03)
    assert even < soft - 0.1


# Ghaseet


@pytest.mark.parametrize("sa_hz", LOW_AND_HIGH_HZ)
@pytest.mark.parametrize("fret_s", [0.025, 0.045, 0.09])
@pytest.mark.parametrize(
    ("line", "first", "last"), [("S//P -", 0, 700), ("P\\\\S -", 700, 0), ("G//D -", 400, 900)]
)
def test_a_ghaseet_passes_every_fret_on_its_way(sa_hz, fret_s, line, first, last):
    samples = sound(line, sa_hz=sa_hz, tempo=30.0, fret_s=fret_s)
    heard = curve(samples, sa_hz, *sorted((first, last)))
    step = 100 if last > first else -100
    frets = list(range(first, last + step, step))
    stays = runs(settled(heard), sorted(frets))
    assert [pitch for pitch, _, _ in stays] == frets
    assert [length for _, _, length in stays[1:-1]] == pytest.approx(
        [fret_s] * (len(frets) - 2), abs=0.004
    )
    # The finger arrives when the matra's half has passed.
    assert stays[-1][1] + PLUCK_S == pytest.approx(1.0, abs=fret_s)
    assert len(onsets_s(samples)) == 1


def time_on_frets(heard, first, last):
    """The share of a way from pitch to pitch, in time, spent within 15 cents of a semitone."""
    way = between(heard, when_left(heard, first, 0.1, 15.0), when_reached(heard, last, 0.1, 15.0))
    return float(np.mean(np.abs(way - 100 * np.round(way / 100)) < 15))


@pytest.mark.parametrize("sa_hz", SAS_HZ)
def test_a_ghaseet_is_told_from_a_meend_of_the_same_length_by_its_steps(sa_hz):
    meend = sound("S/m -", sa_hz=sa_hz, meend_s=0.2)
    ghaseet = sound("S//m -", sa_hz=sa_hz, fret_s=0.045)
    assert time_on_frets(curve(meend, sa_hz, 0, 500), 0, 500) < 0.4
    assert time_on_frets(curve(ghaseet, sa_hz, 0, 500), 0, 500) > 0.6


# The hand's ranges

FIELDS = {
    "meend_s": ("meend", "glide"),
    "andolan_hz": ("andolan", "rate"),
    "andolan_cents": ("andolan", "depth"),
    "gamak_hz": ("gamak", "rate"),
    "gamak_cents": ("gamak", "depth"),
    "gamak_rise": ("gamak", "rise"),
    "meend_softness": ("meend", "softness"),
    "kan_s": ("kan", "length"),
    "sparsh_s": ("sparsh", "length"),
    "krintan_s": ("krintan", "length"),
    "zamzama_hz": ("zamzama", "rate"),
    "murki_s": ("murki", "length"),
    "fret_s": ("ghaseet", "fret"),
}


@pytest.mark.parametrize("field", FIELDS)
def test_a_hand_plays_within_its_range_and_says_so(field):
    ornament, name = FIELDS[field]
    allowed = ornaments()[ornament].parameters[name]
    assert getattr(Hand(), field) == allowed.usual
    for end in (allowed.least, allowed.most):
        assert getattr(Hand(**{field: end}), field) == end
    for bad in (0.99 * allowed.least, 1.01 * allowed.most, -1.0, float("inf")):
        with pytest.raises(OrnamentError, match=f"{field}.*{allowed.least} to {allowed.most}"):
            Hand(**{field: bad})


# Strokes and their number

NAMES = ("S", "r", "R", "g", "G", "m", "M", "P", "d", "D", "n", "N", "S'", "r'", "R'", "g'")


@st.composite
def tokens(draw):
    """One or two beats of sargam, and how many strokes of the mizrab they take."""
    low = draw(st.integers(0, 10))
    name, near, far = NAMES[low], NAMES[low + 2], NAMES[low + draw(st.integers(1, 5))]
    return draw(
        st.sampled_from(
            [
                (name, 1),
                (f"{name}{near}", 2),
                (f"{name}/{far}", 1),
                (f"{far}\\{name}", 1),
                (f"{name}/{far}\\{name} -", 1),
                (f"{name}/ {far} -", 1),
                (f"{near}>{name}", 1),
                (f"{name}<{near}", 1),
                (f"{name}<{near}>{name}{far}", 2),
                (f"{name}//{far}", 1),
                (f"({near}){name}", 1),
                (f"({near}{name}{far}){name} -", 1),
                (f"{name}~ -", 1),
                (f"{name}~~", 1),
                (f"{{{name}{near}}} -", 1),
                (f"{name} | -", 1),
                (f"{name} .", 1),
                (f"{name}-{near}", 2),
            ]
        )
    )


@settings(max_examples=25, deadline=None)
@given(
    st.lists(tokens(), min_size=1, max_size=5), st.sampled_from(SAS_HZ), st.sampled_from((50, 90))
)
@example([("S//P", 1), ("P\\\\S .", 1), ("(P)m", 1)], 130.0, 60)
@example([("S", 1)] * 8, 300.0, 700)
def test_the_mizrab_strikes_as_often_as_is_written_and_never_in_between(line, sa_hz, tempo):
    text = " ".join(written for written, _ in line)
    samples = sound(text, sa_hz=sa_hz, tempo=tempo)
    assert len(onsets_s(samples)) == sum(strokes for _, strokes in line)


@pytest.mark.parametrize("tempo", [10.0, 60.0, 300.0])
@pytest.mark.parametrize(
    ("line", "matras"),
    [
        ("S . R/m | (P)m", (0, 2, 3)),
        (". S/ | m R>S", (1, 3)),
        ("S-R r~:2 S", (0, 2 / 3, 1, 3)),
        ("P//S' | - S'/ R'\\S' (RSN,)S:1/2 {SR}", (0, 2, 4, 4.5)),
    ],
)
def test_each_stroke_comes_with_its_matra_after_rests_and_over_beats_and_bars(tempo, line, matras):
    struck = onsets_s(sound(line, sa_hz=165.0, tempo=tempo))
    assert struck == pytest.approx(np.array(matras) * 60 / tempo, abs=0.002)


@pytest.mark.parametrize("line", ["S . R", "S/m . R", "r~~ . R", "{SR} . R"])
def test_a_rest_damps_the_string(line):
    samples = sound(line)
    ringing, damped = level_db(samples, 0.9, 0.99), level_db(samples, 1.06, 1.99)
    assert damped < ringing - 50


@pytest.mark.parametrize("sa_hz", LOW_AND_HIGH_HZ)
@pytest.mark.parametrize(
    "line",
    ["S/m\\S", "S<R>S", "{Sm} -", "r~~ -", "S//P -", "(gRSN,)S -", "P,/S N,>D, -", "{S'm'} -"],
)
def test_no_ornament_clicks(sa_hz, line):
    samples = sound(line, sa_hz=sa_hz, sparsh_s=0.004, krintan_s=0.004)
    struck = onsets_s(samples)
    later = np.abs(high_band(np.pad(samples, 4096), 18_000.0))
    for begun, ended in zip(struck, [*struck[1:], len(samples) / SAMPLE_RATE], strict=True):
        quiet = later[
            4096 + round((begun + 0.3) * SAMPLE_RATE) : 4096 + round((ended - 0.01) * SAMPLE_RATE)
        ]
        assert quiet.max() < 10 ** (-75 / 20)
