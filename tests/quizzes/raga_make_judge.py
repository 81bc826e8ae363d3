"""Is a wish for a phrase kept by the example that the question gives? Counted from its words.

Goes by the prompt, by what sounds, and by the example in writing, which is read here afresh:
nothing is taken from what the question keeps of its wish.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from quizzes import Question
from tests.quizzes import raga_oracle as oracle
from tests.quizzes.raga_hearing import heard, swaras
from tests.quizzes.raga_judges import judges
from tests.quizzes.raga_oracle import Line, letter

NUMBERS = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"]
NAMES = dict(
    zip(
        oracle.LETTERS,
        ["Sa", "komal Re", "Re", "komal Ga", "Ga", "Ma", "tivra Ma", "Pa", "komal Dha", "Dha",
         "komal Ni", "Ni"],
        strict=True,
    )
)  # fmt: skip
NOTE = re.compile(r"(//|\\\\|[/\\<>])?(?:\([^)]*\))?([A-Za-z][,']*)[~^_*o]*")


@dataclass(frozen=True)
class Written:
    """A swara as it stands in writing: semitones above Sa, matras, and what joins it to the one
    before."""

    swara: int
    matras: Fraction
    join: str


def read(text: str) -> list[Written]:
    """A line of one swara a beat, `S:2 R\\ S`, where a join stands at the end of a beat."""
    found, join = [], ""
    for word in text.split():
        body, _, matras = word.partition(":")
        trailing = re.search(r"(//|\\\\|[/\\<>])$", body)
        body = body[: trailing.start()] if trailing else body
        match = NOTE.fullmatch(body)
        if match is None:
            raise ValueError(f"{word} is no beat of one swara")
        (swara,) = oracle.line(match[2])
        found.append(Written(swara, Fraction(matras or 1), join or match[1] or ""))
        join = trailing[1] if trailing else ""
    return found


@judges("raga-make")
def what_is_made(question: Question) -> list[str]:
    raga = oracle.all_ragas()[question.skill.rpartition(":")[2]]
    notes = read(question.right[0])
    line = tuple(note.swara for note in notes)
    found = [f"{raga.name} {slip}" for slip in raga.slips(line)]
    if not 0 < question.chance < 0.5:
        found.append(f"a lucky guess of {question.chance}")
    if len(notes) < question.fewest or len(notes) > question.places:
        found.append(f"{len(notes)} swaras cannot be sent")
    sounded = swaras(heard(question.cue))
    return found + list(_not_kept(question.prompt, raga, notes, sounded))


def _not_kept(
    prompt: str, raga: oracle.Raga, notes: Sequence[Written], sounded: Line
) -> Iterator[str]:
    line = tuple(note.swara for note in notes)
    if "graver" in prompt:
        yield from _not_graver(notes, sounded)
        return
    (low, high), end = _count(prompt), re.search(r"(?:end on|home to) ((?:komal )?\w+)", prompt)
    if not low <= len(line) <= high:
        yield f"{len(line)} swaras are not {low} to {high}"
    if end is None or NAMES[letter(line[-1])] != end[1]:
        yield f"it ends on {letter(line[-1])}"
    if "Answer" in prompt:
        parts = {_letters(line[at : at + 3]) for at in range(len(line) - 2)}
        if not any(_letters(sounded[at : at + 3]) in parts for at in range(len(sounded) - 2)):
            yield "it takes up no three swaras in a row"
        return
    if sounded != line[:1]:
        yield f"it begins on {line[0]}, and {sounded} sounds"
    struck = oracle.once(line)
    rows = [struck[at : at + 3] for at in range(len(struck) - 2)]
    if "three swaras in a row" in prompt and not any(map(raga.is_own, rows)):
        yield "no three swaras of it in a row are the raga's own"
    if "meend" in prompt and [note.join for note in notes if note.join in ("/", "\\")] == []:
        yield "it has no meend"
    if "mandra" in prompt and min(line) >= 0:
        yield "it does not reach mandra"
    if "tar Sa" in prompt and max(line) < 12:
        yield "it does not reach tar Sa"
    if apart := re.search(r"it is not ([A-Z][\w ]+)[.]", prompt):
        yield from _not_apart(raga, oracle.by_name()[apart[1]], notes)


def _count(prompt: str) -> tuple[int, int]:
    found = re.search(r"(?:(\w+) to )?(\w+) swaras(?:,| and)", prompt.replace("of it in a row", ""))
    assert found is not None
    last = NUMBERS.index(found[2])
    return (NUMBERS.index(found[1]) if found[1] in NUMBERS else last), last


def _letters(line: Line) -> tuple[str, ...]:
    return tuple(map(letter, line))


def _not_apart(raga: oracle.Raga, other: oracle.Raga, notes: Sequence[Written]) -> Iterator[str]:
    if other.left(tuple(note.swara for note in notes)) is not None:
        return
    held = {letter(note.swara) for note in notes if note.matras >= 2}
    vadi = raga.table["vadi"]["is"]
    theirs = {*other.nyas, *(each for each, _ in other.vadis), *"S"}
    theirs |= {letter(phrase[-1]) for phrase in other.phrases}
    if vadi not in held or vadi in theirs or not raga.sure("vadi"):
        yield f"{other.name} could be this"


def _not_graver(notes: Sequence[Written], sounded: Line) -> Iterator[str]:
    line = tuple(note.swara for note in notes)
    if line not in (sounded, tuple(swara - 12 for swara in sounded)):
        yield f"{line} are other swaras than {sounded}"
    signs = [line != sounded, any(note.join for note in notes)]
    signs.append(all(note.matras >= 2 for note in notes))
    if sum(signs) < 2:
        yield "it is not plainly graver"
