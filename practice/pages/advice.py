"""Three suggestions for the lesson, computed from the figures, each with its figure."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from practice.pages.confusions import Confusion
from practice.pages.guessing import Guessing
from practice.pages.moves import Moves, shaky_words
from practice.pages.practised import last_practised
from practice.pages.ready import Ready
from practice.pages.said import are, minutes_words, so_many, some
from practice.pages.states import Part, States, begun_words, states_of
from practice.pages.topic import Topic
from practice.standing import Standing
from scheduler.history import day_of
from scheduler.reliability import FEW

COUNT = 3
NAMED = 3
OF_DAYS = 14
SELDOM, DAILY = 4, 10
"""Practice on no more of so many days is seldom, on no fewer it is daily."""
MANY_SHAKY = 3
"""So many shaky skills of a part, if they are more than one in five, are a reason to go back to it;
so are two, if they are half of it."""


@dataclass(frozen=True, slots=True)
class Suggestion:
    """What to do in the lesson, and the figure that speaks for it."""

    text: str
    figure: str


@dataclass(frozen=True, slots=True)
class Grounds:
    """What suggestions are computed from."""

    standing: Standing
    topic: Topic
    ready: Ready
    parts: tuple[Part, ...]
    """Of the course, in its order."""
    moves: Moves
    confusions: tuple[Confusion, ...]
    guessing: Guessing

    @property
    def states(self) -> States:
        """Of all that is asked."""
        return states_of(self.standing, (item.skill for item in self.standing.items))


Found = Iterator[Suggestion]


def suggestions(grounds: Grounds) -> tuple[Suggestion, ...]:
    """The first three that the figures give, what weighs most first; there are always three."""
    sure = [each for each in grounds.confusions if each.is_sure]
    of_topic = [_to_play(each) for each in sure if each.is_of_topic]
    played = [_to_play(each) for each in sure if not each.is_of_topic]
    unsure = [_to_play(each) for each in grounds.confusions if not each.is_sure]
    found: list[Suggestion] = [
        *of_topic[:1],
        *_on_topic(grounds),
        *played[:1],
        *_on_guessing(grounds.guessing),
        *_on_days(grounds.standing, seldom=True),
        *_on_slips(grounds.moves),
        *played[1:2],
        *(list(_on_weak_part(grounds)) or _on_next_part(grounds)),
        *_on_shaky(grounds),
        *_on_firmness(grounds.moves),
        *of_topic[1:],
        *played[2:],
        *unsure,
        *_on_few(grounds.standing),
        *_on_days(grounds.standing, seldom=False),
        *_on_coming(grounds),
    ]
    return tuple(found[:COUNT])


def _to_play(confusion: Confusion) -> Suggestion:
    before = f", in the four weeks before in {confusion.before}" if confusion.before else ""
    return Suggestion(confusion.advice, f"{confusion.words} in {confusion.figure}{before}")


def _on_topic(grounds: Grounds) -> Found:
    """What the lesson is about, where nothing of it is begun or something is shaky."""
    topic, standing = grounds.topic, grounds.standing
    states = states_of(standing, topic.skills)
    if topic.words and not states.begun:
        skills = so_many(states.total, "skill")
        yield Suggestion(f"Begin with {topic.words}, together.", f"none of its {skills} is begun")
    elif states.shaky:
        names = shaky_words(standing, topic.skills)
        yield Suggestion(
            f"Ask again for what is shaky of {topic.words}: {some(names, NAMED)}.",
            begun_words(states, topic.words),
        )


def _on_guessing(guessing: Guessing) -> Found:
    for guessed in guessing.found[:1]:
        kind = f"{guessed.kind[:1].lower()}{guessed.kind[1:]}"
        text = f"Have each sound heard to its end before it is answered, above all in {kind}."
        yield Suggestion(text, guessed.words)


def _on_days(standing: Standing, *, seldom: bool) -> Found:
    """By the last two weeks, or as many days as there are since the first practice."""
    days, today = standing.history.days, day_of(standing.now)
    span = max(1, min(OF_DAYS, today - min(days, default=0) + 1))
    practised = [day for day in range(today - span + 1, today + 1) if day in days]
    if seldom != (OF_DAYS * len(practised) <= SELDOM * span):
        return
    if not practised:
        figure = "0 days of practice so far"
        if last := last_practised(standing):
            figure = f"no practice since {last.day} {last:%B %Y}"
        yield Suggestion("Agree on a time of the day for practice.", figure)
        return
    is_daily = OF_DAYS * len(practised) >= DAILY * span
    going_on = "Keep the daily practice." if is_daily else "Keep practising."
    minutes = minutes_words(sum(days[day].seconds for day in practised) / 60)
    of = f"{len(practised)} of the last {span} days" if span > 1 else "the first day"
    yield Suggestion(
        "Agree on a time of the day for practice." if seldom else going_on,
        f"practised on {of}, {minutes} in all",
    )


def _on_slips(moves: Moves) -> Found:
    if count := len(moves.slipped):
        skills = "skill that was" if count == 1 else "skills that were"
        yield Suggestion(
            f"Take up again what has slipped: {some(moves.slipped, NAMED)}.",
            f"{count} {skills} firm four weeks ago {are(count)} shaky now",
        )


def _on_weak_part(grounds: Grounds) -> Found:
    """Back to the first part that is weak: what comes later stands on it."""
    weak = next((part for part in grounds.parts if _is_weak(part.states)), None)
    if weak is not None and grounds.standing.is_course_here:
        yield Suggestion(f"Go back to “{weak.name}”.", begun_words(weak.states))


def _is_weak(states: States) -> bool:
    shaky, begun = states.shaky, states.begun
    return (shaky >= MANY_SHAKY and 5 * shaky > begun) or (shaky >= 2 and 2 * shaky >= begun)


def _on_next_part(grounds: Grounds) -> Found:
    """To the first part where nothing is begun, and to the next where all that is begun was heard
    and holds; else what is begun is finished first. After a time without practice, to none."""
    begun = [part for part in grounds.parts if part.states.begun]
    ahead = next((part for part in grounds.parts if part.is_ahead), None)
    skills = so_many(ahead.states.total, "skill") if ahead else ""
    states = grounds.states
    if not grounds.standing.is_course_here or grounds.ready.state == "away":
        return
    if not begun and ahead is not None:
        yield Suggestion(f"Begin with “{ahead.name}”, together.", f"its {skills} are not begun")
    elif part := next((part for part in begun if _is_unfinished(part.states)), None):
        yield Suggestion(f"Stay with “{part.name}” until it holds.", _unfinished_words(part.states))
    elif ahead is not None and 5 * states.shaky <= states.begun:
        yield Suggestion(f"Go on to “{ahead.name}” ({skills}).", begun_words(states))


def _is_unfinished(states: States) -> bool:
    return states.unheard > 0 or 2 * states.firm < states.total


def _unfinished_words(states: States) -> str:
    firm, skills = states.firm or "none", so_many(states.total, "skill")
    unheard = f", {states.unheard} {are(states.unheard)} not heard yet" if states.unheard else ""
    return f"{firm} of its {skills} {are(states.firm or 1)} firm{unheard}"


def _on_shaky(grounds: Grounds) -> Found:
    """What is shaky, wherever it stands in the course, unless some of it is to be taken up."""
    moves = grounds.moves
    if moves.shaky and not moves.slipped:
        yield Suggestion(
            f"Ask again for what is shaky: {some(moves.shaky, NAMED)}.",
            begun_words(grounds.states),
        )


def _on_firmness(moves: Moves) -> Found:
    if count := len(moves.firmer):
        yield Suggestion(
            f"Hear what has become firm: {some(moves.firmer, NAMED)}.",
            f"{so_many(count, 'skill')} {'has' if count == 1 else 'have'} become firm in four "
            "weeks",
        )


def _on_few(standing: Standing) -> Found:
    asked = sum(day.asked for day in standing.history.days.values())
    if asked < FEW:
        yield Suggestion(
            "Practise together for some minutes, with Sa set to the student's instrument.",
            f"{so_many(asked, 'answer')} so far; from {FEW} on they begin to tell something",
        )
    else:
        skills, questions = so_many(len(standing.begun), "skill"), so_many(asked, "question")
        yield Suggestion(
            "Ask for a few of the skills begun, away from the tablet.",
            f"{skills} begun, {questions} answered",
        )


def _on_coming(grounds: Grounds) -> Found:
    """Where nothing else is to be said: what is on the way, or that all is done."""
    states = grounds.states
    skills = so_many(states.total, "skill")
    if states.firm == states.total:
        yield Suggestion("Choose another course.", f"all of its {skills} are firm")
    else:
        yield Suggestion(
            "Give what is on the way its time.",
            f"of {skills} {states.firm} {are(states.firm)} firm and {states.coming} coming",
        )
