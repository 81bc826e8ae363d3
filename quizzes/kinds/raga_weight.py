"""`raga-weight`: which swara carried the weight of a phrase, by how long it sounded in all?

It is one on which the raga dwells, and so are most of those offered beside it: who knows the raga,
but has not listened, cannot say which of them it was this time.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from audio.line import Beat, Line, Tone
from audio.sargam import parse, write
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import capital, counted
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import RagaKind, explanation_of, raga_skill, split
from quizzes.ragas.evidence import REST_MATRAS, rests_of, swaras_of, weights_of
from quizzes.ragas.growing import grow
from quizzes.ragas.movement import Swaras
from quizzes.ragas.raga import Raga
from quizzes.ragas.resting import name_beside, standing_of
from quizzes.ragas.said import raga_name
from quizzes.ragas.sounding import cue_of
from quizzes.talas.cycle import in_figures, mixed
from words import say, to_say

OFFERED = 4
TRIES = 8
FEWEST, MOST = 6, 9
CLEAR = Fraction(3, 2)
"""It sounds at least so many times as long as any other."""
OTHERS_MATRAS = (Fraction(1), Fraction(1), Fraction(3, 2), Fraction(2))
"""How long other swaras on which the raga may dwell are held."""
LONGEST = Fraction(4)
"""In matras; a swara that had to be held longer to outweigh the rest is not the one asked for."""
RINGS_MATRAS = Fraction(3, 2)
"""For so long the last swara rings on after its end, at the quickest tempo."""
HALVES = 2
"""Lengths come in halves of a matra."""


class RagaWeightKind(RagaKind):
    name = "raga-weight"
    title = to_say("A phrase of a raga: which swara carried its weight?")

    @staticmethod
    def called(sort: str, raga: Raga) -> str:
        return say("Which swara of {raga} carries the weight", raga=raga_name(raga))

    def several(self, count: int) -> str:
        return counted(count, "{number} swara of weight", "{number} swaras of weight")

    def skills_among(self, known: Mapping[str, Raga]) -> tuple[Skill, ...]:
        return tuple(_skill(raga) for raga in known.values() if _is_asked(raga))

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        raga = _asked(skill, setting)
        fresh = Fresh(skill, seed)
        wished = fresh.one_of(sorted(rests_of(raga)))
        phrase = _grown(fresh, raga, wished)
        right = wished if wished in phrase.fit else fresh.one_of(phrase.fit)
        line = _weighted_line(phrase.swaras, phrase.lengths, right)
        light = [letter for letter in _times(phrase.swaras) if letter not in phrase.heavy]
        beside = fresh.shuffled([letter for letter in phrase.heavy if letter != right])
        letters = [right, *beside, *fresh.shuffled(light)][:OFFERED]
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say(
                "On which swara does this phrase of {raga} stay longest in all?",
                raga=raga_name(raga),
            ),
            choices=tuple(
                Choice(letter, capital(name_beside(letter, raga.own)))
                for letter in fresh.shuffled(letters)
            ),
            right=(right,),
            cue=cue_of(fresh, line, sa_hz=setting.sa_hz, tuning=setting.tuning, drone=raga.drone),
            sargam=write(line),
            possible=tuple(letter for letter in letters if letter in phrase.heavy),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        raga = _asked(question.skill, question.setting)
        line, right = parse(question.sargam), question.right[0]
        notes = list(line.notes())
        weights = weights_of(notes)
        return explanation_of(
            question,
            given,
            why=_why(raga, weights, right, given),
            deciding=[place for place, note in enumerate(notes) if note.swara.letter == right],
            given_line=_weighted_line(swaras_of(line), dict.fromkeys(weights, Fraction(1)), given),
            given_plays=say(
                "the same phrase with its weight on {swara}", swara=name_beside(given, raga.own)
            ),
        )

    def introduce(self, question: Question) -> str:
        raga = _asked(question.skill, question.setting)
        return say(
            "The weight of a phrase lies on the swara that sounds longest, all its times taken "
            "together. Here is a phrase of {raga}.",
            raga=raga_name(raga),
        )


def _why(raga: Raga, weights: Mapping[str, Fraction], right: str, given: str) -> str:
    """For how long it sounded in all, and for how long what was answered, or the longest other."""
    named = _named(raga, right)
    if given == right:
        rest = max(length for letter, length in weights.items() if letter != right)
        return say(
            "{swara} sounded for {matras} in all, no other for more than {rest}.",
            swara=named,
            matras=in_figures(weights[right]),
            rest=mixed(rest),
        )
    return say(
        "{swara} sounded for {matras} in all, {other} for {others}.",
        swara=named,
        matras=in_figures(weights[right]),
        other=name_beside(given, raga.own),
        others=mixed(weights[given]),
    )


def _named(raga: Raga, letter: str) -> str:
    """`Ga, vadi of Yaman,`: as it stands before what is said of it."""
    name, standing = capital(name_beside(letter, raga.own)), standing_of(raga, letter)
    if not standing:
        return name
    if standing == "vadi":
        return say("{swara}, vadi of {raga},", swara=name, raga=raga_name(raga))
    return say("{swara}, samvadi of {raga},", swara=name, raga=raga_name(raga))


@dataclass(frozen=True, slots=True)
class _Phrase:
    """A phrase, the letters in it on which the raga may dwell, and how long each is held."""

    swaras: Swaras
    heavy: Sequence[str]
    lengths: Mapping[str, Fraction]

    @property
    def fit(self) -> list[str]:
        """Letters that can carry the weight without being held too long; one, if there are any."""
        needed = {letter: _needed(self.swaras, self.lengths, letter) for letter in self.heavy}
        longest = max(LONGEST, min(needed.values(), default=LONGEST))
        return [letter for letter in self.heavy if needed[letter] <= longest]


def _grown(fresh: Fresh, raga: Raga, wished: str) -> _Phrase:
    """Of a few phrases one in which this letter can carry the weight, and most others can."""
    phrases = []
    for _ in range(TRIES):
        swaras = grow(fresh, raga, fewest=FEWEST, most=MOST)
        heavy = [letter for letter in _times(swaras) if letter in rests_of(raga)]
        phrases.append(_Phrase(swaras, heavy, _lengths(fresh, swaras, heavy)))
    return max(phrases, key=lambda each: (wished in each.fit, len(each.fit), len(each.heavy)))


def _lengths(fresh: Fresh, swaras: Swaras, heavy: Sequence[str]) -> dict[str, Fraction]:
    """How long each letter is held, the raga's rests now and then a little longer."""
    return {
        letter: fresh.one_of(OTHERS_MATRAS) if letter in heavy and times == 1 else Fraction(1)
        for letter, times in _times(swaras).items()
    }


