"""What the four words mean that a skill is called: one text, for every screen and page.

It says in a student's words what `scheduler.belief.state` reckons by.
"""

from __future__ import annotations

from quizzes.names import capital
from words import say, to_say

MEANINGS = {
    "firm": to_say(
        "right when last asked and at least once after a night, and likely to hold three days"
    ),
    "shaky": to_say(
        "firm once and no more; or met four times or more, and missed last time or by now more "
        "likely forgotten than known"
    ),
    "coming": to_say("begun, and on its way"),
    "unheard": to_say("not asked yet"),
}
"""To be said."""
_WORDS = {
    "firm": to_say("firm"),
    "shaky": to_say("shaky"),
    "coming": to_say("coming"),
    "unheard": to_say("unheard"),
}


def state_word(state: str) -> str:
    """`firm`, in the language in use; of what is no state nothing."""
    return say(_WORDS[state]) if state in _WORDS else ""


def meaning_of(state: str) -> str:
    """`Coming: begun, and on its way.`"""
    return say(
        "{state}: {meaning}.",
        state=capital(state_word(state)),
        meaning=say(MEANINGS[state]),
    )


def all_meanings() -> str:
    """All of them in one line."""
    return " ".join(map(meaning_of, MEANINGS))
