"""`main.py predictions`: how far what was foretold of each answer came true."""

from __future__ import annotations

import argparse
import csv
import sys
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

from desk.counts import in_words
from desk.options import add_folder, home_of, whole_between
from desk.sheets import paragraph
from desk.writing import refuse
from practice.standing import LOG_NAME
from practice.students import Students
from quizzes.names import capital, listed
from scheduler import Log
from scheduler.reliability import FEW, Band, Foretold, Reliability, Told, reliability, told_in

EXAMPLES = """\
examples:
  main.py predictions
  main.py predictions --log mira.sqlite --days 30
  main.py predictions --student 4fda --csv > bands.csv
"""
MOST_DAYS = 36_500
ALL = "all"
NAMED = 20
"""Columns of a name or a score."""
COLUMNS = ("of", "from_percent", "to_percent", "answers", "mean_foretold", "right",
           "share_right", "low", "high")  # fmt: skip
ABOUT = (
    "Foretold is the chance of a right answer, lucky guesses included, as it was reckoned before "
    "the question was asked. The true share lies within the range in 19 cases of 20. Scores are 0 "
    "at best; the constant is the share that was right after all, said of every answer."
)


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser(
        "predictions",
        help="tell how far what was foretold of each answer came true",
        description="Hold what was foretold of each answer of a log against what was answered.",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    where = parser.add_mutually_exclusive_group()
    add_folder(where, "the log is")
    where.add_argument("--log", metavar="FILE", type=Path, help="a log file, such as a student's")
    parser.add_argument(
        "--student", metavar="S", help="whose answers, by id or how it begins (all unless given)"
    )
    parser.add_argument(
        "--days",
        metavar="N",
        type=whole_between(1, MOST_DAYS, "days"),
        help="only the answers of so many days up to now",
    )
    parser.add_argument("--csv", action="store_true", help="write the bands as CSV instead")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    path = options.log or Students(home_of(options)).current().folder / LOG_NAME
    since = None if options.days is None else datetime.now(UTC) - timedelta(days=options.days)
    with Log.reading(path) as log:
        known = log.students()
        if not known:
            return refuse(f"{path}: holds no answers yet. Practise first, or choose another log.")
        student = None
        if options.student is not None:
            meant = _meant(options.student, known)
            if len(meant) != 1:
                said = "may be" if meant else "has no answers there; give one of"
                ids = listed(meant or known, "or")
                return refuse(f"{path}: --student {options.student!r} {said} {ids}.")
            (student,) = meant
        left_out = {each: log.left_out(each) for each in known}
        told = told_in(log.answers(student), since=since, left_out=left_out)
    if not told.foretold:
        return refuse(f"{path}: {_nothing(told, options.days)}")
    if options.csv:
        _write_csv(told)
    else:
        whose = student or (known[0] if len(known) == 1 else f"{len(known)} students")
        print("\n".join(_report(told, f"Answers of {whose} in {path}{_lately(options.days)}.")))
    return 0


def _meant(student: str, known: tuple[str, ...]) -> tuple[str, ...]:
    """Those whose id this is, or begins so."""
    if student in known:
        return (student,)
    return tuple(each for each in known if student and each.startswith(student))


def _lately(days: int | None) -> str:
    if days is None:
        return ""
    return ", of the last day" if days == 1 else f", of the last {days} days"


def _nothing(told: Told, days: int | None) -> str:
    if told.presented or told.others:
        left_out = " ".join(_not_counted(told))
        return f"{left_out} Nothing else was asked yet; practise on, then ask again."
    days_said = "" if days is None else _lately(days).removeprefix(",")
    return f"holds no answers{days_said}. Give more --days, or leave them out."


def _report(told: Told, heading: str) -> Iterator[str]:
    every = reliability(told.foretold)
    yield heading
    yield paragraph(_left_out(told, every))
    yield ""
    yield paragraph(_reading(every))
    yield ""
    yield from _bands(every)
    yield ""
    yield from _scores(every)
    yield ""
    yield from _kinds(told)
    yield ""
    yield paragraph(ABOUT)


def _left_out(told: Told, every: Reliability) -> str:
    parts = [f"{_answers(every.count)} foretold.", *_not_counted(told)]
    if told.in_part:
        parts.append(f"{_answers(told.in_part)} right in part, which counts as not right.")
    return " ".join(parts)


def _not_counted(told: Told) -> Iterator[str]:
    if told.presented:
        yield (
            f"{_answers(told.presented)} left out: what was right had just been told, or nothing "
            "else was possible."
        )
    if told.others:
        yield f"{_answers(told.others)} left out as somebody else's."


def _answers(count: int) -> str:
    return f"{capital(in_words(count, 'answer'))} {'was' if count == 1 else 'were'}"


def _reading(every: Reliability) -> str:
    band = every.fullest
    said = (
        f"What was foretold at {_span(band)} was right {_percent(band.share)} of the time "
        f"({in_words(band.count, 'answer')}); in all {_percent(every.predicted)} was foretold and "
        f"{_percent(every.share)} was right."
    )
    few = " So few answers say more about luck than about the predictions."
    return said + (few if every.is_few else "")


def _bands(every: Reliability) -> Iterator[str]:
    yield _line("foretold", "answers", "mean", "right", "range", "")
    for band in every.bands:
        if band.count:
            few = f"fewer than {FEW}" if band.is_few else ""
            yield _line(_span(band), band.count, *_told_and_right(band), _range(band), few)


def _scores(every: Reliability) -> Iterator[str]:
    brier = every.brier
    yield _line("score", "foretold", "constant", "", "", "")
    yield _line("log loss", f"{every.log_loss:.3f}", f"{every.constant_log_loss:.3f}", "", "", "")
    yield _line("Brier score", f"{brier.score:.3f}", f"{brier.uncertainty:.3f}", "", "", "")
    yield (
        f"  = reliability {brier.reliability:.3f} - resolution {brier.resolution:.3f} "
        f"+ uncertainty {brier.uncertainty:.3f} {brier.within:+.3f} within bands"
    )
    yield _line("calibration error", f"{every.calibration_error:.3f}", "", "", "", "")
    yield (
        f"  (as many perfect predictions would show {every.calibration_luck:.3f}, by luck alone)"
    )


def _kinds(told: Told) -> Iterator[str]:
    """The kinds, those with most answers first."""
    yield _line("kind", "answers", "mean", "right", "range", "log loss (constant)")
    for kind, foretold in told.by_kind().items():
        found = reliability(foretold)
        whole = _whole(found)
        loss = f"{found.log_loss:.3f} ({found.constant_log_loss:.3f})"
        few = ", few" if whole.is_few else ""
        yield _line(kind, whole.count, *_told_and_right(whole), _range(whole), loss + few)


def _whole(found: Reliability) -> Band:
    """All bands as one."""
    right = sum(band.right for band in found.bands)
    return Band(0.0, 1.0, found.count, right, found.predicted)


def _line(head: str, *cells: object) -> str:
    *numbers, spread, said = cells
    columns = "".join(f"{number:>9}" for number in numbers)
    return f"{head:{NAMED}}{columns}{spread:>12}  {said}".rstrip()


def _told_and_right(band: Band) -> tuple[str, str]:
    return _percent(band.predicted), _percent(band.share)


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"


def _span(band: Band) -> str:
    return f"{100 * band.low:.0f} to {100 * band.high:.0f} %"


def _range(band: Band) -> str:
    low, high = band.interval
    return f"{100 * low:.0f} to {100 * high:.0f} %"


def _write_csv(told: Told) -> None:
    rows = csv.writer(sys.stdout, lineterminator="\n")
    rows.writerow(COLUMNS)
    groups: dict[str, Sequence[Foretold]] = {ALL: told.foretold, **told.by_kind()}
    for name, foretold in groups.items():
        for band in reliability(foretold).bands:
            if band.count:
                low, high = band.interval
                rows.writerow(
                    (name, round(100 * band.low), round(100 * band.high), band.count,
                     f"{band.predicted:.6f}", band.right, f"{band.share:.6f}", f"{low:.6f}",
                     f"{high:.6f}")
                )  # fmt: skip
