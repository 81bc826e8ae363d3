"""Very many seeded questions about talas, all judged: are they sound and fair?

Run by hand: `.venv/bin/python -m tests.quizzes.all_tala_questions [--count 3000] [--kinds ...]
[--workers 1] [--faults 3] [--loud 150]`. Asks all skills of each kind in turn, of students who have
met some of them and begun some talas at random, every third with a teacher's word on talas. Prints,
by kind: questions, faults and some of them, whether right answers are spread evenly over the
places, what a reader without ears gets right beside chance, cues that sounded before, and how well
what should tell nothing of a cue (its length, the number of its strokes, how loud they are) names
the answer. Exits with 1 where anything is amiss.
"""

from __future__ import annotations

import random
import re
import sys
from collections import Counter, defaultdict
from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import replace

import numpy as np

from quizzes import KINDS, Question, Setting
from quizzes.taught import TaughtKind
from tests.quizzes import raga_reader, tala_judges, tala_oracle, tallies

SA_HZ = 277.18
MOST_RIVALS = 3
TRADITION = """
[tala.rupak]
tali = [1, 4, 6]
khali = []

[tala.dhamar]
vibhags = [3, 2, 2, 3, 4]
tali = [1, 4, 6, 11]
khali = [8]

[[tala.dhamar.theka]]
bols = "ka dhi ta | dhi ta | dha - | ka ti ta | ti ta ta -"

[[tala.tintal.theka]]
bols = "na dhin dhin na | na dhin dhin na | na tin tin na | ti dhin dhin na"

[tala.nine]
name = "Navak"
matras = 9
vibhags = [2, 2, 2, 3]
tali = [1, 3, 7]
khali = [5]
laya = ["madhya"]
character = "nine in twos and a three"

[[tala.nine.theka]]
bols = "dhin na | dhin na | tin na | dhin dhin na"

[layakari.kuad]
ratio = "9/4"
"""
"""An invented teacher's."""


def some_setting(skill: str, skills: Sequence[str], seed: int) -> Setting:
    """Of a student who has met some skills and begun some talas, every other time all; every third
    time with a teacher, where the teacher leaves the skill to be asked."""
    luck = random.Random(seed)
    met = tuple(skills) if seed % 2 else tuple(luck.sample(skills, luck.randint(0, len(skills))))
    rivals = tuple(luck.sample(skills, min(len(skills), luck.randint(0, MOST_RIVALS))))
    kind = KINDS[skill.partition(":")[0]]
    assert isinstance(kind, TaughtKind)
    taught = TRADITION if seed % 3 == 2 and kind.asked(skill, TRADITION) else ""
    talas = sorted(name for name, tala in tala_oracle.known(taught).items() if tala.is_sure)
    begun = luck.sample(talas, luck.choice((0, 1, 3, len(talas))))
    level = kind.level(skill)
    return Setting(
        SA_HZ,
        met=met,
        rivals=rivals,
        level=luck.uniform(level.finest, level.coarsest) if level and seed % 4 else None,
        tradition=taught,
        talas=tuple(begun),
    )


def ask(kind: str, count: int, first: int = 0) -> Iterator[Question | str]:
    """So many questions, each with the seed of its number; one that cannot be made, in words."""
    return tallies.ask(kind, count, some_setting, first)


def sort_of(question: Question) -> str:
    """`layakari:start`: kind and way of asking, without the tala."""
    known = tala_oracle.known(question.setting.tradition)
    parts = [part for part in question.skill.split(":")[:2] if part not in known]
    return "gat-start" if question.kind == "gat-start" else ":".join(parts)


FIXED = ("layakari:takes", "layakari:start", "theka:clap")
"""Sorts of question of which each skill has one answer, so that to remember it is to know it: of
their choices a reader is shown no more than the shapes."""


def as_seen(question: Question) -> raga_reader.Shown | None:
    """As the reader sees it; see `FIXED`."""
    seen = raga_reader.shown(question)
    if seen is None or sort_of(question) not in FIXED:
        return seen
    shapes = tuple(re.sub(r"[A-Za-z]", "x", re.sub(r"\d", "0", label)) for label in seen.labels)
    return replace(seen, labels=shapes, named=True)


# What should tell nothing.

TRAITS = ("length", "drum strokes", "sitar strokes", "level", "lead")
HEARD = {
    # How many strokes a theka has to a matra is heard of it, how many matras tells nothing.
    "tala": ("length", "matras", "level", "lead"),
    "tala:mid": ("length", "matras", "level", "lead"),
    "sam:mark": TRAITS,
    "khali": TRAITS,
    "matra": TRAITS,
    # How many strokes there are in a second is what is asked.
    "laya:class": ("length", "level", "lead"),
    "laya:faster": TRAITS,
    "laya:matras": ("length", "level", "lead"),
    "layakari:hear": ("length", "drum strokes", "level", "lead"),
    "tihai:lands": TRAITS,
    "theka:fill": ("length", "level", "lead"),
    "gat-start": TRAITS,
}
"""Of each sort that is asked by ear, what should tell nothing of the answer; of the others, the
prompt tells all."""


