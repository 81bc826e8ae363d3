"""`wider`: two gaps, one after the other; which is wider, or are they the same."""

from __future__ import annotations

from collections.abc import Sequence

from audio.score import Drone, Score, Stroke
from audio.tuning import Swara, Tuning, load_tuning
from quizzes.errors import QuizError, UnknownSkill
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import capital, counted, gap_name, in_cents
from quizzes.question import Choice, Mark, Question, Setting, Skill
from words import in_script, say, to_say

LOWEST, HIGHEST = Swara.read("m,"), Swara.read("P'")
"""The reach of the playing string."""

WIDEST = 12
ANSWERS = {
    "first": to_say("The first"),
    "second": to_say("The second"),
    "same": to_say("Both the same"),
}

SAME_WITHIN_CENTS = 0.5
APART_FROM_CENTS = 45.0
"""Gaps that differ by more than nothing and less than this are a matter of shruti: not asked."""

SA_MOVES_SEMITONES = 3.0
SPACING_S = 0.75
LAST_S = 1.0
BETWEEN_S = 0.7

Pair = tuple[Swara, Swara]


class WiderKind:
    name = "wider"
    title = to_say("Two gaps: which is wider, or are they the same?")

    def skills(self) -> tuple[Skill, ...]:
        sizes = [
            (small, large)
            for difference in (5, 4, 3, 2, 1)
            for small in range(1, WIDEST + 1 - difference)
            for large in (small + difference,)
        ]
        return tuple(_skill(small, large) for small, large in sizes)

    def name_of(self, skill: str) -> str:
        return _name(*asked(skill))

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        sizes = asked(skill)
        fresh = Fresh(skill, seed)
        tuning = load_tuning(setting.tuning)
        answer = fresh.one_of(tuple(ANSWERS))
        pairs = _gaps(sizes, answer, tuning, fresh)
        direction = fresh.one_of(("up", "down"))
        cue = Score(
            sa_hz=fresh.moved_sa(setting.sa_hz, semitones=SA_MOVES_SEMITONES),
            strokes=_strokes([_cents(pair, tuning) for pair in pairs], direction, fresh),
            drone=Drone("P"),
            lead_s=round(fresh.between(0.1, 0.4), 3),
        )
        ordered = [pair if direction == "up" else pair[::-1] for pair in pairs]
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("Two gaps: which is wider?"),
            choices=tuple(Choice(key, say(label)) for key, label in ANSWERS.items()),
            right=(answer,),
            cue=cue,
            sargam=" / ".join(f"{one} {two}" for one, two in ordered),
            detail={
                "gaps": [[str(swara) for swara in pair] for pair in pairs],
                "direction": direction,
            },
        )

    def mark(self, question: Question, given: str) -> Mark:
        question.choice(given)
        return Mark(1.0 if given in question.right else 0.0)

    def explain(self, question: Question, given: str) -> Explanation:
        tuning = load_tuning(question.setting.tuning)
        pairs = [(Swara.read(low), Swara.read(high)) for low, high in question.detail["gaps"]]
        # Both from Sa, so that nothing but the width differs.
        from_sa = [(0.0, high - low) for low, high in (_cents(pair, tuning) for pair in pairs)]
        return Explanation(
            right_label=say(ANSWERS[question.right[0]]),
            given_label=say(ANSWERS[given]),
            why=_describe(pairs, question.detail["direction"], tuning),
            right_cue=Score(question.cue.sa_hz, _strokes(from_sa, "up", None), question.cue.drone),
            given_cue=None if given in question.right else question.cue,
            right_written=in_script(question.sargam),
        )

    def level(self, skill: str) -> None:
        return None

    def several(self, count: int) -> str:
        return counted(
            count, "{number} pair of gaps to compare", "{number} pairs of gaps to compare"
        )

    def introduce(self, question: Question) -> str:
        small, large = asked(question.skill)
        return say(
            "You hear two gaps. Say which is wider, or whether both are the same. "
            "Here they are of {small} and of {large} semitones, of which a saptak has twelve, "
            "or one of these twice.",
            small=small,
            large=large,
        )


