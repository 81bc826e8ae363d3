"""`main.py lesson-page` and `class-page`: what students' answers tell, on paper or as a picture."""

from __future__ import annotations

import argparse
from datetime import UTC, datetime
from pathlib import Path

from desk.options import add_folder
from desk.writing import refuse
from practice import default_folder
from practice.pages.class_sheet import class_paper
from practice.pages.gathering import whole_class
from practice.pages.lesson_page import lesson_page
from practice.pages.lesson_sheet import lesson_paper
from practice.pages.sheets import Paper
from practice.pages.writing import ENDINGS, write_paper
from practice.standing import LOG_NAME, standing_in
from practice.students import Students
from quizzes.names import listed

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
    home, now = options.folder or default_folder(), datetime.now(UTC)
    students = Students(home)
    student = students.named(options.student) if options.student else students.current()
    if not (student.folder / LOG_NAME).exists():
        return refuse(f"{student.words} has not practised here yet: {student.folder} holds no log.")
    with standing_in(student.folder, now, home=home) as standing:
        page = lesson_page(standing)
    return _write(lesson_paper(page), options.out, now, f"{page.ready.headline}.")


def run_class(options: argparse.Namespace) -> int:
    home, now = options.folder or default_folder(), datetime.now(UTC)
    page = whole_class(home, now)
    return _write(class_paper(page), options.out, now, page.counts)


def _write(paper: Paper, path: Path, now: datetime, said: str) -> int:
    for written in write_paper(paper, path, made=now):
        print(f"{written}: {paper.title}. {said}")
    return 0
