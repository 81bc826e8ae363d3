"""A folder's decks, recordings, courses and tradition: what lies there, and changing it safely.

Whatever is changed is changed whole or not at all, also when the program is killed in the middle
and when another one changes the folder at the same time (`practice.staging`).
"""

from __future__ import annotations

import time
import tomllib
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

from audio import recordings
from practice.arrival import Arrival, ArrivingDeck, ArrivingText, decks_in, look
from practice.bundle import TRADITION, write_bundle
from practice.errors import ShelfError
from practice.lying import Kept, Lying, text_in
from practice.staging import Staging
from quizzes.courses import read_course
from quizzes.decks.deck import Deck
from quizzes.decks.draft import Draft
from quizzes.decks.faults import DeckError
from quizzes.decks.limits import LONGEST_ID
from quizzes.decks.reading import read_deck
from quizzes.ids import names_file
from quizzes.names import listed
from quizzes.tradition import read_words
from scheduler.whole import sync_folder, whole_file

SWEPT_AFTER_S = 86_400.0
"""A recording that no deck names is kept so long: a deck that names it may be on its way."""

__all__ = ["Arrival", "ArrivingDeck", "ArrivingText", "Kept", "Shelf"]


class Shelf:
    """What a teacher has put into `folder`, which is made when something is first put there.

    `trouble` says, in plain words, what keeps an earlier change from being finished; None mostly.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.trouble: str | None = None
        self._lying, self._staging = Lying(folder), Staging(folder)
        try:
            if not self._staging.is_tidy:
                with self._staging.alone():
                    pass
        except ShelfError as error:
            self.trouble = str(error)

    @property
    def recordings(self) -> Path:
        """The folder of recordings, which may not be there yet."""
        return self._lying.recordings

    def stamp(self) -> object:
        """What is another one when anything here has changed."""
        return self._lying.stamp()

    def decks(self) -> tuple[Kept, ...]:
        """All decks by their ids, those too that cannot be read."""
        return tuple(self._lying.decks())

    def handed(self, deck_id: str) -> str | None:
        """The text of a deck as it was handed over last; None where it never was, as under a name
        that is no id, or where that cannot be read."""
        try:
            return text_in(self._lying.handed(_checked(deck_id)))
        except (ShelfError, OSError):
            return None

    def look(self, path: Path) -> Arrival:
        """What a deck's .toml or a bundle's .zip would bring; nothing is changed. Raises DeckError
        or ShelfError with all that is wrong with it."""
        return look(path, self._lying)

    def take(self, arrival: Arrival, *, older: bool = False) -> None:
        """Put in place what was looked at, all or nothing; a lower edition than what lies here only
        if `older`. Raises ShelfError, and RecordingError where a sound has changed meanwhile."""
        for each in arrival.decks:
            if each.is_older and not older:
                raise ShelfError(_older(each))
        with self._staging.alone():
            self._check_unchanged(arrival)
            with self._staging.all_or_none() as coming:
                self._write(arrival, Lying(coming))
            self._sweep()

    def _check_unchanged(self, arrival: Arrival) -> None:
        for path, was in self._targets(arrival):
            if text_in(path) != was:
                raise ShelfError(
                    f"{path}: has changed since {arrival.path} was looked at; look at it again"
                )

    def _targets(self, arrival: Arrival) -> Iterator[tuple[Path, str | None]]:
        for deck in arrival.decks:
            yield self._lying.deck(deck.deck.id), deck.was
        for course in arrival.courses:
            yield self._lying.course(course.id), course.was
        if arrival.tradition is not None:
            yield self._lying.tradition, arrival.tradition.was

    def _write(self, arrival: Arrival, coming: Lying) -> None:
        if arrival.recordings:
            coming.recordings.mkdir()
            with arrival.sounds.reading() as reader:
                for name, kept in arrival.recordings.items():
                    if reader.put(name, coming.recordings, is_checked=True) != kept:
                        raise ShelfError(f"{name}: has changed since it was looked at; try again")
        for deck in arrival.decks:
            _put(coming.deck(deck.deck.id), deck.text)
        for course in arrival.courses:
            _put(coming.course(course.id), course.text)
        if arrival.tradition is not None:
            if arrival.tradition.was not in (None, arrival.tradition.text):
                _put(coming.tradition_before, arrival.tradition.was)
            _put(coming.tradition, arrival.tradition.text)

    def write(self, deck_id: str, text: str) -> None:
        """Put the text of a deck in place, finished or not. Raises ShelfError."""
        self._put(self._lying.deck(_checked(deck_id)), text)

    def write_course(self, course_id: str, text: str) -> None:
        """Put the text of a course in place, finished or not. Raises ShelfError."""
        self._put(self._lying.course(_checked(course_id)), text)

    def write_tradition(self, text: str) -> None:
        """Put the text of the tradition in place, finished or not. Raises ShelfError."""
        self._put(self._lying.tradition, text)

    def _put(self, path: Path, text: str) -> None:
        with self._staging.alone():
            self._staging.put(path, _bytes(text))

    def remove_course(self, course_id: str) -> None:
        """Take a course away; the decks that it names stay. Raises ShelfError."""
        path = self._lying.course(_checked(course_id))
        with self._staging.alone():
            _there(path, "course")
            path.unlink()
            sync_folder(path.parent)

    def remove(self, deck_id: str) -> None:
        """Take a deck away, and the recordings that only it names. Raises ShelfError."""
        path = self._lying.deck(_checked(deck_id))
        with self._staging.alone():
            text = _there(path, "deck")
            path.unlink()
            sync_folder(path.parent)
            self._sweep(text)

    def _sweep(self, removed: str = "") -> None:
        """Delete recordings that no deck names: those that a `removed` text names, and old ones."""
        with suppress(OSError):  # while a deck cannot be read nobody knows what it names
            texts = self._lying.texts()
            for path in self.recordings.glob("*.wav"):
                age_s = time.time() - path.stat().st_mtime
                may_go = path.name in removed or age_s > SWEPT_AFTER_S
                if may_go and not any(path.name in text for text in texts):
                    path.unlink(missing_ok=True)

    def bring_in(self, audio: Path) -> str:
        """Bring a sound file among the recordings; its name there. Raises RecordingError and
        ShelfError."""
        with self._staging.alone(), self._staging.all_or_none() as coming:
            folder = Lying(coming).recordings
            folder.mkdir()
            return recordings.bring_in(audio, folder)

    def hand_over(
        self,
        deck_ids: Sequence[str],
        path: Path,
        *,
        course: str | None = None,
        tradition: bool = False,
    ) -> tuple[str, ...]:
        """Write decks, with their recordings, into one file; what it holds, by the entries' names.

        A deck alone that needs no recording may go out as .toml. Decks that the course names go
        with it, and the tradition where a deck asks what only that knows. A deck that has changed
        since it was handed over last goes out, and lies here from then on, as a higher edition.
        Raises DeckError and ShelfError.
        """
        self._check_out(path, len(deck_ids), course, tradition)
        with self._staging.alone():
            going = self._going(deck_ids, course)
            tradition = tradition or not all(_stands_alone(text) for _, text in going)
            files: dict[str, bytes | Path] = {
                f"decks/{deck.id}.toml": text.encode() for deck, text in going
            }
            for name in sorted({name for deck, _ in going for name in deck.recordings}):
                files[f"recordings/{name}"] = self.recordings / name
            if course is not None:
                files[f"courses/{course}.toml"] = self._lying.course(course)
            if tradition:
                files[TRADITION] = self._tradition().encode()
            if path.suffix.lower() == ".toml" and len(files) > 1:
                needs = "your tradition" if tradition else "its recordings"
                raise ShelfError(
                    f"{path}: {going[0][0].id} needs {needs}; let the name end in .zip"
                )
            # Before it goes out: else another text could go out later as the same edition.
            with self._staging.all_or_none() as coming:
                for deck, text in going:
                    _put(Lying(coming).deck(deck.id), text)
                    _put(Lying(coming).handed(deck.id), text)
            with whole_file(path) as file:
                if path.suffix.lower() == ".toml":
                    file.write(going[0][1].encode())
                else:
                    write_bundle(file, files)
        return tuple(sorted(files))

    def _check_out(self, path: Path, decks: int, course: str | None, tradition: bool) -> None:
        suffix, holds_more = path.suffix.lower(), decks != 1 or course is not None or tradition
        if suffix != ".zip" and (suffix != ".toml" or holds_more):
            raise ShelfError(f"{path}: let its name end in .zip, which holds all in one file")
        if not path.parent.is_dir():
            raise ShelfError(f"{path}: there is no folder {path.parent}; make it first")
        if not decks and course is None and not tradition:
            raise ShelfError(f"{path}: nothing would be in it; name a deck")

    def _tradition(self) -> str:
        """The teacher's word that lies here, if it is sound."""
        text = _there(self._lying.tradition, "tradition")
        if faults := read_words(text, str(self._lying.tradition)).faults:
            raise ShelfError(*map(str, faults))
        return text

    def _going(self, deck_ids: Sequence[str], course: str | None) -> list[tuple[Deck, str]]:
        """The decks that are to be handed over, each with the text as it goes out."""
        words = self._lying.words()
        named = [*deck_ids, *(self._decks_of(course) if course is not None else ())]
        going = []
        for deck_id in dict.fromkeys(named):
            path = self._lying.deck(_checked(deck_id))
            text = _there(path, "deck")
            kept = self._lying.kept(path, words)
            if kept.deck is None:
                raise DeckError(kept.faults)
            going.append(self._next_edition(kept.deck, text))
        return going

    def _decks_of(self, course: str) -> tuple[str, ...]:
        """The decks that a course of this folder names, all of which are here."""
        path = self._lying.course(_checked(course))
        text = _there(path, "course")
        decks = {kept.id: kept.deck for kept in self._lying.decks() if kept.deck is not None}
        read = read_course(text, path, decks=decks, tradition=self._lying.words())
        if read.missing:
            raise ShelfError(
                f"{path}: names {listed(read.missing)}, and no such deck can be used here; bring "
                "it in, or take it out of the course"
            )
        return decks_in(text)

    def _next_edition(self, deck: Deck, text: str) -> tuple[Deck, str]:
        """With its edition raised above the one that was handed over last, if that was another."""
        last = text_in(self._lying.handed(deck.id))
        if last is None or last == text:
            return deck, text
        edition = int(tomllib.loads(last.removeprefix("\ufeff")).get("edition", 1)) + 1
        if deck.edition >= edition:
            return deck, text
        draft = Draft(text, f"{deck.id}.toml")
        draft.set_head(edition=edition)
        return replace(deck, edition=edition), draft.text


