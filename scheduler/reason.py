"""Why this question now: a code with its numbers and skills, and one short sentence from them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from scheduler.taking import CONFUSIONS_KEPT

_SAME_DAY = 0.4
_FIFTY = 50  # percent known: below that it is likelier gone than not
_FEW = {1: "once", 2: "twice"}


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a skill is asked. `numbers` and `skills` are what the sentence of `code` speaks of.

    | code | numbers | skills |
    |---|---|---|
    | new | | |
    | settling | times met today | |
    | again | times asked today | |
    | missed today | | |
    | missed before | whole days since | |
    | confused | times within a week, counted up to eight | the skill heard instead |
    | contrast | | the skill just asked |
    | heard for | | the skill for which it was heard |
    | between | | |
    | lesson | whole days until | |
    | fading | whole days since, percent known | |
    | shaky | times right, times asked | |
    | coming | times met | |
    | firm | whole days since | |
    """

    code: str
    numbers: tuple[int, ...] = ()
    skills: tuple[str, ...] = ()

    def sentence(self, name_of: Callable[[str], str]) -> str:
        """The reason in a few words for a student; `name_of` gives a skill's name."""
        return _SENTENCES[self.code](self.numbers, [name_of(skill) for skill in self.skills])

    def __str__(self) -> str:
        """The reason as it stands in the log: "fading 4 61", "confused 2 gap:R-P:up"."""
        return " ".join([self.code, *map(str, self.numbers), *self.skills])


def whole_days(days: float) -> int:
    """Days as people count them: 0 within about ten hours, "yesterday" is 1 at any hour."""
    return 0 if days < _SAME_DAY else max(1, round(days))


def days_in_words(days: int) -> str:
    return {0: "today", 1: "1 day"}.get(days, f"{days} days")


def times_in_words(times: int) -> str:
    return _FEW.get(times, f"{times} times")


def _at_most(times: int) -> str:
    """More are not kept."""
    return f"{times} times or more" if times >= CONFUSIONS_KEPT else times_in_words(times)


def _since(days: int) -> str:
    return "earlier today" if days == 0 else f"{days_in_words(days)} ago"


def _lesson(days: int) -> str:
    return "for today's lesson" if days == 0 else f"for the lesson in {days_in_words(days)}"


def _fading(percent: int) -> str:
    return "about to fade" if percent >= _FIFTY else "perhaps gone"


_Sentence = Callable[[tuple[int, ...], list[str]], str]
_SENTENCES: dict[str, _Sentence] = {
    "new": lambda n, s: "new to you",
    "settling": lambda n, s: f"met today, heard {times_in_words(n[0])} so far",
    "again": lambda n, s: f"asked {times_in_words(n[0])} today, and once more",
    "missed today": lambda n, s: "missed a moment ago",
    "missed before": lambda n, s: (
        "missed earlier today" if n[0] == 0 else f"missed last time, {days_in_words(n[0])} ago"
    ),
    "confused": lambda n, s: f"taken {_at_most(n[0])} in the last 7 days for {s[0]}",
    "contrast": lambda n, s: f"set beside {s[0]}, which was taken for it",
    "heard for": lambda n, s: f"heard lately where {s[0]} sounded",
    "between": lambda n, s: "in between, so that nothing can be foreseen",
    "lesson": lambda n, s: _lesson(n[0]),
    "fading": lambda n, s: f"last heard {_since(n[0])}, {_fading(n[1])}",
    "shaky": lambda n, s: f"shaky: right {n[0]} of {n[1]} times",
    "coming": lambda n, s: f"coming: met {times_in_words(n[0])} so far",
    "firm": lambda n, s: f"firm, last heard {_since(n[0])}: kept warm",
}
CODES = tuple(_SENTENCES)
