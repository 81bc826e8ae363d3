"""The class page set on A4: who is ready and what many share, then all students in rows; on as many
sheets as these need."""

from __future__ import annotations

from collections.abc import Sequence

from practice.pages.class_page import ABOUT, ClassPage, Shared, Student
from practice.pages.column import (
    BODY,
    SMALL,
    TINY,
    Column,
    bar,
    cut_run,
    leading,
    pattern_key,
    to_the_right,
)
from practice.pages.names import Line, name_runs
from practice.pages.ready import MEANS
from practice.pages.setting import LACKING, STAND_IN, broken, drawable
from practice.pages.sheets import BOLD, HEIGHT_MM, SANS, SERIF, WIDTH_MM, Paper, Run, Sheet, Stroke
from words import in_english

MARGIN = 15.0
INNER = WIDTH_MM - 2 * MARGIN
FOOT = HEIGHT_MM - 27.0
ROW = 5.7
"""So high is a row without the small lines below it."""
STATE, WORST, BAR = 42.0, 131.0, (108.0, 20.0)
"""Where in a row these begin, and for the bar how broad it is."""
NUMBERS = (("days", 78.5), ("minutes", 91.0), ("questions", 105.0))
"""Heads of the numbers and where these end."""
STATES_SAID = {
    "ready": "Ready",
    "not yet": "Not yet",
    "away": "No practice",
    "none": "No answer",
    "few": "Too few",
    "unread": "Not read",
}
NAME_SIZES = (BODY, SMALL, TINY)


@in_english()
def class_paper(page: ClassPage) -> Paper:
    """The sheets of a class page, at least one."""
    columns = [_first(page)]
    count = len(page.students)
    _head(columns[-1])
    for said, students in page.summary:
        of_all = f"{said}: {len(students)} of {count}"
        _next_if_full(columns, 2 * ROW + 2 * leading(TINY))
        _group(columns[-1], of_all)
        for student in students:
            if _next_if_full(columns, ROW + len(_why(student)) * leading(TINY)):
                _group(columns[-1], f"{of_all}, continued")
            _row(columns[-1], student)
    for number, column in enumerate(columns, 1):
        _foot(column, f"{number} of {len(columns)}")
    return Paper(page.title, tuple(Sheet(tuple(column.parts)) for column in columns))


def _next_if_full(columns: list[Column], needed: float) -> bool:
    """Go on on another sheet where so many mm are not there; whether that was so."""
    is_full = columns[-1].room < needed
    if is_full:
        columns.append(Column(MARGIN, 14.0, INNER, FOOT))
        _head(columns[-1])
    return is_full


def _first(page: ClassPage) -> Column:
    column = Column(MARGIN, 12.0, INNER, FOOT)
    column.parts.append(Run(MARGIN, 20.0, page.title, SERIF, 22.0))
    column.parts.append(to_the_right(MARGIN + INNER, 20.0, page.date, SMALL))
    column.y = 23.0
    column.words(page.counts, most=2)
    column.gap(3.0)
    column.heading("Weak spots that several share")
    if not page.confused and not page.shaky:
        column.words("None so far.", size=SMALL)
    lowest = column.y
    for at, shared in enumerate(_in_two(page.confused, page.shaky)):
        half = Column(MARGIN + at * (INNER + 6.0) / 2, column.y, (INNER - 6.0) / 2, FOOT)
        _shared(half, shared)
        column.parts += half.parts
        lowest = max(lowest, half.y)
    column.y = lowest + 3.0
    return column


def _in_two(
    confused: Sequence[Shared], shaky: Sequence[Shared]
) -> tuple[Sequence[Shared], Sequence[Shared]]:
    """Side by side; where there are only such or such, these in two columns."""
    if confused and shaky:
        return confused, shaky
    all_of_them = [*confused, *shaky]
    half = (len(all_of_them) + 1) // 2
    return all_of_them[:half], all_of_them[half:]