def asked(skill: str) -> tuple[int, int]:
    """The two sizes, in semitones, of a skill id such as `wider:5-7`. Raises UnknownSkill."""
    kind, _, sizes = skill.partition(":")
    small, _, large = sizes.partition("-")
    if kind == "wider" and small.isdecimal() and large.isdecimal():
        numbers = int(small), int(large)
        if 1 <= numbers[0] < numbers[1] <= WIDEST and f"{numbers[0]}-{numbers[1]}" == sizes:
            return numbers
    raise UnknownSkill(
        f"{skill!r} is not asked; write wider: and two sizes in semitones from 1 to {WIDEST}, "
        "the smaller first, such as wider:5-7"
    )


def _gaps(sizes: tuple[int, int], answer: str, tuning: Tuning, fresh: Fresh) -> list[Pair]:
    """Two different gaps on the playing string such that `answer` is right in this tuning."""
    small, large = (_places(size) for size in sizes)
    if answer == "same":
        places = fresh.one_of((small, large))
        equals = [
            [one, other]
            for one in places
            for other in places
            if one != other and abs(_width(one, tuning) - _width(other, tuning)) < SAME_WITHIN_CENTS
        ]
        return fresh.one_of(equals)
    fits = [
        (narrow, wide)
        for narrow in small
        for wide in large
        if _width(wide, tuning) - _width(narrow, tuning) >= APART_FROM_CENTS
    ]
    if not fits:
        raise QuizError(
            f"in the tuning {tuning.name!r} gaps of {sizes[0]} and {sizes[1]} semitones are "
            "nowhere clearly apart; choose another tuning in the settings"
        )
    narrow, wide = fresh.one_of(fits)
    return [wide, narrow] if answer == "first" else [narrow, wide]


def _places(size: int) -> list[Pair]:
    """All gaps of so many semitones on the playing string; octave twins make equals sure."""
    lows = range(LOWEST.steps, HIGHEST.steps - size + 1)
    return [(Swara.at(low), Swara.at(low + size)) for low in lows]


def _cents(pair: Pair, tuning: Tuning) -> tuple[float, float]:
    return tuning.cents_of(pair[0]), tuning.cents_of(pair[1])


def _width(pair: Pair, tuning: Tuning) -> float:
    low, high = _cents(pair, tuning)
    return high - low


def _strokes(
    gaps: Sequence[tuple[float, float]], direction: str, fresh: Fresh | None
) -> tuple[Stroke, ...]:
    """Two gaps, given as (lower, upper) cents; `fresh` varies level, brightness and pace."""
    pace = 1.0 if fresh is None else fresh.between(0.9, 1.15)
    gap_s = (SPACING_S + LAST_S) * pace + BETWEEN_S
    strokes = []
    for index, (low, high) in enumerate(gaps):
        notes = (low, high) if direction == "up" else (high, low)
        for cents, shift_s, length_s in zip(
            notes, (0.0, SPACING_S * pace), (SPACING_S * pace, LAST_S * pace), strict=True
        ):
            onset_s = index * gap_s + shift_s
            if fresh is None:
                strokes.append(Stroke(onset_s, length_s, ((0.0, cents),)))
            else:
                strokes.append(fresh.stroke(cents, onset_s=onset_s, duration_s=length_s))
    return tuple(strokes)


def _describe(pairs: Sequence[Pair], direction: str, tuning: Tuning) -> str:
    widths = [_width(pair, tuning) for pair in pairs]
    names = [gap_name(*pair, direction) for pair in pairs]
    if abs(widths[0] - widths[1]) < SAME_WITHIN_CENTS:
        return say(
            "{one} and {other} are both {cents} wide.",
            one=capital(names[0]),
            other=names[1],
            cents=in_cents(widths[0]),
        )
    told = (
        to_say("{one} is {first} cents, {other} {second}: the first is wider by {by}.")
        if widths[0] > widths[1]
        else to_say("{one} is {first} cents, {other} {second}: the second is wider by {by}.")
    )
    return say(
        told,
        one=capital(names[0]),
        first=round(widths[0]),
        other=names[1],
        second=round(widths[1]),
        by=round(abs(widths[0] - widths[1])),
    )


def _name(small: int, large: int) -> str:
    return say("a gap of {small} from one of {large} semitones", small=small, large=large)


def _skill(small: int, large: int) -> Skill:
    return Skill(
        id=f"wider:{small}-{large}",
        kind="wider",
        name=_name(small, large),
        family="perception",
        cluster=f"wider {large - small}",
        chance=1 / 3,
        seconds=13.0,
    )
