"""What very many judged questions add up to, kind by kind: counted, printed, and told as an exit.

Shared by the scripts that ask all questions of a sort: `all_stage_questions` and
`all_tala_questions`.
"""

from __future__ import annotations

import argparse
import os
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field

from scipy.stats import chisquare

from quizzes import Question, Setting, make_question
from quizzes.kept import skills_of
from tests.quizzes import raga_reader

LEAST_P = 1e-4
"""Fails once in ten thousand for a fair maker; the seeds are fixed."""
LOUDEST = 4.0


@dataclass
class Tally:
    """What was found of one kind."""

    kind: str
    asked: int = 0
    faults: list[str] = field(default_factory=list)
    again: int = 0
    """Cues that sounded before."""
    places: dict[int, Counter[int]] = field(default_factory=dict)
    shown: dict[str, list[raga_reader.Shown]] = field(default_factory=lambda: defaultdict(list))
    """For the reader, by what the skill begins with."""
    by_sound: float = 0.0
    """How much oftener than by chance something in the cue that should tell nothing names the
    answer, in standard errors."""
    more: list[str] = field(default_factory=list)
    """Further lines to be printed."""

    def place(self, question: Question) -> None:
        """Count at which place the right one of the choices stands."""
        ids = [choice.id for choice in question.choices]
        self.places.setdefault(len(ids), Counter())[ids.index(question.right[0])] += 1

    def evenness(self) -> float:
        """The least p of a chi-square against an even spread, over the numbers of choices."""
        return min(
            (
                float(chisquare([counts[place] for place in range(size)]).pvalue)
                for size, counts in self.places.items()
                if counts.total() >= 5 * size
            ),
            default=1.0,
        )

    def read(self) -> dict[str, raga_reader.Score]:
        scores = {begin: raga_reader.read(some) for begin, some in self.shown.items()}
        return {begin: score for begin, score in scores.items() if score is not None}

    def is_clean(self) -> bool:
        learns = any(score.learns for score in self.read().values())
        fair = self.evenness() > LEAST_P and self.by_sound < LOUDEST and not learns
        return fair and not self.faults and not self.again


def ask(
    kind: str,
    count: int,
    some_setting: Callable[[str, Sequence[str], int], Setting],
    first: int = 0,
) -> Iterator[Question | str]:
    """So many questions, all skills in turn or, of few, spread over the whole kind, each with the
    seed of its number; one that cannot be made is told in words. `some_setting` is given the skill,
    all skills of the kind and the seed."""
    skills = tuple(skill.id for skill in skills_of(kind))
    for seed in range(first, first + count):
        at = seed - first
        skill = skills[at % len(skills) if count >= len(skills) else at * len(skills) // count]
        try:
            yield make_question(skill, seed=seed, setting=some_setting(skill, skills, seed))
        except Exception as error:
            yield f"{skill} seed {seed}: cannot be made: {type(error).__name__} {error}"


def told(found: Tally, some: int, sound: str) -> str:
    """A row of the table, the reader and some of the faults."""
    row = (
        f"{found.kind:14} {found.asked:6} {len(found.faults):6} {found.evenness():8.4f} "
        f"{found.again:6} {found.by_sound:+{max(8, len(sound))}.1f}"
    )
    reads = [
        f"    reader, {begin}: looks {score.by_looks:.3f} memory {score.by_memory:.3f} "
        f"chance {score.chance:.3f} bound {score.bound:.3f}{' LEARNS' * score.learns}"
        for begin, score in found.read().items()
    ]
    lines = [*reads, *(f"    {line}" for line in found.more)]
    return "\n".join([row, *lines, *(f"    {fault}" for fault in found.faults[:some])])


def main(
    about: str, tally: Callable[[str, int, int], Tally], names: Sequence[str], *, sound: str
) -> int:
    """Ask, judge and print; 1 where anything is amiss. `sound` heads the column of `by_sound`."""
    parser = argparse.ArgumentParser(description=about)
    parser.add_argument("--count", type=int, default=3_000, help="questions of each kind")
    parser.add_argument("--kinds", nargs="*", default=None)
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--faults", type=int, default=3, help="how many to print of each kind")
    parser.add_argument("--loud", type=int, default=150, help="cues by ear to be rendered")
    asked = parser.parse_args()
    print(f"{'kind':14} {'asked':>6} {'faults':>6} {'even p':>8} {'again':>6} {sound:>8}")
    kinds, clean = asked.kinds or names, True
    counts, louds = [asked.count] * len(kinds), [asked.loud] * len(kinds)
    with ProcessPoolExecutor(asked.workers, initializer=os.nice, initargs=(10,)) as pool:
        for found in pool.map(tally, kinds, counts, louds):
            print(told(found, asked.faults, sound), flush=True)
            clean = clean and found.is_clean()
    return 0 if clean else 1
