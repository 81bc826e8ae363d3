"""What is divided into stages, and what one of them is called, in the words of a prompt."""

from __future__ import annotations

from quizzes.stages.asking import stage_name
from quizzes.stages.stage import Division, Form


def whole_name(known: Form, division: Division) -> str:
    """`a performance`, `an alap`; by the name that a teacher has for it."""
    return _one(stage_name(known, division.of)) if division.of else division.name


def one_part(known: Form, division: Division) -> str:
    """`tuk of an alap`, `stage of a performance`."""
    return f"{division.part} of {whole_name(known, division)}"


def which_part(known: Form, division: Division) -> str:
    """Which of its parts is it that sounds?"""
    if not division.ordered:
        return f"You hear {_one(division.part)}. Which kind is it?"
    return (
        f"You hear a passage of {whole_name(known, division)}. Which of its {division.part}s is it?"
    )


def _one(name: str) -> str:
    if name.startswith("the "):
        return name
    return f"{'an' if name[0] in 'aeiou' else 'a'} {name}"
