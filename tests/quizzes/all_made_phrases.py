"""Very many random phrases in all ragas, tried by the program and by the oracle.

Run by hand: `.venv/bin/python -m tests.quizzes.all_made_phrases [--count 100000] [--faults 10]`.
Prints how many phrases were welcome, in doubt and surely broken, and where the two disagree: what
is surely forbidden the oracle must not admit, and what is welcome wholly it must.
"""

from __future__ import annotations

import argparse
import random
import sys
from collections import Counter

from audio.line import Line
from audio.tuning import Swara
from quizzes.making.phrases import Heard
from quizzes.making.trying import is_made_by, tried
from quizzes.ragas import Raga, ragas
from quizzes.ragas.sounding import plain_line
from tests.quizzes import raga_oracle as oracle

LOW, HIGH = -7, 17
"""From mandra Ma, the open string, to tar Ma."""


def near_phrase(luck: random.Random, raga: Raga) -> tuple[int, ...]:
    """Swaras mostly of the raga's own that move by small steps, as semitones above Sa; one in five
    is a semitone off."""
    own = [step for step in range(LOW, HIGH + 1) if Swara.at(step).letter in raga.own]
    at, steps = luck.randrange(len(own)), []
    for _ in range(luck.randint(2, 9)):
        at = min(max(at + luck.randint(-3, 3), 0), len(own) - 1)
        off = luck.choice((-1, 1, 0, 0, 0, 0, 0, 0, 0, 0))
        steps.append(min(max(own[at] + off, LOW), HIGH))
    return tuple(steps)


def line_of(steps: tuple[int, ...]) -> Line:
    return plain_line([Swara.at(step) for step in steps])


def faults(raga: Raga, steps: tuple[int, ...]) -> list[str]:
    """Where the program and the oracle disagree on a phrase, in words."""
    heard, judge = Heard(line_of(steps)), oracle.all_ragas()[raga.id]
    found, left, slips = tried(raga, heard), judge.left(steps), judge.slips(steps)
    wrong = []
    if found.surely_broken and (left is None or not slips):
        wrong.append(f"is surely forbidden, though the oracle has it: {found.against}")
    if found.is_welcome and slips:
        wrong.append(f"is welcome, though {slips}")
    if left is not None and not found.surely_broken and "light" not in raga.gait.value:
        wrong.append(f"is not forbidden, though {left}")
    if (found.share == 1.0) == found.surely_broken or found.is_welcome != is_made_by(raga, heard):
        wrong.append(f"does not agree with itself: {found}")
    return [f"{raga.name}: {oracle.written(steps)} {each}" for each in wrong]


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=100_000)
    parser.add_argument("--faults", type=int, default=10, help="how many to print")
    asked = parser.parse_args()
    luck, known, found = random.Random(asked.count), list(ragas().values()), Counter()
    wrong = []
    for _ in range(asked.count):
        raga = luck.choice(known)
        steps = near_phrase(luck, raga)
        judged = tried(raga, Heard(line_of(steps)))
        found["welcome"] += judged.is_welcome
        found["surely broken"] += judged.surely_broken
        found["in doubt"] += judged.is_doubtful and not judged.surely_broken
        wrong += faults(raga, steps)
    print(f"{asked.count} phrases: {dict(found)}; {len(wrong)} faults")
    print("\n".join(wrong[: asked.faults]))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
