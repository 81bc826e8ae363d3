"""Finds the settings with which each peer does best, by a seeded search over all worlds.

Run by hand: `python -m tests.benchmarks.simulated.peers.search [--minutes 15 5.5] [--trials 20]
[--students 1] [--seed 0] [--peer NAME ...] [--write]`. Prints, for each budget and peer, the best
setting over all worlds and the best for each world with hindsight; `--write` puts them into
`settings.toml`, in place of what stands there for these peers and budgets.

The first trials are a few made up beforehand and what `settings.toml` holds for any budget and
world; of the others some are drawn at random, the rest change one or two settings of the best so
far, over all worlds or in one of them. The best few are judged on twice as many other students,
too. A search so goes on from the last one.

`--check` holds the curves of `recall.py` and the updates beside the libraries themselves
(`checking.py`) and searches nothing. Needs the extra "benchmark".
"""

from __future__ import annotations

import argparse
import random
import statistics
import time
from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from tests.benchmarks.simulated.course import course
from tests.benchmarks.simulated.measures import measured
from tests.benchmarks.simulated.peers.found import ALL, FOUND, PATH, Found
from tests.benchmarks.simulated.peers.table import PEERS, Named, Settings
from tests.benchmarks.simulated.practice import Terms, practise
from tests.benchmarks.simulated.student import Student
from tests.benchmarks.simulated.worlds import WORLDS

FIRST_STUDENT = 500_000
"""Students from here on are the search's own; the benchmark's are counted from 0."""
_FINALISTS, _JUDGES, _AT_RANDOM = 3, 2, 0.4


class Trial:
    """One setting of one peer, and what it came to."""

    def __init__(self, peer: str, minutes: float, settings: Settings) -> None:
        self.settings = settings
        self._make, self._terms = PEERS[peer].make(settings), Terms(minutes=minutes)
        self._j: dict[tuple[str, int], float] = {}

    def run(self, students: Sequence[int]) -> Trial:
        """Let `students` practise in every world, those that have not done so yet."""
        items = course()
        for world in WORLDS:
            for seed in students:
                if (world, seed) not in self._j:
                    way, student = self._make(items, seed), Student(items, world, seed)
                    events = practise(way, items, student, self._terms, seed)
                    self._j[world, seed] = measured(events).J
        return self

    def j(self, world: str = ALL) -> float:
        """Mean J in one world, or over all."""
        return statistics.fmean(j for (of, _), j in self._j.items() if world in (of, ALL))


def search(peer: str, minutes: float, *, trials: int, students: int, seed: int = 0) -> list[Trial]:
    """The trials that were judged in the end, best over all worlds first."""
    rng = random.Random(f"{peer} {minutes} {seed}")
    few = range(FIRST_STUDENT, FIRST_STUDENT + students)
    many = range(FIRST_STUDENT, FIRST_STUDENT + (1 + _JUDGES) * students)
    done: dict[str, Trial] = {}
    for settings in _proposed(PEERS[peer], trials, done, rng):
        done[repr(settings)] = Trial(peer, minutes, settings).run(few)
    tried = list(done.values())
    finalists = {id(trial): trial for trial in _best(tried, ALL, _FINALISTS)}
    for world in WORLDS:
        finalists |= {id(trial): trial for trial in _best(tried, world, 1)}
    judged = [trial.run(many) for trial in finalists.values()]
    return sorted(judged, key=Trial.j, reverse=True)


def _proposed(
    peer: Named, trials: int, done: dict[str, Trial], rng: random.Random
) -> Iterator[Settings]:
    """Settings not tried yet; what is proposed depends on what those in `done` came to."""
    yield from peer.starts
    for row in FOUND:
        if PEERS[row.peer].space == peer.space:
            # Nothing is left out in the file but what is None.
            settings = {name: row.settings.get(name) for name in peer.space}
            if repr(settings) not in done:
                yield settings
    space, size = peer.space, 1
    for values in space.values():
        size *= len(values)
    goals = [ALL, *WORLDS]
    while len(done) < min(trials, size):
        if rng.random() < _AT_RANDOM or len(space) < 2:
            settings = {name: rng.choice(values) for name, values in space.items()}
        else:
            goal = ALL if rng.random() < 0.5 else rng.choice(goals)
            settings = dict(rng.choice(_best(list(done.values()), goal, 2)).settings)
            for name in rng.sample(list(space), rng.choice((1, 1, 2))):
                settings[name] = rng.choice(space[name])
        if repr(settings) not in done:
            yield settings


def _best(trials: Sequence[Trial], world: str, many: int) -> list[Trial]:
    return sorted(trials, key=lambda trial: trial.j(world), reverse=True)[:many]


def found(peer: str, minutes: float, judged: Sequence[Trial]) -> list[Found]:
    """The best over all worlds, then the best for each."""
    rows = []
    for world in (ALL, *WORLDS):
        best = max(judged, key=lambda trial: trial.j(world))
        rows.append(Found(peer, minutes, world, round(best.j(world), 4), best.settings))
    return rows


def written(rows: Sequence[Found], how: str) -> str:
    """The text of `settings.toml`."""
    lines = [f"# {line}" for line in how.splitlines()]
    for row in rows:
        given = {name: value for name, value in row.settings.items() if value is not None}
        inside = ", ".join(f"{name} = {_toml(value)}" for name, value in given.items())
        lines += ["", "[[found]]", f'peer = "{row.peer}"', f"minutes = {row.minutes}"]
        lines += [f'world = "{row.world}"', f"j = {row.j}"]
        lines += [f"settings = {{ {inside} }}" if inside else "settings = {}"]
    return "\n".join(lines) + "\n"


def _toml(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return f'"{value}"' if isinstance(value, str) else repr(value)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0] if __doc__ else "")
    parser.add_argument("--minutes", type=float, nargs="+", default=[15.0, 5.5])
    parser.add_argument("--trials", type=int, default=20)
    parser.add_argument("--students", type=int, default=1)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--peer", nargs="+", choices=list(PEERS), default=list(PEERS))
    parser.add_argument("--write", action="store_true")
    parser.add_argument("--check", action="store_true")
    options = parser.parse_args()
    if options.check:
        from tests.benchmarks.simulated.peers.checking import check_ebisu, check_fsrs

        check_fsrs()
        check_ebisu()
        print("our curves and updates agree with both libraries")
        return
    how = (
        f"Written by peers/search.py on {date.today()}: --trials {options.trials} "
        f"--students {options.students}.\nj is the mean over students of the search's own, so the "
        "best of many tries and a little too good."
    )
    rows: list[Found] = []
    for minutes in options.minutes:
        for peer in options.peer:
            began = time.perf_counter()
            judged = search(
                peer,
                minutes,
                trials=options.trials,
                students=options.students,
                seed=options.seed,
            )
            new = found(peer, minutes, judged)
            rows += new
            print(f"{peer}, {minutes:g} minutes ({time.perf_counter() - began:.0f} s)")
            for row in new:
                print(f"  {row.world:>4} {row.j:.3f} {dict(row.settings)}", flush=True)
            if options.write:
                searched = {(row.peer, row.minutes) for row in rows}
                kept = [row for row in FOUND if (row.peer, row.minutes) not in searched]
                PATH.write_text(written([*kept, *rows], how), "utf-8")


if __name__ == "__main__":
    main()
