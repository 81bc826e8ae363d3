"""`main.py kinds`: what can be asked."""

from __future__ import annotations

import argparse
from textwrap import wrap

from desk.options import add_tradition, tradition_of
from quizzes import KINDS, Kind
from quizzes.catalogue import added_skills, is_asked, skill_of
from quizzes.kept import skills_of
from quizzes.kinds import OWN_KINDS

WIDTH = 80


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser(
        "kinds",
        help="list what can be asked",
        description="List the kinds of question, or all skills of one kind.",
    )
    parser.add_argument("kind", nargs="?", choices=OWN_KINDS, help="list its skills")
    add_tradition(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    if options.kind is None:
        for name in OWN_KINDS:
            print(_line(KINDS[name]))
        return 0
    tradition = tradition_of(options)
    besides = [skill for skill in added_skills(tradition) if skill.kind == options.kind]
    known = [*skills_of(options.kind), *besides]
    skills = [skill_of(s.id, tradition) for s in known if is_asked(s.id, tradition)]
    widest = max(len(skill.id) for skill in skills)
    for skill in skills:
        print(f"{skill.id:{widest}}  {skill.name}")
    return 0


def _line(kind: Kind) -> str:
    """Its name, how many skills it has, and what is asked; what does not fit goes on below."""
    head = f"{kind.name:{max(map(len, OWN_KINDS))}}  {len(skills_of(kind.name)):4}  "
    return "\n".join(
        wrap(kind.title, WIDTH, initial_indent=head, subsequent_indent=" " * len(head))
    )