def traits(question: Question) -> dict[str, float]:
    """Of a cue: its length, its strokes, how loud they are, how long the first is waited for."""
    cue = question.cue
    levels = [stroke.level_db for stroke in (*cue.tabla, *cue.strokes)] or [0.0]
    lasts = cue.duration_s - cue.lead_s
    values = (lasts, len(cue.tabla), len(cue.strokes), float(np.mean(levels)), cue.lead_s)
    return dict(zip(TRAITS, values, strict=True))


def trait(question: Question, name: str) -> float:
    """One of `traits`, or how many matras of the right tala's theka are heard."""
    if name != "matras":
        return traits(question)[name]
    setting = question.setting
    heard = tala_oracle.hear(question.cue, among=question.right, tradition=setting.tradition)
    return round(question.cue.tabla[-1].onset_s * float(heard[0].per_min) / 60, 2)


NEIGHBOURS = 15
MIXED = 24
"""How often the cues are dealt out anew, to see what luck does."""


def talas_told(question: Question) -> Hashable:
    """What the prompt tells: the talas, and which gat it is."""
    gat = question.skill if question.kind == "gat-start" else ""
    return gat, *tala_oracle.named(question.prompt, question.setting.tradition)


def named_by(
    asked: Sequence[Question],
    which: Sequence[str],
    told: Callable[[Question], Hashable] = talas_told,
) -> tuple[float, str]:
    """By which of some traits the answer is named best, and how much oftener than by luck, in
    standard deviations: those nearest in it, among what tells the same, tell what was right there.
    Luck is the same with the cues dealt out at random."""
    groups = defaultdict(list)
    for question in asked:
        groups[told(question)].append(question)
    some = [group for group in groups.values() if len(group) > 2 * NEIGHBOURS]
    best = (0.0, "nothing")
    for name in which if some else ():
        right, lucky = 0, np.zeros(MIXED)
        dice = np.random.default_rng(1)
        for group in some:
            values = np.array([trait(question, name) for question in group], float)
            values += 1e-9 * dice.random(len(values))
            apart = abs(values[:, None] - values[None, :])
            np.fill_diagonal(apart, np.inf)
            near = np.argsort(apart, axis=1)[:, :NEIGHBOURS]
            right += _named(group, near, np.arange(len(group)))
            lucky += [_named(group, near, dice.permutation(len(group))) for _ in range(MIXED)]
        spread = max(float(lucky.std()), 0.5 * float(np.sqrt(lucky.mean() + 1)))
        best = max(best, (float(right - lucky.mean()) / spread, name))
    return best


def _named(group: Sequence[Question], near: np.ndarray, dealt: np.ndarray) -> int:
    """How many answers are named where each cue goes with the question that is dealt to it."""
    right = 0
    for place, others in enumerate(near):
        question = group[dealt[place]]
        votes = Counter(answer for other in others for answer in group[dealt[other]].right)
        possible = question.possible or tuple(choice.id for choice in question.choices)
        right += max(possible, key=votes.__getitem__) in question.right
    return right


def tally(kind: str, count: int, loud: int = 0) -> tallies.Tally:
    """Ask and judge; of `loud` questions, and of a quarter of all, what is said after the answer
    is judged, too."""
    found, cues = tallies.Tally(kind), set()
    by_sort = defaultdict(list)
    for question in ask(kind, count):
        found.asked += 1
        if isinstance(question, str):
            found.faults.append(question)
            continue
        told = found.asked <= loud or found.asked % 4 == 0
        found.faults += tala_judges.faults(question, told=told)
        cue = hash((question.cue, question.prompt))
        found.again += cue in cues
        cues.add(cue)
        if question.answer_on == "choices":
            found.place(question)
            seen = as_seen(question)
            if seen is not None:
                found.shown[sort_of(question)].append(seen)
        if sort_of(question) in HEARD and question.answer_on in ("choices", "wheel"):
            by_sort[sort_of(question)].append(question)
    for sort, asked in by_sort.items():
        best, name = named_by(asked, HEARD[sort])
        found.by_sound = max(found.by_sound, best)
        found.more.append(f"{sort}: best named by {name}, {best:+.1f}")
    return found


if __name__ == "__main__":
    sys.exit(tallies.main(__doc__.splitlines()[0], tally, tala_judges.NAMES, sound="by sound"))
