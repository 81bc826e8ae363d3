"""What explains an answer: what it was and what was given, to read and to hear."""

from __future__ import annotations

from dataclasses import dataclass

from audio.score import Score
from quizzes.wheel import Wheel


@dataclass(frozen=True, slots=True)
class Marked:
    """One swara of a drawn phrase: when it sounds in the cue, and what it is called."""

    start_s: float
    end_s: float
    label: str
    deciding: bool = False
    """Whether it is here that the answer was to be heard."""


@dataclass(frozen=True, slots=True)
class Met:
    """A beat that was to be met by a tap: what it is called, and by how many milliseconds the tap
    was late, below 0 early; None where there was none. Within `within_ms`, where that is not 0, on
    either side the beat counts as met."""

    label: str
    off_ms: float | None
    within_ms: int = 0

    @property
    def is_met(self) -> bool:
        off = self.off_ms
        return off is not None and (not self.within_ms or abs(off) <= self.within_ms)


@dataclass(frozen=True, slots=True)
class Beside:
    """One place of a line beside the same place of the line that was given, each in writing; ""
    where one of them has nothing there. `wrong` says in what they differ, in plain words such as
    "swara", "length" or "ornament"; each can be heard by itself."""

    was: str
    given: str
    wrong: tuple[str, ...] = ()
    was_cue: Score | None = None
    given_cue: Score | None = None


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that is found of a phrase that was made: `mark` is "right" where a wish is kept or
    the raga welcomes it, "otherwise" where not, "" where it is only told; `cue` can be heard."""

    text: str
    mark: str = ""
    cue: Score | None = None


@dataclass(frozen=True, slots=True)
class Explanation:
    """What was asked and what was answered, to read and to hear.

    `given_cue` is None when the answer was right or cannot be played. `given_plays` says what it
    plays where that is not simply the answer. `slow_cue` is the right one played slowly,
    `intro_cue` what presents a new skill where the right one would not, and `drawn` are the swaras
    of `right_cue`, to be drawn with its pitch, where that helps. `wheel` is a cycle that turns with
    `right_cue`, and `met` tells beat by beat how taps came to them.
    """

    right_label: str
    given_label: str
    why: str
    right_cue: Score
    given_cue: Score | None
    given_plays: str = ""
    slow_cue: Score | None = None
    intro_cue: Score | None = None
    drawn: tuple[Marked, ...] = ()
    wheel: Wheel | None = None
    met: tuple[Met, ...] = ()
    counted: str = ""
    """How much was right, where the kind counts it itself: "2 of 3 pairs in order"."""
    nearest: str = ""
    """The right line nearest to what was given, where more are right than the question lists."""
    right_written: str = ""
    given_written: str = ""
    """What `right_cue` and `given_cue` play, in sargam or bols, where it can be written."""
    beside: tuple[Beside, ...] = ()
    """A line of sargam place by place beside the one that was given."""
    findings: tuple[Finding, ...] = ()
    """What is found of a phrase that the student made; it can be kept."""
