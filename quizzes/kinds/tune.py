"""`tune`: one swara against the drone; is it in tune, high or low.

In tune means without beats against the drone, that is just, whatever tuning the student has set
for other questions. How far off the swara is played comes from the setting (`level`), which
follows the student's own threshold.
"""

from __future__ import annotations

from fractions import Fraction
from functools import partial

from audio.score import Drone, Score, Stroke
from audio.tuning import JUST, SWARAS, Swara, hz
from quizzes.errors import UnknownSkill
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.levels import Level
from quizzes.names import capital, counted, in_cents, ratio_text, swara_name
from quizzes.question import Choice, Mark, Question, Setting, Skill
from words import in_script, say, say_as, to_say

MEETING_ORDER = "P S' m G D R N g d n r M"

_SIDE = {"low": -1, "true": 0, "high": 1}
ANSWERS = tuple(_SIDE)

FIRST_LEVEL_CENTS = 40.0

COMMA_CENTS = 21.506
"""The comma 81/80 that separates the two shrutis of a swara (22-note list, Scala `indian.scl`)."""

COMMA_MARGIN_CENTS = 8.0

SA_MOVES_SEMITONES = 3.0

DRONE_LEVEL_DB = 5.0
"""The drone is what the swara is judged against: here it stands nearer than usual."""

STRINGS = {"P": Fraction(3, 4), "m": Fraction(2, 3), "N": Fraction(15, 16)}
"""What the tanpura's first string may be tuned to, as ratios to Sa."""

COUNTABLE_HZ = 10.0
"""Faster beats are heard as roughness (from memory; sources give 10 to 20 a second)."""


def first_string(swara: Swara) -> str:
    """Pa, unless Ma or Ni is at least twice as simple a consonance of the swara."""
    if swara.letter == "S":
        return "P"
    simple = {name: _complexity(_ratio(swara) / ratio) for name, ratio in STRINGS.items()}
    best = min(simple, key=simple.__getitem__)
    return best if 2 * simple[best] <= simple["P"] else "P"


def _complexity(ratio: Fraction) -> int:
    return ratio.numerator * ratio.denominator


def _ratio(swara: Swara) -> Fraction:
    ratio = JUST.ratio_of(swara)
    assert ratio is not None  # all twelve are ratios in just intonation
    return ratio


class TuneKind:
    name = "tune"
    title = to_say("One swara against the drone: in tune, high or low?")

    def skills(self) -> tuple[Skill, ...]:
        return tuple(_skill(Swara.read(text)) for text in MEETING_ORDER.split())

    def name_of(self, skill: str) -> str:
        return _name(asked(skill))

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        swara = asked(skill)
        fresh = Fresh(skill, seed)
        asked_cents = FIRST_LEVEL_CENTS if setting.level is None else setting.level
        level_cents = fair_level(swara, asked_cents)
        answer = fresh.one_of(ANSWERS)
        cue = Score(
            sa_hz=fresh.moved_sa(setting.sa_hz, semitones=SA_MOVES_SEMITONES),
            strokes=(
                fresh.stroke(
                    JUST.cents_of(swara) + _SIDE[answer] * level_cents,
                    onset_s=0.0,
                    duration_s=fresh.between(2.6, 3.4),
                ),
            ),
            drone=Drone(first_string(swara), DRONE_LEVEL_DB),
            # The ear settles into the drone first.
            lead_s=round(fresh.between(0.8, 1.2), 3),
        )
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("This is {swara}. Is it in tune with the drone?", swara=swara_name(swara)),
            choices=tuple(Choice(answer, _label(answer)) for answer in ANSWERS),
            right=(answer,),
            cue=cue,
            sargam=str(swara),
            detail={"level": level_cents},
        )

    def mark(self, question: Question, given: str) -> Mark:
        question.choice(given)
        return Mark(1.0 if given in question.right else 0.0)

    def explain(self, question: Question, given: str) -> Explanation:
        swara, level_cents = asked(question.skill), question.detail["level"]
        right = question.right[0]
        return Explanation(
            right_label=_label(right),
            given_label=_label(given),
            why=_describe(swara, right, level_cents, question.cue.sa_hz),
            right_cue=_plain(question, swara, _SIDE[right] * level_cents),
            given_cue=None
            if given == right
            else _plain(question, swara, _SIDE[given] * level_cents),
            right_written=in_script(question.sargam),
        )

    def level(self, skill: str) -> Level:
        swara = asked(skill)
        return Level(
            unit=to_say("cents"),
            finest=2.0,
            coarsest=60.0,
            typical=16.0,
            first=FIRST_LEVEL_CENTS,
            fair=partial(fair_level, swara),
            signal=("low", "high"),
            blank=("true",),
        )

    def several(self, count: int) -> str:
        return counted(count, "{number} swara to hear in tune", "{number} swaras to hear in tune")

    def introduce(self, question: Question) -> str:
        return say(
            "Listen to {swara} against the drone. In tune, the two are at rest; "
            "a little high or low, they beat.",
            swara=swara_name(asked(question.skill)),
        )


