"""`main.py kinds`: what can be asked."""

from __future__ import annotations

import argparse

from quizzes import KINDS


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
            print(f"{kind.name:12} {kind.title} ({len(kind.skills())} skills)")
        return 0
    for skill in KINDS[options.kind].skills():
        print(f"{skill.id:28} {skill.name}")
    return 0
