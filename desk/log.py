"""`main.py log`: a student's answers leave as one file, come in from one, and become a sheet."""

from __future__ import annotations

import argparse
import io
import os
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import TextIO

from desk import log_sync
from desk.options import add_folder, add_student, home_of, student_of
from practice import PracticeError
from practice.beside_words import noted_words
from practice.given import given_in
from practice.log_files import Taken, hand_over_log, look_at_log, take_log
from practice.pages.said import so_many
from practice.settings import Settings
from practice.shelf import Shelf
from practice.standing import LOG_NAME
from practice.told import with_told
from scheduler import SchedulerError
from scheduler.carrying import open_log_file, read_log_file
from scheduler.leaving import left_out_of
from scheduler.sheet import write_note_sheet, write_sheet
from scheduler.whole import appearing_whole

EXAMPLES = """\
examples:
  main.py log export
  main.py log export --student Mira --out mira.zip
  main.py log import --dry-run mira.zip ravi.zip
  main.py log import mira.zip ravi.zip
  main.py log csv mira.zip --out mira.csv
  main.py log csv mira.zip --beside
  main.py log check mira.zip
  main.py log sync --folder-in-step ~/lessons/mira
  main.py log sync
"""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser(
        "log",
        help="hand answers over in one file, bring them in, write them as a sheet",
        description="A student's answers leave as one file, a zip that any program can read, and "
        "come in wherever they are wanted: twice, late or from several devices, no answer is lost "
        "or doubled.",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    works = parser.add_subparsers(dest="work", metavar="WORK", required=True)
    work = _work(works, "export", "write all answers of a student into one file", _export)
    add_student(work, "whose answers")
    work.add_argument(
        "--out",
        metavar="FILE",
        type=_out_path,
        default=Path(),
        help="the file to write, or the folder for one under a name of its own (here unless given)",
    )
    work = _work(works, "import", "bring in the answers of one student or several", _import)
    work.add_argument("files", metavar="FILE", type=Path, nargs="+", help="a file of `log export`")
    work.add_argument("--dry-run", action="store_true", help="only say what they would bring")
    work = _work(works, "csv", "write answers as a sheet for spreadsheets", _csv)
    add_student(work, "whose answers")
    _add_file(work)
    work.add_argument(
        "--out", metavar="FILE", type=_csv_path, help="the file to write (printed unless given)"
    )
    work.add_argument(
        "--beside",
        action="store_true",
        help="write what stands beside the answers instead: phrases kept, paltas given, minutes on "
        "the instrument",
    )
    log_sync.add_options(_work(works, "sync", log_sync.WHAT, log_sync.run))
    work = _work(works, "check", "read a log through and say whether it is whole", _check)
    add_student(work, "whose answers")
    _add_file(work)


def _work(
    works: argparse._SubParsersAction[argparse.ArgumentParser],
    name: str,
    what: str,
    run: Callable[[argparse.Namespace], int],
) -> argparse.ArgumentParser:
    parser = works.add_parser(name, help=what, description=f"{what[0].upper()}{what[1:]}.")
    add_folder(parser, "settings and logs are")
    parser.set_defaults(run=run)
    return parser


def _add_file(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "file",
        metavar="FILE",
        type=Path,
        nargs="?",
        help="a file of `log export`, or a log.sqlite (the student's own log unless given)",
    )


def _out_path(text: str) -> Path:
    path = Path(text)
    if text.endswith(("/", os.sep)) and not path.is_dir():
        raise argparse.ArgumentTypeError(f"there is no folder {text}; make it first")
    return path


def _csv_path(text: str) -> Path:
    if not text.lower().endswith(".csv"):
        raise argparse.ArgumentTypeError(f"{text!r} should end in .csv: that is what is written")
    return Path(text)


def _export(options: argparse.Namespace) -> int:
    student = student_of(options)
    handed = hand_over_log(student.folder, options.out, datetime.now(UTC))
    print(f"{handed.path}: {_answers(handed.answers)} of {student.words}")
    return 0


def _import(options: argparse.Namespace) -> int:
    """Each file by itself: one that is refused keeps no other from coming in."""
    code, home = 0, home_of(options)
    for path in options.files:
        try:
            if options.dry_run:
                print(_told(path, look_at_log(path, home), "would be new"))
            else:
                print(_told(path, take_log(path, home, datetime.now(UTC)), "new"))
        except (SchedulerError, PracticeError) as error:
            print(error, file=sys.stderr)
            code = 1
    return code


def _told(path: Path, taken: Taken, new: str) -> str:
    """`mira.zip: Mira, 40 answers of 5 January to 3 March 2026, 12 of them new.`"""
    span = _span(taken.new + taken.known, taken.first, taken.last)
    said = f"{path}: {taken.name or taken.student}, {span}, {taken.new or 'none'} of them {new}"
    if taken.new_notes:
        said += f"; {_notes(taken.new_notes)} {new}"
    if taken.is_new_student:
        said += f". New here: kept in {taken.folder}"
    return f"{said}. {taken.trouble}".strip()


def _span(answers: int, first: datetime | None, last: datetime | None) -> str:
    if first is None or last is None:
        return "no answers"
    days = [_day(first), _day(last)]
    return f"{_answers(answers)} of {' to '.join(dict.fromkeys(days))}"


def _day(moment: datetime) -> str:
    here = moment.astimezone()
    return f"{here.day} {here:%B %Y}"


def _answers(count: int) -> str:
    return so_many(count, "answer")


def _notes(count: int) -> str:
    """Of what is noted beside answers; a student's swaras are notes, too."""
    return so_many(count, "row") + " beside answers"


def _meant(options: argparse.Namespace) -> tuple[Path, str]:
    """The file that was named, or the log of the student who is meant, and their id."""
    if options.file is not None:
        return options.file, ""
    student = student_of(options)
    return student.folder / LOG_NAME, student.id


def _csv(options: argparse.Namespace) -> int:
    carried = read_log_file(*_meant(options))  # whole, before anything is written
    given, _ = given_in(Shelf(home_of(options)))
    sessions = {session for _, session in left_out_of(carried.leavings())}
    name_of = cache(given.name_of)

    def write(out: TextIO, line_end: str) -> int:
        if options.beside:
            return write_note_sheet(out, carried.notes(), line_end=line_end)
        return write_sheet(
            out, carried.answers(), left_out=sessions, name_of=name_of, line_end=line_end
        )

    if options.out is None:
        write(sys.stdout, "\n")
        return 0
    with appearing_whole(options.out) as file:
        # With a mark in front, by which spreadsheets see that it is UTF-8.
        out = io.TextIOWrapper(file, encoding="utf-8-sig", newline="")
        count = write(out, "\r\n")
        out.detach()
    print(f"{options.out}: {(_notes if options.beside else _answers)(count)}")
    return 0


def _check(options: argparse.Namespace) -> int:
    carried = open_log_file(*_meant(options))
    span, left_out = carried.span(), left_out_of(carried.leavings())
    named = with_told(Settings(), carried.about).student_name
    print(f"{carried.path}: whole; {_span(*span)}")
    print(f"student   {carried.student}" + (f', called "{named}"' if named else ""))
    print(f"left out  {so_many(len(left_out), 'session')}")
    notes = list(carried.notes())
    if notes:
        print(f"beside    {_notes(len(notes))}: {noted_words(notes)}")
    print(f"written   {carried.written.astimezone():%Y-%m-%d %H:%M}")
    return 0
