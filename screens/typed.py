"""A written answer as it is typed, by single keys or in words, and as it is printed."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from math import isfinite

from audio.tuning import Swara
from quizzes.explanation import Marked
from quizzes.question import KEYS_APART, Choice, Question
from quizzes.stages.sharing import evenly_shared
from screens.aligned import Place
from screens.columns import broad, padded
from screens.errors import WritingError
from words import in_script, say, say_many

LINE_WIDTH = 72
NOTHING = "-"
"""Printed where one line has nothing beside the other."""


_SWARA = re.compile(r"[SrRgGmMPdDnN](?:'+|,+)?")
ONE_FORM = "SP"
"""Ids of swaras that have no komal or tivra form, so that small letters mean them too."""


OCTAVE_MARKS = ",'"


def keyboard(choices: Sequence[Choice]) -> dict[str, str]:
    """Which number or letter of the keyboard writes which key.

    Swaras of several saptaks are written as they are read, the letter and then its mark: see
    `moved`.
    """
    if are_swaras(choices):
        return _swara_letters(choices)
    letters = _letters(choices)
    small = {letter.lower(): key for letter, key in letters.items() if key in ONE_FORM}
    large = {letter.upper(): key for letter, key in letters.items() if len(key) > 1}
    return {**small, **large, **letters, **_numbers(choices)}


def signs(choices: Sequence[Choice]) -> dict[str, str]:
    """What is written on each key for the keyboard: its number, or else its letter, if any;
    nothing where its label is what writes it."""
    if are_swaras(choices):
        return {each.id: each.id for each in choices if each.label != each.id}
    ways = {**_letters(choices), **_numbers(choices)}
    return {key: sign for sign, key in ways.items()}


def are_swaras(choices: Sequence[Choice]) -> bool:
    """Whether the keys are swaras as they are written, which their labels say."""
    return all(
        _SWARA.fullmatch(each.id) and each.label in (each.id, in_script(each.id))
        for each in choices
    )


def _swara_letters(choices: Sequence[Choice]) -> dict[str, str]:
    """For each letter the key without a mark, else the one nearest to it."""
    letters: dict[str, str] = {}
    for choice in sorted(choices, key=lambda choice: len(choice.id)):
        letters.setdefault(choice.id[0], choice.id)
    small = {one.lower(): letters[one] for one in ONE_FORM if one in letters}
    return {**small, **letters}


def moved(key: str, mark: str, choices: Sequence[Choice]) -> str:
    """The same swara in the next saptak, down for "," and up for "'", for which there is a key;
    itself where there is none."""
    ids = {choice.id for choice in choices}
    swara, way = Swara.read(key), -1 if mark == "," else 1
    there = (str(replace(swara, octave=swara.octave + way * many)) for many in (1, 2))
    return next((one for one in there if one in ids), key)


def _numbers(choices: Sequence[Choice]) -> dict[str, str]:
    return {str(number): choice.id for number, choice in enumerate(choices[:9], 1)}


def _letters(choices: Sequence[Choice]) -> dict[str, str]:
    """The first letter of each label with which no other label begins.

    Where ids are single letters, as those of swaras are, the letters are these ids.
    """
    single = {choice.id: choice.id for choice in choices if len(choice.id) == 1}
    if single:
        return single
    firsts = {choice.id: _first(choice).lower() for choice in choices}
    often = Counter(firsts.values())
    return {
        letter: key for key, letter in firsts.items() if letter.isalpha() and often[letter] == 1
    }


def _first(choice: Choice) -> str:
    """The first letter of a label; where no keyboard has that, of what it is called in logs."""
    first = choice.label[:1]
    return first if first.isascii() or not first.isalpha() else choice.id[:1]


def read_line(text: str, question: Question) -> str:
    """The answer in a line of labels, ids or numbers with spaces between them.

    Raises WritingError with the word that is no key, with how many keys the line may have, or with
    the key that an order has twice.
    """
    keys = list(_keys(text.split(), question.choices))
    if not question.fewest <= len(keys) <= question.places:
        raise WritingError(_wrong_many(question, len(keys)))
    twice = [key for key in keys if keys.count(key) > 1]
    if twice and question.answer_on == "order":
        name = question.choice(twice[0]).label
        raise WritingError(say("{name} stands twice; each comes once", name=name))
    return KEYS_APART.join(keys)


def _wrong_many(question: Question, count: int) -> str:
    many = how_many(question)
    if question.answer_on == "order":
        return say_many(
            "that is {count} thing; the order has {many}",
            "that is {count} things; the order has {many}",
            count,
            many=many,
        )
    return say_many(
        "that is {count} key; the line has {many}",
        "that is {count} keys; the line has {many}",
        count,
        many=many,
    )


def read_shares(text: str, question: Question) -> str:
    """The answer in whole numbers with spaces or commas between them, in the order of the choices.

    Raises WritingError with the word that is no number, or with what does not add up.
    """
    words = text.replace(",", " ").split()
    for word in words:
        if not word.isdecimal() or int(word) < 1:
            raise WritingError(say("{typed!r} is no number of minutes from 1 on", typed=word))
    many, whole = len(question.choices), sum(map(int, words))
    if len(words) != many:
        raise WritingError(
            say_many(
                "that is {count} number; there are {many} to be given",
                "that is {count} numbers; there are {many} to be given",
                len(words),
                many=many,
            )
        )
    if whole != question.whole:
        shares = {"given": whole, "whole": question.whole, "off": abs(question.whole - whole)}
        if whole < question.whole:
            raise WritingError(
                say("those are {given} of {whole} minutes: {off} left over", **shares)
            )
        raise WritingError(say("those are {given} of {whole} minutes: {off} too many", **shares))
    return KEYS_APART.join(str(int(word)) for word in words)


def read_seconds(text: str) -> list[float]:
    """Seconds that rise, by a millisecond at least. Raises WritingError."""
    seconds = []
    for word in text.split():
        try:
            seconds.append(float(word))
        except ValueError as error:
            told = say("{typed!r} is no number of seconds, such as 2.5", typed=word)
            raise WritingError(told) from error
    if not all(map(isfinite, seconds)):
        raise WritingError(say("seconds should be plain numbers, such as 2.5"))
    if any(later < earlier + 0.001 for earlier, later in pairwise(seconds)):
        raise WritingError(say("seconds should rise from one beat to the next"))
    return seconds


def _keys(words: list[str], choices: Sequence[Choice]) -> Iterator[str]:
    at = 0
    while at < len(words):
        # The longest first: one label may begin as another does, with more words after it.
        for count in range(len(words) - at, 0, -1):
            key = _key(" ".join(words[at : at + count]), choices)
            if key is not None:
                yield key
                at += count
                break
        else:
            told = say(
                "{typed!r} is none of these: {keys}", typed=words[at], keys=keys_told(choices)
            )
            raise WritingError(told)


def _key(word: str, choices: Sequence[Choice]) -> str | None:
    """The key meant by a word. Large and small letters count where they make a difference."""
    numbers = {str(number): choice.id for number, choice in enumerate(choices, 1)}
    if are_swaras(choices) and word[:1].upper() in ONE_FORM:
        word = word[:1].upper() + word[1:]
    exact = [c.id for c in choices if word in (c.id, c.label)]
    if are_swaras(choices):  # a small letter is another swara
        return exact[0] if exact else numbers.get(word)
    alike = [c.id for c in choices if word.lower() in (c.id.lower(), c.label.lower())]
    if exact:
        return exact[0]
    return alike[0] if len(alike) == 1 else numbers.get(word)


def shares_example(question: Question) -> str:
    """How shares are typed: an even one, which tells nothing."""
    return KEYS_APART.join(map(str, evenly_shared(question.whole, len(question.choices))))


def how_many(question: Question) -> str:
    """How many keys a line takes: "8", or "1 to 8"."""
    if question.fewest == question.places:
        return str(question.places)
    return say("{fewest} to {most}", fewest=question.fewest, most=question.places)


def example(question: Question) -> str:
    """How a line is typed, with keys in the order of the pad, which tells nothing.

    An order is typed by numbers, since names may have several words.
    """
    if question.answer_on == "order":
        return KEYS_APART.join(str(number) for number in range(1, len(question.choices) + 1))
    some = question.choices[: min(3, question.places)]
    if are_swaras(some):  # they are typed as they are kept
        return KEYS_APART.join(choice.id for choice in some)
    return KEYS_APART.join(choice.label for choice in some)


def keys_told(choices: Sequence[Choice]) -> str:
    """All keys with their numbers: "1 da, 2 ra"."""
    return ", ".join(f"{number} {typed_label(choice)}" for number, choice in enumerate(choices, 1))


def typed_label(choice: Choice) -> str:
    """A choice's label; of a swara in other letters than those of the keyboard both."""
    if are_swaras([choice]) and choice.label != choice.id:
        return f"{choice.id} {choice.label}"
    return choice.label


