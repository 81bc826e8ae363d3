"""`main.py words`: what is said, for those who translate it."""

from __future__ import annotations

import argparse
from pathlib import Path

from words import LANGUAGES

OTHERS = tuple(code for code in LANGUAGES if code != "en")


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser(
        "words",
        help="what is said, for translators",
        description="Say how far the catalogue of each language goes and what is wrong with it; "
        "write what it lacks, or all there is to translate, as a gettext file.",
    )
    parser.add_argument("language", nargs="?", choices=OTHERS, help="only this language")
    parser.add_argument("--lacking", type=Path, metavar="FILE", help="write what it lacks here")
    parser.add_argument("--all", type=Path, metavar="FILE", help="write all there is to translate")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    from desk.catalogues import gathered, read, written  # which a start of the app can do without

    said = gathered()
    if options.all is not None:
        written(said).save(str(options.all))
        print(f"{len(said)} texts are in {options.all}.")
    if options.lacking is not None and options.language is None:
        print("--lacking needs a language: main.py words hi --lacking FILE")
        return 2
    wrong = False
    for language in [options.language] if options.language else OTHERS:
        entries, found = read(language)
        lacking = {message: places for message, places in said.items() if message not in entries}
        found += [f"{e.text!r} is said nowhere" for e in entries if e not in said]
        print(f"{language}: {len(said) - len(lacking)} of {len(said)} texts; {len(found)} faults")
        for fault in found:
            print(f"    {fault}")
        if options.lacking is not None:
            written(lacking).save(str(options.lacking))
            print(f"What it lacks is in {options.lacking}.")
        wrong = wrong or bool(found)
    return int(wrong)
