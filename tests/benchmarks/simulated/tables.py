"""Tables of plain text from the benchmark's rows: every world a column, every way a line."""

from __future__ import annotations

import statistics
from collections.abc import Callable, Iterable, Sequence
from typing import Any

import numpy as np

from tests.benchmarks.simulated.jobs import HINDSIGHT
from tests.benchmarks.simulated.measures import BINS, jackknifed, mean_and_error

Row = dict[str, Any]
DAYS_SHOWN = (7, 14, 28, 42, 56, 70)
_FIGURES: dict[str, tuple[str, Callable[[Row], float]]] = {
    "J": ("mean of knowledge by day and two weeks after the end", lambda row: row["J"]),
    "later": ("knowledge two weeks after the end", lambda row: row["later"]),
    "own": ("knowledge at lessons of the skills they are about", lambda row: row["lesson_own"]),
    "rest": ("knowledge at lessons of all other skills", lambda row: row["lesson_rest"]),
    "firm": ("skills known above .9 at the end", lambda row: row["firm"]),
    "waste": ("share of questions on what is known above .95", lambda row: row["waste"]),
}


class Table:
    """Rows of one budget, by way and world, students in order."""

    def __init__(self, rows: Iterable[Row]) -> None:
        self.rows: dict[tuple[str, str], dict[int, Row]] = {}
        for row in rows:
            self.rows.setdefault((row["way"], row["world"]), {})[row["student"]] = row
        self.worlds = sorted({world for _, world in self.rows})

    def students(self, way: str, world: str) -> list[Row]:
        of = self.rows.get((way, world), {})
        return [of[student] for student in sorted(of)]

    def values(self, way: str, world: str, figure: Callable[[Row], float]) -> list[float]:
        return [figure(row) for row in self.students(way, world)]

    def mean(self, way: str, figure: Callable[[Row], float]) -> float:
        """The mean over worlds of means over students."""
        means = [mean_and_error(self.values(way, world, figure))[0] for world in self.worlds]
        return statistics.fmean(means)

    def paired(self, a: str, b: str, world: str, figure: Callable[[Row], float]) -> list[float]:
        """Differences a − b student by student."""
        of_a, of_b = self.rows.get((a, world), {}), self.rows.get((b, world), {})
        return [figure(of_a[s]) - figure(of_b[s]) for s in sorted(of_a.keys() & of_b.keys())]


def practice_tables(rows: Sequence[Row], ways: Sequence[str], libraries: Sequence[str]) -> str:
    """All tables of one budget; `libraries` are those of `ways` that stand on a library."""
    table = Table(rows)
    parts = []
    for name, (meaning, figure) in _FIGURES.items():
        parts.append(f"{name}: {meaning}\n" + _by_world(table, ways, figure, name == "firm"))
    for day in DAYS_SHOWN:
        if all(len(row["by_day"]) >= day for row in rows):
            at = _on_day(day)
            parts.append(f"knowledge after day {day}\n" + _by_world(table, ways, at, False))
    parts.append(_margins(table, ways, libraries))
    return "\n\n".join(parts)


def _on_day(day: int) -> Callable[[Row], float]:
    return lambda row: float(row["by_day"][day - 1])


def _by_world(
    table: Table, ways: Sequence[str], figure: Callable[[Row], float], whole: bool
) -> str:
    form = "{:6.1f} ±{:4.1f}" if whole else "{:6.3f} ±{:.3f}"
    lines = [_line("", [*table.worlds, "mean"])]
    for way in ways:
        cells = []
        for world in table.worlds:
            cells.append(form.format(*mean_and_error(table.values(way, world, figure))))
        lines.append(_line(way, [*cells, form.split()[0].format(table.mean(way, figure))]))
    return "\n".join(lines)


def _margins(table: Table, ways: Sequence[str], libraries: Sequence[str]) -> str:
    """Where each of ours stands beside peers, paired by student, ± standard error of that.

    The best are chosen on the same students, which favours them.
    """
    mine = [way for way in ways if way.startswith("ours")]
    peers = [way for way in ways if way not in mine]
    lines = ["margins in J, paired by student", _line("", [*table.worlds, "mean"])]
    for way in mine:
        for other in [other for other in ("round robin", "random") if other in peers]:
            lines.append(
                _margin(table, way, f"{way} − {other}", dict.fromkeys(table.worlds, other))
            )
        any_library = [other for other in peers if other in libraries or other == HINDSIGHT]
        for group, label in ((peers, "best peer there"), (any_library, "best library there")):
            if group:
                best = {world: _best(table, group, world) for world in table.worlds}
                lines.append(_margin(table, way, f"{way} − {label}", best))
                lines.append(_line("", [*(f"({name})" for name in best.values()), ""]))
        if libraries:
            single = max(libraries, key=lambda name: table.mean(name, _j))
            best = dict.fromkeys(table.worlds, single)
            lines.append(_margin(table, way, f"{way} − best single ({single})", best))
    return "\n".join(lines)


