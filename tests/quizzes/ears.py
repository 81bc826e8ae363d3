"""An ear for the left hand: from the pitch of one stroke, in cents every 5 ms, to what was done.

It knows nothing of how a stroke was made: it works alike on the path of a score and on the pitch
that Praat hears in the sound. The bounds follow from what the words mean (a kan is over at once, a
meend glides, a ghaseet rests on frets, a gamak turns fast), not from how our hand is set.
"""

from itertools import pairwise

import numpy as np
import parselmouth
from scipy.signal import find_peaks

from audio.format import SAMPLE_RATE

STEP_S = 0.005
STILL_CENTS = 15.0
TURN_CENTS = 25.0


def pitch_of(stroke):
    """The stroke's own path, read every 5 ms."""
    times, cents = zip(*stroke.path, strict=True)
    return np.interp(np.arange(0.0, stroke.duration_s, STEP_S), times, cents)


def turnings(cents, *, deep=TURN_CENTS):
    """Where the pitch turns from rising to falling or back by more than a shade."""
    peaks, _ = find_peaks(cents, prominence=deep)
    valleys, _ = find_peaks(-cents, prominence=deep)
    return np.sort(np.concatenate([peaks, valleys]))


def turns_hz(cents, turning):
    """Whole turns a second."""
    return (len(turning) - 1) / 2.0 / ((turning[-1] - turning[0]) * STEP_S)


def ornament(cents):
    """The name of what is heard in one stroke, "plain" where nothing is done."""
    if np.ptp(cents) < STILL_CENTS:
        return "plain"
    turning = turnings(cents)
    if len(turning) >= 2:
        return _swing(cents[turning[0] : turning[-1]], turns_hz(cents, turning))
    return "murki" if len(turning) == 1 else _one_way(cents)


def _swing(cents, rate_hz):
    if rate_hz < 3.0:
        return "andolan"
    low, reach = cents.min(), np.ptp(cents)
    at_an_end = np.abs((cents - low) / reach - 0.5) > 0.4
    return "zamzama" if at_an_end.mean() > 0.65 else "gamak"


def _one_way(cents):
    start, end = np.median(cents[:5]), np.median(cents[-20:])
    gone = (cents - start) / (end - start)
    left, there = int(np.argmax(gone > 0.1)), int(np.argmax(gone > 0.9))
    if left * STEP_S < 0.15:
        return "kan"
    if (there - left) * STEP_S <= 0.03:
        return "sparsh" if end > start else "krintan"
    slopes = np.abs(np.diff(gone[left:there]))
    return "ghaseet" if (slopes < 0.25 * slopes.mean()).mean() > 0.4 else "meend"


def change_s(cents):
    """How long a pitch that goes one way takes from leaving its start to reaching its end."""
    gone = (cents - cents[0]) / (cents[-1] - cents[0])
    return (int(np.argmax(gone > 0.98)) - int(np.argmax(gone > 0.02))) * STEP_S


def strokes_heard(samples, *, floor_hz, sa_hz):
    """The pitch of each stroke as Praat hears it: onsets from its intensity, pitch from its
    autocorrelation method. Nothing of the score is known."""
    sound = parselmouth.Sound(np.asarray(samples, np.float64), SAMPLE_RATE)
    loud = sound.to_intensity(minimum_pitch=400.0, time_step=STEP_S)
    level, level_s = loud.values[0], loud.xs()
    rise = np.array([level[i : i + 6].max() - level[max(0, i - 4) : i + 1].min()
                     for i in range(len(level))])  # fmt: skip
    onsets, _ = find_peaks(rise, height=3.5, distance=60)
    heard = sound.to_pitch_ac(
        time_step=STEP_S,
        pitch_floor=floor_hz,
        pitch_ceiling=8 * floor_hz,
        silence_threshold=0.0005,
        voicing_threshold=0.2,
    )
    hz, hz_s = heard.selected_array["frequency"], heard.xs()
    bounds = [*(level_s[at] for at in onsets), level_s[-1]]
    strokes = []
    for begun_s, ended_s in pairwise(bounds):
        inside = (hz_s > begun_s + 0.02) & (hz_s < ended_s - 0.03) & (hz > 0)
        strokes.append(1200.0 * np.log2(hz[inside] / sa_hz))
    return strokes
