"""`gap`: two notes, up, down or together; which two swaras of the scale are they."""

from __future__ import annotations

from collections.abc import Sequence

from audio.score import Drone, Score, Stroke
from audio.tuning import SWARAS, Swara, Tuning, load_tuning
from quizzes.errors import UnknownSkill
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import (
    capital,
    counted,
    gap_name,
    gap_ratio,
    gap_size,
    in_cents,
    in_semitones,
    ratio_text,
    swara_name,
)
from quizzes.question import Choice, Mark, Question, Setting, Skill
from words import in_script, say, to_say

DIRECTIONS = ("up", "down", "together")
SCALE = tuple(Swara.at(steps) for steps in range(13))
"""A gap lies between two of these: one saptak and the Sa above."""

SA_MOVES_SEMITONES = 5.0
SPACING_S = 1.0
LAST_S = 1.8

Pair = tuple[Swara, Swara]

FIRST_GAPS = tuple((SCALE[0], Swara.read(text)) for text in ("P", "m", "S'", "G", "R", "D"))
"""Gaps that a beginner knows by name before they are met."""


class GapKind:
    name = "gap"
    title = to_say("Two swaras over the drone: which gap is it?")

    def skills(self) -> tuple[Skill, ...]:
        pairs = [(low, high) for i, low in enumerate(SCALE) for high in SCALE[i + 1 :]]
        return tuple(_skill(pair, direction) for direction in DIRECTIONS for pair in pairs)

    def name_of(self, skill: str) -> str:
        pair, direction = asked(skill)
        return gap_name(*pair, direction)

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        pair, direction = asked(skill)
        fresh = Fresh(skill, seed)
        tuning = load_tuning(setting.tuning)
        wrong = self._wrong(pair, direction, fresh, setting)
        spacing_s = SPACING_S * fresh.between(0.85, 1.2)
        cue = Score(
            sa_hz=fresh.moved_sa(setting.sa_hz, semitones=SA_MOVES_SEMITONES),
            strokes=_strokes(pair, direction, tuning, fresh, spacing_s),
            drone=Drone("P"),
            lead_s=round(fresh.between(0.1, 0.4), 3),
        )
        choices = fresh.shuffled(
            [self._choice(p, direction, setting.names, tuning) for p in (pair, *wrong)]
        )
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("Which gap is this?"),
            choices=tuple(choices),
            right=(_id(pair),),
            cue=cue,
            sargam=_written(pair, direction),
            possible=tuple(
                _id(other)
                for other in (pair, *wrong)
                if other == pair or f"gap:{_id(other)}:{direction}" in setting.met
            ),
        )

    def _choice(self, pair: Pair, direction: str, names: str, tuning: Tuning) -> Choice:
        label = capital(gap_name(*pair, direction))
        if names == "size":
            label += f" ({gap_size(*pair, tuning)})"
        return Choice(_id(pair), label, f"gap:{_id(pair)}:{direction}")

    def _wrong(self, pair: Pair, direction: str, fresh: Fresh, setting: Setting) -> list[Pair]:
        """Plausible other gaps: about half of them what this student confuses with this one.

        Only gaps that have been asked before, or one that has not would be known to be wrong; but
        there are never fewer than two choices.
        """
        met = _of_direction(setting.met, direction, but=pair)
        count = 2 if len(met) < 4 else 3 if len(met) < 15 else 4
        chosen = _of_direction(setting.rivals, direction, but=pair)[: (count + 1) // 2]
        pool = [other for other in met if other not in chosen]
        weights = [_likeness(pair, other) for other in pool]
        chosen += fresh.weighted(pool, weights, count - len(chosen))
        return chosen or [fresh.one_of([other for other in FIRST_GAPS if other != pair])]

    def mark(self, question: Question, given: str) -> Mark:
        choice = question.choice(given)
        return Mark(1.0) if given in question.right else Mark(0.0, heard=choice.skill)

    def explain(self, question: Question, given: str) -> Explanation:
        tuning = load_tuning(question.setting.tuning)
        right, direction = asked(question.skill)
        answered = _pair(given)
        why = _describe(right, tuning)
        if answered != right:
            why += " " + _compare(right, answered, direction, tuning)
        return Explanation(
            right_label=capital(gap_name(*right, direction)),
            given_label=capital(gap_name(*answered, direction)),
            why=why,
            right_cue=self._plain(question, right, direction, tuning),
            given_cue=None
            if answered == right
            else self._plain(question, answered, direction, tuning),
            right_written=in_script(_written(right, direction)),
            given_written="" if answered == right else in_script(_written(answered, direction)),
        )

    def _plain(self, question: Question, pair: Pair, direction: str, tuning: Tuning) -> Score:
        strokes = _strokes(pair, direction, tuning, None, SPACING_S)
        return Score(question.cue.sa_hz, strokes, question.cue.drone)

    def level(self, skill: str) -> None:
        return None

    def several(self, count: int) -> str:
        return counted(count, "{number} gap", "{number} gaps")

    def introduce(self, question: Question) -> str:
        pair, direction = asked(question.skill)
        tuning = load_tuning(question.setting.tuning)
        name = gap_name(*pair, direction)
        return f"{say('This is {gap}.', gap=name)} {_describe(pair, tuning)}"


def asked(skill: str) -> tuple[Pair, str]:
    """The pair and direction of a skill id such as `gap:R-P:up`. Raises UnknownSkill."""
    parts = skill.split(":")
    if len(parts) == 3 and parts[0] == "gap" and parts[2] in DIRECTIONS:
        try:
            return _pair(parts[1]), parts[2]
        except UnknownSkill:
            pass
    raise UnknownSkill(
        f"{skill!r} is not asked; write gap:, two of {' '.join(SWARAS)} S' from low to high with - "
        "between them, then :up, :down or :together, such as gap:R-P:up"
    )


def _of_direction(skills: Sequence[str], direction: str, *, but: Pair) -> list[Pair]:
    """The pairs of those skills that are gaps of this direction, without one pair."""
    gaps = (asked(skill) for skill in skills if skill.startswith("gap:"))
    return [pair for pair, way in gaps if way == direction and pair != but]


_SCALE = {str(swara): swara for swara in SCALE}


def _pair(text: str) -> Pair:
    low, _, high = text.partition("-")
    if low not in _SCALE or high not in _SCALE or _SCALE[low].steps >= _SCALE[high].steps:
        raise UnknownSkill(f"{text!r} is not a gap")
    return _SCALE[low], _SCALE[high]


def _id(pair: Pair) -> str:
    return f"{pair[0]}-{pair[1]}"


def _written(pair: Pair, direction: str) -> str:
    low, high = pair
    return {
        "up": f"{low} {high}",
        "down": f"{high} {low}",
        "together": f"{low} / {high}",
    }[direction]


def _strokes(
    pair: Pair, direction: str, tuning: Tuning, fresh: Fresh | None, spacing_s: float
) -> tuple[Stroke, ...]:
    """Two strokes; the whole always lasts as long in every direction and for every pair."""
    order = pair if direction != "down" else pair[::-1]
    whole_s = spacing_s + LAST_S
    onsets = (0.0, 0.0) if direction == "together" else (0.0, spacing_s)
    durations = (whole_s, whole_s) if direction == "together" else (spacing_s, LAST_S)
    strokes = []
    for swara, onset_s, duration_s in zip(order, onsets, durations, strict=True):
        cents = tuning.cents_of(swara)
        if fresh is None:
            strokes.append(Stroke(onset_s, duration_s, ((0.0, cents),)))
        else:
            strokes.append(fresh.stroke(cents, onset_s=onset_s, duration_s=duration_s))
    return tuple(strokes)


def _likeness(pair: Pair, other: Pair) -> float:
    """How easily one gap is taken for another: like size, a shared swara, or its inversion."""
    size, other_size = (p[1].steps - p[0].steps for p in (pair, other))
    near = 1.0 / (1.0 + abs(size - other_size))
    shared = 0.5 * bool(set(pair) & set(other))
    inverted = 0.4 * (size + other_size == 12)
    return near + shared + inverted


def _describe(pair: Pair, tuning: Tuning) -> str:
    low, high = pair
    cents = tuning.cents_of(high) - tuning.cents_of(low)
    ratio = gap_ratio(low, high, tuning)
    sizes = [in_cents(cents), in_semitones(high.steps - low.steps)]
    if ratio is not None:
        sizes.insert(0, ratio_text(ratio))
    return say(
        "From {low} to {high} is {size}.",
        low=swara_name(low),
        high=swara_name(high),
        size=", ".join(sizes),
    )


def _compare(right: Pair, answered: Pair, direction: str, tuning: Tuning) -> str:
    def size_cents(pair: Pair) -> float:
        return tuning.cents_of(pair[1]) - tuning.cents_of(pair[0])

    difference = size_cents(answered) - size_cents(right)
    name = capital(gap_name(*answered, direction))
    if abs(difference) < 1.0:
        return say("{gap} is just as wide, but lies elsewhere above the drone.", gap=name)
    cents = in_cents(abs(difference))
    if difference > 0:
        return say("{gap} is {cents} wider.", gap=name, cents=cents)
    return say("{gap} is {cents} narrower.", gap=name, cents=cents)


def _skill(pair: Pair, direction: str) -> Skill:
    size = pair[1].steps - pair[0].steps
    return Skill(
        id=f"gap:{_id(pair)}:{direction}",
        kind="gap",
        name=gap_name(*pair, direction),
        family="perception",
        cluster=f"gap {direction} {min(size, 12 - size)}",  # a gap and its inversion together
        chance=0.25,
        seconds=11.0,
    )
