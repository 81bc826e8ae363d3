"""What `register:path` says of the ways through the saptaks."""

from __future__ import annotations

from collections.abc import Mapping

from quizzes.names import ordinal
from quizzes.stages.stage import SAPTAKS, Form
from words import say, to_say

WORDS = {
    "mandra-madhya-tar": to_say("from mandra through madhya to tar"),
    "tar-madhya-mandra": to_say("from tar through madhya to mandra"),
    "madhya-mandra-madhya": to_say("from madhya down to mandra and back"),
    "madhya-tar-madhya": to_say("from madhya up to tar and back"),
    "mandra-madhya-mandra": to_say("from mandra up to madhya and back"),
    "tar-madhya-tar": to_say("from tar down to madhya and back"),
}
"""Every way of three phrases from one saptak to the next."""


def name_of_path(path: str) -> str:
    """`An alap from mandra through madhya to tar`."""
    return say("An alap {path}", path=say(WORDS[path]))


def by_saptak(known: Form) -> Mapping[str, str]:
    """The stages of an alap that each stay in one saptak, by that; empty where one is wanting."""
    for division in known.divisions.values():
        registers = {known.stages[part].heard.register: part for part in division.parts}
        if division.ordered and set(registers) == {(saptak,) for saptak in SAPTAKS}:
            return {saptak: registers[saptak,] for saptak in SAPTAKS}
    return {}


def goes(path: str, given: str) -> str:
    """Which way it goes; after another answer, the first phrase by which that is told from it."""
    whole = say("It goes {path}.", path=say(WORDS[path]))
    both = zip(path.split("-"), given.split("-"), strict=True)
    for place, (lies, said) in enumerate(both):
        if lies != said:
            parted = say(
                "Its {place} phrase lies in {saptak}, not in {other}.",
                place=ordinal(place),
                saptak=say(lies),
                other=say(said),
            )
            return f"{whole} {parted}"
    return whole


def how_usual(path: str, known: Form) -> str:
    """Why the whole of an alap usually goes so, or that it does not."""
    stages = by_saptak(known)
    usual = list(known.order.orders(list(stages.values())))
    if len(usual) != 1:
        return ""
    saptaks = {stage: saptak for saptak, stage in stages.items()}
    way = "-".join(saptaks[stage] for stage in usual[0])
    if way != path:
        return say("The whole of an alap usually goes {path}.", path=_in_words(way))
    last = known.order.pair(*usual[0][-2:])
    if last is None:
        return say("That is the usual path.")
    return say("That is the usual path: {why}.", why=say(last.why))


def _in_words(way: str) -> str:
    """Any way through the three saptaks."""
    if way in WORDS:
        return say(WORDS[way])
    first, second, third = map(say, way.split("-"))  # as SAPTAK_NAMES has them
    return say(
        "through {first}, then {second}, then {third}", first=first, second=second, third=third
    )
