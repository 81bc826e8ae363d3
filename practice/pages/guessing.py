"""In which kinds of question guessing shows, by response times or by nothing but luck, in words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from practice.pages.hurry import Hurry, halfway, hurry_in, is_enough, is_luck
from practice.pages.practised import kind_words
from practice.pages.said import part_of, so_many, within
from practice.standing import Standing
from scheduler.history import Tally, lately
from scheduler.proportion import Proportion


@dataclass(frozen=True, slots=True)
class Guessed:
    """One kind in which answers are no better than luck: the quick ones, or all."""

    kind: str
    """In a word or a few: `Gaps`."""
    figure: str
    """`12 of 48 (15 to 39 %) right within 0.9 s, luck alone gives 12; later: 61 of 80 (…)`."""

    id: str = ""
    """The kind's."""

    @property
    def words(self) -> str:
        return f"{self.kind}: {self.figure}"


@dataclass(frozen=True, slots=True)
class Guessing:
    """Where guessing shows, the plainest first; `looked_at` kinds had answers enough to tell."""

    hurried: tuple[Guessed, ...]
    """Kinds in which quick answers are no better than luck, while slower ones are."""
    throughout: tuple[Guessed, ...]
    """Kinds in which all answers together are no better than luck."""
    looked_at: int

    @property
    def blind(self) -> frozenset[str]:
        """The kinds, by id, in which all answers may be guesses."""
        return frozenset(guessed.id for guessed in self.throughout)

    @property
    def found(self) -> tuple[Guessed, ...]:
        return self.throughout + self.hurried

    @property
    def words(self) -> str:
        """What is said of it besides the figures."""
        if not self.looked_at:
            return "Too few answers of any one kind in the last four weeks to say."
        said = []
        if self.throughout:
            said.append("Quick or slow, answers were no better than luck.")
        if self.hurried:
            said.append("Quick answers were no better than luck, slower ones were.")
        if said:
            return " ".join([*said, "They may be guesses."])
        kinds = "one kind" if self.looked_at == 1 else f"{self.looked_at} kinds"
        return (
            f"Nothing points to guessing in the {kinds} of question answered often enough in the "
            "last four weeks."
        )


def guessing_in(standing: Standing) -> Guessing:
    """From the answers of the last four weeks, kind by kind."""
    weeks, looked_at = lately(standing.now), 0
    hurried, throughout = list[tuple[int, Guessed]](), list[tuple[int, Guessed]]()
    for kind in standing.history.hurried:
        bins = standing.history.bins(kind, weeks)
        if not is_enough(bins):
            continue
        looked_at += 1
        whole, hurry = _whole(bins), hurry_in(bins)
        name = kind_words(kind)
        if hurry is not None:
            hurried.append((-hurry.quick.asked, Guessed(name, _quick_words(hurry), kind)))
        elif is_luck(whole):
            found = Guessed(name, _whole_words(whole, halfway(bins)), kind)
            throughout.append((-whole.asked, found))
    return Guessing(_plainest(hurried), _plainest(throughout), looked_at)


def _plainest(found: list[tuple[int, Guessed]]) -> tuple[Guessed, ...]:
    return tuple(each for _, each in sorted(found, key=lambda each: each[0]))


def _whole(bins: Mapping[int, Tally]) -> Proportion:
    whole = Tally()
    for tally in bins.values():
        whole = whole.and_also(tally)
    return whole.proportion


def _quick_words(hurry: Hurry) -> str:
    quick, later = hurry.quick, hurry.slower
    return (
        f"{_right_words(quick)} {within(hurry.until)}, luck alone gives {quick.luck:.0f}; "
        f"later: {part_of(later.right, later.asked, later.interval)}"
    )


def _whole_words(whole: Proportion, half: int) -> str:
    return (
        f"{_right_words(whole)}, luck alone gives {whole.luck:.0f}; half of the "
        f"{so_many(whole.asked, 'answer')} came {within(half)}"
    )


def _right_words(answers: Proportion) -> str:
    return f"{part_of(answers.right, answers.asked, answers.interval)} right"
