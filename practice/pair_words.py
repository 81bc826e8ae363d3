"""What is said of a pair in one line of a list, or beside a cell that is stood on."""

from __future__ import annotations

from practice.pages.said import amid, percents
from practice.pairs import Pair
from quizzes.ragas.telling import NOT_YET
from scheduler.reliability import LEAST_TOLD
from words import say


def title_words(pair: Pair) -> str:
    """`Komal Ni, heard as komal Re`; that it was too early to tell is said, not heard."""
    if pair.is_right:
        return pair.right_label
    if NOT_YET in (pair.right, pair.given):
        right = _quoted(pair.right, pair.right_label)
        return say("{right}, but {said} was said", right=right, said=said_words(pair))
    return say("{right}, heard as {heard}", right=pair.right_label, heard=said_words(pair))


def said_words(pair: Pair) -> str:
    """What was answered, as it stands within a sentence."""
    if pair.given == NOT_YET:
        return _quoted(pair.given, pair.given_label[:1].lower() + pair.given_label[1:])
    return amid(pair.given_label, pair.subject)


def answered_by(pair: Pair) -> str:
    """What was done with what was answered: "heard" or "said"."""
    return "said" if pair.given == NOT_YET else "heard"


def _quoted(thing: str, label: str) -> str:
    """In quotation marks where it is no name."""
    if thing != NOT_YET:
        return label
    return f"\N{LEFT DOUBLE QUOTATION MARK}{label}\N{RIGHT DOUBLE QUOTATION MARK}"


def count_words(pair: Pair) -> str:
    """`29 of 56 times, 39 to 64 %`: how often, and within which bounds that lies at 95 %; of fewer
    than twenty it says that it is few, of fewer than five no more than that."""
    if not pair.asked:
        if pair.is_lately:
            return say("not asked in the last four weeks")
        return say("not asked yet")
    if pair.asked < LEAST_TOLD:
        few = {"count": pair.count, "asked": pair.asked}
        if pair.is_right:
            return say("right {count} of {asked} times: too few to tell", **few)
        return say("{count} of {asked} times: too few to tell", **few)
    parts = {"count": pair.count, "asked": pair.asked, "spread": percents(pair.interval)}
    if pair.is_right and pair.is_few:
        return say("right {count} of {asked} times, which is few, {spread}", **parts)
    if pair.is_right:
        return say("right {count} of {asked} times, {spread}", **parts)
    if pair.is_few:
        return say("{count} of {asked} times, which is few, {spread}", **parts)
    return say("{count} of {asked} times, {spread}", **parts)
