"""A phrase tried by a raga: what breaks it, for sure or perhaps, and how much of it holds.

What no teaching known allows breaks it for sure, and that alone takes from it. What else speaks
against it is told as a doubt, but for what would not even raise one: a fact from memory alone, the
ways of a light raga, and what some teach otherwise. Nor is anything told of a run that is none: one
that stands so in a way that others teach, that goes through Sa by steps of the raga's own, or over
the seam where one stretch of its own is followed by another.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from audio.tuning import Swara
from quizzes.making.likeness import stretches
from quizzes.making.phrases import Heard, moved
from quizzes.ragas.movement import (
    Break,
    Swaras,
    Turn,
    all_breaks,
    makes,
    own_steps,
    own_turns,
    sure_breaks,
    turn_of,
)
from quizzes.ragas.raga import Raga

SURE, DOUBT, FREE, QUIET = "sure", "doubt", "free", "quiet"
SURE_COSTS = 2
"""Of the swaras of a phrase, what a break takes from what holds (a choice of ours: half of the
swaras foreign, as a guess has them, and nothing holds)."""


@dataclass(frozen=True, slots=True)
class Against:
    """What speaks against a phrase: `why` is "note", "run", "turn" or "required", as in `Break`, or
    "touch", a swara that is only touched; `letter` the swara at fault. `how` is SURE, DOUBT,
    FREE where it is not even doubtful, or QUIET where it is not worth a word."""

    why: str
    of: int
    at: int
    letter: str
    how: str
    also: tuple[int, ...] = ()
    """Further places of the same, where they are told together."""


@dataclass(frozen=True, slots=True)
class Tried:
    """What a raga says of a phrase. `steps` are the places of swaras that it is not known to reach
    from the one before, though nothing speaks against them."""

    against: tuple[Against, ...]
    steps: tuple[int, ...]
    count: int

    @property
    def is_doubtful(self) -> bool:
        """Whether something speaks against it, though not for sure."""
        return any(each.how == DOUBT for each in self.against)

    @property
    def surely_broken(self) -> bool:
        return any(each.how == SURE for each in self.against)

    @property
    def is_welcome(self) -> bool:
        """Whether nothing at all speaks against it and every step is the raga's own."""
        return not self.against and not self.steps

    @property
    def share(self) -> float:
        """How much of it holds, from 0 to 1; 1 where it is not surely broken."""
        broken = {each.of for each in self.against if each.how == SURE}
        return max(0.0, 1.0 - SURE_COSTS * len(broken) / self.count)


def tried(raga: Raga, heard: Heard) -> Tried:
    """The whole line: each of its phrases, and what is touched in it."""
    against = sorted(
        {*_broken(raga, heard), *_touched(raga, heard)},
        key=lambda each: (each.at, each.of, each.why, each.letter, each.how),
    )
    return Tried(tuple(against), tuple(_unknown_steps(raga, heard)), len(heard.notes))


def is_made_by(raga: Raga, heard: Heard) -> bool:
    """Whether this is known to be a line of the raga: it makes each phrase, and has what is
    touched."""
    return (
        all(makes(raga, heard.within(phrase)) for phrase in heard.phrases)
        and not any(_turns_over_repeats(raga, heard, phrase) for phrase in heard.phrases)
        and not any(_touched(raga, heard))
    )


def _broken(raga: Raga, heard: Heard) -> Iterator[Against]:
    for phrase in heard.phrases:
        swaras = heard.within(phrase)
        sure = sure_breaks(raga, swaras)
        # Both, since what is struck twice may be a run by the one and none by the other.
        unsure = [*all_breaks(raga, swaras), *_turns_over_repeats(raga, heard, phrase)]
        for each in dict.fromkeys((*sure, *unsure)):
            how = SURE if each in sure else _how_unsure(raga, heard, each, phrase)
            letter = swaras[each.of].letter
            yield Against(each.by, each.of + phrase.start, each.at + phrase.start, letter, how)


def _turns_over_repeats(raga: Raga, heard: Heard, phrase: range) -> list[Break]:
    """Turns that are broken only where what is struck again at once counts once."""
    places = heard.once(phrase)
    if len(places) == len(phrase):
        return []
    plain = {each.at for each in all_breaks(raga, heard.within(phrase)) if each.by == "turn"}
    return [
        Break(each.by, places[each.of] - phrase.start, places[each.at] - phrase.start)
        for each in all_breaks(raga, [heard.swaras[place] for place in places])
        if each.by == "turn" and places[each.at] - phrase.start not in plain
    ]


