"""`main.py strokes`: a line of bols of the mizrab becomes a sound file, over a theka if wished."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import replace
from itertools import cycle, islice

from audio.errors import SargamError
from audio.headroom import ALONE_DB
from audio.line import Tone
from audio.mizrab import Bol, matras_of, pitches_in, read_bols, strokes_of
from audio.playing import RING_S
from audio.sargam import parse
from audio.score import Score, Stroke
from audio.theka import read_theka, theka_strokes
from desk.options import add_sa, add_tuning, read_tuning, whole_between
from desk.writing import add_drone, add_matras, add_out, drone_of, refuse, write_score
from quizzes.talas import load_tala, tala_ids

MOST_TIMES = 1000

EXAMPLES = """\
examples:
  main.py strokes "dir da dir da ra da da ra" --times 2 --theka tintal --from 12 --out gat.wav
  main.py strokes "da chikari chikari chikari" --times 8 --matras 400 --out jhala.wav
  main.py strokes --theka jhaptal --times 2 --matras 90 --out jhaptal.wav

bols:
  da ra         the mizrab strikes inward, outward
  dir dra dar   both in one matra, in one sweep, in one matra and a half
  chikari       the high drone strings
  -             the string rings on
"""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser(
        "strokes",
        help="play bols of the mizrab, a theka, or both into a WAV file",
        description="Play a line of bols of the mizrab, a theka, or both into a WAV file.",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("bols", nargs="?", help="the line, in quotes; without it the theka alone")
    parser.add_argument(
        "--times",
        metavar="N",
        type=whole_between(1, MOST_TIMES, "how often"),
        default=1,
        help="how often the line is played, or the theka without one (%(default)s unless given)",
    )
    parser.add_argument(
        "--swaras",
        metavar="SARGAM",
        default="S",
        help="what is played, one swara to a bol, over and over (%(default)s unless given)",
    )
    parser.add_argument("--theka", choices=tala_ids(), help="with the tabla, in this tala")
    parser.add_argument(
        "--from",
        dest="from_matra",
        metavar="N",
        type=whole_between(1, 128, "a matra"),
        default=1,
        help="the matra of the tala on which it begins (%(default)s, sam, unless given)",
    )
    add_out(parser)
    add_sa(parser)
    add_tuning(parser)
    add_matras(parser)
    add_drone(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    if options.bols is None and options.theka is None:
        return refuse("There is nothing to play: give a line of bols, --theka, or both.")
    if options.theka is None and options.from_matra != 1:
        return refuse("--from counts the matras of a theka: give --theka, too.")
    theka = None if options.theka is None else read_theka(load_tala(options.theka).theka)
    if theka is not None and options.from_matra > len(theka.matras):
        return refuse(
            f"--from {options.from_matra}: {options.theka} has {len(theka.matras)} matras; "
            f"give one from 1 to {len(theka.matras)}."
        )
    bols = () if options.bols is None else read_bols(options.bols) * options.times
    matras = matras_of(bols) if theka is None or bols else len(theka.matras) * options.times
    drone, lead_s = drone_of(options)
    score = Score(
        options.sa,
        _struck(bols, options),
        drone,
        lead_s,
        ()
        if theka is None
        else theka_strokes(
            theka,
            matras_per_min=options.matras,
            matras=matras,
            from_matra=options.from_matra - 1,
            level_db=0.0 if bols else ALONE_DB,
        ),
    )
    return write_score(score, options)


def _struck(bols: Sequence[Bol | str], options: argparse.Namespace) -> tuple[Stroke, ...]:
    """The strokes of the mizrab; the last one on the playing string rings on."""
    if not bols:
        return ()
    tuning = read_tuning(options.tuning)
    notes = list(parse(options.swaras).notes())
    if not notes:
        raise SargamError("there is no swara to strike", text=options.swaras, position=0)
    if any(note.tone != Tone(note.swara) for note in notes):
        raise SargamError(
            "here swaras are struck plainly; write ornaments in `main.py sound`",
            text=options.swaras,
            position=0,
        )
    swaras = [tuning.cents_of(note.swara) for note in notes]
    strokes = strokes_of(
        bols,
        list(islice(cycle(swaras), pitches_in(bols))),
        sa_hz=options.sa,
        matras_per_min=options.matras,
    )
    last = max((s for s in strokes if s.voice == "sitar"), key=lambda s: s.onset_s, default=None)
    return tuple(
        replace(stroke, duration_s=stroke.duration_s + RING_S) if stroke is last else stroke
        for stroke in strokes
    )
