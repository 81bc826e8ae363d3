"""`main.py log sync`: look into the folder kept in step, and set which one that is."""

from __future__ import annotations

import argparse
import sys
from datetime import UTC, datetime
from pathlib import Path

from desk.options import home_of
from desk.writing import refuse
from practice.device import load_device
from practice.sync_round import Round
from practice.sync_words import all_taken_words, shown, written_words
from practice.syncing import keep_in_step, keep_none_in_step, look_around, take_all
from quizzes.names import listed

WHAT = "look into the folder kept in step: put answers there, take in others'"
ALL, KNOWN = "all", "known"


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--folder-in-step",
        metavar="PATH",
        type=Path,
        help="keep this folder in step from now on: one that a service of yours keeps the same on "
        "several devices",
    )
    parser.add_argument(
        "--take",
        choices=(KNOWN, ALL),
        help="from now on take in those who practise on this device, or all students found there, "
        "as a teacher wants it",
    )
    parser.add_argument(
        "--stop", action="store_true", help="keep no folder in step any more; what lies there stays"
    )


def run(options: argparse.Namespace) -> int:
    home = home_of(options)
    if options.stop:
        if options.folder_in_step is not None or options.take is not None:
            return refuse("--stop goes with no other option: it keeps no folder in step any more.")
        keep_none_in_step(home)
        print("No folder is kept in step.")
        return 0
    if options.folder_in_step is not None:
        keep_in_step(home, options.folder_in_step)
    if options.take is not None:
        take_all(home, options.take == ALL)
    found = look_around(home, datetime.now(UTC))
    if found is None:
        return refuse("No folder is kept in step. Name one with --folder-in-step PATH.")
    return _tell(found, load_device(home)[0].sync_folder)


def _tell(found: Round, folder: str) -> int:
    for fault in found.faults:
        print(fault, file=sys.stderr)
    if found.trouble:
        print(found.trouble, file=sys.stderr)
    if taken := all_taken_words(found.taken, found.noted):
        print(f"Taken in: {taken}.")
    if found.written:
        print(f"Put there: {written_words(found.written)}.")
    if not (taken or found.written or found.trouble):
        print(f"{shown(folder)}: nothing new.")
    if found.strangers:
        names = listed([stranger.name or stranger.place for stranger in found.strangers])
        print(
            f"Found there, and not on this device: {names}. --take all takes in every student; "
            "`main.py log import` takes in the file of one."
        )
    return 1 if found.trouble or found.faults else 0
