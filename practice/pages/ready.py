"""Whether a student is ready for the lesson: what that means here, and how it stands with it."""

from __future__ import annotations

from dataclasses import dataclass

from practice.lesson import raga_words, skills_for
from practice.pages.states import States, states_of
from practice.standing import Standing
from quizzes.names import capital
from scheduler.history import date_of, day_of
from scheduler.reliability import FEW

DAYS, OF_DAYS = 3, 7
ONE_IN = 5
MEANS = (
    f"Ready means: practised on {DAYS} or more of the last {OF_DAYS} days, and at most one in "
    f"{ONE_IN} of the skills begun (of the lesson's ragas, if set) is shaky."
)
HEADLINES = {
    "ready": "Ready for the lesson",
    "not yet": "Not ready yet",
    "away": f"Has not practised in the last {OF_DAYS} days",
    "few": "Too few answers to say whether ready",
    "none": "Nothing is answered yet",
}


@dataclass(frozen=True, slots=True)
class Ready:
    """`state` is one of `HEADLINES`; `figures` says by what."""

    state: str
    figures: str

    @property
    def headline(self) -> str:
        return HEADLINES[self.state]


def ready_in(standing: Standing) -> Ready:
    """How it stands with a student now."""
    days = standing.history.days
    answered = sum(day.asked + day.shown for day in days.values())
    if not answered:
        return Ready("none", "There is no answer in the log.")
    today = day_of(standing.now)
    practised = sum(day in days for day in range(today - OF_DAYS + 1, today + 1))
    asked = sum(day.asked for day in days.values())
    if not practised:
        last = date_of(max(days))
        return Ready("away", f"Practised last on {last.day} {last:%B %Y}.")
    of_days = f"Practised on {practised} of the last {OF_DAYS} days"
    if asked < FEW:
        return Ready("few", f"{of_days}; {asked} answers so far, and {FEW} are needed.")
    about, states = _asked_of(standing)
    if not states.begun:
        return Ready("not yet", f"{of_days}; nothing of {about} is begun.")
    of_ragas = f" of {about}" if about else ""
    are = "is" if states.shaky == 1 else "are"
    skills = "skill" if states.begun == 1 else "skills"
    figures = f"{of_days}; of {states.begun} {skills} begun{of_ragas} {states.shaky} {are} shaky."
    holds = practised >= DAYS and ONE_IN * states.shaky <= states.begun
    return Ready("ready" if holds else "not yet", figures)


def _asked_of(standing: Standing) -> tuple[str, States]:
    """What the lesson is about, and how the skills stand that are asked of it; all where it is not
    said, or the course asks nothing of that."""
    settings = standing.settings
    if settings.lesson_day and settings.lesson_ragas:
        skills = skills_for(standing.items, settings.lesson_ragas)
        if skills:
            about = raga_words(settings.lesson_ragas, standing.given.tradition)
            return capital(about), states_of(standing, skills)
    return "", states_of(standing, (item.skill for item in standing.items))
