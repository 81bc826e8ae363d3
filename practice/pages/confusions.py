"""The worst confusions on a page, each with the phrases to play in sargam."""

from __future__ import annotations

from dataclasses import dataclass

from practice.both import both_sides
from practice.pages.said import amid, part_of
from practice.pairs import Pair, worst_pairs
from practice.standing import Standing
from quizzes.names import capital
from scheduler.reliability import FEW, wilson

MOST = 6
"""So many are on a page at most."""
LEAST = 2
"""What happened less often is a slip."""


@dataclass(frozen=True, slots=True)
class Confusion:
    """One thing that is taken for another: in words, in figures, and both to be played."""

    right: str
    given: str
    """Their names, as within a sentence."""
    figure: str
    """`9 of 24 (21 to 57 %)`."""
    before: str
    """The same counts of the four weeks before; "" where they are not compared."""
    play_right: str
    """In sargam; "" where there is nothing to play."""
    play_given: str
    is_sure: bool
    """Whether it surely happens oftener than by guessing alone."""

    @property
    def words(self) -> str:
        return f"{capital(self.right)} heard as {self.given}"


def confusions_in(standing: Standing) -> tuple[Confusion, ...]:
    """The worst, as far as they happened more than once. Takes up to a second for each. Raises
    LogError."""
    pairs = (pair for pair in worst_pairs(standing, most=MOST) if pair.count >= LEAST)
    return tuple(_confusion(standing, pair) for pair in pairs)


def figure_of(pair: Pair) -> str:
    """How often it was, of how many, and when."""
    when = "" if pair.is_lately else ", not asked lately"
    return f"{part_of(pair.count, pair.asked, pair.interval)}{when}"


def is_sure(pair: Pair) -> bool:
    """Whether it happened surely oftener than by guessing alone, in the eight weeks: where these
    had few questions they are filled up with right answers, as for `Pair.badness`."""
    (before, asked_before), asked = pair.before, pair.asked
    low, _ = wilson(pair.count + before, max(asked + asked_before, FEW))
    return low > pair.luck


def _confusion(standing: Standing, pair: Pair) -> Confusion:
    both = both_sides(standing, pair)
    heard = both.heard if both is not None else None
    count, asked = pair.before
    return Confusion(
        right=amid(pair.right_label, pair.subject),
        given=amid(pair.given_label, pair.subject),
        figure=figure_of(pair),
        before=f"{count} of {asked}" if asked else "",
        play_right=both.was.sargam if both is not None else "",
        play_given=heard.sargam if heard is not None else "",
        is_sure=is_sure(pair),
    )
