"""`raga-turns`: a way of a raga that turns on itself, cut into pieces: put them in order again.

It has been heard whole. Only ways and phrases with a source are asked, and they are so cut that
one order alone makes them, which is not found by laying the pieces out from low to high.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations, pairwise
from math import comb
from statistics import mean

from audio.sargam import parse, write
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import capital, counted, in_sargam, swara_name
from quizzes.question import KEYS_APART, Choice, Mark, Question, Setting, Skill
from quizzes.ragas.asking import RagaKind, as_shipped, drone_for, explanation_of, raga_skill, split
from quizzes.ragas.evidence import swaras_of
from quizzes.ragas.raga import Raga
from quizzes.ragas.said import and_about, raga_name
from quizzes.ragas.sounding import cue_of, plain_line
from quizzes.ragas.stock import Swaras
from quizzes.ragas.turns import (
    WAYS,
    Cut,
    cuts_to_ask,
    known_ends,
    movement,
    open_orders,
    sharpest,
    step_to,
    turning_lines,
    turns_at,
)
from words import say, to_say

PROMPTS = {
    "up": to_say("So {raga} goes up. Put the pieces in order."),
    "down": to_say("So {raga} comes down. Put the pieces in order."),
    "phrase": to_say("A phrase of {raga}. Put the pieces in order."),
}
NAMES = {
    "up": to_say("the turns of {raga} on its way up"),
    "down": to_say("the turns of {raga} on its way down"),
    "phrase": to_say("the turns of a long phrase of {raga}"),
}
ABOUT = {
    "up": to_say("{raga} goes up in turns, not straight."),
    "down": to_say("{raga} comes down in turns, not straight."),
    "phrase": to_say("{raga} moves in turns, not straight."),
}


class RagaTurnsKind(RagaKind):
    name = "raga-turns"
    title = to_say("A way of a raga that does not run straight: put its pieces in order")
    sorts = WAYS

    @staticmethod
    def called(sort: str, raga: Raga) -> str:
        return say(NAMES[sort], raga=raga_name(raga))

    def several(self, count: int) -> str:
        return counted(count, "{number} turning line", "{number} turning lines")

    def skills_among(self, known: Mapping[str, Raga]) -> tuple[Skill, ...]:
        return tuple(
            _skill(way, raga)
            for way in WAYS
            for raga in known.values()
            if (raga.vakra_up or raga.vakra_down) and turning_lines(way, raga)
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        way, raga = _asked(skill, setting)
        fresh = Fresh(skill, seed)
        line = fresh.one_of(turning_lines(way, raga))
        size = fresh.one_of(_sizes(line, way))
        cut = fresh.one_of([cut for cut in cuts_to_ask(line, way) if len(cut) == size])
        keys = fresh.shuffled(range(size))
        # A key's id says nothing of its place in the line.
        ids = [str(keys.index(place) + 1) for place in range(size)]
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say(PROMPTS[way], raga=raga_name(raga)),
            choices=tuple(Choice(ids[place], capital(_label(cut[place]))) for place in keys),
            right=(KEYS_APART.join(ids),),
            cue=cue_of(
                fresh,
                plain_line(line),
                sa_hz=setting.sa_hz,
                tuning=setting.tuning,
                drone=drone_for([raga]),
            ),
            sargam=write(plain_line(line)),
            answer_on="order",
            places=size,
            fewest=size,
            detail={"pieces": {ids[at]: in_sargam(cut[at]) for at in range(size)}},
            lines=open_orders(cut, way),
        )

    def mark(self, question: Question, given: str) -> Mark:
        """Pairs of pieces kept in order, above what a guess keeps of whoever has heard nothing:
        half of them, and all those with a piece that is known to be the first or the last."""
        right, answered = question.written(question.right[0]), question.written(given)
        if answered == right:
            return Mark(1.0)
        way, _ = _asked(question.skill, question.setting)
        known = sum(known_ends(_cut(question), way))
        pairs, open_pairs = comb(len(right), 2), comb(len(right) - known, 2)
        kept = sum(_comes_before(one, other, answered) for one, other in combinations(right, 2))
        return Mark(max(0.0, 1.0 - 2.0 * (pairs - kept) / open_pairs))

    def explain(self, question: Question, given: str) -> Explanation:
        way, raga = _asked(question.skill, question.setting)
        right, answered = question.written(question.right[0]), question.written(given)
        cut = _cut(question)
        pieces = dict(zip(right, cut, strict=True))
        line: Swaras = sum(cut, ())
        turned = [
            place
            for place, (one, other) in enumerate(pairwise(right))
            if not _comes_before(one, other, answered)
        ]
        if turned:
            at = next((at for at in turned if turns_at(cut, at)), turned[0])
            joint = sum(map(len, cut[: at + 1]))
            why = movement(cut, at, way)
        else:
            joint = sharpest(line, way)
            why = step_to(line, joint, way)
        return explanation_of(
            question,
            given,
            why=say("{raga} {what}.", raga=raga_name(raga), what=why),
            deciding=(joint - 1, joint),
            given_line=plain_line([swara for key in answered for swara in pieces[key]]),
        )

    def introduce(self, question: Question) -> str:
        way, raga = _asked(question.skill, question.setting)
        return and_about(say(ABOUT[way], raga=raga_name(raga)), raga)


def _label(piece: Swaras) -> str:
    """With commas, so that a komal is read of one swara alone."""
    return ", ".join(map(swara_name, piece))


def _cut(question: Question) -> Cut:
    """The pieces in their order."""
    pieces = question.detail["pieces"]
    return tuple(swaras_of(parse(pieces[key])) for key in question.written(question.right[0]))


def _comes_before(one: str, other: str, answered: Sequence[str]) -> bool:
    """Whether both were given, the one first."""
    return one in answered and other in answered[answered.index(one) + 1 :]


def _skill(way: str, raga: Raga) -> Skill:
    return raga_skill(
        RagaTurnsKind.name,
        raga,
        RagaTurnsKind.called(way, raga),
        sort=way,
        chance=_chance(way, raga),
        seconds=32.0,
    )


def _chance(way: str, raga: Raga) -> float:
    """Of a lucky guess, as often as each cut is asked."""
    chances = [
        mean(1 / open_orders(cut, way) for cut in cuts_to_ask(line, way) if len(cut) == size)
        for line in turning_lines(way, raga)
        for size in _sizes(line, way)
    ]
    return mean(chances)


def _sizes(line: Swaras, way: str) -> list[int]:
    """Into how many pieces a line is cut."""
    return sorted({len(cut) for cut in cuts_to_ask(line, way)})


def _asked(skill: str, setting: Setting) -> tuple[str, Raga]:
    """The way and the raga of a skill, as the teacher has it where it turns in that teaching.
    Raises UnknownSkill."""
    way, raga = split(skill, "raga-turns", setting, WAYS)
    return way, raga if turning_lines(way, raga) else as_shipped(raga, skill)
