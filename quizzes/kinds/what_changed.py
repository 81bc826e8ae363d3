"""`what-changed`: a short phrase comes again, and one thing about one note may have changed.

Three things are asked. `what-changed:pitch`: which of pitch, loudness, timing and tone changed,
or nothing. `what-changed:where:pitch`: at which note. `what-changed:more:pitch`: the phrase comes
plain and then twice with one note changed; which change is the greater. That is asked in place of
naming a size, since it needs no unit and can be asked ever finer.

Tempo, loudness and brightness vary from question to question and from note to note, and stay the
same between the playings, but for what is asked.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from audio.score import Drone, Score, Stroke
from audio.tuning import Swara, load_tuning
from quizzes.alterations import DIMENSIONS, Dimension, Range, altered
from quizzes.contours import fresh_contour
from quizzes.errors import UnknownSkill
from quizzes.explanation import Explanation
from quizzes.fresh import LEVEL_SPREAD_DB, Fresh
from quizzes.kinds.what_changed_words import (
    MORE,
    NOTHING,
    ORDERS,
    PLACES,
    WHAT,
    WHERE,
    choice_of,
    id_of,
    introduced,
    larger,
    name_of,
    prompt_of,
    short_label,
    skill_of,
)
from quizzes.levels import Level
from quizzes.names import counted, in_sargam, ordinal, swara_name
from quizzes.question import Mark, Question, Setting, Skill
from words import in_script, say, to_say

SHORTEST_MATRA_S, LONGEST_MATRA_S = 0.5, 0.65
LAST_MATRAS = 1.6
REST_MATRAS = 1
"""Between the playings, after the last note's own matra, so that the beat goes on."""
BRIGHTNESS_FROM, BRIGHTNESS_TO, BRIGHTNESS_SPREAD = 0.2, 0.4, 0.1
SA_MOVES_SEMITONES = 3.0


@dataclass(frozen=True, slots=True)
class _Drawn:
    """All that is drawn for a question."""

    swaras: tuple[Swara, ...]
    strokes: tuple[Stroke, ...]
    """Of one plain playing."""
    period_s: float
    sa_hz: float
    lead_s: float
    level: float
    at: int
    """The note that changes, from 0."""
    sign: dict[str, int]
    """By dimension, whether its change would go up or down."""
    offered: tuple[str, ...]
    right: str


class WhatChangedKind:
    name = "what-changed"
    title = to_say("A phrase comes again: what changed?")

    def skills(self) -> tuple[Skill, ...]:
        return tuple(skill_of(way, name) for way in (WHAT, WHERE, MORE) for name in DIMENSIONS)

    def name_of(self, skill: str) -> str:
        way, dimension = asked(skill)
        return name_of(way, dimension.name)

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        way, dimension = asked(skill)
        drawn = _draw(skill, seed, setting)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=prompt_of(way, dimension.name),
            choices=tuple(choice_of(way, answer) for answer in drawn.offered),
            right=(drawn.right,),
            cue=_cue(drawn, way, dimension.name, drawn.right, drawn.level),
            sargam=" / ".join([in_sargam(drawn.swaras)] * (3 if way == MORE else 2)),
            detail={"level": drawn.level, "note": drawn.at + 1},
            possible=_possible(drawn, dimension.name, setting) if way == WHAT else None,
        )

    def mark(self, question: Question, given: str) -> Mark:
        choice = question.choice(given)
        if given in question.right:
            return Mark(1.0)
        return Mark(0.0, heard=None if question.right == (NOTHING,) else choice.skill)

    def explain(self, question: Question, given: str) -> Explanation:
        way, dimension = asked(question.skill)
        drawn = _draw(question.skill, question.seed, question.setting)
        right = question.right[0]
        level = max(drawn.level, _range(way, dimension).clear)
        why = _describe(drawn, way, dimension)
        if right != NOTHING and level > drawn.level:
            why += f" {larger(way)}"
        return Explanation(
            right_label=short_label(way, right),
            given_label=short_label(way, given),
            why=why,
            right_cue=_cue(drawn, way, dimension.name, right, level),
            given_cue=None
            if given == right
            else _cue(drawn, way, dimension.name, given, _level_of(given, level)),
            right_written=in_script(question.sargam),
        )

    def level(self, skill: str) -> Level:
        way, dimension = asked(skill)
        sizes = _range(way, dimension)
        return Level(
            unit=dimension.unit,
            finest=sizes.finest,
            coarsest=sizes.coarsest,
            typical=sizes.typical,
            first=sizes.clear,
            signal=(dimension.name,) if way == WHAT else (),
            blank=(NOTHING,) if way == WHAT else (),
        )

    def several(self, count: int) -> str:
        return counted(count, "{number} change to hear", "{number} changes to hear")

    def introduce(self, question: Question) -> str:
        way, dimension = asked(question.skill)
        here = _describe(_draw(question.skill, question.seed, question.setting), way, dimension)
        return f"{introduced(way, dimension.name)} {here}"


def asked(skill: str) -> tuple[str, Dimension]:
    """What is asked (WHAT, WHERE or MORE) and of which dimension. Raises UnknownSkill."""
    kind, _, rest = skill.partition(":")
    way, colon, name = rest.rpartition(":")
    if kind == "what-changed" and name in DIMENSIONS and (way in (WHERE, MORE) or not colon):
        return way, DIMENSIONS[name]
    raise UnknownSkill(
        f"{skill!r} is not asked; write what-changed:, then nothing more, where: or more:, and one "
        f"of {', '.join(DIMENSIONS)}, such as what-changed:where:pitch"
    )


