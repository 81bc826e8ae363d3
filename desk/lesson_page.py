"""`main.py lesson-page` and `class-page`: what students' answers tell, on paper or as a picture."""

from __future__ import annotations

import argparse
from datetime import UTC, datetime
from pathlib import Path

from desk.options import add_folder, home_of, student_of
from desk.writing import refuse
from practice.pages.class_sheet import class_paper
from practice.pages.gathering import whole_class
from practice.pages.lesson_page import lesson_page
from practice.pages.lesson_sheet import lesson_paper
from practice.pages.sheets import Paper
from practice.pages.writing import ENDINGS, write_paper
from practice.standing import LOG_NAME, standing_in
from practice.students import Known, Students
from quizzes.names import listed

NO_FOLDER = "there is no folder {}: name the one in which students practise"
EXAMPLES = """\
examples:
  main.py lesson-page --out page.pdf
  main.py lesson-page Mira --out mira.png
  main.py class-page --out class.pdf
"""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    one = _parser(
        commands,
        "lesson-page",
        "write one A4 page on a student for the lesson",
        "Write one page on a student for the lesson: three suggestions, what is firm and what is "
        "shaky in the course, what is heard as what, and what was practised.",
    )
    one.add_argument(
        "student",
        metavar="STUDENT",
        nargs="?",
        default=argparse.SUPPRESS,  # whom --student names before the command is not undone
        help="whose page, by name or id (who practises here now, unless given)",
    )
    one.set_defaults(run=run)
    all_ = _parser(
        commands,
        "class-page",
        "write a page on all students of this device",
        "Write who of the students of this device is ready for the lesson, who has not practised, "
        "and which weak spots several share.",
    )
    all_.set_defaults(run=run_class)


def _parser(
    commands: argparse._SubParsersAction[argparse.ArgumentParser], name: str, does: str, about: str
) -> argparse.ArgumentParser:
    parser = commands.add_parser(
        name,
        help=does,
        description=about,
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    add_folder(parser, "students are")
    parser.add_argument(
        "--out",
        metavar="FILE",
        type=_page_path,
        required=True,
        help="the file to write, ending in .pdf or .png",
    )
    return parser


def _page_path(text: str) -> Path:
    """The path of a page to be written in a folder that is there."""
    path = Path(text)
    if path.suffix.lower() not in ENDINGS:
        raise argparse.ArgumentTypeError(
            f"{text!r} should end in {listed(ENDINGS, 'or')}: these are written"
        )
    if not path.parent.is_dir():
        raise argparse.ArgumentTypeError(f"there is no folder {path.parent}; make it first")
    return path


def run(options: argparse.Namespace) -> int:
    home, now = home_of(options), datetime.now(UTC)
    if not home.is_dir():
        return refuse(NO_FOLDER.format(home))
    student = student_of(options)
    if not _has_log(student):
        others = [one.name for one in Students(home).all() if one.name and _has_log(one)]
        if "student" not in options and others:
            return refuse(f"Say whose page it is to be: {listed(others, 'or')}.")
        return refuse(f"{student.words} has not practised here yet: {student.folder} holds no log.")
    with standing_in(student.folder, now, home=home) as standing:
        page = lesson_page(standing)
    return _write(lesson_paper(page), options.out, now, f"{page.ready.headline}.")


def _has_log(student: Known) -> bool:
    return (student.folder / LOG_NAME).exists()


def run_class(options: argparse.Namespace) -> int:
    home, now = home_of(options), datetime.now(UTC)
    if not home.is_dir():
        return refuse(NO_FOLDER.format(home))
    page = whole_class(home, now)
    return _write(class_paper(page), options.out, now, page.counts)


def _write(paper: Paper, path: Path, now: datetime, said: str) -> int:
    for written in write_paper(paper, path, made=now):
        print(f"{written}: {paper.title}. {said}")
    return 0
