"""What is said of a pair in one line of a list, or beside a cell that is stood on."""

from __future__ import annotations

from practice.pages.said import percents
from practice.pairs import Pair


def title_words(pair: Pair) -> str:
    """`Komal Re, heard as Re`."""
    return pair.right_label if pair.is_right else f"{pair.right_label}, heard as {pair.given_label}"


def count_words(pair: Pair) -> str:
    """`29 of 56 times, 39 to 64 %`: how often, and within which bounds that lies at 95 %; of fewer
    than twenty it says that it is few."""
    if not pair.asked:
        return "not asked in the last four weeks" if pair.is_lately else "not asked yet"
    few = ", which is few" if pair.is_few else ""
    right = "right " if pair.is_right else ""
    return f"{right}{pair.count} of {pair.asked} times{few}, {percents(pair.interval)}"
