"""Very many seeded questions about stages, all judged: are they sound and fair?

Run by hand: `.venv/bin/python -m tests.quizzes.all_stage_questions [--count 3000] [--kinds ...]
[--workers 1] [--faults 3] [--loud 150]`. Asks all skills of each kind in turn, of students who have
met some of them at random. Prints, by kind: questions, faults and some of them, whether right
answers are spread evenly over the places, what a reader without ears gets right beside chance, cues
that sounded before, and for questions by ear how well the loudness of the cue names the answer.
Exits with 1 where anything is amiss.

The reader is shown the choices of four questions in five, with their right answers, and tries the
fifth (`raga_reader`). Of kinds by ear it remembers each prompt and what was right with these
choices; where the prompt itself is the question it goes by places, lengths and labels alone.
"""

from __future__ import annotations

import math
import random
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from audio.format import SAMPLE_RATE
from audio.render import render
from quizzes import Question, Setting
from tests.quizzes import raga_reader, stage_judges, tallies
from tests.quizzes.all_stage_passages import inside
from tests.quizzes.stage_listener import listen, loudness

SA_HZ = 277.18
BY_EAR = ("which-stage", "what-for:heard", "register:path", "fit:gat", "fit:ornament")
"""How the skills begin whose answer is in the sound and not in the prompt."""
MOST_RIVALS = 3


def some_setting(_: str, skills: Sequence[str], seed: int) -> Setting:
    """Of a student who has met some skills of this kind, every other time all."""
    luck = random.Random(seed)
    met = tuple(skills) if seed % 2 else tuple(luck.sample(skills, luck.randint(0, len(skills))))
    rivals = tuple(luck.sample(skills, min(len(skills), luck.randint(0, MOST_RIVALS))))
    return Setting(sa_hz=SA_HZ, met=met, rivals=rivals)


def ask(kind: str, count: int, first: int = 0) -> Iterator[Question | str]:
    """So many questions, each with the seed of its number; one that cannot be made, in words."""
    return tallies.ask(kind, count, some_setting, first)


@dataclass
class Tally(tallies.Tally):
    """What was found of one kind; `by_sound` is how well loudness names the answer."""

    rightly: list[bool] = field(default_factory=list)
    """Of passages that were listened to: whether all is heard that the right stage is said to be,
    and of each wrong one whether it would pass for the passage as well."""
    wrongly: list[bool] = field(default_factory=list)


def tally(kind: str, count: int, loud: int = 0) -> Tally:
    """Ask and judge; of the first `loud` questions by ear the cue is rendered."""
    found, cues = Tally(kind), set()
    heard: list[tuple[str, str, float]] = []
    for question in ask(kind, count):
        found.asked += 1
        if isinstance(question, str):
            found.faults.append(question)
            continue
        found.faults += stage_judges.faults(question)
        cue = hash(question.cue)
        found.again += cue in cues
        cues.add(cue)
        if question.answer_on == "shares":
            continue
        if question.answer_on == "choices":
            found.place(question)
            begin = next((b for b in BY_EAR if question.skill.startswith(b)), "")
            shown = as_seen(question, by_ear=bool(begin))
            if shown is not None:
                found.shown[begin or _sort(question)].append(shown)
            if begin and len(heard) < loud:
                samples = render(question.cue)
                heard.append((begin, question.right[0], loudness(samples)))
                if kind == "which-stage":
                    listen_to(found, question, samples)
    sorts = {begin for begin, _, _ in heard}
    by_sort = ([(right, lufs) for sort, right, lufs in heard if sort == each] for each in sorts)
    found.by_sound = max(map(named_by, by_sort), default=0.0)
    if found.rightly:
        found.more.append(
            f"by ear {np.mean(found.rightly):.3f} of the right answers pass for what sounds, "
            f"{np.mean(found.wrongly):.3f} of the wrong ones"
        )
    return found


def listen_to(found: Tally, question: Question, samples: np.ndarray) -> None:
    """Which of the choices are described as what sounds."""
    heard = listen(samples, near_sa_hz=SA_HZ)
    for choice in question.choices:
        passes = all(inside(choice.id, heard, len(samples) / SAMPLE_RATE).values())
        (found.rightly if choice.id in question.right else found.wrongly).append(passes)


def _sort(question: Question) -> str:
    """`follows:next`: kind and way of asking."""
    parts = question.skill.split(":")
    return ":".join(parts[:2]) if len(parts) > 2 else parts[0]


def as_seen(question: Question, *, by_ear: bool) -> raga_reader.Shown | None:
    """As the reader sees it: where the prompt is the question, sets are not remembered; by ear the
    prompt stands with the labels, so that what was right with it is."""
    seen = raga_reader.shown(question)
    if seen is None or not by_ear:
        return seen if seen is None else replace(seen, named=True)
    return replace(seen, named=False)


def named_by(heard: Sequence[tuple[str, float]], neighbours: int = 7) -> float:
    """How much oftener than by chance the nearest in loudness have the same answer, in standard
    errors; each passage is tried against all others."""
    if len(heard) < 3 * neighbours:
        return 0.0
    names, lufs = np.array([name for name, _ in heard]), np.array([level for _, level in heard])
    right = 0
    for at, level in enumerate(lufs):
        near = [other for other in np.argsort(abs(lufs - level)) if other != at][:neighbours]
        right += Counter(names[near]).most_common(1)[0][0] == names[at]
    chance = 1 / len(set(names))
    return (right / len(names) - chance) / math.sqrt(chance * (1 - chance) / len(names))


if __name__ == "__main__":
    sys.exit(tallies.main(__doc__.splitlines()[0], tally, stage_judges.NAMES, sound="loudness"))
