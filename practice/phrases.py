"""Phrases that a student has made and likes: kept in the log, so that a teacher has them, too.

Each is a note of its own in the log. One that is let go gets a further note, and that is taken back
by another; nothing is deleted.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from audio.errors import SargamError, TuningError
from audio.line import Line
from audio.playing import RING_S, score_of
from audio.sargam import parse, write
from audio.score import Drone, Score
from audio.tuning import load_tuning, needs_no_file
from practice.note_book import NoteBook, Notes, local_time, number_in
from quizzes.kept import OF_RAGAS
from quizzes.question import Question
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import tuned_to
from scheduler import LogError, Note

PHRASE, LET_GO, TAKEN_BACK = "phrase", "let go", "taken back"
"""The words of their notes."""
USUAL_TEMPO = 72.0
"""Of a phrase made where no tempo was asked, in matras a minute."""
_SA_HZ, _TEMPO = (20.0, 2000.0), (1.0, 1000.0)
"""What a phrase may sound at that came from elsewhere."""
_LONGEST_WISH = 500


@dataclass(frozen=True, slots=True)
class KeptPhrase:
    """A phrase that a student has kept."""

    id: str
    """The uuid of its note."""
    sargam: str
    sa_hz: float
    tempo: float
    """Matras a minute."""
    tuning: str
    """As `audio.tuning.load_tuning` takes it."""
    raga: str
    """The id of the raga that it was made in; "" for none."""
    wish: str
    """What was asked for when it was made."""
    made_at: datetime
    """By the clock on the wall where it was made."""
    device: str
    drone: str = "P"
    """The first string of the drone that it was made over; "" where there was none."""


def phrases_of(notes: Iterable[Note]) -> tuple[KeptPhrase, ...]:
    """The phrases among a student's notes that were not let go, the newest first. What cannot be
    played here, as by another version of this program, is left out."""
    notes = tuple(notes)
    found = {
        note.uuid: phrase
        for note in notes
        if note.what == PHRASE and (phrase := _phrase_of(note)) is not None
    }
    gone = {str(note.data.get("phrase")) for note in _gone(notes)}
    return tuple(phrase for id, phrase in reversed(found.items()) if id not in gone)


def _gone(notes: Iterable[Note]) -> list[Note]:
    """The notes that let a phrase go, but for those that were taken back. Each is taken back by its
    own name, so that it does not matter in which order logs are put together."""
    notes = tuple(notes)
    back = {str(note.data.get("note")) for note in notes if note.what == TAKEN_BACK}
    return [note for note in notes if note.what == LET_GO and note.uuid not in back]


def kept_in(book: NoteBook) -> tuple[KeptPhrase, ...]:
    """The phrases that are kept, the newest first. Raises LogError."""
    return phrases_of([*book.read(PHRASE), *_let_go_in(book)])


def phrases_told(notes: Notes) -> tuple[KeptPhrase, ...]:
    """The same as a student's log has them; none where it cannot be read just now, which keeps no
    picture of all else from being shown."""
    try:
        return phrases_of([note for what in (PHRASE, LET_GO, TAKEN_BACK) for note in notes(what)])
    except LogError:
        return ()


def _let_go_in(book: NoteBook) -> list[Note]:
    return [*book.read(LET_GO), *book.read(TAKEN_BACK)]


def keep_phrase(book: NoteBook, question: Question, given: str) -> KeptPhrase:
    """Keep what was given to a question; the same phrase is kept but once. Raises KeyError for what
    is no line of it, and LogError."""
    data = {
        "sargam": write(question.line_given(given)),
        "sa_hz": question.cue.sa_hz,
        "tempo": float(question.detail.get("tempo", USUAL_TEMPO)),
        "tuning": question.setting.tuning,
        "raga": raga_of(question),
        "wish": question.prompt[:_LONGEST_WISH],
        "drone": "" if question.cue.drone is None else question.cue.drone.first,
    }
    for phrase in kept_in(book):
        if all(getattr(phrase, name) == value for name, value in data.items()):
            return phrase
    kept = _phrase_of(book.write(PHRASE, data))
    assert kept is not None  # it was read above
    return kept


def let_go(book: NoteBook, phrase: KeptPhrase) -> None:
    """Keep a phrase no more. Raises LogError."""
    if any(each.id == phrase.id for each in kept_in(book)):
        book.write(LET_GO, {"phrase": phrase.id})


def take_back(book: NoteBook, phrase: KeptPhrase) -> None:
    """Keep a phrase again that was let go, on whichever device. Raises LogError."""
    for note in _gone(_let_go_in(book)):
        if note.data.get("phrase") == phrase.id:
            book.write(TAKEN_BACK, {"note": note.uuid})


def raga_of(question: Question) -> str:
    """The raga that a question is on, by its skill; "" for none."""
    return question.skill.rpartition(":")[2] if question.kind.startswith(OF_RAGAS) else ""


def score_of_phrase(
    phrase: KeptPhrase, *, raga: Raga | None = None, line: Line | None = None
) -> Score:
    """How a phrase sounds, or another line in its place: over the drone and at the Sa and the tempo
    that it was made at; what its raga has low is low."""
    tuning = load_tuning(phrase.tuning)
    return score_of(
        parse(phrase.sargam) if line is None else line,
        tuning if raga is None else tuned_to(raga, tuning),
        sa_hz=phrase.sa_hz,
        matras_per_min=phrase.tempo,
        drone=Drone(phrase.drone) if phrase.drone else None,
        ring_s=RING_S,
    )


def _phrase_of(note: Note) -> KeptPhrase | None:
    """None where it cannot be played here: another program may have written it."""
    data = note.data
    try:
        line = parse(_text(data, "sargam"))
        if not any(True for _ in line.notes()):
            return None  # nothing sounds
        phrase = KeptPhrase(
            id=note.uuid,
            sargam=write(line),
            sa_hz=_number(data, "sa_hz", _SA_HZ),
            tempo=_number(data, "tempo", _TEMPO),
            tuning=_text(data, "tuning"),
            raga=_text(data, "raga"),
            wish=_text(data, "wish"),
            made_at=local_time(note),
            device=note.device,
            drone=_text(data, "drone"),
        )
        if not needs_no_file(phrase.tuning):
            return None  # anything else is looked for as a file
        load_tuning(phrase.tuning)
        if phrase.drone:
            Drone(phrase.drone)
        return phrase
    except (SargamError, TuningError, LookupError, TypeError, ValueError, OverflowError):
        return None


def _text(data: Mapping[str, Any], name: str) -> str:
    if not isinstance(value := data[name], str):
        raise TypeError(name)
    return value


def _number(data: Mapping[str, Any], name: str, within: tuple[float, float]) -> float:
    value = number_in(data[name])
    if value is None or not within[0] <= value <= within[1]:
        raise ValueError(name)
    return value