def _how_unsure(raga: Raga, heard: Heard, broken: Break, phrase: range) -> str:
    swaras = heard.within(phrase)
    if broken.by == "run":
        before = next(
            place for place in range(broken.of, -1, -1) if swaras[place] != swaras[broken.of]
        )
        places = before, broken.of, broken.at
        if _is_no_run(raga, [swaras[place] for place in places]) or _is_seam(
            raga, heard, [place + phrase.start for place in places]
        ):
            return QUIET
    return DOUBT if _decides(raga, broken, swaras) else FREE


def _is_no_run(raga: Raga, swaras: Swaras) -> bool:
    is_own = all(turn_of(pair) in own_steps(raga) for pair in pairwise(swaras))
    return (is_own and swaras[1].letter == "S") or turn_of(swaras) in taught_turns(raga)


def _is_seam(raga: Raga, heard: Heard, places: Sequence[int]) -> bool:
    """Whether one stretch of the raga's own ends in these three places and another goes on."""
    before, here, after = places
    own = stretches(raga, heard)
    ends = [each.end - 1 for each in own if each.end - 1 in (before, here)]
    begins = [each.start for each in own if each.start in (here, after)]
    return any(end <= begin for end in ends for begin in begins)


def _decides(raga: Raga, broken: Break, swaras: Swaras) -> bool:
    """Whether what is not sure still stands against the phrase."""
    if broken.by == "note":  # somebody has it, else it were sure
        return False
    if broken.by == "turn":
        whole = turn_of(moved(swaras[broken.of : broken.at + 1]))
        return any(each.confidence != "C" for each in raga.forbidden if turn_of(each.turn) == whole)
    letter = swaras[broken.of].letter
    if broken.by == "required":
        return any(each.confidence != "C" for each in raga.required if each.letter == letter)
    rises = swaras[broken.of].steps < swaras[broken.at].steps
    is_light = "light" in raga.gait.value
    return raga.scale.sure and not is_light and not is_passed_by_some(raga, letter, rises=rises)


def is_passed_by_some(raga: Raga, letter: str, *, rises: bool) -> bool:
    """Whether some teach a way up, or down, that has this swara where ours has it not."""
    scale = raga.scale.value
    own = scale.up if rises else scale.down
    taught = raga.others("aroha" if rises else "avaroha")
    return letter not in own and any(letter in way for way in taught)


def _touched(raga: Raga, heard: Heard) -> Iterator[Against]:
    """Swaras that are not the raga's where they are only touched, or hammered on to."""
    for place, note in enumerate(heard.notes):
        for swara in note.tone.swaras:
            if swara != note.swara and swara.letter not in raga.allowed:
                how = FREE if swara.letter in raga.ever else SURE
                yield Against("touch", place, place, swara.letter, how)


def _unknown_steps(raga: Raga, heard: Heard) -> Iterator[int]:
    """Places of swaras that are come to by a step that the raga is not known to take."""
    known = own_steps(raga)
    for phrase in heard.phrases:
        for place, (one, other) in enumerate(pairwise(heard.within(phrase)), phrase.start + 1):
            if one != other and turn_of((one, other)) not in known:
                yield place


@cache
def taught_turns(raga: Raga) -> frozenset[Turn]:
    """All successions of three that stand in a way that others teach."""
    return frozenset(
        turn_of(way[place : place + 3])
        for way in _taught_ways(raga)
        for place in range(len(way) - 2)
    )


def own_row(raga: Raga, heard: Heard) -> tuple[Swara, ...]:
    """The longest row in a phrase of which all turns of three are the raga's own, or stand in a way
    that others teach; of two swaras where only a step is, () where not even that."""
    best: tuple[Swara, ...] = ()
    for part in heard.phrases:
        swaras = [heard.swaras[place] for place in heard.once(part)]
        for start in range(len(swaras)):
            end = start
            while end + 3 <= len(swaras) and _is_own_turn(raga, swaras[end : end + 3]):
                end += 1
            row = tuple(swaras[start : end + 2]) if end > start else ()
            if not row and turn_of(swaras[start : start + 2]) in own_steps(raga):
                row = tuple(swaras[start : start + 2])
            best = max(best, row, key=len)
    return best


def _is_own_turn(raga: Raga, swaras: Swaras) -> bool:
    turn = turn_of(swaras)
    return turn in own_turns(raga) or turn in taught_turns(raga)


def is_taught_step(raga: Raga, heard: Heard, place: int) -> bool:
    """Whether the step to this place stands in a way that others teach."""
    return turn_of(heard.swaras[place - 1 : place + 1]) in _taught_steps(raga)


@cache
def _taught_steps(raga: Raga) -> frozenset[Turn]:
    return frozenset(turn_of(pair) for way in _taught_ways(raga) for pair in pairwise(way))


def _taught_ways(raga: Raga) -> list[list[Swara]]:
    ways = (*raga.others("aroha"), *raga.others("avaroha"))
    return [[Swara.read(word) for word in way.split()] for way in ways]