def printed(
    places: Sequence[Place], *, was_head: str = "", given_head: str = "", width: int = LINE_WIDTH
) -> list[str]:
    """What was above what was written, aligned, with ^ under each place that differs."""
    heads = (was_head or say("it was"), given_head or say("you wrote"), "")
    indent = max(map(broad, heads)) + 2
    lines: list[str] = []
    for part in _parts(places, width - indent):
        rows: list[list[str]] = [[], [], []]
        for place in part:
            words = place.was or NOTHING, place.given or NOTHING
            most = max(map(broad, words))
            slip = "" if place.given_right else "^"
            for row, word in zip(rows, (*words, slip), strict=True):
                row.append(padded(word, most))
        for head, row in zip(heads, rows, strict=True):
            line = f"{padded(head, indent)}{' '.join(row)}".rstrip()
            lines += [line] if line else []
    return lines


def shares_printed(shared: Sequence[tuple[str, int, int]]) -> list[str]:
    """What each thing has usually and what it was given, in minutes, in columns."""
    heads = say("minutes"), say("usual"), say("yours")
    first = max(broad(label) for label, *_ in shared)
    usually, yours = (max(5, broad(head)) for head in heads[1:])
    rows = [
        f"{padded(label, first)}  {usual:>{usually}}  {given:>{yours}}"
        for label, usual, given in shared
    ]
    return [f"{padded(heads[0], first)}  {padded(heads[1], usually)}  {heads[2]}", *rows]


def phrase_printed(drawn: Sequence[Marked], *, width: int = LINE_WIDTH) -> list[str]:
    """An explained phrase, with ^ in a line of its own under what it was to be known by."""
    heads = say("phrase"), say("here")
    indent = max(map(broad, heads)) + 2
    lines: list[str] = []
    rest = list(drawn)
    while rest:
        names = marks = ""
        while rest and (not names or indent + broad(names + rest[0].label) <= width):
            marked = rest.pop(0)
            names += f"{marked.label}  "
            marks += ("^" if marked.deciding else " ") * broad(marked.label) + "  "
        lines.append(f"{padded(heads[0], indent)}{names}".rstrip())
        if marks.strip():
            lines.append(f"{padded(heads[1], indent)}{marks}".rstrip())
    return lines


def _parts(places: Sequence[Place], room: int) -> Iterator[list[Place]]:
    """The places in parts that each fit into so many characters."""
    part: list[Place] = []
    used = 0
    for place in places:
        takes = max(broad(place.was or NOTHING), broad(place.given or NOTHING)) + 1
        if part and used + takes > room + 1:
            yield part
            part, used = [], 0
        part.append(place)
        used += takes
    if part:
        yield part
