"""`main.py raga`: what is known of a raga, what it says of a phrase, an alap as a sound file."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from dataclasses import replace

from audio.resonance import resounding
from audio.sargam import parse, write
from audio.score import Drone
from desk.options import add_sa, add_seed, add_tradition, add_tuning, tradition_of
from desk.raga_names import raga_named
from desk.raga_sheet import sheet
from desk.writing import DRONES, add_drone, add_play, refuse, write_score
from quizzes.fresh import Fresh
from quizzes.making import Heard, opinion, tried
from quizzes.making.opinion import OTHERWISE, RIGHT, TOLD
from quizzes.ragas import Raga, ragas
from quizzes.ragas.alap import alap_line, played

EXAMPLES = """\
examples:
  main.py raga
  main.py raga yaman
  main.py raga "Brindavani Sarang" --tradition my_teacher.toml
  main.py raga yaman --play --out yaman.wav
  main.py raga yaman --says "N, R G R S"
"""
OWN = "its own"
PHRASE = "N, R G R S"
WORDS = {RIGHT: "yes", OTHERWISE: "no", TOLD: "-"}
"""Before what the raga says, by its mark."""


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
    parser.add_argument(
        "--says",
        metavar="LINE",
        help="tell what the raga says of a line of sargam: what it welcomes and forbids, what it "
        "holds of its phrases, where it rests, which other ragas could play it",
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
        if options.play or options.says is not None:
            return refuse("Say which raga is meant; `main.py raga` lists them.")
        return _list(known)
    raga = raga_named(options.raga, known)
    if raga is None:
        return 1
    if options.says is not None:
        return _say(raga, options.says, known)
    if options.play:
        return _play(raga, options)
    print(sheet(raga, known))
    return 0


def _list(known: Mapping[str, Raga]) -> int:
    widest = max(map(len, known)) + 2
    for raga in known.values():
        print(f"{raga.id:{widest}}{', '.join((raga.name, *raga.also))}")
    return 0


def _say(raga: Raga, text: str, known: Mapping[str, Raga]) -> int:
    heard = Heard(parse(text))
    if not heard.notes:
        return refuse(f"There is no swara in {text!r}; write a phrase such as {PHRASE!r}.")
    for each in opinion(raga, heard, tried(raga, heard), known):
        print(f"{WORDS[each.mark]:<5}{each.text}")
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
