"""The right hand, by ear: the mizrab's strokes and the chikari, as `assets/mizrab.toml` has them.

Nothing here reads a stroke's fields but those of the file: loudness is BS.1770's (pyloudnorm's
filters), brightness the centroid of the power spectrum, pitch the line of the spectrum, and
strokes are counted by energy.
"""

from __future__ import annotations

import numpy as np
import pytest

from audio import Score, render
from audio.format import SAMPLE_RATE
from audio.mizrab import chikari_strokes, mizrab, pitches_in, read_bols, strokes_of
from audio.playing import score_of
from audio.sargam import parse
from audio.tuning import EQUAL
from tests.audio.meters import (
    centroid_hz,
    cents_between,
    fft_pitch,
    k_weighted_lufs,
    onsets_s,
)

SAS_HZ = (130.0, 196.0, 277.18, 300.0)
AT_ONCE_S = 0.002
"""Within so much a stroke comes when it should; the meter hears it up to 1 ms late."""


def struck(text, *, cents=0.0, sa_hz=196.0, tempo=60.0):
    bols = read_bols(text)
    pitches = [cents] * pitches_in(bols)
    strokes = strokes_of(bols, pitches, sa_hz=sa_hz, matras_per_min=tempo)
    return render.render(Score(sa_hz, strokes)).astype(np.float64)


def written(line, *, sa_hz=196.0, tempo=60.0):
    score = score_of(parse(line), EQUAL, sa_hz=sa_hz, matras_per_min=tempo)
    return render.render(score).astype(np.float64)


def seconds(samples, from_s, to_s):
    return samples[round(from_s * SAMPLE_RATE) : round(to_s * SAMPLE_RATE)]


# Da and ra


@pytest.mark.parametrize("sa_hz", SAS_HZ)
@pytest.mark.parametrize("cents", [-1200.0, -500.0, 0.0, 700.0, 1900.0])
def test_da_is_louder_than_ra_by_what_the_file_says(sa_hz, cents):
    da, ra = (struck(bol, cents=cents, sa_hz=sa_hz, tempo=40.0) for bol in ("da", "ra"))
    ways = mizrab().ways
    asked = ways["in"].level_db - ways["out"].level_db
    assert asked > 0
    found = k_weighted_lufs(da, 1.2) - k_weighted_lufs(ra, 1.2)
    assert found == pytest.approx(asked, abs=0.1)


@pytest.mark.parametrize("sa_hz", SAS_HZ)
@pytest.mark.parametrize("cents", [-1200.0, -500.0, 0.0, 700.0, 1900.0])
def test_da_is_brighter_than_ra(sa_hz, cents):
    da, ra = (struck(bol, cents=cents, sa_hz=sa_hz, tempo=40.0) for bol in ("da", "ra"))
    ways = mizrab().ways
    # From the dullest to the brightest, -1 to 1, the centroid rises by half to all of itself.
    asked = ways["in"].brightness - ways["out"].brightness
    for span in ((0.0, 0.1), (0.1, 0.5), (0.0, 1.2)):
        rise = np.log2(centroid_hz(seconds(da, *span)) / centroid_hz(seconds(ra, *span)))
        assert 0.25 * asked < rise < 0.75 * asked


# Bols in time


@pytest.mark.parametrize("sa_hz", SAS_HZ)
@pytest.mark.parametrize("tempo", [20.0, 60.0, 150.0])
@pytest.mark.parametrize(
    ("text", "matras"),
    [
        ("da ra", (0, 1)),
        ("dir da", (0, 1 / 2, 1)),
        ("dar da", (0, 1, 3 / 2)),
        ("dir dir dar ra", (0, 1 / 2, 1, 3 / 2, 2, 3, 7 / 2)),
        ("dir - da", (0, 1 / 2, 2)),
    ],
)
def test_each_bol_strikes_when_its_syllable_says(sa_hz, tempo, text, matras):
    heard = onsets_s(struck(text, sa_hz=sa_hz, tempo=tempo))
    assert heard == pytest.approx(np.array(matras) * 60.0 / tempo, abs=AT_ONCE_S)


@pytest.mark.parametrize("tempo", [20.0, 60.0, 150.0])
def test_a_dra_is_one_quick_sweep_at_any_tempo(tempo):
    heard = onsets_s(struck("dra da", tempo=tempo))
    assert heard == pytest.approx([0.0, 0.07, 60.0 / tempo], abs=AT_ONCE_S)


