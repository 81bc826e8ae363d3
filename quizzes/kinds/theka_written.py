"""`theka:write:tintal`: write down the theka that is heard, one key to a matra.

A key is right where it sounds like the bol that was played, however that is spelt, or stands for it
in print; so any theka known of the tala may be played, and the one that sounded is right. Less is
worth the matras that are right, above the best that one bol for all of them earns.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import product
from math import prod

from audio.theka import REST
from quizzes.bols import tabla_bols
from quizzes.edits import slips, tally
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.theka_way import ThekaWay, cycle_again, cycles_told, played, turning_wheel
from quizzes.names import number_word
from quizzes.question import KEYS_APART, Choice, Mark, Question, Setting, Skill
from quizzes.talas.asking import asked_talas
from quizzes.talas.hearing import drawn_theka, kept
from quizzes.talas.laya import Laya, Tempos
from quizzes.talas.sounds import (
    Sound,
    may_be_one,
    near_words,
    printed,
    sound,
    spellings,
    words_of,
)
from quizzes.talas.tala import Tala, ThekaText
from quizzes.talas.tradition import talas
from quizzes.talas.wording import bols_told
from words import say, to_say

MOST_MATRAS = 16
FEWEST_SOUNDS = 3
MOST_KEYS = 8
"""Of the theka itself."""
NEAR_KEYS = 2
MOST_RIGHT = 64
"""Lines that sound alike, where several keys do."""
SECONDS = 10.0, 3.0
"""What a line takes, and what each matra takes besides."""


class Writing(ThekaWay):
    way = "write"
    asks = to_say("{tala}: its theka, written")

    def skill_of(self, tala: Tala) -> Skill | None:
        usable = self.usable(tala)
        if not usable:
            return None
        keys = min(_keys_of(each) for each in usable) + NEAR_KEYS
        return self.skill(
            tala,
            chance=keys**-tala.matras,
            seconds=SECONDS[0] + SECONDS[1] * tala.matras,
        )

    def tempos(self, laya: Laya) -> Tempos:
        return laya.written

    def can_use(self, theka: ThekaText) -> bool:
        return (
            len(words_of(theka.bols)) <= MOST_MATRAS
            and len(spellings(theka.bols)) >= FEWEST_SOUNDS
            and _keys_of(theka) <= MOST_KEYS
            and _count_of_lines(theka) <= MOST_RIGHT
        )

    def make_of(self, tala: Tala, skill: str, *, seed: int, setting: Setting) -> Question:
        fresh = Fresh(skill, seed)
        theka = drawn_theka(fresh, self.usable(tala), met=skill in setting.met)
        cue = self.heard(fresh, setting, tala, theka)
        own = [word for words in spellings(theka.bols).values() for word in words]
        near = [
            word
            for word in near_words(map(sound, own), known_words(setting.tradition))
            if not may_be_one([word], own)
        ]
        keys = sorted([*own, *fresh.shuffled(near)[:NEAR_KEYS]])
        return Question(
            kind="theka",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=_prompt(tala, theka),
            choices=tuple(Choice(key, tabla_bols(key)) for key in keys),
            right=_lines(theka),
            cue=cue.score,
            sargam=cue.written,
            answer_on="written",
            detail=kept(cue),
            places=tala.matras,
            fewest=tala.matras,
            lines=len(keys) ** tala.matras,
        )

    def mark(self, question: Question, given: str) -> Mark:
        right, answered = _heard(question, question.right[0]), _meant(question, given)
        if right == answered:
            return Mark(1.0)
        blind = _blind(question)
        share = float(tally(right, answered).share)
        return Mark(max(0.0, (share - blind) / (1.0 - blind)))

    def explain(self, question: Question, given: str) -> Explanation:
        tala, answered = self.tala_of(question), question.written(given)
        is_right = self.mark(question, given).right
        cue = cycle_again(question, tala)
        return Explanation(
            right_label=bols_told(cue.theka),
            given_label=tabla_bols(" ".join(answered)),
            why=_why(question, tala, cue.theka, given),
            right_cue=cue.score,
            given_cue=None if is_right else played(question, " ".join(answered)),
            given_plays="" if is_right else say("the bols that you wrote"),
            wheel=turning_wheel(cue),
        )

    def introduce(self, question: Question) -> str:
        tala = self.tala_of(question)
        theka = ThekaText(question.detail["theka"], "", "")
        return say(
            "The theka of {tala}, one key to a matra: {bols}.",
            tala=tala.called,
            bols=bols_told(theka),
        )


def _prompt(tala: Tala, theka: ThekaText) -> str:
    told = say(
        "Write the theka of {tala} as it is played, from sam, one key for each of its {matras} "
        "matras. You hear {cycles}.",
        tala=tala.called,
        matras=tala.matras,
        cycles=cycles_told(tala),
    )
    if REST not in words_of(theka.bols):
        return told
    return told + " " + say("{rest} stands where nothing is struck.", rest=REST)


def _keys_of(theka: ThekaText) -> int:
    return len(set(words_of(theka.bols)))


def _count_of_lines(theka: ThekaText) -> int:
    return prod(map(len, _ways(theka)))


def _lines(theka: ThekaText) -> tuple[str, ...]:
    """The line as it is spelt first, then those of other keys that stand for the same."""
    lines = (words_of(theka.bols), *product(*_ways(theka)))
    return tuple(dict.fromkeys(KEYS_APART.join(line) for line in lines))


def _ways(theka: ThekaText) -> list[list[str]]:
    """For each matra the words of the theka that sound so, or stand for it in print."""
    words = words_of(theka.bols)
    own = dict.fromkeys(words)
    return [[key for key in own if sound(word) in printed(key)] for word in words]


def _heard(question: Question, line: str) -> tuple[str, ...]:
    """A line with one name for all keys that sound alike."""
    first: dict[Sound, str] = {}
    for choice in question.choices:
        first.setdefault(sound(choice.id), choice.id)
    return tuple(first[sound(key)] for key in question.written(line))


def _meant(question: Question, line: str) -> tuple[str, ...]:
    """The same, and a key that stands in print for what was played there taken as that."""
    right, keys = question.written(question.right[0]), question.written(line)
    if len(keys) != len(right):
        return _heard(question, line)
    meant = [
        was if sound(was) in printed(key) else key for was, key in zip(right, keys, strict=True)
    ]
    return _heard(question, KEYS_APART.join(meant))


def _blind(question: Question) -> float:
    """The share of matras that are right where one bol is written for all."""
    right = question.written(question.right[0])
    return max(
        sum(sound(was) in printed(choice.id) for was in right) / len(right)
        for choice in question.choices
    )


def _why(question: Question, tala: Tala, theka: ThekaText, given: str) -> str:
    told = say("{tala}: {bols}.", tala=tala.called, bols=bols_told(theka))
    words, answered = words_of(theka.bols), question.written(given)
    wrong = slips(_heard(question, question.right[0]), _meant(question, given))
    if not wrong:
        return told
    told += " " + _slip(words, answered, *wrong[0])
    if len(wrong) == 1:
        return told
    return f"{told} " + say("That is the first of {number} slips.", number=number_word(len(wrong)))


def _slip(words: Sequence[str], answered: Sequence[str], at: int | None, to: int | None) -> str:
    """What went wrong with a matra, with a key of the answer, or with both, as a sentence."""
    was = "" if at is None else tabla_bols(words[at])
    wrote = "" if to is None else tabla_bols(answered[to])
    if at is None:
        return say(
            "The {bol} that you wrote in place {place} is one too many.",
            bol=wrote,
            place=(to or 0) + 1,
        )
    if to is None:
        return say("Matra {matra}, {bol}, is missing.", matra=at + 1, bol=was)
    return say("Matra {matra} was {bol}; you wrote {wrote}.", matra=at + 1, bol=was, wrote=wrote)


@lru_cache(maxsize=8)
def known_words(tradition: str) -> tuple[str, ...]:
    """The words of all usual thekas that are asked, those of one or two strokes."""
    words = [
        word
        for tala in asked_talas(talas(tradition)).values()
        for word in words_of(tala.theka)
        if REST not in word and len(sound(word)) <= _MOST_STROKES
    ]
    return tuple(sorted(set(words)))


_MOST_STROKES = 2
