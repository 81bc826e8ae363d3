"""A phrase typed at a terminal in sargam, and what is told of it there."""

from __future__ import annotations

import re
from collections.abc import Sequence

from audio.errors import SargamError
from audio.sargam import parse
from audio.score import Score
from audio.tuning import SWARAS
from quizzes.explanation import Beside, Explanation, Finding
from quizzes.names import counted
from quizzes.question import Question
from screens.aligned import Place
from screens.columns import broad, padded
from screens.errors import WritingError
from screens.typed import how_many
from words import say, say_as, to_say

HEAR = "?"
"""Before a line that is only to be heard."""
SIGNS = {
    "saptaks": to_say("' and , after a swara are the saptak above and below"),
    "lengths": to_say(
        "- holds on, swaras without a space share a matra, S:2 takes two, . is a rest"
    ),
    "hands": to_say(
        "R/G and G\\R are meend, // and \\\\ ghaseet, < sparsh, > krintan, ~ andolan, "
        "~~ gamak, (R)S kan, {SR} zamzama"
    ),
    "shades": to_say("^ after a swara is stronger, _ softer, * brighter, o rounder"),
}


_AS_YOU = {
    "wrote": to_say("w3 plays place 3 as you wrote it"),
    "made": to_say("w3 plays place 3 as you made it"),
}


def phrase_help(question: Question, *, ends: str) -> str:
    """How a phrase is typed here: its signs, with an example that tells nothing."""
    swaras = " ".join(choice.id for choice in question.choices[: min(3, question.places)])
    signs = "".join(f"{say(SIGNS[sign])}; " for sign in SIGNS if sign in question.signs)
    return say(
        "Type the line in sargam, {many} swaras such as {swaras!r}; {signs}'{hear} {swaras}' only "
        "plays it; {ends}",
        many=how_many(question),
        swaras=swaras,
        signs=signs,
        hear=HEAR,
        ends=ends,
    )


def phrase_help_again(question: Question, *, ends: str) -> str:
    """The same for who has been told the signs."""
    return say(
        "Type the line, {many} swaras; {hear} alone tells the signs, with a line it only plays "
        "that; {ends}",
        many=how_many(question),
        hear=HEAR,
        ends=ends,
    )


def read_phrase(text: str, question: Question, *, whole: bool = True) -> str:
    """The line typed. Raises WritingError with what is wrong in it and where, with a swara that is
    not among those offered, or with how many there may be; fewer than that are only not `whole`."""
    try:
        notes = list(parse(text).notes())
    except SargamError as error:
        what = str(error).partition("\n")[0]
        at = error.position + 1
        raise WritingError(say("{what} (character {at})", what=what, at=at)) from error
    letters = {choice.id for choice in question.choices}
    for swara in (swara for note in notes for swara in note.tone.swaras):
        if swara.letter not in letters:
            offered = " ".join(sorted(letters, key=SWARAS.index))
            raise WritingError(say("{swara} is not among {offered}", swara=swara, offered=offered))
    if not (question.fewest if whole else 1) <= len(notes) <= question.places:
        here = counted(len(notes), "{number} swara", "{number} swaras")
        raise WritingError(
            say("that is {here}; the line has {many}", here=here, many=how_many(question))
        )
    return text


def places_of(beside: Sequence[Beside]) -> tuple[Place, ...]:
    """The places as they are printed, above each other."""
    return tuple(
        Place(place.was or None, place.given or None, (not place.wrong,) * 2) for place in beside
    )


def wrongs_printed(beside: Sequence[Beside]) -> list[str]:
    """In what each place differs: "place 3: swara, length"."""
    return [
        say("place {number}: {wrong}", number=number, wrong=", ".join(place.wrong))
        for number, place in enumerate(beside, 1)
        if place.wrong
    ]


def findings_printed(findings: Sequence[Finding]) -> list[str]:
    """What is found, a line each, with a word for its mark."""
    words = {"right": say("yes"), "otherwise": say_as("of a finding", "no"), "": "-"}
    most = max(3, *map(broad, words.values())) + 1
    return [f"{padded(words[found.mark], most)}{found.text}" for found in findings]


def wishes_of(explanation: Explanation, verb: str) -> list[str]:
    """What else can be asked for after the answer, each with what is typed for it."""
    wishes = []
    if any(place.was_cue for place in explanation.beside):
        wishes.append(say("p3 plays place 3 as it was"))
    if any(place.given_cue for place in explanation.beside):
        wishes.append(say(_AS_YOU.get(verb, _AS_YOU["wrote"])))
    if any(found.cue for found in explanation.findings):
        wishes.append(say("f2 plays what line 2 of these tells"))
    return wishes


def cue_wished(line: str, explanation: Explanation) -> Score | None:
    """The cue that is asked for so; None where there is none."""
    match = re.fullmatch(r"([pwf]) ?([0-9]{1,3})", line.lower())
    if match is None:
        return None
    beside, findings = explanation.beside, explanation.findings
    cues = {
        "p": [place.was_cue for place in beside],
        "w": [place.given_cue for place in beside],
        "f": [found.cue for found in findings],
    }[match.group(1)]
    at = int(match.group(2)) - 1
    return cues[at] if 0 <= at < len(cues) else None
