"""`main.py tala`: the talas, what is known of one, and its theka as a sound file."""

from __future__ import annotations

import argparse
import re
from collections.abc import Collection, Iterator, Mapping

from audio.headroom import ALONE_DB
from audio.score import Score
from audio.theka import FASTEST, SLOWEST, theka_strokes
from desk.options import add_sa, add_tradition, number_between, tradition_of, whole_between
from desk.tala_sheet import cycle, overview, sheet
from desk.unknown import near_ids, unknown
from desk.writing import add_drone, add_play, drone_of, refuse, write_score
from quizzes.talas import Tala, talas
from quizzes.talas.laya import layas

EXAMPLES = """\
examples:
  main.py tala
  main.py tala jhaptal
  main.py tala "ada chautal" --tradition my_teacher.toml
  main.py tala ektal --theka 3 --matras 24 --play --out ektal.wav
"""
USUAL = ("madhya", "vilambit", "drut")
"""Of the classes of laya the first in which a tala is usual is taken."""
MOST_CYCLES = 100
SPELLED_ALIKE = (("ee", "i"), ("oo", "u"), ("w", "v"), ("th", "t"))
"""What is written for one sound, or nearly one (common practice)."""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser(
        "tala",
        help="list the talas, tell what is known of one, play its theka into a WAV file",
        description="List the talas; or tell what is known of one, each fact with its source;\n"
        "or play cycles of its theka into a WAV file.",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "tala", nargs="?", help="its id, or any name of it; without it all are listed"
    )
    add_tradition(parser)
    add_play(parser, "its theka")
    parser.add_argument(
        "--theka",
        metavar="N",
        type=whole_between(1, 99, "a number of the sheet"),
        default=1,
        help="which of its thekas, as its sheet numbers them (%(default)s unless given)",
    )
    parser.add_argument(
        "--cycles",
        metavar="N",
        type=whole_between(1, MOST_CYCLES, "how often"),
        default=2,
        help="how often the cycle goes round (%(default)s unless given)",
    )
    parser.add_argument(
        "--matras",
        metavar="N",
        type=number_between(SLOWEST, FASTEST, "matras a minute"),
        help="tempo in matras a minute (one of its usual laya unless given)",
    )
    add_sa(parser)
    add_drone(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    known = talas(tradition_of(options))
    if options.play != (options.out is not None):
        return refuse("To hear a theka give both --play and --out FILE.")
    if options.tala is None:
        if options.play:
            return refuse("Say which tala is to be played; `main.py tala` lists them.")
        print(overview(known))
        return 0
    tala = _found(options.tala, known)
    if tala is None:
        return refuse(_unknown(options.tala, known))
    if options.play:
        return _play(tala, options)
    print(sheet(tala))
    return 0


def _found(name: str, known: Mapping[str, Tala]) -> Tala | None:
    """By its id or any of its names: first just so, then in another spelling."""
    for plain in (_letters, _alike):
        for tala in known.values():
            if plain(name) and plain(name) in map(plain, _names(tala)):
                return tala
    return None


def _names(tala: Tala) -> Iterator[str]:
    yield from (tala.id, tala.name, *tala.also)


def _letters(name: str) -> str:
    return "".join(letter for letter in name.casefold() if letter.isalnum())


def _alike(name: str) -> str:
    """In one spelling, no letter doubled and without the word tal: `chautal` for `Chau Taal`."""
    name = _letters(name)
    for written, sound in SPELLED_ALIKE:
        name = name.replace(written, sound)
    name = re.sub(r"(.)\1+", r"\1", name)
    return re.sub(r"(?<=.)tala?$", "", name)


def _unknown(name: str, known: Mapping[str, Tala]) -> str:
    ids = {_alike(each): tala.id for tala in known.values() for each in _names(tala)}
    return unknown(name, "tala", "`main.py tala` lists all", near_ids(_alike(name), ids))


def _play(tala: Tala, options: argparse.Namespace) -> int:
    if options.theka > len(tala.thekas):
        return refuse(
            f"--theka {options.theka}: {tala.name} has {len(tala.thekas)} here; "
            f"`main.py tala {tala.id}` numbers them."
        )
    text = tala.thekas[options.theka - 1]
    matras_per_min = options.matras or _usual(text.laya or tala.laya)
    drone, lead_s = drone_of(options)
    strokes = theka_strokes(
        text.theka,
        matras_per_min=matras_per_min,
        matras=tala.matras * options.cycles,
        level_db=ALONE_DB,
    )
    print("\n".join(cycle(tala.form, text.words)))
    print(
        f"{tala.name}, {matras_per_min:g} matras a minute; sam at {lead_s:.1f} s "
        f"and every {tala.matras * 60.0 / matras_per_min:.2f} s from there"
    )
    return write_score(Score(options.sa, (), drone, lead_s, strokes), options)


def _usual(laya: Collection[str]) -> float:
    return float(next(layas()[each].plain for each in USUAL if each in laya))
