"""What a file brings into a folder: looked at and found whole before anything is changed."""

from __future__ import annotations

import tempfile
import tomllib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

from audio.recordings import RecordingError, seconds_of
from practice.bundle import AUDIO, TRADITION, Bundle, read_bundle
from practice.errors import ShelfError
from practice.lying import Lying, text_in
from practice.sounds import Beside, InBundle, Sounds
from quizzes.courses import check_file, read_course
from quizzes.decks.changes import changes
from quizzes.decks.deck import KIND, Deck
from quizzes.decks.draft import Draft
from quizzes.decks.faults import DeckError, Fault
from quizzes.decks.reading import read_deck, read_text
from quizzes.errors import QuizError
from quizzes.names import listed
from quizzes.places import places_in
from quizzes.tradition import read_words
from words import say


@dataclass(frozen=True, slots=True)
class ArrivingDeck:
    """A deck, beside the one of that id that lies in the folder already."""

    deck: Deck
    text: str
    """As it will lie in the folder: with the recordings by the names that they have there."""
    was: str | None
    """The text that lies there, which this one replaces."""
    before: Deck | None
    """The same as a deck; None also where that cannot be read."""
    changes: tuple[str, ...]

    @property
    def is_older(self) -> bool:
        """Whether it is of a lower edition than what lies there."""
        return self.before is not None and self.deck.edition < self.before.edition


@dataclass(frozen=True, slots=True)
class ArrivingText:
    """A course or a tradition; `was` is the text that lies there, which this one replaces."""

    id: str
    name: str
    text: str
    was: str | None


@dataclass(frozen=True, slots=True)
class Arrival:
    """What a file brings. Nothing of it counts before `Shelf.take`."""

    path: Path
    decks: tuple[ArrivingDeck, ...]
    courses: tuple[ArrivingText, ...]
    tradition: ArrivingText | None
    recordings: Mapping[str, str]
    """Of the decks: by the names that they have in the file, those that they will have."""
    unknown: tuple[str, ...]
    """What else is in the file, and is not taken."""
    sounds: Sounds = field(repr=False)


def look(path: Path, lying: Lying) -> Arrival:
    """Look at a deck's file or at a bundle. Raises DeckError or ShelfError with all that is wrong;
    a course or a tradition that is at fault makes it a ShelfError."""
    suffix = path.suffix.lower()
    if suffix in AUDIO:
        raise ShelfError(f"{path}: is a recording; open a question of a deck and bring it in there")
    if suffix not in (".toml", ".zip"):
        raise ShelfError(f"{path}: is no deck; give a deck's .toml or a bundle's .zip")
    if suffix == ".zip":
        bundle = read_bundle(path)
        texts = {bundle.place(entry): text for entry, text in bundle.decks.items()}
        return _Looking(path, lying, InBundle(bundle)).arrival(texts, bundle)
    sounds = Beside(path.parent, lying.recordings)
    return _Looking(path, lying, sounds).arrival({path.name: read_text(path)})


