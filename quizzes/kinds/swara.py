"""`swara`: one note over the drone; which swara is it, and in which saptak."""

from __future__ import annotations

from fractions import Fraction

from audio.score import Drone, Score
from audio.tuning import SWARAS, Swara, Tuning, load_tuning
from quizzes.errors import UnknownSkill
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh, plain_strokes
from quizzes.names import capital, counted, in_cents, in_letters, ratio_text, swara_name
from quizzes.question import Choice, Mark, Question, Setting, Skill
from words import say, to_say

MEETING_ORDER = "S P m G R D N g n r d M"
"""Sa and Pa first, then by consonance with Sa (common practice in first lessons)."""

MANDRA, TAR = "N, D, P, n, d, M, m,", "S' R' G' r' g' m' M' P'"
"""The reach of the playing string, from its open Ma, beyond the middle saptak."""

SA_MOVES_SEMITONES = 2.0
SEVERAL_DRONES_FROM = 7
"""Once so many swaras are met, the drone's first string varies; it never follows the answer."""

SA = Swara(0)


BY_EAR = {
    1: to_say("It leans on Sa from close above and wants to sink back into it."),
    2: to_say("It stands one step above Sa, light, ready to go on or to come back."),
    3: to_say("It is soft and shaded; Ga, a little higher, is brighter."),
    4: to_say("It is bright and at ease over the drone."),
    5: to_say("It is broad and firm, as if it were a ground of its own."),
    6: to_say("It is keen and restless and pulls up to Pa."),
    7: to_say("It stands open and quiet beside Sa: the two hardly beat."),
    8: to_say("It leans heavily on Pa from close above."),
    9: to_say("It is clear and lifted, one step above Pa."),
    10: to_say("It hangs open beneath Sa, a whole step away, and does not press on."),
    11: to_say("It lies so close beneath Sa that it pulls up into it."),
}
"""How a swara sounds over the drone, for who hears it for the first time, by semitones above Sa
(common practice)."""


class SwaraKind:
    name = "swara"
    title = to_say("One swara over the drone: which is it?")

    def skills(self) -> tuple[Skill, ...]:
        texts = f"{MEETING_ORDER} {MANDRA} {TAR}".split()
        return tuple(_skill(Swara.read(text)) for text in texts)

    def name_of(self, skill: str) -> str:
        return swara_name(asked(skill))

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        swara = asked(skill)
        fresh = Fresh(skill, seed)
        tuning = load_tuning(setting.tuning)
        offered = self._offered(swara, setting)
        drones = ("P", "P", "P", "m", "N") if len(offered) >= SEVERAL_DRONES_FROM else ("P",)
        stroke = fresh.stroke(
            tuning.cents_of(swara), onset_s=0.0, duration_s=fresh.between(1.6, 2.4)
        )
        cue = Score(
            sa_hz=fresh.moved_sa(setting.sa_hz, semitones=SA_MOVES_SEMITONES),
            strokes=(stroke,),
            drone=Drone(fresh.one_of(drones)),
            lead_s=round(fresh.between(0.1, 0.4), 3),
        )
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("Which swara is this?"),
            choices=tuple(Choice(str(s), capital(swara_name(s)), f"swara:{s}") for s in offered),
            right=(str(swara),),
            cue=cue,
            sargam=str(swara),
            answer_on="string",
        )

    def _offered(self, swara: Swara, setting: Setting) -> list[Swara]:
        """The frets that may be touched: what is met so far, and never fewer than two."""
        met = {asked(skill) for skill in setting.met if skill.startswith("swara:")} | {swara}
        for first in (SA, Swara.read("P")):
            if len(met) < 2:
                met.add(first)
        return sorted(met, key=lambda s: s.steps)

    def mark(self, question: Question, given: str) -> Mark:
        choice = question.choice(given)
        if given in question.right:
            return Mark(1.0)
        return Mark(0.0, heard=choice.skill)

    def explain(self, question: Question, given: str) -> Explanation:
        tuning = load_tuning(question.setting.tuning)
        right, answered = Swara.read(question.right[0]), Swara.read(given)
        why = describe(right, tuning)
        if answered != right:
            why += f" {_beside(right, answered, tuning)}"
        return Explanation(
            right_label=capital(swara_name(right)),
            given_label=capital(swara_name(answered)),
            why=why,
            right_cue=self._beside_sa(question, right, tuning),
            given_cue=None if answered == right else self._beside_sa(question, answered, tuning),
            right_written=_written(right),
            given_written="" if answered == right else _written(answered),
        )

    def _beside_sa(self, question: Question, swara: Swara, tuning: Tuning) -> Score:
        strokes = plain_strokes(_from_sa(swara), tuning)
        return Score(question.cue.sa_hz, strokes, question.cue.drone)

    def level(self, skill: str) -> None:
        return None

    def several(self, count: int) -> str:
        return counted(count, "{number} swara", "{number} swaras")

    def introduce(self, question: Question) -> str:
        swara = Swara.read(question.right[0])
        tuning = load_tuning(question.setting.tuning)
        told = [say("This is {swara}.", swara=swara_name(swara))]
        if swara.octave == 0 and swara.semitone:  # Sa is told by itself
            told.append(say(BY_EAR[swara.semitone]))
        told.append(describe(swara, tuning))
        if swara.semitone:
            told.append(say("A hundred cents make a semitone."))
        return " ".join(told)


