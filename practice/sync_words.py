"""What is said of the folder kept in step: what was taken in, what was put there, and when."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from practice.called import can_be_seen
from quizzes.names import listed

MOST_NAMES = 4
HIDDEN = "…"
A_STUDENT = "a student without a name"


def shown(text: str) -> str:
    """A text from a file, or a file's name, without what is no sign or half of one."""
    return "".join(sign if can_be_seen(sign) else HIDDEN for sign in text)


def taken_words(taken: Sequence[tuple[str, int]]) -> str:
    """`12 new answers of Mira and 1 of Asha`; each is a student's name and a number above 0.

    Of many students only how many they are."""
    (name, new), *others = taken
    if len(taken) > MOST_NAMES:
        return f"{sum(new for _, new in taken)} new answers of {len(taken)} students"
    first = f"{new} new answer{'s' * (new != 1)} of {name}"
    return listed([first, *(f"{new} of {name}" for name, new in others)])


def all_taken_words(taken: Sequence[tuple[str, int]], noted: Sequence[str]) -> str:
    """The same; and of whom there is something else that is new, as `phrases and minutes of Ravi`,
    where no answers of theirs are."""
    words = [taken_words(taken)] if taken else []
    if others := [name for name in noted if name not in dict(taken)]:
        of_whom = f"{len(others)} students" if len(others) > MOST_NAMES else listed(others)
        words.append(f"phrases and minutes of {of_whom}")
    return "; ".join(words)


def written_words(names: Sequence[str]) -> str:
    """`the answers of Mira and Asha`, or of how many students."""
    many = len(names) > MOST_NAMES
    return f"the answers of {f'{len(names)} students' if many else listed(names)}"


def when_words(at: datetime, now: datetime) -> str:
    """`today, 18:02`, `yesterday, 18:02` or `2 March 2026, 18:02`, by the clock of this device.

    Both must be aware."""
    at, now = at.astimezone(), now.astimezone()
    days = (now.date() - at.date()).days
    day = {0: "today", 1: "yesterday"}.get(days, f"{at.day} {at:%B %Y}")
    return f"{day}, {at:%H:%M}"


def last_words(said: tuple[str, str] | None, now: datetime, *, done: str, never: str) -> str:
    """`Taken in today, 18:02: 12 new answers of Mira.`; `never` where nothing was."""
    if said is None:
        return never
    at, words = said
    return f"{done} {when_words(datetime.fromisoformat(at), now)}: {words}."
