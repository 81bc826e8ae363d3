"""`palta:third:three`: four groups of a palta, the third of them silent: write it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import cache
from itertools import product
from types import MappingProxyType

from audio.line import HOLD, REST, Beat, Line, Part, Tone
from audio.tuning import Swara
from quizzes.contours import THATS
from quizzes.edits import Pair, slips, tally
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.palta_run import (
    explained,
    fresh_layout,
    fresh_walk,
    in_hand,
    read_groups,
    told,
    walks,
)
from quizzes.kinds.palta_way import (
    PaltaWay,
    called_in,
    layout_in,
    moving_on,
    palta_in,
    question_of,
)
from quizzes.names import counted, number_word, ordinal, swara_name
from quizzes.paltas import Palta, lay, of_grade
from quizzes.question import KEYS_APART, Choice, Mark, Question, Setting
from words import in_script, say, to_say

GROUPS, SILENT = 4, 2
"""So many groups, and which of them is not heard, from 0."""
LIKELY = 8
"""So many lines that have the most places right are tried as blind guesses."""

Places = tuple[int, ...]
"""A line by the places of its swaras among the keys."""


class Third(PaltaWay):
    way = "third"
    called = to_say("{grade}: one left out, written")
    seconds = 24.0

    def chance_of(self, some: Sequence[Palta]) -> float:
        return sum(luck(each.grade, each.swaras) for each in some) / len(some)

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        some, fresh = self.some(skill), Fresh(skill, seed)
        met = skill in setting.met
        palta = fresh.one_of(some)
        walk = fresh_walk(fresh, [palta.shape], GROUPS, met=met, setting=setting)
        groups = walk.groups(palta.shape, range(GROUPS))
        layout = fresh_layout(fresh, [palta], met=met)
        size = palta.swaras
        line = silenced(lay(groups, layout), range(SILENT * size, (SILENT + 1) * size))
        keys = [str(swara) for swara in in_hand(walk.scale)]
        asked = question_of(
            fresh,
            skill,
            line,
            palta,
            layout,
            walk,
            seed=seed,
            setting=setting,
            prompt=say(
                "Four groups of a pattern, the third left silent. Write its {number} swaras.",
                number=number_word(size),
            ),
            choices=[Choice(key, in_script(key)) for key in keys],
            right=KEYS_APART.join(map(str, groups[SILENT])),
            detail={"heard": told(groups)},
        )
        return replace(
            asked,
            answer_on="written",
            places=size,
            fewest=size,
            lines=round(1 / luck(palta.grade, size)),
        )

    def mark(self, question: Question, given: str) -> Mark:
        """The share of the line that is right, above what the best blind guess earns."""
        right, answered = question.written(question.right[0]), question.written(given)
        if right == answered:
            return Mark(1.0)
        blind = blind_share(palta_in(question).grade, len(right))
        return Mark(max(0.0, (tally(right, answered).share - blind) / (1.0 - blind)))

    def explain(self, question: Question, given: str) -> Explanation:
        palta, layout = palta_in(question), layout_in(question)
        groups, size = read_groups(question.detail["heard"]), palta.swaras
        (answered,) = read_groups(given)
        return explained(
            question,
            given,
            why=_why(question, given),
            layout=layout,
            line=lay(groups, layout),
            deciding=range(SILENT * size, (SILENT + 1) * size),
            given_line=lay([*groups[:SILENT], answered, *groups[SILENT + 1 :]], layout),
            given_plays=say("the run with what you wrote"),
        )

    def introduce(self, question: Question) -> str:
        return say(
            "The pattern is {name}: {groups}. Its third group will be silent, for as long as it "
            "would last.",
            name=called_in(question),
            groups=in_script(question.detail["heard"]),
        )


def silenced(line: Line, places: Iterable[int]) -> Line:
    """The line with the notes at these places, from 0, left silent for their time."""
    silent, place, is_silent = frozenset(places), -1, False
    beats: list[Beat | str] = []
    for item in line.items:
        parts: list[Part] = []
        for part in item.parts if isinstance(item, Beat) else ():
            if isinstance(part, Tone):
                place += 1
                is_silent = place in silent
            hushed = is_silent and (part == HOLD or isinstance(part, Tone))
            parts.append(REST if hushed else part)
        beats.append(replace(item, parts=tuple(parts)) if isinstance(item, Beat) else item)
    return Line(tuple(beats))


@cache
def possible(grade: str, size: int) -> Mapping[Places, float]:
    """All lines that may be right where a palta of this grade has so many swaras, and how often
    each is."""
    scale = tuple(THATS[0].split())
    ladder = in_hand(scale)
    some = [palta for palta in of_grade(grade) if palta.swaras == size]
    found: defaultdict[Places, float] = defaultdict(float)
    for palta, falling in product(some, (False, True)):
        starts = walks(scale, [palta.shape], GROUPS, falling=falling)
        for walk in starts:
            (group,) = walk.groups(palta.shape, [SILENT])
            found[tuple(map(ladder.index, group))] += 1 / (2 * len(some) * len(starts))
    return MappingProxyType(found)


def luck(grade: str, size: int) -> float:
    """How often the line that is right most often is."""
    return max(possible(grade, size).values())


@cache
def blind_share(grade: str, size: int) -> float:
    """The mean share of the best guess that is always the same."""
    lines = possible(grade, size)
    at_place: list[defaultdict[int, float]] = [defaultdict(float) for _ in range(size)]
    for line, often in lines.items():
        for count, place in zip(at_place, line, strict=True):
            count[place] += often

    def places_right(guess: Places) -> float:
        return sum(count[place] for count, place in zip(at_place, guess, strict=True))

    likely = sorted(lines, key=places_right, reverse=True)[:LIKELY]
    usual = tuple(max(count, key=count.__getitem__) for count in at_place)
    return max(
        sum(often * tally(_words(line), _words(guess)).share for line, often in lines.items())
        for guess in (usual, *likely)
    )


def _words(line: Places) -> list[str]:
    return list(map(str, line))


def _why(question: Question, given: str) -> str:
    right, answered = question.written(question.right[0]), question.written(given)
    wrong = slips(right, answered)
    told_so = say(
        "The pattern is {name}; {moving_on}: {group}.",
        name=called_in(question),
        moving_on=moving_on(question),
        group=in_script(" ".join(right)),
    )
    if not wrong:
        return told_so
    slip = _slip(wrong[0], right, answered)
    if wrong[1:]:
        count = counted(len(wrong), "{number} slip", "{number} slips")
        return f"{told_so} {say('{slip}, the first of {slips}.', slip=slip, slips=count)}"
    return f"{told_so} {say('{slip}.', slip=slip)}"


def _slip(wrong: Pair, right: Sequence[str], answered: Sequence[str]) -> str:
    """`Its third swara is missing`."""
    at, to = wrong
    wrote = "" if to is None else swara_name(Swara.read(answered[to]))
    if at is None:
        return say("The {swara} that you wrote is too much", swara=wrote)
    if to is None:
        return say("Its {which} swara is missing", which=ordinal(at))
    was = swara_name(Swara.read(right[at]))
    return say("Its {which} swara was {was}, not {wrote}", which=ordinal(at), was=was, wrote=wrote)
