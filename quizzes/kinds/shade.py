"""`shade`: the same swara treated in different ways, and two ragas told apart by that alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from audio.bending import Held, path_of
from audio.line import Beat, Tone
from audio.ornaments import KAN, MEEND_DOWN, MEEND_UP, Hand
from audio.score import Breakpoint, Score
from audio.tuning import Swara, Tuning, load_tuning
from quizzes.errors import UnknownSkill
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.left_hand import PARTS, joined
from quizzes.levels import Level
from quizzes.names import capital, counted, swara_name
from quizzes.phrases import MATRAS, Phrase, fresh_phrase, ladder_of, phrase_around
from quizzes.question import Choice, Mark, Question, Setting, Skill
from quizzes.shades import LOW_SHARE, Pair, Shaded, shades

LABELS = {
    "still": "Held still",
    "swung": "Swung slowly about its place",
    "low": "Drawn up from below, then low and swung",
    "above": "Drawn down from above, then held still",
}

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

DRAWN_PARTS = 2
DRAWN_SHARE = DRAWN_PARTS / PARTS
"""So much of the stroke a swara that is drawn from another takes until it is there."""
_GLIDE_SHARE = 0.75
KAN_S = 0.08


@dataclass(frozen=True, slots=True)
class Treated:
    """A swara at its place in a phrase, with its neighbours and all that is needed to treat it."""

    phrase: Phrase
    swara: Swara
    below: Swara
    above: Swara
    touch: Swara | None
    depth_cents: float
    """Of a swing about its place."""
    low_depth_share: float
    """Of a swing under its place, as a share of the way down to the swara below."""
    rate_hz: float

    def beat(self, how: str) -> Beat:
        """The stroke in writing, as near to its treatment as writing comes."""
        swung = "andolan" if how in ("swung", "low") else ""
        if how == "low":
            return joined(self.below, MEEND_UP, self.swara, DRAWN_PARTS, sway=swung)
        if how == "above":
            return joined(self.above, MEEND_DOWN, self.swara, DRAWN_PARTS)
        touches = (self.touch,) if self.touch and how == "swung" else ()
        return Beat((Tone(self.swara, "", touches, swung),), MATRAS)


class ShadeKind:
    name = "shade"
    title = "One swara, still or swung, low or drawn: how is it treated?"

    def skills(self) -> tuple[Skill, ...]:
        known = shades()
        return (
            *(_swara_skill(shaded) for shaded in known.swaras.values()),
            *(_pair_skill(pair) for pair in known.pairs.values()),
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        of = asked(skill)
        treated, right = _drawn(skill, seed, setting)
        name = swara_name(treated.swara)
        if isinstance(of, Pair):
            prompt = f"{of.swung} or {of.still}? Listen to the long note, {name}."
            choices = [Choice("swung", of.swung), Choice("still", of.still)]
        else:
            prompt = f"The long note is {name}. How is it treated?"
            choices = [Choice(how, LABELS[how]) for how in of.treatments]
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=prompt,
            choices=tuple(choices),
            right=(right,),
            cue=_played(treated, right, load_tuning(setting.tuning)),
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
        slow = _slowly(treated)
        return Explanation(
            right_label=question.choice(right).label,
            given_label=question.choice(given).label,
            why=_why_pair(of, treated, right)
            if isinstance(of, Pair)
            else _why_swara(of, treated, right, given),
            right_cue=_played(slow, right, tuning),
            given_cue=None if given == right else _played(slow, given, tuning),
        )

    def level(self, skill: str) -> Level | None:
        of = asked(skill)
        if isinstance(of, Pair) or "swung" not in of.treatments:
            return None
        return Level(
            unit="cents",
            finest=FINEST_CENTS,
            coarsest=COARSEST_CENTS,
            typical=TYPICAL_CENTS,
            first=FIRST_LEVEL_CENTS,
            signal=("swung",),
            blank=("still",),
        )

    def several(self, count: int) -> str:
        return f"{counted(count, 'swara')} in different shades"

    def introduce(self, question: Question) -> str:
        of, right = asked(question.skill), question.right[0]
        treated, _ = _drawn(question.skill, question.seed, question.setting)
        if isinstance(of, Pair):
            return f"{of.swung} and {of.still} have the same notes. {_why_pair(of, treated, right)}"
        ways = ", or ".join(_moves(how, treated) for how in of.treatments if how != right)
        return (
            f"{capital(swara_name(treated.swara))} is not the same in every raga. "
            f"Here it {_moves(right, treated)}; elsewhere it {ways}."
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


def _slowly(treated: Treated) -> Treated:
    """As an explanation plays it: more swings of the same pace, on a longer stroke."""
    return replace(treated, phrase=treated.phrase.explained())


def _played(treated: Treated, how: str, tuning: Tuning) -> Score:
    hand = Hand(
        andolan_hz=treated.rate_hz,
        andolan_cents=treated.depth_cents,
        kan_s=KAN_S,
        meend_s=round(_GLIDE_SHARE * DRAWN_SHARE * treated.phrase.length_s, 4),
    )
    path = _path(treated, how, tuning, hand)
    return treated.phrase.cue(treated.beat(how), tuning, hand, path=path)


def _path(treated: Treated, how: str, tuning: Tuning, hand: Hand) -> Sequence[Breakpoint]:
    """The pitch of the stroke under one treatment."""
    place, length_s = tuning.cents_of(treated.swara), treated.phrase.length_s
    drawn_s, rest_s = DRAWN_SHARE * length_s, (1.0 - DRAWN_SHARE) * length_s
    if how == "still":
        return path_of([Held(place, length_s)], [], hand=hand)
    if how == "above":
        from_cents = tuning.cents_of(treated.above)
        held = [Held(from_cents, drawn_s), Held(place, rest_s)]
        return path_of(held, [MEEND_DOWN], hand=hand)
    if how == "low":
        from_cents = tuning.cents_of(treated.below)
        way = place - from_cents
        low_hand = replace(hand, andolan_cents=treated.low_depth_share * way)
        held = [Held(from_cents, drawn_s), Held(place - LOW_SHARE * way, rest_s, "andolan")]
        return path_of(held, [MEEND_UP], hand=low_hand)
    if treated.touch is None:
        return path_of([Held(place, length_s, "andolan")], [], hand=hand)
    touched = Held(tuning.cents_of(treated.touch), hand.kan_s)
    swung = Held(place, length_s - hand.kan_s, "andolan")
    return path_of([touched, swung], [KAN], hand=hand)


def _moves(how: str, treated: Treated) -> str:
    """What the swara does, as a sentence goes on after its name."""
    return {
        "still": "is held still",
        "swung": "swings slowly about its place",
        "low": f"is drawn up from {swara_name(treated.below)} and swings low, under its place",
        "above": f"is drawn down from {swara_name(treated.above)} and then held still",
    }[how]


def _why_swara(of: Shaded, treated: Treated, right: str, given: str) -> str:
    name, moves = capital(swara_name(treated.swara)), _moves(right, treated)
    as_in = "as many teach it in" if _from_memory(of, right) else "as in"
    why = f"{name} {moves}, {as_in} {_ragas(of, treated, right)}."
    if given != right:
        told = "Many teach that in" if _from_memory(of, given) else "In"
        why += f" {told} {_ragas(of, treated, given)} it {_moves(given, treated)}."
    if "low" in (right, given):
        return f"{why} How low it lies and how wide it swings differ from teacher to teacher."
    if "swung" in (right, given):
        return f"{why} How wide it swings differs from teacher to teacher."
    return why


def _from_memory(of: Shaded, how: str) -> bool:
    return of.treatments[how].confidence == "C"


def _ragas(of: Shaded, treated: Treated, how: str) -> str:
    """Those that treat the swara so and hold all that is heard; the data give one at the least."""
    swaras = [*treated.phrase.around, treated.swara]
    swaras += {"low": [treated.below], "above": [treated.above]}.get(how, [])
    letters, notes = {swara.letter for swara in swaras}, shades().notes
    return " and ".join(raga for raga in of.treatments[how].ragas if letters <= notes[raga])


def _why_pair(of: Pair, treated: Treated, right: str) -> str:
    name = swara_name(treated.swara)
    swung = "swings slowly about its place"
    if treated.touch is not None:
        swung = f"is touched by {swara_name(treated.touch)} and {swung}"
    if right == "swung":
        return f"{capital(name)} {swung}: {of.swung}. In {of.still} it is held still."
    return f"{capital(name)} is held still: {of.still}. In {of.swung} it {swung}."


def _swara_skill(shaded: Shaded) -> Skill:
    return Skill(
        id=f"shade:{shaded.swara}",
        kind="shade",
        name=f"how {swara_name(shaded.swara)} is treated",
        family="perception",
        cluster="shade",
        chance=1.0 / len(shaded.treatments),
        seconds=14.0,
    )


def _pair_skill(pair: Pair) -> Skill:
    return Skill(
        id=f"shade:{pair.id}",
        kind="shade",
        name=f"{pair.swung} or {pair.still} by one swara's swing",
        family="perception",
        cluster="shade raga",
        chance=0.5,
        seconds=15.0,
    )
