"""Cues in which something is to be found by ear: how fast, how long, from where in the cycle.

And the same heard again: thekas at one tempo, and the sitar's Sa where something fell.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from enum import Enum
from fractions import Fraction
from functools import lru_cache

from audio.score import Score, Stroke
from audio.theka import theka_strokes
from quizzes.fresh import Fresh
from quizzes.question import Choice, Question, Setting
from quizzes.talas.cues import ThekaCue, drawn_tempo, theka_cue
from quizzes.talas.cycle import matra_at
from quizzes.talas.laya import Laya, layas
from quizzes.talas.likeness import sure_starts
from quizzes.talas.tala import Tala, ThekaText
from words import say, to_say

LONGEST_S = 24.5
"""A cue lasts at most so long, but for its lead."""
LEAST_S, LEAST_MATRAS = 6.0, 24
"""What is heard of a fast theka, or a short one, at least."""
EXPLAINED_S = 16.5
"""A cycle that is explained lasts at most about so long."""
ROOM = 15
"""So wide at least is the range of tempos, in matras a minute, where a beginner counts."""
SEVERAL = 4
"""One who has begun so many of a sort counts faster."""
MIDDLE, FAST = "madhya", "drut"
SHARES = {"madhya": 3.0, "drut": 1.0, "vilambit": 1.0}
"""How often a theka is heard in each class of laya, where it may be in several."""
LEAD_S = 0.2
"""Of an explanation, before its first stroke."""
PLUCK_S = 0.8
UPPER_SA_CENTS = 1200.0


class Listening(Enum):
    """What for: to know a theka again; to count its matras; or to count them for the first times,
    which is slower."""

    KNOW = "know"
    COUNT = "count"
    BEGIN = "begin"


def counting(skill: str, setting: Setting) -> Listening:
    """How one listens who is asked to count: as a beginner where the skill is new, or few of its
    sort are begun."""
    sort = skill.rpartition(":")[0]
    begun = [one for one in setting.met if one.rpartition(":")[0] == sort]
    several = skill in begun and len(begun) >= SEVERAL
    return Listening.COUNT if several else Listening.BEGIN


@lru_cache(maxsize=512)
def tempos(
    laya: str, matras: Fraction | int, how: Listening = Listening.KNOW
) -> tuple[float, float] | None:
    """In matras a minute from where to where so many matras can be heard in this laya; None where
    they would last too long. What a beginner counts is faster than usual where it is long."""
    slowest, fastest = _usual(layas()[laya], how)
    low, high = max(slowest, float(60 * matras / Fraction(LONGEST_S))), float(fastest)
    if how is Listening.BEGIN:
        high = max(high, min(low + ROOM, layas()[laya].counted[1]))
    return (low, high) if low <= high else None


def _usual(laya: Laya, how: Listening) -> tuple[int, int]:
    if how is Listening.KNOW:
        return laya.heard
    return laya.counted if how is Listening.COUNT else laya.first


def layas_for(
    tala: Tala, matras: Fraction | int, how: Listening = Listening.KNOW
) -> tuple[str, ...]:
    """The classes in which it is usual and so many matras of it do not last too long; to be
    counted, it is in the fastest only if it is in no other, and at first in the middle one."""
    some = tala.laya
    if how is not Listening.KNOW:
        some = tuple(laya for laya in some if laya != FAST) or some
    fitting = tuple(laya for laya in some if tempos(laya, matras, how))
    return (MIDDLE,) if how is Listening.BEGIN and MIDDLE in fitting else fitting


def drawn_laya(fresh: Fresh, layas: Sequence[str]) -> str:
    return fresh.weighted(layas, [SHARES[laya] for laya in layas], 1)[0]


def drawn_pace(
    fresh: Fresh, laya: str, matras: Fraction | int, how: Listening = Listening.KNOW
) -> Fraction:
    """An exact tempo of this laya at which so many matras can be heard. Raises ValueError."""
    bounds = tempos(laya, matras, how)
    if bounds is None:
        raise ValueError(f"{matras} matras in {laya} laya last longer than {LONGEST_S} s")
    return drawn_tempo(fresh, *bounds)


def drawn_theka(fresh: Fresh, thekas: Sequence[ThekaText], *, met: bool) -> ThekaText:
    """Any of these once what is asked has been met; at first the usual one, which comes first."""
    return fresh.one_of(thekas) if met else thekas[0]


def is_struck(theka: ThekaText, place: Fraction | int) -> bool:
    """Whether a stroke falls on this place, in any cycle."""
    matras = theka.theka.matras
    return any(at == Fraction(place) % len(matras) for at, _ in theka.theka.onsets())


def longest_heard(tala: Tala, cycles: int) -> int:
    """As many matras as `cycles` have, of short ones more, where there is a laya in which they do
    not last too long; else a cycle and a quarter."""
    whole = max(cycles, -(-LEAST_MATRAS // tala.matras)) * tala.matras
    return whole if layas_for(tala, whole, Listening.COUNT) else -(-5 * tala.matras // 4)


def starts_of(tala: Tala, theka: ThekaText, matras: int, *, sam: bool) -> tuple[int, ...]:
    """From where a cue of so many matras can begin so that its sam is sure; at sam, too, if asked
    for."""
    return tuple(start for start in sure_starts(tala, theka, matras) if start or sam)


FEWEST_STARTS = 3


def _able(tala: Tala, laya: str, matras: int, *, sam: bool) -> list[ThekaText]:
    """The thekas of a laya that can begin in places enough."""
    return [
        theka
        for theka in tala.thekas_in(laya)
        if len(starts_of(tala, theka, matras, sam=sam)) >= FEWEST_STARTS
    ]


def askable(tala: Tala, matras: int, *, sam: bool = False) -> bool:
    """Whether `begun_anywhere` can begin."""
    return bool(_able_layas(tala, matras, Listening.COUNT, sam=sam))


def _able_layas(
    tala: Tala, matras: int, how: Listening, *, sam: bool
) -> dict[str, list[ThekaText]]:
    """The layas in which it can begin in places enough, with the thekas that can."""
    able = {laya: _able(tala, laya, matras, sam=sam) for laya in layas_for(tala, matras, how)}
    return {laya: thekas for laya, thekas in able.items() if thekas}


def begun_anywhere(
    fresh: Fresh,
    setting: Setting,
    tala: Tala,
    matras: int,
    *,
    how: Listening,
    sam: bool,
) -> tuple[ThekaCue, tuple[int, ...]]:
    """A theka to be counted from anywhere in its cycle, from sam, too, if `sam`; the stroke at the
    end is that of the beginning where whole cycles are heard. And the places from which it could
    have begun.

    Raises ValueError if not `askable`.
    """
    able = _able_layas(tala, matras, how, sam=sam)
    able = able or _able_layas(tala, matras, Listening.COUNT, sam=sam)
    if not able:
        raise ValueError(f"{tala.id}: in no theka is sam sure after {matras} matras from anywhere")
    laya = drawn_laya(fresh, tuple(able))
    tempo = drawn_pace(fresh, laya, matras, how)
    theka = fresh.one_of(able[laya])
    starts = starts_of(tala, theka, matras, sam=sam)
    cue = theka_cue(
        fresh,
        setting,
        tala,
        matras=matras,
        matras_per_min=tempo,
        from_place=fresh.one_of(starts),
        theka=theka,
        lands=True,
    )
    return cue, starts


def points(count: int, *, named: bool = False) -> tuple[Choice, ...]:
    """The choices of a wheel: its matras if they are `named`, else blind points."""
    label = to_say("Matra {number}") if named else to_say("Point {number}")
    return tuple(Choice(str(one), say(label, number=one)) for one in range(1, count + 1))


def point_of(matra: int, begun: int, cycle: int) -> int:
    """Which point a matra is on a blind wheel of which the first one is the place `begun`."""
    return (matra - 1 - begun) % cycle + 1


def matra_of(point: int, begun: int, cycle: int) -> int:
    """Which matra a point of such a wheel is."""
    return matra_at((begun + point - 1) % cycle)


def point_told(point: int, begun: int, tala: Tala) -> str:
    """`Point 5, matra 9`: a point once it is known which matra it was."""
    matra = matra_of(point, begun, tala.matras)
    return say("Point {point}, matra {matra}", point=point, matra=matra)


def luck_of(starts: Sequence[int], asked: Collection[int], cycle: int) -> float:
    """How often the best of the points is right for who hears nothing, where any of the matras
    `asked` is right and the cue begins as often at each of `starts`."""
    return max(
        sum(matra_of(point, start, cycle) in asked for start in starts) / len(starts)
        for point in range(1, cycle + 1)
    )


def kept(cue: ThekaCue) -> dict[str, str | int]:
    """What a question keeps of its cue: enough to make it again by `cue_again`."""
    return {
        "theka": cue.theka.bols,
        "from": int(cue.from_place),
        "matras": int(cue.matras),
        "tempo": str(cue.matras_per_min),
    }


def cue_again(question: Question, tala: Tala) -> ThekaCue:
    """The cue of a question, with its score just as it was."""
    detail = question.detail
    return ThekaCue(
        tala,
        tala.theka_of(detail["theka"]),
        Fraction(detail["from"]),
        Fraction(detail["matras"]),
        Fraction(detail["tempo"]),
        question.cue,
    )


def plain_cue(
    question: Question,
    tala: Tala,
    theka: ThekaText,
    tempo: Fraction,
    *,
    from_place: Fraction | int = 0,
    matras: int | None = None,
) -> ThekaCue:
    """So many matras of a theka, one cycle unless given, and the stroke at their end: all strokes
    evenly, at the question's Sa and over its drone."""
    lasts = Fraction(matras or tala.matras)
    strokes = theka_strokes(
        theka.theka,
        matras_per_min=tempo,
        matras=lasts,
        from_matra=from_place,
        lands=True,
    )
    score = Score(question.cue.sa_hz, (), question.cue.drone, LEAD_S, strokes)
    return ThekaCue(tala, theka, Fraction(from_place), lasts, tempo, score)


