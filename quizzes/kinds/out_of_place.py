"""`out-of-place`: stages in an order in which one of them stands wrongly: which?

Moved alone it makes the order right, and no other stage does, however freely one takes what is only
usual.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import combinations
from statistics import mean

from quizzes.choice_sets import wrong_weights
from quizzes.errors import UnknownSkill, not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import counted
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import label_of
from quizzes.ragas.said import raga_name
from quizzes.stages.asking import StageKind, named, raga_suiting, stage_name, title_of
from quizzes.stages.frames import (
    Frame,
    frame_around,
    frames_of,
    from_memory,
    opened,
    ordered_divisions,
    told_apart,
)
from quizzes.stages.glimpses import EACH_HEARD, MOST_HEARD, RAGA_HEARD, in_orders, opening
from quizzes.stages.order import nearest
from quizzes.stages.stage import Form
from quizzes.stages.tradition import form
from quizzes.stages.wording import broken_in_words, kept_in_words
from words import say, to_say

SIZES = (4, 5)
AWAY = 2
"""A stage stands so many places from where it belongs, or more: of two neighbours that have changed
places either could be moved."""
SECONDS = 30.0
ROUNDS = 60
"""Of fitting how often a stage stands in each place."""
TRIES = 40
"""How many sets are drawn to have the stage in the place that is wished."""


class OutOfPlaceKind(StageKind):
    name = "out-of-place"
    title = to_say("Stages in an order in which one stands wrongly: which?")

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        return tuple(
            self._skill(known, stage, sizes)
            for division in ordered_divisions(known)
            for stage in division.parts
            if (sizes := _sizes(known, stage))
        )

    def name_of(self, skill: str) -> str:
        (stage,) = self.parts_of(skill, 1)
        if stage not in _ever_right(""):
            raise not_asked(skill, self.name)
        return _name(form(), stage)

    def several(self, count: int) -> str:
        return counted(count, "{number} stage out of place", "{number} stages out of place")

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        known, fresh = form(setting.tradition), Fresh(skill, seed)
        (stage,) = self.parts_of(skill, 1)
        sizes = _sizes(known, stage) if stage in known.stages else ()
        if not sizes:
            raise UnknownSkill(f"{skill!r} is not asked in this order of stages")
        shown = _drawn(fresh, setting.tradition, stage, fresh.one_of(sizes))
        raga = raga_suiting(fresh, setting, known, shown)
        cue, sargam = opening(skill, seed, setting, raga, shown)
        wrongly = say("One stage stands wrongly here: {order}. Which?", order=named(known, shown))
        heard = EACH_HEARD if len(shown) <= MOST_HEARD else RAGA_HEARD
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=f"{wrongly} {say(heard, raga=raga_name(raga))}",
            choices=tuple(Choice(one, title_of(known, one)) for one in fresh.shuffled(shown)),
            right=(stage,),
            cue=cue,
            sargam=sargam,
            possible=tuple(one for one in shown if one in _ever_right(setting.tradition)),
            detail={"raga": raga.id, "shown": list(shown)},
        )

    def explain(self, question: Question, given: str) -> Explanation:
        known, right = form(question.setting.tradition), question.right[0]
        shown = question.detail["shown"]
        mended = _mended(known, shown, right)
        goes = say("So it goes: {order}.", order=named(known, mended))
        lines = [*broken_in_words(known, shown), goes]
        if given != right:
            lines.append(
                say(
                    "Wherever {given} were put instead, {right} would still stand wrongly.",
                    given=stage_name(known, given),
                    right=stage_name(known, right),
                )
            )
        right_cue, given_cue = in_orders(question, mended, shown)
        return Explanation(
            right_label=label_of(question, right),
            given_label=label_of(question, given),
            why="\n".join(lines),
            right_cue=right_cue,
            given_cue=None if given == right else given_cue,
            given_plays="" if given == right else say("the order as it was shown"),
        )

    def introduce(self, question: Question) -> str:
        known, right = form(question.setting.tradition), question.right[0]
        mended = _mended(known, question.detail["shown"], right)
        told = kept_in_words(Fresh("told", question.seed), known, mended, [right])
        return f"{say('Rightly it goes: {order}.', order=named(known, mended))} {told}"

    def _skill(self, known: Form, stage: str, sizes: Sequence[int]) -> Skill:
        return Skill(
            id=f"{self.name}:{stage}",
            kind=self.name,
            name=_name(known, stage),
            family="facts",
            cluster=f"around {known.whole_of(stage).id}",
            chance=mean(1 / size for size in sizes),
            seconds=SECONDS,
        )


def _name(known: Form, stage: str) -> str:
    return say("{stage} out of place", stage=stage_name(known, stage, begins=True))


def _sizes(known: Form, stage: str) -> tuple[int, ...]:
    """Among how many stages this one can stand wrongly."""
    return tuple(
        size
        for size in SIZES
        if any(_displaced(known, stage, stages) for stages in _sets(known, stage, size))
    )


def _sets(known: Form, stage: str, size: int) -> Iterator[Frame]:
    for stages in combinations(frame_around(known, stage), size):
        if stage in stages and _is_fit(known, stage, stages):
            yield stages


def _is_fit(known: Form, stage: str, stages: Frame) -> bool:
    """Whether its place beside one of its own division is sure, and the order of all is known from
    more than memory."""
    own, surely = known.whole_of(stage).parts, known.order.surely
    beside = [one for one in stages if one in own]
    return (
        any(surely(stage, one) or surely(one, stage) for one in beside)
        and told_apart(known, stages)
        and not from_memory(known, stages)
    )


def _drawn(fresh: Fresh, tradition: str, stage: str, size: int) -> Frame:
    """Stages with this one in a wrong place: in each place as often, and beside others that are
    themselves out of place as often as they are beside it, wherever this can be."""
    known = form(tradition)
    places, weights = _places(tradition, size)[stage], _weights(tradition)
    frames = _shown_in(known, stage)
    (place,) = fresh.weighted(list(places), list(places.values()), 1)
    for _ in range(TRIES):
        frame = fresh.one_of(frames)
        others = [one for one in frame if one != stage]
        beside = fresh.weighted(others, [weights[one] for one in others], size - 1)
        stages = tuple(one for one in frame if one == stage or one in beside)
        if _is_fit(known, stage, stages):
            found = [shown for shown in _displaced(known, stage, stages) if shown[place] == stage]
            if found:
                return fresh.one_of(found)
    return next(
        fresh.one_of(found)
        for stages in fresh.shuffled(list(_sets(known, stage, size)))
        if (found := _displaced(known, stage, stages))
    )


def _shown_in(known: Form, stage: str) -> list[Frame]:
    """Whole performances from which this stage and those beside it are drawn: with what it is a
    part of, and others, divided; and, as one in three, with what may stand for some of them."""
    around = frame_around(known, stage)
    if not around:
        return []
    division = known.whole_of(stage)
    others = [] if division.of else [each for each in frames_of(known, division) if each != around]
    plain = [frame for frame in (around, *opened(known, around)) if stage in frame]
    instead = [frame for frame in others if stage in frame]
    return plain + instead * (len(plain) // 2)


def _displaced(known: Form, stage: str, stages: Frame) -> list[Frame]:
    """The stages with this one alone in a wrong place."""
    found = []
    for order in known.order.orders(stages):
        was = order.index(stage)
        for now, shown in enumerate(moves(order, stage)):
            if abs(was - now) >= AWAY and _movers(known, shown) == [stage]:
                found.append(shown)
    return found


def _movers(known: Form, shown: Frame) -> list[str]:
    """The stages of which one, moved alone, leaves nothing that is surely wrong; all of them where
    nothing is."""
    return [stage for stage in shown if any(_is_sound(known, to) for to in moves(shown, stage))]


def _is_sound(known: Form, order: Sequence[str]) -> bool:
    return not any(known.order.surely(then, first) for first, then in combinations(order, 2))


def moves(shown: Sequence[str], stage: str) -> Iterator[Frame]:
    """The order with this stage in each place, its own too."""
    rest = [one for one in shown if one != stage]
    for at in range(len(shown)):
        yield (*rest[:at], stage, *rest[at:])


def _mended(known: Form, shown: Sequence[str], stage: str) -> Sequence[str]:
    """The nearest order that is allowed, with only this stage moved."""
    return nearest(shown, [each for each in moves(shown, stage) if known.order.allows(each)])


@lru_cache(maxsize=8)
def _ever_right(tradition: str) -> frozenset[str]:
    """The stages that are ever out of place: where an order is only usual none is."""
    known = form(tradition)
    return frozenset(stage for stage in known.stages if _sizes(known, stage))


@lru_cache(maxsize=8)
def _weights(tradition: str) -> Mapping[str, float]:
    """How likely a stage is to be shown beside one that is out of place: as often, in all, as it is
    out of place itself."""
    known = form(tradition)
    cases = [
        (frozenset([stage]), frozenset(one for frame in frames for one in frame) - {stage})
        for stage in known.stages
        if (frames := _shown_in(known, stage))
    ]
    return wrong_weights(cases, round(mean(SIZES)) - 1)


@lru_cache(maxsize=16)
def _places(tradition: str, size: int) -> Mapping[str, Mapping[int, float]]:
    """How often each stage is to be shown in each place."""
    known, can_stand = form(tradition), {}
    for stage in known.stages:
        frame, pair = frame_around(known, stage), known.order.pair
        earliest = size - 1 - sum(pair(stage, one) is not None for one in frame)
        latest = sum(pair(one, stage) is not None for one in frame)
        belongs = range(max(0, earliest), min(size - 1, latest) + 1)
        can_stand[stage] = [
            now for now in range(size) if any(abs(was - now) >= AWAY for was in belongs)
        ]
    return evenly_placed({stage: now for stage, now in can_stand.items() if now}, size)


def evenly_placed(
    can_stand: Mapping[str, Sequence[int]], size: int
) -> Mapping[str, Mapping[int, float]]:
    """How often each thing is to stand in each of the places where it can, so that in all there is
    one as often in each place (iterative proportional fitting)."""
    share = {thing: dict.fromkeys(places, 1.0) for thing, places in can_stand.items()}
    for _ in range(ROUNDS):
        for place in range(size):
            whole = sum(each.get(place, 0.0) for each in share.values())
            for each in share.values():
                if place in each:
                    each[place] /= whole
        for each in share.values():
            whole = sum(each.values())
            for place in each:
                each[place] /= whole
    return share
