"""`main.py sound`: a line of sargam becomes a sound file."""

from __future__ import annotations

import argparse
from dataclasses import replace

from audio import render
from audio.format import SAMPLE_RATE
from audio.playing import score_of
from audio.sargam import parse
from audio.score import Drone, Score
from audio.wav import write_wav
from desk.options import add_sa, add_tuning, number_between, read_tuning, wav_path

LONGEST_S = 1800.0
DRONES = {"Sa-Pa": "P", "Sa-Ma": "m", "Sa-Ni": "N", "none": None}
DRONE_LEAD_S = 1.5

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
    parser.add_argument(
        "--out", metavar="FILE", type=wav_path, required=True, help="the WAV file to write"
    )
    add_sa(parser)
    add_tuning(parser)
    parser.add_argument(
        "--matras",
        metavar="N",
        type=number_between(10, 700, "matras a minute"),
        default=60.0,
        help="tempo in matras a minute (%(default)g unless given)",
    )
    parser.add_argument(
        "--drone",
        choices=tuple(DRONES),
        default="none",
        help="a tanpura under the line, by its first string and Sa (none unless given)",
    )
    parser.add_argument(
        "--voice", choices=("sitar",), default="sitar", help="what plays the line (sitar)"
    )
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    first = DRONES[options.drone]
    score = score_of(
        parse(options.sargam),
        read_tuning(options.tuning),
        sa_hz=options.sa,
        matras_per_min=options.matras,
        drone=None if first is None else Drone(first),
        lead_s=0.0 if first is None else DRONE_LEAD_S,
    )
    score = with_voice(score, options.voice)
    if score.duration_s > LONGEST_S:
        print(
            f"The line would last {score.duration_s / 60:.0f} minutes; at most "
            f"{LONGEST_S / 60:.0f} can be written. Shorten it or raise --matras."
        )
        return 1
    write_wav(options.out, render.blocks(score))
    print(f"{options.out}: {render.frames_of(score) / SAMPLE_RATE:.1f} s")
    return 0


def with_voice(score: Score, voice: str) -> Score:
    return replace(score, strokes=tuple(replace(s, voice=voice) for s in score.strokes))
