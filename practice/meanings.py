"""What the four words mean that a skill is called: one text, for every screen and page.

It says in a student's words what `scheduler.belief.state` reckons by.
"""

from __future__ import annotations

MEANINGS = {
    "firm": "right when last asked and at least once after a night, and likely to hold three days",
    "shaky": (
        "firm once and no more; or met four times or more, and missed last time or by now more "
        "likely forgotten than known"
    ),
    "coming": "begun, and on its way",
    "unheard": "not asked yet",
}


def meaning_of(state: str) -> str:
    """`Coming: begun, and on its way.`"""
    return f"{state.capitalize()}: {MEANINGS[state]}."


def all_meanings() -> str:
    """All of them in one line."""
    return " ".join(map(meaning_of, MEANINGS))
