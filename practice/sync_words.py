"""What is said of the folder kept in step: what was taken in, what was put there, and when."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from practice.called import can_be_seen
from practice.dates import year_word
from quizzes.names import listed
from words import say, say_many, to_say

MOST_NAMES = 4
HIDDEN = "…"
A_STUDENT = to_say("a student without a name")
"""To be said."""


def shown(text: str) -> str:
    """A text from a file, or a file's name, without what is no sign or half of one."""
    return "".join(sign if can_be_seen(sign) else HIDDEN for sign in text)


def taken_words(taken: Sequence[tuple[str, int]]) -> str:
    """`12 new answers of Mira and 1 of Asha`; each is a student's name and a number above 0.

    Of many students only how many they are."""
    (name, new), *others = taken
    if len(taken) > MOST_NAMES:
        return say_many(
            "{count} new answer of {students} students",
            "{count} new answers of {students} students",
            sum(new for _, new in taken),
            students=len(taken),
        )
    first = say_many(
        "{count} new answer of {student}", "{count} new answers of {student}", new, student=name
    )
    more = [say("{count} of {student}", count=new, student=name) for name, new in others]
    return listed([first, *more])


def all_taken_words(taken: Sequence[tuple[str, int]], noted: Sequence[str]) -> str:
    """The same; and of whom there is something else that is new, as `phrases and minutes of Ravi`,
    where no answers of theirs are."""
    words = [taken_words(taken)] if taken else []
    if others := [name for name in noted if name not in dict(taken)]:
        words.append(say("phrases and minutes of {students}", students=_whose(others)))
    return "; ".join(words)


def written_words(names: Sequence[str]) -> str:
    """`the answers of Mira and Asha`, or of how many students."""
    return say("the answers of {students}", students=_whose(names))


def _whose(names: Sequence[str]) -> str:
    if len(names) > MOST_NAMES:
        return say("{count} students", count=len(names))
    return listed(names)


def when_words(at: datetime, now: datetime) -> str:
    """`today, 18:02`, `yesterday, 18:02` or `2 March 2026, 18:02`, by the clock of this device.

    Both must be aware."""
    at, now = at.astimezone(), now.astimezone()
    days = (now.date() - at.date()).days
    day = {0: say("today"), 1: say("yesterday")}.get(days) or year_word(at)
    return say("{date}, {time}", date=day, time=f"{at:%H:%M}")


Last = tuple[str, str] | None
"""When it was, and what is said of it; None where nothing was yet."""


def last_taken_words(said: Last, now: datetime) -> str:
    """`Taken in today, 18:02: 12 new answers of Mira.`"""
    if said is None:
        return say("Nothing was taken in yet.")
    return say("Taken in {when}: {what}.", when=_when(said, now), what=said[1])


def last_written_words(said: Last, now: datetime) -> str:
    """`Put there yesterday, 18:02: the answers of Mira.`"""
    if said is None:
        return say("Nothing was put there yet.")
    return say("Put there {when}: {what}.", when=_when(said, now), what=said[1])


def _when(said: tuple[str, str], now: datetime) -> str:
    return when_words(datetime.fromisoformat(said[0]), now)
