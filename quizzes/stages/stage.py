"""A stage of a performance as the files tell it: its names, its purpose, what is heard in it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from quizzes.stages.order import Order
from words import say

Range = tuple[float, float]
"""From and to."""


def from_to(span: Range) -> str:
    """`12 to 30`; of two that are the same, that."""
    low, high = (f"{end:g}" for end in span)
    return low if low == high else say("{low} to {high}", low=low, high=high)


SAPTAKS = ("mandra", "madhya", "tar")


@dataclass(frozen=True, slots=True)
class Heard:
    """What is heard in a stage: enough to play it, and to know it by.

    `tempo` is in pulses (in a tala: matras) a minute, None where there is no pulse. `strokes` are
    those on the playing string in a second, `chikari` the share of all blows of the mizrab that
    fall on the chikari, `ornaments` the share of notes that the left hand bends or touches.
    `register` are the saptaks through which it goes, in order. `talas` are those in which it is
    played, the usual one first; () where there is no tabla. `bols` is the name of a gat or a jhala
    of `assets/mizrab.toml`, "" where the right hand follows no set line. `run` is the sort of tan
    that is played, "" for none, and `ends` is "tihai" where it closes with one. `shaken` says that
    most of the ornaments are gamaks; `comes_round`, of what is in a tala without a line of `bols`,
    that it is composed all the same, so that its line comes round with each cycle.
    """

    tempo: Range | None
    strokes: Range
    chikari: Range
    ornaments: Range
    register: tuple[str, ...]
    talas: tuple[str, ...]
    bols: str
    run: str
    ends: str
    shaken: bool
    comes_round: bool
    confidence: str
    source: str

    @property
    def pulse(self) -> bool:
        return self.tempo is not None

    @property
    def tabla(self) -> bool:
        return bool(self.talas)


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage. `about` goes on from "Jor is", `purpose` from "Jor is there to"."""

    id: str
    name: str
    also: tuple[str, ...]
    """Other names that are taught for it."""
    about: str
    purpose: str
    may_lack: bool
    """Whether a performance, or what it is a part of, may do without it."""
    needs: tuple[str, ...]
    """Stages out of which it grows: it is never played without them."""
    instead_of: tuple[str, ...]
    """Stages for all of which it may stand; it never comes beside them."""
    heard: Heard
    confidence: str
    source: str


@dataclass(frozen=True, slots=True)
class Division:
    """A whole and the stages into which it is divided, or the sorts in which something comes.

    `of` is the stage that is divided, "" for a whole performance. Where it is `ordered` its parts
    follow one another; the kinds of tan do not.
    """

    id: str
    name: str
    """What is divided or sorted, in words: "a performance", "the four tuks of an alap"."""
    of: str
    part: str
    """What one of its parts is called: "stage", "tuk", "tan"."""
    parts: tuple[str, ...]
    ordered: bool
    source: str


@dataclass(frozen=True, slots=True)
class Form:
    """All that is known of how a performance unfolds, as shipped or as a teacher has it."""

    stages: Mapping[str, Stage]
    divisions: Mapping[str, Division]
    order: Order
    ragas: tuple[str, ...]
    """Ragas in which stages are played for a student who has begun none."""

    def needed_by(self, stages: Iterable[str]) -> frozenset[str]:
        """All that is played wherever these are: what they need, and what that needs in turn; a
        part needs what its whole needs."""
        found: set[str] = set()
        waiting = list(stages)
        while waiting:
            stage = waiting.pop()
            new = {*self.stages[stage].needs} - found
            found |= new
            waiting += new
            if whole := self.order.parents.get(stage):
                waiting.append(whole)
        return frozenset(found)

    def whole_of(self, stage: str) -> Division:
        """The division in which a stage stands; the first one, should it stand in several."""
        return next(each for each in self.divisions.values() if stage in each.parts)
