"""`raga-hours`: in which order do these ragas follow one another through the day, from six on?

Only ragas are put in order whose order is the same whichever of their taught hours one takes. The
levels are three ragas and four.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import combinations, pairwise

from audio.line import BAR, REST, Beat, Line
from audio.sargam import parse, write
from audio.score import Score
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import counted, number_word
from quizzes.question import KEYS_APART, Choice, Mark, Question, Setting, Skill
from quizzes.ragas.asking import (
    RagaKind,
    as_shipped,
    drone_for,
    label_of,
    raga_skill,
    ragas_in,
    split,
)
from quizzes.ragas.day import DAWN, day_of, has_hours, hours_in_words, in_sure_order, on_clock
from quizzes.ragas.growing import grow
from quizzes.ragas.raga import Raga
from quizzes.ragas.said import raga_name
from quizzes.ragas.sounding import cue_of, explained_cue, plain_line
from quizzes.ragas.tradition import ragas
from words import say, to_say

COUNTS = {"three": 3, "four": 4}
SECONDS = {"three": 28.0, "four": 38.0}
FEWEST, MOST = 4, 6
"""How many swaras a phrase has, to be kept in mind with the others."""
LONGEST_S = 15.5
"""All phrases together; where they would last longer they go faster."""
SLOWEST = 84.0
"""In matras a minute."""
TEMPO_SPREAD = 1.1
BREATH = Beat((REST,))
"""Between two phrases."""
BLIND = 0.5
"""The share of pairs that a guess puts in order."""


class RagaHoursKind(RagaKind):
    name = "raga-hours"
    title = to_say("Three or four ragas: which belongs earlier in the day, which later?")
    sorts = tuple(COUNTS)

    @staticmethod
    def called(sort: str, raga: Raga) -> str:
        return say(
            "The hours of {raga}, among {number} ragas",
            raga=raga_name(raga),
            number=number_word(COUNTS[sort]),
        )

    def several(self, count: int) -> str:
        return counted(count, "{number} order of hours", "{number} orders of hours")

    def skills_among(self, known: Mapping[str, Raga]) -> tuple[Skill, ...]:
        return tuple(
            _skill(level, raga)
            for level, count in COUNTS.items()
            for raga in known.values()
            if _is_asked(raga, count, known)
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        count, raga = _asked(skill, setting)
        fresh = Fresh(skill, seed)
        keys = fresh.shuffled(in_sure_order((raga,), count, _others(fresh, raga, setting)))
        lines = {one.id: plain_line(grow(fresh, one, fewest=FEWEST, most=MOST)) for one in keys}
        line = _in_turn(list(lines.values()))
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say(
                "Put these ragas in the order of their hours, from {hour} in the morning on.",
                hour=DAWN,
            ),
            choices=tuple(Choice(one.id, raga_name(one)) for one in keys),
            right=(KEYS_APART.join(one.id for one in sorted(keys, key=day_of)),),
            cue=cue_of(
                fresh,
                line,
                sa_hz=setting.sa_hz,
                tuning=setting.tuning,
                drone=drone_for(keys),
                tempo=(_slowest(line), TEMPO_SPREAD * _slowest(line)),
            ),
            sargam=write(line),
            detail={"phrases": {one: write(each) for one, each in lines.items()}},
            answer_on="order",
            places=count,
            fewest=count,
            lines=math.factorial(count),
        )

    def mark(self, question: Question, given: str) -> Mark:
        right, answered = question.written(question.right[0]), question.written(given)
        if right == answered:
            return Mark(1.0)
        pairs = list(combinations(right, 2))
        share = sum(_stand(answered, *pair) for pair in pairs) / len(pairs)
        return Mark(max(0.0, (share - BLIND) / (1.0 - BLIND)))

    def explain(self, question: Question, given: str) -> Explanation:
        right, answered = question.written(question.right[0]), question.written(given)
        return Explanation(
            right_label=label_of(question, question.right[0]),
            given_label=label_of(question, given),
            why=_why(question, right, answered),
            right_cue=_played(question, right),
            given_cue=None if answered == right else _played(question, answered),
            given_plays="" if answered == right else say("a phrase of each, in your order"),
        )

    def introduce(self, question: Question) -> str:
        return say(
            "Most ragas are kept for certain hours. From {hour} in the morning on, in the order "
            "in which you hear them: {timetable}.",
            hour=DAWN,
            timetable=_timetable(question),
        )


def _in_turn(lines: Sequence[Line]) -> Line:
    """One after the other, with a breath between them."""
    first, *others = lines
    items = [*first.items]
    for line in others:
        items += [BREATH, BAR, *line.items]
    return Line(tuple(items))


def _slowest(line: Line) -> float:
    return max(SLOWEST, round(60.0 * float(line.matras) / LONGEST_S, 1))


def _played(question: Question, order: Sequence[str]) -> Score:
    """The phrases that were heard, in another order."""
    drone = question.cue.drone
    line = _in_turn([parse(question.detail["phrases"][one]) for one in order])
    return explained_cue(
        line,
        sa_hz=question.cue.sa_hz,
        tuning=question.setting.tuning,
        drone=None if drone is None else drone.first,
        matras_per_min=_slowest(line),
    )


def _timetable(question: Question) -> str:
    """The ragas in their order, each with its hours."""
    known = _known_to(question)
    order = question.written(question.right[0])
    hours = {one: hours_in_words(known[one]) for one in order}
    rows = [say("{raga} {hours}", raga=raga_name(known[one]), hours=hours[one]) for one in order]
    return ", ".join(rows)


def _known_to(question: Question) -> Mapping[str, Raga]:
    _, raga = _asked(question.skill, question.setting)
    return _known(question.setting.tradition, raga.id)


def _stand(answered: Sequence[str], first: str, second: str) -> bool:
    """Whether both were given and in this order."""
    return first in answered and second in answered[answered.index(first) :]


def _why(question: Question, right: Sequence[str], answered: Sequence[str]) -> str:
    """When each is played, and the first slip of an order that is not right."""
    timetable, known = _timetable(question), _known_to(question)
    if answered == right:
        return say("{timetable}.", timetable=timetable)
    for earlier, later in pairwise(answered):
        if right.index(later) < right.index(earlier):
            return say(
                "{timetable}; {first} comes before {second}.",
                timetable=timetable,
                first=raga_name(known[later]),
                second=raga_name(known[earlier]),
            )
    missing = next(one for one in right if one not in answered)
    return say(
        "{timetable}; {raga} was left out.",
        timetable=timetable,
        raga=raga_name(known[missing]),
    )


def _others(fresh: Fresh, raga: Raga, setting: Setting) -> list[Raga]:
    """What may be set beside it: ragas met in this kind first."""
    known = _known(setting.tradition, raga.id)
    met = ragas_in(setting.met, setting.tradition)
    rest = [one for one in known if one not in met]
    return [known[one] for one in (*fresh.shuffled(met), *fresh.shuffled(rest))]


@lru_cache(maxsize=256)
def _known(tradition: str, raga: str) -> Mapping[str, Raga]:
    """The ragas as the student's teacher has them; as shipped where he gives this one such hours
    that no order is sure."""
    taught = ragas(tradition)
    return taught if _is_asked(taught[raga], max(COUNTS.values()), taught) else ragas()


def _is_asked(raga: Raga, count: int, known: Mapping[str, Raga]) -> bool:
    return has_hours(raga) and bool(in_sure_order((raga,), count, list(known.values())))


def _skill(level: str, raga: Raga) -> Skill:
    return raga_skill(
        RagaHoursKind.name,
        raga,
        RagaHoursKind.called(level, raga),
        sort=level,
        cluster=f"hours from {on_clock(day_of(raga)[0])}",
        family="facts",
        chance=1 / math.factorial(COUNTS[level]),
        seconds=SECONDS[level],
    )


def _asked(skill: str, setting: Setting) -> tuple[int, Raga]:
    """How many ragas, and which one among them. Raises UnknownSkill."""
    count, raga = split(skill, "raga-hours", setting, COUNTS)
    known = _known(setting.tradition, raga.id)
    return COUNTS[count], known.get(raga.id) or as_shipped(raga, skill)