def _range(way: str, dimension: Dimension) -> Range:
    return dimension.further if way == MORE else dimension.change


def _draw(skill: str, seed: int, setting: Setting) -> _Drawn:
    way, dimension = asked(skill)
    fresh = Fresh(skill, seed)
    count = PLACES if way else fresh.one_of((3, 4, 5))
    first = 0
    if dimension.name == "timing":  # the first note cannot be early or late
        count, first = (count + 1, 1) if way else (count, 1)
    swaras = fresh_contour(fresh, count)
    matra_s = fresh.between(SHORTEST_MATRA_S, LONGEST_MATRA_S)
    at = fresh.one_of(range(first, count))
    side = fresh.one_of((-1, 1))
    sign = {name: fresh.one_of((-1, 1)) for name in DIMENSIONS}
    sign["tone"] = -side  # a bright phrase gets duller: there is room on that side
    offered = _offered(way, dimension.name, range(first, count), setting)
    right = str(at + 1) if way == WHERE else fresh.one_of(ORDERS)
    if way == WHAT:
        # What has never been met is there to be heard: it does change the first time.
        is_new = skill not in setting.met
        right = NOTHING if fresh.between(is_new, len(offered)) < 1.0 else dimension.name
    sizes = _range(way, dimension)
    return _Drawn(
        swaras=swaras,
        strokes=_strokes(swaras, matra_s, side, fresh, setting),
        period_s=(count + REST_MATRAS) * matra_s,
        sa_hz=fresh.moved_sa(setting.sa_hz, semitones=SA_MOVES_SEMITONES),
        lead_s=round(fresh.between(0.1, 0.4), 3),
        level=sizes.clear if setting.level is None else setting.level,
        at=at,
        sign=sign,
        offered=offered,
        right=right,
    )


def _strokes(
    swaras: Sequence[Swara], matra_s: float, side: int, fresh: Fresh, setting: Setting
) -> tuple[Stroke, ...]:
    """One plain playing, bright or dull as a whole by its `side`."""
    tuning = load_tuning(setting.tuning)
    brightness = side * fresh.between(BRIGHTNESS_FROM, BRIGHTNESS_TO)
    return tuple(
        Stroke(
            onset_s=index * matra_s,
            duration_s=matra_s * (LAST_MATRAS if index == len(swaras) - 1 else 1.0),
            path=((0.0, tuning.cents_of(swara)),),
            level_db=round(fresh.between(-LEVEL_SPREAD_DB, LEVEL_SPREAD_DB), 2),
            brightness=round(brightness + fresh.between(-BRIGHTNESS_SPREAD, BRIGHTNESS_SPREAD), 3),
        )
        for index, swara in enumerate(swaras)
    )


def _offered(way: str, dimension: str, notes: Sequence[int], setting: Setting) -> tuple[str, ...]:
    if way == WHERE:
        return tuple(str(note + 1) for note in notes)
    if way == MORE:
        return ORDERS
    known = [name for name in DIMENSIONS if name == dimension or id_of(WHAT, name) in setting.met]
    return (*known, NOTHING)


def _possible(drawn: _Drawn, dimension: str, setting: Setting) -> tuple[str, ...]:
    """What has never been met did not change, unless it is being met now; then it did."""
    begun = {name for name in DIMENSIONS if id_of(WHAT, name) in setting.met}
    if dimension in begun:
        begun.add(NOTHING)
    return tuple(answer for answer in drawn.offered if answer in begun or answer == dimension)


def _cue(drawn: _Drawn, way: str, dimension: str, answer: str, level: float) -> Score:
    """The playings for which `answer` would be right."""
    plain = list(drawn.strokes)
    if way == MORE:
        pedestal = DIMENSIONS[dimension].pedestal
        sizes = [pedestal, pedestal + level]
        if answer == ORDERS[0]:
            sizes.reverse()
        playings = [plain] + [
            altered(plain, drawn.at, dimension, drawn.sign[dimension] * size) for size in sizes
        ]
    elif answer == NOTHING:
        playings = [plain, plain]
    else:
        name = dimension if way == WHERE else answer
        at = int(answer) - 1 if way == WHERE else drawn.at
        if name == "timing":
            at = max(at, 1)
        playings = [plain, altered(plain, at, name, drawn.sign[name] * level)]
    strokes = [
        replace(stroke, onset_s=stroke.onset_s + number * drawn.period_s)
        for number, playing in enumerate(playings)
        for stroke in playing
    ]
    return Score(drawn.sa_hz, tuple(strokes), Drone(), drawn.lead_s)


def _level_of(answer: str, level: float) -> float:
    """How large a change of another dimension is played: one that is plain to hear."""
    return DIMENSIONS[answer].change.clear if answer in DIMENSIONS else level


def _describe(drawn: _Drawn, way: str, dimension: Dimension) -> str:
    place, swara = ordinal(drawn.at), swara_name(drawn.swaras[drawn.at])
    sign = drawn.sign[dimension.name]
    if way == MORE:
        sizes = [dimension.pedestal, dimension.pedestal + drawn.level]
        if drawn.right == ORDERS[0]:
            sizes.reverse()
        first, second = (dimension.describe(sign * size) for size in sizes)
        return say(
            "The {place} note, {swara}, was {first} in the first change and {second} in the "
            "second.",
            place=place,
            swara=swara,
            first=first,
            second=second,
        )
    if drawn.right == NOTHING:
        return say("Nothing changed: both playings were the same.")
    return say(
        "The {place} note, {swara}, was {change} the second time.",
        place=place,
        swara=swara,
        change=dimension.describe(sign * drawn.level),
    )