def asked(skill: str) -> Swara:
    """The swara of a skill id such as `swara:N,`. Raises UnknownSkill."""
    kind, _, text = skill.partition(":")
    known = f"{MEETING_ORDER} {MANDRA} {TAR}".split()
    if kind != "swara" or text not in known:
        raise UnknownSkill(f"{skill!r} is not asked; write swara: and one of {' '.join(known)}")
    return Swara.read(text)


def _from_sa(swara: Swara) -> tuple[Swara, ...]:
    """How a swara is explained: after Sa."""
    return (swara,) if swara == SA else (SA, swara)


def _written(swara: Swara) -> str:
    return in_letters(_from_sa(swara))


def _skill(swara: Swara) -> Skill:
    return Skill(
        id=f"swara:{swara}",
        kind="swara",
        name=swara_name(swara),
        family="perception",
        # A swara is taken for its neighbours and for itself in another saptak.
        cluster=f"swara {swara.semitone // 4}",
        chance=0.15,
        seconds=9.0,
    )


def _beside(right: Swara, answered: Swara, tuning: Tuning) -> str:
    """How far from the right swara the one lies that was answered."""
    distance = tuning.cents_of(answered) - tuning.cents_of(right)
    name, cents = capital(swara_name(answered)), in_cents(abs(distance))
    if distance > 0:
        return say("{swara} is {cents} above it.", swara=name, cents=cents)
    return say("{swara} is {cents} below it.", swara=name, cents=cents)


def describe(swara: Swara, tuning: Tuning) -> str:
    """Where a swara lies: its ratio and cents to Sa, and a fifth by which to find it."""
    name, ratio = capital(swara_name(swara)), tuning.ratio_of(swara)
    if swara == SA:
        return say("Sa is the drone's own note: it melts into it, nothing pulls.")
    if swara.semitone == 0 and swara.octave > 0:
        return say("{swara} is one octave above Sa, 2/1: the same swara again.", swara=name)
    if swara.semitone == 0:
        return say("{swara} is one octave below Sa, 2/1: the same swara again.", swara=name)
    where = _from_sa_in_cents(tuning.cents_of(swara))
    if ratio is not None:
        where = say("{ratio} of Sa, {where}", ratio=ratio_text(ratio), where=where)
        where = _by_a_fifth(swara, ratio, tuning, where)
    return say("{swara} is {where}.", swara=name, where=where)


def _from_sa_in_cents(cents: float) -> str:
    if cents > 0:
        return say("{cents} above Sa", cents=in_cents(cents))
    return say("{cents} below Sa", cents=in_cents(-cents))


def _by_a_fifth(swara: Swara, ratio: Fraction, tuning: Tuning, where: str) -> str:
    """Where a swara lies, with the pure fifth that leads to it, if the scale has one."""
    if ratio == Fraction(3, 2):
        return say("{where}, a pure fifth", where=where)
    for steps, step_ratio in ((-7, Fraction(2, 3)), (7, Fraction(3, 2))):
        other = Swara.at(swara.steps + steps)
        if other.octave not in (-1, 0, 1) or tuning.ratio_of(other) != ratio * step_ratio:
            continue
        name = swara_name(other)
        if steps < 0:
            return say("{where}, a pure fifth above {swara}", where=where, swara=name)
        return say("{where}, a pure fifth below {swara}", where=where, swara=name)
    return where


assert set(MEETING_ORDER.split()) == set(SWARAS)
