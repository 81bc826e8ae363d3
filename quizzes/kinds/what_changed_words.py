"""What `what-changed` asks, in ids and in words."""

from __future__ import annotations

from quizzes.alterations import DIMENSIONS
from quizzes.names import ORDINALS, capital
from quizzes.question import Choice, Skill

WHAT, WHERE, MORE = "", "where", "more"
"""What changed, at which note, and which of two changes was the greater."""
NOTHING = "nothing"
PLACES = 4
"""From so many notes the changed one is chosen."""
ORDERS = ("first", "second")

MAY = {
    "pitch": "one note may be a little higher or lower",
    "loudness": "one note may be a little louder or softer",
    "timing": "one note may come a little early or late",
    "tone": "one note may be a little brighter or duller in tone",
}

OF = {"pitch": "in pitch", "loudness": "in loudness", "timing": "in timing", "tone": "in tone"}


def prompt_of(way: str, dimension: str) -> str:
    """The question; which dimension changed is told only where it is not asked."""
    if way == WHERE:
        return f"The phrase comes twice. Which note changed {OF[dimension]}?"
    if way == MORE:
        return (
            f"The phrase comes plain, then twice with one note changed {OF[dimension]}. "
            "Which change was greater?"
        )
    return "The phrase comes twice. What changed the second time?"


def choice_of(way: str, answer: str) -> Choice:
    """One of the answers: a dimension or NOTHING, the number of a note, or one of ORDERS."""
    if way == WHERE:
        return Choice(answer, f"The {ORDINALS[int(answer) - 1]} note")
    if way == MORE:
        return Choice(answer, f"The {answer} change")
    if answer == NOTHING:
        return Choice(answer, "Nothing: both were the same")
    return Choice(answer, f"{capital(answer)}: {DIMENSIONS[answer].about}", id_of(WHAT, answer))


def id_of(way: str, dimension: str) -> str:
    """The id of a skill, such as `what-changed:where:pitch`."""
    return f"what-changed:{way}:{dimension}" if way else f"what-changed:{dimension}"


def skill_of(way: str, dimension: str) -> Skill:
    """What there is to know of one dimension, asked in one way."""
    names = {
        WHAT: f"a note that changes {OF[dimension]}",
        WHERE: f"which note changes {OF[dimension]}",
        MORE: f"the greater of two changes {OF[dimension]}",
    }
    return Skill(
        id=id_of(way, dimension),
        kind="what-changed",
        name=names[way],
        family="perception",
        cluster=f"what-changed {way}".strip(),
        chance={WHAT: 1 / 5, WHERE: 1 / PLACES, MORE: 1 / 2}[way],
        seconds=18.0 if way == MORE else 14.0,
    )