def explained_tempo(tempo: Fraction, matras: int) -> Fraction:
    """The tempo of a cue, or one at which so many matras do not last too long to be explained."""
    return max(tempo, 60 * matras / Fraction(EXPLAINED_S))


def once_round(question: Question, tala: Tala) -> ThekaCue:
    """From where the question's cue begins once round the cycle, evenly, to that place again."""
    cue = cue_again(question, tala)
    tempo = explained_tempo(cue.matras_per_min, tala.matras)
    return plain_cue(question, tala, cue.theka, tempo, from_place=cue.from_place)


def plucked(cue: ThekaCue, at: Iterable[Fraction | int]) -> Score:
    """A cue with the sitar's upper Sa at so many matras after its beginning."""
    return cue.with_strokes(
        [
            Stroke(
                float(Fraction(matras) * 60 / cue.matras_per_min),
                PLUCK_S,
                ((0.0, UPPER_SA_CENTS),),
            )
            for matras in sorted(at)
        ]
    )


def times_of(cue: ThekaCue, matra: int) -> tuple[Fraction, ...]:
    """How many matras after its beginning a cue comes to this matra, each time before its end."""
    first = (matra - 1 - cue.from_place) % cue.tala.matras
    rounds = int((cue.matras - first - 1) // cue.tala.matras) + 1 if cue.matras > first else 0
    return tuple(first + turn * cue.tala.matras for turn in range(rounds))
