"""Which other ragas could play a made phrase, and by what finer things it is not theirs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from audio.line import Line
from quizzes.making.phrases import Heard, moved
from quizzes.making.trying import Tried, is_made_by
from quizzes.names import SAPTAK_NAMES, counted, listed
from quizzes.ragas.choosing import beside
from quizzes.ragas.evidence import Evidence, separates, share_in
from quizzes.ragas.raga import Raga
from quizzes.ragas.several import within_sentence
from quizzes.ragas.words import letter_name, why

NAMED = 3
FINE = ("rest", "treatment")
REGISTER_SWARAS = 6
"""Of fewer swaras it proves nothing where they lie."""


@dataclass(frozen=True, slots=True)
class Resembles:
    """`makers` are the other ragas that are known to make a line, those near first; `apart` what
    finer thing tells it from one of these, by the raga's id."""

    raga: Raga
    heard: Heard
    makers: tuple[Raga, ...]
    apart: Mapping[str, Evidence]
    is_broken: bool
    """Whether it surely breaks its own raga."""

    @property
    def rests(self) -> frozenset[int]:
        """Places of rests by which it is told apart."""
        return frozenset(each.of for each in self.apart.values() if each.by == "rest")

    def could(self, told: str) -> str:
        """Who could play it, but for the raga of which that is `told` already; "" where none."""
        names = [one.name for one in self.makers if one.id not in {*self.apart, told}]
        if not names:
            return ""
        what = "this as it stands" if self.is_broken else "the same phrase"
        return f"{_some(names)} could play {what}."

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
        """By what finer thing it is rather another's, the first that there is; by where it lies
        only where no third raga could play it. "" where nothing is."""
        others = [one for one in self.makers if one.id not in self.apart]
        for other in others[:NAMED]:
            theirs = _tells(self.heard, other, self.raga)
            if theirs is None and len(self.makers) == 1:
                theirs = _tells_by_register(self.heard, other, self.raga)
            if theirs is not None:
                because = _because(theirs, self.heard.line, other, self.raga)
                return f"It leans to {other.name}: {because}"
        return ""


def resembles(raga: Raga, heard: Heard, found: Tried, known: Mapping[str, Raga]) -> Resembles:
    """What a line that was `tried` is like among all ragas that are `known`."""
    makers = others_that_make_it(raga, heard, known)
    apart = {
        other.id: evidence
        for other in (() if found.surely_broken else makers)
        if (evidence := _tells(heard, raga, other)) is not None
    }
    left = [one for one in makers if one.id not in apart]
    if len(left) == 1 and not found.surely_broken:
        lies = _tells_by_register(heard, raga, left[0])
        apart |= {left[0].id: lies} if lies is not None else {}
    return Resembles(raga, heard, tuple(makers), apart, found.surely_broken)


def _tells(heard: Heard, right: Raga, other: Raga) -> Evidence | None:
    return separates(heard.line, right, other, *FINE)


def _tells_by_register(heard: Heard, right: Raga, other: Raga) -> Evidence | None:
    """Only where it is long, and nothing of it lies where the other raga lives."""
    if len(moved(heard.swaras)) < REGISTER_SWARAS:
        return None
    if share_in(other.register.value, list(heard.notes)) > 0:
        return None
    return separates(heard.line, right, other, "register")


def others_that_make_it(raga: Raga, heard: Heard, known: Mapping[str, Raga]) -> list[Raga]:
    """Every other raga that is known to make this line, those near to this one first."""
    near = set(beside(raga.id, known))
    makers = [other for other in known.values() if other.id != raga.id and is_made_by(other, heard)]
    return sorted(makers, key=lambda other: (other.id not in near, other.name))


def _because(evidence: Evidence, line: Line, right: Raga, other: Raga) -> str:
    """What was heard and what the other raga does instead; of saptaks only those that it had."""
    if evidence.by != "register":
        return within_sentence(why(evidence, line, right, other))
    octaves = {note.swara.octave for note in line.notes()}
    lay = listed([name for octave, name in SAPTAK_NAMES.items() if octave in octaves])
    theirs = listed(list(other.register.value))
    return f"it lay in {lay}, where {right.name} lives; {other.name} lives in {theirs}."


def _some(names: list[str]) -> str:
    """The first of them, and how many more there are."""
    more = len(names) - NAMED
    return listed([*names[:NAMED], *([counted(more, "other raga")] if more > 0 else [])])
