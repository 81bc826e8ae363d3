"""An ear for the stages of a performance: from the sound of a passage alone, what is heard in it.

It knows how one stroke of each string and drum sounds by itself, as any student does, and the
student's Sa to within a few semitones; of the passage it has the samples and nothing else.

Onsets: rises of a log-compressed spectrum, with a maximum filter against glides (spectral flux:
Dixon 2006, Proc. DAFx; Böck & Widmer 2013, Proc. DAFx). What struck: the known stroke to which the
power that has come with an onset is most alike, by the cosine. Pulse: the autocorrelation of the
onset strength (Scheirer 1998, J. Acoust. Soc. Am. 103, 588; as a measure of how clear a pulse is:
Lartillot, Eerola, Toiviainen & Fornari 2008, Proc. ISMIR; to part alap from jor and jhala in
recordings of sitar and sarod: Vinutha, Sankagiri, Ganguli & Rao 2016, Proc. ISMIR). Loudness:
ITU-R BS.1770 by pyloudnorm.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

import numpy as np
import pyloudnorm
from scipy.ndimage import gaussian_filter1d, maximum_filter1d, median_filter, minimum_filter1d
from scipy.signal import find_peaks, resample_poly

from audio.format import SAMPLE_RATE
from audio.mizrab import chikari_strokes
from audio.render import render
from audio.score import Score, Stroke, TablaStroke

EVERY = 4
RATE = SAMPLE_RATE / EVERY
"""Nothing above 5.5 kHz is listened to."""
HOP = 110
STEP_S = HOP / RATE
SHORT, LONG, BINS = 512, 1024, 2048
"""Windows of 46 ms for when and of 93 ms for what, the latter padded."""
LOWEST_HZ, HIGHEST_HZ = 60.0, 4500.0
REFERENCE_SA_HZ = 277.18
"""The Sa at which single strokes have been heard (C sharp 4, common practice)."""
SA_MOVES = 3.5
"""Semitones by which the Sa of a passage may lie beside the student's."""
LISTENED_LUFS = -24.0
"""Everything is turned up or down to this before it is listened to."""
GLIDE_CENTS = 50
"""A partial may move so far in two steps and is not struck anew."""
OCTAVES_HZ = (125.0, 250.0, 500.0, 1000.0, 2000.0)
"""Where each begins."""
APART = 9
"""Steps: two blows within 90 ms are one, as are a string and the touch that comes after it."""
LEAST_RISE, LEAST_SHARE = 3.0, 0.12
"""Of the summed log spectrum, and beside the stronger onsets of the passage (80th percentile)."""
BASS_HZ = 66.0, 113.0
"""Where the bayan speaks and the playing string does not: its low Sa is 116 Hz at least, as long
as the student's Sa is that of a sitar."""
BASS_SHARE = 0.1
"""Of the loudest partial of the passage: as strong as that, it is a drum."""
CLEARLY_A_NOTE = -0.16
"""So much less like the chikari than like a played string."""
LEAST_STRING = 0.6
"""Beside a drum: the string's share of the blow, and how much better the two tell it than a drum
alone, in sum; drums alone stay below it nineteen times in twenty (measured)."""
NOTE_BEFORE_CHIKARI, CHIKARI_BEFORE_DRUM = 0.1, 0.04
"""By so much, in the cosine, the one has to tell a blow beside a drum better than the other (where
single strokes over a theka are told apart best)."""
PULSE_S = 0.12, 2.0
"""Periods that can be a pulse: 30 to 500 a minute."""
BEATS = 3
"""A pulse comes again after one, two and three periods."""
LATE_S = 0.02
"""By how much a beat may be late or early (half of what is heard as together: assumption)."""
NEARLY = 0.8
LEAST_PULSE = 0.4
"""See `test_stage_passages_heard`, where it is held to strokes thrown at random."""


@dataclass(frozen=True)
class Stricken:
    """One blow that is heard: "string", "chikari" or "drum", and the pitch of the string in
    semitones from Sa, None for the others."""

    at_s: float
    what: str
    steps: float | None = None


@dataclass(frozen=True)
class Listened:
    """What is heard in a passage."""

    sa_hz: float
    blows: tuple[Stricken, ...]
    lasts_s: float
    """From the first blow to the end."""
    pulse: float
    """From 0 (none) to 1: how much of the onsets comes again after a period, twice it, thrice."""
    periods_s: tuple[float, ...]
    """At which nearly as much comes again, the shortest first."""
    notes_periods_s: tuple[float, ...]
    """The same of the playing string alone."""
    tabla: bool
    register: float
    """The median pitch of the playing string, in semitones from Sa."""
    low: float
    high: float
    """Its 10th and 90th percentile."""
    way: float
    """By how much its median in the last third lies above that in the first."""
    strokes: float
    """On the playing string in a second."""
    blows_a_second: float
    chikari: float
    """Share of the blows on strings that fall on the chikari."""
    lufs: float

    @property
    def tempo(self) -> float:
        """Of the shortest period, in a minute."""
        return 60.0 / self.periods_s[0] if self.periods_s else 0.0

    @property
    def notes_tempo(self) -> float:
        return 60.0 / self.notes_periods_s[0] if self.notes_periods_s else 0.0

    @property
    def has_pulse(self) -> bool:
        return self.pulse >= LEAST_PULSE


