"""Questions of a deck that ask for a line of swaras, written key by key."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from audio.tuning import Swara
from quizzes.decks.cues import explained
from quizzes.decks.deck import Asked
from quizzes.decks.limits import OCTAVES
from quizzes.decks.posed import Posed
from quizzes.edits import distance, slips, tally
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.deck_form import (
    asked_in,
    entry_of,
    question_of,
    right_cue,
    slow_cue,
    told,
    why_of,
)
from quizzes.names import counted
from quizzes.question import KEYS_APART, Choice, Mark, Question, Setting
from words import in_script, say

FEWEST_KEYS, FEWEST_WRONG = 8, 3
"""So many keys there are at least, and so many of them no line needs."""
NEAR = 4
"""A wrong key lies at most so many semitones from one that is needed."""
LADDER = range(12 * OCTAVES[0], 12 * (OCTAVES[1] + 1))
"""In semitones above middle Sa: from mandra Sa to tar Ni."""
READING_S, EACH_S = 8.0, 3.0

Swaras = tuple[str, ...]


class WriteSwaras:
    """A line of swaras; several may be right."""

    def make(self, posed: Posed, skill: str, *, seed: int, setting: Setting) -> Question:
        entry, fresh = entry_of(posed), Fresh(skill, seed)
        lengths = [len(line.split()) for line in entry.lines]
        keys = _keys(skill, entry)
        return question_of(
            entry,
            skill,
            fresh,
            seed=seed,
            setting=setting,
            choices=tuple(Choice(key, in_script(key)) for key in keys),
            right=tuple(dict.fromkeys(entry.lines)),
            answer_on="written",
            luck=self.chance(entry),
            places=max(lengths),
            fewest=min(lengths),
        )

    def mark(self, question: Question, given: str) -> Mark:
        written = question.written(given)
        rights = [question.written(line) for line in question.right]
        return Mark(max(credit_of(line, written) for line in rights))

    def explain(self, question: Question, given: str) -> Explanation:
        entry, written = asked_in(question), question.written(given)
        line = min(
            (question.written(line) for line in question.right),
            key=lambda line: distance(line, written),
        )
        label, is_right = KEYS_APART.join(line), given in question.right
        heard = entry.cue.sargam
        return Explanation(
            right_label=in_script(label),
            given_label=in_script(KEYS_APART.join(written)),
            why=why_of(entry, [] if is_right else [_first_slip(line, written)]),
            right_cue=right_cue(question, "" if heard else label),
            given_cue=None
            if is_right
            else explained(written, entry.cue, question.setting, question.cue),
            slow_cue=slow_cue(question),
        )

    def introduce(self, question: Question) -> str:
        return told(asked_in(question), _line_is(question, question.right[0]))

    def chance(self, entry: Asked) -> float:
        """Of any line, as long as those of which one is right the oftenest."""
        lengths = Counter(len(line.split()) for line in set(entry.lines))
        return max(count / float(_many(entry)) ** length for length, count in lengths.items())

    def seconds(self, entry: Asked) -> float:
        return READING_S + EACH_S * max(len(line.split()) for line in entry.lines)


def _line_is(question: Question, label: str) -> str:
    label = in_script(label)
    if len(question.right) == 1:
        return say("The line is {line}", line=label)
    return say("One right line is {line}", line=label)


def _needed(entry: Asked) -> list[Swara]:
    return sorted({Swara.read(word) for line in entry.lines for word in line.split()}, key=_steps)


def _steps(swara: Swara) -> int:
    return swara.steps


def _many(entry: Asked) -> int:
    """How many keys are offered: there are no more than swaras."""
    return min(len(LADDER), max(FEWEST_KEYS, len(_needed(entry)) + FEWEST_WRONG))


def _keys(skill: str, entry: Asked) -> list[str]:
    """Every swara that a right line needs, and swaras near to these that none does; from low to
    high. They are the same each time: what comes and goes would be known not to be needed."""
    needed = _needed(entry)
    taken = {swara.steps for swara in needed}
    wanted, reach = _many(entry) - len(needed), NEAR
    near: list[int] = []
    while len(near) < wanted:
        around = {step + off for step in taken for off in range(-reach, reach + 1)}
        near = sorted(around & set(LADDER) - taken)
        reach += 1
    chosen = Fresh(skill, seed=0).shuffled(near)[:wanted]
    return [str(Swara.at(steps)) for steps in sorted({*taken, *chosen})]


def credit_of(line: Sequence[str], given: Sequence[str]) -> float:
    """What a written line is worth: 1 when exact, else its share above that of one swara over and
    over, which hears nothing."""
    if tuple(line) == tuple(given):
        return 1.0
    blind = max(Counter(line).values()) / len(line)
    return max(0.0, (tally(line, given).share - blind) / (1.0 - blind)) if blind < 1.0 else 0.0


def _first_slip(line: Swaras, written: Swaras) -> str:
    wrong = slips(line, written)
    at, to = wrong[0]
    if at is None:
        assert to is not None  # one of the two always is there
        yours = in_script(written[to])
        where = say(
            "Swara {place} that you wrote ({swara}) is too much.", place=to + 1, swara=yours
        )
    elif to is None:
        was = in_script(line[at])
        where = say("Swara {place} ({swara}) is missing.", place=at + 1, swara=was)
    else:
        where = say(
            "Swara {place} was {was}; you wrote {given}.",
            place=at + 1,
            was=in_script(line[at]),
            given=in_script(written[to]),
        )
    if not wrong[1:]:
        return where
    many = counted(
        len(wrong),
        "That is the first of {number} slip.",
        "That is the first of {number} slips.",
    )
    return f"{where} {many}"
