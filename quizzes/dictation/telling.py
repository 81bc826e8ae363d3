"""What is said of a phrase as a whole: where it goes, and what the left hand does in it."""

from __future__ import annotations

from audio.line import Line
from quizzes.dictation.places import places_of
from quizzes.dictation.showing import hand_of
from quizzes.names import swara_name
from words import say, to_say


def course_of(line: Line) -> str:
    """`It begins on Ga, goes down to Sa and up to Pa, and ends on Re.`"""
    swaras = [place.swara for place in places_of(line)]
    first, last = swaras[0], swaras[-1]
    low, high = min(swaras, key=lambda s: s.steps), max(swaras, key=lambda s: s.steps)
    lower, higher = (end not in (first, last) for end in (low, high))
    named = {"first": first, "last": last, "low": low, "high": high}
    parts = {part: swara_name(swara) for part, swara in named.items()}
    return say(_COURSES[lower, higher], **parts)


_COURSES = {
    (False, False): to_say("It begins on {first} and ends on {last}."),
    (True, False): to_say("It begins on {first}, goes down to {low}, and ends on {last}."),
    (False, True): to_say("It begins on {first}, goes up to {high}, and ends on {last}."),
    (True, True): to_say(
        "It begins on {first}, goes down to {low} and up to {high}, and ends on {last}."
    ),
}
"""By whether it goes lower, and whether it goes higher, than it begins and ends."""


def hands_of(line: Line) -> str:
    """`: Ga has a meend to it; Pa has a gamak`; "" where the hand only presses."""
    told = [
        say("{swara} has {hand}", swara=swara_name(place.swara), hand=hand_of(place))
        for place in places_of(line)
        if not place.is_plain
    ]
    return f": {'; '.join(told)}" if told else ""
