"""What is wrong with a deck in the words of its form, which never speaks of files."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from quizzes.catalogue import name_of
from quizzes.decks.faults import Fault
from quizzes.decks.limits import LONGEST_CUE_S, MOST_BESIDE_AMONG, MOST_TRIED
from quizzes.decks.parsing import FILE
from quizzes.names import capital, counted

EMPTY = ("is missing", "is empty")
NEEDED = "Still to be written."
NOTHING_TICKED = "Nothing is ticked: tick at least one."
TICKED = ("skills", "ask", "ragas", "talas", "among")
NO_QUESTION = "It has no question yet."
LACKING = {
    "sargam": "Write what sounds, or choose Nothing.",
    "recording": "Choose a recording, or Nothing.",
    "theka": "Choose a tala, or Nothing.",
}
"""What is said of a sort of sound that was chosen, as long as nothing is given."""
SOFT = (NEEDED, *LACKING.values())
"""What is no fault yet."""
OF_FILES = (" = ", "[[", "quotes", "main.py")
"""A remedy with one of these speaks of the file, which who fills in a form never sees."""

FORM_WORDS = {
    r"there is none": NO_QUESTION,
    r"there is (only one|none), and nothing to choose": r"There is \1, and nothing to choose: add "
    "another.",
    r"none is right": "None is right: touch “Not right” at the one that is.",
    r"is right, but given for the verdict that is wrong": "It is right, but offered for the other "
    "verdict: let it be offered for this one, or for either.",
    r"(.+) stands there already, at line \d+": r"\1 stands there already: write another, or remove "
    "it.",
    r"there is only one, and nothing to put in order": "There is only one, and nothing to put in "
    "order: add another.",
    r"(.+) is not among things": r"\1 is none of the things above: choose one of them.",
    r"(.+) stands before (.+) in things": r"\1 stands before \2 in the order above: turn this pair "
    "round, or carry the things to their places.",
    r"this pair stands there already": "This pair stands there already: remove one of the two.",
    r"(.+ by the pairs above: a circle)": r"\1. Turn this pair round, or remove it.",
    r"stands beside \w+, and only one of them can sound": "Two sounds are given: choose what "
    "sounds above.",
    r"sounds for (.+)": rf"It sounds for \1: shorten it, or raise the tempo. At most "
    f"{LONGEST_CUE_S:g} seconds are played.",
    r"(.+) is not among the recordings": "Its recording is not here any more: choose one.",
    r"(.+) is no tala known here": r"\1 is no tala known here: choose one.",
    r"nothing is asked so": NOTHING_TICKED,
    r"names only one, and there is nothing to choose": "Only one is ticked, and there is nothing "
    "to choose: tick another.",
    r"stands beside (\d+) skills": rf"\1 skills are asked, and only for {MOST_BESIDE_AMONG} can be "
    "said what is offered: untick some of what is asked, or all that is offered.",
    r"stands beside more than \d+ skills in this deck": "In one deck can be said only for "
    f"{MOST_TRIED} skills what is offered: untick all here, or make another deck.",
    r"(.+) has no answers to choose from": "Its answers are not chosen from a list: untick all.",
    r"no phrase of (.+) is known that (.+)": r"No phrase of \1 is known that \2: write phrases of "
    r"your own below, or untick \1.",
    r"(.+) makes this phrase as well, (.+)": r"\1 makes this phrase as well, \2: write another, or "
    r"untick \1 above.",
    r"cannot be written in sargam": "It cannot be written: leave it out, and write the phrase.",
    r"is no phrase: it has (.+)": r"A phrase has two swaras at least; this has \1.",
    r"(.+) cannot count": r"\1 cannot count: touch what is to count.",
    r"(.+) is not in among": r"\1 is not ticked above: tick it, or remove these lines.",
    r"are of one raga only, .+": "They are of one raga only, and there is nothing to choose: tick "
    "another raga above.",
}
"""By what the reading of a file says, what the form says instead."""
LEAVES = re.compile(r"leaves fewer than two answers, or not the right one, of (.+)")

PLACES = {
    "prompt": "what is asked",
    "skills": "what is asked",
    "choice": "answer",
    "reason": "reason",
    "things": "thing",
    "before": "pair",
    "right": "line",
    "holds": "whether it is so",
    "why": "the explanation",
    "name": "the name in lists",
    "sargam": "what sounds",
    "recording": "what sounds",
    "theka": "what sounds",
    "among": "what is offered",
    "counts": "what counts",
}
"""By the field of a question, what its form calls it."""
MANY = ("choice", "reason", "things", "before", "right")
"""Of these there are several."""


@dataclass(frozen=True, slots=True)
class Told:
    """A fault at a place within a question: `choice`, 2, `text`; 0 and "" where there is none."""

    field: str
    number: int
    inner: str
    words: str


def told(fault: Fault) -> Told:
    """A fault in plain words, at its place."""
    first, _, inner = fault.field.partition(", ")
    name, _, number = first.rpartition(" ")
    if not number.isdecimal():
        name, number = first, "0"
    return Told(name, int(number), inner, plain(fault))


def plain(fault: Fault) -> str:
    """What is wrong and what would be right, without a word on the file."""
    if fault.wrong in EMPTY:
        return NOTHING_TICKED if fault.field in TICKED else NEEDED
    if found := LEAVES.fullmatch(fault.wrong):
        of = name_of(found[1])
        return f"Of “{of}” these leave fewer than two answers, or not the right one: tick more."
    if found := re.fullmatch(r"names (\d+)", fault.wrong):
        most = fault.remedy.rpartition(" ")[2]
        return f"There are {found[1]}, and at most {most} may be."
    for said, words in FORM_WORDS.items():
        if found := re.fullmatch(said, fault.wrong):
            return capital(found.expand(words))
    if any(sign in fault.remedy for sign in OF_FILES):
        return f"{capital(fault.wrong)}."
    return f"{capital(fault.wrong)}: {fault.remedy.partition('; a ')[0]}."


def words_of(faults: Sequence[Told]) -> str:
    """Each once, one below the other."""
    return "\n".join(dict.fromkeys(fault.words for fault in faults))


def placed(fault: Fault) -> str:
    """The same with its place in the deck: `Question 2, answer 1: still to be written.`"""
    if fault.field == FILE or fault.wrong.startswith("is no TOML"):
        return str(fault)  # there is no form before that is mended
    if fault.entry is None:
        return (
            plain(fault) if fault.field == "question" else f"{capital(fault.field)}: {_low(fault)}"
        )
    at, number = told(fault), fault.entry + 1
    many = "s" if at.field in MANY else ""
    place = PLACES.get(at.field, at.field) + (f" {at.number}" if at.number else many)
    return f"Question {number}, {place}: {_low(fault)}"


def _low(fault: Fault) -> str:
    words = plain(fault)
    return words[:1].lower() + words[1:]


def left_of(faults: Sequence[Fault], lacking: int = 0) -> str:
    """How much is still to be done: "" for nothing, `Two things still to write.` `lacking` are
    things that a form misses and a file need not have."""
    if not faults and not lacking:
        return ""
    todo = "write" if is_begun(faults) else "mend"
    return f"{capital(counted(len(faults) + lacking, 'thing'))} still to {todo}."


def is_begun(faults: Sequence[Fault]) -> bool:
    """Whether nothing is wrong but that some of it is not written yet."""
    return all(plain(fault) in (NEEDED, NO_QUESTION) for fault in faults)
