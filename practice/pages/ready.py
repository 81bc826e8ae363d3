"""Whether a student is ready for the lesson: what that means here, and how it stands with it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from practice.pages.practised import last_practised
from practice.pages.said import so_many
from practice.pages.states import begun_words, states_of
from practice.pages.topic import Topic
from practice.standing import Standing
from scheduler.history import Day, day_of
from scheduler.reliability import FEW

DAYS, OF_DAYS = 3, 7
ANSWERS, MINUTES = 10, 5
"""A day counts as one of practice from so many answers, or so many minutes, on."""
ONE_IN = 5
MEANS = (
    f"Ready means: on {DAYS} or more of the last {OF_DAYS} days practised for {ANSWERS} "
    f"answers or {MINUTES} minutes, and at most one in {ONE_IN} of the skills begun (of the "
    "lesson's ragas, if set) is shaky."
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


def ready_in(standing: Standing, topic: Topic) -> Ready:
    """How it stands with a student now, whose lesson is about `topic`."""
    days = standing.history.days
    answered = sum(day.asked + day.shown for day in days.values())
    if not answered:
        return Ready("none", "There is no answer in the log.")
    today = day_of(standing.now)
    recent = [days[day] for day in range(today - OF_DAYS + 1, today + 1) if day in days]
    practised = sum(map(_is_practice, recent))
    asked = sum(day.asked for day in days.values())
    if not recent:
        return Ready("away", _away_words(last_practised(standing)))
    if asked < FEW:
        shown = sum(day.shown for day in days.values())
        met = f"; {so_many(shown, 'time')} something new was shown" if shown else ""
        return Ready("few", f"{so_many(asked, 'answer')} so far{met}. {FEW} answers are needed.")
    of_days = f"Practised on {len(recent)} of the last {OF_DAYS} days"
    if practised < len(recent):
        of_days += f", for {ANSWERS} answers or {MINUTES} minutes on {practised or 'none'}"
    asked_of = topic.skills or [item.skill for item in standing.items]
    states, about = states_of(standing, asked_of), topic.words
    if not states.begun:
        return Ready("not yet", f"{of_days}; nothing of {about or 'the course'} is begun.")
    holds = practised >= DAYS and ONE_IN * states.shaky <= states.begun
    return Ready("ready" if holds else "not yet", f"{of_days}; {begun_words(states, about)}.")


def _away_words(last: date | None) -> str:
    if last is None:
        return "No day of practice is known."
    return f"Practised last on {last.day} {last:%B %Y}; how firm all is now is reckoned from then."


def _is_practice(day: Day) -> bool:
    return day.asked + day.shown >= ANSWERS or day.seconds >= 60 * MINUTES