def _checked(id: str) -> str:
    """Nothing that could lead out of the folder. Raises ShelfError."""
    if not names_file(id):
        wanted = f"small letters, digits and -, at most {LONGEST_ID}"
        raise ShelfError(f"{id!r} is no id that a file may bear on every system; use {wanted}")
    return id


def _there(path: Path, what: str) -> str:
    """The text of a file. Raises ShelfError where there is none."""
    text = text_in(path)
    if text is None:
        known = ", ".join(sorted(each.stem for each in path.parent.glob("*.toml"))) or "none"
        raise ShelfError(f"{path}: there is no such {what}; there are {known}")
    return text


def _stands_alone(text: str) -> bool:
    """Whether a deck that can be read here can be read without this folder's tradition as well."""
    try:
        read_deck(text, "")
    except DeckError:
        return False
    return True


def _put(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(_bytes(text))


def _bytes(text: str) -> bytes:
    """As it lay in a file, even one that is not in UTF-8."""
    return text.encode("utf-8", "surrogateescape")


def _older(arriving: ArrivingDeck) -> str:
    before = arriving.before
    assert before is not None
    return (
        f"{arriving.deck.id}: is edition {arriving.deck.edition}, and edition {before.edition} "
        "lies here already; take it with --older if it is to replace that"
    )
