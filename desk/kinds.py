"""`main.py kinds`: what can be asked."""

from __future__ import annotations

import argparse
from textwrap import wrap

from quizzes import KINDS, Kind
from quizzes.kept import skills_of

WIDTH = 80


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser(
        "kinds",
        help="list what can be asked",
        description="List the kinds of question, or all skills of one kind.",
    )
    parser.add_argument("kind", nargs="?", choices=tuple(KINDS), help="list its skills")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    if options.kind is None:
        for kind in KINDS.values():
            print(_line(kind))
        return 0
    skills = skills_of(options.kind)
    widest = max(len(skill.id) for skill in skills)
    for skill in skills:
        print(f"{skill.id:{widest}}  {skill.name}")
    return 0


def _line(kind: Kind) -> str:
    """Its name, how many skills it has, and what is asked; what does not fit goes on below."""
    head = f"{kind.name:{max(map(len, KINDS))}}  {len(skills_of(kind.name)):4}  "
    return "\n".join(
        wrap(kind.title, WIDTH, initial_indent=head, subsequent_indent=" " * len(head))
    )
