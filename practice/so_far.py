"""What is said of one gap, or of one thing taken for another, when it is picked from a picture.

Counts stand in words and as spans: where a share lies, and within which bounds. Of two spans that
do not meet one is called better; of fewer than twenty questions nothing is said about that.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass

from practice.gaps import Gap
from practice.guessed import Guessed, guessed
from practice.meanings import meaning_of, state_word
from practice.pages.said import amid, percents
from practice.pair_words import count_words, said_words, title_words
from practice.pairs import Matrix, Pair
from practice.standing import Standing
from quizzes.kinds.gap import DIRECTIONS
from quizzes.names import capital, gap_name, listed, number_word
from scheduler import LogError, Proportion
from scheduler.history import lately
from scheduler.reliability import LEAST_TOLD, wilson
from words import say, say_many, to_say

LATELY, BEFORE, EVER = to_say("Last four weeks"), to_say("Four weeks before"), to_say("In all")
FADING_DAYS = 7.0
"""What was met longer ago may have faded since."""
NOTHING_KNOWN = 0.005
"""A share below this is nothing, in whole percents."""
NAMED = 3
"""So many things that one is taken for are named."""
NONE_COUNTED = to_say(
    "Nothing of it is counted yet: it was shown, or only one answer was possible."
)
MISTAKEN_SAID = to_say(
    "Right when asked last, or on its way, but taken for another again and again."
)


@dataclass(frozen=True, slots=True)
class Span:
    """A share, 0 to 1, the bounds within which it lies at 95 %, and both in words."""

    label: str
    words: str
    share: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Told:
    """What is said of what was picked; `pair` is what can be heard and drilled of it."""

    title: str
    lines: tuple[str, ...]
    spans: tuple[Span, ...]
    """How it moved, the earlier first; none where it was not asked in one of the two."""
    spans_of: str
    """What the spans are the share of."""
    moved: str
    """Whether that has moved; "" where it was not asked in both."""
    pair: Pair


def counts_words(counted: Proportion) -> str:
    """`7 of 20 right, luck taken out 0 to 42 %`; of fewer than twenty it says that it is few."""
    of = {"right": counted.right, "asked": counted.asked}
    if counted.asked < LEAST_TOLD:
        return say("{right} of {asked} right: too few to tell", **of)
    if counted.known_interval[1] < NOTHING_KNOWN:
        if counted.is_few:
            return say(
                "{right} of {asked} right, which is few, no more than by guessing",
                **of,
            )
        return say("{right} of {asked} right, no more than by guessing", **of)
    # No line is to end before the sign.
    spread = percents(counted.known_interval).replace(" %", "\N{NO-BREAK SPACE}%")
    if counted.is_few:
        return say(
            "{right} of {asked} right, which is few, luck taken out {spread}", spread=spread, **of
        )
    return say("{right} of {asked} right, luck taken out {spread}", spread=spread, **of)


def row_words(gap: Gap) -> str:
    """A gap in one line of a list: `shaky: 7 of 20 right, luck taken out 0 to 42 %`, in the last
    four weeks; where it was not asked in them, in all, and it says so."""
    state = state_words(gap)
    if gap.lately.asked:
        return say("{state}: {counts}", state=state, counts=counts_words(gap.lately))
    if gap.answered.asked:
        counts = counts_words(gap.answered)
        return say("{state}: not asked lately, in all {counts}", state=state, counts=counts)
    return say("{state}: nothing counted yet", state=state)


def state_words(gap: Gap) -> str:
    """`shaky`, or `firm, but mistaken`."""
    state = state_word(gap.state)
    return say("{state}, but mistaken", state=state) if gap.drawn_as != gap.state else state


def gap_told(standing: Standing, gap: Gap, heard: Matrix) -> Told:
    """Of one gap; `heard` is what was taken for what among gaps."""
    is_lately, others = _taken_for(standing, gap)
    thing = f"{gap.id}:{gap.way}"
    pairs = [heard.pair(thing, f"{other}:{gap.way}") for other in others]
    counts = zip(pairs, others.values(), strict=True)
    named = [_so_often(said_words(pair), count) for pair, count in counts]
    heard_as = _heard_as(listed(named[:NAMED]), is_lately=is_lately) if named else ""
    said = say(MISTAKEN_SAID) if gap.drawn_as != gap.state else meaning_of(gap.state)
    lines = _ever(gap), _last(gap), heard_as, said, _other_ways(standing, gap)
    return Told(
        title=gap.name,
        lines=tuple(filter(None, lines)),
        spans=_gap_spans(gap),
        spans_of=say("Right, luck taken out") if gap.lately.asked or gap.before.asked else "",
        moved=_moved(gap.before, gap.lately),
        pair=pairs[0] if pairs else heard.pair(thing, thing),
    )


def pair_told(standing: Standing, pair: Pair) -> Told:
    """Of one thing and what was heard for it. Reads the last questions on it from the log, and says
    nothing of guessing where they cannot be read."""
    by_guessing = ""
    with suppress(LogError):
        by_guessing = guessed_words(guessed(standing, pair))
    return Told(
        title=title_words(pair),
        lines=tuple(filter(None, (_counted_when(pair), by_guessing))),
        spans=_pair_spans(pair),
        spans_of=_pair_spans_of(pair),
        moved=_moved(Proportion(*pair.before), Proportion(pair.count, pair.asked), of=pair),
        pair=pair,
    )


def guessed_words(of: Guessed) -> str:
    """`Offered in 27 of 100 such questions; guessing alone gives it in 7 %.`"""
    if not of.questions:
        return ""
    if of.share and of.share < NOTHING_KNOWN:
        share = say("less than 1 %")
    else:
        share = say("{share} %", share=f"{100 * of.share:.0f}")
    if of.offered == of.questions:
        return say("Guessing alone gives it in {share}.", share=share)
    return say_many(
        "Offered in {offered} of {count} such question; guessing alone gives it in {share}.",
        "Offered in {offered} of {count} such questions; guessing alone gives it in {share}.",
        of.questions,
        offered=of.offered,
        share=share,
    )


def _counted_when(pair: Pair) -> str:
    """How often, and in which weeks that was."""
    counts = count_words(pair)
    if not pair.asked:
        return say("{counts}.", counts=capital(counts))
    if pair.is_lately:
        return say("In the last four weeks: {counts}.", counts=counts)
    return say("In all, nothing of it lately: {counts}.", counts=counts)


def _heard_as(others: str, *, is_lately: bool) -> str:
    if is_lately:
        return say("In the last four weeks you heard it as {others}.", others=others)
    return say("In all you heard it as {others}.", others=others)


def _moved(earlier: Proportion, later: Proportion, *, of: Pair | None = None) -> str:
    """Whether a share has moved: of a gap that without luck, of a confusion, where less is better,
    that which was counted; each as its spans show it."""
    if not earlier.asked or not later.asked:
        return ""
    if earlier.is_few or later.is_few:
        return say("Too few to say whether it moved.")
    (low, high), (low_now, high_now) = (
        part.known_interval if of is None else part.interval for part in (earlier, later)
    )
    if low_now <= high and low <= high_now:
        return say("No sure change.")
    is_more = low_now > high
    is_better = is_more if of is None or of.is_right else not is_more
    return say("Better than before.") if is_better else say("Worse than before.")


def _ever(gap: Gap) -> str:
    if gap.answered.asked:
        return say("In all {counts}.", counts=counts_words(gap.answered))
    if gap.state != "unheard":
        return say(NONE_COUNTED)
    return "" if gap.is_asked else say("Your course does not ask it.")


def _last(gap: Gap) -> str:
    """When it was met last, where that is some days ago: so it may have faded."""
    if gap.days is None or gap.days < FADING_DAYS:
        return ""
    return say("Last met {days} days ago.", days=f"{gap.days:.0f}")


def _taken_for(standing: Standing, gap: Gap) -> tuple[bool, dict[str, int]]:
    """What a gap was taken for and how often, most often first: lately, or else ever; and whether
    it is the former."""
    for weeks in (lately(standing.now), None):
        answers = standing.history.answers(gap.skill, weeks).items()
        wrong = {given: count for (right, given), count in answers if given != right}
        if wrong:
            return weeks is not None, dict(
                sorted(wrong.items(), key=lambda each: (-each[1], each[0]))
            )
    return False, {}


def _other_ways(standing: Standing, gap: Gap) -> str:
    """`Pa down to Re: firm.` How the same swaras stand in the other ways that are begun."""
    said = []
    for way in DIRECTIONS:
        state = standing.state(f"gap:{gap.id}:{way}")
        if way != gap.way and state != "unheard":
            name = capital(gap_name(gap.low, gap.high, way))
            said.append(say("{gap}: {state}.", gap=name, state=state_word(state)))
    return " ".join(said)


def _so_often(heard: str, count: int) -> str:
    """`Re twice`."""
    if count == 1:
        return say("{heard} once", heard=heard)
    if count == 2:
        return say("{heard} twice", heard=heard)
    return say("{heard} {number} times", heard=heard, number=number_word(count))


def _gap_spans(gap: Gap) -> tuple[Span, ...]:
    counted = ((BEFORE, gap.before), (LATELY, gap.lately))
    return tuple(
        Span(say(label), _of(part.right, part.asked), part.known, *part.known_interval)
        for label, part in counted
        if part.asked
    )


def _pair_spans_of(pair: Pair) -> str:
    if not pair.asked and not pair.before[1]:
        return ""
    return say("Right") if pair.is_right else _for(pair)


def _for(pair: Pair) -> str:
    """`Re for komal Re`."""
    heard, right = capital(said_words(pair)), amid(pair.right_label, pair.subject)
    return say("{heard} for {right}", heard=heard, right=right)


def _of(count: int, asked: int) -> str:
    """`7 of 20`."""
    return say("{count} of {asked}", count=count, asked=asked)


def _pair_spans(pair: Pair) -> tuple[Span, ...]:
    now = LATELY if pair.is_lately else EVER
    counted = ((BEFORE, *pair.before), (now, pair.count, pair.asked))
    return tuple(
        Span(say(label), _of(count, asked), count / asked, *wilson(count, asked))
        for label, count, asked in counted
        if asked
    )
