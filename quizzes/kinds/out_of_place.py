"""`out-of-place`: stages in an order in which one of them stands wrongly: which?

Moved alone it makes the order right, and no other stage does, however freely one takes what is only
usual.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from itertools import combinations
from statistics import mean

from quizzes.errors import UnknownSkill
from quizzes.fresh import Fresh
from quizzes.question import Choice, Explanation, Question, Setting, Skill
from quizzes.ragas.asking import label_of
from quizzes.stages.asking import StageKind, named, raga_suiting, stage_name
from quizzes.stages.frames import (
    Frame,
    frame_around,
    from_memory,
    ordered_divisions,
    told_apart,
)
from quizzes.stages.glimpses import MOST_HEARD, in_order, opening
from quizzes.stages.order import nearest
from quizzes.stages.stage import Form
from quizzes.stages.tradition import form
from quizzes.stages.wording import broken_in_words, kept_in_words

SIZES = (4, 5)
AWAY = 2
"""A stage stands so many places from where it belongs, or more: of two neighbours that have changed
places either could be moved."""
SIBLINGS = 2
"""So many of those beside a stage come from its own division, where it has them."""
SECONDS = 30.0


class OutOfPlaceKind(StageKind):
    name = "out-of-place"
    title = "Stages in an order in which one stands wrongly: which?"
    thing = "stage"
    after_things = " out of place"

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        return tuple(
            self._skill(known, stage, sizes)
            for division in ordered_divisions(known)
            for stage in division.parts
            if (sizes := _sizes(known, stage))
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        known, fresh = form(setting.tradition), Fresh(skill, seed)
        (stage,) = self.parts_of(skill, 1)
        sizes = _sizes(known, stage) if stage in known.stages else ()
        if not sizes:
            raise UnknownSkill(f"{skill!r} is not asked in this order of stages")
        size = fresh.one_of(sizes)
        displaced = next(
            found
            for stages in fresh.shuffled(list(_sets(known, stage, size)))
            if (found := _displaced(known, stage, stages))
        )
        weights = [evenly_placed(size)[was, now] for was, now in displaced]
        (places,) = fresh.weighted(list(displaced), weights, 1)
        shown = displaced[places]
        raga = raga_suiting(fresh, setting, known, shown)
        cue, sargam = opening(skill, seed, setting, raga, shown)
        heard = f"You hear a moment of {'each in ' if size <= MOST_HEARD else ''}{raga.name}."
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=f"One stage stands wrongly here: {named(known, shown)}. Which? {heard}",
            choices=tuple(Choice(one, known.stages[one].name) for one in fresh.shuffled(shown)),
            right=(stage,),
            cue=cue,
            sargam=sargam,
            detail={"raga": raga.id, "shown": list(shown)},
        )

    def explain(self, question: Question, given: str) -> Explanation:
        known, right = form(question.setting.tradition), question.right[0]
        shown = question.detail["shown"]
        mended = _mended(known, shown, right)
        lines = [*broken_in_words(known, shown), f"So it goes: {named(known, mended)}."]
        if given != right:
            lines.append(
                f"Wherever {stage_name(known, given)} were put instead, "
                f"{stage_name(known, right)} would still stand wrongly."
            )
        return Explanation(
            right_label=label_of(question, right),
            given_label=label_of(question, given),
            why="\n".join(lines),
            right_cue=in_order(question, mended),
            given_cue=None if given == right else in_order(question, shown),
            given_plays="" if given == right else "the order as it was shown",
        )

    def introduce(self, question: Question) -> str:
        known, right = form(question.setting.tradition), question.right[0]
        mended = _mended(known, question.detail["shown"], right)
        told = kept_in_words(Fresh("told", question.seed), known, mended)
        return f"Rightly it goes: {named(known, mended)}. {told}"

    def _skill(self, known: Form, stage: str, sizes: Sequence[int]) -> Skill:
        return Skill(
            id=f"{self.name}:{stage}",
            kind=self.name,
            name=f"{stage_name(known, stage, begins=True)} out of place",
            family="facts",
            cluster=f"around {known.whole_of(stage).id}",
            chance=mean(1 / size for size in sizes),
            seconds=SECONDS,
        )


def _sizes(known: Form, stage: str) -> tuple[int, ...]:
    """Among how many stages this one can stand wrongly."""
    return tuple(
        size
        for size in SIZES
        if any(_displaced(known, stage, stages) for stages in _sets(known, stage, size))
    )


def _sets(known: Form, stage: str, size: int) -> Iterator[Frame]:
    """Sets with this stage whose order is known from more than memory."""
    frame, own = frame_around(known, stage), known.whole_of(stage).parts
    least = min(SIBLINGS, sum(one in frame for one in own) - 1)
    for stages in combinations(frame, size):
        siblings = sum(one in own for one in stages) - 1
        if stage not in stages or siblings < least:
            continue
        if told_apart(known, stages) and not from_memory(known, stages):
            yield stages


def _displaced(known: Form, stage: str, stages: Frame) -> Mapping[tuple[int, int], Frame]:
    """The stages with this one alone in a wrong place: by the place where it belongs and the one
    where it stands."""
    found = {}
    for order in known.order.orders(stages):
        was, rest = order.index(stage), [one for one in order if one != stage]
        for now in range(len(order)):
            shown = (*rest[:now], stage, *rest[now:])
            if abs(was - now) >= AWAY and _movers(known, shown) == [stage]:
                found[was, now] = shown
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


@cache
def evenly_placed(size: int) -> Mapping[tuple[int, int], float]:
    """How often a stage that belongs in one place is shown in another, so that it is shown in each
    place as often (each row and each column adds up to 1: iterative proportional fitting)."""
    places = range(size)
    share = {(was, now): 1.0 for was in places for now in places if abs(was - now) >= AWAY}
    for turn in range(_ROUNDS):
        for place in places:
            line = [two for two in share if two[turn % 2] == place]
            whole = sum(share[two] for two in line)
            for two in line:
                share[two] /= whole
    return share


_ROUNDS = 40
