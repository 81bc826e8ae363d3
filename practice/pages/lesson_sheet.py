"""The lesson page set on one side of A4, whatever it holds: the worst first, the rest counted."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from practice.pages.column import (
    SMALL,
    TINY,
    Column,
    bar,
    cut_run,
    height_of,
    leading,
    legend,
    to_the_right,
)
from practice.pages.confusions import Confusion
from practice.pages.lesson_page import ABOUT_FIGURES, LessonPage
from practice.pages.names import Line, name_runs
from practice.pages.phrases import SIGNS
from practice.pages.practised import LEAST_SCALE_MIN, Practised
from practice.pages.ready import MEANS
from practice.pages.said import some
from practice.pages.setting import (
    LACKING,
    STAND_IN,
    broken,
    cut,
    drawable,
    largest,
    width_of,
)
from practice.pages.sheets import (
    BOLD,
    HEIGHT_MM,
    SANS,
    SERIF,
    WIDTH_MM,
    Box,
    Paper,
    Run,
    Sheet,
    Stroke,
)
from practice.pages.states import Part, all_begun, firm_apart, most_wanting
from quizzes.names import capital
from words import in_english

MARGIN = 15.0
INNER = WIDTH_MM - 2 * MARGIN
LEFT, APART = 106.0, 7.0
RIGHT = INNER - LEFT - APART
SECOND = MARGIN + LEFT + APART
"""Where the right column begins."""
MIDDLE_FOOT, LOW_FOOT, FOOT = 212.0, 267.0, HEIGHT_MM - 10.0
ROW = 4.9
NAME, BAR, COLUMNS = 42.0, 24.0, (73.5, 84.0, 93.5, 106.0)
"""Of a row of the parts: how broad its name and its bar are, and where its four numbers end."""
NAMED = 6
NAME_SIZES = (22.0, 18.0, 15.0, 13.0)

Drawn = Run | Stroke | Box


@in_english()
def lesson_paper(page: LessonPage) -> Paper:
    """The one sheet of a lesson page."""
    head = _head(page)
    left = Column(MARGIN, head.y + 3.0, LEFT, MIDDLE_FOOT)
    _parts(left, page)
    right = Column(SECOND, head.y + 3.0, RIGHT, MIDDLE_FOOT)
    _confusions(right, page)
    low = max(left.y, right.y) + 3.0
    low_left = Column(MARGIN, low, LEFT, LOW_FOOT)
    _moves(low_left, page)
    _guessing(low_left, page)
    low_right = Column(SECOND, low, RIGHT, LOW_FOOT)
    _practised(low_right, page.practised)
    columns = (head, left, right, low_left, low_right)
    parts = [part for each in columns for part in each.parts]
    foot = Column(MARGIN, LOW_FOOT + 1.5, INNER, FOOT)
    _foot(foot, is_lacking=any(isinstance(one, Run) and STAND_IN in one.text for one in parts))
    return Paper(page.title, (Sheet((*parts, *foot.parts)),))


def _head(page: LessonPage) -> Column:
    """Whose page it is, whether ready, and the three suggestions."""
    column = Column(MARGIN, 12.0, INNER, 112.0)
    date = to_the_right(MARGIN + INNER, 20.0, page.date, SMALL)
    room = INNER - width_of(page.date, SANS, SMALL) - 6.0
    line = Line(MARGIN, 20.0, room, NAME_SIZES, SERIF)
    column.parts += [date, *name_runs(page.heading, page.id, line)]
    column.y = 22.0
    column.words(page.subtitle, size=SMALL, most=1)
    column.gap(2.0)
    column.words(f"{page.ready.headline}.", size=12.0, font=BOLD, most=1)
    column.words(page.ready.figures, most=1)
    column.words(MEANS, size=TINY, most=2)
    column.gap(2.5)
    column.heading("Three suggestions for the lesson")
    for number, suggestion in enumerate(page.suggestions, 1):
        baseline = column.y + 0.75 * leading(10.5)
        column.parts.append(Run(MARGIN, baseline, f"{number}", BOLD, 10.5))
        column.words(suggestion.text, size=10.5, most=2, indent=5.0)
        column.words(f"{capital(suggestion.figure)}.", size=SMALL, most=2, indent=5.0)
        column.gap(1.0)
    return column


def _parts(column: Column, page: LessonPage) -> None:
    """The course by its parts, in its order: those begun that want most attention."""
    column.heading("The course by its parts")
    column.words(page.of_course, size=SMALL, most=3)
    column.gap(5.5)
    column.parts += legend(column.x, column.y, COLUMNS, TINY)
    begun = all_begun(page.parts)
    if begun.begun:
        _row(column, Part("All that is begun", begun), BOLD)
    rows = int((column.room - 2 * leading(SMALL)) / ROW) if page.is_course_here else 0
    done, parts = firm_apart(page.parts, rows)
    if done is not None:
        _row(column, done, SANS)
    shown, left = most_wanting(parts, rows - (done is not None))
    for part in shown:
        _row(column, part, SANS)
    column.gap(0.8)
    ahead = [part for part in page.parts if part.is_ahead]
    if page.is_course_here:
        column.words(_rest(left, ahead), size=SMALL, most=2)


def _rest(begun: Sequence[Part], ahead: Sequence[Part]) -> str:
    """What of the parts is not in the rows."""
    words = []
    if begun:
        words.append(f"And {len(begun)} more begun.")
    if ahead:
        words.append(f"Next: {ahead[0].name}.")
    return " ".join(words)


def _row(column: Column, part: Part, font: str) -> None:
    baseline = column.y + ROW - 1.4
    size = largest(drawable(part.name), NAME - 2.0, (SMALL, TINY), font)
    column.parts.append(cut_run(column.x, baseline, part.name, NAME - 2.0, size, font))
    column.parts += bar(column.x + NAME, baseline - 2.6, BAR, 3.0, part.states)
    for count, right in zip(part.states, COLUMNS, strict=True):
        column.parts.append(to_the_right(column.x + right, baseline, str(count), SMALL, font))
    column.y += ROW


def _confusions(column: Column, page: LessonPage) -> None:
    """The worst that there is room for."""
    confusions = page.confusions
    column.heading("Heard as another")
    if not confusions:
        column.words(page.no_confusions, size=SMALL)
    for at, confusion in enumerate(confusions):
        lines = _confusion_lines(confusion)
        high = sum(
            height_of(text, column.width - indent, size=size, font=font, most=most)
            for text, size, font, most, indent in lines
        )
        is_last = at == len(confusions) - 1
        if high + (0.0 if is_last else leading(SMALL)) > column.room:
            column.words(f"And {len(confusions) - at} more.", size=SMALL)
            return
        for text, size, font, most, indent in lines:
            column.words(text, size=size, font=font, most=most, indent=indent)
        column.gap(2.0)


def _confusion_lines(confusion: Confusion) -> list[tuple[str, float, str, int, float]]:
    """Text, size, font, most lines and indent of each."""
    lines = [
        (confusion.words, 9.5, BOLD, 2, 0.0),
        (confusion.figures, SMALL, SANS, 2, 0.0),
    ]
    if confusion.play_right:
        lines.append((f"{confusion.how}  {confusion.play_right}", SMALL, SANS, 2, 2.0))
    if confusion.play_given:
        lines.append((f"against  {confusion.play_given}", SMALL, SANS, 2, 2.0))
    return lines


def _moves(column: Column, page: LessonPage) -> None:
    column.heading("Firm, shaky, slipped")
    for what, names in page.moved:
        said = _fitting(names, f"{what}: ", 2 * column.width) if names else "nothing"
        column.words(f"{what}: {said}.", size=SMALL, most=2)
        column.gap(0.4)


def _fitting(names: Sequence[str], lead: str, room: float) -> str:
    """As many names as fit into so many mm of lines, and how many more there are."""
    most = next(
        (
            most
            for most in range(min(len(names), NAMED), 1, -1)
            if width_of(f"{lead}{some(names, most)}.", SANS, SMALL) < 0.9 * room
        ),
        1,
    )
    return some([cut(name, 0.6 * room, SANS, SMALL) for name in names], most)


def _guessing(column: Column, page: LessonPage) -> None:
    guessing = page.guessing
    column.gap(1.5)
    column.heading("When answers came")
    column.words(guessing.words, size=SMALL, most=2)
    for at, guessed in enumerate(guessing.found):
        lines = len(broken(f"{guessed.words}.", column.width, 2, SANS, SMALL))
        more = 0 if at == len(guessing.found) - 1 else 1
        if column.room < (lines + more) * leading(SMALL):
            column.words(f"And {len(guessing.found) - at} more kinds.", size=SMALL)
            return
        column.words(f"{guessed.words}.", size=SMALL, most=2)


def _practised(column: Column, practised: Practised) -> None:
    """Minutes by day as bars, and what was practised in words."""
    column.heading(practised.heading)
    column.words(practised.words, size=SMALL, most=2)
    column.gap(4.0)
    _minutes(column, practised)
    for words, most in ((practised.noted, 4), (practised.known, 2), (practised.kinds, 3)):
        column.words(words, size=SMALL, most=most)


def _minutes(column: Column, practised: Practised) -> None:
    """A bar for each day, over the dates of the Mondays."""
    high, count = 13.0, len(practised.minutes)
    scale = max(LEAST_SCALE_MIN, *practised.minutes)
    top, foot, step = column.y, column.y + high, column.width / count
    column.parts.append(Stroke(column.x, top, column.x + column.width, top, 0.1, 0.6))
    column.parts.append(Run(column.x, top - 0.6, f"{scale:.0f} minutes", SANS, TINY))
    column.parts.append(Stroke(column.x, foot, column.x + practised.come * step, foot))
    for day, minutes in enumerate(practised.minutes):
        x = column.x + day * step
        if minutes > 0:
            tall = max(0.4, high * minutes / scale)
            column.parts.append(Box(x + 0.15 * step, foot - tall, 0.7 * step, tall, "full"))
        if day % 7 == 0:
            monday = practised.first + timedelta(days=day)
            column.parts.append(Stroke(x, foot, x, foot + 1.0))
            label = f"{monday.day} {monday:%b}"
            column.parts.append(Run(x + 0.6, foot + leading(TINY) - 0.6, label, SANS, TINY))
    column.y = foot + leading(TINY) + 0.6


def _foot(column: Column, *, is_lacking: bool) -> None:
    column.parts.append(Stroke(column.x, column.y, column.x + column.width, column.y, 0.1, 0.5))
    column.gap(0.5)
    column.words(f"{SIGNS} {ABOUT_FIGURES}", size=TINY, most=4)
    if is_lacking:
        column.words(LACKING, size=TINY, most=1)
