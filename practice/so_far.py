"""What is said of one gap, or of one thing taken for another, when it is picked from a picture.

Counts stand in words and as spans: where a share lies, and within which bounds. Of two spans that
do not meet one is called better; of fewer than twenty questions nothing is said about that.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass

from practice.gaps import Gap
from practice.guessed import Guessed, guessed
from practice.meanings import meaning_of
from practice.pages.said import amid, percents
from practice.pair_words import count_words, said_words, title_words
from practice.pairs import Matrix, Pair
from practice.standing import Standing
from quizzes.kinds.gap import DIRECTIONS
from quizzes.names import capital, counted, gap_name, in_figures, listed, number_word
from scheduler import LogError, Proportion
from scheduler.history import lately
from scheduler.reliability import wilson

LATELY, BEFORE = "Last four weeks", "Four weeks before"
FADING_DAYS = 7.0
"""What was met longer ago may have faded since."""
NOTHING_KNOWN = 0.005
"""A share below this is nothing, in whole percents."""
NAMED = 3
"""So many things that one is taken for are named."""
NONE_COUNTED = "Nothing of it is counted yet: it was shown, or only one answer was possible."
MISTAKEN_SAID = "Right when asked last, or on its way, but taken for another again and again."


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
    few = ", which is few" if counted.is_few else ""
    said = f"{counted.right} of {counted.asked} right{few}"
    if counted.known_interval[1] < NOTHING_KNOWN:
        return f"{said}, no more than by guessing"
    # No line is to end before the sign.
    spread = percents(counted.known_interval).replace(" %", "\N{NO-BREAK SPACE}%")
    return f"{said}, luck taken out {spread}"


def row_words(gap: Gap) -> str:
    """A gap in one line of a list: `shaky: 7 of 20 right, luck taken out 0 to 42 %`, in the last
    four weeks; where it was not asked in them, in all, and it says so."""
    if gap.lately.asked:
        counts = counts_words(gap.lately)
    elif gap.answered.asked:
        counts = f"not asked lately, in all {counts_words(gap.answered)}"
    else:
        counts = "nothing counted yet"
    return f"{state_words(gap)}: {counts}"


def state_words(gap: Gap) -> str:
    """`shaky`, or `firm, but mistaken`."""
    return f"{gap.state}, but mistaken" if gap.drawn_as != gap.state else gap.state


def gap_told(standing: Standing, gap: Gap, heard: Matrix) -> Told:
    """Of one gap; `heard` is what was taken for what among gaps."""
    when, others = _taken_for(standing, gap)
    thing = f"{gap.id}:{gap.way}"
    pairs = [heard.pair(thing, f"{other}:{gap.way}") for other in others]
    counts = zip(pairs, others.values(), strict=True)
    named = [f"{said_words(pair)} {_times(count)}" for pair, count in counts]
    heard_as = f"{when} you heard it as {listed(named[:NAMED])}." if named else ""
    said = MISTAKEN_SAID if gap.drawn_as != gap.state else meaning_of(gap.state)
    lines = _ever(gap), _last(gap), heard_as, said, _other_ways(standing, gap)
    return Told(
        title=gap.name,
        lines=tuple(filter(None, lines)),
        spans=_gap_spans(gap),
        spans_of="Right, luck taken out" if gap.lately.asked or gap.before.asked else "",
        moved=_moved(gap.before, gap.lately),
        pair=pairs[0] if pairs else heard.pair(thing, thing),
    )


def pair_told(standing: Standing, pair: Pair) -> Told:
    """Of one thing and what was heard for it. Reads the last questions on it from the log, and says
    nothing of guessing where they cannot be read."""
    when = f"{_when(pair)}: " if pair.asked else ""
    by_guessing = ""
    with suppress(LogError):
        by_guessing = guessed_words(guessed(standing, pair))
    return Told(
        title=title_words(pair),
        lines=tuple(filter(None, (capital(f"{when}{count_words(pair)}."), by_guessing))),
        spans=_pair_spans(pair),
        spans_of=_pair_spans_of(pair),
        moved=_moved(Proportion(*pair.before), Proportion(pair.count, pair.asked), of=pair),
        pair=pair,
    )


def guessed_words(of: Guessed) -> str:
    """`Offered in 27 of 100 such questions; guessing alone gives it in 7 %.`"""
    if not of.questions:
        return ""
    share = f"{100 * of.share:.0f}" if of.share >= NOTHING_KNOWN or not of.share else "less than 1"
    if of.offered == of.questions:
        return f"Guessing alone gives it in {share} %."
    such = in_figures(counted(of.questions, "such question"), of.questions)
    return f"Offered in {of.offered} of {such}; guessing alone gives it in {share} %."


def _moved(earlier: Proportion, later: Proportion, *, of: Pair | None = None) -> str:
    """Whether a share has moved: of a gap that without luck, of a confusion, where less is better,
    that which was counted; each as its spans show it."""
    if not earlier.asked or not later.asked:
        return ""
    if earlier.is_few or later.is_few:
        return "Too few to say whether it moved."
    (low, high), (low_now, high_now) = (
        part.known_interval if of is None else part.interval for part in (earlier, later)
    )
    if low_now <= high and low <= high_now:
        return "No sure change."
    is_more = low_now > high
    is_better = is_more if of is None or of.is_right else not is_more
    return "Better than before." if is_better else "Worse than before."


def _ever(gap: Gap) -> str:
    if gap.answered.asked:
        return f"In all {counts_words(gap.answered)}."
    if gap.state != "unheard":
        return NONE_COUNTED
    return "" if gap.is_asked else "Your course does not ask it."


def _last(gap: Gap) -> str:
    """When it was met last, where that is some days ago: so it may have faded."""
    if gap.days is None or gap.days < FADING_DAYS:
        return ""
    return f"Last met {gap.days:.0f} days ago."


def _taken_for(standing: Standing, gap: Gap) -> tuple[str, dict[str, int]]:
    """What a gap was taken for and how often, most often first: lately, or else ever; and when."""
    for when, weeks in (("In the last four weeks", lately(standing.now)), ("In all", None)):
        answers = standing.history.answers(gap.skill, weeks).items()
        wrong = {given: count for (right, given), count in answers if given != right}
        if wrong:
            return when, dict(sorted(wrong.items(), key=lambda each: (-each[1], each[0])))
    return "", {}


def _other_ways(standing: Standing, gap: Gap) -> str:
    """`Pa down to Re: firm.` How the same swaras stand in the other ways that are begun."""
    said = []
    for way in DIRECTIONS:
        state = standing.state(f"gap:{gap.id}:{way}")
        if way != gap.way and state != "unheard":
            said.append(f"{capital(gap_name(gap.low, gap.high, way))}: {state}.")
    return " ".join(said)


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{number_word(count)} times")


def _when(pair: Pair) -> str:
    return "In the last four weeks" if pair.is_lately else "In all, nothing of it lately"


def _gap_spans(gap: Gap) -> tuple[Span, ...]:
    counted = ((BEFORE, gap.before), (LATELY, gap.lately))
    return tuple(
        Span(label, f"{part.right} of {part.asked}", part.known, *part.known_interval)
        for label, part in counted
        if part.asked
    )


def _pair_spans_of(pair: Pair) -> str:
    if not pair.asked and not pair.before[1]:
        return ""
    return "Right" if pair.is_right else _for(pair)


def _for(pair: Pair) -> str:
    """`Re for komal Re`."""
    return f"{capital(said_words(pair))} for {amid(pair.right_label, pair.subject)}"


def _pair_spans(pair: Pair) -> tuple[Span, ...]:
    now = LATELY if pair.is_lately else "In all"
    counted = ((BEFORE, *pair.before), (now, pair.count, pair.asked))
    return tuple(
        Span(label, f"{count} of {asked}", count / asked, *wilson(count, asked))
        for label, count, asked in counted
        if asked
    )