def _group(column: Column, said: str) -> None:
    """What is said of those in the rows below."""
    column.y += ROW
    column.parts.append(cut_run(column.x, column.y - 1.6, said, INNER, SMALL, BOLD))
    column.parts.append(Stroke(column.x, column.y, column.x + column.width, column.y, 0.1, 0.7))


def _shared(column: Column, shared: Sequence[Shared]) -> None:
    for each in shared:
        column.words(each.words, size=SMALL, font=BOLD, most=1)
        column.words(each.figure, size=SMALL, most=1)
        column.y += leading(SMALL)
        line = Line(column.x, column.y - 0.25 * leading(SMALL), column.width, (SMALL, TINY), SANS)
        column.parts += name_runs(each.who, "several students", line)
        column.gap(1.0)


def _head(column: Column) -> None:
    """The heads of the rows, with the patterns of the bar."""
    column.heading("All students, the last four weeks")
    baseline = column.y + 0.75 * leading(TINY)
    for head, right in NUMBERS:
        column.parts.append(to_the_right(column.x + right, baseline, head, TINY))
    column.parts += pattern_key(column.x + BAR[0], baseline, ("firm", "coming", "shaky"), TINY)
    right = column.x + column.width
    column.parts.append(to_the_right(right, baseline, "worst confusion", TINY))
    column.y += leading(TINY) + 0.6


def _row(column: Column, student: Student) -> None:
    """One student, and by what he or she is ready or not, over a hair line."""
    baseline, x = column.y + ROW - 1.9, column.x
    line = Line(x, baseline, STATE - 2.0, NAME_SIZES, SANS)
    column.parts += name_runs(student.name, student.id, line)
    word = STATES_SAID[student.state]
    is_ready = student.state == "ready"
    column.parts.append(Run(x + STATE, baseline, word, BOLD if is_ready else SANS, SMALL))
    if student.trouble:
        room = INNER - STATE - 20.0
        column.parts.append(cut_run(x + STATE + 20.0, baseline, student.trouble, room, SMALL))
    else:
        _figures(column, student, baseline)
        for at, why in enumerate(_why(student), 1):
            column.parts.append(Run(x, baseline + at * leading(TINY), why, SANS, TINY))
    column.y += ROW + len(_why(student)) * leading(TINY)
    column.parts.append(Stroke(x, column.y, x + column.width, column.y, 0.1, 0.7))


def _why(student: Student) -> list[str]:
    """What stands below the row: one line or two."""
    why = "" if student.trouble else student.why
    return broken(drawable(why), WORST - 3.0, 2, SANS, TINY) or [""]


def _figures(column: Column, student: Student, baseline: float) -> None:
    spent, x = student.spent, column.x
    numbers = f"{spent.days} of {spent.of_days}", f"{spent.minutes:.0f}", f"{spent.asked}"
    if spent.of_days:
        for text, (_, right) in zip(numbers, NUMBERS, strict=True):
            column.parts.append(to_the_right(x + right, baseline, text, SMALL))
    begun = student.states._replace(unheard=0)
    column.parts += bar(x + BAR[0], baseline - 2.7, BAR[1], 3.2, begun)
    for at, line in enumerate(broken(drawable(student.worst), column.width - WORST, 2, SANS, TINY)):
        column.parts.append(Run(x + WORST, baseline + at * leading(TINY), line, SANS, TINY))


def _foot(column: Column, number: str) -> None:
    is_lacking = any(isinstance(one, Run) and STAND_IN in one.text for one in column.parts)
    column.y, column.foot = FOOT + 1.0, HEIGHT_MM - 8.0
    column.parts.append(Stroke(column.x, column.y, column.x + column.width, column.y, 0.1, 0.5))
    column.gap(0.5)
    for note in (MEANS, ABOUT, *([LACKING] if is_lacking else [])):
        column.words(note, size=TINY, most=2)
    right = column.x + column.width
    column.parts.append(to_the_right(right, HEIGHT_MM - 8.0, number, TINY))
