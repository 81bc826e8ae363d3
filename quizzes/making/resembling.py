"""Which other ragas could play a made phrase, and by what finer things it is not theirs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from audio.line import Line
from quizzes.making.phrases import Heard, moved
from quizzes.making.trying import Tried, is_made_by
from quizzes.names import SAPTAK_NAMES, counted, listed
from quizzes.ragas.choosing import beside
from quizzes.ragas.evidence import Evidence, separates, share_in
from quizzes.ragas.raga import Raga
from quizzes.ragas.said import raga_name
from quizzes.ragas.several import within_sentence
from quizzes.ragas.words import letter_name, why
from words import say

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
        others = [one for one in self.makers if one.id not in {*self.apart, told}]
        if not others:
            return ""
        if self.is_broken:
            return say("{ragas} could play this as it stands.", ragas=_some(others))
        return say("{ragas} could play the same phrase.", ragas=_some(others))

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
            sentences, left = [], [one for one in others if one.id != told]
            if len(left) == len(others):
                sentences.append(
                    say(
                        "{raga} and not {other}: {because}",
                        raga=raga_name(self.raga),
                        other=raga_name(left.pop(0)),
                        because=_because(evidence, self.heard.line, self.raga, others[0]),
                    )
                )
            if left:
                sentences.append(self._by(evidence, _some(left)))
            if sentences:
                said.append(" ".join(sentences))
        return said

    def _by(self, evidence: Evidence, ragas: str) -> str:
        """`The rest on Ga tells it from Desh, too.`"""
        if evidence.by == "register":
            return say("Where it lies tells it from {ragas}, too.", ragas=ragas)
        name = letter_name(self.heard.swaras[evidence.of].letter)
        if evidence.by == "rest":
            return say("The rest on {swara} tells it from {ragas}, too.", swara=name, ragas=ragas)
        return say("How {swara} is held tells it from {ragas}, too.", swara=name, ragas=ragas)

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
                return say("It leans to {raga}: {because}", raga=raga_name(other), because=because)
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
    return say(
        "it lay in {saptaks}, where {raga} lives; {other} lives in {theirs}.",
        saptaks=listed([say(name) for octave, name in SAPTAK_NAMES.items() if octave in octaves]),
        raga=raga_name(right),
        other=raga_name(other),
        theirs=listed([say(name) for name in other.register.value]),
    )


def _some(ragas: Sequence[Raga]) -> str:
    """The first of them, and how many more there are."""
    names, more = list(map(raga_name, ragas[:NAMED])), len(ragas) - NAMED
    if more > 0:
        names.append(counted(more, "{number} other raga", "{number} other ragas"))
    return listed(names)
