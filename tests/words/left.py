"""Lists what is still said in English in another language: run by hand.

python -m tests.words.left hi gap swara          all texts of questions of these kinds
python -m tests.words.left bn raga-when --each 3 --skills 40
"""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

from audio.score import Score
from quizzes.kept import skills_of
from quizzes.kinds import KINDS, OWN_KINDS
from quizzes.question import Question, Setting
from words import use

LATIN_WORD = re.compile(r"[A-Za-z]{2,}")
STAY = {"Kaan", "Hz", "WHO", "ITU", "dB", "dBA", "dp", "cc", "ccc", "cccc"}
"""Names and units; and strokes on the chikari in a line of sargam."""
NOT_SHOWN = {"id", "kind", "skill", "cluster", "detail", "setting", "right", "sargam", "answer_on"}
"""Fields whose texts are for machines."""


def texts_of(thing: Any, path: str = "") -> Iterator[tuple[str, str]]:
    """(field, text) of all that is read of a question or an explanation."""
    if isinstance(thing, str):
        yield path, thing
    elif isinstance(thing, Score):
        return
    elif is_dataclass(thing) and not isinstance(thing, type):
        for field in fields(thing):
            if field.name not in NOT_SHOWN | {"possible", "signs", "told", "family", "kin", "mark"}:
                yield from texts_of(getattr(thing, field.name), f"{path}.{field.name}")
    elif isinstance(thing, list | tuple):
        for each in thing:
            yield from texts_of(each, path)


def given_of(question: Question) -> list[str]:
    """Answers that can be given: right, and otherwise."""
    if question.answer_on in ("choices", "string", "wheel", "several"):
        return [choice.id for choice in question.choices] + list(question.right)
    if question.answer_on == "taps":
        return [*question.right[:1], "0 500"]
    if question.answer_on in ("written", "order") and question.right:
        keys = question.right[0].split(" ")
        return [question.right[0], " ".join(keys[::-1])]
    return list(question.right[:1])


def texts(kind: str, skills: int, each: int) -> Iterator[tuple[str, str]]:
    """All that is read of some questions of a kind: where, and the text."""
    asking = KINDS[kind]
    known = skills_of(kind)
    met = tuple(skill.id for skill in known)
    yield "title", asking_title(asking)
    yield "several", asking.several(3)
    for skill in known[:: max(1, len(known) // skills)]:
        yield "name", skill.name
        for seed in range(each):
            question = asking.make(skill.id, seed=seed, setting=Setting(138.59, met=met[:200]))
            yield "introduce", asking.introduce(question)
            yield from texts_of(question, "question")
            for given in given_of(question):
                yield from texts_of(asking.explain(question, given), "explanation")


def asking_title(asking: Any) -> str:
    from words import say

    return say(asking.title)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("language")
    parser.add_argument("kinds", nargs="*", default=OWN_KINDS)
    parser.add_argument("--skills", type=int, default=12)
    parser.add_argument("--each", type=int, default=2)
    parser.add_argument("--all", action="store_true", help="list all texts, not only what is left")
    options = parser.parse_args()
    use(options.language)
    for kind in options.kinds:
        found: dict[tuple[str, str], None] = {}
        for where, text in texts(kind, options.skills, options.each):
            left = [word for word in LATIN_WORD.findall(text) if word not in STAY]
            if left or options.all:
                found[where, text] = None
        print(f"== {kind}: {len(found)}")
        for where, text in found:
            print(f"   {where}: {text}")


if __name__ == "__main__":
    main()
