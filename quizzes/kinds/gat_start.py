"""`gat-start`: over the theka a gat comes in; on which matra does it begin?

`gat-start:masitkhani` plays it at its own laya from one of the matras from which it is taught,
mostly the usual one; `gat-start:stroke` asks where one of its strokes falls; in `gat-start:found`
it begins anywhere and the theka does, too, so that memory does not help. What sounds is right,
whatever is usual. How long theka and gat are heard hangs as little as may be on the answer.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from audio.mizrab import Gat, matras_of, mizrab, read_bols
from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.gat_start_sound import (
    FOUND_LEADS,
    FOUND_TEMPO,
    HEARD,
    HEARD_LONGER,
    LEADS,
    Asked,
    lead_to_gat,
    onsets_of,
    tempo_of,
    times_of,
)
from quizzes.kinds.gat_start_words import FOUND, STROKE, about, bol_of, here, prompt, why, why_not
from quizzes.names import counted
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import label_of
from quizzes.right_hand import fresh_hand
from quizzes.talas import Tala, talas
from quizzes.talas.asking import TalaKind
from quizzes.talas.cues import theka_cue
from quizzes.talas.cycle import matra_at, place_in, place_of
from quizzes.wheel import Span, Wheel
from words import say, to_say

USUAL = {STROKE: 0.5}
OFTEN_USUAL = 0.8
"""How often a gat begins on its usual matra where it is taught from others, too: four times of five
("Sitar Malika" p. 40), oftener on others only where one of its strokes is asked."""
SWARAS = 4


class GatStartKind(TalaKind):
    name = "gat-start"
    title = to_say("Over the theka a gat comes in: on which matra does it begin?")
    by_ear = True

    def skills_of(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        gats = _gats(known)
        if not gats:
            return ()
        cycle = known[gats[0].tala].matras
        return (
            *(_skill(gat.name, _luck(gat, gat.name)) for gat in gats),
            _skill(STROKE, _luck(gats[0], STROKE)),
            _skill(FOUND, 1 / cycle),
        )

    def name_of(self, skill: str) -> str:
        (sort,) = self.parts_of(skill, 1)
        if not self.asked(skill, ""):
            raise not_asked(skill, self.name)
        return _name(sort)

    def several(self, count: int) -> str:
        return counted(count, "{number} beginning of gats", "{number} beginnings of gats")

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        asked = self._asked(skill, seed, setting)
        matras = range(1, asked.tala.matras + 1)
        (sort,) = self.parts_of(skill, 1)
        line = " ".join(asked.gat.bols.split())
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=prompt(asked, sort),
            choices=tuple(Choice(str(one), say("Matra {number}", number=one)) for one in matras),
            right=(str(asked.right),),
            cue=asked.score(asked.hand),
            sargam=f"{asked.cue.written} / {line} from matra {matra_at(asked.start)}",
            answer_on="wheel",
            luck=0.0 if sort == FOUND else _luck(asked.gat, sort),
            wheel=Wheel(asked.tala.form),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        asked = self._asked(question.skill, question.seed, question.setting)
        (sort,) = self.parts_of(question.skill, 1)
        hand = asked.hand.explained(share=1.0)
        right, told = asked.played(asked.start), why(asked, sort)
        other, plays = None, ""
        if given not in question.right:
            other = asked.played(asked.start_for(int(given)))
            told += f" {why_not(other, sort)}"
            plays = say("the gat from matra {matra}", matra=matra_at(other.start))
        line = matras_of(read_bols(asked.gat.bols))
        return Explanation(
            right_label=label_of(question, question.right[0]),
            given_label=label_of(question, given),
            why=told,
            right_cue=right.score(hand),
            given_cue=other.score(hand) if other else None,
            given_plays=plays,
            wheel=Wheel(
                asked.tala.form,
                turning=right.cue.turning,
                marked=((asked.right, bol_of(asked.gat, asked.bol) if asked.bol else say("gat")),),
                spans=(Span(asked.start, line, "phrase", say(asked.gat.name)),),
            ),
        )

    def introduce(self, question: Question) -> str:
        asked = self._asked(question.skill, question.seed, question.setting)
        (sort,) = self.parts_of(question.skill, 1)
        return f"{about(asked, sort)} {here(asked)}"

    def _asked(self, skill: str, seed: int, setting: Setting) -> Asked:
        (sort,) = self.parts_of(skill, 1)
        fresh = Fresh(skill, seed)
        known = talas(setting.tradition)
        gats = {gat.name: gat for gat in _gats(known)}
        if not self.asked(skill, setting.tradition):
            raise not_asked(skill, self.name)
        gat = gats[sort] if sort in gats else fresh.one_of(tuple(gats.values()))
        tala = known[gat.tala]
        places = [at for at, onset in enumerate(onsets_of(gat)) if at and onset.denominator == 1]
        bol = fresh.one_of(places) if sort == STROKE else 0
        hand = fresh_hand(
            fresh, setting, tempo=FOUND_TEMPO if sort == FOUND else tempo_of(gat), swaras=SWARAS
        )
        times = times_of(hand.matras_per_min)
        if sort == FOUND:
            start, lead = place_of(fresh.one_of(range(tala.matras)) + 1), fresh.one_of(FOUND_LEADS)
        else:
            start = place_of(_drawn_matra(fresh, gat, sort))
            lead = lead_to_gat(start, tala, times * fresh.between(*LEADS))
        fewest, most = HEARD if sort == gat.name else HEARD_LONGER
        cue = theka_cue(
            fresh,
            setting,
            tala,
            matras=lead + fresh.one_of(range(times * fewest, times * most + 1)),
            matras_per_min=Fraction(str(hand.matras_per_min)),
            from_place=place_in(start - lead, tala.matras),
        )
        return Asked(gat, tala, start, lead, bol, replace(hand, sa_hz=cue.score.sa_hz), cue)


def _skill(sort: str, chance: float) -> Skill:
    return Skill(
        id=f"gat-start:{sort}",
        kind="gat-start",
        name=_name(sort),
        family="perception",
        cluster="gat start",
        chance=chance,
        seconds=24.0,
    )


def _name(sort: str) -> str:
    if sort == STROKE:
        return say("on which matra a stroke of a gat falls")
    if sort == FOUND:
        return say("where a gat begins that may begin anywhere")
    return say("where {gat} begins", gat=say(sort))


def _gats(known: Mapping[str, Tala]) -> list[Gat]:
    """Those that fill the cycle of their tala as it is taught here."""
    return [
        gat
        for gat in mizrab().gats
        if gat.tala in known
        and matras_of(read_bols(gat.bols)) * gat.times == known[gat.tala].matras
    ]


def _drawn_matra(fresh: Fresh, gat: Gat, sort: str) -> int:
    """One of the matras from which it is taught."""
    usual = fresh.between(0, 1) < _luck(gat, sort)
    return fresh.one_of((gat.from_matra,) if usual else gat.also_from)


def _luck(gat: Gat, sort: str) -> float:
    """How often it begins on its usual matra."""
    return USUAL.get(sort, OFTEN_USUAL) if gat.also_from else 1.0
