"""Writing a score to a sound file: options that the commands share, and the limit to its length."""

from __future__ import annotations

import argparse
import sys

from audio import render
from audio.format import SAMPLE_RATE
from audio.score import Drone, Score
from audio.theka import FASTEST, SLOWEST
from audio.wav import write_wav
from desk.options import number_between, wav_path

LONGEST_S = 1800.0
DRONES = {"Sa-Pa": "P", "Sa-Ma": "m", "Sa-Ni": "N", "none": None}
DRONE_LEAD_S = 1.5


def add_out(parser: argparse.ArgumentParser, *, needed: bool = True) -> None:
    parser.add_argument(
        "--out", metavar="FILE", type=wav_path, required=needed, help="the WAV file to write"
    )


def add_play(parser: argparse.ArgumentParser, what: str) -> None:
    """For a command that tells of something, and plays it only where a file is named."""
    parser.add_argument("--play", action="store_true", help=f"play {what} into the file of --out")
    add_out(parser, needed=False)


def add_matras(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--matras",
        metavar="N",
        type=number_between(SLOWEST, FASTEST, "matras a minute"),
        default=60.0,
        help="tempo in matras a minute (%(default)g unless given)",
    )


def add_drone(parser: argparse.ArgumentParser, *, unless_given: str = "none") -> None:
    parser.add_argument(
        "--drone",
        choices=tuple(DRONES),
        default=unless_given,
        help=f"a tanpura under it, by its first string and Sa ({unless_given} unless given)",
    )


def drone_of(options: argparse.Namespace) -> tuple[Drone | None, float]:
    """The drone that was asked for and how long it sounds alone, in seconds."""
    first = DRONES[options.drone]
    return (None, 0.0) if first is None else (Drone(first), DRONE_LEAD_S)


def refuse(why: str) -> int:
    """Say why nothing was written; the exit code of that."""
    print(why, file=sys.stderr)
    return 1


def write_score(score: Score, options: argparse.Namespace) -> int:
    """Write the file that was asked for and say so; 1 where the score is too long for it."""
    if score.duration_s > LONGEST_S:
        return refuse(
            f"It would last {score.duration_s / 60:.0f} minutes; at most "
            f"{LONGEST_S / 60:.0f} can be written. Shorten it or raise --matras."
        )
    write_wav(options.out, render.blocks(score))
    print(f"{options.out}: {render.frames_of(score) / SAMPLE_RATE:.1f} s")
    return 0
