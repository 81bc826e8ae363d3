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

from audio.errors import BolError
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
from quizzes.names import ORDINALS, capital
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import label_of
from quizzes.right_hand import fresh_hand
from quizzes.talas import Tala, talas
from quizzes.talas.asking import TalaKind
from quizzes.talas.cues import theka_cue
from quizzes.talas.cycle import matra_at, place_in, place_of
from quizzes.talas.wording import on_matras
from quizzes.wheel import Span, Wheel

STROKE, FOUND = "stroke", "found"
USUAL = {STROKE: 0.5}
OFTEN_USUAL = 0.8
"""How often a gat begins on its usual matra where it is taught from others, too: four times of five
("Sitar Malika" p. 40), oftener on others only where one of its strokes is asked."""
STRONG = "da"
"""The stronger of the two strokes (common practice)."""
SWARAS = 4


class GatStartKind(TalaKind):
    name = "gat-start"
    title = "Over the theka a gat comes in: on which matra does it begin?"
    thing = "beginning"
    after_things = " of gats"
    by_ear = True

    def skills_of(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        gats = _gats(known)
        if not gats:
            return ()
        cycle = known[gats[0].tala].matras
        return (
            *(_skill(gat.name, f"where {gat.name} begins", _luck(gat, gat.name)) for gat in gats),
            _skill(STROKE, "on which matra a stroke of a gat falls", _luck(gats[0], STROKE)),
            _skill(FOUND, "where a gat begins that may begin anywhere", 1 / cycle),
        )

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
            prompt=_prompt(asked, sort),
            choices=tuple(Choice(str(matra), f"Matra {matra}") for matra in matras),
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
        right, why = asked.played(asked.start), _why(asked, sort)
        other = None
        if given not in question.right:
            other = asked.played(asked.start_for(int(given)))
            why += f" {_why_not(other, sort)}"
        line = matras_of(read_bols(asked.gat.bols))
        return Explanation(
            right_label=label_of(question, question.right[0]),
            given_label=label_of(question, given),
            why=why,
            right_cue=right.score(hand),
            given_cue=other.score(hand) if other else None,
            given_plays=f"the gat from matra {matra_at(other.start)}" if other else "",
            wheel=Wheel(
                asked.tala.form,
                turning=right.cue.turning,
                marked=((asked.right, asked.gat.bols.split()[asked.bol] if asked.bol else "gat"),),
                spans=(Span(asked.start, line, "phrase", asked.gat.name),),
            ),
        )

    def introduce(self, question: Question) -> str:
        asked = self._asked(question.skill, question.seed, question.setting)
        (sort,) = self.parts_of(question.skill, 1)
        return (
            f"{_about(asked, sort)} Here it begins on matra {matra_at(asked.start)}{_falls(asked)}."
        )

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


def _skill(sort: str, name: str, chance: float) -> Skill:
    return Skill(
        id=f"gat-start:{sort}",
        kind="gat-start",
        name=name,
        family="perception",
        cluster="gat start",
        chance=chance,
        seconds=24.0,
    )


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


def _bol_told(gat: Gat, bol: int) -> str:
    """`fifth bol, ra,`."""
    return f"{ORDINALS[bol]} bol, {gat.bols.split()[bol]},"


def _prompt(asked: Asked, sort: str) -> str:
    if sort == FOUND:
        return (
            f"{asked.tala.name} from somewhere in its cycle, and a gat over it. "
            "On which matra does the gat begin?"
        )
    matra = matra_at(asked.cue.from_place)
    theka = f"{asked.tala.name} from {'sam' if matra == 1 else f'matra {matra}'}"
    gat = f"{theka}, and over it a {asked.gat.name} gat"
    if sort == STROKE:
        bol = _bol_told(asked.gat, asked.bol)
        return f"{gat}: {asked.gat.bols}. On which matra does the {bol} first fall?"
    return f"{gat}. On which matra does the gat begin?"


def _about(asked: Asked, sort: str) -> str:
    gat, tala = asked.gat, asked.tala
    about = f"{capital(gat.name)}, {gat.about}, is {gat.bols}."
    if sort == FOUND:
        return f"{about} It may begin anywhere now: find sam by the theka, and count on from there."
    also = on_matras(gat.also_from, "or")
    why = f", so that {STRONG} falls on sam" if _is_strong(gat, tala.matras) else ""
    some = f"; now and then it begins on {also}" if also else ""
    return f"{about} Mostly it begins on matra {gat.from_matra} of {tala.name}{why}{some}."


def _falls(asked: Asked) -> str:
    """Where the asked bol falls, unless it is the first."""
    if not asked.bol:
        return ""
    return f", so its {_bol_told(asked.gat, asked.bol)} first falls on matra {asked.right}"


def _why(asked: Asked, sort: str) -> str:
    gat, begins, cycle = asked.gat, matra_at(asked.start), asked.tala.matras
    if sort == STROKE:
        return f"The gat begins on matra {begins}{_falls(asked)}."
    bol, strong = _on_sam(gat, begins, cycle), sort != FOUND and _is_strong(gat, cycle)
    if strong and bol is not None and begins == gat.from_matra:
        return (
            f"It begins on matra {begins}, the usual one, so that its {_bol_told(gat, bol)} the "
            "stronger stroke, falls on sam."
        )
    why = f"It begins on matra {begins}. {_on_sam_told(gat, bol)}"
    if sort == FOUND or begins == gat.from_matra:
        return why
    reason = f", so that {STRONG}, the stronger stroke, falls on sam" if strong else ""
    return f"{why} Mostly it begins on matra {gat.from_matra}{reason}."


def _why_not(other: Asked, sort: str) -> str:
    begins = matra_at(other.start)
    if sort == STROKE:
        return f"To fall on matra {other.right} the gat would have to begin on matra {begins}."
    bol = _on_sam(other.gat, begins, other.tala.matras)
    told = (
        f"its {_bol_told(other.gat, bol)} would fall" if bol is not None else "no bol would begin"
    )
    return f"Begun on matra {begins}, {told} on sam."


def _on_sam_told(gat: Gat, bol: int | None) -> str:
    if bol is None:
        return "No bol begins on sam."
    return f"Its {_bol_told(gat, bol)} falls on sam."


def _is_strong(gat: Gat, cycle: int) -> bool:
    """Whether its strong stroke falls on sam where it is begun as usual."""
    bol = _on_sam(gat, gat.from_matra, cycle)
    return bol is not None and gat.bols.split()[bol] == STRONG


def _on_sam(gat: Gat, begins: int, cycle: int) -> int | None:
    """Which of its bols, from 0, falls on sam where it begins on this matra."""
    try:
        return replace(gat, from_matra=begins).on_sam(cycle) - 1
    except BolError:
        return None
