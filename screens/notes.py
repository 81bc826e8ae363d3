"""Names of the notes that Sa may be set to, with A4 = 440 Hz (ISO 16:1975), as tuners show them."""

from __future__ import annotations

import math

from audio.tuning import SA_HZ_HIGHEST, SA_HZ_LOWEST
from words import say, say_many, to_say

A4_HZ, A4_MIDI = 440.0, 69
NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")


def _hz(midi: int) -> float:
    return float(A4_HZ * 2.0 ** ((midi - A4_MIDI) / 12))


def _midi(sa_hz: float) -> float:
    return A4_MIDI + 12 * math.log2(sa_hz / A4_HZ)


FIRST_MIDI = round(_midi(SA_HZ_LOWEST))
LAST_MIDI = round(_midi(SA_HZ_HIGHEST))
SA_NOTES = tuple(f"{NAMES[midi % 12]}{midi // 12 - 1}" for midi in range(FIRST_MIDI, LAST_MIDI + 1))
"""From the lowest Sa to the highest: G2 to D4."""


def hz_of_note(number: int) -> float:
    """Hertz of a note of `SA_NOTES`, kept within what Sa may be."""
    return min(SA_HZ_HIGHEST, max(SA_HZ_LOWEST, _hz(FIRST_MIDI + number)))


def note_of(sa_hz: float) -> tuple[int, float]:
    """The nearest note of `SA_NOTES`, and how many cents `sa_hz` lies above it."""
    midi = _midi(sa_hz)
    nearest = min(max(round(midi), FIRST_MIDI), LAST_MIDI)
    return nearest - FIRST_MIDI, (midi - nearest) * 100.0


def sa_words(sa_hz: float) -> str:
    """`138.6 Hz, C#3`, and how far beside the note where it is not quite that."""
    number, cents = note_of(sa_hz)
    hz, note = f"{sa_hz:.1f}", SA_NOTES[number]
    beside = round(abs(cents))
    if abs(cents) < 1:
        return say("{hz} Hz, {note}", hz=hz, note=note)
    if cents > 0:
        return say_many(
            "{hz} Hz, {note}, {count} cent above it",
            "{hz} Hz, {note}, {count} cents above it",
            beside,
            hz=hz,
            note=note,
        )
    return say_many(
        "{hz} Hz, {note}, {count} cent below it",
        "{hz} Hz, {note}, {count} cents below it",
        beside,
        hz=hz,
        note=note,
    )


LOUDNESS = (
    (-28.0, to_say("very soft, {db} dB")),
    (-16.0, to_say("soft, {db} dB")),
    (-6.0, to_say("middling, {db} dB")),
    (0.0, to_say("full, {db} dB")),
)
"""How loud it is below so many decibels, which are against full level."""


def volume_words(volume_db: float) -> str:
    """`soft, -20 dB`; decibels against full level."""
    if volume_db >= 0.0:
        return say("0 dB, the most there is")
    told = next(text for below, text in LOUDNESS if volume_db < below)
    return say(told, db=f"{volume_db:.0f}")
