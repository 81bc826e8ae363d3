"""Very many seeded questions on paltas and prastara, all judged: are they sound and fair?

Run by hand: `.venv/bin/python -m tests.quizzes.all_palta_questions [--count 3000] [--kinds ...]
[--workers 1] [--faults 3]`. Asks all skills of both kinds in turn, of students who have met some of
them at random. Prints, by kind: questions, faults and some of them, whether right answers are
spread evenly over the places, what a reader without ears gets right beside chance, cues that
sounded before, and how well what should tell nothing of a cue (its length, how loud its strokes
are, how long the first is waited for) names the answer. Exits with 1 where anything is amiss. How
paltas run in ragas is asked by `all_raga_questions`.
"""

from __future__ import annotations

import random
import sys
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace

from audio.tuning import SWARAS
from quizzes import Question, Setting
from tests.quizzes import palta_judges, raga_reader, tallies
from tests.quizzes.all_tala_questions import named_by
from tests.quizzes.palta_judges import way_of

NAMES = ("palta", "prastara")
SA_HZ = 138.59
"""C sharp 3, of a low voice (common practice)."""
TRAITS = ("length", "level", "lead")


def some_setting(skill: str, skills: Sequence[str], seed: int) -> Setting:
    """Of a student who has met some skills, and some swaras, every other time all."""
    luck = random.Random(seed)
    skills = [*skills, *(f"swara:{letter}" for letter in SWARAS)]
    met = tuple(skills) if seed % 2 else tuple(luck.sample(skills, luck.randint(0, len(skills))))
    return Setting(SA_HZ, met=met, tuning=luck.choice(("just", "equal")))


def ask(kind: str, count: int, first: int = 0) -> Iterator[Question | str]:
    """So many questions, each with the seed of its number; one that cannot be made, in words."""
    return tallies.ask(kind, count, some_setting, first)


def named_by_sound(asked: Sequence[Question]) -> tuple[float, str]:
    """How much oftener than by luck a trait of the sound names the answer, in standard deviations,
    among questions of one skill with as many strokes and choices. Where an answer is a line of
    swaras, it is named by its place."""
    named = []
    for question in asked:
        if way_of(question) in ("palta:continue", "prastara:next", "prastara:missing"):
            ids = [choice.id for choice in question.choices]
            at = str(ids.index(question.right[0]))
            question = replace(question, right=(at,), possible=tuple(map(str, range(len(ids)))))
        named.append(question)
    return named_by(named, TRAITS, lambda q: (q.skill, len(q.cue.strokes), len(q.choices)))


def tally(kind: str, count: int, loud: int = 0) -> tallies.Tally:
    """Ask and judge."""
    found, cues = tallies.Tally(kind), set()
    by_way = defaultdict(list)
    for question in ask(kind, count):
        found.asked += 1
        if isinstance(question, str):
            found.faults.append(question)
            continue
        found.faults += palta_judges.faults(question)
        cue = hash(question.cue)
        found.again += cue in cues
        cues.add(cue)
        if question.answer_on == "choices":
            found.place(question)
            by_way[way_of(question)].append(question)
            seen = raga_reader.shown(question)
            if seen is not None:
                found.shown[way_of(question)].append(seen)
    for way, asked in by_way.items():
        best, name = named_by_sound(asked)
        found.by_sound = max(found.by_sound, best)
        found.more.append(f"{way}: best named by {name}, {best:+.1f}")
    return found


if __name__ == "__main__":
    sys.exit(tallies.main(__doc__.splitlines()[0], tally, NAMES, sound="by sound"))
