"""Which other ragas could play a made phrase, and by what finer things it is not theirs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from audio.line import Line
from quizzes.making.likeness import others_that_make_it
from quizzes.making.phrases import Heard
from quizzes.making.trying import Tried
from quizzes.names import counted, listed
from quizzes.ragas.evidence import Evidence, separates, share_in
from quizzes.ragas.raga import Raga
from quizzes.ragas.several import within_sentence
from quizzes.ragas.words import letter_name, why

NAMED = 3
FINE = ("rest", "register", "treatment")


@dataclass(frozen=True, slots=True)
class Resembles:
    """`makers` are the other ragas that are known to make a line, those near first; `apart` what
    finer thing tells it from one of these, by the raga's id."""

    raga: Raga
    heard: Heard
    makers: tuple[Raga, ...]
    apart: Mapping[str, Evidence]

    @property
    def rests(self) -> frozenset[int]:
        """Places of rests by which it is told apart."""
        return frozenset(each.of for each in self.apart.values() if each.by == "rest")

    def could(self, told: str) -> str:
        """Who could play it, but for the raga of which that is `told` already; "" where none."""
        names = [one.name for one in self.makers if one.id not in {*self.apart, told}]
        if not names:
            return ""
        return f"{_some(names)} could play the same phrase."

    def is_not(self, told: str) -> list[str]:
        """A sentence or two for each thing that tells it apart, but for what is `told`."""
        same: dict[tuple[str, int], list[Raga]] = {}
        for one in self.makers:
            if one.id in self.apart:
                evidence = self.apart[one.id]
                same.setdefault((evidence.by, evidence.of), []).append(one)
        said = []
        for others in list(same.values())[:NAMED]:
            evidence = self.apart[others[0].id]
            text, left = "", [one.name for one in others if one.id != told]
            if len(left) == len(others):
                because = _because(evidence, self.heard.line, self.raga, others[0])
                text = f"{self.raga.name} and not {left.pop(0)}: {because}"
            if left:
                text += f" {self._by(evidence)} tells it from {_some(left)}, too."
            if text:
                said.append(text.strip())
        return said

    def _by(self, evidence: Evidence) -> str:
        """`The rest on Ga`, which tells something."""
        if evidence.by == "register":
            return "Where it lies"
        name = letter_name(self.heard.swaras[evidence.of].letter)
        return f"The rest on {name}" if evidence.by == "rest" else f"How {name} is held"

    def leans(self) -> str:
        """By what finer thing it is rather another's, the first that there is; not by where it
        lies, if it comes at all to where the raga lives. "" where nothing is."""
        line, others = self.heard.line, [one for one in self.makers if one.id not in self.apart]
        at_home = share_in(self.raga.register.value, list(self.heard.notes)) > 0
        sorts = [sort for sort in FINE if not (sort == "register" and at_home)]
        for other in others[:NAMED]:
            if theirs := separates(line, other, self.raga, *sorts):
                return f"It leans to {other.name}: {_because(theirs, line, other, self.raga)}"
        return ""


def resembles(raga: Raga, heard: Heard, found: Tried, known: Mapping[str, Raga]) -> Resembles:
    """What a line that was `tried` is like among all ragas that are `known`."""
    makers = others_that_make_it(raga, heard, known)
    apart = {
        other.id: evidence
        for other in (() if found.surely_broken else makers)
        if (evidence := separates(heard.line, raga, other, *FINE)) is not None
    }
    return Resembles(raga, heard, tuple(makers), apart)


def _because(evidence: Evidence, line: Line, right: Raga, other: Raga) -> str:
    """What was heard and what the other raga does instead; of saptaks only those that it had."""
    if evidence.by != "register":
        return within_sentence(why(evidence, line, right, other))
    notes = list(line.notes())
    lay = listed([one for one in right.register.value if share_in([one], notes) > 0])
    theirs = listed(list(other.register.value))
    return f"it lay in {lay}, where {right.name} lives; {other.name} lives in {theirs}."


def _some(names: list[str]) -> str:
    """The first of them, and how many more there are."""
    more = len(names) - NAMED
    return listed([*names[:NAMED], *([counted(more, "other raga")] if more > 0 else [])])
