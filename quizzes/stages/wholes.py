"""What is divided into stages, and what one of them is called, in the words of a prompt."""

from __future__ import annotations

from quizzes.names import capital
from quizzes.stages.asking import stage_name
from quizzes.stages.stage import Division, Form
from words import say


def whole_name(known: Form, division: Division) -> str:
    """`a performance`, `an alap`; by the name that a teacher has for it."""
    return _one(stage_name(known, division.of)) if division.of else say(division.name)


def division_title(division: Division) -> str:
    """`A performance`, `The four tuks of an alap`."""
    return capital(say(division.name))


def part_name(division: Division) -> str:
    """`tuk`, `stage`."""
    return say(division.part)


def which_part(known: Form, division: Division) -> str:
    """Which of its parts is it that sounds?"""
    part = part_name(division)
    if not division.ordered:
        return say("You hear {one}. Which kind is it?", one=_one(part))
    return say(
        "You hear a passage of {whole}. Which of its {part}s is it?",
        whole=whole_name(known, division),
        part=part,
    )


def _one(name: str) -> str:
    if name.startswith("the "):
        return name
    return say("an {thing}", thing=name) if name[0] in "aeiou" else say("a {thing}", thing=name)