class _Looking:
    """One look at a file; a deck goes by its place, as messages tell it."""

    def __init__(self, path: Path, lying: Lying, sounds: Sounds) -> None:
        self._path, self._lying, self._sounds = path, lying, sounds
        self._words = lying.words()
        """The teacher's word by which decks and courses are read."""
        self._faults: list[Fault] = []
        self._wrong: list[str] = []
        """What is wrong elsewhere than in decks."""

    def arrival(self, texts: Mapping[str, str], bundle: Bundle | None = None) -> Arrival:
        """Sounds are read last: that takes longest."""
        tradition = self._tradition(bundle) if bundle else None
        self._raise()
        if tradition:
            self._words = tradition.text
        decks = self._decks(texts, _Any(self._sounds))
        courses = self._courses(bundle, decks) if bundle else ()
        self._raise()
        names, seconds = self._brought(texts, decks)
        self._raise()
        texts = {place: _renamed(text, place, names) for place, text in texts.items()}
        decks = self._decks(texts, seconds)
        arriving = tuple(self._beside(place, deck, texts[place]) for place, deck in decks.items())
        self._raise()
        unknown = () if bundle is None else (*bundle.unknown, *_unneeded(bundle, names))
        return Arrival(self._path, arriving, courses, tradition, names, unknown, self._sounds)

    def _raise(self) -> None:
        if self._wrong:
            raise ShelfError(*map(str, self._faults), *self._wrong)
        if self._faults:
            raise DeckError(self._faults)

    @contextmanager
    def _noting(self) -> Iterator[None]:
        try:
            yield
        except DeckError as error:
            self._faults += error.faults
        except (QuizError, ShelfError) as error:
            self._wrong += str(error).splitlines()

    def _decks(self, texts: Mapping[str, str], seconds: Mapping[str, float]) -> dict[str, Deck]:
        """Those that are without fault, by their places."""
        decks: dict[str, Deck] = {}
        for place, text in texts.items():
            with self._noting():
                deck = read_deck(text, place, recording=seconds.__getitem__, tradition=self._words)
                if other := next((p for p, each in decks.items() if each.id == deck.id), None):
                    wrong = f"{deck.id!r} is the id of {other} too"
                    self._fault(place, text, ("deck",), wrong, "give one of them another id")
                decks[place] = deck
        return decks

    def _fault(
        self, place: str, text: str, field: tuple[str | int, ...], wrong: str, remedy: str
    ) -> None:
        entry = field[1] if len(field) > 1 and isinstance(field[1], int) else None
        line = places_in(text).line_of(field)
        self._faults.append(Fault(place, line, str(field[-1]), wrong, remedy, entry))

    def _tradition(self, bundle: Bundle) -> ArrivingText | None:
        if bundle.tradition is None:
            return None
        self._faults += read_words(bundle.tradition, bundle.place(TRADITION)).faults
        was = text_in(self._lying.tradition)
        return ArrivingText(TRADITION, TRADITION, bundle.tradition, was)

    def _courses(self, bundle: Bundle, decks: Mapping[str, Deck]) -> tuple[ArrivingText, ...]:
        """Held against the decks that there will be when all has been taken."""
        if not bundle.courses:
            return ()
        known = {kept.id: kept.deck for kept in self._lying.decks() if kept.deck is not None}
        known |= {deck.id: deck for deck in decks.values()}
        courses = []
        for entry, text in bundle.courses.items():
            place, id = Path(bundle.place(entry)), PurePosixPath(entry).stem
            with self._noting():
                check_file(place)
                course = read_course(text, place, decks=known, tradition=self._words)
                if course.missing:
                    line = places_in(text).line_of(_names_in(text, course.missing[0]))
                    self._wrong.append(
                        f"{place}, line {line}: decks: {listed(course.missing)} cannot be found; "
                        "put these decks into the bundle, or take them out of the course"
                    )
                was = text_in(self._lying.course(id))
                courses.append(ArrivingText(id, course.name, text, was))
        return tuple(courses)

    def _brought(
        self, texts: Mapping[str, str], decks: Mapping[str, Deck]
    ) -> tuple[dict[str, str], dict[str, float]]:
        """The names that recordings will have in the folder, and how long they are, by both."""
        names: dict[str, str] = {}
        seconds: dict[str, float] = {}
        with tempfile.TemporaryDirectory() as tried, self._sounds.reading() as reader:
            for place, deck in decks.items():
                for name in sorted(deck.recordings - names.keys()):
                    try:
                        names[name] = reader.put(name, Path(tried))
                        path = Path(tried) / names[name]
                        seconds[name] = seconds[names[name]] = seconds_of(path)
                        path.unlink()
                    except RecordingError as error:
                        where = _recordings_in(texts[place], name)[0]
                        said = str(error).removeprefix(f"{error.file}: ")
                        wrong, _, remedy = said.partition(": ")
                        self._fault(place, texts[place], where, f"{name} {wrong}", remedy)
                    except ShelfError as error:
                        self._wrong += error.faults
        return names, seconds

    def _beside(self, place: str, deck: Deck, text: str) -> ArrivingDeck:
        """The arriving deck beside what lies there; one of another's id is a fault."""
        path = self._lying.deck(deck.id)
        was = text_in(path)
        before = self._lying.kept(path, self._lying.words()).deck if was is not None else None
        if before is not None and before.name != deck.name and not _share(before, deck):
            wrong = f'{deck.id!r} is the id of another deck here, "{before.name}"'
            self._fault(place, text, ("deck",), wrong, "give it another id")
        told = () if before is None else changes(before, deck)
        if was is not None and before is None:
            told = (say("What lies here under its id cannot be read, and will be replaced."),)
        return ArrivingDeck(deck, text, was, before, told)


def _share(before: Deck, deck: Deck) -> bool:
    """Whether they have a question in common."""
    return not {entry.id for entry in before.entries}.isdisjoint(e.id for e in deck.entries)


class _Any(dict[str, float]):
    """Some length for every recording that is there."""

    def __init__(self, sounds: Sounds) -> None:
        self._sounds = sounds

    def __missing__(self, name: str) -> float:
        if name not in self._sounds:
            raise KeyError(name)
        return 1.0


def _recordings_in(text: str, name: str) -> list[tuple[str | int, ...]]:
    """Where a deck's text, which can be read, names this recording."""
    questions = tomllib.loads(text.removeprefix("\ufeff"))["question"]
    return [
        ("question", number, "recording")
        for number, question in enumerate(questions)
        if question.get("recording") == name
    ]


def _names_in(text: str, deck: str) -> tuple[str | int, ...]:
    """Where a course's text, which can be read, names this deck first."""
    for number, step in enumerate(tomllib.loads(text.removeprefix("\ufeff"))["step"]):
        if deck in step.get("decks", ()):
            return ("step", number, "decks", step["decks"].index(deck))
    return ("step",)


def decks_in(text: str) -> tuple[str, ...]:
    """The decks that a course's text, which can be read, names: whole, or a question of theirs."""
    found = []
    for step in tomllib.loads(text.removeprefix("\ufeff"))["step"]:
        found += step.get("decks", ())
        found += [s.split(":")[1] for s in step.get("skills", ()) if s.startswith(f"{KIND}:")]
    return tuple(dict.fromkeys(found))


def _renamed(text: str, place: str, names: Mapping[str, str]) -> str:
    """The text of a deck with its recordings by the names that they will have."""
    if not any(_recordings_in(text, name) for name, kept in names.items() if name != kept):
        return text
    draft = Draft(text, place)
    for number, entry in enumerate(draft.entries()):
        name = entry.get("recording", "")
        if names.get(name, name) != name:
            draft.put(number, recording=names[name])
    return draft.text


def _unneeded(bundle: Bundle, names: Mapping[str, str]) -> list[str]:
    """Recordings of which no deck makes use."""
    return sorted(packed.entry for name, packed in bundle.recordings.items() if name not in names)
