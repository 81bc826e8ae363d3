"""What is said of an answer in a word: right, partly right with its share, or heard otherwise."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from quizzes.by_choice import ByChoice
from quizzes.decks.deck import KIND, Asked
from quizzes.decks.posed import posed_in, thing_in
from quizzes.edits import tally
from quizzes.kinds import KINDS
from quizzes.kinds.deck_narrowed import own_skill
from quizzes.question import Mark, Question
from screens.aligned import Place
from words import say, to_say

OTHERWISE = {
    "heard": to_say("Heard otherwise"),
    "said": to_say("Said otherwise"),
    "wrote": to_say("Heard otherwise"),
    "made": to_say("Made otherwise"),
    "put": to_say("Put otherwise"),
    "shared": to_say("Shared otherwise"),
    "tapped": to_say("Tapped otherwise"),
    "chose": to_say("Chosen otherwise"),
}
"""By the verb of the answer: what is written was heard."""
_YOU = {
    "heard": to_say("You heard"),
    "said": to_say("You said"),
    "wrote": to_say("You wrote"),
    "made": to_say("You made"),
    "put": to_say("You put"),
    "shared": to_say("You shared"),
    "tapped": to_say("You tapped"),
    "chose": to_say("You chose"),
}
_DONE = {
    "heard": to_say("heard"),
    "said": to_say("said"),
    "wrote": to_say("wrote"),
    "made": to_say("made"),
    "put": to_say("put"),
    "shared": to_say("shared"),
    "tapped": to_say("tapped"),
    "chose": to_say("chose"),
}
_HEAR = {
    "heard": to_say("Hear what you heard"),
    "said": to_say("Hear what you said"),
    "wrote": to_say("Hear what you wrote"),
    "made": to_say("Hear what you made"),
    "put": to_say("Hear what you put"),
    "shared": to_say("Hear what you shared"),
    "tapped": to_say("Hear what you tapped"),
    "chose": to_say("Hear what you chose"),
}

MAKING = "make"
"""How the kinds begin in which a phrase of one's own is made."""
NO_MORE = to_say("{words}, no more than by luck")

_VERBS = {
    "written": "wrote",
    "sargam": "wrote",
    "order": "put",
    "shares": "shared",
    "taps": "tapped",
    "several": "chose",
}


def verb_of(question: Question) -> str:
    """What a student has done who has answered: "heard", "said", "wrote", "made", "put", "shared",
    "tapped" or "chose".

    Swaras, gaps and ornaments are heard; what is told of a raga or of the order and the purpose of
    stages has to be known as well.
    """
    if question.kind.removeprefix("raga-").startswith(MAKING):
        return "made"
    if question.answer_on in _VERBS:
        return _VERBS[question.answer_on]
    kind, skill = KINDS.get(question.kind), question.skill
    if question.kind == KIND:
        entry = posed_in(skill, question.setting).entry
        if isinstance(entry, Asked):
            return "said"  # whatever the teacher asks of
        kind, skill = KINDS[entry.kind], own_skill(entry, thing_in(skill))
    return "said" if isinstance(kind, ByChoice) and not kind.is_heard(skill) else "heard"


def one_of_several(question: Question) -> bool:
    """Whether the order, or the line of a teacher's, that is shown as right is one of several."""
    is_own_line = question.kind == KIND and question.answer_on == "written"
    return len(question.right) > 1 and (question.answer_on == "order" or is_own_line)


def verdict_kind(mark: Mark) -> str:
    """ "right", "partly" or "otherwise": also the shape that stands beside the words."""
    if mark.right:
        return "right"
    return "partly" if mark.credit > 0.0 else "otherwise"


def verdict_words(
    mark: Mark,
    places: Sequence[Place] = (),
    *,
    verb: str = "heard",
    counted: str = "",
    by_luck: bool = False,
) -> str:
    """The verdict; `places` are those of a written answer, of which some may be right.

    They are counted too where they earn no credit, since luck has as many right. Of what was `put`
    in order, pairs are counted, as credit does. Where the kind has `counted` itself, that is told;
    `by_luck` where what it counts as right earns nothing.
    """
    kind = verdict_kind(mark)
    if kind == "right":
        return say("Right")
    words = say("Partly right") if kind == "partly" else say(OTHERWISE[verb])
    if counted:
        told = say("{verdict}: {share}", verdict=words, share=counted)
        return say(NO_MORE, words=told) if kind == "otherwise" and by_luck else told
    right, share = order_of(places) if verb == "put" else share_of(places)
    if not places or (kind == "otherwise" and not right):
        return words
    told = say("{verdict}: {share}", verdict=words, share=share)
    return say(NO_MORE, words=told) if kind == "otherwise" else told


def chose_some(question: Question, given: str) -> bool:
    """Whether of several names that may be right one was chosen that is."""
    if question.answer_on != "several":
        return False
    rights = question.chosen(question.right[0])
    return not set(rights).isdisjoint(question.chosen(given))


def you_did(verb: str) -> str:
    """`You heard`, before what was answered."""
    return say(_YOU[verb])


def done(verb: str) -> str:
    """`heard`, beside what was answered."""
    return say(_DONE[verb])


def hear_own(verb: str) -> str:
    """`Hear what you wrote`."""
    return say(_HEAR[verb])


def order_of(places: Sequence[Place]) -> tuple[int, str]:
    """How many pairs of an order stand the right way round, and "5 of 6 pairs in order"."""
    at = {place.given: number for number, place in enumerate(places)}
    pairs = [at[one.was] < at[other.was] for one, other in combinations(places, 2)]
    right, whole = sum(pairs), len(pairs)
    return right, say("{right} of {whole} pairs in order", right=right, whole=whole)


def share_of(places: Sequence[Place]) -> tuple[int, str]:
    """How many keys of the line that was stand where they should, and "6 of 8"."""
    was = [place.was for place in places if place.was is not None]
    count = tally(was, [place.given for place in places if place.given is not None])
    share = say("{right} of {whole}", right=count.right, whole=count.whole)
    if not count.added:
        return count.right, share
    # A key too many takes nothing from the line that was, so it is told by itself.
    return count.right, say("{share}, {added} too many", share=share, added=count.added)
