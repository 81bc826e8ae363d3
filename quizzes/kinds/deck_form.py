"""What all forms of a teacher's own questions share: how each is asked, and how it is explained."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, Protocol

from audio.score import Score
from quizzes.decks.cues import Sounded, explained, sounded
from quizzes.decks.deck import KIND, Asked, Offered
from quizzes.decks.posed import Posed, posed_in
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.question import Mark, Question, Setting
from words import say


class Form(Protocol):
    """One form of question."""

    def make(self, posed: Posed, skill: str, *, seed: int, setting: Setting) -> Question: ...

    def mark(self, question: Question, given: str) -> Mark: ...

    def explain(self, question: Question, given: str) -> Explanation: ...

    def introduce(self, question: Question) -> str: ...

    def chance(self, entry: Asked) -> float:
        """Of a lucky guess, as `Question.chance` has it."""
        ...

    def seconds(self, entry: Asked) -> float:
        """What an answer takes beside hearing the cue."""
        ...


def question_of(
    entry: Asked,
    skill: str,
    fresh: Fresh,
    *,
    seed: int,
    setting: Setting,
    cue: Sounded | None = None,
    **answered: Any,
) -> Question:
    """The teacher's question with its cue, drawn last unless given; `answered` are the fields of
    `Question` that say how it is answered."""
    cue = cue or sounded(fresh, entry.cue, setting)
    return Question(
        kind=KIND,
        skill=skill,
        seed=seed,
        setting=setting,
        prompt=entry.prompt,
        cue=cue.score,
        sargam=cue.written,
        **answered,
    )


def entry_of(posed: Posed) -> Asked:
    """The teacher's question that is posed; only such questions have a form."""
    assert isinstance(posed.entry, Asked)
    return posed.entry


def asked_in(question: Question) -> Asked:
    """The teacher's question that was asked."""
    return entry_of(posed_in(question.skill, question.setting))


def right_cue(question: Question, sargam: str = "") -> Score:
    """What it was, to be heard: a line of its own, or the cue as it is when nothing is drawn."""
    cue = asked_in(question).cue
    if sargam or cue.sargam:
        return explained(sargam or cue.sargam, cue, question.setting, question.cue)
    return question.cue


def slow_cue(question: Question) -> Score | None:
    """The cue slowly, where it is sargam."""
    cue = asked_in(question).cue
    if not cue.sargam:
        return None
    return explained(cue.sargam, cue, question.setting, question.cue, slower=True)


def given_cue(question: Question, chosen: Iterable[Offered]) -> tuple[Score | None, str]:
    """How the first of these would have sounded that the teacher wrote a line for, and what it is
    called."""
    cue = asked_in(question).cue
    for one in chosen:
        if one.sargam:
            return explained(one.sargam, cue, question.setting, question.cue), one.text
    return None, ""


def why_of(entry: Asked, more: Sequence[str] = ()) -> str:
    """What the teacher says of it, if anything, then what is said of the answer given; a line
    each. What was right is told beside it."""
    return "\n".join(text for text in (entry.why, *more) if text)


def quoted(text: str) -> str:
    """A teacher's text within a sentence of ours: in quotes where it is more than a word."""
    return f"“{text}”" if " " in text else text


def told(entry: Asked, right_label: str) -> str:
    """What presents the question before it is first asked: it tells the answer."""
    return " ".join(part for part in (entry.prompt, sentence(right_label), entry.why) if part)


def sentence(text: str) -> str:
    """With a full stop, where nothing ends it yet."""
    ends = text.removesuffix("”")
    return text if ends.endswith((".", "!", "?", "।")) else say("{text}.", text=text)