def listen(samples: np.ndarray, *, near_sa_hz: float) -> Listened:
    """Hear a passage: mono float32 at 44.1 kHz. `near_sa_hz` is the student's Sa."""
    lufs = loudness(samples)
    alike = np.asarray(samples, np.float32) * np.float32(10 ** ((LISTENED_LUFS - lufs) / 20))
    sound = resample_poly(alike, 1, EVERY)
    strength = onset_strength(sound)
    at = onsets(strength)
    sa_hz = sa_of(sound, near_sa_hz)
    tabla = has_tabla(sound)
    blows = tuple(_named(sound, at * STEP_S, sa_hz, tabla=tabla))
    strings = [blow for blow in blows if blow.what != "drum"]
    notes = [blow for blow in blows if blow.what == "string"]
    steps = np.array([blow.steps for blow in notes] or [0.0])
    lasts_s = max(len(sound) / RATE - at[0] * STEP_S, 1.0) if len(at) else 1.0
    pulse, periods_s = pulse_of(at * STEP_S, strength[at])
    _, notes_periods_s = pulse_of(np.array([blow.at_s for blow in notes]), np.ones(len(notes)))
    return Listened(
        sa_hz=sa_hz,
        blows=blows,
        lasts_s=lasts_s,
        pulse=pulse,
        periods_s=periods_s,
        notes_periods_s=notes_periods_s,
        tabla=tabla,
        register=float(np.median(steps)),
        low=float(np.percentile(steps, 10)),
        high=float(np.percentile(steps, 90)),
        way=_way(steps),
        strokes=len(notes) / lasts_s,
        blows_a_second=len(blows) / lasts_s,
        chikari=1 - len(notes) / len(strings) if strings else 0.0,
        lufs=lufs,
    )