def _j(row: Row) -> float:
    return float(row["J"])


def _best(table: Table, ways: Sequence[str], world: str) -> str:
    return max(ways, key=lambda way: mean_and_error(table.values(way, world, _j))[0])


def _margin(table: Table, way: str, label: str, other_in: dict[str, str]) -> str:
    cells, means = [], []
    for world in table.worlds:
        mean, error = mean_and_error(table.paired(way, other_in[world], world, _j))
        cells.append(f"{mean:+6.3f} ±{error:.3f}")
        means.append(mean)
    return _line(label, [*cells, f"{statistics.fmean(means):+6.3f}"])


def calibration_tables(rows: Sequence[Row], ways: Sequence[str]) -> str:
    """Calibration on common streams, by world; and reliability over all worlds."""
    table = Table(rows)
    ways = [way for way in ways if any((way, world) in table.rows for world in table.worlds)]
    if not ways:
        return "none of these ways predicts"
    parts = []
    for name in ("log_loss", "brier"):
        lines = [f"{name.replace('_', ' ')} of predictions", _line("", [*table.worlds, "mean"])]
        for way in ways:
            cells = [
                "{:6.3f} ±{:.3f}".format(
                    *mean_and_error(table.values(way, world, lambda row: row[name]))  # noqa: B023
                )
                for world in table.worlds
            ]
            mean = table.mean(way, lambda row: row[name])  # noqa: B023
            lines.append(_line(way, [*cells, f"{mean:6.3f}"]))
        if name == "log_loss":
            lines.append(_true_line(table, ways[0]))
            lines.extend(_above_true(table, way) for way in ways)
        parts.append("\n".join(lines))
    lines = [f"calibration error, {BINS} bins", _line("", table.worlds)]
    for way in ways:
        lines.append(_line(way, [_error_cell(table, way, world, "bins") for world in table.worlds]))
    lines.append(
        _line(
            "the true model",
            [_error_cell(table, ways[0], world, "true_bins") for world in table.worlds],
        )
    )
    parts.append("\n".join(lines))
    parts.extend(_reliability(table, way) for way in ways)
    return "\n\n".join(parts)


def _true_line(table: Table, way: str) -> str:
    cells = [
        "{:6.3f} ±{:.3f}".format(
            *mean_and_error(table.values(way, world, lambda row: row["true_log_loss"]))
        )
        for world in table.worlds
    ]
    return _line(
        "the true model", [*cells, f"{table.mean(way, lambda r: r['true_log_loss']):6.3f}"]
    )


def _above_true(table: Table, way: str) -> str:
    cells = [
        "{:+6.3f} ±{:.3f}".format(
            *mean_and_error(
                table.values(way, world, lambda row: row["log_loss"] - row["true_log_loss"])
            )
        )
        for world in table.worlds
    ]
    return _line(f"{way} − true", cells)


def _error_cell(table: Table, way: str, world: str, name: str) -> str:
    bins = np.array([row[name] for row in table.students(way, world)])
    if not len(bins):
        return "-"
    return "{:6.3f} ±{:.3f}".format(*jackknifed(bins))


def _reliability(table: Table, way: str) -> str:
    """What was predicted beside what came true, by world."""
    lines = [f"reliability of {way}: predicted → right (answers)", _line("bin", table.worlds)]
    sums = {
        world: np.array([row["bins"] for row in table.students(way, world)]).sum(axis=0)
        for world in table.worlds
        if (way, world) in table.rows
    }
    for k in range(BINS):
        cells = []
        for of_world in sums.values():
            many, predicted, right = of_world[k]
            cells.append(
                f"{predicted / many:.2f}→{right / many:.2f} ({int(many)})" if many else "-"
            )
        lines.append(_line(f"{k / BINS:.1f} to {(k + 1) / BINS:.1f}", cells))
    return "\n".join(lines)


def _line(label: str, cells: Sequence[str]) -> str:
    return f"{label:38}" + "".join(f"{cell:>18}" for cell in cells)
