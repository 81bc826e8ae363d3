"""An answer typed at a terminal: its keys, how it is read, and the help on how to type it."""

from __future__ import annotations

import textwrap

from quizzes import Question
from quizzes.question import KEYS_APART, Choice
from screens.errors import WritingError
from screens.numbers import keyed
from screens.typed import (
    LINE_WIDTH,
    example,
    how_many,
    read_line,
    read_shares,
    shares_example,
    typed_label,
)
from screens.typed_phrase import phrase_help, phrase_help_again, read_phrase
from words import say, to_say

AGAIN = to_say("Enter alone plays it again; q ends.")
ENDS = to_say("q ends.")
"""Where nothing sounds. These two, and what follows, are to be said."""
HELP = to_say("Type the number or letter before your answer and Enter, as soon as you know; {ends}")
ORDER_HELP = to_say(
    "Type all {many} in their order with spaces between them, such as {example!r}, by number or by "
    "name; {ends}"
)
SEVERAL_HELP = to_say(
    "Type the number or letter before each answer that is right, with spaces between them; {ends}"
)
SHARES_HELP = to_say(
    "Share {whole} minutes out: type {many} numbers in the order above, such as {example!r}; {ends}"
)
TAPS_HELP = to_say(
    "Press Enter in time while it plays; after it has ended, Enter sends what you tapped. Or type "
    "the seconds of the sound at which the beats fall, such as '2.5 4.75'; a plays it again; q "
    "ends."
)
WRITTEN_HELP = to_say(
    "Type the whole line, {many} keys with spaces between them, such as {example!r}, by "
    "name or by number; {ends}"
)


def usual_help() -> str:
    """How most questions are answered."""
    return say(HELP, ends=say(AGAIN))


def read_answer(line: str, question: Question) -> str:
    """The answer typed: a key of the list, or a line of them. Raises WritingError."""
    if question.is_line:
        return read_line(line, question)
    if question.answer_on == "shares":
        return read_shares(line, question)
    if question.answer_on == "several":
        return read_set(line, question)
    if question.answer_on == "sargam":
        return read_phrase(line, question)
    by_key = {key: choice.id for key, choice in keys_of(question)}
    if line.lower() in by_key:
        return by_key[line.lower()]
    raise WritingError(say("{typed!r} is none of {keys}", typed=line, keys=", ".join(by_key)))


def read_set(line: str, question: Question) -> str:
    """The choices typed, in whichever order, as they stand in the question. Raises WritingError."""
    by_key = {key: choice.id for key, choice in keys_of(question)}
    words = line.lower().replace(",", " ").split()
    for word in words:
        if word not in by_key:
            raise WritingError(
                say("{typed!r} is none of {keys}", typed=word, keys=", ".join(by_key))
            )
    if not words:
        raise WritingError(say("none was chosen"))
    chosen = {by_key[word] for word in words}
    return KEYS_APART.join(choice.id for choice in question.choices if choice.id in chosen)


def keys_of(question: Question) -> list[tuple[str, Choice]]:
    """The choices, each with what is typed for it; in a line each has its place."""
    if question.answer_on in ("choices", "several", "string", "wheel"):
        return keyed(question.choices)
    if question.answer_on == "sargam":
        return [(choice.id, choice) for choice in question.choices]
    return [(str(place), choice) for place, choice in enumerate(question.choices, 1)]


def choices_printed(question: Question) -> list[str]:
    """The choices, a line each; keys of which a line is written, one after another."""
    if not (question.is_line or question.answer_on == "sargam"):
        return [f"{key}  {choice.label}" for key, choice in keys_of(question)]
    each = [f"{key} {typed_label(choice)}" for key, choice in keys_of(question)]
    return textwrap.wrap(", ".join(each), LINE_WIDTH)


def help_for(question: Question, *, known: bool = False) -> str:
    """How what is asked here is typed; shorter where the signs of sargam are known."""
    ends = say(ENDS if question.cue.is_silent else AGAIN)
    if question.answer_on == "taps":
        return say(TAPS_HELP)
    if question.answer_on == "shares":
        many, even = len(question.choices), shares_example(question)
        return say(SHARES_HELP, whole=question.whole, many=many, example=even, ends=ends)
    if question.answer_on == "several":
        return say(SEVERAL_HELP, ends=ends)
    if question.answer_on == "sargam":
        return (phrase_help_again if known else phrase_help)(question, ends=ends)
    if not question.is_line:
        return say(HELP, ends=ends)
    wording = ORDER_HELP if question.answer_on == "order" else WRITTEN_HELP
    return say(wording, many=how_many(question), example=example(question), ends=ends)
