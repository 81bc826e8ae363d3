"""`laya:class:vilambit`: a theka is heard: is its laya vilambit, madhya or drut?

Only tempos are asked of which all sources say the same (`quizzes.talas.laya`). It is the matra that
is slow or fast, not the strokes: a slow theka may fill its matras with many.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from audio.theka import REST
from quizzes.bols import tabla_bols
from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.laya_way import (
    LayaWay,
    detail_of,
    explained,
    theka_asked,
)
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.talas.asking import USUAL, asked_talas
from quizzes.talas.laya import Laya, layas
from quizzes.talas.sounds import words_of
from quizzes.talas.steady import is_counted_one_way, struck_cue
from quizzes.talas.tala import Tala, ThekaText
from quizzes.talas.tradition import talas
from quizzes.wheel import Wheel
from words import say

SHORTEST_S, LONGEST_S = 8.0, 11.0
"""How long a cue lasts: equally long in each class, so that length tells nothing."""
TENTHS = 10


class ClassWay(LayaWay):
    asks = "class"

    def skills(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        return tuple(
            Skill(
                id=_skill_id(laya.id),
                kind="laya",
                name=_name(laya),
                family="perception",
                cluster="laya: class",
                chance=1 / len(layas()),
                seconds=16.0,
            )
            for laya in layas().values()
            if _usual_in(laya.id, known)
        )

    def name_of(self, skill: str) -> str:
        laya = layas().get(skill.removeprefix(_skill_id("")))
        if laya is None:
            raise not_asked(skill, "laya")
        return _name(laya)

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        laya = layas()[skill.rpartition(":")[2]]
        fresh = Fresh(skill, seed)
        pools = _pools(setting)
        tala = talas(setting.tradition)[fresh.one_of(pools[laya.id])]
        theka = fresh.one_of(_thekas_for(tala, laya.id))
        matras, tempo = _lasting(fresh, laya)
        cue = struck_cue(fresh, setting, tala, theka, matras=matras, matras_per_min=tempo)
        met = {_skill_id(laya.id), *setting.met}
        possible = tuple(one for one in pools if tala.id in pools[one] and _skill_id(one) in met)
        return Question(
            kind="laya",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("The theka of {tala}. In which laya is it?", tala=tala.called),
            choices=tuple(
                Choice(one.id, f"{one.called} ({say(one.word)})", _skill_id(one.id))
                for one in layas().values()
            ),
            right=(laya.id,),
            cue=cue.score,
            sargam=cue.written,
            detail=detail_of(cue),
            possible=possible,
            luck=_luck(tala.id, possible, pools),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        right = question.right[0]
        tala, theka = theka_asked(question)
        tempo = Fraction(question.detail["tempo"])
        usable = tala.thekas_in(given)
        other = theka if not usable or theka.bols in {one.bols for one in usable} else usable[0]
        cue = explained(question, tala, theka, tempo)
        return Explanation(
            right_label=question.choice(right).label,
            given_label=question.choice(given).label,
            why=_why(layas()[right], theka, tempo),
            right_cue=cue.score,
            given_cue=None
            if given == right
            else explained(question, tala, other, _middle(layas()[given])).score,
            given_plays=""
            if given == right
            else say("a theka of {tala}, {laya}", tala=tala.called, laya=say(given)),
            wheel=Wheel(tala.form, turning=cue.turning),
        )

    def introduce(self, question: Question) -> str:
        laya = layas()[question.right[0]]
        return say(
            "{laya} is {word}: {about}. From {slowest} to {fastest} matras a minute all sources "
            "seen call it so; outside that they differ.",
            laya=laya.called,
            word=say(laya.word),
            about=say(laya.about),
            slowest=laya.slowest,
            fastest=laya.fastest,
        )


def _usual_in(laya: str, known: Mapping[str, Tala]) -> tuple[str, ...]:
    """The talas in which a class is asked: usual in it and in another, lest the name should tell;
    and counted in one way only, for to who counts half as many matras the same theka is slower."""
    return tuple(
        tala.id
        for tala in asked_talas(known).values()
        if laya in tala.laya
        and len(tala.laya) > 1
        and is_counted_one_way(tala)
        and tala.thekas_in(laya)
    )


def _thekas_for(tala: Tala, laya: str) -> tuple[ThekaText, ...]:
    """Those made for this class, such as one of filled matras; else those for any."""
    fitting = tala.thekas_in(laya)
    return tuple(theka for theka in fitting if theka.laya) or fitting


def _pools(setting: Setting) -> dict[str, tuple[str, ...]]:
    """For each class the talas of which one is drawn: those begun. Where none of them is usual in
    some class, another joins them, and is drawn in every class, lest its name should tell."""
    known = talas(setting.tradition)
    usual = {laya: _usual_in(laya, known) for laya in layas()}
    usual = {laya: names for laya, names in usual.items() if names}
    begun = set(setting.talas)
    for names in usual.values():
        if not begun & set(names):
            begun.add(USUAL if USUAL in names else names[0])
    return {laya: tuple(name for name in names if name in begun) for laya, names in usual.items()}


def _luck(tala: str, possible: tuple[str, ...], pools: Mapping[str, tuple[str, ...]]) -> float:
    """How often the class is right in which this tala is drawn most often."""
    often = [1 / len(pools[laya]) for laya in possible]
    return max(often) / sum(often)


def _lasting(fresh: Fresh, laya: Laya) -> tuple[int, Fraction]:
    """So many matras, and the tempo, so that they last for a time drawn without knowing it."""
    lasts_s = Fraction(round(fresh.between(SHORTEST_S, LONGEST_S) * TENTHS), TENTHS)
    counts = [
        matras
        for matras in range(1, int(laya.fastest * LONGEST_S / 60) + 1)
        if laya.slowest <= 60 * matras / lasts_s <= laya.fastest
    ]
    matras = fresh.one_of(counts)
    return matras, 60 * matras / lasts_s


def _middle(laya: Laya) -> Fraction:
    return Fraction(laya.slowest + laya.fastest, 2)


def _why(laya: Laya, theka: ThekaText, tempo: Fraction) -> str:
    told = {"tempo": round(tempo), "laya": say(laya.id), "seconds": _seconds(tempo)}
    filled = _fullest(theka)
    if laya.id == "vilambit" and filled:
        return say(
            "{tempo} matras a minute are {laya}: a matra lasts {seconds} seconds, and {bols} "
            "stands in a single one.",
            **told,
            bols=tabla_bols(filled),
        )
    return say("{tempo} matras a minute are {laya}: a matra lasts {seconds} seconds.", **told)


def _fullest(theka: ThekaText) -> str:
    """The matra with the most strokes, as it is written; "" where each has but one."""
    words = words_of(theka.bols)
    strokes = [sum(part != REST for part in parts) for parts in theka.theka.matras]
    most = max(range(len(words)), key=strokes.__getitem__)
    return " ".join(words[most].replace(REST, " ").split()) if strokes[most] > 1 else ""


def _seconds(tempo: Fraction) -> str:
    return f"{float(60 / tempo):.2g}"


def _name(laya: Laya) -> str:
    return say("{laya} laya by ear", laya=laya.called)


def _skill_id(laya: str) -> str:
    return f"laya:class:{laya}"