def test_a_masitkhani_is_as_many_strokes_as_its_bols_have():
    gat = next(gat for gat in mizrab().gats if gat.name == "masitkhani")
    heard = onsets_s(struck(gat.bols, tempo=gat.laya[1]))
    # dir da dir da ra da da ra: eight matras, two of them struck twice.
    assert heard == pytest.approx([0, 0.5, 1, 2, 2.5, 3, 4, 5, 6, 7], abs=AT_ONCE_S)


# Chikari


@pytest.mark.parametrize("sa_hz", [130.0, 165.0, 220.0, 247.0, 277.18, 300.0])
def test_the_chikari_are_two_strings_at_sa_near_c_sharp_4_and_the_octave_above(sa_hz):
    lower, upper = (
        render.render(Score(sa_hz, (stroke,)))[4000:]
        for stroke in chikari_strokes(0.0, 1.5, sa_hz=sa_hz)
    )
    # C sharp 4 is 277.18 Hz; the Sa nearest to it is at most half an octave away.
    near_hz = sa_hz * 2 ** round(np.log2(277.18 / sa_hz))
    assert 277.18 / 2**0.5 < near_hz < 277.18 * 2**0.5
    assert abs(cents_between(fft_pitch(lower, near_hz), near_hz)) < 1.0
    assert abs(cents_between(fft_pitch(upper, 2 * near_hz), 2 * near_hz)) < 1.0
    # Nothing sounds below either: the octaves are not mixed up.
    for string, hz in ((lower, near_hz), (upper, 2 * near_hz)):
        spectrum = np.abs(np.fft.rfft(string * np.hanning(len(string))))
        below = spectrum[: int(0.75 * hz * len(string) / SAMPLE_RATE)]
        assert below.max() < 0.03 * spectrum.max()


@pytest.mark.parametrize("sa_hz", SAS_HZ)
def test_both_chikari_together_stand_a_little_under_a_note(sa_hz):
    both = render.render(Score(sa_hz, chikari_strokes(0.0, 1.5, sa_hz=sa_hz)))
    under = k_weighted_lufs(struck("da", sa_hz=sa_hz, tempo=40.0), 1.2) - k_weighted_lufs(both, 1.2)
    assert 0.5 < under < 6.0


@pytest.mark.parametrize("sa_hz", SAS_HZ)
@pytest.mark.parametrize(("swara", "cents"), [("P", 700), ("R", 200), ("D,", -300)])
def test_the_playing_string_rings_on_under_the_chikari(sa_hz, swara, cents):
    hz = sa_hz * 2 ** (cents / 1200)
    alone, under = (written(line, sa_hz=sa_hz) for line in (f"{swara} -", f"{swara}ccc -"))
    assert len(onsets_s(under)) == 4
    # Its fundamental, where the chikari have no partial, fades as it would alone. (A line in
    # which several strings sound at once is turned down as a whole, so levels are beside the
    # first one.)
    faded = []
    for samples in (alone, under):
        levels = []
        for at_s in (0.03, 0.3, 0.55, 0.8, 1.2):
            span = seconds(samples, at_s, at_s + 0.2)
            turn = np.exp(-2j * np.pi * hz * np.arange(len(span)) / SAMPLE_RATE)
            levels.append(20 * np.log10(abs(np.sum(span * np.hanning(len(span)) * turn))))
        faded.append(np.array(levels[1:]) - levels[0])
    assert faded[1] == pytest.approx(faded[0], abs=0.3)


@pytest.mark.parametrize("sa_hz", [130.0, 196.0, 300.0])
@pytest.mark.parametrize("tempo", [200.0, 320.0])
@pytest.mark.parametrize("jhala", mizrab().jhalas, ids=lambda jhala: jhala.name)
def test_a_jhala_strikes_evenly(sa_hz, tempo, jhala):
    bols = ["da" if struck == "note" else struck for struck in jhala.pattern] * 2
    heard = onsets_s(struck(" ".join(bols), sa_hz=sa_hz, tempo=tempo))
    assert len(heard) == len(bols)
    assert heard == pytest.approx(np.arange(len(bols)) * 60 / tempo, abs=AT_ONCE_S)


@pytest.mark.parametrize("sa_hz", [130.0, 300.0])
def test_one_note_and_three_chikari_can_be_written_in_sargam_too(sa_hz):
    heard = onsets_s(written("Pccc Pccc", sa_hz=sa_hz, tempo=75.0))
    assert heard == pytest.approx(0.2 * np.arange(8), abs=AT_ONCE_S)
