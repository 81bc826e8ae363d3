"""Response times that betray guessing: quick answers no better than luck, while slower ones are.

Where quick ends is found by the cumulative share of right answers (Guo, Rios, Haberman, Liu, Wang &
Paek, "A new procedure for detection of students' rapid guessing responses using response time",
Applied Measurement in Education 29 (2016)): at the longest time by which all answers together are
no better than luck. By itself that finds such a time for too many who do not guess. So it counts
only where the slower answers surely show more knowledge: where the two intervals at 95 %, with luck
taken out, do not touch, and both have answers enough.

On 1,000 made-up students each, who know 80 % of what they do not guess, with a chance of luck of
1/4 or 1/2, there are found of those who guess

    15 % of 100 answers: 15 to 20 %;   30 % of 100 answers: 70 to 79 %;
    15 % of 200 answers: 65 to 70 %;   30 % of 200 answers: 85 to 92 %;
    15 % of 400 answers: 83 to 90 %;   30 % of 400 answers: 93 to 97 %;

and of those who never hurry, whether they know 10, 50 or 80 %, 1.4 % at most.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from scheduler.history import Tally
from scheduler.proportion import Proportion
from scheduler.reliability import FEW

LUCK_ALONE = 0.1
"""Answers are no better than luck where their interval does not lie above luck and they show, with
luck taken out, no more knowledge than this."""


@dataclass(frozen=True, slots=True)
class Hurry:
    """The answers up to and after a time: `until` is the last bin of the quick ones."""

    until: int
    quick: Proportion
    slower: Proportion


def is_enough(bins: Mapping[int, Tally]) -> bool:
    """Whether there are answers enough to be parted into quick and slower ones."""
    return sum(tally.asked for tally in bins.values()) >= 2 * FEW


def hurry_in(bins: Mapping[int, Tally]) -> Hurry | None:
    """What betrays guessing in these answers by the bins of their response times, if anything."""
    whole = Tally()
    for tally in bins.values():
        whole = whole.and_also(tally)
    found, quick = None, Tally()
    for number in sorted(bins):
        quick = quick.and_also(bins[number])
        slower = Tally(
            whole.asked - quick.asked, whole.right - quick.right, whole.luck - quick.luck
        )
        if min(quick.asked, slower.asked) >= FEW and is_luck(quick.proportion):
            found = Hurry(number, quick.proportion, slower.proportion)
    if found is None or found.slower.known_interval[0] <= found.quick.known_interval[1]:
        return None
    return found


def halfway(bins: Mapping[int, Tally]) -> int:
    """The bin by which half of the answers had come; there must be one answer."""
    half, come = sum(tally.asked for tally in bins.values()) / 2, 0
    for number in sorted(bins):
        come += bins[number].asked
        if come >= half:
            break
    return number


def is_luck(answers: Proportion) -> bool:
    """Whether these are no better than luck."""
    return answers.known <= LUCK_ALONE and answers.interval[0] <= answers.chance
