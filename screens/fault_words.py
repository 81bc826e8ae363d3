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
from words import say, to_say

EMPTY = ("is missing", "is empty")
NEEDED = to_say("Still to be written.")
NOTHING_TICKED = to_say("Nothing is ticked: tick at least one.")
TICKED = ("skills", "ask", "ragas", "talas", "among")
NO_QUESTION = to_say("It has no question yet.")
NONE_THERE = "there is none"
LACKING = {
    "sargam": to_say("Write what sounds, or choose Nothing."),
    "recording": to_say("Choose a recording, or Nothing."),
    "theka": to_say("Choose a tala, or Nothing."),
}
"""What is to be said of a sort of sound that was chosen, as long as nothing is given."""
OF_FILES = (" = ", "[[", "quotes", "main.py")
"""A remedy with one of these speaks of the file, which who fills in a form never sees."""

FORM_WORDS = {
    NONE_THERE: NO_QUESTION,
    r"there is only one, and nothing to choose": to_say(
        "There is only one, and nothing to choose: add another."
    ),
    r"there is none, and nothing to choose": to_say(
        "There is none, and nothing to choose: add another."
    ),
    r"none is right": to_say("None is right: touch “Not right” at the one that is."),
    r"is right, but given for the verdict that is wrong": to_say(
        "It is right, but offered for the other verdict: let it be offered for this one, or for "
        "either."
    ),
    r"(?P<one>.+) stands there already, at line \d+": to_say(
        "{one} stands there already: write another, or remove it."
    ),
    r"there is only one, and nothing to put in order": to_say(
        "There is only one, and nothing to put in order: add another."
    ),
    r"(?P<one>.+) is not among things": to_say(
        "{one} is none of the things above: choose one of them."
    ),
    r"(?P<one>.+) stands before (?P<other>.+) in things": to_say(
        "{one} stands before {other} in the order above: turn this pair round, or carry the things "
        "to their places."
    ),
    r"this pair stands there already": to_say(
        "This pair stands there already: remove one of the two."
    ),
    r"(?P<what>.+ by the pairs above: a circle)": to_say(
        "{what}. Turn this pair round, or remove it."
    ),
    r"stands beside \w+, and only one of them can sound": to_say(
        "Two sounds are given: choose what sounds above."
    ),
    r"sounds for (?P<long>.+)": to_say(
        "It sounds for {long}: shorten it, or raise the tempo. At most {seconds:g} seconds are "
        "played."
    ),
    r"(?P<one>.+) is not among the recordings": to_say(
        "Its recording is not here any more: choose one."
    ),
    r"(?P<one>.+) is no tala known here": to_say("{one} is no tala known here: choose one."),
    r"nothing is asked so": NOTHING_TICKED,
    r"names only one, and there is nothing to choose": to_say(
        "Only one is ticked, and there is nothing to choose: tick another."
    ),
    r"stands beside (?P<count>\d+) skills": to_say(
        "{count} skills are asked, and only for {beside} can be said what is offered: untick some "
        "of what is asked, or all that is offered."
    ),
    r"stands beside more than \d+ skills in this deck": to_say(
        "In one deck can be said only for {tried} skills what is offered: untick all here, or make "
        "another deck."
    ),
    r"(?P<one>.+) has no answers to choose from": to_say(
        "Its answers are not chosen from a list: untick all."
    ),
    r"no phrase of (?P<one>.+) is known that (?P<what>.+)": to_say(
        "No phrase of {one} is known that {what}: write phrases of your own below, or untick {one}."
    ),
    r"(?P<one>.+) makes this phrase as well, (?P<what>.+)": to_say(
        "{one} makes this phrase as well, {what}: write another, or untick {one} above."
    ),
    r"cannot be written in sargam": to_say(
        "It cannot be written: leave it out, and write the phrase."
    ),
    r"is no phrase: it has (?P<what>.+)": to_say(
        "A phrase has two swaras at least; this has {what}."
    ),
    r"(?P<one>.+) cannot count": to_say("{one} cannot count: touch what is to count."),
    r"(?P<one>.+) is not in among": to_say(
        "{one} is not ticked above: tick it, or remove these lines."
    ),
    r"are of one raga only, .+": to_say(
        "They are of one raga only, and there is nothing to choose: tick another raga above."
    ),
}
"""By what the reading of a file says, what the form says instead, to be said. What a fault names
stays as the file has it."""
_LIMITS = {"seconds": LONGEST_CUE_S, "beside": MOST_BESIDE_AMONG, "tried": MOST_TRIED}
LEAVES = re.compile(r"leaves fewer than two answers, or not the right one, of (.+)")

PLACES = {
    "prompt": to_say("what is asked"),
    "skills": to_say("what is asked"),
    "choice": to_say("answer"),
    "reason": to_say("reason"),
    "things": to_say("thing"),
    "before": to_say("pair"),
    "right": to_say("line"),
    "holds": to_say("whether it is so"),
    "why": to_say("the explanation"),
    "name": to_say("the name in lists"),
    "sargam": to_say("what sounds"),
    "recording": to_say("what sounds"),
    "theka": to_say("what sounds"),
    "among": to_say("what is offered"),
    "counts": to_say("what counts"),
}
"""By the field of a question, what its form calls it, to be said."""
MANY = {
    "choice": to_say("answers"),
    "reason": to_say("reasons"),
    "things": to_say("things"),
    "before": to_say("pairs"),
    "right": to_say("lines"),
}
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
        return say(NOTHING_TICKED if fault.field in TICKED else NEEDED)
    if found := LEAVES.fullmatch(fault.wrong):
        of = name_of(found[1])
        return say(
            "Of “{skill}” these leave fewer than two answers, or not the right one: tick more.",
            skill=of,
        )
    if found := re.fullmatch(r"names (\d+)", fault.wrong):
        most = fault.remedy.rpartition(" ")[2]
        return say("There are {count}, and at most {most} may be.", count=found[1], most=most)
    for said, words in FORM_WORDS.items():
        if found := re.fullmatch(said, fault.wrong):
            return capital(say(words, **_LIMITS, **found.groupdict()))
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
        if fault.field == "question":
            return plain(fault)
        return say("{field}: {what}", field=capital(fault.field), what=_low(fault))
    at, number = told(fault), fault.entry + 1
    place = say(PLACES[at.field]) if at.field in PLACES else at.field
    if at.number:
        place = say("{part} {number}", part=place, number=at.number)
    elif at.field in MANY:
        place = say(MANY[at.field])
    return say("Question {number}, {part}: {what}", number=number, part=place, what=_low(fault))


def _low(fault: Fault) -> str:
    words = plain(fault)
    return words[:1].lower() + words[1:]


def left_of(faults: Sequence[Fault], lacking: int = 0) -> str:
    """How much is still to be done: "" for nothing, `Two things still to write.` `lacking` are
    things that a form misses and a file need not have."""
    if not faults and not lacking:
        return ""
    count = len(faults) + lacking
    if is_begun(faults):
        left = counted(count, "{number} thing still to write.", "{number} things still to write.")
    else:
        left = counted(count, "{number} thing still to mend.", "{number} things still to mend.")
    return capital(left)


def is_begun(faults: Sequence[Fault]) -> bool:
    """Whether nothing is wrong but that some of it is not written yet."""
    return all(map(_is_unwritten, faults))


def _is_unwritten(fault: Fault) -> bool:
    if fault.wrong in EMPTY:
        return fault.field not in TICKED
    return fault.wrong == NONE_THERE


def soft() -> tuple[str, ...]:
    """What is no fault yet, as it is said."""
    return tuple(map(say, (NEEDED, *LACKING.values())))