def asked(skill: str) -> Swara:
    """The swara of a skill id such as `tune:G`. Raises UnknownSkill."""
    kind, _, text = skill.partition(":")
    if kind != "tune" or text not in MEETING_ORDER.split():
        raise UnknownSkill(f"{skill!r} is not asked; write tune: and one of {MEETING_ORDER}")
    return Swara.read(text)


def fair_level(swara: Swara, level_cents: float) -> float:
    """The deviation nearest to the one asked for that no tradition calls in tune.

    Every swara but Sa and Pa has a second shruti a comma away; what lies close to it would be
    right to some ears. The same for both sides, so that the size does not tell the side.
    """
    if swara.letter in "SP":
        return level_cents
    low, high = COMMA_CENTS - COMMA_MARGIN_CENTS, COMMA_CENTS + COMMA_MARGIN_CENTS
    if low < level_cents < high:
        return round(low if level_cents - low < high - level_cents else high, 1)
    return level_cents


def _plain(question: Question, swara: Swara, off_cents: float) -> Score:
    stroke = Stroke(0.0, 3.0, ((0.0, JUST.cents_of(swara) + off_cents),))
    return Score(question.cue.sa_hz, (stroke,), question.cue.drone)


def _label(answer: str) -> str:
    return {
        "low": say_as("of a pitch", "Low"),
        "true": say("In tune"),
        "high": say_as("of a pitch", "High"),
    }[answer]


def _describe(swara: Swara, right: str, level_cents: float, sa_hz: float) -> str:
    told = {"swara": capital(swara_name(swara)), "ratio": ratio_text(_ratio(swara))}
    told["cents"] = in_cents(level_cents)
    if right == "true":
        return say(
            "{swara} stood at {ratio} of Sa, at rest in the drone. "
            "High or low would have been {cents} off.",
            **told,
        )
    string, beats_hz = nearest_beats(swara, _SIDE[right] * level_cents, sa_hz=sa_hz)
    told["sound"] = _sound(string, beats_hz)
    if right == "high":
        return say("{swara} was {cents} high of {ratio}: {sound}.", **told)
    return say("{swara} was {cents} low of {ratio}: {sound}.", **told)


def _sound(string: str, beats_hz: float) -> str:
    if beats_hz > COUNTABLE_HZ:
        return say("it is rough against {string}", string=string)
    return say("{beats} beats a second against {string}", beats=f"{beats_hz:.1f}", string=string)


def nearest_beats(swara: Swara, off_cents: float, *, sa_hz: float) -> tuple[str, float]:
    """The drone string against which a swara off its place beats first, and how often a second.

    Partial q of the swara and partial p of a string meet at the ratio p/q; the lower q, the
    stronger the two. The strings are the first one of the question's drone, Sa and low Sa.
    """
    first = first_string(swara)
    strings = {
        say("the string of {swara}", swara=swara_name(Swara.read(first))): STRINGS[first],
        swara_name(Swara(0)): Fraction(1),
        say("low Sa"): Fraction(1, 2),
    }
    meeting = {name: _ratio(swara) / ratio for name, ratio in strings.items()}
    string = min(meeting, key=lambda name: (meeting[name].denominator, meeting[name].numerator))
    true_hz = hz(JUST.cents_of(swara), sa_hz=sa_hz)
    off_hz = abs(hz(off_cents, sa_hz=true_hz) - true_hz)
    return string, off_hz * meeting[string].denominator


def _name(swara: Swara) -> str:
    return say("{swara} in tune", swara=swara_name(swara))


def _skill(swara: Swara) -> Skill:
    return Skill(
        id=f"tune:{swara}",
        kind="tune",
        name=_name(swara),
        family="perception",
        cluster="tune",
        chance=1 / 3,
        seconds=11.0,
    )


assert {text[0] for text in MEETING_ORDER.split()} == set(SWARAS)
