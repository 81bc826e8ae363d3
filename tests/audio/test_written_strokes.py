"""Strokes that are written stronger, softer, brighter or rounder, by ear.

Loudness is BS.1770's (pyloudnorm's filters), brightness the centroid of the power spectrum, pitch
the line of the spectrum; nothing here reads a stroke's fields.
"""

from __future__ import annotations

import numpy as np
import pytest

from audio import render
from audio.format import SAMPLE_RATE
from audio.playing import LOUD_DB, score_of
from audio.sargam import parse
from audio.tuning import EQUAL
from quizzes.fresh import Fresh
from quizzes.ragas.sounding import varied
from tests.audio.meters import centroid_hz, cents_between, fft_pitch, k_weighted_lufs, peak_dbtp

SAS_HZ = (130.0, 277.18)
SWARAS = ("m,", "S", "P", "R'")
MATRA_S = 1.5


def played(text, sa_hz, *, seed=None):
    score = score_of(parse(text), EQUAL, sa_hz=sa_hz, matras_per_min=60.0 / MATRA_S)
    return render.render(score if seed is None else varied(Fresh("", seed), score)).astype(float)


def matra(samples, number):
    return samples[round(number * MATRA_S * SAMPLE_RATE) :][: round(1.3 * SAMPLE_RATE)]


@pytest.mark.parametrize("sa_hz", SAS_HZ)
@pytest.mark.parametrize("swara", SWARAS)
def test_a_stroke_sounds_as_much_stronger_or_softer_as_is_said_and_nothing_else(swara, sa_hz):
    heard = played(f"{swara} {swara}^ {swara}_ {swara}", sa_hz)
    loud = [k_weighted_lufs(matra(heard, at), 1.2) for at in range(4)]
    assert loud[1] - loud[0] == pytest.approx(LOUD_DB, abs=0.1)
    # The strong stroke before it is still being damped, which adds a little.
    assert loud[0] - loud[2] == pytest.approx(LOUD_DB, abs=0.3)
    assert loud[3] == pytest.approx(loud[0], abs=0.1)
    bright = [centroid_hz(matra(heard, at)) for at in range(4)]
    assert np.ptp(np.log2(bright)) < 0.05
    assert peak_dbtp(heard) < -1.0


@pytest.mark.parametrize("sa_hz", SAS_HZ)
@pytest.mark.parametrize("swara", SWARAS)
def test_a_stroke_sounds_brighter_or_rounder_and_as_loud(swara, sa_hz):
    heard = played(f"{swara} {swara}* {swara}o {swara}", sa_hz)
    centres = [np.log2(centroid_hz(matra(heard, at))) for at in range(4)]
    # Practised ears hear a few per cent (from memory); a fifth is missed by nobody (assumption).
    assert centres[1] - centres[0] > np.log2(1.2)
    assert centres[0] - centres[2] > np.log2(1.2)
    assert abs(centres[3] - centres[0]) < 0.05
    loud = [k_weighted_lufs(matra(heard, at), 1.2) for at in range(4)]
    assert np.ptp(loud) < 0.5


@pytest.mark.parametrize("sign", ["^", "_", "*", "o"])
def test_the_pitch_is_the_same_however_it_is_struck(sign):
    heard = played(f"P{sign} P", 196.0)
    hz = 196.0 * 2 ** (7 / 12)
    for at in range(2):
        assert abs(cents_between(fft_pitch(matra(heard, at)[8000:], hz), hz)) < 0.2


def test_a_meend_has_the_strength_of_its_stroke_to_its_end():
    plain, strong = (played(f"S{sign}/G P", 196.0) for sign in ("", "^"))
    level = [10 * np.log10(np.mean(each[: 2 * SAMPLE_RATE // 3] ** 2)) for each in (plain, strong)]
    assert level[1] - level[0] == pytest.approx(LOUD_DB, abs=0.2)
    assert np.allclose(matra(plain, 2), matra(strong, 2), atol=0.02)


def test_what_is_written_is_still_heard_where_every_stroke_is_drawn_afresh():
    for seed in range(6):
        heard = played("S^ S_ S* So", 196.0, seed=seed)
        loud = [k_weighted_lufs(matra(heard, at), 1.2) for at in range(2)]
        assert loud[0] - loud[1] > 1.5 * LOUD_DB
        bright = [centroid_hz(matra(heard, at)) for at in (2, 3)]
        assert bright[0] > 1.3 * bright[1]
