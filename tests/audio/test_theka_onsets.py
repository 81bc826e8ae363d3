"""Every stroke of a theka cue sounds within 2 ms of where the tala's file has it, at any tempo.

What is wanted is reckoned in Fractions from the bols of the file (`tala_oracle`); what is heard is
found in the sound alone (`meters.drum_onsets`, tried in `test_tabla`).
"""

import math
import random
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from audio.format import SAMPLE_RATE
from audio.render import render
from quizzes.fresh import Fresh
from quizzes.question import Setting
from quizzes.talas import ThekaText, talas
from quizzes.talas.cues import theka_cue
from tests.audio.meters import drum_onsets
from tests.quizzes import tala_oracle as oracle

SA_HZ = 277.18
# From the slowest vilambit to faster than drut is played (common practice: 10 to 320 or so).
TEMPOS = (12, 22, 37, 60, Fraction(923, 10), 120, 180, Fraction(2604, 10), 400, 600)
LISTENED_S = 0.9
CLOSEST_S = 0.014
"""Strokes as close are one to the detector; no hand plays them closer."""
MOST_MS, USUAL_MS = 2.0, 0.5
"""How far off the worst may be, and 95 in 100."""

LINES = [(told.id, bols) for told in oracle.known().values() for bols in told.lines()]


def matras_at(tempo, least=2):
    return max(least, math.ceil(LISTENED_S * tempo / 60))


def cue_of(tala, bols, tempo, *, seed=0):
    """From a matra at random, about a second of it."""
    begins = random.Random(f"{bols} {tempo} {seed}").randrange(oracle.length_of(bols))
    cue = theka_cue(
        Fresh(tala, seed),
        Setting(SA_HZ),
        talas()[tala],
        theka=ThekaText(bols, "", ""),
        matras=matras_at(tempo),
        matras_per_min=Fraction(tempo),
        from_place=begins,
    )
    assert cue.from_place == begins
    return cue


def wanted_s(cue, bols, tempo):
    """Exact seconds of all strokes, without the lead."""
    return [
        second
        for second, _ in oracle.onsets(
            bols, begins=cue.from_place, matras=Fraction(cue.matras), per_min=Fraction(tempo)
        )
    ]


def off_ms(score, wanted):
    """How late each stroke is heard."""
    heard = drum_onsets(render(score, drone=False)) / SAMPLE_RATE - score.lead_s
    assert len(heard) == len(wanted)
    return 1000 * (heard - np.array(wanted, float))


def lines_at(tempo, every):
    """Some thekas, others at each tempo: over all tempos each is heard, of the slow ones a few."""
    turn = TEMPOS.index(tempo)
    some = LINES[turn % every :: every]
    return some if tempo > 30 else some[: len(some) // 3 + 1]


def all_off_ms(tempo, lines):
    """Over thekas of which the strokes are not too close at this tempo."""
    off = []
    for tala, bols in lines:
        cue = cue_of(tala, bols, tempo)
        wanted = wanted_s(cue, bols, tempo)
        if len(wanted) > 1 and np.diff(np.array(wanted, float)).min() < CLOSEST_S:
            continue
        off.extend(off_ms(cue.score, wanted) if wanted else ())
    return np.array(off)


@pytest.mark.parametrize("tempo", TEMPOS)
def test_every_stroke_of_a_theka_cue_is_heard_where_its_file_has_it(tempo):
    off = np.abs(all_off_ms(tempo, lines_at(tempo, len(TEMPOS))))
    assert len(off) > 4
    assert off.max() < MOST_MS
    assert np.percentile(off, 95) < USUAL_MS


def test_after_a_thousand_matras_no_stroke_has_drifted():
    # A third of a matra a second: no float holds it.
    tempo, bols = Fraction(1000, 3), talas()["tintal"].theka
    cue = theka_cue(
        Fresh("tintal", 0), Setting(SA_HZ), talas()["tintal"], matras=1024, matras_per_min=tempo
    )
    exact = oracle.onsets(bols, begins=Fraction(0), matras=Fraction(1024), per_min=tempo)
    late = [
        abs(Fraction(stroke.onset_s) - at)
        for stroke, (at, _) in zip(cue.score.tabla, exact, strict=True)
    ]
    assert max(late) < Fraction(1, 10**12)
    since = cue.score.tabla[-40].onset_s
    last = replace(
        cue.score,
        tabla=tuple(replace(s, onset_s=s.onset_s - since) for s in cue.score.tabla[-40:]),
    )
    wanted = [float(at) - since for at, _ in exact[-40:]]
    assert np.abs(off_ms(last, wanted)).max() < MOST_MS


def test_a_stroke_three_ms_off_would_be_noticed():
    cue = cue_of("tintal", talas()["tintal"].theka, 180)
    moved = [
        replace(stroke, onset_s=stroke.onset_s + 0.003 * (at == 2))
        for at, stroke in enumerate(cue.score.tabla)
    ]
    off = off_ms(replace(cue.score, tabla=tuple(moved)), wanted_s(cue, cue.theka.bols, 180))
    assert np.flatnonzero(np.abs(off) > MOST_MS).tolist() == [2]
