"""`raga-turns`: a way of a raga that turns on itself, cut into pieces: put them in order again.

It has been heard whole. Only ways and phrases with a source are asked, and they are so cut that
one order alone makes them, which is not found by laying the pieces out from low to high.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import combinations, pairwise
from math import factorial

from audio.sargam import parse, write
from quizzes.fresh import Fresh
from quizzes.names import capital
from quizzes.question import KEYS_APART, Choice, Explanation, Mark, Question, Setting, Skill
from quizzes.ragas.asking import RagaKind, drone_for, explanation_of, known_to, parts_of, raga_skill
from quizzes.ragas.evidence import swaras_of
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import cue_of, plain_line
from quizzes.ragas.stock import Swaras
from quizzes.ragas.tradition import ragas
from quizzes.ragas.turns import WAYS, cuts_of, movement, sharpest, spoken, turning_lines

PROMPTS = {
    "up": "So {} goes up. Put the pieces in order.",
    "down": "So {} comes down. Put the pieces in order.",
    "phrase": "A phrase of {}. Put the pieces in order.",
}
NAMES = {
    "up": "the turns of {} on its way up",
    "down": "the turns of {} on its way down",
    "phrase": "the turns of a long phrase of {}",
}


class RagaTurnsKind(RagaKind):
    name = "raga-turns"
    title = "A way of a raga that does not run straight: put its pieces in order"
    thing = "turning line"

    def skills(self) -> tuple[Skill, ...]:
        return _skills()

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        way, raga = _asked(skill, setting)
        fresh = Fresh(skill, seed)
        line = fresh.one_of(turning_lines(way, raga))
        size = fresh.one_of(_sizes(line))
        cut = fresh.one_of([cut for cut in cuts_of(line) if len(cut) == size])
        keys = fresh.shuffled(range(size))
        # A key's id says nothing of its place in the line.
        ids = [str(keys.index(place) + 1) for place in range(size)]
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=PROMPTS[way].format(raga.name),
            choices=tuple(Choice(ids[place], capital(spoken(cut[place]))) for place in keys),
            right=(KEYS_APART.join(ids),),
            cue=cue_of(
                fresh,
                plain_line(line),
                sa_hz=setting.sa_hz,
                tuning=setting.tuning,
                drone=drone_for([raga]),
            ),
            sargam=write(plain_line(line)),
            answer_on="written",
            detail={"pieces": {ids[at]: " ".join(map(str, cut[at])) for at in range(size)}},
            places=size,
            fewest=size,
            lines=factorial(size),
        )

    def mark(self, question: Question, given: str) -> Mark:
        """Pairs of pieces kept in order, above the half that a blind guess keeps."""
        right, answered = question.written(question.right[0]), question.written(given)
        if answered == right:
            return Mark(1.0)
        pairs = list(combinations(right, 2))
        kept = sum(_comes_before(one, other, answered) for one, other in pairs)
        return Mark(max(0.0, 2.0 * kept / len(pairs) - 1.0))

    def explain(self, question: Question, given: str) -> Explanation:
        way, raga = _asked(question.skill, question.setting)
        pieces = {key: swaras_of(parse(text)) for key, text in question.detail["pieces"].items()}
        right, answered = question.written(question.right[0]), question.written(given)
        cut = [pieces[key] for key in right]
        turned = [
            place
            for place, (one, other) in enumerate(pairwise(right))
            if not _comes_before(one, other, answered)
        ]
        at = turned[0] if turned else sharpest(cut)
        joint = sum(map(len, cut[: at + 1]))
        return explanation_of(
            question,
            given,
            why=f"{raga.name} {movement(cut, at, way)}.",
            deciding=(joint - 1, joint),
            given_line=plain_line([swara for key in answered for swara in pieces[key]]),
        )

    def introduce(self, question: Question) -> str:
        way, raga = _asked(question.skill, question.setting)
        what = {"up": "goes up", "down": "comes down", "phrase": "moves"}[way]
        return f"{raga.name} {what} in turns, not straight. {raga.about}".strip()


def _comes_before(one: str, other: str, answered: Sequence[str]) -> bool:
    """Whether both were given, the one first."""
    return one in answered and other in answered[answered.index(one) + 1 :]


@cache
def _skills() -> tuple[Skill, ...]:
    return tuple(
        _skill(way, raga)
        for way in WAYS
        for raga in ragas().values()
        if (raga.vakra_up or raga.vakra_down) and turning_lines(way, raga)
    )


def _skill(way: str, raga: Raga) -> Skill:
    return raga_skill(
        RagaTurnsKind.name,
        raga,
        NAMES[way].format(raga.name),
        sort=way,
        chance=_chance(way, raga),
        seconds=32.0,
    )


def _chance(way: str, raga: Raga) -> float:
    sizes = [_sizes(line) for line in turning_lines(way, raga)]
    return sum(sum(1 / factorial(n) for n in each) / len(each) for each in sizes) / len(sizes)


def _sizes(line: Swaras) -> list[int]:
    """Into how many pieces a line is cut."""
    return sorted({len(cut) for cut in cuts_of(line)})


def _asked(skill: str, setting: Setting) -> tuple[str, Raga]:
    """The way and the raga of a skill, as the teacher has it where it turns in that teaching.
    Raises UnknownSkill."""
    way, _ = parts_of(skill, "raga-turns", WAYS)
    raga = known_to(setting, skill)
    return way, raga if turning_lines(way, raga) else ragas()[raga.id]