def _weighted_line(swaras: Swaras, lengths: Mapping[str, Fraction], right: str) -> Line:
    """The phrase with this letter held clearly longest in all."""
    held = {**lengths, right: _needed(swaras, lengths, right)}
    return Line(tuple(Beat((Tone(swara),), held[swara.letter]) for swara in swaras))


def _needed(swaras: Swaras, lengths: Mapping[str, Fraction], right: str) -> Fraction:
    """How long this letter is to be held each time, the end's ringing on counted."""
    times = _times(swaras)
    rings = {swaras[-1].letter: RINGS_MATRAS}
    longest = max(
        lengths[letter] * times[letter] + rings.get(letter, 0)
        for letter in times
        if letter != right
    )
    return max(REST_MATRAS, Fraction(ceil(CLEAR * longest / times[right] * HALVES), HALVES))


def _times(swaras: Swaras) -> Counter[str]:
    """How often each letter comes, in the order in which they come."""
    return Counter(swara.letter for swara in swaras)


def _is_asked(raga: Raga) -> bool:
    """Whether phrases of it hold two swaras at least on which it may dwell, and one more."""
    scale = raga.scale.value
    return len(rests_of(raga)) >= 2 and len(scale.up | scale.down) >= OFFERED


def _skill(raga: Raga) -> Skill:
    return raga_skill(
        RagaWeightKind.name,
        raga,
        RagaWeightKind.called("", raga),
        cluster="weight {}",
        chance=0.4,
        seconds=20.0,
    )


def _asked(skill: str, setting: Setting) -> Raga:
    """The raga of a skill. Raises UnknownSkill."""
    return split(skill, "raga-weight", setting)[1]
