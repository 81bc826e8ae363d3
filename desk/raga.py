"""`main.py raga`: what is known of a raga, and an alap phrase of it as a sound file."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from dataclasses import replace

from audio.resonance import resounding
from audio.sargam import write
from audio.score import Drone
from desk.options import add_sa, add_seed, add_tradition, add_tuning, tradition_of
from desk.raga_names import raga_named
from desk.raga_sheet import sheet
from desk.writing import DRONES, add_drone, add_play, refuse, write_score
from quizzes.fresh import Fresh
from quizzes.ragas import Raga, ragas
from quizzes.ragas.alap import alap_line, played

EXAMPLES = """\
examples:
  main.py raga
  main.py raga yaman
  main.py raga "Brindavani Sarang" --tradition my_teacher.toml
  main.py raga yaman --play --out yaman.wav
"""
OWN = "its own"


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser(
        "raga",
        help="list the ragas, tell what is known of one, play a phrase of it into a WAV file",
        description="List the ragas; or tell what is known of one, each fact with its source;\n"
        "or play an alap phrase of it into a WAV file.",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "raga", nargs="?", help="its id, or any name of it; without it all are listed"
    )
    add_tradition(parser)
    add_play(parser, "an alap phrase of it")
    add_seed(parser, "another number gives another phrase")
    add_sa(parser)
    add_tuning(parser)
    add_drone(parser, unless_given=OWN)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    known = ragas(tradition_of(options))
    if options.play != (options.out is not None):
        return refuse("To hear a phrase give both --play and --out FILE.")
    if options.raga is None:
        if options.play:
            return refuse("Say which raga is to be played; `main.py raga` lists them.")
        return _list(known)
    raga = raga_named(options.raga, known)
    if raga is None:
        return 1
    if options.play:
        return _play(raga, options)
    print(sheet(raga, known))
    return 0


def _list(known: Mapping[str, Raga]) -> int:
    widest = max(map(len, known)) + 2
    for raga in known.values():
        print(f"{raga.id:{widest}}{', '.join((raga.name, *raga.also))}")
    return 0


def _play(raga: Raga, options: argparse.Namespace) -> int:
    fresh = Fresh(f"alap of {raga.id}", options.seed)
    line = alap_line(fresh, raga)
    score = played(fresh, raga, line, sa_hz=options.sa, tuning=options.tuning)
    if options.drone != OWN:
        first = DRONES[options.drone]
        score = replace(score, drone=None if first is None else Drone(first))
    print(write(line))
    return write_score(resounding(score, body=True, tarab=False), options)
