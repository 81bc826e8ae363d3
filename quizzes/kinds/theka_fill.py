"""`theka:fill:tintal`: one matra of a theka is silent; which bol stands there.

Where it is silent is heard; what stands there is known. A set of bols is drawn first, of which each
could be the one left out while the others would be wrong in every theka known of the tala; then one
of them is, so that the offer tells nothing. Choices sound otherwise than one another.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from itertools import combinations

from audio.score import Score
from quizzes.bols import tabla_bols
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.theka_way import (
    ThekaWay,
    cycle_again,
    cycles_told,
    played,
    thekas_heard,
    turning_wheel,
)
from quizzes.kinds.theka_written import known_words
from quizzes.question import Choice, Mark, Question, Setting, Skill
from quizzes.talas.cues import ThekaCue
from quizzes.talas.hearing import drawn_theka, kept
from quizzes.talas.sounds import Sound, may_be_one, near_words, sound, spellings, words_of
from quizzes.talas.tala import Tala, ThekaText
from quizzes.talas.wording import bols_told
from words import say, to_say

OFFERED = 4
FEWEST_OF_THEKA = 2
"""Choices, the right one among them, that are bols of the theka itself."""
SECONDS = 18.0

Gaps = dict[Sound, tuple[int, ...]]
"""Bols that are offered together, and the matras, from 0, at which each may be left out."""


class Filling(ThekaWay):
    way, family = "fill", "facts"
    asks = to_say("{tala}: a bol of its theka")

    def skill_of(self, tala: Tala) -> Skill | None:
        usable = self.usable(tala)
        if not usable:
            return None
        fewest = min(len(_sets(tala, each)[0]) for each in usable)
        return self.skill(tala, chance=1 / fewest, seconds=SECONDS)

    def usable(self, tala: Tala) -> list[ThekaText]:
        return [each for each in thekas_heard(tala) if _sets(tala, each)]

    def make_of(self, tala: Tala, skill: str, *, seed: int, setting: Setting) -> Question:
        fresh = Fresh(skill, seed)
        theka = drawn_theka(fresh, self.usable(tala), met=skill in setting.met)
        gaps = fresh.one_of(_sets(tala, theka))
        right = fresh.one_of(list(gaps))
        at = fresh.one_of(gaps[right])
        cue = self.heard(fresh, setting, tala, theka, lands=True)
        of_theka = spellings(theka.bols)
        choices = _offered(fresh, tala, theka, gaps, setting.tradition)
        return Question(
            kind="theka",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say(
                "You hear {cycles} of {tala} from sam, and one matra that should be struck is "
                "silent. Which bol belongs there?",
                cycles=cycles_told(tala),
                tala=tala.called,
            ),
            choices=choices,
            right=(of_theka[right][0],),
            cue=_silent(cue, at),
            sargam=f"{cue.written} / without matra {at + 1}",
            detail={**kept(cue), "matra": at + 1},
            possible=tuple(each.id for each in choices if sound(each.id) in gaps),
        )

    def mark(self, question: Question, given: str) -> Mark:
        question.choice(given)
        return Mark(1.0 if given in question.right else 0.0)

    def explain(self, question: Question, given: str) -> Explanation:
        tala, matra = self.tala_of(question), int(question.detail["matra"])
        cue, right = cycle_again(question, tala), question.right[0]
        words = list(words_of(cue.theka.bols))
        told = words[matra - 1]
        words[matra - 1] = given
        is_right = given == right
        return Explanation(
            right_label=question.choice(right).label,
            given_label=question.choice(given).label,
            why=say(
                "Matra {matra} was silent; {bol} belongs there: {bols}.",
                matra=matra,
                bol=tabla_bols(told),
                bols=bols_told(cue.theka),
            ),
            right_cue=cue.score,
            given_cue=None if is_right else played(question, " ".join(words)),
            given_plays=""
            if is_right
            else say("the theka with {bol} on matra {matra}", bol=tabla_bols(given), matra=matra),
            wheel=turning_wheel(cue, marked=((matra, tabla_bols(told)),)),
        )

    def introduce(self, question: Question) -> str:
        tala = self.tala_of(question)
        theka = ThekaText(question.detail["theka"], "", "")
        return say(
            "Each matra of a theka has its bol. {tala}: {bols}.",
            tala=tala.called,
            bols=bols_told(theka),
        )


@lru_cache(maxsize=512)
def _sets(tala: Tala, theka: ThekaText) -> tuple[Gaps, ...]:
    """The sets of as many bols of a theka as can be, up to OFFERED, of which each may be left out
    somewhere while the others would be wrong there, in print, too. Sam never is silent: from it one
    counts."""
    words = words_of(theka.bols)
    heard = [_heard_at(tala, at) for at in range(tala.matras)]
    spelt = spellings(theka.bols)
    places: dict[Sound, list[int]] = {}
    for at, word in enumerate(words):
        if at and sound(word):
            places.setdefault(sound(word), []).append(at)
    # By number: a sound holds many fractions, and to compare it takes long.
    here = list(places)
    others = [{here.index(each) for each in some if each in places} for some in heard]
    one_in_print = {
        (one, other)
        for one, other in combinations(range(len(here)), 2)
        if may_be_one(spelt[here[one]], spelt[here[other]])
    }
    for size in range(OFFERED, FEWEST_OF_THEKA - 1, -1):
        found = []
        for some in combinations(range(len(here)), size):
            if not one_in_print.isdisjoint(combinations(some, 2)):
                continue
            gaps = {
                here[one]: tuple(at for at in places[here[one]] if not others[at] & {*some} - {one})
                for one in some
            }
            if all(gaps.values()):
                found.append(gaps)
        if found:
            return tuple(found)
    return ()


def _heard_at(tala: Tala, at: int) -> set[Sound]:
    """What any theka known of the tala has at a matra."""
    return {sound(line[at]) for line in _known_lines(tala)}


def _known_lines(tala: Tala) -> list[tuple[str, ...]]:
    lines = map(words_of, tala.written())
    return [line for line in lines if len(line) == tala.matras]


def _offered(
    fresh: Fresh, tala: Tala, theka: ThekaText, gaps: Gaps, tradition: str
) -> tuple[Choice, ...]:
    """The bols of a set; where they are few, with others that are near to them and in no theka of
    the tala."""
    of_theka = spellings(theka.bols)
    here = {word for line in _known_lines(tala) for word in line}
    near = [
        word for word in near_words(gaps, known_words(tradition)) if not may_be_one([word], here)
    ]
    spelt = [of_theka[each] for each in gaps]
    spelt += [(word,) for word in fresh.shuffled(near)[: OFFERED - len(gaps)]]
    return tuple(fresh.shuffled([_choice(each) for each in spelt]))


def _choice(spelt: Sequence[str]) -> Choice:
    return Choice(spelt[0], " / ".join(dict.fromkeys(map(tabla_bols, spelt))))


def _silent(cue: ThekaCue, at: int) -> Score:
    """The cue without what is struck in a matra, in every cycle; it begins at sam."""
    cycle = cue.tala.matras
    silent = {at + turn * cycle for turn in range(int(cue.matras) // cycle)}
    onsets = [since for since, _ in _struck(cue)]
    kept_ones = [
        stroke
        for stroke, since in zip(cue.score.tabla, onsets, strict=True)
        if int(since) not in silent
    ]
    return replace(cue.score, tabla=tuple(kept_ones))


def _struck(cue: ThekaCue) -> Iterator[tuple[Fraction, str]]:
    """How many matras after the beginning each stroke of the cue falls, and its bol."""
    once = list(cue.theka.theka.onsets())
    for turn in range(int(cue.matras) // cue.tala.matras + 1):
        for since, bol in once:
            if turn * cue.tala.matras + since <= cue.matras:
                yield turn * cue.tala.matras + since, bol
