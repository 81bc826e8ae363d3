"""`prastara:count`: a phrase is heard: how many orders do its different swaras have?

The phrase always has the same number of strokes, so that its length says nothing of how many of
its swaras are different.
"""

from __future__ import annotations

from collections.abc import Sequence

from audio.line import Beat, Line, Tone
from audio.sargam import parse, write
from audio.tuning import Swara
from quizzes.contours import THATS
from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.prastara_way import (
    KIND,
    SWARA_MATRAS,
    TEMPO,
    Order,
    scale_of,
    sounding,
    swaras_in,
)
from quizzes.met import scales_met
from quizzes.names import capital, in_letters, in_sargam, number_word, swaras_counted
from quizzes.paltas.prastara import count
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import explanation_of
from quizzes.ragas.several import one_after_another
from quizzes.ragas.sounding import cue_of
from words import say

SIZES = (3, 4, 5, 6)
STROKES = 8


class Count:
    way = "count"

    def name_of(self, skill: str) -> str:
        """What its one skill is called. Raises UnknownSkill."""
        if skill != f"{KIND}:{self.way}":
            raise not_asked(skill, KIND)
        return say("how many orders the swaras of a phrase have")

    def skills(self) -> tuple[Skill, ...]:
        skill = f"{KIND}:{self.way}"
        return (
            Skill(
                id=skill,
                kind=KIND,
                name=self.name_of(skill),
                family="facts",
                cluster=f"{KIND} {self.way}",
                chance=1 / len(SIZES),
                seconds=20.0,
            ),
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        fresh = Fresh(skill, seed)
        size = fresh.one_of(SIZES)
        swaras = _swaras(fresh, size, setting, met=skill in setting.met)
        line = _evenly(_phrase(fresh, swaras))
        return Question(
            kind=KIND,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("In how many orders can the different swaras of this phrase be put?"),
            choices=tuple(Choice(str(each), str(count(each))) for each in SIZES),
            right=(str(size),),
            cue=cue_of(
                fresh,
                line,
                sa_hz=setting.sa_hz,
                tuning=setting.tuning,
                drone="P",
                tempo=TEMPO,
            ),
            sargam=write(line),
            detail={"swaras": in_sargam(swaras)},
        )

    def explain(self, question: Question, given: str) -> Explanation:
        swaras, line = swaras_in(question), parse(question.sargam)
        heard = [note.swara for note in line.notes()]
        size, chosen = len(swaras), int(given)
        why = say(
            "{number} different swaras were heard, {swaras}: {product} is {orders} orders.",
            number=capital(number_word(size)),
            swaras=in_letters(swaras),
            product=_product(size),
            orders=count(size),
        )
        if chosen != size:
            others = capital(swaras_counted(chosen))
            why += " " + say("{swaras} have {orders}.", swaras=others, orders=count(chosen))
        return explanation_of(
            question,
            given,
            why=why,
            line=one_after_another([line, sounding(swaras)]),
            deciding=[heard.index(swara) for swara in swaras],
            given_line=sounding(scale_of(THATS[0])[:chosen]),
            given_plays=say("{swaras} that differ", swaras=swaras_counted(chosen)),
        )

    def introduce(self, question: Question) -> str:
        size = len(swaras_in(question))
        return say(
            "Any of the swaras may come first, any of the others second, and so on to the last. "
            "So {number} have {product} = {orders} orders.",
            number=number_word(size),
            product=_product(size),
            orders=count(size),
        )


def _swaras(fresh: Fresh, size: int, setting: Setting, *, met: bool) -> Order:
    """So many swaras of a scale that is met, in the middle saptak, from low to high."""
    scale = scale_of(fresh.one_of(scales_met(setting)) if met else THATS[0])
    return tuple(scale[place] for place in sorted(fresh.shuffled(range(len(scale)))[:size]))


def _phrase(fresh: Fresh, swaras: Sequence[Swara]) -> list[Swara]:
    """All of them in so many strokes, none twice in a row."""
    phrase: list[Swara] = []
    for left in range(STROKES, 0, -1):
        unheard = [swara for swara in swaras if swara not in phrase]
        able = unheard if len(unheard) == left else [s for s in swaras if phrase[-1:] != [s]]
        phrase.append(fresh.one_of(able))
    return phrase


def _evenly(swaras: Sequence[Swara]) -> Line:
    """Two to a matra."""
    pairs = [swaras[at : at + 2] for at in range(0, len(swaras), 2)]
    return Line(tuple(Beat(tuple(map(Tone, pair)), SWARA_MATRAS * len(pair)) for pair in pairs))


def _product(size: int) -> str:
    """`4 x 3 x 2 x 1`."""
    return " x ".join(map(str, range(size, 0, -1)))
