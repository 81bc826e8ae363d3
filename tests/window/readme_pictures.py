"""The pictures of the README, from a real practice of some days; `screenshots.py` takes them."""

from __future__ import annotations

import tempfile
import time
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

from practice import Practice
from practice.modes import Mode
from practice.pages.lesson_page import lesson_page
from practice.pages.lesson_sheet import lesson_paper
from practice.pages.writing import write_paper
from screens.sargam_field import SargamField
from tests import taken
from tests.gaps_heard import hear_gaps
from tests.steps import ask, wrong
from tests.window import opened
from tests.window.hands import frames, wait_for

DAYS, A_DAY = 6, 40
EXAMPLE = Path(__file__).resolve().parents[2] / "assets" / "decks" / "first-gaps.toml"
BEGUN = datetime(2026, 3, 2, 18, 0, tzinfo=UTC)


class Diary:
    """The wall clock of the days before the picture is taken."""

    def __init__(self) -> None:
        self.now = BEGUN

    def __call__(self) -> datetime:
        return self.now


def practise(practice: Practice, diary: Diary) -> None:
    """Some days, with every fifth answer wrong."""
    number = count(1)
    for _ in range(DAYS):
        session = practice.start(30)
        for _ in range(A_DAY):
            step = ask(session)
            rightly = next(number) % 5 != 0
            session.answer(step.question.right[0] if rightly else wrong(step))
            diary.now += timedelta(seconds=12)
        practice.end()
        diary.now += timedelta(days=1)


def until(drill, kind: str, choices: int, *, answer_on: str = "") -> None:
    """Answer rightly until a question of this kind with so many choices is asked."""
    while True:
        wait_for(lambda: drill.stage in ("new", "asking"))
        if drill.stage == "new":
            drill.ask_me()
        question = drill._step.question
        fits = question.kind == kind and len(question.choices) >= choices
        if fits and answer_on in ("", question.answer_on):
            return
        drill.give(question.right[0])
        drill.next()


def slipped(question) -> str:
    """The right line but for one key."""
    keys = [choice.id for choice in question.choices]
    line = list(question.written(question.right[0]))
    line[2] = next(key for key in keys if key != line[2])
    return " ".join(line)


def take(practice: Practice, folder: Path) -> None:
    with opened.app_on(practice, (1280, 800)) as app:
        first = app.manager.get_screen("practice")
        wait_for(lambda: first.ids.lines.children, what="what today holds")
        frames(5)
        opened.picture(folder / "practice.png")
        app.begin(30)
        drill = app._screen("drill")
        until(drill, "gap", 4)
        drill.give(wrong(drill._step))
        frames(5)
        opened.picture(folder / "gap.png")
        drill.finish()
    with opened.app_on(practice, (1280, 800)) as app:
        app.begin(30, Mode("kind", "strokes"))
        drill = app._screen("drill")
        until(drill, "strokes", 2, answer_on="written")
        drill.give(slipped(drill._step.question))
        frames(5)
        opened.picture(folder / "strokes.png")
        drill.finish()
    with opened.app_on(practice, (600, 960)) as app:
        app.begin(30, Mode("kind", "swara"))
        drill = app._screen("drill")
        until(drill, "swara", 4)
        right = drill._step.question.right[0]
        drill.give(next(c.id for c in reversed(drill._step.question.choices) if c.id != right))
        frames(5)
        opened.picture(folder / "string.png")
        drill.finish()
    told(practice, folder / "raga.png", "ragas", "raga-from-phrase", wrong)
    told(practice, folder / "order.png", "performance", "order", rotated)
    told(practice, folder / "wheel.png", "talas", "matra", wrong, choices=16, sounding_s=9.0)
    told(practice, folder / "phrase.png", "paltas", "raga-make", made)
    instrument(practice, folder / "instrument.png")
    written(practice, folder / "desk.png")


def instrument(practice: Practice, path: Path) -> None:
    """The palta of the day, while its theka sounds."""
    with opened.app_on(practice, (1280, 800)) as app:
        app.go("instrument")
        screen = app.manager.current_screen
        frames(5)
        screen.exercise.start()
        ends_at = time.monotonic() + 4.0
        wait_for(lambda: time.monotonic() > ends_at)
        opened.picture(path)


def made(step) -> str:
    """A phrase that keeps the wish."""
    return step.question.right[0]


def written(practice: Practice, path: Path) -> None:
    """A question of an example deck in its form, with the keypad."""
    practice.shelf.take(practice.shelf.look(EXAMPLE))
    with opened.app_on(practice, (1280, 800)) as app:
        app.go("desk")
        desk = app.manager.get_screen("desk")
        (row,) = desk.ids.rows.children
        desk._open(row)
        deck = app.manager.get_screen("deck")
        wait_for(lambda: len(deck.rows.children) == len(deck.editing.entries), what="its rows")
        app.desk.edit(
            deck.editing, next(at for at, e in enumerate(deck.editing.entries) if "choice" in e)
        )
        form = app.manager.current_screen
        frames(5)
        next(each for each in form.walk() if isinstance(each, SargamField)).focus = True
        frames(6)
        opened.picture(path)


def rotated(step) -> str:
    """The right order with its first thing put last."""
    first, *others = step.question.right[0].split()
    return " ".join([*others, first])


def told(
    practice: Practice, path: Path, course: str, kind: str, answer, *, choices=4, sounding_s=0.0
):
    """A question of this kind in this course, answered so; what was may sound for a while."""
    practice.save(replace(practice.settings, course=course))
    with opened.app_on(practice, (1280, 800)) as app:
        app.begin(30, Mode("kind", kind))
        drill = app._screen("drill")
        until(drill, kind, choices)
        drill.give(answer(drill._step))
        frames(5)
        if sounding_s:
            drill.hear_right()
            ends_at = time.monotonic() + sounding_s
            wait_for(lambda: time.monotonic() > ends_at)
        opened.picture(path)
        drill.finish()


def so_far(folder: Path) -> None:
    """What is weak, as a student of ten weeks sees it, and the page for the lesson."""
    now = datetime(2026, 5, 11, 18, 0, tzinfo=UTC)
    practice = Practice(Path(tempfile.mkdtemp()), speaker="silence", now=lambda: now)
    settings = replace(practice.settings, cautions_seen=True, lesson_day="thursday")
    practice.save(replace(settings, student_name="Asha"))
    hear_gaps(practice, 1200)
    swaras = taken.skills_of("swara", "SrRgGmMPdDnN")
    student = practice.settings.student_id
    practice._log.append_all(taken.rows(swaras, 700, until=now, student=student))
    practice._remember()
    with opened.app_on(practice, (1280, 800)) as app:
        app.go("weak")
        screen = app.manager.current_screen
        for tab, name in (("gaps", "gaps"), ("swaras", "taken")):
            wait_for(lambda: not screen.waiting, what="what is so far")
            screen.take_tab(tab)
            frames(12)
            opened.picture(folder / f"{name}.png")
    paper = lesson_paper(lesson_page(practice.standing()))
    write_paper(paper, folder / "lesson-page.png", made=now)
    practice.close()


def take_all(folder: Path) -> None:
    """All of them, into a folder."""
    diary, seeds = Diary(), count(1)
    practice = Practice(
        Path(tempfile.mkdtemp()), speaker="silence", seeds=lambda: next(seeds), now=diary
    )
    practice.save(replace(practice.settings, cautions_seen=True, minutes=15))
    practise(practice, diary)
    take(practice, folder)
    practice.close()
    so_far(folder)
