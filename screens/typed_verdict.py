"""What is told at a terminal of what was, and of what was answered."""

from __future__ import annotations

from quizzes import Question
from quizzes.explanation import Explanation
from screens.verdict import verb_of
from words import say, to_say

YOU = {
    "heard": to_say("you heard"),
    "said": to_say("you said"),
    "wrote": to_say("you wrote"),
    "made": to_say("you made"),
    "put": to_say("you put"),
    "shared": to_say("you shared"),
    "tapped": to_say("you tapped"),
    "chose": to_say("you chose"),
}
OWN = {
    "said": to_say("2 what you said"),
    "wrote": to_say("2 what you wrote"),
    "made": to_say("2 what you made"),
    "put": to_say("2 what you put"),
    "shared": to_say("2 what you shared"),
    "tapped": to_say("2 what you tapped"),
    "chose": to_say("2 what you chose"),
}
_BOTH = {
    "said": to_say("{right}; you said {given}."),
    "wrote": to_say("{right}; you wrote {given}."),
    "made": to_say("{right}; you made {given}."),
    "put": to_say("{right}; you put {given}."),
    "shared": to_say("{right}; you shared {given}."),
    "tapped": to_say("{right}; you tapped {given}."),
    "chose": to_say("{right}; you chose {given}."),
}
"""By what was done to answer; to be said."""


def both_told(question: Question, explanation: Explanation, *, verb: str, several: bool) -> str:
    """What was, and what was answered: "It was Re; you said Ga." """
    label = explanation.right_label
    if question.answer_on == "shares":
        right = say("Usual is {label}", label=label)
    elif verb == "made":
        right = say("One that keeps the wish is {label}", label=label)
    else:
        right = (
            say("It could be {label}", label=label)
            if several
            else say("It was {label}", label=label)
        )
    return say(_BOTH[done_here(question)], right=right, given=explanation.given_label)


def done_here(question: Question) -> str:
    """What a student has done here who has answered: other answers than these are typed by name."""
    return (
        verb_of(question)
        if question.answer_on in ("order", "shares", "taps", "several", "sargam")
        else "said"
    )
