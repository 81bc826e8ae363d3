"""Why this question now: a code with its numbers and skills, and one short sentence from them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from scheduler.taking import CONFUSIONS_KEPT
from words import say, say_many

_SAME_DAY = 0.4
_FIFTY = 50  # percent known: below that it is likelier gone than not


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

    @classmethod
    def read(cls, text: str) -> Reason:
        """From how it stands in the log. Raises ValueError for a code that is not known."""
        for code in CODES:
            if f"{text} ".startswith(f"{code} "):
                rest = text.removeprefix(code).split()
                numbers = tuple(int(word) for word in rest if word.isdecimal())
                return cls(code, numbers, tuple(word for word in rest if not word.isdecimal()))
        raise ValueError(f"{text!r} is no reason; there are {', '.join(CODES)}")


def whole_days(days: float) -> int:
    """Days as people count them: 0 within about ten hours, "yesterday" is 1 at any hour."""
    return 0 if days < _SAME_DAY else max(1, round(days))


def times_in_words(times: int) -> str:
    """`once`, `twice`, `3 times`."""
    few = {1: say("once"), 2: say("twice")}
    return few[times] if times in few else say("{number} times", number=times)


def _at_most(times: int) -> str:
    """More are not kept."""
    if times >= CONFUSIONS_KEPT:
        return say("{number} times or more", number=times)
    return times_in_words(times)


def _since(days: int) -> str:
    return say_many("{count} day ago", "{count} days ago", days) if days else say("earlier today")


def _missed(days: int) -> str:
    if days == 0:
        return say("missed earlier today")
    return say_many("missed last time, {count} day ago", "missed last time, {count} days ago", days)


def _lesson(days: int) -> str:
    if days == 0:
        return say("for today's lesson")
    return say_many("for the lesson in {count} day", "for the lesson in {count} days", days)


def _fading(days: int, percent: int) -> str:
    since = _since(days)
    if percent >= _FIFTY:
        return say("last heard {since}, about to fade", since=since)
    return say("last heard {since}, perhaps gone", since=since)


def _confused(times: int, other: str) -> str:
    return say("taken {times} in the last 7 days for {other}", times=_at_most(times), other=other)


_Sentence = Callable[[tuple[int, ...], list[str]], str]
_SENTENCES: dict[str, _Sentence] = {
    "new": lambda n, s: say("new to you"),
    "settling": lambda n, s: say("met today, heard {times} so far", times=times_in_words(n[0])),
    "again": lambda n, s: say(
        "asked {times} today; once more, so that it stays", times=times_in_words(n[0])
    ),
    "missed today": lambda n, s: say("missed a moment ago"),
    "missed before": lambda n, s: _missed(n[0]),
    "confused": lambda n, s: _confused(n[0], s[0]),
    "contrast": lambda n, s: say("set beside {other}, which was taken for it", other=s[0]),
    "heard for": lambda n, s: say("heard lately where {other} sounded", other=s[0]),
    "between": lambda n, s: say("something else in between, as a surprise"),
    "lesson": lambda n, s: _lesson(n[0]),
    "fading": lambda n, s: _fading(n[0], n[1]),
    "shaky": lambda n, s: say("shaky: right {right} of {asked} times", right=n[0], asked=n[1]),
    "coming": lambda n, s: say("still new: met {times} so far", times=times_in_words(n[0])),
    "firm": lambda n, s: say(
        "known well, last heard {since}: so that it stays", since=_since(n[0])
    ),
}
CODES = tuple(_SENTENCES)
