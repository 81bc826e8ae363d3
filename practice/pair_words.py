"""What is said of a pair: what is taken for what, how often, and how that has moved."""

from __future__ import annotations

import math

from practice.pairs import Pair
from scheduler.reliability import wilson


def taken_words(pair: Pair) -> str:
    """`Komal Re taken for Re`."""
    if pair.is_right:
        return f"{pair.right_label} heard as what it is"
    return f"{pair.right_label} taken for {pair.given_label}"


def count_words(pair: Pair) -> str:
    """`29 of 56 times (39 to 64 in 100)`: how often, and how often it may really be."""
    if not pair.asked:
        return "not asked in the last four weeks" if pair.is_lately else "not asked yet"
    low, high = (round(100 * end) for end in pair.interval)
    few = ", few yet" if pair.is_few else ""
    return f"{pair.count} of {pair.asked} times ({low} to {high} in 100{few})"


def moved_words(pair: Pair) -> str:
    """How often it was so in the four weeks before, and whether that is surely otherwise now."""
    count, asked = pair.before
    if not pair.is_lately:
        return "Not asked in the last four weeks: all that was ever answered is counted."
    if not asked:
        return "Not asked in the four weeks before."
    was = f"{count} of {asked} in the four weeks before"
    low, high = difference((pair.count, pair.asked), (count, asked))
    if pair.asked and (low > 0.0 or high < 0.0):
        return f"{was}: {'more' if low > 0.0 else 'less'} often now."
    return f"{was}: no sure change."


def difference(now: tuple[int, int], then: tuple[int, int]) -> tuple[float, float]:
    """By how much a share has grown, as an interval at 95 %; each is (how often, of how many).

    R. G. Newcombe, "Interval estimation for the difference between independent proportions:
    comparison of eleven methods", Statistics in Medicine 17 (1998), method 10.
    """
    (low_now, high_now), (low_then, high_then) = wilson(*now), wilson(*then)
    share_now, share_then = (count / asked if asked else 0.5 for count, asked in (now, then))
    grown = share_now - share_then
    less = math.hypot(share_now - low_now, high_then - share_then)
    more = math.hypot(high_now - share_now, share_then - low_then)
    return grown - less, grown + more
