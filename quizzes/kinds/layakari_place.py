"""`layakari:start:jhaptal:tigun`, `layakari:takes:jhaptal:tigun`: a theka is said once in a
layakari: after how many matras of the cycle must it begin to reach sam, or how many does it take?

Asked are talas of the surest forms: in whole numbers of notes to a matra as syllabi have them, in
others only where what comes out is whole.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from fractions import Fraction

from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import LEVEL_SPREAD_DB, Fresh
from quizzes.kinds.layakari_answers import PLACES, Ways, drawn, wrong_ways
from quizzes.kinds.layakari_sound import (
    TEMPOS,
    Said,
    fastest,
    from_where,
    placed,
    question_cue,
    thah_before,
)
from quizzes.kinds.layakari_way import LayakariWay
from quizzes.kinds.layakari_words import divided, into, takes_told, taught_otherwise
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.talas.asking import SUREST, asked_talas, shipped_tala
from quizzes.talas.cues import SA_MOVES_SEMITONES, drawn_tempo
from quizzes.talas.cycle import in_figures, mixed
from quizzes.talas.hearing import LEAD_S
from quizzes.talas.layakari import Layakari, begins, layakaris, takes
from quizzes.talas.tala import Tala, ThekaText
from quizzes.talas.tradition import talas
from quizzes.talas.wording import at_place
from quizzes.wheel import Span, Turning, Wheel
from words import say, to_say

RESTS, LONG_RESTS = (1, 2, 3), (4, 5)

Measure = Callable[[int, Fraction], Fraction]
"""From the matras of a cycle and a ratio to what is asked."""


class PlaceWay(LayakariWay):
    """What both ways share; each says what it measures, and how that is put."""

    measure: Measure
    confused_with: Measure
    said_of: str
    """The name of a skill, to be said."""
    seconds: float

    def asks_of(self, tala: Tala, layakari: Layakari) -> bool:
        """Whether what comes out is of interest."""
        raise NotImplementedError

    def skills(
        self, known: Mapping[str, Tala], ratios: Mapping[str, Layakari]
    ) -> tuple[Skill, ...]:
        surest = [one for one in asked_talas(known).values() if one.confidence == SUREST]
        return tuple(
            Skill(
                id=f"layakari:{self.asks}:{tala.id}:{layakari.id}",
                kind="layakari",
                name=self._name(tala, layakari),
                family="facts",
                cluster=f"layakari: {self.asks} in {tala.id}",
                chance=1 / PLACES,
                seconds=self.seconds,
            )
            for layakari in ratios.values()
            for tala in surest
            if layakari.ratio > 1
            and self.asks_of(tala, layakari)
            and len(self._ways(tala, layakari, ratios.values())) == PLACES
        )

    def name_of(self, skill: str) -> str:
        parts, ratios = skill.split(":"), layakaris()
        if len(parts) != 4 or parts[3] not in ratios:
            raise not_asked(skill, "layakari")
        return self._name(shipped_tala(parts[2], skill), ratios[parts[3]])

    def _name(self, tala: Tala, layakari: Layakari) -> str:
        return say(self.said_of, layakari=layakari.called, tala=tala.called)

    def prompt(self, tala: Tala, layakari: Layakari) -> str:
        raise NotImplementedError

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        fresh = Fresh(skill, seed)
        tala, layakari = self._asked(skill, setting)
        theka = fresh.one_of(_all_laya(tala))
        tempo = min(drawn_tempo(fresh, *TEMPOS), fastest(theka, layakari.ratio))
        said = Said(tala, theka, layakari.ratio, tempo)
        right = self.measure(tala.matras, layakari.ratio)
        ways = self._ways(tala, layakari, layakaris(setting.tradition).values())
        offered = drawn(fresh, right, ways)
        cue = question_cue(
            fresh,
            said,
            _rest(fresh, tala, offered),
            sa_hz=fresh.moved_sa(setting.sa_hz, semitones=SA_MOVES_SEMITONES),
            lead_s=round(fresh.between(0.1, 0.4), 3),
            level_db=round(fresh.between(-LEVEL_SPREAD_DB, LEVEL_SPREAD_DB), 2),
        )
        return Question(
            kind="layakari",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=self.prompt(tala, layakari),
            choices=tuple(Choice(str(one), in_figures(one)) for one in offered),
            right=(str(right),),
            cue=cue,
            sargam=f"{tala.id} in thah / once in {layakari.id}: {theka.bols}",
            detail={
                "theka": theka.bols,
                "tempo": str(tempo),
                "ratio": str(layakari.ratio),
            },
            wheel=Wheel(tala.form),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        tala, layakari = self._asked(question.skill, question.setting)
        detail, right = question.detail, question.right[0]
        said = Said(
            tala,
            tala.theka_of(detail["theka"]),
            Fraction(detail["ratio"]),
            Fraction(detail["tempo"]),
        )
        place = begins(tala.matras, said.ratio, cycle=tala.matras)
        return Explanation(
            right_label=question.choice(right).label,
            given_label=question.choice(given).label,
            why=" ".join(
                [
                    takes_told(layakari, said),
                    *self.more_of(said, place),
                    *([] if given == right else [self.slip(said, place, Fraction(given))]),
                    *taught_otherwise(layakari),
                ]
            ),
            right_cue=placed(said, place, sa_hz=question.cue.sa_hz, lead_s=LEAD_S),
            given_cue=None
            if given == right
            else placed(
                said, self.place_of(Fraction(given), tala), sa_hz=question.cue.sa_hz, lead_s=LEAD_S
            ),
            given_plays="" if given == right else self.plays(Fraction(given)),
            wheel=_wheel(said, place, layakari.called),
        )

    def place_of(self, answer: Fraction, tala: Tala) -> Fraction:
        """Where it would begin if an answer were right."""
        raise NotImplementedError

    def plays(self, answer: Fraction) -> str:
        """What is heard of a wrong answer."""
        raise NotImplementedError

    def more_of(self, said: Said, place: Fraction) -> list[str]:
        """What follows from how long it takes, in sentences."""
        return []

    def slip(self, said: Said, place: Fraction, answer: Fraction) -> str:
        """What is wrong with an answer, as a sentence."""
        raise NotImplementedError

    def introduce(self, question: Question) -> str:
        tala, layakari = self._asked(question.skill, question.setting)
        return say(
            "In {layakari} {number} matras go into {others}. Said so once, the theka of {tala} "
            "takes {matras} divided by {ratio}, that is {takes} matras. What is left of the cycle "
            "comes before: to reach sam it begins after {begins}.",
            **into(layakari, layakari.ratio),
            **divided(tala.matras, layakari.ratio),
            tala=tala.called,
            begins=mixed(begins(tala.matras, layakari.ratio, cycle=tala.matras)),
        )

    def _asked(self, skill: str, setting: Setting) -> tuple[Tala, Layakari]:
        """Of which tala and layakari a skill asks. Raises UnknownSkill."""
        known, ratios = talas(setting.tradition), layakaris(setting.tradition)
        parts = skill.split(":")[2:]
        if len(parts) != 2 or parts[0] not in known or parts[1] not in ratios:
            raise not_asked(skill, "layakari")
        return known[parts[0]], ratios[parts[1]]

    def _ways(self, tala: Tala, layakari: Layakari, ratios: Iterable[Layakari]) -> Ways:
        """The wrong answers that may stand beside the right one."""
        return wrong_ways(
            self.measure(tala.matras, layakari.ratio),
            confused=self.confused_with(tala.matras, layakari.ratio),
            others=tuple(self.measure(tala.matras, each.ratio) for each in ratios),
            cycle=tala.matras,
            taught=self._taught(tala, layakari),
        )

    def _taught(self, tala: Tala, layakari: Layakari) -> frozenset[Fraction]:
        """What somebody holds right."""
        return frozenset(
            self.measure(form.matras, ratio) for form in tala.forms for ratio in layakari.ratios
        )


class StartWay(PlaceWay):
    asks = "start"
    said_of = to_say("where {layakari} of {tala} begins")
    seconds = 26.0

    def prompt(self, tala: Tala, layakari: Layakari) -> str:
        return say(
            "The theka of {tala} is said once in {layakari} ({number} of its matras in {others}). "
            "After how many matras of the cycle must it begin to reach sam?",
            tala=tala.called,
            **into(layakari, layakari.ratio),
        )

    def asks_of(self, tala: Tala, layakari: Layakari) -> bool:
        whole = takes(tala.matras, layakari.ratio).denominator == 1
        return layakari.ratio.denominator == 1 or whole

    @staticmethod
    def measure(matras: int, ratio: Fraction) -> Fraction:
        return begins(matras, ratio, cycle=matras)

    @staticmethod
    def confused_with(matras: int, ratio: Fraction) -> Fraction:
        return takes(matras, ratio)

    def place_of(self, answer: Fraction, tala: Tala) -> Fraction:
        return answer

    def plays(self, answer: Fraction) -> str:
        return say("begun there: hear where the high Sa, sam, falls")

    def more_of(self, said: Said, place: Fraction) -> list[str]:
        told = say(
            "{cycle} less {takes} is {left}: it begins {place}.",
            cycle=said.tala.matras,
            takes=mixed(said.takes),
            left=mixed(place),
            place=at_place(place),
        )
        return [told]

    def slip(self, said: Said, place: Fraction, answer: Fraction) -> str:
        if answer == said.takes:
            return say("{matras} is how long it takes, not where it begins.", matras=mixed(answer))
        told = {"matras": mixed(answer), "off": in_figures(abs(answer - place))}
        if answer > place:
            return say("Begun after {matras}, it ends {off} after sam.", **told)
        return say("Begun after {matras}, it ends {off} before sam.", **told)


class TakesWay(PlaceWay):
    asks = "takes"
    said_of = to_say("how long {layakari} of {tala} takes")
    seconds = 22.0

    def prompt(self, tala: Tala, layakari: Layakari) -> str:
        return say(
            "The theka of {tala} is said once in {layakari} ({number} of its matras in {others}). "
            "How many matras does it take?",
            tala=tala.called,
            **into(layakari, layakari.ratio),
        )

    def asks_of(self, tala: Tala, layakari: Layakari) -> bool:
        """Where it takes as long as is left before it, `start` asks the same."""
        lasts = takes(tala.matras, layakari.ratio)
        return layakari.ratio.denominator == 1 and 2 * lasts != tala.matras

    @staticmethod
    def measure(matras: int, ratio: Fraction) -> Fraction:
        return takes(matras, ratio)

    @staticmethod
    def confused_with(matras: int, ratio: Fraction) -> Fraction:
        return begins(matras, ratio, cycle=matras)

    def place_of(self, answer: Fraction, tala: Tala) -> Fraction:
        return tala.matras - answer

    def plays(self, answer: Fraction) -> str:
        return say(
            "begun {matras} before sam: hear where the high Sa, sam, falls",
            matras=in_figures(answer),
        )

    def slip(self, said: Said, place: Fraction, answer: Fraction) -> str:
        if answer == place:
            return say("{matras} is what is left of the cycle before it.", matras=mixed(answer))
        told = {"matras": mixed(answer), "off": mixed(abs(answer - said.takes))}
        if answer > said.takes:
            return say("{matras} is {off} too much.", **told)
        return say("{matras} is {off} too little.", **told)


def _all_laya(tala: Tala) -> tuple[ThekaText, ...]:
    """Its thekas that are for all classes of laya; those of one class where there are none."""
    return tuple(theka for theka in tala.thekas if not theka.laya) or tala.thekas[:1]


def _rest(fresh: Fresh, tala: Tala, offered: Sequence[Fraction]) -> int:
    """So many matras the string counts alone, such that the cue begins at no place offered."""
    before = thah_before(tala)
    for rests in (RESTS, LONG_RESTS):
        free = [rest for rest in rests if before + rest not in offered]
        if free:
            return fresh.one_of(free)
    raise ValueError(f"more than {PLACES} are offered: {offered}")


def _wheel(said: Said, place: Fraction, name: str) -> Wheel:
    begin = from_where(said, place)
    turning = Turning(
        LEAD_S, Fraction(begin), Fraction(said.tala.matras - begin + 1), said.matras_per_min
    )
    return Wheel(said.tala.form, turning=turning, spans=(Span(place, said.takes, "phrase", name),))
