"""`gat-start`: over the theka a gat comes in; on which matra does it begin?

`gat-start:masitkhani` plays it from one of the matras from which it is taught, mostly the usual
one; `gat-start:stroke` asks where one of its strokes falls; in `gat-start:found` it begins anywhere
and the theka does, too, so that memory does not help. What sounds is right, whatever is usual.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate

from audio.errors import BolError
from audio.mizrab import Gat, matras_of, mizrab, read_bols
from audio.score import Score
from quizzes.errors import UnknownSkill
from quizzes.fresh import Fresh
from quizzes.names import ORDINALS, capital, listed
from quizzes.question import Choice, Explanation, Question, Setting, Skill
from quizzes.ragas.asking import label_of
from quizzes.right_hand import Hand, fresh_hand
from quizzes.talas import Tala, talas
from quizzes.talas.asking import TalaKind
from quizzes.talas.cues import ThekaCue, theka_cue
from quizzes.talas.cycle import matra_at, place_in, place_of
from quizzes.wheel import Span, Wheel

STROKE, FOUND = "stroke", "found"
TEMPO = (104.0, 118.0)
"""Between the tempos of slow and fast gats, so that a cycle and a half are heard in time."""
HEARD_MATRAS = 28
"""The whole cue, whatever is right."""
LEAD_MATRAS = 4
"""From sam to the gat at least."""
FOUND_LEADS = tuple(range(10, 20))
"""Matras of theka before a gat that begins anywhere, drawn without regard to where."""
OFTEN_USUAL = 0.5
"""How often a gat begins on its usual matra where it is taught from others, too."""
SWARAS = 4
GAT_DB = -3.0
"""Its strokes beside their usual level, wherever it begins: so dense a line stands out enough."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What one question plays: a gat from a place, so many matras after the theka has begun."""

    gat: Gat
    tala: Tala
    start: Fraction
    lead: int
    bol: int
    """Which bol of the line is asked, from 0."""
    hand: Hand
    cue: ThekaCue

    @property
    def right(self) -> int:
        """The matra on which that bol falls."""
        return matra_at(place_in(self.start + _onsets(self.gat)[self.bol], self.tala.matras))

    def begun(self, matra: int) -> Asked:
        """The same, but with that bol on another matra."""
        start = place_in(place_of(matra) - _onsets(self.gat)[self.bol], self.tala.matras)
        by = (start - self.start) % self.tala.matras
        lead = self.lead + int(by)
        while lead - self.tala.matras >= LEAD_MATRAS:
            lead -= self.tala.matras
        return replace(self, start=start, lead=lead)

    def score(self, hand: Hand) -> Score:
        """The theka, and the gat over it to its end."""
        bols = _filling(self.gat, self.cue.matras - self.lead)
        onset_s = float(self.lead * 60 / self.cue.matras_per_min)
        strokes = hand.strokes(bols, onset_s=onset_s)
        return self.cue.with_strokes(
            [
                replace(stroke, level_db=round(stroke.level_db + GAT_DB + hand.level_db, 3))
                for stroke in strokes
            ]
        )


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
            *(_skill(gat.name, f"where {gat.name} begins", _usual_share(gat)) for gat in gats),
            _skill(STROKE, "on which matra a stroke of a gat falls", 1 / cycle),
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
            luck=_usual_share(asked.gat) if sort == asked.gat.name else 0.0,
            wheel=Wheel(asked.tala.form),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        asked = self._asked(question.skill, question.seed, question.setting)
        (sort,) = self.parts_of(question.skill, 1)
        hand = asked.hand.explained(share=1.0)
        why = _why(asked, sort)
        other = asked.begun(int(given))
        if given not in question.right:
            begun = matra_at(other.start)
            on_sam = _on_sam(asked.gat, begun, asked.tala.matras)
            why += f" Begun on matra {begun} it would have {on_sam}."
        line = matras_of(read_bols(asked.gat.bols))
        return Explanation(
            right_label=label_of(question, question.right[0]),
            given_label=label_of(question, given),
            why=why,
            right_cue=asked.score(hand),
            given_cue=None if given in question.right else other.score(hand),
            given_plays=(
                "" if given in question.right else f"the gat from matra {matra_at(other.start)}"
            ),
            wheel=Wheel(
                asked.tala.form,
                turning=asked.cue.turning,
                marked=((asked.right, asked.gat.bols.split()[asked.bol] if asked.bol else "gat"),),
                spans=(Span(asked.start, line, "phrase", asked.gat.name),),
            ),
        )

    def introduce(self, question: Question) -> str:
        asked = self._asked(question.skill, question.seed, question.setting)
        (sort,) = self.parts_of(question.skill, 1)
        return f"{_about(asked.gat)} {_why(asked, sort)}"

    def _asked(self, skill: str, seed: int, setting: Setting) -> Asked:
        (sort,) = self.parts_of(skill, 1)
        fresh = Fresh(skill, seed)
        gats = {gat.name: gat for gat in _gats(talas(setting.tradition))}
        if not self.asked(skill, setting.tradition):
            raise UnknownSkill(f"{skill!r} is not asked; `main.py kinds {self.name}` lists what is")
        gat = gats[sort] if sort in gats else fresh.one_of(tuple(gats.values()))
        tala = self.tala_of(gat.tala, setting)
        places = [at for at, onset in enumerate(_onsets(gat)) if at and onset.denominator == 1]
        bol = fresh.one_of(places) if sort == STROKE else 0
        if sort == FOUND:
            start, lead = place_of(fresh.one_of(range(tala.matras)) + 1), fresh.one_of(FOUND_LEADS)
            from_place = place_in(start - lead, tala.matras)
        else:
            start, from_place = place_of(_drawn_matra(fresh, gat)), Fraction(0)
            lead = int(start) + (tala.matras if start < LEAD_MATRAS else 0)
        hand = fresh_hand(fresh, setting, tempo=TEMPO, swaras=SWARAS)
        cue = theka_cue(
            fresh,
            setting,
            tala,
            matras=HEARD_MATRAS,
            matras_per_min=Fraction(str(hand.matras_per_min)),
            from_place=from_place,
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


def _drawn_matra(fresh: Fresh, gat: Gat) -> int:
    """One of the matras from which it is taught."""
    usual = fresh.between(0, 1) < OFTEN_USUAL
    return fresh.one_of((gat.from_matra,) if usual else (gat.also_from or gat.from_matras))


def _usual_share(gat: Gat) -> float:
    """How often it begins on its usual matra."""
    return OFTEN_USUAL if gat.also_from else 1.0


def _onsets(gat: Gat) -> list[Fraction]:
    """Where the bols of its line begin, in matras."""
    lengths = [matras_of([bol]) for bol in read_bols(gat.bols)]
    return [Fraction(0), *accumulate(lengths[:-1])]


def _filling(gat: Gat, matras: Fraction | int) -> Sequence[str]:
    """As many bols, over and over, as fit whole."""
    line, found, left = gat.bols.split(), list[str](), Fraction(matras)
    while (length := matras_of(read_bols(line[len(found) % len(line)]))) <= left:
        found.append(line[len(found) % len(line)])
        left -= length
    return found


def _asked_bol(asked: Asked) -> str:
    """`the fifth bol, ra,`."""
    return f"the {ORDINALS[asked.bol]} bol, {asked.gat.bols.split()[asked.bol]},"


def _prompt(asked: Asked, sort: str) -> str:
    tala, gat = asked.tala.name, capital(asked.gat.name)
    if sort == STROKE:
        return (
            f"{tala} from sam, and over it {asked.gat.name}: {asked.gat.bols}. "
            f"On which matra does {_asked_bol(asked)} first fall?"
        )
    if sort == FOUND:
        return (
            f"{tala} from somewhere in its cycle, and a gat over it. "
            "On which matra does the gat begin?"
        )
    return f"{gat} over {tala}, which runs from sam. On which matra does the gat begin?"


def _about(gat: Gat) -> str:
    also = [str(matra) for matra in gat.also_from]
    some = f", some on {listed(also)}" if also else ""
    return (
        f"{capital(gat.name)}, {gat.about}, is {gat.bols}. It mostly begins on matra "
        f"{gat.from_matra} of {gat.tala}{some}."
    )


def _why(asked: Asked, sort: str) -> str:
    begins = matra_at(asked.start)
    why = f"Here it begins on matra {begins}"
    if sort == STROKE:
        why += f", and {_asked_bol(asked)} first falls on matra {asked.right}"
    return f"{why}. It has {_on_sam(asked.gat, begins, asked.tala.matras)}."


def _on_sam(gat: Gat, begins: int, cycle: int) -> str:
    """`bol 5, ra, on sam`, where it begins on this matra."""
    try:
        number = replace(gat, from_matra=begins).on_sam(cycle)
    except BolError:
        return "no bol on sam"
    return f"bol {number}, {gat.bols.split()[number - 1]}, on sam"
