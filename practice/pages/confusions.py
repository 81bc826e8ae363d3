"""The worst confusions on a page, each with the phrases to play in sargam."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from itertools import islice

from practice.both import both_sides
from practice.guessed import guessed, is_surely_no_guess
from practice.pages.phrases import swaras_to_play
from practice.pages.said import amid, part_of
from practice.pages.topic import Topic
from practice.pair_words import title_words
from practice.pairs import Pair, worst_pairs
from practice.standing import Standing
from practice.things import SUBJECTS
from quizzes.names import capital
from quizzes.ragas.telling import NOT_YET

MOST = 6
"""So many are on a page at most."""
MOST_BY_CHANCE = 3
"""So many of these may be chance."""
MOST_OF_TOPIC = 3
"""So many of the lesson's ragas go before all else."""
LOOKED_THROUGH = 24
"""So many of the worst among ragas are looked through for the lesson's."""
LEAST = 2
"""What happened less often is a slip."""
BY_LENGTH = ":rest:"
"""In skills that tell a raga by where it rests, lengths matter."""
AS_WRITTEN = ("talas", "decks")
"""Bols, and a teacher's own writing, are no sargam of ours."""


@dataclass(frozen=True, slots=True)
class Confusion:
    """One thing that is taken for another: in words, in figures, and both to be played."""

    words: str
    """`Ga heard as komal Ga`."""
    advice: str
    """What to do about it, in a sentence."""
    figure: str
    """`9 of 24 (21 to 57 %)`."""
    before: str
    """The same counts of the four weeks before; "" where they are not compared."""
    play_right: str
    """In sargam; "" where there is nothing to play."""
    play_given: str
    is_sure: bool
    """Whether it surely happens oftener than by guessing alone."""
    may_be_chance: bool = False
    """Whether its range reaches down to what guessing alone gives, or all may be guesses."""
    how: str = "Play"
    """How both are brought to the ear."""
    is_of_topic: bool = False
    """Whether it is of the ragas that the lesson is about."""

    @property
    def figures(self) -> str:
        """How often it was, how often before, and whether that may be chance."""
        before = f"; before {self.before}" if self.before else ""
        return f"{self.figure}{before}{'; may be chance' if self.may_be_chance else ''}"


def confusions_in(
    standing: Standing, topic: Topic, blind: Collection[str] = ()
) -> tuple[Confusion, ...]:
    """The worst: first those of the ragas that the lesson is about, then others, then what may be
    chance, as all may be of a kind in `blind`. Takes up to a second for each. Raises LogError."""
    pairs = {_key(pair): pair for pair in _of_topic(standing, topic)}
    worst = (pair for pair in worst_pairs(standing, most=2 * MOST) if is_worth_telling(pair))
    pairs |= {_key(pair): pair for pair in worst if _key(pair) not in pairs}
    found = [_confusion(standing, topic, blind, pair) for pair in list(pairs.values())[:MOST]]
    rest = [each for each in found if not each.is_sure]
    chance = [each for each in rest if each.may_be_chance]
    return (
        *(each for each in found if each.is_sure),
        *(each for each in rest if not each.may_be_chance),
        *chance[:MOST_BY_CHANCE],
    )


def is_worth_telling(pair: Pair) -> bool:
    """Whether it is no slip, and not surely rare."""
    return pair.count >= LEAST and not pair.is_rare


def _key(pair: Pair) -> tuple[str, str, str]:
    return pair.subject, pair.right, pair.given


def _of_topic(standing: Standing, topic: Topic) -> list[Pair]:
    """The sure ones of the lesson's ragas, the worst first."""
    if not topic.ragas:
        return []
    found = [
        pair
        for pair in worst_pairs(standing, most=LOOKED_THROUGH, subjects=("ragas",))
        if pair.is_lately and is_worth_telling(pair) and topic.ragas & {pair.right, pair.given}
    ]
    sure = (pair for pair in found if is_surely_no_guess(standing, pair))
    return list(islice(sure, MOST_OF_TOPIC))


def figure_of(pair: Pair) -> str:
    """How often it was, of how many, and when."""
    when = "" if pair.is_lately else ", not asked lately"
    return f"{part_of(pair.count, pair.asked, pair.interval)}{when}"


def _confusion(standing: Standing, topic: Topic, blind: Collection[str], pair: Pair) -> Confusion:
    was, heard = _played(standing, pair)
    count, asked = pair.before
    return Confusion(
        words=heard_as(standing, pair),
        advice=_advice(standing, pair),
        figure=figure_of(pair),
        before=f"{count} of {asked}" if asked else "",
        play_right=was,
        play_given=heard,
        is_sure=is_surely_no_guess(standing, pair),
        may_be_chance=SUBJECTS[pair.subject].kind in blind
        or pair.interval[0] <= guessed(standing, pair).share,
        how="Say, with the hand," if pair.subject == "talas" else "Play",
        is_of_topic=pair.subject == "ragas" and bool(topic.ragas & {pair.right, pair.given}),
    )


def heard_as(standing: Standing, pair: Pair) -> str:
    """`Ga heard as komal Ga`; of a teacher's question with what it is called."""
    right, given = _both_amid(pair)
    if NOT_YET in (pair.right, pair.given):
        return title_words(pair)
    if pair.subject == "decks":
        return f"{_question(standing, pair)}: {right} answered as {given}"
    return f"{capital(right)} heard as {given}"


def _advice(standing: Standing, pair: Pair) -> str:
    """What to do about it."""
    right, given = _both_amid(pair)
    if pair.given == NOT_YET:
        return f"Play what only {right} has, until it is told."
    if pair.right == NOT_YET:
        return f"Play what {given} shares with other ragas, until it is no more told too early."
    if pair.subject == "decks":
        return f"Ask “{_question(standing, pair)}” anew, and play what tells {right} from {given}."
    how = "Say the thekas of" if pair.subject == "talas" else "Play"
    return f"{how} {right} and {given} one after the other, until they sound different."


def _both_amid(pair: Pair) -> tuple[str, str]:
    """Their names, as within a sentence."""
    return amid(pair.right_label, pair.subject), amid(pair.given_label, pair.subject)


def _question(standing: Standing, pair: Pair) -> str:
    """What a teacher called the question."""
    return standing.name_of(next(iter((*pair.skills, *pair.asked_in)), pair.right))


def _played(standing: Standing, pair: Pair) -> tuple[str, str]:
    """What to play of both, as a teacher reads it; stages are too long to be written down."""
    if pair.subject == "stages":
        right, given = _both_amid(pair)
        return f"a little of {right}", f"a little of {given}"
    both = both_sides(standing, pair)
    if both is None:
        return "", ""
    written = both.was.sargam, both.heard.sargam if both.heard is not None else ""
    if pair.subject in AS_WRITTEN:
        return written
    held = any(BY_LENGTH in skill for skill in pair.asked_in)
    right, given = (swaras_to_play(line, held=held) if line else "" for line in written)
    if pair.subject == "ragas":
        right, given = (
            _of_raga(pair.right, pair.right_label, right),
            _of_raga(pair.given, pair.given_label, given),
        )
    return right, given


def _of_raga(raga: str, label: str, phrase: str) -> str:
    """A phrase with its raga."""
    of = "a phrase of several ragas" if raga == NOT_YET else label
    return f"{of}: {phrase}" if phrase else ""
