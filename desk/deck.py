"""`main.py deck`: takes a teacher's decks in, checks them, lists them, hands them over."""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from shlex import quote

from audio.errors import AudioError
from desk.counts import in_words
from desk.options import add_folder
from desk.writing import refuse
from practice import PracticeError, default_folder
from practice.shelf import Arrival, ArrivingDeck, Kept, Shelf
from quizzes import QuizError
from quizzes.decks.asking import skills_of
from quizzes.decks.deck import Asked, Deck
from quizzes.decks.sheet import Sheet, load_sheet
from quizzes.names import listed

EXAMPLES = """\
examples:
  main.py deck check first-gaps.toml
  main.py deck check *.toml
  main.py deck add lesson-3.zip --dry-run
  main.py deck add lesson-3.zip
  main.py deck list
  main.py deck hand-over first-gaps our-alap --course spring-term --out lesson-3.zip
  main.py deck from-sheet questions.csv --out questions.toml
"""
SHOWN = 60
"""Columns of a prompt in a list."""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser(
        "deck",
        help="take in, check, list or hand over decks of a teacher's own questions",
        description="Decks are a teacher's own questions: in a text file (.toml, which DECKS.md "
        "explains), or with recordings, a course or a tradition in one bundle (.zip).",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    works = parser.add_subparsers(dest="work", metavar="WORK", required=True)
    _add_taking(works)
    _add_giving(works)


def _work(
    works: argparse._SubParsersAction[argparse.ArgumentParser],
    name: str,
    run: Callable[[argparse.Namespace], int],
    told: str,
    example: str,
) -> argparse.ArgumentParser:
    parser = works.add_parser(
        name,
        help=told,
        description=told[:1].upper() + told[1:] + ".",
        epilog=f"example:\n  main.py deck {name} {example}".rstrip(),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    add_folder(parser, "decks are")
    parser.set_defaults(run=run)
    return parser


def _add_taking(works: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    add = _work(works, "add", _add, "take in all that decks or bundles hold", "lesson-3.zip")
    add.description = (
        "Take in all that decks or bundles hold; where one of several is refused, none is taken."
    )
    add.add_argument(
        "files", metavar="FILE", type=Path, nargs="+", help="a deck (.toml) or a bundle (.zip)"
    )
    add.add_argument("--dry-run", action="store_true", help="only tell what would change")
    add.add_argument(
        "--older", action="store_true", help="let an older edition replace what is here"
    )
    check = _work(
        works, "check", _check, "tell all that is wrong with decks or bundles", "first-gaps.toml"
    )
    check.add_argument("files", metavar="FILE", type=Path, nargs="+")
    sheet = _work(
        works,
        "from-sheet",
        _from_sheet,
        "make a deck of a spreadsheet",
        "questions.csv --out questions.toml",
    )
    sheet.description = (
        "Make a deck of a spreadsheet that was saved as CSV. Its first row names the columns, in "
        "any order: prompt, right and wrong, these as often as you like; and, if you like, "
        "sargam, why, name and id."
    )
    sheet.add_argument("file", metavar="FILE", type=Path, help="the sheet, a .csv")
    sheet.add_argument("--name", default="", help="what the deck is called (like the file)")
    sheet.add_argument("--dry-run", action="store_true", help="only tell what it would make")
    sheet.add_argument(
        "--out", metavar="DECK", type=Path, help="the deck to write, a .toml (shown unless given)"
    )


def _add_giving(works: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    _work(works, "list", _list, "list the decks that are here", "")
    remove = _work(works, "remove", _remove, "take a deck away; the log stays", "first-gaps")
    remove.add_argument("deck", metavar="ID", help="as `main.py deck list` has it")
    hand_over = _work(
        works,
        "hand-over",
        _hand_over,
        "write decks, with all that they need, into one file for students",
        "first-gaps our-alap --out lesson-3.zip",
    )
    hand_over.add_argument("decks", metavar="ID", nargs="*", help="as `main.py deck list` has it")
    hand_over.add_argument(
        "--out", metavar="FILE", type=Path, required=True, help="the file to write, a .zip"
    )
    hand_over.add_argument(
        "--course", metavar="ID", help="a course of your own, with the decks that it names"
    )
    hand_over.add_argument("--tradition", action="store_true", help="your tradition.toml as well")


def _shelf(options: argparse.Namespace) -> Shelf:
    shelf = Shelf(options.folder or default_folder())
    if shelf.trouble:
        print(shelf.trouble, file=sys.stderr)
    return shelf


def _add(options: argparse.Namespace) -> int:
    shelf = _shelf(options)
    arrivals = list(_looked(shelf, options.files))
    older = [each for arrival in arrivals for each in arrival.decks if each.is_older]
    if older and not options.older and not options.dry_run:
        return refuse("\n".join(map(_too_old, older)))
    for arrival in arrivals:
        if not options.dry_run:
            shelf.take(arrival, older=options.older)
        print("\n".join(_told(arrival, is_dry=options.dry_run)))
    if options.dry_run:
        for each in older:
            print(_too_old(each))
        print("Nothing has been changed.")
    return 0


def _looked(shelf: Shelf, paths: Iterable[Path]) -> Iterator[Arrival]:
    """What each file would bring. Raises QuizError with the faults of all, and where two of them
    would lie in the same place."""
    faults: list[str] = []
    brought: dict[str, Path] = {}
    for path in dict.fromkeys(paths):
        try:
            arrival = shelf.look(path)
        except (AudioError, PracticeError, QuizError) as error:
            faults.append(str(error))
            continue
        named = [f"the deck {each.deck.id}" for each in arrival.decks]
        named += [f"the course {each.id}" for each in arrival.courses]
        for thing in (*named, *["a tradition"] * (arrival.tradition is not None)):
            if thing in brought:
                said = f"{path}: holds {thing}, and so does {brought[thing]}"
                faults.append(f"{said}; add them one after the other, the one that is to stay last")
            brought.setdefault(thing, path)
        yield arrival
    if faults:
        raise QuizError("\n".join(faults))


def _told(arrival: Arrival, *, is_dry: bool) -> Iterator[str]:
    """What an arrival brings, line by line."""
    taken = "Would be taken in" if is_dry else "Taken in"
    for deck in arrival.decks:
        if deck.was == deck.text:
            yield f"{_named(deck.deck)} is here already, just so."
            continue
        place = "new here" if deck.was is None else "in place of what was here"
        yield f"{taken}: {_named(deck.deck)}, {place}; {_summary(deck.deck)}."
        yield from (f"  {change}" for change in deck.changes)
    for course in arrival.courses:
        if course.was == course.text:
            yield f'The course "{course.name}" ({course.id}) is here already, just so.'
        else:
            place = "new here" if course.was is None else "in place of the one here"
            yield f'{taken}: the course "{course.name}" ({course.id}), {place}'
    if (words := arrival.tradition) is not None:
        if words.was == words.text:
            yield "Your teacher's word on ragas, talas and stages is here already, just so."
        else:
            kept = "what was here is kept as tradition-before.toml"
            place = "new here" if words.was is None else kept
            yield f"{taken}: your teacher's word on ragas, talas and stages; {place}"
    if arrival.recordings:
        yield f"{taken}: {in_words(len(set(arrival.recordings.values())), 'recording')}"
    for entry in arrival.unknown:
        yield f"Left out, as no deck needs it: {entry}"


def _too_old(each: ArrivingDeck) -> str:
    assert each.before is not None
    return (
        f"{_named(each.deck)} is edition {each.deck.edition}, and edition {each.before.edition} is "
        "here already. If the older one is to replace it, add --older."
    )


def _named(deck: Deck) -> str:
    return f'"{deck.name}" ({deck.id})'


def _summary(deck: Deck) -> str:
    """`5 questions (4 choose-one, 1 gap) on 7 skills, 1 recording`."""
    kinds = Counter(e.form if isinstance(e, Asked) else e.kind for e in deck.entries)
    parts = [f"{count} {kind}" for kind, count in kinds.items()]
    text = f"{_count(len(deck.entries), 'question')} ({', '.join(parts)})"
    if (skills := len(skills_of(deck))) != len(deck.entries):
        text += f" on {_count(skills, 'skill')}"
    if deck.recordings:
        text += f", {_count(len(deck.recordings), 'recording')}"
    return text


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}{'s' * (number != 1)}"


def _check(options: argparse.Namespace) -> int:
    shelf, code = _shelf(options), 0
    for path in options.files:
        try:
            arrival = shelf.look(path)
        except (AudioError, PracticeError, QuizError) as error:
            print(error)
            code = 1
            continue
        for each in arrival.decks:
            print(f"{path.name}: {_named(each.deck)}: {_summary(each.deck)}. Nothing is wrong.")
        for course in arrival.courses:
            print(f'{path.name}: the course "{course.name}" ({course.id}). Nothing is wrong.')
        if arrival.tradition is not None:
            print(f"{path.name}: a tradition. Nothing is wrong.")
        for entry in arrival.unknown:
            print(f"{path.name}: {entry} would be left out: no deck needs it.")
    return code


def _list(options: argparse.Namespace) -> int:
    kept = _shelf(options).decks()
    if not kept:
        print("There are no decks here yet; `main.py deck add FILE` takes one in.")
    print("\n".join(map(_listed, kept)), end="\n" * bool(kept))
    return 0


def _listed(kept: Kept) -> str:
    if kept.deck is None:
        more = f", and {len(kept.faults) - 1} more" * (len(kept.faults) > 1)
        return f"{kept.id}  cannot be asked: {kept.faults[0]}{more}"
    edition = f", edition {kept.deck.edition}" * (kept.deck.edition > 1)
    return f'{kept.id}  "{kept.deck.name}"{edition}: {_summary(kept.deck)}'


def _remove(options: argparse.Namespace) -> int:
    _shelf(options).remove(options.deck)
    print(f"{options.deck} is gone, and asked no more. What was answered stays in the log.")
    return 0


def _hand_over(options: argparse.Namespace) -> int:
    shelf = _shelf(options)
    entries = shelf.hand_over(
        options.decks, options.out, course=options.course, tradition=options.tradition
    )
    size = options.out.stat().st_size
    print(f"{options.out}: {listed(entries)}; {max(1, round(size / 1000))} kB")
    said = f"main.py deck add {quote(options.out.name)}"
    print(f"Students take it in within Kaan, or by `{said}`.")
    return 0


def _from_sheet(options: argparse.Namespace) -> int:
    path, out = options.file, options.out
    if out is not None and out.suffix.lower() != ".toml":
        return refuse(f"{out}: let its name end in .toml: that is what is written")
    if out is not None and out.exists() and not options.dry_run:
        return refuse(f"{out}: is there already; name another file, or take that one away")
    sheet = load_sheet(path, name=options.name)
    if options.dry_run:
        print("\n".join(_rows(sheet)))
    elif out is None:
        print(sheet.text, end="")
    else:
        out.write_text(sheet.text, encoding="utf-8")
        print(f"{out}: {_named(sheet.deck)}, {_summary(sheet.deck)}")
        print(f"`main.py deck add {quote(str(out))}` takes it in.")
    return 0


def _rows(sheet: Sheet) -> Iterator[str]:
    yield f"It would make {_named(sheet.deck)}, {_summary(sheet.deck)}:"
    for row, entry in zip(sheet.rows, sheet.deck.entries, strict=True):
        assert isinstance(entry, Asked)
        prompt = " ".join(entry.prompt.split())
        prompt = prompt if len(prompt) <= SHOWN else f"{prompt[: SHOWN - 1]}…"
        yield f"row {row}: {prompt}"
        if entry.cue.sargam:
            yield f"  sounds {entry.cue.sargam}"
        right = [each.text for each in entry.offered if each.right]
        wrong = [each.text for each in entry.offered if not each.right]
        yield f"  right {listed(right)}; wrong {listed(wrong)}"
    yield "Nothing has been written."
