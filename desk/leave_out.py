"""`main.py leave-out`: a practice in which somebody else answered counts for nothing, or again."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path
from shlex import quote

from desk.options import add_folder, add_student, student_of
from desk.writing import refuse
from practice import SettingsError
from practice.held import Held, practices_of
from practice.settings import FILE_NAME
from practice.standing import LOG_NAME
from quizzes.names import listed
from scheduler import Log, LogError

EXAMPLES = """\
examples:
  main.py leave-out
  main.py leave-out --put-back
  main.py leave-out --list
  main.py leave-out --session 01a22750-fff6
"""
LAST = "last"
LISTED, NAMED = 20, 13
"""So many practices are listed, by so many letters of their ids, which tell the millisecond."""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser(
        "leave-out",
        help="let a practice in which somebody else answered count for nothing",
        description="Leave the answers of a practice out of what is known of you, or put them "
        "back. They stay in the log either way.",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    add_folder(parser, "settings and log are")
    add_student(parser, "whose practice")
    parser.add_argument(
        "--session",
        metavar="ID",
        default=LAST,
        help="which practice, by its id or how that begins (the last unless given)",
    )
    parser.add_argument("--put-back", action="store_true", help="let them count again")
    parser.add_argument("--list", action="store_true", help="list the latest practices instead")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    folder = student_of(options).folder
    path = folder / LOG_NAME
    if not path.exists():
        raise LogError(path, wrong="there is no such file", remedy="Check --folder")
    student, device = _whose(folder / FILE_NAME)
    with Log(path) as log:
        held = practices_of(log.sessions(student), log.left_out(student))
        if not held:
            return refuse(f"{path}: holds no answers of yours yet. Practise first.")
        if options.list:
            print("\n".join(_lines(held)))
            return 0
        meant = [one for one in held if one.id.startswith(options.session)]
        if options.session == LAST:
            meant = held[-1:]
        if not options.session or len(meant) != 1:
            said = "may be" if meant else "is none of your practices; the latest are"
            ids = listed([one.id[:NAMED] for one in (meant or held)[-5:]], "or")
            return refuse(f"--session {options.session!r} {said} {ids}. See --list.")
        (one,) = meant
        if one.is_out is not options.put_back:
            remedy = "--put-back counts them again" if one.is_out else "nothing is to be put back"
            state = "left out already" if one.is_out else "not left out"
            return refuse(f"{_what(one)} are {state}: {remedy}.")
        say = log.put_back if options.put_back else log.leave_out
        say(*one.sessions, student=student, device=device, utc=datetime.now(UTC))
    if options.put_back:
        print(f"Put back: {_what(one)} count again.")
    else:
        print(f"Left out: {_what(one)} stay in the log and count for nothing.")
        is_told = options.folder or "student" in options
        where = f" --folder {quote(str(folder))}" if is_told else ""
        print(f"To put them back: main.py leave-out{where} --session {one.id[:NAMED]} --put-back")
    return 0


def _whose(path: Path) -> tuple[str, str]:
    """The ids of student and device in the settings at `path`, which are left as they are."""
    try:
        known = json.loads(path.read_text(encoding="utf-8"))
        return str(known["student_id"]), str(known["device_id"])
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as error:
        raise SettingsError(
            f"{path}: cannot be read, so it is not known whose answers are meant. Open Kaan, which "
            "mends it, then try again."
        ) from error


def _lines(held: Sequence[Held]) -> Iterator[str]:
    for one in held[-LISTED:]:
        yield f"{one.id[:NAMED]}  {_what(one)}{', left out' if one.is_out else ''}"


def _what(one: Held) -> str:
    """`12 answers of 3 March 2026, 18:02 to 18:14`, by the clock of this machine."""
    first, last = one.at, one.until
    same_day = first.date() == last.date()
    until = f"{last:%H:%M}" if same_day else f"{last.day} {last:%B %Y, %H:%M}"
    answers = f"{one.answers} answer{'s' * (one.answers != 1)}"
    return f"{answers} of {first.day} {first:%B %Y, %H:%M} to {until}"
