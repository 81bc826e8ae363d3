"""Breaks a course in many ways; whatever comes of it is read, or refused by our own error alone.

.venv/bin/python -m tests.quizzes.broken_courses --count 20000 --seed 1
"""

from __future__ import annotations

import argparse
import random
from collections import Counter
from pathlib import Path

from quizzes.course_draft import CourseDraft
from quizzes.course_ways import way_of, ways_of
from quizzes.course_words import holds_words
from quizzes.courses import read_course
from quizzes.decks.deck import Asked, Deck, Narrowed, Offered
from quizzes.drafts import DraftError
from quizzes.errors import CourseError

SOUND = '''name = "A" # c
about = """B
C"""
pace = 4
[[step]]
name = "one"
skills = ["swara:S", "gap:S-P:up"]
decks = ["gaps", "lost"]
[[step]]
name = "two"
ragas = ["yaman", "bhupali"]
kinds = ["tune"]
ask = ["raga-from-phrase:note", "tune"]
[[step]]
name = "three"
talas = ["tintal"]
'''
PIECES = ['"', "[", "]", "=", "\n", "#", "\x00", "true", "1e9", "-3", "[[step]]", "[step]", "step"]
PIECES += ["name", "{a=1}", "[]", "ask", "kinds", "ragas", "talas", "decks", "skills", "pace", "é"]
PIECES += ['"deck"', '"gap"', "[[[", "1979-05-27", "inf", "0x", "[1,'a']", "[['a']]", "''", "'''"]
PIECES += ['"\\u0007"', '[""]']
ANSWERS = (Offered("Ga", right=True), Offered("Re"))
DECKS = {
    "gaps": Deck(
        "gaps",
        "Gaps",
        (
            Asked("rest", "choose-one", "Where does it rest?", "Rest", offered=ANSWERS),
            Narrowed("up", "gap", "Up", ("gap:S-G:up",)),
        ),
    )
}


def broken(chance: random.Random) -> str:
    """The sound course with one or two things in it changed."""
    text = SOUND
    for _ in range(chance.randint(1, 2)):
        at, lines = chance.randrange(len(text) + 1), text.split("\n")
        line, piece = chance.randrange(len(lines)), chance.choice(PIECES)
        way = chance.randrange(4)
        if way == 0:
            text = text[:at] + piece + text[at:]
        elif way == 1:
            text = text[:at] + text[at + chance.randint(1, 12) :]
        elif way == 2:
            lines[line] = f"{lines[line].partition('=')[0]}= {piece}"
            text = "\n".join(lines)
        else:
            lines.insert(chance.randrange(len(lines)), lines[line])
            text = "\n".join(lines)
    return text


def judge(text: str) -> str:
    """Read the text and edit it; "read", "faulty" or "no TOML". Whatever else is raised is wrong,
    and so is a message without its place."""
    draft = CourseDraft(text, "broken.toml")
    faults = draft.faults(decks=DECKS)
    try:
        read_course(text, Path("broken.toml"), decks=DECKS)
        assert not faults, faults
    except CourseError as error:
        assert faults, text
        for line in str(error).splitlines():
            assert line.startswith("broken.toml"), line
    if draft.wrong:
        return "no TOML"
    for step in draft.entries():
        assert holds_words(step, DECKS)
        assert not way_of(step) or way_of(step) in [way.id for way in ways_of(step)]
    try:
        at = draft.add({"name": "More", "kinds": ["gap"]})
        draft.move(at, 0)
        draft.put(0, name="Other", ask=None)
        draft.remove(0)
    except DraftError:
        pass
    while draft.undo():
        pass
    assert draft.text == text
    return "faulty" if faults else "read"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=20000)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    chance = random.Random(options.seed)
    print(dict(Counter(judge(broken(chance)) for _ in range(options.count))))


if __name__ == "__main__":
    main()
