"""Runs paltas and all orders of prastaras in all ragas and judges them by the ragas' files alone.

    python -m tests.quizzes.all_palta_runs --swaras 6

tries every shipped palta and every order of 3 to so many swaras in each of the ragas.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from quizzes.paltas import Run, Shape, paltas, run_in_raga
from quizzes.paltas.prastara import orders
from quizzes.phrases import HIGHEST_STEPS, LOWEST_STEPS
from quizzes.ragas import ragas
from tests.quizzes import raga_oracle

FEWEST_GROUPS = 3


def faults_of(raga: str, shape: Shape, run: Run) -> list[str]:
    """What speaks against a run in a raga, by its id: a group that the raga does not take, or in
    which swaras do not lie above each other as in the pattern."""
    steps = tuple(swara.steps for swara in run.swaras)
    faults = []
    for way, groups in ((1, run.up), (-1, run.down)):
        for group in groups:
            places = tuple(swara.steps for swara in group)
            oracle = raga_oracle.all_ragas()[raga]
            if run.straight is None:
                faults += oracle.slips(places, goes_on=True)
            elif oracle.left(places) is not None:
                faults.append(f"{' '.join(map(str, group))}: {oracle.left(places)}")
            if not lies_as(places, [way * degree for degree in shape]):
                faults.append(f"{' '.join(map(str, group))} is no {shape}")
    if not LOWEST_STEPS <= min(steps) <= max(steps) <= HIGHEST_STEPS:
        faults.append("it leaves the string")
    if min(len(run.up), len(run.down)) < FEWEST_GROUPS:
        faults.append("it has too few groups")
    return faults


def lies_as(heights: Sequence[int], shape: Sequence[int]) -> bool:
    """Whether they stand in the same order by height, as far as the shape's differ."""
    order = sorted(range(len(shape)), key=lambda place: (shape[place], heights[place]))
    return all(
        heights[one] < heights[other] or shape[one] == shape[other]
        for one, other in pairwise(order)
    )


def runs_of(shapes: Iterable[Shape], names: Iterable[str]) -> Iterator[tuple[str, Shape, Run]]:
    """All that run of these shapes in these ragas."""
    for name in names:
        for shape in shapes:
            run = run_in_raga(shape, ragas()[name])
            if run is not None:
                yield name, shape, run


def shapes_of(swaras: int) -> list[Shape]:
    """The orders of so many swaras, as shapes."""
    return [tuple(one - order[0] for one in order) for order in orders(range(swaras))]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--swaras", type=int, default=6)
    most = parser.parse_args().swaras
    shapes = [palta.shape for palta in paltas().values()]
    for swaras in range(3, most + 1):
        shapes += shapes_of(swaras)
    tried = bad = 0
    for name, shape, run in runs_of(shapes, ragas()):
        tried += 1
        if faults := faults_of(name, shape, run):
            bad += 1
            print(name, shape, *faults, sep="\n    ")
    print(f"{len(shapes)} shapes in {len(ragas())} ragas: {tried} runs, {bad} at fault")


if __name__ == "__main__":
    main()
