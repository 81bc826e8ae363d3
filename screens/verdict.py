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

OTHERWISE = {
    "said": "Said otherwise",
    "made": "Made otherwise",
    "put": "Put otherwise",
    "shared": "Shared otherwise",
    "tapped": "Tapped otherwise",
    "chose": "Chosen otherwise",
}
"""By the verb of the answer; else it was heard otherwise."""

MAKING = "make"
"""How the kinds begin in which a phrase of one's own is made."""
NO_MORE = "no more than by luck"

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
    mark: Mark, places: Sequence[Place] = (), *, verb: str = "heard", counted: str = ""
) -> str:
    """The verdict; `places` are those of a written answer, of which some may be right.

    They are counted too where they earn no credit, since luck has as many right. Of what was `put`
    in order, pairs are counted, as credit does. Where the kind has `counted` itself, that is told.
    """
    kind = verdict_kind(mark)
    if kind == "right":
        return "Right"
    words = "Partly right" if kind == "partly" else OTHERWISE.get(verb, "Heard otherwise")
    if counted:
        is_luck = kind == "otherwise" and verb == "chose" and not counted.startswith("0 ")
        return f"{words}: {counted}" + (f", {NO_MORE}" if is_luck else "")
    count = order_of(places) if verb == "put" else share_of(places)
    if not places or (kind == "otherwise" and count.startswith("0 ")):
        return words
    return f"{words}: {count}" + (f", {NO_MORE}" if kind == "otherwise" else "")


def order_of(places: Sequence[Place]) -> str:
    """How many pairs of an order stand the right way round: "5 of 6 pairs in order"."""
    at = {place.given: number for number, place in enumerate(places)}
    pairs = [at[one.was] < at[other.was] for one, other in combinations(places, 2)]
    return f"{sum(pairs)} of {len(pairs)} pairs in order"


def share_of(places: Sequence[Place]) -> str:
    """How many keys of the line that was stand where they should: "6 of 8"."""
    was = [place.was for place in places if place.was is not None]
    count = tally(was, [place.given for place in places if place.given is not None])
    # A key too many takes nothing from the line that was, so it is told by itself.
    added = f", {count.added} too many" if count.added else ""
    return f"{count.right} of {count.whole}{added}"