def _way(steps: np.ndarray) -> float:
    third = max(1, len(steps) // 3)
    return float(np.median(steps[-third:]) - np.median(steps[:third]))


def loudness(samples: np.ndarray) -> float:
    """Integrated loudness, LUFS."""
    return float(pyloudnorm.Meter(SAMPLE_RATE).integrated_loudness(np.asarray(samples, np.float64)))


def onset_strength(sound: np.ndarray) -> np.ndarray:
    """By how much the log spectrum rises in each step, above what it usually does there; nothing
    where no octave becomes louder, so that what only moves is not struck."""
    padded = np.pad(sound, (SHORT // 2, SHORT))
    frames = np.lib.stride_tricks.sliding_window_view(padded, SHORT)[::HOP]
    spectrum = np.abs(np.fft.rfft(frames * np.hanning(SHORT).astype(np.float32)))
    log = np.log1p(3.0 * spectrum)
    before = maximum_filter1d(log, 3, axis=1)
    bins = np.arange(log.shape[1])
    for cents in (-GLIDE_CENTS, GLIDE_CENTS):
        moved = np.minimum(np.round(bins * 2 ** (cents / 1200)).astype(int), bins[-1])
        before = np.maximum(before, log[:, moved])
    rise = np.zeros(len(log))
    rise[2:] = np.maximum(log[2:] - before[:-2], 0.0).sum(axis=1)
    strength = np.maximum(rise - median_filter(rise, size=21), 0.0)
    return np.where(_grows(spectrum**2), strength, 0.0)


def _grows(power: np.ndarray) -> np.ndarray:
    """In which steps some octave becomes louder, and all of them in the mean hardly softer."""
    hz = np.fft.rfftfreq(SHORT, 1 / RATE)
    octaves = [power[:, (hz >= low) & (hz < 2 * low)].sum(axis=1) for low in OCTAVES_HZ]
    level_db = 10 * np.log10(np.array(octaves) + 1e-4)
    after = np.roll(maximum_filter1d(level_db, 3, axis=1), -2, axis=1)
    grown = after - np.roll(minimum_filter1d(level_db, 3, axis=1), 3, axis=1)
    return (grown.max(axis=0) > 1.0) & (grown.mean(axis=0) > -0.1)


def onsets(strength: np.ndarray) -> np.ndarray:
    """The steps in which something is struck; the drone's own strings, far weaker, are left out."""
    found, _ = find_peaks(strength, height=LEAST_RISE, distance=APART, prominence=LEAST_RISE / 2)
    if not len(found):
        return found
    return found[strength[found] >= LEAST_SHARE * np.percentile(strength[found], 80)]


def pulse_of(at_s: np.ndarray, strength: np.ndarray) -> tuple[float, tuple[float, ...]]:
    """How clear a pulse onsets have, and the periods in seconds, the shortest first, at which they
    come again nearly as clearly as at the best.

    The autocorrelation of the onset strengths (compressed, each a bump as wide as beats are loose),
    normalised by its value at lag 0 and for the shorter overlap at greater lags; its mean over one,
    two and three periods; the greatest of these over all periods.
    """
    if len(at_s) < 4:
        return 0.0, ()
    step_s = 0.005
    length = int((at_s[-1] - at_s[0]) / step_s) + 1
    curve = np.zeros(length)
    np.add.at(curve, ((at_s - at_s[0]) / step_s).astype(int), np.sqrt(strength))
    wide = gaussian_filter1d(curve, LATE_S / step_s / np.sqrt(2.0), mode="constant")
    size = 2 ** int(np.ceil(np.log2(2 * length)))
    again = np.fft.irfft(np.abs(np.fft.rfft(wide, size)) ** 2)[:length]
    again *= length / np.maximum(length - np.arange(length), length / 4) / again[0]
    lags = np.arange(int(PULSE_S[0] / step_s), int(PULSE_S[1] / step_s))
    beats = [
        np.where(lags * beat < 0.7 * length, again[np.minimum(lags * beat, length - 1)], 0.0)
        for beat in range(1, BEATS + 1)
    ]
    clear = np.mean(beats, axis=0)
    peaks, _ = find_peaks(np.pad(clear, 1))
    peaks = peaks - 1
    if not len(peaks):
        return 0.0, ()
    best = float(clear[peaks].max())
    good = peaks[clear[peaks] >= NEARLY * best]
    return min(best, 1.0), tuple(float(lag * step_s) for lag in lags[good])


def has_tabla(sound: np.ndarray) -> bool:
    """Whether the bass of a drum stands out below the strings, at least twice."""
    frames = np.lib.stride_tricks.sliding_window_view(sound, BINS)[:: BINS // 4]
    spectrum = np.abs(np.fft.rfft(frames * np.hanning(BINS).astype(np.float32)))
    hz = np.fft.rfftfreq(BINS, 1 / RATE)
    bass = spectrum[:, (hz > BASS_HZ[0]) & (hz < BASS_HZ[1])].max(axis=1)
    return int((bass > BASS_SHARE * np.percentile(spectrum.max(axis=1), 90)).sum()) >= 2


def sa_of(sound: np.ndarray, near_hz: float) -> float:
    """Sa as the drone gives it: the series of partials, near the student's Sa, that never stops."""
    size = 4 * BINS
    if len(sound) < size:
        return near_hz
    frames = np.lib.stride_tricks.sliding_window_view(sound, size)[:: size // 2]
    spectrum = np.abs(np.fft.rfft(frames * np.hanning(size).astype(np.float32)))
    always = np.sqrt(np.percentile(spectrum, 20, axis=0))
    hz = np.fft.rfftfreq(size, 1 / RATE)
    tried = near_hz * 2 ** (np.arange(-SA_MOVES, SA_MOVES, 0.05) / 12)
    partials = np.arange(1, 9)[:, None]
    found = np.interp(partials * tried, hz, always)
    found = found + 0.5 * np.interp((partials - 0.5) * tried, hz, always)
    return float(tried[np.argmax(found.sum(axis=0))])


@cache
def known_strokes() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """How single strokes sound: what each is, its pitch in semitones from Sa, and its spectrum just
    after the onset, shape (strokes, bins)."""
    names, steps, scores = [], [], []
    for pitch in range(-17, 26):
        for brightness in (-0.6, 0.0, 0.6):
            stroke = Stroke(0.0, 0.2, ((0.0, 100.0 * pitch),), brightness=brightness)
            names.append("string")
            steps.append(pitch)
            scores.append(Score(REFERENCE_SA_HZ, (stroke,)))
    names.append("chikari")
    steps.append(0)
    scores.append(Score(REFERENCE_SA_HZ, chikari_strokes(0.0, 0.2, sa_hz=REFERENCE_SA_HZ)))
    for bol in ("na", "tin", "tun", "ti", "ra", "tta", "ge", "ke"):
        names.append("drum")
        steps.append(0)
        scores.append(Score(REFERENCE_SA_HZ, (), tabla=(TablaStroke(0.0, bol),)))
    spectra = [_spectrum(resample_poly(render(score), 1, EVERY), 0.006) for score in scores]
    return np.array(names), np.array(steps), np.array(spectra)


def _hz() -> np.ndarray:
    hz = np.fft.rfftfreq(BINS, 1 / RATE)
    return hz[(hz > LOWEST_HZ) & (hz < HIGHEST_HZ)]


def _spectrum(sound: np.ndarray, from_s: float) -> np.ndarray:
    begun = max(int(from_s * RATE), 0)
    part = sound[begun : begun + LONG]
    window = np.hanning(LONG).astype(np.float32)[: len(part)]
    hz = np.fft.rfftfreq(BINS, 1 / RATE)
    return np.abs(np.fft.rfft(part * window, BINS))[(hz > LOWEST_HZ) & (hz < HIGHEST_HZ)]


def _named(sound: np.ndarray, at_s: np.ndarray, sa_hz: float, *, tabla: bool) -> Iterator[Stricken]:
    """What struck at each onset."""
    if not len(at_s):
        return
    names, steps, spectra = known_strokes()
    hz = _hz()
    known = np.array([np.interp(hz * REFERENCE_SA_HZ / sa_hz, hz, each) for each in spectra])
    after = np.array([_spectrum(sound, at + 0.006) for at in at_s])
    before = np.array([_spectrum(sound, at - 0.01 - LONG / RATE) for at in at_s])
    come = np.sqrt(np.maximum(after**2 - before**2, 0.0))
    note, chikari, drum = (names == name for name in ("string", "chikari", "drum"))
    if tabla:
        drums = _unit(known[drum])
        likeness, is_note = _beside_a_drum(_unit(come), drums, _unit(known[note]))
        of_chikari, _ = _beside_a_drum(_unit(come), drums, _unit(known[chikari]))
        of_chikari = of_chikari.max(axis=1)
        is_note &= likeness.max(axis=1) > of_chikari + NOTE_BEFORE_CHIKARI
        of_drum = (_unit(come) @ drums.T).max(axis=1) + CHIKARI_BEFORE_DRUM
        is_chikari = ~is_note & (of_chikari > of_drum)
    else:
        alike = _unit(np.sqrt(come)) @ _unit(np.sqrt(known)).T
        likeness = alike[:, note]
        is_chikari = _are_chikari(
            alike[:, chikari].max(axis=1) - likeness.max(axis=1),
            steps[note][likeness.argmax(axis=1)],
            come,
        )
        is_note = ~is_chikari
    pitch = steps[note][likeness.argmax(axis=1)]
    for at, one, other, low in zip(at_s, is_note, is_chikari, pitch, strict=True):
        if one:
            yield Stricken(float(at), "string", float(low))
        else:
            yield Stricken(float(at), "chikari" if other else "drum")


def _are_chikari(nearer: np.ndarray, steps: np.ndarray, come: np.ndarray) -> np.ndarray:
    """Which blows fall on the chikari: by how much `nearer` these are than the best played string,
    what that would be, and the spectra that came. The chikari are Sa, softer than most of the notes
    and thin below: by Fisher's discriminant of these three, from a thousand of either."""
    hz = _hz()
    level_db = 20 * np.log10(np.linalg.norm(come, axis=1) + 1e-9)
    plain = level_db[nearer < CLEARLY_A_NOTE]
    above_db = level_db - np.median(plain if len(plain) else level_db)
    low = (come[:, (hz > 100) & (hz < 1200)] ** 2).sum(axis=1) / (come**2).sum(axis=1)
    seems = 13.5 * nearer - 0.55 * above_db - 1.4 * np.log10(low + 1e-6)
    sa_or_pa = (steps % 12 == 0) | (steps % 12 == 7)
    return np.where(sa_or_pa, seems > 1.4, nearer >= 0.0)


def _beside_a_drum(
    come: np.ndarray, drums: np.ndarray, strings: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """How much of what came is each string with the drum that suits best, shape (onsets, strings);
    and whether a string has to be among it, shape (onsets,). All spectra of length 1."""
    drum, string = (come @ drums.T)[:, :, None], (come @ strings.T)[:, None, :]
    shared = drums @ strings.T
    of_drum, of_string = drum - string * shared, string - drum * shared
    both = (drum**2 + string**2 - 2 * drum * string * shared) / (1 - shared**2)
    both = np.sqrt(np.where((of_drum > 0) & (of_string > 0), both, 0.0))
    both = np.maximum(both, string)
    one, other = np.divmod(both.reshape(len(come), -1).argmax(axis=1), len(strings))
    each = np.arange(len(come))
    part = np.maximum(of_string[each, one, other], 0.0)
    share = part / (part + np.maximum(of_drum[each, one, other], 0.0) + 1e-9)
    gain = both[each, one, other] - drum.max(axis=(1, 2))
    return both.max(axis=1), share + gain > LEAST_STRING


def _unit(spectra: np.ndarray) -> np.ndarray:
    return spectra / (np.linalg.norm(spectra, axis=1, keepdims=True) + 1e-9)
