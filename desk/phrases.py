"""`main.py phrases`: phrases that a student has kept, their sound, and questions made of them."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from pathlib import Path

from desk.counts import in_words
from desk.options import add_folder, add_student, home_of, student_of, whole_between
from desk.writing import add_out, refuse, write_score
from practice.given import given_in
from practice.note_book import notes_of
from practice.phrase_asked import question_of
from practice.phrase_said import raga_of_phrase, sound_of
from practice.phrases import KeptPhrase, phrases_of
from practice.shelf import Shelf
from practice.standing import LOG_NAME
from quizzes.decks.draft import Draft
from quizzes.decks.parsing import read_text
from scheduler import Log
from scheduler.whole import appearing_whole

EXAMPLES = """\
examples:
  main.py phrases --student Mira
  main.py phrases 2 --student Mira --out second.wav
  main.py phrases 1 3 --student Mira --deck our-phrases.toml
"""
MOST = 9999


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser(
        "phrases",
        help="list the phrases that a student has kept, play one, set some as questions",
        description="List the phrases that a student has made and kept, the newest first; play one "
        "into a WAV\nfile; or put some into a deck, where they are heard and written.",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    add_folder(parser, "students are")
    add_student(parser, "whose phrases")
    parser.add_argument(
        "numbers",
        metavar="N",
        nargs="*",
        type=whole_between(1, MOST, "a number from the list"),
        help="which, by their numbers in the list (all are listed unless given)",
    )
    parser.add_argument(
        "--deck",
        metavar="FILE",
        type=_deck_path,
        help="the deck's file to put them into as questions; it is made where there is none",
    )
    add_out(parser, needed=False)
    parser.set_defaults(run=run)


def _deck_path(text: str) -> Path:
    if not text.lower().endswith(".toml"):
        raise argparse.ArgumentTypeError(f"{text!r} should end in .toml: a deck's file is meant")
    return Path(text)


def run(options: argparse.Namespace) -> int:
    student = student_of(options)
    path = student.folder / LOG_NAME
    if not path.exists():
        return refuse(f"{student.words} has not practised here yet: {student.folder} has no log.")
    with Log.reading(path) as log:
        phrases = phrases_of(notes_of(log, student.id)())
    if not phrases:
        return refuse(f"{student.words}: no phrase is kept yet.")
    if beyond := [number for number in options.numbers if number > len(phrases)]:
        kept = in_words(len(phrases), "phrase")
        return refuse(f"There is no phrase {beyond[0]}: {student.words} has kept {kept}.")
    chosen = [phrases[number - 1] for number in options.numbers]
    if options.out is not None and len(chosen) != 1:
        return refuse("Say which one is to be played: --out takes one number of the list.")
    if options.deck is not None and not chosen:
        return refuse("Say which are to be questions: --deck takes numbers of the list.")
    given, _ = given_in(Shelf(home_of(options)))
    code, tradition = 0, given.tradition
    if options.deck is None and options.out is None:
        print("\n".join(_lines(phrases, options.numbers, tradition)))
    if options.deck is not None:
        code = _put(chosen, options.deck, tradition)
    if options.out is not None:
        code = write_score(sound_of(chosen[0], tradition), options) or code
    return code


def _put(phrases: Sequence[KeptPhrase], path: Path, tradition: str) -> int:
    """Add them to the deck, unless something is wrong with it then; the exit code."""
    draft = Draft(read_text(path), path.name) if path.exists() else Draft.new(path.stem)
    draft.add_all(question_of(phrase, tradition) for phrase in phrases)
    if faults := draft.faults():
        return refuse("\n".join(["Nothing was put into the deck.", *map(str, faults)]))
    with appearing_whole(path) as file:
        file.write(draft.text.encode())
    print(f"{path}: {in_words(len(phrases), 'question')} more, {len(draft.entries())} in all")
    return 0


def _lines(phrases: Sequence[KeptPhrase], numbers: Sequence[int], tradition: str) -> Iterator[str]:
    for number, phrase in enumerate(phrases, 1):
        if numbers and number not in numbers:
            continue
        day = f"{phrase.made_at.day} {phrase.made_at:%B %Y}"
        raga = raga_of_phrase(phrase, tradition)
        name = "" if raga is None else raga.name
        yield "  ".join(filter(None, [f"{number:3}", day, name, phrase.sargam]))
        if phrase.wish:
            yield f"     {phrase.wish}"
