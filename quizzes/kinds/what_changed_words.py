"""What `what-changed` asks, in ids and in words."""

from __future__ import annotations

from quizzes.alterations import DIMENSIONS
from quizzes.names import ordinal
from quizzes.question import Choice, Skill
from words import say, to_say

WHAT, WHERE, MORE = "", "where", "more"
"""What changed, at which note, and which of two changes was the greater."""
NOTHING = "nothing"
PLACES = 4
"""From so many notes the changed one is chosen."""
ORDERS = ("first", "second")

MAY = {
    "pitch": to_say("one note may be a little higher or lower"),
    "loudness": to_say("one note may be a little louder or softer"),
    "timing": to_say("one note may come a little early or late"),
    "tone": to_say("one note may be a little brighter or duller in tone"),
}

OF = {
    "pitch": to_say("in pitch"),
    "loudness": to_say("in loudness"),
    "timing": to_say("in timing"),
    "tone": to_say("in tone"),
}
_CHANGES = dict(zip(ORDERS, (to_say("The first change"), to_say("The second change")), strict=True))
_NAMES = {
    WHAT: to_say("a note that changes {how}"),
    WHERE: to_say("which note changes {how}"),
    MORE: to_say("the greater of two changes {how}"),
}


def prompt_of(way: str, dimension: str) -> str:
    """The question; which dimension changed is told only where it is not asked."""
    if way == WHERE:
        return say("The phrase comes twice. Which note changed {how}?", how=say(OF[dimension]))
    if way == MORE:
        return say(
            "The phrase comes plain, then twice with one note changed {how}. "
            "Which change was greater?",
            how=say(OF[dimension]),
        )
    return say("The phrase comes twice. What changed the second time?")


def choice_of(way: str, answer: str) -> Choice:
    """One of the answers: a dimension or NOTHING, the number of a note, or one of ORDERS."""
    if way == WHERE:
        return Choice(answer, say("The {place} note", place=ordinal(int(answer) - 1)))
    if way == MORE:
        return Choice(answer, say(_CHANGES[answer]))
    if answer == NOTHING:
        return Choice(answer, say("Nothing: both were the same"))
    dimension = DIMENSIONS[answer]
    label = say("{what}: {about}", what=say(dimension.title), about=say(dimension.about))
    return Choice(answer, label, id_of(WHAT, answer))


def short_label(way: str, answer: str) -> str:
    """An answer as it is explained: without what is about to be told of it."""
    if way != WHAT:
        return choice_of(way, answer).label
    return say("Nothing") if answer == NOTHING else say(DIMENSIONS[answer].title)


def introduced(way: str, dimension: str) -> str:
    """What is heard, before the skill is first asked."""
    if way == MORE:
        return say(
            "You hear a phrase plain, then twice with the same note changed. "
            "Say which change is the greater."
        )
    if way == WHERE:
        return say("You hear a phrase twice, with one note changed {how}.", how=say(OF[dimension]))
    return say("You hear a phrase twice. The second time {may}.", may=say(MAY[dimension]))


def larger(way: str) -> str:
    """That an explanation plays more of it than was asked."""
    if way == MORE:
        return say("The difference is played larger here, so that it is plain to hear.")
    return say("It is played larger here, so that it is plain to hear.")


def id_of(way: str, dimension: str) -> str:
    """The id of a skill, such as `what-changed:where:pitch`."""
    return f"what-changed:{way}:{dimension}" if way else f"what-changed:{dimension}"


def name_of(way: str, dimension: str) -> str:
    """`which note changes in pitch`."""
    return say(_NAMES[way], how=say(OF[dimension]))


def skill_of(way: str, dimension: str) -> Skill:
    """What there is to know of one dimension, asked in one way."""
    return Skill(
        id=id_of(way, dimension),
        kind="what-changed",
        name=name_of(way, dimension),
        family="perception",
        cluster=f"what-changed {way}".strip(),
        chance={WHAT: 1 / 5, WHERE: 1 / PLACES, MORE: 1 / 2}[way],
        seconds=18.0 if way == MORE else 14.0,
    )
