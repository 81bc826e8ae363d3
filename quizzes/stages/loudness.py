"""How loud a score will be, known from its onsets, durations and levels alone.

Integrated loudness as in ITU-R BS.1770-5: blocks of 0.4 s, a quarter apart; what lies 10 LU under
the loudness of all blocks above -70 LUFS does not count. A stroke falls from its level by a steady
rate until it is damped; its pitch does not matter, since every note is levelled.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from audio.headroom import safe_gain
from audio.loudness import DRONE_BELOW_NOTE_LU, NOTE_LUFS
from audio.score import Score

STEP_S = 0.1
BLOCK_STEPS = 4
GATE_LUFS, RELATIVE_GATE_LU = -70.0, -10.0

FALLS: dict[str, tuple[float, float]] = {"sitar": (-17.9, 10.5), "chikari": (-19.2, 7.0)}
"""LUFS of a stroke of 0 dB at its onset, and by how many it falls in a second (measured over pitch
and brightness, within 1.5 LU)."""
TABLA = -27.0, 48.0
"""The same of a stroke on the tabla, by and large (measured: dha to ta, the closed ones less)."""
STEPS_OF_LEVELLING, NEAR_LU = 4, 0.03


def integrated_lufs(score: Score) -> float:
    """The integrated loudness of the score over its drone, as it is played."""
    power = _powers(score)
    power = power * safe_gain(score) ** 2
    if score.drone:
        power = power + 10 ** ((NOTE_LUFS - DRONE_BELOW_NOTE_LU + score.drone.level_db) / 10)
    blocks = np.convolve(power, np.full(BLOCK_STEPS, 1 / BLOCK_STEPS), "valid")
    heard = blocks[blocks > 10 ** (GATE_LUFS / 10)]
    gate = heard.mean() * 10 ** (RELATIVE_GATE_LU / 10)
    return float(10 * math.log10(heard[heard > gate].mean()))


def levelled_to(score: Score, lufs: float) -> Score:
    """The score with all strokes and drums turned up or down as one to a loudness."""
    for _ in range(STEPS_OF_LEVELLING):
        off = lufs - integrated_lufs(score)
        if abs(off) < NEAR_LU:
            break
        score = turned(score, off)
    return score


def gain_db(score: Score) -> float:
    """By how much the room for peaks turns a score down."""
    return 20 * math.log10(safe_gain(score))


def made_up(score: Score) -> Score:
    """The score turned up by as much as the room for peaks will then turn it down."""
    found = score
    for _ in range(STEPS_OF_LEVELLING):
        found = turned(score, -gain_db(found))
    return found


def turned(score: Score, db: float) -> Score:
    """All strokes and drums louder by so much."""
    return replace(
        score,
        strokes=tuple([each.louder(db) for each in score.strokes]),
        tabla=tuple([each.louder(db) for each in score.tabla]),
    )


def _powers(score: Score) -> NDArray[np.float64]:
    """Mean power in steps of STEP_S from the first stroke's beginning on."""
    rows = [
        (each.onset_s, each.end_s, lufs + each.level_db, fall)
        for each in score.strokes
        for lufs, fall in (FALLS.get(each.voice, FALLS["sitar"]),)
    ]
    rows += [
        (each.onset_s, each.onset_s + 0.5, TABLA[0] + each.level_db, TABLA[1])
        for each in score.tabla
    ]
    table = np.array(rows)
    onset, end, level, fall = (column[:, None] for column in table.T)
    steps = max(BLOCK_STEPS, math.ceil((score.duration_s - score.lead_s) / STEP_S))
    edges = np.arange(steps + 1)[None, :] * STEP_S
    rate = fall / 10 * math.log(10)
    since = np.clip(edges, onset, end) - onset
    given = 10 ** (level / 10) * (1 - np.exp(-rate * since)) / rate
    return np.asarray(np.diff(given.sum(axis=0)) / STEP_S)
