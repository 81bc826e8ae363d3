"""`shade`: the same swara treated in different ways, and two ragas told apart by that alone."""

from __future__ import annotations

from audio.tuning import load_tuning
from quizzes.errors import UnknownSkill
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.shade_sound import Treated, played, slowly
from quizzes.kinds.shade_words import (
    LABELS,
    moves_of,
    name_of_pair,
    name_of_swara,
    why_pair,
    why_swara,
)
from quizzes.levels import Level
from quizzes.names import capital, counted, swara_name
from quizzes.phrases import fresh_phrase, ladder_of, phrase_around
from quizzes.question import Choice, Mark, Question, Setting, Skill
from quizzes.shades import Pair, Shaded, shades
from words import in_script, say, to_say

TEMPO = 50.0, 62.0
"""Slow enough for two swings on one stroke."""
PLAIN_STROKES = 3
TURNS = (2, 3, 4)
"""Whole swings on the stroke, so that a swing leaves the mean pitch where it is."""

LOW_DEPTH_SHARES = 0.5, 0.65
"""How deep a low swara swings, as a share of the way down to the swara below (an assumption). So it
never reaches that swara, nor its own place (`LOW_SHARE`), and follows no level."""

FINEST_CENTS, COARSEST_CENTS, TYPICAL_CENTS = 30.0, 130.0, 60.0
"""How deep the swing about a swara's place is asked, from its lowest to its highest point."""
FIRST_LEVEL_CENTS = 110.0
PAIR_CENTS = 60.0, 120.0
"""How deep it is, drawn at random, where ragas are told apart."""


class ShadeKind:
    name = "shade"
    title = to_say("One swara, still or swung, low or drawn: how is it treated?")

    def skills(self) -> tuple[Skill, ...]:
        known = shades()
        return (
            *(_swara_skill(shaded) for shaded in known.swaras.values()),
            *(_pair_skill(pair) for pair in known.pairs.values()),
        )

    def name_of(self, skill: str) -> str:
        of = asked(skill)
        return name_of_pair(of) if isinstance(of, Pair) else name_of_swara(of)

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        of = asked(skill)
        treated, right = _drawn(skill, seed, setting)
        name = swara_name(treated.swara)
        if isinstance(of, Pair):
            swung, still = say(of.swung), say(of.still)
            prompt = say(
                "{swung} or {still}? Listen to the long note, {swara}.",
                swung=swung,
                still=still,
                swara=name,
            )
            choices = [Choice("swung", swung), Choice("still", still)]
        else:
            prompt = say("The long note is {swara}. How is it treated?", swara=name)
            choices = [Choice(how, say(LABELS[how])) for how in of.treatments]
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=prompt,
            choices=tuple(choices),
            right=(right,),
            cue=played(treated, right, load_tuning(setting.tuning)),
            sargam=treated.phrase.written(treated.beat(right)),
            detail={} if self.level(skill) is None else {"level": treated.depth_cents},
        )

    def mark(self, question: Question, given: str) -> Mark:
        question.choice(given)
        return Mark(1.0 if given in question.right else 0.0)

    def explain(self, question: Question, given: str) -> Explanation:
        of, right = asked(question.skill), question.right[0]
        treated, _ = _drawn(question.skill, question.seed, question.setting)
        tuning = load_tuning(question.setting.tuning)
        slow = slowly(treated)
        return Explanation(
            right_label=question.choice(right).label,
            given_label=question.choice(given).label,
            why=why_pair(of, treated, right)
            if isinstance(of, Pair)
            else why_swara(of, treated, right, given),
            right_cue=played(slow, right, tuning),
            given_cue=None if given == right else played(slow, given, tuning),
            right_written=in_script(question.sargam),
        )

    def level(self, skill: str) -> Level | None:
        of = asked(skill)
        if isinstance(of, Pair) or "swung" not in of.treatments:
            return None
        return Level(
            unit=to_say("cents"),
            finest=FINEST_CENTS,
            coarsest=COARSEST_CENTS,
            typical=TYPICAL_CENTS,
            first=FIRST_LEVEL_CENTS,
            signal=("swung",),
            blank=("still",),
        )

    def several(self, count: int) -> str:
        return counted(
            count, "{number} swara in different shades", "{number} swaras in different shades"
        )

    def introduce(self, question: Question) -> str:
        of, right = asked(question.skill), question.right[0]
        treated, _ = _drawn(question.skill, question.seed, question.setting)
        if isinstance(of, Pair):
            same = say(
                "{one} and {other} have the same notes.", one=say(of.swung), other=say(of.still)
            )
            return f"{same} {why_pair(of, treated, right)}"
        first, *others = (moves_of(how, treated) for how in of.treatments if how != right)
        for other in others:
            first = say("{before}, or {last}", before=first, last=other)
        return say(
            "{swara} is not the same in every raga. Here it {moves}; elsewhere it {others}.",
            swara=capital(swara_name(treated.swara)),
            moves=moves_of(right, treated),
            others=first,
        )


def asked(skill: str) -> Shaded | Pair:
    """What a skill id such as `shade:r` or `shade:bhairav-kalingada` asks. Raises UnknownSkill."""
    kind, _, rest = skill.partition(":")
    known = shades()
    if kind == "shade" and rest in known.swaras:
        return known.swaras[rest]
    if kind == "shade" and rest in known.pairs:
        return known.pairs[rest]
    raise UnknownSkill(
        f"{skill!r} is not asked; write shade: and one of {' '.join((*known.swaras, *known.pairs))}"
    )


def _drawn(skill: str, seed: int, setting: Setting) -> tuple[Treated, str]:
    """Everything that is drawn for a question, and its right answer."""
    of, fresh = asked(skill), Fresh(skill, seed)
    if isinstance(of, Pair):
        right = fresh.one_of(("swung", "still"))
        shown = fresh.one_of(of.phrases)
        phrase = phrase_around(fresh, setting.sa_hz, shown.around, shown.place, tempo=TEMPO)
        swara, touch, depth = shown.swara, of.touch, round(fresh.between(*PAIR_CENTS), 1)
        below = above = swara  # no pair is told by what a swara is drawn from
    else:
        right = fresh.one_of(tuple(of.treatments))
        swara, touch = of.swara, None
        depth = FIRST_LEVEL_CENTS if setting.level is None else setting.level
        ladder = ladder_of(fresh.one_of(of.scales))
        below, _, above = ladder[(at := ladder.index(swara)) - 1 : at + 2]
        phrase = fresh_phrase(
            fresh,
            setting.sa_hz,
            ladder,
            swara,
            count=PLAIN_STROKES,
            may_end=False,
            tempo=TEMPO,
        )
    rate_hz = round(fresh.one_of(TURNS) / phrase.length_s, 6)
    share = round(fresh.between(*LOW_DEPTH_SHARES), 3)
    return Treated(phrase, swara, below, above, touch, depth, share, rate_hz), right


def _swara_skill(shaded: Shaded) -> Skill:
    return Skill(
        id=f"shade:{shaded.swara}",
        kind="shade",
        name=name_of_swara(shaded),
        family="perception",
        cluster="shade",
        chance=1.0 / len(shaded.treatments),
        seconds=14.0,
    )


def _pair_skill(pair: Pair) -> Skill:
    return Skill(
        id=f"shade:{pair.id}",
        kind="shade",
        name=name_of_pair(pair),
        family="perception",
        cluster="shade raga",
        chance=0.5,
        seconds=15.0,
    )
