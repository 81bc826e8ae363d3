"""What is said of a pair in one line of a list, or beside a cell that is stood on."""

from __future__ import annotations

from practice.pages.said import amid, percents
from practice.pairs import Pair
from quizzes.ragas.telling import NOT_YET


def title_words(pair: Pair) -> str:
    """`Komal Ni, heard as komal Re`; that it was too early to tell is said, not heard."""
    if pair.is_right:
        return pair.right_label
    if NOT_YET in (pair.right, pair.given):
        return f"{_quoted(pair.right, pair.right_label)}, but {said_words(pair)} was said"
    return f"{pair.right_label}, heard as {said_words(pair)}"


def said_words(pair: Pair) -> str:
    """What was answered, as it stands within a sentence."""
    if pair.given == NOT_YET:
        return _quoted(pair.given, pair.given_label[:1].lower() + pair.given_label[1:])
    return amid(pair.given_label, pair.subject)


def answered_by(pair: Pair) -> str:
    """Over the plate of what was answered: `heard`."""
    return "said" if pair.given == NOT_YET else "heard"


def _quoted(thing: str, label: str) -> str:
    """In quotation marks where it is no name."""
    if thing != NOT_YET:
        return label
    return f"\N{LEFT DOUBLE QUOTATION MARK}{label}\N{RIGHT DOUBLE QUOTATION MARK}"


def count_words(pair: Pair) -> str:
    """`29 of 56 times, 39 to 64 %`: how often, and within which bounds that lies at 95 %; of fewer
    than twenty it says that it is few."""
    if not pair.asked:
        return "not asked in the last four weeks" if pair.is_lately else "not asked yet"
    few = ", which is few" if pair.is_few else ""
    right = "right " if pair.is_right else ""
    return f"{right}{pair.count} of {pair.asked} times{few}, {percents(pair.interval)}"
