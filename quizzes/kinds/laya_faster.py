"""`laya:faster`: two stretches of a theka: which is the faster?

By how much comes from the setting (`level`, in per cent of the slower tempo) and follows the
student's own threshold. Neither the number of matras nor the time that a stretch lasts tells: which
stretch has more of both is drawn without knowing which is faster.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from audio.score import Score
from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.laya_way import (
    LayaWay,
    detail_of,
    explained,
    moved,
    theka_asked,
)
from quizzes.levels import Level
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.talas.asking import tala_for
from quizzes.talas.cues import ThekaCue, drawn_tempo
from quizzes.talas.steady import even_talas, even_theka, struck_cue
from quizzes.talas.tala import Tala
from quizzes.talas.tradition import talas
from words import say, to_say

SKILL = "laya:faster"
ANSWERS = {"first": to_say("The first"), "second": to_say("The second")}
NAME = to_say("which of two thekas is faster")

FINEST, TYPICAL, FIRST, COARSEST = 1.5, 5.0, 20.0, 24.0
"""In per cent. Drake & Botte 1993 ("Tempo sensitivity in auditory sequences: Evidence for a
multiple-look model") found just noticeable differences of 3 % over six intervals, as low as 1.5 %
where these last 300 to 800 ms, and larger ones in listeners who are no musicians."""

TEMPOS = (88.0, 150.0)
"""In matras a minute, the mean of both: matras last about 360 to 760 ms, where ears are keenest."""
FEWEST, MOST, MOST_IN_ALL = 4, 11, 16
APART = 1.0 + COARSEST / 100.0
MATRAS = tuple(
    (few, many)
    for few in range(FEWEST, MOST)
    for many in range(few + 1, MOST + 1)
    if many > APART * few and few + many <= MOST_IN_ALL
)
"""How many the two stretches have, in either order: so far apart that the one with more lasts
longer, too, even where it is the faster by the coarsest difference."""
BETWEEN_S = (0.9, 1.4)
EXPLAINED_MATRAS = 6


class FasterWay(LayaWay):
    asks = "faster"

    def skills(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        if not even_talas(known):
            return ()
        return (
            Skill(
                id=SKILL,
                kind="laya",
                name=say(NAME),
                family="perception",
                cluster="laya: faster",
                chance=1 / len(ANSWERS),
                seconds=20.0,
            ),
        )

    def name_of(self, skill: str) -> str:
        if skill != SKILL:
            raise not_asked(skill, "laya")
        return say(NAME)

    def level(self, skill: str) -> Level:
        return Level("%", FINEST, COARSEST, TYPICAL, FIRST)

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        fresh = Fresh(skill, seed)
        level = FIRST if setting.level is None else setting.level
        tala = tala_for(fresh, setting, of=[one.id for one in even_talas(talas(setting.tradition))])
        theka = even_theka(tala)
        answer = fresh.one_of(tuple(ANSWERS))
        counts = fresh.shuffled(fresh.one_of(MATRAS))
        slow, fast = tempos_apart(drawn_tempo(fresh, *TEMPOS), level)
        first, second = (
            struck_cue(
                fresh,
                setting,
                tala,
                theka,
                matras=matras,
                matras_per_min=fast if answer == which else slow,
            )
            for which, matras in zip(ANSWERS, counts, strict=True)
        )
        return Question(
            kind="laya",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("The theka of {tala} twice: which is faster?", tala=tala.called),
            choices=tuple(Choice(key, say(label)) for key, label in ANSWERS.items()),
            right=(answer,),
            cue=_joined(first, second, fresh.between(*BETWEEN_S)),
            sargam=f"{first.written} / {second.written}",
            detail={**detail_of(first), "level": level, "slow": str(slow), "fast": str(fast)},
        )

    def explain(self, question: Question, given: str) -> Explanation:
        right, level = question.right[0], question.detail["level"]
        slow, fast = (Fraction(question.detail[which]) for which in ("slow", "fast"))
        return Explanation(
            right_label=say(ANSWERS[right]),
            given_label=say(ANSWERS[given]),
            why=_why(right, f"{level:.3g}", fast=float(fast), slow=float(slow)),
            right_cue=_both(question, right, slow, fast),
            given_cue=None if given == right else _both(question, given, slow, fast),
            given_plays="" if given == right else _plays(given),
        )

    def introduce(self, question: Question) -> str:
        return say(
            "You hear the theka twice, once a little faster. Listen to how closely its strokes "
            "follow each other: neither how long each lasts nor how many matras it has tells. "
            "The difference becomes finer as you hear it."
        )


def _why(faster: str, percent: str, *, fast: float, slow: float) -> str:
    told = {"percent": percent, "fast": f"{fast:.1f}", "slow": f"{slow:.1f}"}
    if faster == "first":
        return say(
            "The first was faster by {percent} %: {fast} matras a minute against {slow}. How many "
            "matras you heard does not matter.",
            **told,
        )
    return say(
        "The second was faster by {percent} %: {fast} matras a minute against {slow}. How many "
        "matras you heard does not matter.",
        **told,
    )


def _plays(faster: str) -> str:
    if faster == "first":
        return say("the same, but the first faster")
    return say("the same, but the second faster")


def tempos_apart(mean: Fraction, level: float) -> tuple[Fraction, Fraction]:
    """Two tempos whose mean is `mean`, the second by `level` per cent faster than the first."""
    more = Fraction(str(level)) / 100
    slow = 2 * mean / (2 + more)
    return slow, slow * (1 + more)


def _joined(first: ThekaCue, second: ThekaCue, between_s: float) -> Score:
    """One after the other, with so long a rest between them."""
    later = moved(second.score, round(first.score.tabla[-1].onset_s + between_s, 4))
    return replace(first.score, tabla=(*first.score.tabla, *later.tabla))


def _both(question: Question, faster: str, slow: Fraction, fast: Fraction) -> Score:
    """Both from sam and equally many matras, so that nothing but the tempo differs."""
    tala, theka = theka_asked(question)
    first, second = (
        explained(question, tala, theka, tempo, matras=EXPLAINED_MATRAS).score
        for tempo in (fast if faster == which else slow for which in ANSWERS)
    )
    later = moved(second, first.tabla[-1].onset_s + sum(BETWEEN_S) / 2)
    return replace(first, tabla=(*first.tabla, *later.tabla))
