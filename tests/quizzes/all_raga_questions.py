"""Very many seeded questions about ragas, all judged: are they sound, fair and always new?

Run by hand: `.venv/bin/python -m tests.quizzes.all_raga_questions [--count 20000] [--kinds ...]
[--workers 1] [--faults 3]`. Asks all skills of each kind in turn, of students who have met some of
them at random and confuse some at random. Prints, by kind: questions, faults and some of them,
whether right answers are spread evenly over the places (the least p of a chi-square over the
numbers of choices), what a reader without ears gets right beside chance, and cues that sounded
before.
"""

from __future__ import annotations

import argparse
import os
import random
import sys
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from itertools import permutations

from scipy.stats import chisquare

from quizzes import KINDS, Question, Setting, make_question
from quizzes.kept import skills_of
from quizzes.question import KEYS_APART
from tests.quizzes import raga_judges, raga_reader

SA_HZ = 138.59
"""C sharp 3, of a low voice (common practice)."""
MOST_RIVALS = 3
LEAST_P = 1e-4
"""Fails once in ten thousand for a fair maker; the seeds are fixed."""


def kinds() -> list[str]:
    """All kinds that ask about ragas."""
    return [name for name in KINDS if name.startswith("raga-")]


def some_setting(skills: tuple[str, ...], seed: int) -> Setting:
    """Of a student who has met some skills of this kind and confuses a few, at random."""
    luck = random.Random(seed)
    met = tuple(luck.sample(skills, luck.randint(0, len(skills))))
    rivals = tuple(luck.sample(skills, min(len(skills), luck.randint(0, MOST_RIVALS))))
    return Setting(sa_hz=SA_HZ, met=met, rivals=rivals)


def ask(kind: str, count: int) -> Iterator[Question | str]:
    """So many questions, all skills in turn, each with the seed of its number.

    Of few questions, the skills are spread over the whole kind. A question that cannot be made is
    told in words.
    """
    skills = tuple(skill.id for skill in skills_of(kind))
    for seed in range(count):
        skill = skills[seed % len(skills) if count >= len(skills) else seed * len(skills) // count]
        try:
            yield make_question(skill, seed=seed, setting=some_setting(skills, seed))
        except Exception as error:
            yield f"{skill} seed {seed}: cannot be made: {type(error).__name__} {error}"


@dataclass
class Tally:
    """What was found of one kind."""

    kind: str
    asked: int = 0
    faults: list[str] = field(default_factory=list)
    unsound: int = 0
    """Questions with a fault."""
    heard_before: int = 0
    places: dict[int, Counter[int]] = field(default_factory=dict)
    """By the number of places, how often the right answer stood at each."""
    shown: list[raga_reader.Shown] = field(default_factory=list)

    def evenness(self) -> dict[int, float]:
        """The p of a chi-square against an even spread, by the number of places."""
        return {
            size: float(chisquare([counts[place] for place in range(size)]).pvalue)
            for size, counts in sorted(self.places.items())
            if counts.total() >= 5 * size
        }


def tally(kind: str, count: int) -> Tally:
    """Ask and judge."""
    found = Tally(kind)
    cues: set[int] = set()
    for question in ask(kind, count):
        found.asked += 1
        if isinstance(question, str):
            found.unsound += 1
            found.faults.append(question)
            continue
        faults = raga_judges.faults(question)
        found.unsound += bool(faults)
        found.faults += faults
        cue = hash(question.cue)
        found.heard_before += cue in cues
        cues.add(cue)
        if question.answer_on != "sargam":  # its letters have no places of their own
            size, place = place_of(question)
            found.places.setdefault(size, Counter())[place] += 1
        if (seen := raga_reader.shown(question)) is not None:
            found.shown.append(seen)
    return found


def place_of(question: Question) -> tuple[int, int]:
    """Among how many places the right answer stands at which.

    A line that takes every key has the places of all orders of the pad, where these are few.
    """
    ids = [choice.id for choice in question.choices]
    if not question.is_line:
        return len(ids), ids.index(question.right[0])
    keys = tuple(question.right[0].split(KEYS_APART))
    if len(ids) <= 4 and sorted(keys) == sorted(ids):
        orders = list(permutations(ids))
        return len(orders), orders.index(keys)
    return len(ids), ids.index(keys[0])


def told(found: Tally, some: int) -> str:
    """A row of the table, and some of the faults."""
    evenness = found.evenness()
    even = f"{min(evenness.values()):.4f}" if evenness else "-"
    score = raga_reader.read(found.shown)
    reads = "-"
    if score is not None:
        reads = (
            f"looks {score.by_looks:.3f} memory {score.by_memory:.3f} "
            f"chance {score.chance:.3f} bound {score.bound:.3f}{' LEARNS' * score.learns}"
        )
    row = (
        f"{found.kind:18} {found.asked:6} {found.unsound:6} {len(found.faults):6} "
        f"{even:>8} {found.heard_before:6}  {reads}"
    )
    return "\n".join([row, *(f"    {fault}" for fault in found.faults[:some])])


def is_clean(found: Tally) -> bool:
    score = raga_reader.read(found.shown)
    even = all(p > LEAST_P for p in found.evenness().values())
    return not found.faults and not found.heard_before and even and not (score and score.learns)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=20_000, help="questions of each kind")
    parser.add_argument("--kinds", nargs="*", default=None)
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--faults", type=int, default=3, help="how many to print of each kind")
    asked = parser.parse_args()
    print(
        f"{'kind':18} {'asked':>6} {'unsound':>6} {'faults':>6} {'even p':>8} {'again':>6}  reader"
    )
    names = asked.kinds or kinds()
    clean = True
    with ProcessPoolExecutor(asked.workers, initializer=os.nice, initargs=(10,)) as pool:
        for found in pool.map(tally, names, [asked.count] * len(names)):
            print(told(found, asked.faults), flush=True)
            clean = clean and is_clean(found)
    return 0 if clean else 1


if __name__ == "__main__":
    sys.exit(main())
