"""What is said of a phrase as a whole: where it goes, and what the left hand does in it."""

from __future__ import annotations

from audio.line import Line
from quizzes.dictation.places import places_of
from quizzes.dictation.showing import hand_of
from quizzes.names import swara_name


def course_of(line: Line) -> str:
    """`It begins on Ga, goes down to Sa and up to Pa, and ends on Re.`"""
    swaras = [place.swara for place in places_of(line)]
    first, last = swaras[0], swaras[-1]
    low, high = min(swaras, key=lambda s: s.steps), max(swaras, key=lambda s: s.steps)
    ways = [
        f"{way} to {swara_name(end)}"
        for way, end in (("down", low), ("up", high))
        if end not in (first, last)
    ]
    goes = f", goes {' and '.join(ways)}," if ways else ""
    return f"It begins on {swara_name(first)}{goes} and ends on {swara_name(last)}."


def hands_of(line: Line) -> str:
    """`: Ga has a meend to it; Pa has a gamak`; "" where the hand only presses."""
    told = [
        f"{swara_name(place.swara)} {hand_of(place)}"
        for place in places_of(line)
        if not place.is_plain
    ]
    return f": {'; '.join(told)}" if told else ""
