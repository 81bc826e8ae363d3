"""What a question of a deck sounds: a line of sargam, a recording, a theka, or nothing."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from audio.errors import RecordingError, SargamError, TuningError
from audio.line import Line
from audio.sargam import parse
from audio.tuning import Swara, load_tuning
from quizzes.decks.collecting import Part, such_as
from quizzes.decks.deck import DRONES, Cue
from quizzes.decks.limits import (
    LONGEST_CUE_S,
    LONGEST_LINE,
    LONGEST_NAME,
    LONGEST_RECORDING_S,
    LONGEST_SARGAM,
    MOST_CYCLES,
    OCTAVES,
    TEMPOS,
)
from quizzes.fields import shown
from quizzes.talas import Tala

Lookup = Callable[[str], float] | None
"""Seconds of the recording of this name; raises KeyError where there is none, RecordingError where
it is damaged."""

SOUNDS = ("sargam", "recording", "theka")
KEYS = (*SOUNDS, "cycles", "tempo", "tuning", "voice", "drone")
USUAL = ("tuning", "tempo", "voice", "drone")
"""What a deck may say of all its cues at once."""
TUNINGS = ("just", "equal")
VOICES = ("sitar", "string")
USUAL_TEMPO = 60.0
"""By which the length of a cue is judged where it has no tempo of its own."""

_ENDINGS = (".wav", ".flac", ".mp3", ".ogg")


def usual_of(part: Part) -> Cue:
    """Silence, with what the deck says of all cues."""
    return _ways(part, Cue())


def cue_of(part: Part, usual: Cue, talas: Mapping[str, Tala], recording: Lookup) -> Cue:
    """The cue of a question; silence where it has none, or where it is wrong."""
    named = [field for field in SOUNDS if field in part]
    for field in named[1:]:
        said = f"stands beside {named[0]}, and only one of them can sound"
        part.fault(field, said, f"leave out {field} or {named[0]}")
    cue = _ways(part, usual)
    if "cycles" in part and part.lacks("theka"):
        said = "is said of a theka, and there is none"
        part.fault("cycles", said, 'write theka = "tintal" beside it, or leave it out')
    if named[:1] == ["sargam"]:
        return _with_sargam(part, cue)
    if named[:1] == ["recording"]:
        return _with_recording(part, cue, recording)
    return _with_theka(part, cue, talas) if named else cue


def _ways(part: Part, cue: Cue) -> Cue:
    """The cue with tempo, tuning, voice and drone as this table has them."""
    tempo = part.number("tempo", *TEMPOS)
    if tempo is not None:
        cue = replace(cue, tempo=tempo)
    if "tuning" in part and (tuning := _tuning(part)):
        cue = replace(cue, tuning=tuning)
    voice, drone = _word(part, "voice", VOICES), _word(part, "drone", DRONES)
    return replace(cue, voice=voice or cue.voice, drone=drone or cue.drone)


def _word(part: Part, field: str, known: Sequence[str]) -> str:
    """One of the words that are known; "" where it is another, or left out."""
    word = part.text(field, most=LONGEST_NAME) if field in part else ""
    if word and word not in known:
        part.fault(field, f"{shown(word)} is not known", such_as(word, known))
        return ""
    return word


def _tuning(part: Part) -> str:
    text = part.text("tuning", most=LONGEST_LINE)
    remedy = 'write just, equal, or "places" and twelve ratios or cents, from 1/1 on'
    if text and text not in TUNINGS and not text.startswith("places "):
        part.fault("tuning", f"{shown(text)} is not known", remedy)
        return ""
    try:
        if text:
            load_tuning(text)
    except (TuningError, ArithmeticError, ValueError):
        part.fault("tuning", "the places of its swaras cannot be used", remedy)
        return ""
    return text


def line_in(part: Part, text: str, field: str, *inside: str | int) -> Line | None:
    """The line of sargam that a field holds; None, and told, where it cannot be played."""
    try:
        line = parse(text)
    except SargamError as error:
        message = str(error).split("\n")[0]
        wrong, _, remedy = message.partition("; ")
        where = f"sign {error.position + 1} of {_excerpt(text, error.position)}"
        part.fault(field, f"at {where}: {wrong}", remedy or "mend the line there", *inside)
        return None
    outside = next((each for each in _sounding(line) if not _in_reach(each)), None)
    if outside is not None:
        said = f"{outside} lies beyond the three saptaks from S, to N'"
        remedy = f"write it within them, such as {Swara(outside.semitone)}"
        part.fault(field, said, remedy, *inside)
        return None
    return line


def _excerpt(text: str, position: int) -> str:
    """The line, or what stands around the sign at fault where it is long."""
    if len(text) <= LONGEST_NAME:
        return f"“{text}”"
    begin = max(0, position - 20)
    return f"“{'…' * (begin > 0)}{text[begin : position + 20]}…”"


def _sounding(line: Line) -> list[Swara]:
    found = []
    for note in line.notes():
        found += [*note.tone.touches, note.swara]
        found += [] if note.tone.shaken is None else [note.tone.shaken]
    return found


def _in_reach(swara: Swara) -> bool:
    return OCTAVES[0] <= swara.octave <= OCTAVES[1]


def _with_sargam(part: Part, cue: Cue) -> Cue:
    text = part.text("sargam", most=LONGEST_SARGAM, remedy='write a line such as "N, R G"')
    line = line_in(part, text, "sargam") if text else None
    if line is None:
        return cue
    check_length(part, "sargam", float(line.matras), cue.tempo)
    return replace(cue, sargam=text)


def check_length(part: Part, field: str, matras: float, tempo: float, *inside: str | int) -> None:
    """Note what would sound for too long; `tempo` 0 is that of Kaan."""
    seconds = matras * 60.0 / (tempo or USUAL_TEMPO)
    if seconds > LONGEST_CUE_S:
        said = f"sounds for {seconds:.0f} seconds at {tempo or USUAL_TEMPO:g} matras a minute"
        remedy = f"shorten it, or raise tempo: at most {LONGEST_CUE_S:g} are played"
        part.fault(field, said, remedy, *inside)


def _with_recording(part: Part, cue: Cue, lookup: Lookup) -> Cue:
    name = part.text("recording", most=LONGEST_NAME, remedy='write it such as "phrase.wav"')
    if not name:
        return cue
    if re.search(r'[/\\:*?"<>|]', name) or name.startswith("."):
        said = f"{name} is no name of a file alone"
        part.fault("recording", said, 'write the name without folders, such as "phrase.wav"')
        return cue
    if not name.lower().endswith(_ENDINGS):
        said = f"{name} ends in none of {', '.join(_ENDINGS)}"
        part.fault("recording", said, "name the file of a recording, with its ending")
        return cue
    seconds = 0.0
    if lookup is not None:
        try:
            seconds = lookup(name)
        except KeyError:
            said = f"{name} is not among the recordings"
            part.fault("recording", said, "bring that recording in, or name one that is there")
            return cue
        except RecordingError as error:
            wrong, _, remedy = str(error).removeprefix(f"{error.file}: ").partition(": ")
            part.fault("recording", f"{name}: {wrong}", remedy or "bring that recording in again")
            return cue
    if seconds > LONGEST_RECORDING_S:
        said = f"{name} sounds for {seconds:.0f} seconds"
        part.fault("recording", said, f"cut it: at most {LONGEST_RECORDING_S:g} are played")
    # It has a Sa of its own, with which a drone for all cues would clash.
    drone = cue.drone if "drone" in part else ""
    return replace(cue, recording=name, seconds=seconds, drone=drone)


def _with_theka(part: Part, cue: Cue, talas: Mapping[str, Tala]) -> Cue:
    word = part.text("theka", most=LONGEST_NAME, remedy='name a tala, such as "tintal"')
    cycles = part.number("cycles", 1, MOST_CYCLES, whole=True)
    if not word:
        return cue
    if word not in talas:
        part.fault("theka", f"{word} is no tala known here", such_as(word, talas))
        return cue
    cue = replace(cue, theka=word, cycles=int(cycles or 1))
    check_length(part, "theka", talas[word].matras * cue.cycles, cue.tempo)
    return cue
