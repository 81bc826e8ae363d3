"""A student who stands as a test wishes: what is firm or shaky, and what was done on which day."""

from datetime import UTC, datetime

from practice.courses import item_of
from practice.given import NOTHING
from practice.settings import Settings
from practice.standing import Standing
from quizzes.catalogue import skill_of
from quizzes.course import Course
from scheduler import History, Memory
from scheduler.history import Day, Sitting, Tally, day_of, week_of

NOW = datetime(2026, 11, 29, 18, tzinfo=UTC)
"""A Sunday."""
FULL = Day(asked=20, right=15, seconds=600.0)
SWARAS = [f"swara:{swara}" for swara in "SrRgGmMPdDnN"]


def stood(
    states, *, days=None, then=None, lately=None, mistaken=(), now=NOW, name="Mira", **settings
):
    """`states`: skill → state, or (state, chance that it is known); all of them are asked. `days`:
    how many days ago → what was done. `then`: what was called what four weeks ago. `lately`: how
    many of how many questions on what were right this week; `mistaken`: what was taken for Sa three
    times of late."""
    wished = {skill: of if isinstance(of, tuple) else (of, 0.5) for skill, of in states.items()}

    class Wished(Memory):
        def state(self, skill, now):
            return wished.get(skill, ("unheard", 0.0))[0]

        def knowledge(self, skill, now):
            return wished.get(skill, ("unheard", 0.0))[1]

        def confusions(self, skill, now):
            return [("swara:S", 3.0)] if skill in mistaken else []

    today = day_of(now)
    days = dict.fromkeys(range(3), FULL) if days is None else days
    week = week_of(today)
    tallies = {
        skill: {week: Tally(asked, right)} for skill, (right, asked) in (lately or {}).items()
    }
    history = History(
        weeks=tallies,
        days={today - ago: done for ago, done in days.items()},
        states={week - 4: then or {}},
        sitting=Sitting("tablet", "evening", 0.0, week, 0),
    )
    return Standing(
        settings=Settings(**{"student_id": f"student-{name}", "student_name": name} | settings),
        course=Course("made", "Made up", "", "made up", ()),
        items=tuple(item_of(skill_of(skill)) for skill in states),
        given=NOTHING,
        memory=Wished(beliefs={s: None for s, (state, _) in wished.items() if state != "unheard"}),
        history=history,
        now=now,
        latest=lambda *_, **__: [],
    )


def some_of(**counts):
    """So many swaras of each state: `some_of(firm=4, shaky=1)`."""
    states = [state for state, count in counts.items() for _ in range(count)]
    return dict(zip(SWARAS, states, strict=False))
