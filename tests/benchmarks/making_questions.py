"""What a question costs until its sound has begun, beside peers.

Run by hand: `python tests/benchmarks/making_questions.py [--times 60]`. Makes questions of each
kind, all skills in turn, and their sound up to the first block that is not silent: what a session
makes before anybody waits, and the silent lead that it may leave for later.
Prints the median and the 95th percentile in ms, how much of the median is making the question, and
the ratio of medians to two peers: a question of the kind `gap` made and begun alike, and one bare
pluck begun by the renderer. Each kind's questions and its peers' are made by turns, since the
machine is shared.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from audio import render
from audio.score import Score, Stroke
from practice.sounding import Instrument
from quizzes import KINDS, Setting, make_question
from quizzes.kinds import OWN_KINDS

SA_HZ = 138.59
PEER = "gap"
WANTED_MS = 50.0


def begin(score: Score) -> None:
    """A score's strokes up to the first sound; the costly part of a pluck is its start."""
    next(block for block in Instrument().blocks(score) if block.any())


def spent_ms(work: Callable[[], object]) -> float:
    before = time.perf_counter()
    work()
    return 1000.0 * (time.perf_counter() - before)


def maker(kind: str) -> Callable[[int], Score]:
    """Makes a question of this kind, a new one for each number, and gives its cue."""
    skills = tuple(skill.id for skill in KINDS[kind].skills())
    setting = Setting(sa_hz=SA_HZ, met=skills)
    return lambda number: (
        make_question(skills[number * 7 % len(skills)], seed=number, setting=setting).cue
    )


def bare_pluck(number: int) -> Score:
    return Score(SA_HZ, (Stroke(0.0, 1.0, ((0.0, 100.0 * (number % 12)),)),))


def measured(kind: str, times: int) -> tuple[list[float], list[float], list[float], list[float]]:
    """For this kind, the question alone and until it sounds; the two peers until they sound."""
    ours, peer = maker(kind), maker(PEER)
    alone, sounding, peers, plucks = [], [], [], []
    for number in range(times):
        cues: list[Score] = []
        alone.append(spent_ms(lambda n=number, c=cues: c.append(ours(n))))
        sounding.append(alone[-1] + spent_ms(lambda c=cues: begin(c[0])))
        peers.append(spent_ms(lambda n=number: begin(peer(n))))
        plucks.append(spent_ms(lambda n=number: begin(bare_pluck(n))))
    return alone, sounding, peers, plucks


def p95(values: list[float]) -> float:
    return sorted(values)[int(0.95 * (len(values) - 1))]


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--times", type=int, default=60, help="questions of each kind")
    parser.add_argument("--kinds", nargs="*", default=None)
    asked = parser.parse_args()
    render.warm_up()
    kinds = asked.kinds or OWN_KINDS
    print(f"{'kind':18} {'median':>8} {'p95':>8} {'question':>9} {'to gap':>7} {'to pluck':>9}")
    slow = []
    for kind in kinds:
        first = spent_ms(lambda k=kind: maker(k)(0))
        alone, sounding, peers, plucks = measured(kind, asked.times)
        median = statistics.median(sounding)
        if median >= WANTED_MS:
            slow.append(kind)
        print(
            f"{kind:18} {median:8.1f} {p95(sounding):8.1f} {statistics.median(alone):9.1f} "
            f"{median / statistics.median(peers):7.2f} "
            f"{median / statistics.median(plucks):9.2f}   first question {first:.0f} ms"
        )
    print(f"median below {WANTED_MS:.0f} ms: {'all' if not slow else 'not ' + ', '.join(slow)}")
    return 1 if slow else 0


if __name__ == "__main__":
    sys.exit(main())
