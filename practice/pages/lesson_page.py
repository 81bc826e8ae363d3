"""The lesson page: what a student's answers tell before a lesson, as data and in words.

All that is on it is computed from the log. It says of small counts that they are small, and gives
advice, no diagnosis.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from practice.lesson import lesson_words
from practice.meanings import all_meanings
from practice.pages.advice import Grounds, Suggestion, suggestions
from practice.pages.confusions import Confusion, confusions_in
from practice.pages.guessing import Guessing, guessing_in
from practice.pages.moves import Moves, moves_in
from practice.pages.practised import Practised, practised_in
from practice.pages.ready import Ready, ready_in
from practice.pages.states import Part, States, parts_in, states_of
from practice.pages.topic import topic_of
from practice.phrases import KeptPhrase, phrases_told
from practice.standing import Standing
from scheduler.reliability import FEW
from words import in_english

HEADING = "For the lesson"
"""Of a page that bears no name."""
UNNAMED = (
    "This page bears no name yet. A name is given in the settings, under “Your name”, or “Who "
    "practises here” for others."
)
ABOUT_FIGURES = (
    f"{all_meanings()} What is taken for another again and again is called shaky too. A range such "
    f"as 21 to 57 % holds the true share in 19 cases of 20 (Wilson); fewer than {FEW} questions "
    "are called few, and say little. Kaan advises; it does not diagnose."
)

TOO_FEW = "Too few answers to say."
NO_CONFUSION = "Nothing was heard as one and the same other thing more than once lately."


@dataclass(frozen=True, slots=True)
class LessonPage:
    """One student at one moment, `made`, in local time."""

    id: str
    """The student's, as settings and log have it."""
    student: str
    """By name, in whatever letters; "" where there is none."""
    made: datetime
    lesson: str
    """When the lesson is and on what; "" where none is set."""
    course: str
    ready: Ready
    states: States
    parts: tuple[Part, ...]
    """In their order, all of which something is asked."""
    moves: Moves
    confusions: tuple[Confusion, ...]
    guessing: Guessing
    practised: Practised
    suggestions: tuple[Suggestion, ...]
    asked: int
    """How many questions were answered so far."""
    is_course_here: bool = True
    """Whether the course is on this device; else parts are what was begun."""
    kept: tuple[KeptPhrase, ...] = ()
    """The phrases that the student has kept, the newest first."""

    @property
    def heading(self) -> str:
        return self.student or HEADING

    @property
    def title(self) -> str:
        return f"{self.student}: for the lesson" if self.student else HEADING

    @property
    def date(self) -> str:
        return date_words(self.made)

    @property
    def subtitle(self) -> str:
        """The lesson and the course, in a line."""
        lesson = f"Lesson: {self.lesson}. " if self.lesson else ""
        return f"{lesson}Course: {self.course}."

    @property
    def of_course(self) -> str:
        """What is to be known of the course before its parts; "" mostly."""
        if self.is_course_here:
            return ""
        return (
            f"The course “{self.course}” is not on this device: bring it in, with its decks. "
            "Until then only what was begun is told."
        )

    @property
    def no_confusions(self) -> str:
        """What is said where there are none."""
        return TOO_FEW if self.asked < FEW else NO_CONFUSION

    @property
    def moved(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """What is shaky, what of it has slipped and what has become firm, each with its names."""
        moves = self.moves
        return (
            ("Shaky now, the shakiest first", moves.shaky),
            ("Firm four weeks ago, shaky now", moves.slipped),
            ("Become firm in these four weeks", moves.firmer),
        )


@in_english()
def lesson_page(standing: Standing) -> LessonPage:
    """The page on a student. Raises LogError where the log cannot be read."""
    topic = topic_of(standing)
    ready, parts = ready_in(standing, topic), parts_in(standing)
    moves, guessing = moves_in(standing), guessing_in(standing)
    confusions = confusions_in(standing, topic, guessing.blind)
    grounds = Grounds(standing, topic, ready, parts, moves, confusions, guessing)
    return LessonPage(
        id=standing.settings.student_id,
        student=standing.settings.student_name,
        made=standing.now,
        lesson=lesson_words(standing.settings, standing.now, standing.given.tradition),
        course=standing.course.name,
        ready=ready,
        states=states_of(standing, (item.skill for item in standing.items)),
        parts=parts,
        moves=moves,
        confusions=confusions,
        guessing=guessing,
        practised=practised_in(standing),
        suggestions=suggestions(grounds),
        asked=sum(day.asked for day in standing.history.days.values()),
        is_course_here=standing.is_course_here,
        kept=phrases_told(standing.notes),
    )


def date_words(moment: datetime) -> str:
    """`Sunday, 29 November 2026`."""
    return f"{moment:%A}, {moment.day} {moment:%B %Y}"
