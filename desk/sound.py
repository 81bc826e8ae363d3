"""`main.py sound`: a line of sargam becomes a sound file."""

from __future__ import annotations

import argparse

from audio.playing import score_of
from audio.resonance import resounding
from audio.sargam import parse
from desk.options import add_sa, add_tuning, read_tuning
from desk.writing import add_drone, add_matras, add_out, drone_of, write_score

EXAMPLES = """\
examples:
  main.py sound "S R G m P D N S'" --out scale.wav
  main.py sound "N, R G R S" --sa 146.83 --matras 80 --drone Sa-Pa --out phrase.wav
  main.py sound "S - RG mP | D - . S'" --tuning equal --out rhythm.wav
  main.py sound "S R/m - (P)m G~ - {SR} -" --drone Sa-Pa --out ornaments.wav

how to write sargam:
  S r R g G m M P d D n N   swaras; small letters are komal, m shuddha and M tivra Ma
  N, S'                     lower and upper octave
  SR                        two notes to one matra
  S - .                     - holds the note on, . is a rest, | a bar, S:3/2 one and a half matras
  R/m m\\R                   meend up and down; S//P P\\\\S ghaseet along the frets
  S<R R>S {SR}              sparsh, krintan, zamzama
  (P)m (RSN,)S              kan, murki
  r~ r~~                    andolan, gamak
  Sccc                      three strokes of the chikari after Sa
"""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser(
        "sound",
        help="play a line of sargam into a WAV file",
        description="Play a line of sargam into a WAV file.",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("sargam", help="the line, in quotes")
    add_out(parser)
    add_sa(parser)
    add_tuning(parser)
    add_matras(parser)
    add_drone(parser)
    parser.add_argument(
        "--no-body", action="store_true", help="the string alone, without the body of the sitar"
    )
    parser.add_argument("--tarab", action="store_true", help="with sympathetic strings")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    drone, lead_s = drone_of(options)
    score = score_of(
        parse(options.sargam),
        read_tuning(options.tuning),
        sa_hz=options.sa,
        matras_per_min=options.matras,
        drone=drone,
        lead_s=lead_s,
    )
    score = resounding(score, body=not options.no_body, tarab=options.tarab)
    return write_score(score, options)
