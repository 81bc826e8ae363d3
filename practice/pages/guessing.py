"""In which kinds of question response times betray guessing, in words."""

from __future__ import annotations

from dataclasses import dataclass

from practice.pages.hurry import Hurry, hurry_in, is_enough
from practice.pages.practised import kind_words
from practice.pages.said import part_of, within
from practice.standing import Standing
from scheduler.history import lately


@dataclass(frozen=True, slots=True)
class Hurried:
    """One kind in which quick answers are no better than luck."""

    kind: str
    """In a word or a few: `Gaps`."""
    when: str
    """Until when answers are quick: `within 0.9 s`."""
    quick: str
    """How many of them were right: `12 of 48 (15 to 39 %)`."""
    luck: str
    """How many luck would have given: `12`."""
    slower: str

    @property
    def figure(self) -> str:
        return (
            f"{self.kind} answered {self.when}: {self.quick} right, luck alone gives {self.luck}; "
            f"later: {self.slower}"
        )


@dataclass(frozen=True, slots=True)
class Guessing:
    """Where guessing shows, the plainest first; `looked_at` kinds had answers enough to tell."""

    found: tuple[Hurried, ...]
    looked_at: int

    @property
    def words(self) -> str:
        """What is said of it besides the figures."""
        if not self.looked_at:
            return "Too few answers of any one kind in the last four weeks to say."
        kinds = "one kind" if self.looked_at == 1 else f"{self.looked_at} kinds"
        if not self.found:
            return (
                f"Nothing points to guessing in the {kinds} with answers enough of the last four "
                "weeks."
            )
        return "Quick answers were no better than luck, slower ones were. They may be guesses."


def guessing_in(standing: Standing) -> Guessing:
    """From the answers of the last four weeks, kind by kind."""
    weeks, found, looked_at = lately(standing.now), list[tuple[str, Hurry]](), 0
    for kind in standing.history.hurried:
        bins = standing.history.bins(kind, weeks)
        looked_at += is_enough(bins)
        hurry = hurry_in(bins)
        if hurry is not None:
            found.append((kind, hurry))
    found.sort(key=lambda each: -each[1].quick.asked)
    return Guessing(tuple(_hurried(kind, hurry) for kind, hurry in found), looked_at)


def _hurried(kind: str, hurry: Hurry) -> Hurried:
    quick, slower = hurry.quick, hurry.slower
    return Hurried(
        kind=kind_words(kind),
        when=within(hurry.until),
        quick=part_of(quick.right, quick.asked, quick.interval),
        luck=f"{quick.luck:.0f}",
        slower=part_of(slower.right, slower.asked, slower.interval),
    )
