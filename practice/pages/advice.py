"""Three suggestions for the lesson, computed from the figures, each with its figure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from practice.pages.confusions import Confusion
from practice.pages.guessing import Guessing
from practice.pages.moves import Moves
from practice.pages.said import minutes_words, some
from practice.pages.states import Part, worst_first
from practice.standing import Standing
from scheduler.history import day_of
from scheduler.reliability import FEW

COUNT = 3
NAMED = 3
SELDOM, OF_DAYS = 4, 14
"""Practice on no more of so many days is seldom."""
MANY_SHAKY = 3
"""Fewer shaky skills of a part are no reason to go back to it."""


@dataclass(frozen=True, slots=True)
class Suggestion:
    """What to do in the lesson, and the figure that speaks for it."""

    text: str
    figure: str


def suggestions(
    standing: Standing,
    parts: Sequence[Part],
    moves: Moves,
    confusions: Sequence[Confusion],
    guessing: Guessing,
) -> tuple[Suggestion, ...]:
    """The first three that the figures give, what weighs most first; there are always three."""
    played = [_to_play(each) for each in confusions if each.is_sure]
    unsure = [_to_play(each) for each in confusions if not each.is_sure]
    found: list[Suggestion] = [
        *played[:1],
        *_on_guessing(guessing),
        *_on_days(standing, seldom=True),
        *_on_slips(moves),
        *played[1:2],
        *_on_part(parts),
        *_on_going_on(parts),
        *_on_shaky(standing, moves),
        *_on_firmness(moves),
        *played[2:],
        *unsure,
        *_on_few(standing),
        *_on_days(standing, seldom=False),
        *_on_coming(parts),
    ]
    return tuple(found[:COUNT])


def _to_play(confusion: Confusion) -> Suggestion:
    one, other = confusion.right, confusion.given
    text = f"Play {one} and {other} one after the other, until they part."
    figure = f"{one} was heard as {other} in {confusion.figure}"
    before = f", in the four weeks before in {confusion.before}" if confusion.before else ""
    return Suggestion(text, f"{figure}{before}")


def _on_guessing(guessing: Guessing) -> Iterator[Suggestion]:
    for hurried in guessing.found[:1]:
        kind = f"{hurried.kind[:1].lower()}{hurried.kind[1:]}"
        text = f"Have each sound heard to its end before it is answered, above all in {kind}."
        yield Suggestion(text, hurried.figure)


def _on_days(standing: Standing, *, seldom: bool) -> Iterator[Suggestion]:
    """By the last two weeks, or as many days as there are since the first practice."""
    days, today = standing.history.days, day_of(standing.now)
    span = max(1, min(OF_DAYS, today - min(days, default=0) + 1))
    practised = [day for day in range(today - span + 1, today + 1) if day in days]
    if seldom != (OF_DAYS * len(practised) <= SELDOM * span):
        return
    text = "Agree on a time of the day for practice." if seldom else "Keep the daily practice."
    if not practised:
        yield Suggestion(text, f"practised on none of the last {span} days")
        return
    minutes = minutes_words(sum(days[day].seconds for day in practised) / 60)
    of = f"{len(practised)} of the last {span} days" if span > 1 else "the first day"
    yield Suggestion(text, f"practised on {of}, {minutes} in all")


def _on_slips(moves: Moves) -> Iterator[Suggestion]:
    if count := len(moves.slipped):
        skills = "skill that was" if count == 1 else "skills that were"
        yield Suggestion(
            f"Take up again what has slipped: {some(moves.slipped, NAMED)}.",
            f"{count} {skills} firm four weeks ago {'is' if count == 1 else 'are'} shaky now",
        )


def _on_part(parts: Sequence[Part]) -> Iterator[Suggestion]:
    worst = worst_first(parts)
    if worst and worst[0].states.shaky >= MANY_SHAKY:
        states = worst[0].states
        yield Suggestion(
            f"Go back to “{worst[0].name}”.",
            f"of its {states.begun} skills begun {states.shaky} are shaky",
        )


def _on_going_on(parts: Sequence[Part]) -> Iterator[Suggestion]:
    """To the next part, where what is begun holds; to the first where nothing is."""
    begun = sum(part.states.begun for part in parts)
    shaky = sum(part.states.shaky for part in parts)
    ahead = next((part for part in parts if not part.states.begun), None)
    if ahead is None or 5 * shaky > begun:
        return
    skills = f"{ahead.states.total} skill{'s' * (ahead.states.total != 1)}"
    if begun:
        yield Suggestion(
            f"Go on to “{ahead.name}” ({skills}).",
            f"of {begun} skills begun {shaky} are shaky",
        )
    else:
        yield Suggestion(f"Begin with “{ahead.name}”, together.", f"its {skills} are not begun")


def _on_shaky(standing: Standing, moves: Moves) -> Iterator[Suggestion]:
    """What is shaky, wherever it stands in the course, unless all of it has slipped."""
    shaky, begun = moves.shaky, len(standing.begun)
    if len(shaky) > len(moves.slipped):
        yield Suggestion(
            f"Ask again for what is shaky: {some(shaky, NAMED)}.",
            f"{len(shaky)} of {begun} skill{'s' * (begun != 1)} begun "
            f"{'is' if len(shaky) == 1 else 'are'} shaky",
        )


def _on_firmness(moves: Moves) -> Iterator[Suggestion]:
    if moves.firmer:
        count = len(moves.firmer)
        skills = "skill has" if count == 1 else "skills have"
        yield Suggestion(
            f"Hear what has become firm: {some(moves.firmer, NAMED)}.",
            f"{count} {skills} become firm in four weeks",
        )


def _on_few(standing: Standing) -> Iterator[Suggestion]:
    asked = sum(day.asked for day in standing.history.days.values())
    if asked < FEW:
        yield Suggestion(
            "Answer a first practice together, with Sa set to the student's instrument.",
            f"{asked} answers so far; from {FEW} on they begin to tell something",
        )
    else:
        total = len(standing.begun)
        yield Suggestion(
            "Ask for a few of the skills begun, away from the tablet.",
            f"{total} skill{'s' * (total != 1)} begun, {asked} questions answered",
        )


def _on_coming(parts: Sequence[Part]) -> Iterator[Suggestion]:
    """Where nothing else is to be said: what is on the way, or that all is done."""
    firm, coming, total = (
        sum(getattr(part.states, name) for part in parts) for name in ("firm", "coming", "total")
    )
    if firm == total:
        yield Suggestion("Choose another course.", f"all {total} skills of this one are firm")
    else:
        yield Suggestion(
            "Give what is on the way its time.",
            f"{coming} of {total} skills are coming, {firm} are firm",
        )
