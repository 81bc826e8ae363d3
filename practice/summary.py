"""What a session has moved, and the word of caution at its end."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from practice.thresholds import Thresholds
from quizzes.catalogue import name_of
from quizzes.levels import Level
from quizzes.names import capital
from scheduler import Threshold
from words import say, say_many, to_say

TRIALS_FOR_A_FIGURE = 10
"""Before so many answers a threshold says more about the start than about the ear."""

REST_AFTER_MIN = 20.0

MET = ("unheard", "coming")
_TELLING = ("firm", "shaky", "coming", "unheard")
"""What a skill may have become, from the most to the least worth reading."""


@dataclass(frozen=True, slots=True)
class Moved:
    """A skill that is now called otherwise: firm, shaky, coming or unheard."""

    skill: str
    name: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Summary:
    """What a session was. Of the `answered`, `new` were to skills met for the first time and
    `shown` to such as were presented again; these were told first, and are not among the `right`.
    """

    answered: int
    right: int
    minutes: float
    moved: tuple[Moved, ...]
    thresholds: tuple[str, ...]
    caution: str
    new: int = 0
    shown: int = 0

    @property
    def counts(self) -> str:
        """`19 answers: 15 asked in earnest, 12 right; 3 shown for the first time, 1 again`."""
        asked = self.answered - self.new - self.shown
        shown = (
            [
                say_many(
                    "{count} shown for the first time", "{count} shown for the first time", self.new
                )
            ]
            if self.new
            else []
        )
        if self.shown and shown:
            shown.append(say_many("{count} again", "{count} again", self.shown))
        elif self.shown:
            shown.append(say_many("{count} shown again", "{count} shown again", self.shown))
        counted = say("{asked} asked in earnest, {right} right", asked=asked, right=self.right)
        parts = [counted] if asked else []
        parts += [", ".join(shown)] if shown else []
        if not parts:
            return say("No questions")
        return say_many(
            "{count} answer: {parts}",
            "{count} answers: {parts}",
            self.answered,
            parts="; ".join(parts),
        )

    @property
    def met(self) -> str:
        """`21 met for the first time`; empty where none was."""
        return (
            say_many("{count} met for the first time", "{count} met for the first time", self.new)
            if self.new
            else ""
        )


def moved_skills(
    asked: Sequence[str],
    *,
    before: Callable[[str], str],
    after: Callable[[str], str],
    called: Callable[[str], str] = name_of,
) -> tuple[Moved, ...]:
    """The skills asked whose word has changed, by what each is `called`: first what has become
    firm, then shaky, then coming, each in the order of asking.

    What was unheard and is coming is not among them: so is all that is met for the first time.
    """
    every = [
        Moved(skill, called(skill), before(skill), after(skill)) for skill in dict.fromkeys(asked)
    ]
    moved = [one for one in every if one.before != one.after and (one.before, one.after) != MET]
    return tuple(sorted(moved, key=lambda one: _TELLING.index(one.after)))


def threshold_lines(asked: Sequence[str], thresholds: Thresholds) -> tuple[str, ...]:
    """For each skill with levels asked: how large a difference must be for this student."""
    known = {skill: thresholds.of(skill) for skill in dict.fromkeys(asked)}
    return tuple(
        say("{name}: {what}", name=capital(name_of(skill)), what=threshold_words(*found))
        for skill, found in known.items()
        if found is not None
    )


_FROM = {
    "now": to_say("you hear it from about {size} ({low} to {high}, {answers} answers)"),
    "once": to_say("you heard it from about {size} ({low} to {high}, {answers} answers)"),
    "it was": to_say("from about {size} ({low} to {high}, {answers} answers)"),
}
_AND_BELOW = {
    "now": to_say("you hear it at {size} and below"),
    "once": to_say("you heard it at {size} and below"),
    "it was": to_say("at {size} and below"),
}
"""By when that was, or what stands before it."""


def threshold_words(found: Threshold, level: Level, *, when: str = "now") -> str:
    """`you hear it from about 12 cents (9 to 17, 22 answers)`; `you heard it …` of what was "once",
    or what follows "it was"."""
    if found.trials < TRIALS_FOR_A_FIGURE:
        more = TRIALS_FOR_A_FIGURE - found.trials
        return say_many(
            "{count} more answers until a figure can be given",
            "{count} more answers until a figure can be given",
            more,
        )
    if found.level > level.coarsest:
        return say("not yet heard at {size}", size=_sized(level.coarsest, level))
    if found.level < level.finest:
        return say(_AND_BELOW[when], size=_sized(level.finest, level))
    return say(
        _FROM[when],
        size=_sized(found.level, level),
        low=_figure(found.low),
        high=_figure(found.high),
        answers=found.trials,
    )


_SIZED = {
    "cents": to_say("{size} cents"),
    "dB": to_say("{size} dB"),
    "ms": to_say("{size} ms"),
    "%": to_say("{size} %"),
    "% brightness": to_say("{size} % brightness"),
    "% of a note": to_say("{size} % of a note"),
}
"""By the unit of a level."""


def _sized(size: float, level: Level) -> str:
    """`12 cents`."""
    return say(_SIZED[level.unit], size=_figure(size))


def _figure(level: float) -> str:
    """Two figures are more than such a threshold is known to."""
    return f"{level:.0f}" if level >= 10.0 else f"{level:.1f}"


def rest_caution(minutes: float) -> str:
    """Common caution; it advises and does not diagnose."""
    if minutes >= REST_AFTER_MIN:
        return say(
            "That was long. Rest your ears and hands for at least as long, and keep the volume low."
        )
    return say("Rest your ears a little before you play on, and keep the volume low.")


CAUTIONS = (
    to_say(
        "Keep the volume low: just loud enough to hear each note. Kaan cannot measure how loud it "
        "is at your ear."
    ),
    to_say(
        "Take breaks. Loud or long listening adds up; the guideline WHO-ITU H.870 speaks of 80 dBA "
        "for 40 hours a week, of 75 for children, and less is better."
    ),
    to_say(
        "On the instrument, stop before it hurts. Rest your hands, and ask your teacher about "
        "posture."
    ),
    to_say(
        "If your ears ring, sounds seem dull, or pain stays, see a doctor or a hearing specialist. "
        "Kaan advises; it does not diagnose."
    ),
)
"""To be said."""
